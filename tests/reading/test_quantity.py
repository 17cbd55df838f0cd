"""Quantities, ranges and printed pairs: what is read, what is refused in which words, the exact factors."""

from __future__ import annotations

import doctest
import pickle
from fractions import Fraction

import pytest
from greaseproof.reading import quantity
from greaseproof.reading.quantity import (
    BadQuantity,
    Kind,
    Pair,
    Quantity,
    Range,
    agrees,
    from_si,
    one,
    parse,
    unit_named,
    units_of,
)
from hypothesis import given, strategies as st

# ---------------------------------------------------------------------------------------- reading


@pytest.mark.parametrize(
    "typed, kind, canonical",
    [
        *((f"45{typed}", "torque", "45 N·m") for typed in (" Nm", "Nm", " N.m", " N m", " N-m", " nm")),
        *(
            (f"33 {typed}", "torque", "33 lbf·ft")
            for typed in ("lb-ft", "ft-lb", "lbf ft", "lb ft", "ft lbf", "ft.lbs", "lbf·ft", "LB-FT")
        ),
        ("120 in-lb", "torque", "120 lbf·in"),
        ("4.5 kgf.m", "torque", "4.5 kgf·m"),
        ("4.5 kg-m", "torque", "4.5 kgf·m"),
        ("85 kgf·cm", "torque", "85 kgf·cm"),
        ("90 deg", "angle", "90°"),
        ("90 °", "angle", "90°"),
        ("1/4 turn", "angle", "1/4 turn"),
        ("2 turns", "angle", "2 turns"),
        ('1/2"', "length", "1/2 in"),
        ("1 1/2 in", "length", "1 1/2 in"),
        ("1-1/2 in.", "length", "1 1/2 in"),
        ("1½″", "length", "1 1/2 in"),
        ("4/8 inch", "length", "1/2 in"),
        ("4/2 in", "length", "2 in"),
        ("15 thou", "length", "15 thou"),
        ("0.010 in", "length", "0.010 in"),
        ("5 ft 6 1/2 in", "length", "5 ft 6 1/2 in"),
        ("6' 3\"", "length", "6 ft 3 in"),
        ("8.5 l", "volume", "8.5 L"),
        ("8.5 litres", "volume", "8.5 L"),
        ("500 mL", "volume", "500 ml"),
        ("3 imperial pints", "volume", "3 UK pt"),
        ("3 US pts", "volume", "3 US pt"),
        ("1/2 UK gallon", "volume", "1/2 UK gal"),
        ("2 US fl. oz.", "volume", "2 US fl oz"),
        ("9.5 kg", "mass", "9.5 kg"),
        ("12 OZ", "mass", "12 oz"),
        ("2 UK tons", "mass", "2 UK tons"),
        ("32 lb/in²", "pressure", "32 psi"),
        ("2.1 kg/cm2", "pressure", "2.1 kgf/cm²"),
        ("1 h 20 min", "time", "1 h 20 min"),
        ("1 hr 20 mins", "time", "1 h 20 min"),
        ("80 min", "time", "80 min"),
        ("1 day", "time", "1 day"),
        ("3 days", "time", "3 days"),
        ("500 miles", "distance run", "500 miles"),
        ("1 mile", "distance run", "1 mile"),
        ("10000 km", "distance run", "10000 km"),
        ("-10 degC", "temperature", "-10 °C"),
        ("80 C", "temperature", "80 °C"),
        ("180 °F", "temperature", "180 °F"),
        ("12.60 V", "voltage", "12.60 V"),
        ("60 Ah", "battery capacity", "60 Ah"),
        ("21 kW", "power", "21 kW"),
        ("1500 rev/min", "speed of rotation", "1500 rpm"),
        ("50%", "percentage", "50 %"),
        ("4", "count", "4"),
        ("1.26", "plain number", "1.26"),
        ("45-55 Nm", "torque", "45..55 N·m"),
        ("45 - 55 N·m", "torque", "45..55 N·m"),
        ("45–55 N·m", "torque", "45..55 N·m"),
        ("45 to 55 N·m", "torque", "45..55 N·m"),
        ("45 lb-ft - 55 lb-ft", "torque", "45..55 lbf·ft"),
        ("1-1/2 - 2 in", "length", "1 1/2..2 in"),
        ("1/2-3/4 in", "length", "1/2..3/4 in"),
        ("-10 - 40 °C", "temperature", "-10..40 °C"),
        ("45 min..2 h", "time", "45 min..2 h"),
        ("45 min to 1 h 20 min", "time", "45 min..1 h 20 min"),
        ("5 to 6 UK pints", "volume", "5..6 UK pt"),
        ("80..90 deg", "angle", "80..90°"),
        ("20-25 lb-ft (27-34 Nm)", "torque", "20..25 lbf·ft (27..34 N·m)"),
        ("75 lbf.ft (102 N.m)", "torque", "75 lbf·ft (102 N·m)"),
    ],
)
def test_typed_forms_are_read_and_written_canonically(typed: str, kind: str, canonical: str) -> None:
    """What is easily typed is read; `str` gives the one canonical writing; what was typed is kept."""
    value = parse(typed, kind)

    assert canonical == str(value)
    assert typed == value.text
    assert value == parse(canonical, kind)


@pytest.mark.parametrize(
    "typed, kind, wrong, mend",
    [
        (
            "0,5 mm", "length", "`0,5 mm` has a comma in the number",
            "write `0.5 mm`, with a point for decimals",
        ),
        (
            "1,500 rpm", "speed of rotation", "`1,500 rpm` has a comma in the number",
            "write `1500 rpm` for thousands, or `1.500 rpm` with a point for decimals",
        ),
        ("1 500 rpm", "speed of rotation", "`1 500 rpm` has a space in the number", "write `1500 rpm`"),
        ("45 kg", "torque", "`45 kg` is a mass, not a torque", "write it in N·m, lbf·ft, lbf·in or kgf·m"),
        (
            "45 lb", "torque", "`45 lb` is a mass, not a torque",
            "write `lbf·ft` or `lbf·in`: a torque is force times length",
        ),
        (
            "45 ft/lb", "torque", "`45 ft/lb` has the unknown unit `ft/lb`",
            "write `lbf·ft` or `lbf·in`: a torque is force times length",
        ),
        (
            "45 J", "torque", "`45 J` has the unknown unit `J`",
            "write `N·m`: a torque is force times length, and a joule is energy",
        ),
        (
            "45 Nmm", "torque", "`45 Nmm` has the unknown unit `Nmm`",
            "write it in N·m, lbf·ft, lbf·in or kgf·m (nearest to `Nmm`: N·m)",
        ),
        ("45", "torque", "`45` has no unit", "write it in N·m, lbf·ft, lbf·in or kgf·m"),
        ("20..45", "torque", "`20..45` has no unit", "write it in N·m, lbf·ft, lbf·in or kgf·m"),
        ("5 m", "time", "`5 m` is a length, not a time", "write `min` for minutes"),
        ("80 deg", "temperature", "`80 deg` is an angle, not a temperature", "write `°C` or `°F`"),
        (
            "3 pints", "volume", "`3 pints` does not say UK or US",
            "write `UK pt` (0.5683 L) or `US pt` (0.4732 L) for `pints`",
        ),
        (
            "5 gal", "volume", "`5 gal` does not say UK or US",
            "write `UK gal` (4.546 L) or `US gal` (3.785 L) for `gal`",
        ),
        (
            "2 tons", "mass", "`2 tons` does not say UK or US",
            "write `UK ton` (1016 kg) or `US ton` (907.2 kg) for `tons`",
        ),
        ("3 pints", "mass", "`3 pints` is a volume, not a mass", "write it in kg, g, t or lb"),
        (
            "-5 mm", "length", "`-5 mm` is negative, which a length cannot be here",
            "write it without the minus sign",
        ),
        (
            "-300 °C", "temperature", "`-300 °C` is below absolute zero (-273.15 °C)",
            "write the temperature as read",
        ),
        ("4.5", "count", "`4.5` is not a whole number", "write a whole number, such as `4`"),
        ("110..20 N·m", "torque", "`110..20 N·m` runs downwards", "write `20..110 N·m`"),
        ("..45 N·m", "torque", "`..45 N·m` is a range with one end", "write both ends, as in `40..50 N·m`"),
        ("45 N·m..", "torque", "`45 N·m..` is a range with one end", "write both ends, as in `40..50 N·m`"),
        (
            "45 ± 5 N·m", "torque", "`45 ± 5 N·m` gives a tolerance",
            "write the least and the most, as in `40..50 N·m`",
        ),
        (".5 mm", "length", "`.5 mm` has nothing before the point", "write `0.5 mm`"),
        ("1 5/4 in", "length", "`1 5/4 in` has 5/4 after a whole number", "write a fraction less than one"),
        ("1/0 in", "length", "`1/0 in` is not a length", "write a number and its unit, such as `13 mm`"),
        ("1 h 80 min", "time", "`1 h 80 min` has 80 min after the h", "carry over each whole h"),
        (
            "1 h 5 s", "time", "`1 h 5 s` joins units that do not follow each other",
            "write it in one unit, or as in `1 h 20 min`",
        ),
        ("tight", "torque", "`tight` is not a torque", "write a number and its unit, such as `45 N·m`"),
        ("", "torque", "there is no value", "write one, such as `45 N·m`"),
        (
            "20 lb-ft / 27 Nm", "torque", "`20 lb-ft / 27 Nm` is two values",
            "write the second in brackets, as in `20 lbf·ft (27 N·m)`, or leave it out",
        ),
        (
            "45 N·m (dry)", "torque", "`45 N·m (dry)` has something else than a second unit in brackets",
            "keep in the brackets only the same value in another unit, or leave them out",
        ),
        (
            "20 lbf·ft (27 kg)", "torque", "`20 lbf·ft (27 kg)` is a mass, not a torque",
            "write it in N·m, lbf·ft, lbf·in or kgf·m",
        ),
        (
            "20 N·m (27 N·m)", "torque", "`20 N·m (27 N·m)` gives two values in one unit",
            "keep the one that is right",
        ),
        ("1h20", "time", "`1h20` is not a time", "write a number and its unit, such as `1 h 20 min`"),
        (
            "20..25 lbf·ft (27 N·m)", "torque",
            "`20..25 lbf·ft (27 N·m)` is a range on one side and a single value on the other",
            "write both sides alike",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_a_mend(typed: str, kind: str, wrong: str, mend: str) -> None:
    """A text that is not the quantity wanted raises `BadQuantity` with both texts in full."""
    with pytest.raises(BadQuantity) as bad:
        parse(typed, kind)

    assert (wrong, mend) == (bad.value.wrong, bad.value.mend)
    assert f"{wrong}; {mend}" == str(bad.value)


@given(st.text(alphabet="0123456789./-–, ()±=NmlbftinkgCF°\"'½²hoursto", max_size=24), st.sampled_from(Kind))
def test_no_text_raises_anything_else(text: str, kind: Kind) -> None:
    """Whatever is typed is read so that its writing reads back equal, or is refused as a bad quantity."""
    try:
        value = parse(text, kind)
    except BadQuantity as bad:
        refused = bad
    else:
        assert value == parse(str(value), kind)
        return
    assert refused.wrong
    assert refused.mend


def test_one_of_several_kinds() -> None:
    """A stage of tightening is a torque or an angle; a mass is neither."""
    stages = [parse(text, ("torque", "angle")).kind for text in ("40 N·m", "90 deg")]

    assert [Kind.TORQUE, Kind.ANGLE] == stages
    with pytest.raises(BadQuantity) as bad:
        parse("5 kg", ("torque", "angle"))
    assert "`5 kg` is a mass, not a torque or an angle; write it in N·m, lbf·ft, ° or turn" == str(bad.value)


def test_signed_readings() -> None:
    """A vacuum or a fit may be negative where the caller says so; a mass never."""
    assert Fraction(-50000) == parse("-0.5 bar", "pressure", signed=True).low.si
    with pytest.raises(BadQuantity):
        parse("-1 kg", "mass", signed=True)


def test_a_single_value_is_wanted() -> None:
    """`one` refuses a range and a pair."""
    with pytest.raises(BadQuantity) as a_range:
        one("9..10 kg", "mass")
    with pytest.raises(BadQuantity) as a_pair:
        one("9 kg (20 lb)", "mass")

    assert "`9..10 kg` is a range, and a single value belongs here" == a_range.value.wrong
    assert "`9 kg (20 lb)` is a value printed in two units, and a single value belongs here" == (
        a_pair.value.wrong
    )
    assert "write one value, such as `9 kg`" == a_range.value.mend == a_pair.value.mend


def test_a_known_text_is_a_look_up() -> None:
    """The same text gives the same object, so that a thousand files that repeat it cost nothing."""
    assert parse("45 N·m", "torque") is parse("45 N·m", "torque")


def test_values_can_be_kept_and_sent() -> None:
    """Values survive pickling with what was written, and cannot be changed."""
    for text in ("45 Nm", "45-55 Nm", "20 lb-ft (27 Nm)"):
        value = parse(text, "torque")
        again = pickle.loads(pickle.dumps(value))

        assert (value, text) == (again, again.text)
        assert 1 == len({value, again})
        with pytest.raises(AttributeError):
            value.text = "40 N·m"  # type: ignore[misc]


def test_a_number_that_cannot_be_written_is_misuse() -> None:
    """`places` must be able to write the number: 1/3 has no decimals, 1.5 is not whole."""
    for number in (Fraction(1, 3), Fraction(3, 2)):
        with pytest.raises(ValueError, match="cannot be written with places=0"):
            Quantity(Kind.MASS, number, "kg", 0)


# ------------------------------------------------------------------------------------- round trip


def decimals(least: int = 0) -> st.SearchStrategy[tuple[Fraction, int | None]]:
    return st.tuples(st.integers(least, 10**7), st.integers(0, 4)).map(
        lambda drawn: (Fraction(drawn[0], 10 ** drawn[1]), drawn[1])
    )


def fractions() -> st.SearchStrategy[tuple[Fraction, int | None]]:
    parts = st.builds(lambda n, d: Fraction(n, 2**d), st.integers(1, 999), st.integers(1, 6))
    return parts.filter(lambda n: n.denominator > 1).map(lambda n: (n, None))


#: Units that may follow larger ones.
LARGER = {"min": ("day", "h"), "s": ("min",), "in": ("ft",), "oz": ("lb",)}


@st.composite
def quantities(draw: st.DrawFn) -> Quantity:
    kind = draw(st.sampled_from([kind for kind in Kind if kind is not Kind.COUNT]))
    unit = draw(st.sampled_from(units_of(kind)))
    number, places = draw(decimals() | fractions())
    larger: tuple[str, ...] = ()
    if unit.name in LARGER and draw(st.booleans()):
        larger = LARGER[unit.name]
    return Quantity(kind, number, unit.name, places, larger)


@given(quantities())
def test_what_is_written_reads_back_equal(value: Quantity) -> None:
    """Any quantity, written canonically and read again, is the same."""
    assert value == parse(str(value), value.kind)


@given(quantities(), st.integers(1, 10**6), st.data())
def test_ranges_and_pairs_read_back_equal(value: Quantity, more: int, data: st.DataObject) -> None:
    """So is any range and any printed pair."""
    above = Quantity(value.kind, Fraction(int(value.number) + more), value.unit, 0, value.larger)
    others = [unit.name for unit in units_of(value.kind) if unit.name not in (value.unit, *value.larger)]
    values: list[Range | Pair] = [Range(value, above)]
    if others:
        values.append(Pair(value, value.converted(data.draw(st.sampled_from(others)))))

    assert values == [parse(str(each), value.kind) for each in values]


@given(quantities(), st.data())
def test_conversion_is_exact(value: Quantity, data: st.DataObject) -> None:
    """To any unit of its kind and back gives the same number, with nothing lost."""
    unit = data.draw(st.sampled_from(units_of(value.kind))).name
    there = value.to(unit)

    row = unit_named(unit, value.kind)
    assert value.si == row.to_si(there)
    assert value.number == value.to(value.unit)


@given(quantities(), st.data())
def test_what_is_shown_in_two_units_agrees(value: Quantity, data: st.DataObject) -> None:
    """A twin that the toolkit computed never disagrees with its first."""
    units = [unit.name for unit in units_of(value.kind) if unit.name != value.unit]
    if units:
        twin = value.converted(data.draw(st.sampled_from(units)))
        assert agrees(Pair(value, twin))


# --------------------------------------------------------------------------------------- factors

#: Exact by definition, as in the unit definitions of Pint (pint/default_en.txt, commit 6fc05335).
EXACT = [
    ("lbf·ft", "N·m", "1.3558179483314004"),
    ("lbf·in", "N·m", "0.1129848290276167"),
    ("ozf·in", "N·m", "0.00706155181422604375"),
    ("kgf·m", "N·m", "9.80665"),
    ("kgf·cm", "N·m", "0.0980665"),
    ("lbf", "N", "4.4482216152605"),
    ("kgf", "N", "9.80665"),
    ("bar", "kPa", "100"),
    ("kgf/cm²", "kPa", "98.0665"),
    ("kgf/cm²", "bar", "0.980665"),
    ("in", "mm", "25.4"),
    ("ft", "mm", "304.8"),
    ("thou", "mm", "0.0254"),
    ("mile", "km", "1.609344"),
    ("in²", "mm²", "645.16"),
    ("in³", "cm³", "16.387064"),
    ("US gal", "L", "3.785411784"),
    ("UK gal", "L", "4.54609"),
    ("UK pt", "L", "0.56826125"),
    ("US pt", "L", "0.473176473"),
    ("UK qt", "L", "1.1365225"),
    ("US qt", "L", "0.946352946"),
    ("UK fl oz", "ml", "28.4130625"),
    ("US fl oz", "ml", "29.5735295625"),
    ("lb", "kg", "0.45359237"),
    ("oz", "g", "28.349523125"),
    ("hp", "W", "745.69987158227022"),
    ("PS", "W", "735.49875"),
    ("mph", "km/h", "1.609344"),
]

#: Ratios printed to twelve figures, from the same definitions.
TO_TWELVE_FIGURES = [
    ("N·m", "lbf·ft", "0.737562149277"),
    ("N·m", "lbf·in", "8.85074579133"),
    ("kgf·m", "lbf·ft", "7.23301385121"),
    ("psi", "kPa", "6.89475729317"),
    ("psi", "bar", "0.0689475729317"),
    ("bar", "psi", "14.5037737730"),
    ("UK gal", "US gal", "1.20094992550"),
]

#: As printed: NAVFAC manual, conversion table (lbf·in, lbf, US fl oz); a conversion table of the trade (psi).
PRINTED = [
    ("lbf·in", "N·m", "0.112985"),
    ("lbf", "N", "4.44822"),
    ("US fl oz", "ml", "29.5735"),
    ("psi", "kPa", "6.894757"),
]


@pytest.mark.parametrize("unit, to, factor", EXACT)
def test_exact_factors(unit: str, to: str, factor: str) -> None:
    """One of a unit in another is exactly the published number."""
    assert Fraction(factor) == parse(f"1 {unit}").low.to(to)


@pytest.mark.parametrize("unit, to, factor", TO_TWELVE_FIGURES + PRINTED)
def test_rounded_factors(unit: str, to: str, factor: str) -> None:
    """Rounded to the figures that are printed, it is the published number."""
    places = len(factor.partition(".")[2])

    assert Fraction(factor) == round(parse(f"1 {unit}").low.to(to), places)


@pytest.mark.parametrize(
    "fahrenheit, celsius",
    # C = (F - 32) × 5/9, as in the unit definitions of Pint (pint/default_en.txt, commit 6fc05335).
    [
        ("-40", "-40.00"), ("0", "-17.78"), ("32", "0.00"), ("68", "20.00"), ("80", "26.67"),
        ("100", "37.78"), ("180", "82.22"), ("212", "100.00"), ("400", "204.44"),
    ],
)  # fmt: skip
def test_temperatures(fahrenheit: str, celsius: str) -> None:
    """Degrees Fahrenheit in degrees Celsius, to a hundredth."""
    assert Fraction(celsius) == round(one(f"{fahrenheit} °F", "temperature").to("°C"), 2)


def test_no_two_units_of_a_kind_are_one() -> None:
    """Only units that are the same by definition share a factor: ml and cm³."""
    alike = [
        (a.name, b.name)
        for kind in Kind
        for a in units_of(kind)
        for b in units_of(kind)
        if a.name < b.name and (a.factor, a.shift) == (b.factor, b.shift)
    ]

    assert [("cm³", "ml")] == alike


def test_a_unit_alone() -> None:
    """A supply says only its unit; one that is unknown or does not say UK or US is refused."""
    assert ("L", "") == (unit_named("litres", Kind.VOLUME).name, unit_named("each", Kind.COUNT).name)
    with pytest.raises(BadQuantity) as bad:
        unit_named("pint", Kind.VOLUME)
    assert "`pint` does not say UK or US" == bad.value.wrong
    with pytest.raises(BadQuantity) as bad:
        unit_named("liter-ish", Kind.VOLUME)
    assert "`liter-ish` is no unit" == bad.value.wrong


# ----------------------------------------------------------------------------------------- pairs


@pytest.mark.parametrize(
    "pair, expected",
    [
        # US Army TM 10-6640-238-13, table G-1.
        ("75 lbf·ft (102 N·m)", True),
        # US Army TM 9-2320-362-14&P, torque appendix.
        ("185 lbf·ft (251 N·m)", True),
        # US Army TM 9-2320-280-20-2.
        ("96-144 lbf·in (11-16 N·m)", True),
        # US Army TM 9-2320-361-20 and TM 9-2320-361-24-1.
        ("30 psi (207 kPa)", True),
        # US Army TM 10-4320-307-24.
        ("30 psi (2.11 kgf/cm²)", True),
        # Made up, by the factors above.
        ("80 °F (27 °C)", True),
        ("50 lbf·ft (68 N·m)", True),
        ("50 lbf·ft (70 N·m)", True),
        ("10 kgf·m (98 N·m)", True),
        ("32 psi (2.2 bar)", True),
        # A number copied, its unit changed.
        ("50 lbf·ft (50 N·m)", False),
        ("2 lbf·ft (2 N·m)", False),
        # One unit taken for another.
        ("50 lbf·ft (5.6 N·m)", False),
        ("120 lbf·in (163 N·m)", False),
        ("10 kgf·m (10 N·m)", False),
        # A decimal point.
        ("32 psi (22 bar)", False),
        # Both rounded from 4.5 kgf·m.
        ("44 N·m (33 lbf·ft)", True),
        # One figure, rightly rounded, and not.
        ("6 N·m (4 lbf·ft)", True),
        ("5 lbf·ft (6 N·m)", False),
        # A fraction is exact.
        ("1/2 in (12.7 mm)", True),
        ("9/16 in (14 mm)", True),
        ("1/2 in (12 mm)", False),
        # Rounded to fives: 8 to 11 % off, as in US Army TM 10-4320-307-24.
        ("50 lbf·ft (75 N·m)", False),
        # Only one end of a range is wrong.
        ("20..25 lbf·ft (27..34 N·m)", True),
        ("20..25 lbf·ft (27..43 N·m)", False),
        ("0 °C (32 °F)", True),
        ("500 miles (800 km)", True),
    ],
)
def test_pairs(pair: str, expected: bool) -> None:
    """A printed pair agrees as far as its figures allow, and a copied number or wrong unit never does."""
    value = parse(pair)

    assert isinstance(value, Pair)
    assert expected is agrees(value)


def test_what_figures_stand_for() -> None:
    """Half of the last figure; more for fives and tens, up to 2.5 %; a fraction is exact."""
    expected = {
        "44 kg": (Fraction("43.5"), Fraction("44.5")),
        "45 kg": (Fraction("43.875"), Fraction("46.125")),
        "200 kg": (Fraction(195), Fraction(205)),
        "2.20 kg": (Fraction("2.195"), Fraction("2.205")),
        "1/2 kg": (Fraction(1, 2), Fraction(1, 2)),
    }
    assert expected == {text: parse(text, "mass").low.about() for text in expected}


# --------------------------------------------------------------------------------------- showing


@pytest.mark.parametrize(
    "text, unit, shown",
    [
        ("45 N·m", "lbf·ft", "33 lbf·ft"),
        ("10 N·m", "lbf·ft", "7.4 lbf·ft"),
        ("100 N·m", "lbf·ft", "74 lbf·ft"),
        ("250 N·m", "lbf·ft", "184 lbf·ft"),
        ("50 lbf·ft", "N·m", "68 N·m"),
        ("20..110 N·m", "lbf·ft", "15..81 lbf·ft"),
        ("30 psi", "kPa", "207 kPa"),
        ("2.2 bar", "psi", "32 psi"),
        ("1180 kg", "lb", "2600 lb"),
        ("500 miles", "km", "805 km"),
        ("1/2 in", "mm", "12.7 mm"),
        ("9/16 in", "mm", "14.3 mm"),
        ("0.015 in", "mm", "0.38 mm"),
        ("57.15 mm", "in", "2.250 in"),
        ("8.5 L", "UK pt", "15.0 UK pt"),
        ("80 °F", "°C", "27 °C"),
        ("1 h 20 min", "min", "80 min"),
        ("0 mm", "in", "0 in"),
        ("45 Nm", "N·m", "45 N·m"),
        ("20..25 lbf·ft (27..34 N·m)", "N·m", "27..34 N·m"),
        ("20..25 lbf·ft (27..34 N·m)", "kgf·m", "2.8..3.5 kgf·m"),
    ],
)
def test_shown_without_false_precision(text: str, unit: str, shown: str) -> None:
    """In another unit a value keeps as many figures as it had, as near as tens allow."""
    assert shown == parse(text).show(unit)


def test_shown_in_two_units() -> None:
    """The first unit leads, the others follow in brackets; without any it is shown as written."""
    assert "45 N·m (33 lbf·ft, 4.6 kgf·m)" == parse("45 Nm").show("N·m", "lbf·ft", "kgf·m")
    assert ["45 N·m", "45..55 N·m", "45 N·m (33 lbf·ft)"] == [
        parse(text).show() for text in ("45 Nm", "45-55 Nm", "45 Nm (33 ft-lb)")
    ]


def test_from_si_rounds_half_to_even() -> None:
    """A computed value is rounded to the decimals asked for, or to tens."""
    computed = (("2.5", 0), ("3.5", 0), ("45", -1))
    values = [from_si(Kind.MASS, Fraction(number), "kg", places) for number, places in computed]

    assert ["2 kg", "4 kg", "40 kg"] == [str(value) for value in values]


def test_covers() -> None:
    """A range covers what lies within it, ends included, in any unit of the kind."""
    wrench = parse("20..110 N·m", "torque")
    assert isinstance(wrench, Range)

    inside = ["20 N·m", "110 N·m", "45..55 N·m", "33 lbf·ft", "60 lbf·ft (81 N·m)"]
    outside = ["19.9 N·m", "15..30 N·m", "82 lbf·ft", "100..120 N·m"]
    assert [True] * 5 == [wrench.covers(parse(text, "torque")) for text in inside]
    assert [False] * 4 == [wrench.covers(parse(text, "torque")) for text in outside]
    with pytest.raises(ValueError, match="not of one kind"):
        wrench.covers(parse("20 kg", "mass"))


def test_examples_in_the_docstrings() -> None:
    """The examples that the module shows are true."""
    results = doctest.testmod(quantity)

    assert 0 == results.failed
    assert results.attempted >= 5
