"""Pitch, stress area and tapping drill against the published tables, each named beside its figures."""

from __future__ import annotations

import doctest
from fractions import Fraction

import pytest
from greaseproof.reading.quantity import Kind, Quantity, one
from greaseproof.reading.sizes import parse_thread
from greaseproof.standards import threads
from greaseproof.standards.figure import Figure, rounded
from greaseproof.standards.hexagons import Known
from greaseproof.standards.threads import (
    calculated_stress_area,
    diameter,
    pitch,
    pitches,
    stress_area,
    tapping_drill,
)

#: Thread, coarse pitch in mm (FreeCAD Fasteners workbench, FsData, commit ae90a869, ISO 262), stress area in
#: mm² (ISO 898-1, coarse thread, as reprinted by a fastener distributor).
METRIC = """
M3 0.5 5.03, M3.5 0.6 6.78, M4 0.7 8.78, M5 0.8 14.2, M6 1 20.1, M7 1 28.9, M8 1.25 36.6, M10 1.5 58.0,
M12 1.75 84.3, M14 2 115, M16 2 157, M18 2.5 192, M20 2.5 245, M22 2.5 303, M24 3 353, M27 3 459, M30 3.5 561,
M33 3.5 694, M36 4 817
"""

#: Thread and its fine pitches in mm: those of ISO 262 (FreeCAD Fasteners workbench, FsData, commit ae90a869),
#: then those of ISO 261 alone (BOLTS parts library, hex.blt, commit 5c83300a).
FINE = """
M6 0.75, M8 1 0.75, M10 1.25 1 0.75, M12 1.5 1.25 1, M14 1.5 1.25 1, M16 1.5 1, M18 2 1.5 1, M20 2 1.5 1,
M22 2 1.5 1, M24 2 1.5 1, M27 2 1.5, M30 2 3 1.5, M33 2 3, M36 3 2 1.5
"""

#: Fine thread, its stress area in mm² by ISO 898-1; from memory.
FINE_AREAS = """
M8x1 39.2, M10x1.25 61.2, M10x1 64.5, M12x1.5 88.1, M12x1.25 92.1, M14x1.5 125, M16x1.5 167, M18x1.5 216,
M20x1.5 272, M22x1.5 333, M24x2 384, M27x2 496, M30x2 621, M33x2 761, M36x3 865
"""

#: Size, series, threads to the inch, stress area in in². UNC: table of a site of engineering formulas (9/16:
#: table of an engineering site); UNF: table of a site of thread data.
UNIFIED = """
No.4 UNC 40 0.00604, No.6 UNC 32 0.00909, No.8 UNC 32 0.0140, No.10 UNC 24 0.0175, 1/4 UNC 20 0.0318,
5/16 UNC 18 0.0524, 3/8 UNC 16 0.0775, 7/16 UNC 14 0.1063, 1/2 UNC 13 0.1419, 9/16 UNC 12 0.182,
5/8 UNC 11 0.226, 3/4 UNC 10 0.334, 7/8 UNC 9 0.462, 1 UNC 8 0.606, No.8 UNF 36 0.01474, No.10 UNF 32 0.0200,
1/4 UNF 28 0.0364, 5/16 UNF 24 0.0580, 3/8 UNF 24 0.0878, 7/16 UNF 20 0.1187, 1/2 UNF 20 0.1599,
9/16 UNF 18 0.203, 5/8 UNF 18 0.256, 3/4 UNF 16 0.373, 7/8 UNF 14 0.509, 1 UNF 12 0.663
"""

#: Size, threads to the inch of BSW and of BSF. Handbook table of BS 1083:1965 hexagons, p. 310-311; 7/8 and
#: 1 BSW from memory.
WHITWORTH = """
1/4 20 26, 5/16 18 22, 3/8 16 20, 7/16 14 18, 1/2 12 16, 9/16 12 16, 5/8 11 14, 3/4 10 12, 7/8 9 11, 1 8 10
"""

#: BA, its diameter and pitch in mm. Diameters: a club's BA thread table (5, 6 and 8 from memory); pitches 0.9
#: to the power of the number, to two figures: a fastener seller's page on BA threads.
BA = """
0 6.0 1.00, 1 5.3 0.90, 2 4.7 0.81, 3 4.1 0.73, 4 3.6 0.66, 5 3.2 0.59, 6 2.8 0.53, 8 2.2 0.43
"""


def rows(table: str) -> list[list[str]]:
    return [row.split() for row in table.split(",")]


def value(figure: Figure[Quantity] | None) -> str:
    assert figure is not None
    return str(figure.value)


def off(actual: Quantity, printed: Quantity) -> Fraction:
    """By what share of the printed value the other is off."""
    return abs(actual.si / printed.si - 1)


@pytest.mark.parametrize("thread, coarse, area", rows(METRIC))
def test_metric(thread: str, coarse: str, area: str) -> None:
    """An M thread without a pitch is the coarse one; its printed area is given, and the formula meets it."""
    bare, written, left = (parse_thread(text) for text in (thread, f"{thread}x{coarse}", f"{thread}-LH"))
    calculated = calculated_stress_area(bare)
    assert calculated is not None

    assert f"{coarse} mm" == value(pitch(bare))
    assert f"{thread[1:]} mm" == value(diameter(bare))
    assert f"{area} mm²" == value(stress_area(bare))
    assert stress_area(bare) == stress_area(written) == stress_area(left)
    assert off(calculated.value, one(f"{area} mm²")) < Fraction("0.004")


@pytest.mark.parametrize("thread, fine", [(thread, fine) for thread, *fine in rows(FINE)])
def test_fine_pitches(thread: str, fine: list[str]) -> None:
    """After the coarse pitch come those of ISO 262, then those of ISO 261 alone; each can be asked for."""
    found = pitches(parse_thread(thread))
    assert found is not None

    assert [f"{each} mm" for each in fine] == [str(each.value) for each in found[1:]]
    for each in fine:
        assert f"{each} mm" == value(pitch(parse_thread(f"{thread}x{each}")))


@pytest.mark.parametrize("thread, area", rows(FINE_AREAS))
def test_areas_of_fine_threads(thread: str, area: str) -> None:
    """The area of a fine thread is calculated, says so, and is what the standard prints, as remembered."""
    found = stress_area(parse_thread(thread))
    assert found is not None

    assert ("π/4 (d − 0.9382 P)²", "formula of ISO 898-1", Known.DERIVED) == (
        found.basis, found.source, found.known,
    )  # fmt: skip
    assert off(found.value, one(f"{area} mm²")) <= Fraction("0.004")


@pytest.mark.parametrize("size, series, per_inch, area", rows(UNIFIED))
def test_unified(size: str, series: str, per_inch: str, area: str) -> None:
    """The pitch is one over the threads to the inch; the printed area is given, and the formula meets it."""
    size = size.replace("No.", "No. ")
    bare, written = parse_thread(f"{size} {series}"), parse_thread(f"{size}-{per_inch} {series}")
    calculated = calculated_stress_area(bare)
    assert calculated is not None

    assert f"1/{per_inch} in" == value(pitch(bare)) == value(pitch(written))
    assert f"{area} in²" == value(stress_area(bare))
    assert "π/4 (d − 0.9743 P)²" == calculated.basis
    assert off(calculated.value, one(f"{area} in²")) < Fraction("0.002")


@pytest.mark.parametrize("size, bsw, bsf", rows(WHITWORTH))
def test_whitworth(size: str, bsw: str, bsf: str) -> None:
    """BSW is coarser than BSF; no area and no drill is given for either."""
    coarse, fine = parse_thread(f"{size} BSW"), parse_thread(f"{size} BSF")

    assert [f"1/{bsw} in", f"1/{bsf} in"] == [value(pitch(coarse)), value(pitch(fine))]
    assert [None] * 4 == [ask(each) for ask in (stress_area, tapping_drill) for each in (coarse, fine)]


@pytest.mark.parametrize("number, across, turn", rows(BA))
def test_ba(number: str, across: str, turn: str) -> None:
    """The pitch of n BA is 0.9 to the power of n; no area is given."""
    thread = parse_thread(f"{number} BA")

    assert [f"{across} mm", f"{turn} mm"] == [value(diameter(thread)), value(pitch(thread))]
    assert round(Fraction(9, 10) ** int(number), 2) == Fraction(turn)
    assert stress_area(thread) is None
    assert tapping_drill(thread) is None


@pytest.mark.parametrize(
    "size, inches",
    # UNC table of a site of engineering formulas.
    [("4", "0.112"), ("6", "0.138"), ("8", "0.164"), ("10", "0.190")],
)
def test_diameter_of_numbered_threads(size: str, inches: str) -> None:
    """A numbered thread has the diameter of the table, which is 0.060 in and 0.013 in for each number."""
    assert f"{inches} in" == value(diameter(parse_thread(f"No. {size} UNC")))
    assert Fraction(inches) == Fraction("0.060") + int(size) * Fraction("0.013")


@pytest.mark.parametrize(
    "thread, drill, made",
    # The drills that are sold for these taps, in the thread's unit; from memory.
    [
        ("M3", "2.50 mm", "2.5"), ("M4", "3.30 mm", "3.3"), ("M5", "4.20 mm", "4.2"), ("M6", "5.00 mm", "5"),
        ("M8", "6.75 mm", "6.8"), ("M10", "8.50 mm", "8.5"), ("M12", "10.25 mm", "10.2"),
        ("M16", "14.00 mm", "14"), ("M20", "17.50 mm", "17.5"), ("M10x1.25", "8.75 mm", "8.8"),
        ("1/4 UNC", "0.200 in", "0.201"), ("5/16 UNC", "0.257 in", "0.257"), ("3/8 UNC", "0.312 in", "5/16"),
        ("1/2 UNC", "0.423 in", "27/64"), ("3/8 UNF", "0.333 in", "0.332"),
        ("No. 10 UNF", "0.159 in", "0.159"),
    ],
)  # fmt: skip
def test_tapping_drill(thread: str, drill: str, made: str) -> None:
    """The drill is d − P, and within 1 % of the one that is sold for the tap."""
    found = tapping_drill(parse_thread(thread))
    assert found is not None

    assert drill == str(found.value)
    assert off(found.value, one(f"{made} {found.value.unit}", Kind.LENGTH)) < Fraction("0.01")
    assert Figure(
        one(drill), "d − P", "common practice; for metric threads also ISO 2306, from memory", Known.MEMORY
    ) == found  # fmt: skip


@pytest.mark.parametrize("thread", [thread for thread, *_ in rows(METRIC)])
def test_a_drill_leaves_room_for_the_tap(thread: str) -> None:
    """The hole is wider than the basic minor diameter, d − 1.0825 P (ISO 724, from memory)."""
    designation = parse_thread(thread)
    found, turn, across = tapping_drill(designation), pitch(designation), diameter(designation)
    assert found is not None
    assert turn is not None
    assert across is not None

    minor = across.value.si - Fraction("1.0825") * turn.value.si
    assert minor < found.value.si < across.value.si


@pytest.mark.parametrize(
    "thread",
    [
        "M11", "M2", "M39", "M10x1.1", "M8x1.5", "1/4-24 UNC", "1/4-20 UNF", "1 1/8 UNC", "No. 12 UNC",
        "No. 4 UNF", "3/8 UNEF", "1/8 BSP", "2 BSW", "1/4-26 BSW", "7 BA", "10 BA",
    ],
)  # fmt: skip
def test_unknown_threads(thread: str) -> None:
    """What is in no table has no figure at all."""
    asked = (pitch, diameter, stress_area, calculated_stress_area, tapping_drill)

    assert [None] * 5 == [ask(parse_thread(thread)) for ask in asked]


def test_sizes_without_any_pitch() -> None:
    """A size that the series has not has no pitches; a wrong pitch does not hide those that the size has."""
    assert pitches(parse_thread("M11")) is None
    assert pitches(parse_thread("M8x1.5")) == pitches(parse_thread("M8"))


def test_one_inch_with_14_threads() -> None:
    """1-14 stands in older tables beside 1-12, which `1 in UNF` means; its area is calculated."""
    older, usual = parse_thread("1-14 UNF"), parse_thread("1 in UNF")

    assert ["1/14 in", "1/12 in"] == [value(pitch(older)), value(pitch(usual))]
    assert ["0.6799 in²", "0.663 in²"] == [value(stress_area(older)), value(stress_area(usual))]


def test_where_a_figure_comes_from() -> None:
    """Each figure says what it is, where it was read and how it is known."""
    source = "BOLTS parts library, hex.blt, commit 5c83300a"

    assert Figure(one("0.75 mm"), "ISO 261, fine", source, Known.READ) == pitch(parse_thread("M6x0.75"))
    assert Figure(
        Quantity(Kind.LENGTH, Fraction(1, 9), "in", None), "BSW", "from memory", Known.MEMORY
    ) == pitch(parse_thread("7/8 BSW"))  # fmt: skip
    assert Figure(
        one("157 mm²"), "table of ISO 898-1",
        "ISO 898-1, coarse thread, as reprinted by a fastener distributor", Known.READ,
    ) == stress_area(parse_thread("M16"))  # fmt: skip
    assert Figure(one("2.8 mm"), "table", "from memory", Known.MEMORY) == diameter(parse_thread("6 BA"))


@pytest.mark.parametrize(
    "si, figures, expected",
    [("21228", 3, "21200 N"), ("999.6", 3, "1000 N"), ("0.012344", 3, "0.0123 N"), ("0", 3, "0.00 N")],
)
def test_rounding(si: str, figures: int, expected: str) -> None:
    """A figure that was worked out keeps that many significant figures, also where it rounds to one more."""
    assert expected == str(rounded(Kind.FORCE, Fraction(si), "N", figures))


def test_examples_in_the_docstring() -> None:
    """The examples that the module shows are true."""
    results = doctest.testmod(threads)

    assert 0 == results.failed
    assert results.attempted >= 4
