"""How wide text is and where it breaks, without a drawing library.

Widths are those of DejaVu Sans, wider than most sans-serif fonts that devices come with: what fits in it fits
in them. Drawings leave the choice of font to the page.
"""

from __future__ import annotations

from typing import Final

__all__ = ["width", "wrap"]

#: Characters from which the widths below count.
RANGES: Final = ((0x20, 0x7F), (0xA0, 0x100))

#: Advance widths in 1/2048 of the size, kerning left out.
#: Source: DejaVu Sans and DejaVu Sans Bold as matplotlib ships them, table hmtx.
REGULAR: Final = (
    "651 821 942 1716 1303 1946 1597 563 799 799 1024 1716 651 739 651 690 1303 1303 1303 1303 1303 1303 "
    "1303 1303 1303 1303 690 690 1716 1716 1716 1087 2048 1401 1405 1430 1577 1294 1178 1587 1540 604 604 "
    "1343 1141 1767 1532 1612 1235 1612 1423 1300 1251 1499 1401 2025 1403 1251 1403 799 690 799 1716 "
    "1024 1024 1255 1300 1126 1300 1260 721 1300 1298 569 569 1186 569 1995 1298 1253 1300 1300 842 1067 "
    "803 1298 1212 1675 1212 1212 1075 1303 690 1303 1716 651 821 1303 1303 1303 1303 690 1024 1024 2048 "
    "965 1253 1716 739 2048 1024 1024 1716 821 821 1024 1303 1303 651 1024 821 965 1253 1985 1985 1985 "
    "1087 1401 1401 1401 1401 1401 1401 1995 1430 1294 1294 1294 1294 604 604 604 604 1587 1532 1612 1612 "
    "1612 1612 1612 1716 1612 1499 1499 1499 1499 1251 1239 1290 1255 1255 1255 1255 1255 1255 2011 1126 "
    "1260 1260 1260 1260 569 569 569 569 1253 1298 1253 1253 1253 1253 1253 1716 1253 1298 1298 1298 1298 "
    "1212 1300 1212"
)
BOLD: Final = (
    "713 934 1067 1716 1425 2052 1786 627 936 936 1071 1716 778 850 778 748 1425 1425 1425 1425 1425 1425 "
    "1425 1425 1425 1425 819 819 1716 1716 1716 1188 2048 1585 1561 1503 1700 1399 1399 1681 1714 762 762 "
    "1587 1305 2038 1714 1741 1501 1741 1577 1475 1397 1663 1585 2259 1579 1483 1485 936 748 936 1716 "
    "1024 1024 1382 1466 1214 1466 1389 891 1466 1458 702 702 1362 702 2134 1458 1407 1466 1466 1010 1219 "
    "979 1458 1335 1892 1321 1335 1192 1458 748 1458 1716 713 934 1425 1425 1303 1425 748 1024 1024 2048 "
    "1155 1323 1716 850 2048 1024 1024 1716 897 897 1024 1507 1303 778 1024 897 1155 1323 2120 2120 2120 "
    "1188 1585 1585 1585 1585 1585 1585 2222 1503 1399 1399 1399 1399 762 762 762 762 1716 1714 1741 1741 "
    "1741 1741 1741 1716 1741 1663 1663 1663 1663 1483 1511 1473 1382 1382 1382 1382 1382 1382 2146 1214 "
    "1389 1389 1389 1389 702 702 702 702 1407 1458 1407 1407 1407 1407 1407 1716 1407 1458 1458 1458 1458 "
    "1335 1466 1335"
)
OTHERS: Final = {
    "–": (1024, 1024),
    "—": (2048, 2048),
    "‘": (651, 778),
    "’": (651, 778),
    "“": (1061, 1346),
    "”": (1061, 1346),
    "…": (2048, 2048),
    "×": (1716, 1716),
    "≈": (1716, 1716),
    "≤": (1716, 1716),
    "≥": (1716, 1716),
    "→": (1716, 1716),
    "Ω": (1565, 1741),
    "−": (1716, 1716),
}

#: For what is not in the table: the whole size, as wide as an ideograph.
UNKNOWN: Final = 2048


def _table(widths: str, column: int) -> dict[str, int]:
    characters = (chr(code) for start, end in RANGES for code in range(start, end))
    table = dict(zip(characters, map(int, widths.split()), strict=True))
    return table | {character: each[column] for character, each in OTHERS.items()}


TABLES: Final = (_table(REGULAR, 0), _table(BOLD, 1))


def width(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is, in the unit of its size."""
    table = TABLES[bold]
    return sum([table.get(character, UNKNOWN) for character in text]) * size / 2048


def wrap(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than `room`; a word that is wider is broken where it must be."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        while width(word, size, bold) > room and len(word) > 1:
            fits = len(word) - 1
            while fits > 1 and width(word[:fits], size, bold) > room:
                fits -= 1
            lines.append(word[:fits])
            word = word[fits:]
        line = word
    return [*lines, line] if line or not lines else lines
