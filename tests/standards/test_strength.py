"""Loads of bolts against the published tables, each named beside its figures."""

from __future__ import annotations

import doctest
from fractions import Fraction

import pytest
from greaseproof.reading.quantity import Quantity, one
from greaseproof.reading.sizes import parse_property_class, parse_thread
from greaseproof.standards import strength
from greaseproof.standards.figure import Figure
from greaseproof.standards.hexagons import Known
from greaseproof.standards.strength import proof_load, proof_stress, tensile_strength, ultimate_load

#: The columns of the two tables; above M16 they have none for 9.8.
CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9")

#: N. ISO 898-1, proof loads, coarse thread, as reprinted by a fastener distributor.
PROOF_LOADS = """
M3 1130 1560 1410 1910 2210 2920 3270 4180 4880
M3.5 1530 2100 1900 2580 2980 3940 4410 5630 6580
M4 1980 2720 2460 3340 3860 5100 5710 7290 8520
M5 3200 4400 3980 5400 6250 8230 9230 11800 13800
M6 4520 6230 5630 7640 8840 11600 13100 16700 19500
M7 6500 8960 8090 11000 12700 16800 18800 24000 28000
M8 8240 11400 10200 13900 16100 21200 23800 30400 35500
M10 13000 18000 16200 22000 25500 33700 37700 48100 56300
M12 19000 26100 23600 32000 37100 48900 54800 70000 81800
M14 25900 35600 32200 43700 50600 66700 74800 95500 112000
M16 35300 48700 44000 59700 69100 91000 102000 130000 152000
M18 43200 59500 53800 73000 84500 115000 - 159000 186000
M20 55100 76000 68600 93100 108000 147000 - 203000 238000
M22 68200 93900 84800 115000 133000 182000 - 252000 294000
M24 79400 109000 98800 134000 155000 212000 - 293000 342000
M27 103000 142000 128000 174000 202000 275000 - 381000 445000
"""

#: N. ISO 898-1, minimum ultimate tensile loads, coarse thread, as reprinted by a fastener site. It prints
#: 91130 for M4 10.9; 9130 stands in a bearing seller's page on the tensile strength of property classes.
ULTIMATE_LOADS = """
M3 2010 2110 2510 2620 3020 4020 4530 5230 6140
M4 3510 3690 4390 4570 5270 7020 7900 9130 10700
M5 5680 5960 7100 7380 8520 11350 12800 14800 17300
M6 8040 8440 10000 10400 12100 16100 18100 20900 24500
M8 14600 15400 18300 19000 22000 29200 32900 38100 44600
M10 23200 24400 29000 30200 34800 46400 52200 60300 70800
M12 33700 35400 42200 43800 50600 67400 75900 87700 103000
M14 46000 48300 57500 59800 69000 92000 104000 120000 140000
M16 62800 65900 78500 81600 94000 125000 141000 163000 192000
M18 76800 80600 96000 99800 115000 159000 - 200000 234000
M20 98000 103000 122000 127000 147000 203000 - 255000 299000
M22 121000 127000 152000 158000 182000 252000 - 315000 370000
M24 141000 148000 176000 184000 212000 293000 - 367000 431000
"""

#: Grade, a thread of it, proof stress and minimum tensile strength in psi. Bolt grade chart of a fastener
#: seller (SAE J429).
SAE = [
    ("grade 2", "1/4 UNC", "55000", "74000"), ("grade 2", "3/4 UNF", "55000", "74000"),
    ("grade 2", "7/8 UNC", "33000", "60000"), ("grade 5", "1/4 UNF", "85000", "120000"),
    ("grade 5", "1 in UNC", "85000", "120000"), ("grade 8", "1/4 UNC", "120000", "150000"),
    ("grade 8", "1 in UNF", "120000", "150000"),
]  # fmt: skip


def cells(table: str) -> list[tuple[str, str, str]]:
    """Thread, class and load of each cell that is printed."""
    lines = [line.split() for line in table.strip().splitlines()]
    return [
        (thread, name, load)
        for thread, *loads in lines
        for name, load in zip(CLASSES, loads, strict=True)
        if load != "-"
    ]


def far(found: Figure[Quantity] | None, printed: str) -> bool:
    """Whether a load is more than 1.5 % off the printed one, or there is none."""
    return found is None or abs(found.value.si / one(printed).si - 1) > Fraction("0.015")


def test_proof_loads() -> None:
    """All proof loads of the standard are met within 1.5 %."""
    table = cells(PROOF_LOADS)
    found = [proof_load(parse_thread(thread), parse_property_class(name)) for thread, name, _ in table]

    assert 139 == len(table)
    assert [] == [row for row, load in zip(table, found, strict=True) if far(load, f"{row[2]} N")]


def test_ultimate_loads() -> None:
    """All minimum ultimate loads of the standard are met within 1.5 %."""
    table = cells(ULTIMATE_LOADS)
    found = [ultimate_load(parse_thread(thread), parse_property_class(name)) for thread, name, _ in table]

    assert 113 == len(table)
    assert [] == [row for row, load in zip(table, found, strict=True) if far(load, f"{row[2]} N")]


def test_a_misprint_is_not_met() -> None:
    """The load of M4 10.9 with a digit too many is far off: the comparison can fail."""
    found = ultimate_load(parse_thread("M4"), parse_property_class("10.9"))

    assert far(found, "91130 N")
    assert not far(found, "9130 N")


def test_classes_end_where_the_tables_end() -> None:
    """9.8 is not made above M16."""
    name = parse_property_class("9.8")
    found = [proof_load(parse_thread(thread), name) for thread in ("M18", "M24x2", "M27")]

    assert [None] * 3 == found


@pytest.mark.parametrize(
    "thread, proof, tensile",
    # ISO 898-1, mechanical properties, as reprinted.
    [("M16", "580 MPa", "800 MPa"), ("M16x1.5", "580 MPa", "800 MPa"), ("M18", "600 MPa", "830 MPa")],
)
def test_8_8_changes_above_m16(thread: str, proof: str, tensile: str) -> None:
    """Class 8.8 has higher stresses above M16."""
    bolt, name = parse_thread(thread), parse_property_class("8.8")
    source = "ISO 898-1, mechanical properties, as reprinted"

    assert Figure(
        one(proof), "stress under proof load, ISO 898-1", source, Known.READ
    ) == proof_stress(bolt, name)  # fmt: skip
    assert Figure(
        one(tensile), "minimum tensile strength, ISO 898-1", source, Known.READ
    ) == tensile_strength(bolt, name)  # fmt: skip


@pytest.mark.parametrize("grade, thread, proof, tensile", SAE)
def test_sae_grades(grade: str, thread: str, proof: str, tensile: str) -> None:
    """Grades 2, 5 and 8 have the stresses of the chart for their sizes."""
    bolt, name = parse_thread(thread), parse_property_class(grade)
    source = "bolt grade chart of a fastener seller (SAE J429)"

    assert Figure(
        one(f"{proof} psi"), "stress under proof load, SAE J429", source, Known.READ
    ) == proof_stress(bolt, name)  # fmt: skip
    assert Figure(
        one(f"{tensile} psi"), "minimum tensile strength, SAE J429", source, Known.READ
    ) == tensile_strength(bolt, name)  # fmt: skip


@pytest.mark.parametrize(
    "thread, name",
    [
        ("M8", "grade 5"), ("1/4 UNC", "8.8"), ("M8", "8"), ("M8", "14.9"), ("M8", "6.9"), ("M8", "3.6"),
        ("No. 10 UNF", "grade 5"), ("1/4 UNC", "grade 1"), ("1/4 UNC", "grade 8.2"), ("1/4 BSW", "8.8"),
        ("2 BA", "8.8"), ("M8x0.9", "8.8"), ("M11", "8.8"), ("M39", "8.8"),
    ],
)  # fmt: skip
def test_what_is_in_no_table(thread: str, name: str) -> None:
    """A class of the other system, a nut's, an unknown one or an unknown thread: no figure, never a guess."""
    asked = (proof_stress, tensile_strength, proof_load, ultimate_load)

    assert [None] * 4 == [ask(parse_thread(thread), parse_property_class(name)) for ask in asked]


def test_where_a_load_comes_from() -> None:
    """A load says what was multiplied, and both sources."""
    assert Figure(
        one("70000 N"),
        "830 MPa × 84.3 mm²",
        "ISO 898-1, mechanical properties, as reprinted;"
        " ISO 898-1, coarse thread, as reprinted by a fastener distributor",
        Known.DERIVED,
    ) == proof_load(parse_thread("M12"), parse_property_class("10.9"))


def test_examples_in_the_docstring() -> None:
    """The examples that the module shows are true."""
    results = doctest.testmod(strength)

    assert 0 == results.failed
    assert results.attempted >= 4
