"""Sizes that are names, not quantities: threads, drives, spanners marked by a thread, property classes.

>>> parse_thread("M10x1.25")
Thread('M10×1.25')
>>> parse_size('9/16"')
Quantity('9/16 in')
>>> parse_size("cross 2")
Drive('cross 2')
>>> parse_size("1/4 W")
SpannerMark('1/4 W')
>>> parse_property_class("8.8").tensile
800

Every function remembers what it has read, and raises `BadSize`, which is a `BadQuantity`, with what is wrong
and how to mend it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

from .quantity import BadQuantity, Kind, Quantity, one
from .units import any_of

__all__ = [
    "BadSize",
    "Drive",
    "PropertyClass",
    "Recess",
    "Series",
    "Size",
    "SpannerMark",
    "Thread",
    "parse_across_flats",
    "parse_drive",
    "parse_property_class",
    "parse_size",
    "parse_thread",
]


class BadSize(BadQuantity):
    """A text that is not the size it should be."""


class Series(StrEnum):
    """The series of threads that are read, by the letters that stand in a designation."""

    M = "M"
    UNC = "UNC"
    UNF = "UNF"
    UNEF = "UNEF"
    BSW = "BSW"
    BSF = "BSF"
    BSP = "BSP"
    BA = "BA"


_UNIFIED = (Series.UNC, Series.UNF, Series.UNEF)


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread by its designation. Equal means designated alike: `M10` is not `M10×1.5`."""

    series: Series
    #: The nominal size: mm for M, the number for BA and numbered unified sizes, inches for all others.
    size: Fraction
    #: mm, where an M thread gives it.
    pitch: Fraction | None = None
    #: Threads to the inch, where an inch thread gives them.
    per_inch: Fraction | None = None
    #: Whether `size` of a unified thread is a number (`No. 10`), not inches.
    numbered: bool = False
    left_handed: bool = False
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        """Give the canonical writing, which reads back equal.

        As in ISO 965-1 and ASME B1.1, but `No. 10` where the latter also has #10: # begins a comment in YAML.
        """
        hand = "-LH" if self.left_handed else ""
        if self.series is Series.M:
            pitch = f"×{_decimal(self.pitch)}" if self.pitch else ""
            return f"M{_decimal(self.size)}{pitch}{hand}"
        if self.series is Series.BA:
            return f"{self.size} BA{hand}"
        per_inch = f"-{_decimal(self.per_inch)}" if self.per_inch else ""
        number = f"No. {self.size}" if self.numbered else _mixed(self.size)
        if not self.numbered and self.series in _UNIFIED and self.size in _NUMBERED:
            number += " in"
        return f"{number}{per_inch} {self.series}{hand}"

    def __repr__(self) -> str:
        return f"Thread({str(self)!r})"


class Recess(StrEnum):
    """What a driver or key engages. Cross recesses H and Z (ISO 4757) need different drivers."""

    SLOT = "slot"
    CROSS = "cross"
    CROSS_Z = "cross Z"
    HEX = "hex"
    STAR = "star"
    SQUARE = "square"


@dataclass(frozen=True, slots=True)
class Drive:
    """A recess or square with its size.

    `size` is a number for cross (ISO 4757) and star (hexalobular, ISO 10664), a length for hex (across flats)
    and square, None for a slot that gives none.
    """

    recess: Recess
    size: int | Quantity | None = None
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        return str(self.recess) if self.size is None else f"{self.recess} {self.size}"

    def __repr__(self) -> str:
        return f"Drive({str(self)!r})"


@dataclass(frozen=True, slots=True)
class SpannerMark:
    """A spanner, or the hexagon it fits, by the thread stamped on it: `1/4 W`, `5/16 BS`, `2 BA`."""

    series: str
    #: Inches; the number for BA.
    size: Fraction
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        return f"{_mixed(self.size)} {self.series}"

    def __repr__(self) -> str:
        return f"SpannerMark({str(self)!r})"


Size = Quantity | SpannerMark | Drive


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """A property class of a bolt (`8.8`) or nut (`8`) by ISO 898, or a grade by SAE J429 (`grade 5`)."""

    name: str
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        return self.name

    @property
    def tensile(self) -> int | None:
        """Nominal tensile strength in MPa: a hundred times the first figure; None if it has not two."""
        return 100 * int(self.name.split(".")[0]) if "." in self.name else None

    @property
    def yields_at(self) -> Fraction | None:
        """Nominal yield as a share of the tensile strength: the second figure in tenths; None likewise."""
        return Fraction(int(self.name.split(".")[1]), 10) if "." in self.name else None


#: ISO 898-1 and its older editions, ISO 898-2; from memory.
_BOLT_CLASSES = ("3.6", "4.6", "4.8", "5.6", "5.8", "6.8", "6.9", "8.8", "9.8", "10.9", "12.9", "14.9")
_NUT_CLASSES = ("4", "5", "6", "8", "9", "10", "12")
#: SAE J429, from memory.
_GRADES = tuple(f"grade {number}" for number in ("1", "2", "4", "5", "5.1", "5.2", "7", "8", "8.1", "8.2"))

_INCHES = r"(?:[0-9]{1,2}[ -])?[1-9][0-9]?/[1-9][0-9]?|[0-9]{1,2}"
_HAND = r"(?:[ -]?(?P<left>LH|left hand|left-hand|left-handed))?"
_METRIC = re.compile(
    r"M ?(?P<size>[0-9]{1,3}(?:\.[0-9])?)"
    rf"(?: ?[x×*-] ?(?P<pitch>[0-9](?:\.[0-9]{{1,3}})?)(?: ?mm)?)?{_HAND}",
    re.I,
)
_INCH = re.compile(
    rf"(?P<number>#|No\.? ?)?(?P<size>{_INCHES}) ?(?P<mark>\"|in\b)?"
    r"(?: ?[-x×] ?(?P<per_inch>[1-9][0-9]?(?:\.5)?)(?: ?tpi)?)?"
    rf" ?(?P<series>UNC|UNF|UNEF|BSW|BSF|BSP|Whitworth|Whit|W){_HAND}",
    re.I,
)
_BA = re.compile(rf"(?:No\.? ?)?(?P<size>[0-9]{{1,2}}) ?BA{_HAND}", re.I)

#: The sizes of unified threads that are written as a number (ASME B1.1, from memory).
_NUMBERED = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12)


@lru_cache(maxsize=1 << 14)
def parse_thread(text: str) -> Thread:
    """Read the designation of a thread: `M10`, `M10×1.25`, `3/8-24 UNF`, `5/16 in UNC`, `1/4 BSW`, `2 BA`.

    `LH` behind it is a left-hand thread. Whether such a thread is in the tables is not asked here.

    Raises: BadSize.
    """
    plain = _plain(text)
    if match := _METRIC.fullmatch(plain):
        size, pitch = Fraction(match["size"]), Fraction(match["pitch"]) if match["pitch"] else None
        if not size or (pitch is not None and not 0 < pitch < size):
            raise BadSize(f"`{text}` is no thread", f"write it like {_THREADS}")
        return Thread(Series.M, size, pitch, left_handed=bool(match["left"]), text=text)
    if match := _BA.fullmatch(plain):
        return Thread(Series.BA, Fraction(match["size"]), left_handed=bool(match["left"]), text=text)
    if match := _INCH.fullmatch(plain):
        named = match["series"].upper()
        series = Series.BSW if named.startswith("W") else Series(named)
        per_inch = Fraction(match["per_inch"]) if match["per_inch"] else None
        size, numbered = _inch_size(match, series, per_inch, text)
        return Thread(series, size, None, per_inch, numbered, bool(match["left"]), text)
    raise _bad_thread(plain, text)


_THREADS = "`M10`, `M10×1.25`, `3/8 UNF`, `1/4 BSW` or `2 BA`"


def _inch_size(
    match: re.Match[str], series: Series, per_inch: Fraction | None, text: str
) -> tuple[Fraction, bool]:
    """Give the size, and whether it is a number: `10 UNF` is No. 10, `1 UNC` an inch.

    For 2, 3 and 4 the threads to the inch tell. The coarsest numbered thread has 24 to the inch, the finest
    of 1 inch and more 20 (ASME B1.1, from memory).
    """
    size = _fraction(match["size"], text)
    shown = _mixed(size)
    if match["number"]:
        if series not in _UNIFIED or size not in _NUMBERED:
            raise BadSize(f"`{text}` has a number that is no size of {series}", f"write it like {_THREADS}")
        return size, True
    if series not in _UNIFIED or match["mark"] or size not in _NUMBERED:
        if not size:
            raise BadSize(f"`{text}` has no size", f"write it like {_THREADS}")
        return size, False
    if size in (2, 3, 4) and per_inch is None:
        mend = f"write `No. {shown} {series}` or `{shown} in {series}`"
        raise BadSize(f"`{text}` does not say whether {shown} is a number or inches", mend)
    return size, size not in (1, 2, 3, 4) or (per_inch is not None and per_inch > 20)


def _bad_thread(plain: str, text: str) -> BadSize:
    if re.search(r"[0-9],[0-9]", plain):
        return BadSize(f"`{text}` has a comma in the number", f"write `{plain.replace(',', '.')}`")
    if re.fullmatch(rf"(?:No\.? ?|#)?(?:{_INCHES}) ?(?:\"|in)?(?: ?[-x×] ?[0-9.]+)?", plain, re.I):
        return BadSize(f"`{text}` does not say of which series the thread is", f"write it like {_THREADS}")
    return BadSize(f"`{text}` is no thread that is known here", f"write it like {_THREADS}")


_MARK = re.compile(rf"(?P<size>{_INCHES}) ?\"? ?(?P<series>W|Whit|Whitworth|BSW|BSF|BS|BA)", re.I)


@lru_cache(maxsize=1 << 14)
def parse_across_flats(text: str) -> Quantity | SpannerMark:
    """Read the size of a hexagon: a length, `17 mm` or `9/16 in`, or the mark of its spanner, `1/4 W`.

    W (also BSW) is the mark of the older, larger Whitworth hexagon; BS (also BSF) is that of BS 1083.

    Raises: BadSize, BadQuantity.
    """
    plain = _plain(text)
    if match := _MARK.fullmatch(plain):
        named = match["series"].upper()
        series = "BA" if named == "BA" else "BS" if named in ("BS", "BSF") else "W"
        return SpannerMark(series, _fraction(match["size"], text), text)
    if re.match("M ?[0-9]", plain, re.I):
        raise BadSize(f"`{text}` is a thread, not the size of its hexagon", "write the size, such as `17 mm`")
    return _length(text)


_DRIVE = re.compile(
    r"(?:(?P<slot>slot(?:ted)?)|(?P<cross>cross|PH) ?(?P<h>H)?|(?P<z>cross ?-?Z|PZ)|(?P<hex>hex(?:agon)?)"
    r"|(?P<star>star|hexalobular|T(?=[0-9]))|(?P<square>square))(?: ?(?P<size>[0-9].*))?",
    re.I,
)
_DRIVES = "`cross 2`, `slot`, `hex 6 mm`, `star 30` or `square 1/2 in`"


@lru_cache(maxsize=1 << 14)
def parse_drive(text: str) -> Drive:
    """Read a drive: `cross 2`, `cross Z 2`, `slot`, `hex 6 mm`, `star 30`, `square 1/2 in`.

    Raises: BadSize, BadQuantity.
    """
    match = _DRIVE.fullmatch(_plain(text))
    if match is None:
        raise BadSize(f"`{text}` is no drive that is known here", f"write it like {_DRIVES}")
    size = match["size"]
    if match["slot"]:
        return Drive(Recess.SLOT, _length(size) if size else None, text)
    if size is None:
        raise BadSize(f"`{text}` has no size", f"write it like {_DRIVES}")
    if match["hex"] or match["square"]:
        return Drive(Recess.HEX if match["hex"] else Recess.SQUARE, _length(size), text)
    recess = Recess.STAR if match["star"] else Recess.CROSS_Z if match["z"] else Recess.CROSS
    least, most = (1, 100) if recess is Recess.STAR else (0, 4)
    if not re.fullmatch("[0-9]{1,3}", size) or not least <= int(size) <= most:
        raise BadSize(f"`{text}` has no size of a {recess} recess", f"write its number, {least} to {most}")
    return Drive(recess, int(size), text)


def _length(text: str) -> Quantity:
    """Read a length that is more than nothing."""
    length = one(text, Kind.LENGTH)
    if not length.si:
        raise BadSize(f"`{text}` is no size", "write the size across flats, such as `17 mm`")
    return length


@lru_cache(maxsize=1 << 14)
def parse_size(text: str) -> Size:
    """Read what a spanner, socket, key or driver fits: a hexagon across flats or a drive.

    Raises: BadSize, BadQuantity.
    """
    if re.match(r"\s*[a-z]", text, re.I) and not re.match(r"\s*M ?[0-9]", text, re.I):
        return parse_drive(text)
    return parse_across_flats(text)


@lru_cache(maxsize=1 << 10)
def parse_property_class(text: str) -> PropertyClass:
    """Read a property class, `8.8`, or a grade, `grade 5`. Raises: BadSize."""
    plain = " ".join(text.split())
    if plain in _BOLT_CLASSES or plain in _NUT_CLASSES:
        return PropertyClass(plain, text)
    grade = re.sub(r"(?i)^(?:SAE )?(?:grade |gr\.? ?)|^SAE ", "grade ", plain)
    if grade in _GRADES:
        return PropertyClass(grade, text)
    if "," in plain:
        raise BadSize(f"`{text}` has a comma in the number", f"write `{plain.replace(',', '.')}`")
    what, known = ("grade", _GRADES) if grade.startswith("grade") else ("property class", _BOLT_CLASSES)
    choice = any_of([f"`{name}`" for name in known])
    raise BadSize(f"`{text}` is no {what} that is known here", f"write {choice}")


def _plain(text: str) -> str:
    return " ".join(text.replace("″", '"').replace("”", '"').replace("–", "-").split())


def _fraction(text: str, whole: str) -> Fraction:
    before, _, part = re.sub(r"-(?=.*/)", " ", text).rpartition(" ")
    if before and Fraction(part) >= 1:
        raise BadSize(f"`{whole}` has {part} after a whole number", "write a fraction less than one")
    return int(before or 0) + Fraction(part)


def _mixed(size: Fraction) -> str:
    whole, rest = divmod(size, 1)
    return f"{whole} {rest}" if whole and rest else str(size)


def _decimal(number: Fraction | None) -> str:
    return f"{float(number or 0):g}"
