"""Threads by their designation: diameter, pitch, tensile stress area and tapping drill, each with its source.

>>> from greaseproof.reading.sizes import parse_thread
>>> str(pitch(parse_thread("M10")).value), str(pitch(parse_thread("1/4 UNC")).value)
('1.5 mm', '1/20 in')
>>> area = stress_area(parse_thread("M10×1.25"))
>>> str(area.value), area.basis
('61.20 mm²', 'π/4 (d − 0.9382 P)²')
>>> pitch(parse_thread("M10×1.1")) is None
True

A thread is known where its size and pitch stand in a table: M3 to M36, UNC and UNF from No. 4 to 1 inch, BSW
and BSF from 1/4 to 1 inch, 0 to 8 BA without 7. Any other gives None, never a guess. A left-hand thread has
the figures of a right-hand one. The figures question what an author wrote; the maker's come first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from ..reading.quantity import Kind, Quantity, from_si, one
from ..reading.sizes import Series, Thread
from .figure import Figure, rounded
from .hexagons import Known

__all__ = ["calculated_stress_area", "diameter", "pitch", "pitches", "stress_area", "tapping_drill"]

#: The nominal size, and whether it is a number.
_Size = tuple[Fraction, bool]


def _rows(table: str) -> tuple[tuple[_Size, str], ...]:
    """Read `M3 0.5  No.4 40  1/4 20`: a nominal size, then its figure."""
    cells = table.split()
    return tuple((_size(size), figure) for size, figure in zip(cells[::2], cells[1::2], strict=True))


def _size(text: str) -> _Size:
    return Fraction(text.removeprefix("M").removeprefix("No.")), text.startswith("No.")


# ------------------------------------------------------------------------------------------------ tables

_ISO_262_SOURCE = "FreeCAD Fasteners workbench, FsData, commit ae90a869"
#: mm.
_COARSE = (
    "M3 0.5  M3.5 0.6  M4 0.7  M5 0.8  M6 1  M7 1  M8 1.25  M10 1.5  M12 1.75  M14 2  M16 2  M18 2.5  M20 2.5"
    "  M22 2.5  M24 3  M27 3  M30 3.5  M33 3.5  M36 4"
)
#: mm.
_FINE = (
    "M8 1  M10 1.25  M10 1  M12 1.5  M12 1.25  M14 1.5  M16 1.5  M18 2  M18 1.5  M20 2  M20 1.5"
    "  M22 2  M22 1.5  M24 2  M27 2  M30 2  M33 2  M36 3"
)

#: mm. Not in the selection of ISO 262.
_ISO_261_SOURCE = "BOLTS parts library, hex.blt, commit 5c83300a"
_FINE_261 = (
    "M6 0.75  M8 0.75  M10 0.75  M12 1  M14 1.25  M14 1  M16 1  M18 1  M20 1  M22 1  M24 1.5  M24 1  M27 1.5"
    "  M30 3  M30 1.5  M33 3  M36 2  M36 1.5"
)

#: Threads to the inch. 9/16 is missing from the first table.
_UNC_SOURCE = "UNC table of a site of engineering formulas"
_UNC = (
    "No.4 40  No.6 32  No.8 32  No.10 24  1/4 20  5/16 18  3/8 16  7/16 14  1/2 13  5/8 11  3/4 10"
    "  7/8 9  1 8"
)
_UNC_REST_SOURCE = "table of inch thread stress areas of an engineering site"
_UNC_REST = "9/16 12"
_UNF_SOURCE = "UNF table of a site of thread data"
_UNF = "No.8 36  No.10 32  1/4 28  5/16 24  3/8 24  7/16 20  1/2 20  9/16 18  5/8 18  3/4 16  7/8 14  1 12"
#: Beside 1-12; also designated UNS (from memory).
_UNF_OLDER_SOURCE = "US Army TM 10-6640-238-13, table G-1"
_UNF_OLDER = "1 14"

#: Threads to the inch.
_WHITWORTH_SOURCE = "handbook table of BS 1083:1965 hexagons, p. 310-311"
_BSW = "1/4 20  5/16 18  3/8 16  7/16 14  1/2 12  9/16 12  5/8 11  3/4 10"
_BSW_FROM_MEMORY = "7/8 9  1 8"
_BSF = "1/4 26  5/16 22  3/8 20  7/16 18  1/2 16  9/16 16  5/8 14  3/4 12  7/8 11  1 10"

#: mm. The pitch of n BA is 0.9 to the power of n, quoted to two figures.
_BA_SOURCE = "0.9 to the power of the number (fastener seller's page on BA threads)"
_BA = "0 1.00  1 0.90  2 0.81  3 0.73  4 0.66  5 0.59  6 0.53  8 0.43"

_MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class _Pitches:
    """One table: the pitch in mm for M and BA, else the threads to the inch."""

    basis: str
    series: Series
    source: str
    known: Known
    rows: tuple[tuple[_Size, str], ...]


#: The usual pitch of a size comes first.
_PITCHES = (
    _Pitches("ISO 262, coarse", Series.M, _ISO_262_SOURCE, Known.READ, _rows(_COARSE)),
    _Pitches("ISO 262, fine", Series.M, _ISO_262_SOURCE, Known.READ, _rows(_FINE)),
    _Pitches("ISO 261, fine", Series.M, _ISO_261_SOURCE, Known.READ, _rows(_FINE_261)),
    _Pitches("UNC", Series.UNC, _UNC_SOURCE, Known.READ, _rows(_UNC)),
    _Pitches("UNC", Series.UNC, _UNC_REST_SOURCE, Known.READ, _rows(_UNC_REST)),
    _Pitches("UNF", Series.UNF, _UNF_SOURCE, Known.READ, _rows(_UNF)),
    _Pitches("older fine series", Series.UNF, _UNF_OLDER_SOURCE, Known.READ, _rows(_UNF_OLDER)),
    _Pitches("BSW", Series.BSW, _WHITWORTH_SOURCE, Known.READ, _rows(_BSW)),
    _Pitches("BSW", Series.BSW, _MEMORY, Known.MEMORY, _rows(_BSW_FROM_MEMORY)),
    _Pitches("BSF", Series.BSF, _WHITWORTH_SOURCE, Known.READ, _rows(_BSF)),
    _Pitches("BA", Series.BA, _BA_SOURCE, Known.DERIVED, _rows(_BA)),
)

#: Inches.
_NUMBERED = dict(_rows("No.4 0.112  No.6 0.138  No.8 0.164  No.10 0.190"))

#: mm.
_BA_DIAMETER_SOURCE = "BA thread table of a club"
_BA_DIAMETER = dict(_rows("0 6.0  1 5.3  2 4.7  3 4.1  4 3.6"))
_BA_DIAMETER_FROM_MEMORY = dict(_rows("5 3.2  6 2.8  8 2.2"))

#: mm². Coarse threads only: those of fine threads are from memory, and the formula is the surer.
_METRIC_AREA_SOURCE = "ISO 898-1, coarse thread, as reprinted by a fastener distributor"
_METRIC_AREA = (
    "M3 5.03  M3.5 6.78  M4 8.78  M5 14.2  M6 20.1  M7 28.9  M8 36.6  M10 58.0  M12 84.3  M14 115  M16 157"
    "  M18 192  M20 245  M22 303  M24 353  M27 459  M30 561  M33 694  M36 817"
)

#: in². The second table prints 0.0163 for 7/16, which lost a digit.
_UNC_AREA = (
    "No.4 0.00604  No.6 0.00909  No.8 0.0140  No.10 0.0175  1/4 0.0318  5/16 0.0524  3/8 0.0775  7/16 0.1063"
    "  1/2 0.1419  5/8 0.226  3/4 0.334  7/8 0.462  1 0.606"
)
_UNC_REST_AREA = "9/16 0.182"
_UNF_AREA = (
    "No.8 0.01474  No.10 0.0200  1/4 0.0364  5/16 0.0580  3/8 0.0878  7/16 0.1187  1/2 0.1599  9/16 0.203"
    "  5/8 0.256  3/4 0.373  7/8 0.509  1 0.663"
)


@dataclass(frozen=True, slots=True)
class _Areas:
    """The printed stress areas of the threads whose pitch has that basis."""

    pitches: str
    basis: str
    unit: str
    source: str
    rows: dict[_Size, str]


_AREAS = (
    _Areas("ISO 262, coarse", "table of ISO 898-1", "mm²", _METRIC_AREA_SOURCE, dict(_rows(_METRIC_AREA))),
    _Areas("UNC", "printed table", "in²", _UNC_SOURCE, dict(_rows(_UNC_AREA))),
    _Areas("UNC", "printed table", "in²", _UNC_REST_SOURCE, dict(_rows(_UNC_REST_AREA))),
    _Areas("UNF", "printed table", "in²", _UNF_SOURCE, dict(_rows(_UNF_AREA))),
)

#: What is taken off the diameter, in pitches. They meet the printed areas within 0.4 % and 0.2 %.
_METRIC_DEPTH = Fraction("0.9382")
_UNIFIED_DEPTH = Fraction("0.9743")
_METRIC_FORMULA_SOURCE = "formula of ISO 898-1"
_UNIFIED_FORMULA_SOURCE = "formula of ASME B1.1"

_DRILL_SOURCE = "common practice; for metric threads also ISO 2306, from memory"

_IN_MM = (Series.M, Series.BA)
_UNIFIED = (Series.UNC, Series.UNF)


# ------------------------------------------------------------------------------------------- what they say


def pitches(thread: Thread) -> tuple[Figure[Quantity], ...] | None:
    """Give every pitch of this series that the tables have for the size, the usual one first; None: no pitch.

    In mm for M and BA; for the others a fraction of an inch, one over the threads to the inch. The pitch that
    the designation gives makes no difference.
    """
    return tuple(_pitches(thread)) or None


def _pitches(thread: Thread) -> Iterator[Figure[Quantity]]:
    for table in _PITCHES:
        for size, figure in table.rows:
            if table.series is thread.series and size == (thread.size, thread.numbered):
                if thread.series in _IN_MM:
                    value = one(f"{figure} mm", Kind.LENGTH)
                else:
                    value = Quantity(Kind.LENGTH, 1 / Fraction(figure), "in", places=None)
                yield Figure(value, table.basis, table.source, table.known)


def pitch(thread: Thread) -> Figure[Quantity] | None:
    """Give the pitch of a thread, for M without one the coarse pitch; units as for `pitches`.

    None: the size is in no table, or has no such pitch.
    """
    wanted = 1 / thread.per_inch if thread.per_inch else thread.pitch
    fitting = (each for each in pitches(thread) or () if wanted in (None, each.value.number))
    return next(fitting, None)


def diameter(thread: Thread) -> Figure[Quantity] | None:
    """Give the nominal (major) diameter, in mm for M and BA, in inches for the others.

    None: `pitch` gives None, since the thread is then not known.
    """
    if pitch(thread) is None:
        return None
    size = (thread.size, thread.numbered)
    if thread.numbered:
        return Figure(one(f"{_NUMBERED[size]} in"), "table", _UNC_SOURCE, Known.READ)
    if thread.series is Series.BA:
        if size in _BA_DIAMETER:
            return Figure(one(f"{_BA_DIAMETER[size]} mm"), "table", _BA_DIAMETER_SOURCE, Known.READ)
        return Figure(one(f"{_BA_DIAMETER_FROM_MEMORY[size]} mm"), "table", _MEMORY, Known.MEMORY)
    unit = "mm" if thread.series is Series.M else "in"
    written = f"{float(thread.size):g}" if unit == "mm" else str(thread.size)
    return Figure(one(f"{written} {unit}", Kind.LENGTH), "nominal size", "the designation", Known.DERIVED)


def stress_area(thread: Thread) -> Figure[Quantity] | None:
    """Give the tensile stress area: as printed where a table has it, else by the formula; `basis` says which.

    mm² for M, in² for UNC and UNF. None: the thread is not known, or is Whitworth or BA, for which no
    published area is at hand.
    """
    turn = pitch(thread)
    if turn is None:
        return None
    for table in _AREAS:
        printed = table.rows.get((thread.size, thread.numbered))
        if table.pitches == turn.basis and printed:
            return Figure(one(f"{printed} {table.unit}"), table.basis, table.source, Known.READ)
    return calculated_stress_area(thread)


def calculated_stress_area(thread: Thread) -> Figure[Quantity] | None:
    """Give the tensile stress area by the formula, to four figures; units and None as for `stress_area`.

    π/4 (d − 0.9382 P)² for M (ISO 898-1), π/4 (d − 0.9743 P)² for UNC and UNF (ASME B1.1).
    """
    across, turn = diameter(thread), pitch(thread)
    if across is None or turn is None or thread.series not in (Series.M, *_UNIFIED):
        return None
    metric = thread.series is Series.M
    depth = _METRIC_DEPTH if metric else _UNIFIED_DEPTH
    area = Fraction(math.pi) / 4 * (across.value.si - depth * turn.value.si) ** 2
    return Figure(
        rounded(Kind.AREA, area, "mm²" if metric else "in²", 4),
        f"π/4 (d − {float(depth)} P)²",
        _METRIC_FORMULA_SOURCE if metric else _UNIFIED_FORMULA_SOURCE,
        Known.DERIVED,
    )


def tapping_drill(thread: Thread) -> Figure[Quantity] | None:
    """Give the nominal drill before tapping, d − P: in mm to 0.01 for M, in inches to 0.001 for UNC and UNF.

    The nearest drill that is made is taken. For cutting taps in common metals; taps that form need a larger
    hole. The tap maker's figure comes first. None: the thread is not known, or is Whitworth or BA, to which
    the rule does not belong. Source: common practice; for metric threads also ISO 2306, from memory.
    """
    across, turn = diameter(thread), pitch(thread)
    if across is None or turn is None or thread.series not in (Series.M, *_UNIFIED):
        return None
    unit, places = ("mm", 2) if thread.series is Series.M else ("in", 3)
    drill = from_si(Kind.LENGTH, across.value.si - turn.value.si, unit, places)
    return Figure(drill, "d − P", _DRILL_SOURCE, Known.MEMORY)
