"""Hexagons across flats by thread: which spanner fits, by which standard, and where that is published.

>>> from greaseproof.reading.sizes import parse_across_flats, parse_thread
>>> suits(parse_thread("M10"), parse_across_flats("17 mm"))
['DIN before 1982']
>>> suits(parse_thread("M10"), parse_across_flats("15 mm"))
[]
>>> suits(parse_thread("M50"), parse_across_flats("75 mm")) is None
True

Sizes are nominal: for Whitworth and BSF the largest that the standard allows, which is the spanner's size.
The tables hold the usual series only. Small, heavy, flanged and special hexagons are not in them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache

from ..reading.quantity import Kind, Quantity, one
from ..reading.sizes import Series, SpannerMark, Thread

__all__ = ["Hexagon", "Known", "across_flats", "jaw", "suits"]


class Known(StrEnum):
    """How a value is known."""

    READ = "read"
    DERIVED = "derived"
    MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Hexagon:
    """The hexagon that one standard gives a thread."""

    size: Quantity
    standard: str
    #: What has this size: `bolt`, `nut`, or `bolt and nut`.
    item: str
    source: str
    known: Known


# ------------------------------------------------------------------------------------------------ tables
# One row for each thread: its nominal size, then the width across flats. Where two datasets disagree the
# other value is noted; of those that file an older DIN value under a number of ISO none is taken.

#: mm. ISO 272:1982 as used by ISO 4014, 4017 and 4032.
#: BOLTS has 22 and 32 for M14 and M22 under ISO 4017 alone, FreeCAD 22 for M14: the older DIN sizes.
_ISO_SOURCE = "BOLTS parts library, ISO 4014 and ISO 4032, commit 5c83300a"
_ISO = (
    "M3 5.5  M3.5 6  M4 7  M5 8  M6 10  M7 11  M8 13  M10 16  M12 18  M14 21  M16 24  M18 27  M20 30  M22 34"
    "  M24 36  M27 41  M30 46  M33 50  M36 55"
)

#: mm. The four sizes that ISO 272:1982 changed are 17, 19, 22 and 32.
_DIN_SOURCE = "BOLTS parts library, DIN 933 and DIN 934, commit 5c83300a"
_DIN = (
    "M3 5.5  M3.5 6  M4 7  M5 8  M6 10  M7 11  M8 13  M10 17  M12 19  M14 22  M16 24  M18 27  M20 30  M22 32"
    "  M24 36  M27 41  M30 46  M33 50  M36 55"
)

#: mm. A maker's practice, not a standard.
_JAPANESE_SOURCE = "general torque table in a Japanese engine maker's service manual, p. 37"
_JAPANESE = "M5 8  M6 10  M8 12  M10 14  M12 17"

#: Inches. The same for UNC and UNF; 9/16 is missing from the dataset.
_UNIFIED_BOLT_SOURCE = "FreeCAD Fasteners workbench, ASME B18.2.1, commit ae90a869"
_UNIFIED_BOLT = (
    "1/4 7/16  5/16 1/2  3/8 9/16  7/16 5/8  1/2 3/4  5/8 15/16  3/4 1-1/8  7/8 1-5/16  1 1-1/2"
)
_UNIFIED_BOLT_FROM_MEMORY = "9/16 13/16"

#: Inches. At 7/16 and 9/16 the nut is larger than the bolt's head.
_UNIFIED_NUT_SOURCE = "BOLTS parts library, ANSI/ASME B18.2.2, commit 5c83300a"
_UNIFIED_NUT = (
    "1/4 7/16  5/16 1/2  3/8 9/16  7/16 11/16  1/2 3/4  9/16 7/8  5/8 15/16  3/4 1-1/8  7/8 1-5/16  1 1-1/2"
)

#: Inches, the largest allowed.
_BS1083_SOURCE = "handbook table of BS 1083:1965 hexagons, p. 310-311"
_BS1083 = (
    "1/4 0.445  5/16 0.525  3/8 0.600  7/16 0.710  1/2 0.820  9/16 0.920  5/8 1.010  3/4 1.200  7/8 1.300"
    "  1 1.480  1-1/8 1.670  1-1/4 1.860  1-3/8 2.050  1-1/2 2.220  1-3/4 2.580  2 2.760"
)

#: Inches. Each is the size of the next larger BSF; 0.338 is also met for 1/8 (from memory).
_WHITWORTH_SOURCE = "model engineers' society table of spanner sizes"
_WHITWORTH = (
    "1/8 0.344  3/16 0.445  1/4 0.525  5/16 0.600  3/8 0.710  7/16 0.820  1/2 0.920  9/16 1.010  5/8 1.100"
    "  11/16 1.200  3/4 1.300"
)
_WHITWORTH_FROM_MEMORY = "7/8 1.480  1 1.670"

#: mm. 1.75 times the major diameter of 6, 5.3, 4.7, 4.1 and 3.6 mm; those of 5, 6 and 8 BA are from memory.
_BA_SOURCE = "1.75 times the major diameter (fastener seller's page on BA threads; BA thread table)"
_BA = "0 10.5  1 9.28  2 8.22  3 7.17  4 6.30"
_BA_FROM_MEMORY = "5 5.60  6 4.90  8 3.85"

_MEMORY = "from memory"


def _rows(table: str, unit: str) -> dict[Fraction, Quantity]:
    cells = table.replace("M", "").split()
    pairs = zip(cells[::2], cells[1::2], strict=True)
    return {_number(thread): one(f"{size} {unit}", Kind.LENGTH) for thread, size in pairs}


def _number(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return int(whole or 0) + Fraction(part)


@dataclass(frozen=True, slots=True)
class _Table:
    standard: str
    item: str
    series: tuple[Series, ...]
    source: str
    known: Known
    rows: dict[Fraction, Quantity]


_METRIC, _UNIFIED, _BRITISH = (Series.M,), (Series.UNC, Series.UNF), (Series.BSW, Series.BSF)
_ISO_NAME, _DIN_NAME, _JAPANESE_NAME = "ISO 272", "DIN before 1982", "Japanese practice"
_BOLT_NAME, _NUT_NAME = "ASME B18.2.1", "ASME B18.2.2"
_BS1083_NAME, _BS190_NAME, _BA_NAME = "BS 1083", "BS 190, the older large hexagon", "BA"
_BOTH = "bolt and nut"

_TABLES = (
    _Table(_ISO_NAME, _BOTH, _METRIC, _ISO_SOURCE, Known.READ, _rows(_ISO, "mm")),
    _Table(_DIN_NAME, _BOTH, _METRIC, _DIN_SOURCE, Known.READ, _rows(_DIN, "mm")),
    _Table(_JAPANESE_NAME, _BOTH, _METRIC, _JAPANESE_SOURCE, Known.READ, _rows(_JAPANESE, "mm")),
    _Table(_BOLT_NAME, "bolt", _UNIFIED, _UNIFIED_BOLT_SOURCE, Known.READ, _rows(_UNIFIED_BOLT, "in")),
    _Table(_BOLT_NAME, "bolt", _UNIFIED, _MEMORY, Known.MEMORY, _rows(_UNIFIED_BOLT_FROM_MEMORY, "in")),
    _Table(_NUT_NAME, "nut", _UNIFIED, _UNIFIED_NUT_SOURCE, Known.READ, _rows(_UNIFIED_NUT, "in")),
    _Table(_BS1083_NAME, _BOTH, _BRITISH, _BS1083_SOURCE, Known.READ, _rows(_BS1083, "in")),
    _Table(_BS190_NAME, _BOTH, (Series.BSW,), _WHITWORTH_SOURCE, Known.READ, _rows(_WHITWORTH, "in")),
    _Table(_BS190_NAME, _BOTH, (Series.BSW,), _MEMORY, Known.MEMORY, _rows(_WHITWORTH_FROM_MEMORY, "in")),
    _Table(_BA_NAME, _BOTH, (Series.BA,), _BA_SOURCE, Known.DERIVED, _rows(_BA, "mm")),
    _Table(_BA_NAME, _BOTH, (Series.BA,), _MEMORY, Known.MEMORY, _rows(_BA_FROM_MEMORY, "mm")),
)

#: The table that a spanner's mark names.
_MARKS = {"W": _BS190_NAME, "BS": _BS1083_NAME, "BA": _BA_NAME}

#: m. Sizes closer than this share a spanner: 0.445 in is also printed 11.3 mm. Two sizes of the tables that
#: do not (19 mm and 3/4 in, 18 mm and 0.710 in) are further apart.
SAME_SPANNER = Fraction(3, 100_000)


def across_flats(thread: Thread) -> tuple[Hexagon, ...] | None:
    """Give the hexagons of a thread, the current standard first; None if it is in no table.

    Pitch and hand make no difference. Numbered unified sizes are in no table.
    """
    if thread.numbered:
        return None
    return tuple(_hexagons(thread.series, thread.size)) or None


def _hexagons(series: Series, size: Fraction) -> Iterator[Hexagon]:
    for table in _TABLES:
        if series in table.series and size in table.rows:
            yield Hexagon(table.rows[size], table.standard, table.item, table.source, table.known)


def jaw(mark: SpannerMark) -> Hexagon | None:
    """Give the hexagon that a spanner with this mark fits; None if it is in no table."""
    for table in _TABLES:
        if table.standard == _MARKS[mark.series] and mark.size in table.rows:
            return Hexagon(table.rows[mark.size], table.standard, table.item, table.source, table.known)
    return None


@cache
def suits(thread: Thread, size: Quantity | SpannerMark) -> list[str] | None:
    """Name the standards that give the thread a hexagon of this size; none of them: an empty list.

    None: the thread, or the spanner's mark, is in no table, so nothing can be said.
    """
    hexagons = across_flats(thread)
    spanner = jaw(size) if isinstance(size, SpannerMark) else size
    if hexagons is None or spanner is None:
        return None
    width = spanner.size if isinstance(spanner, Hexagon) else spanner
    fitting = [each.standard for each in hexagons if abs(each.size.si - width.si) <= SAME_SPANNER]
    return list(dict.fromkeys(fitting))
