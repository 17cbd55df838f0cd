"""The units of the trade: a closed and exact table for each kind of quantity, with all that may be typed.

Sources of the factors: the yard of 0.9144 m and the pound of 0.45359237 kg (international yard and pound
agreement, 1959), standard gravity 9.80665 m/s² (3rd CGPM, 1901), the gallons of 4.54609 L (UK) and 231 in³
(US), the conventional millimetre of mercury 13.5951 × 9.80665 Pa. The others follow by definition.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

__all__ = [
    "WITHOUT_UNIT",
    "BadQuantity",
    "Kind",
    "Unit",
    "any_of",
    "bad_unit",
    "example",
    "found",
    "table_row",
    "unit_named",
    "units_of",
    "with_article",
]


class BadQuantity(ValueError):  # noqa: N818  it is the author's text that is bad
    """A text that is not the quantity it should be: `wrong` says why, `mend` orders how to put it right."""

    def __init__(self, wrong: str, mend: str) -> None:
        super().__init__(wrong, mend)
        self.wrong = wrong
        self.mend = mend

    def __str__(self) -> str:
        return f"{self.wrong}; {self.mend}"


class Kind(StrEnum):
    """What is measured. Kinds never mix: a torque is not an energy, a mass is not a force."""

    TORQUE = "torque"
    ANGLE = "angle"
    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    MASS = "mass"
    FORCE = "force"
    PRESSURE = "pressure"
    TIME = "time"
    DISTANCE = "distance run"
    SPEED = "speed"
    ROTATION = "speed of rotation"
    TEMPERATURE = "temperature"
    VOLTAGE = "voltage"
    CURRENT = "current"
    CHARGE = "battery capacity"
    RESISTANCE = "resistance"
    POWER = "power"
    PERCENT = "percentage"
    COUNT = "count"
    NUMBER = "plain number"


#: Kinds that are written without a unit.
WITHOUT_UNIT = (Kind.COUNT, Kind.NUMBER)


@dataclass(frozen=True, slots=True)
class Unit:
    """One row of the table: si value = (number + shift) × factor.

    The base of each kind is its SI unit, but degrees for angles, revolutions a minute for speeds of
    rotation and metres for distances run, so that every factor is exact.
    """

    name: str
    kind: Kind
    factor: Fraction
    shift: Fraction = Fraction(0)
    #: The name after any number but 1 and fractions below it; symbols never change.
    plural: str = ""

    def after(self, number: Fraction) -> str:
        """Give the unit as it stands behind `number`, with the space before it."""
        if self.name in ("", "°"):
            return self.name
        return " " + (self.plural if self.plural and not 0 < abs(number) <= 1 else self.name)

    def to_si(self, number: Fraction) -> Fraction:
        """Give the value in the base unit of the kind."""
        return (number + self.shift) * self.factor

    def from_si(self, si: Fraction) -> Fraction:
        """Give the number in this unit."""
        return si / self.factor - self.shift


# ---------------------------------------------------------------------------------------------- the table

_INCH = Fraction(127, 5000)
_POUND = Fraction("0.45359237")
_GRAVITY = Fraction("9.80665")
_LBF = _POUND * _GRAVITY
_UK_GALLON = Fraction("0.00454609")
_US_GALLON = 231 * _INCH**3
_MERCURY = Fraction("13.5951") * _GRAVITY

#: Names that stand for one measure in the UK and for another in the US: (typed, symbol, UK, US, kind).
_OF_TWO_COUNTRIES: tuple[tuple[str, str, Fraction, Fraction, Kind], ...] = (
    ("gal gals gallon gallons", "gal", _UK_GALLON, _US_GALLON, Kind.VOLUME),
    ("qt qts quart quarts", "qt", _UK_GALLON / 4, _US_GALLON / 4, Kind.VOLUME),
    ("pt pts pint pints", "pt", _UK_GALLON / 8, _US_GALLON / 8, Kind.VOLUME),
    ("fl·oz floz fluid·ounce fluid·ounces", "fl oz", _UK_GALLON / 160, _US_GALLON / 128, Kind.VOLUME),
    ("cwt hundredweight hundredweights", "cwt", 112 * _POUND, 100 * _POUND, Kind.MASS),
    ("ton tons", "ton", 2240 * _POUND, 2000 * _POUND, Kind.MASS),
)


def _torques(forces: str, arm: str) -> str:
    """Give the ways of typing a force times an arm: `lb-ft`, `ft lb`, `ftlb` ..."""
    return " ".join(f"{force}·{arm} {arm}·{force} {force}{arm} {arm}{force}" for force in forces.split())


#: (name, plural, factor, what else may be typed); separators in what is typed are all written `·` here.
_TABLE: dict[Kind, tuple[tuple[str, str, Fraction | int, str], ...]] = {
    Kind.TORQUE: (
        ("N·m", "", 1, "Nm m·N newton·metre newton·metres"),
        ("lbf·ft", "", 12 * _LBF * _INCH, _torques("lbf lb lbs", "ft") + " pound·feet foot·pounds"),
        ("lbf·in", "", _LBF * _INCH, _torques("lbf lb lbs", "in") + " pound·inches inch·pounds"),
        ("kgf·m", "", _GRAVITY, _torques("kgf kg kp", "m")),
        ("kgf·cm", "", _GRAVITY / 100, _torques("kgf kg kp", "cm")),
        ("ozf·in", "", _LBF * _INCH / 16, _torques("ozf oz", "in")),
        ("cN·m", "", Fraction(1, 100), "cNm"),
        ("kN·m", "", 1000, "kNm"),
    ),
    Kind.ANGLE: (
        ("°", "", 1, "deg degs degree degrees"),
        ("turn", "turns", 360, "rev revs revolution revolutions"),
    ),
    Kind.LENGTH: (
        ("mm", "", Fraction(1, 1000), "millimetre millimetres millimeter millimeters"),
        ("cm", "", Fraction(1, 100), "centimetre centimetres"),
        ("m", "", 1, "metre metres meter meters"),
        ("in", "", _INCH, "\" '' ins inch inches"),
        ("ft", "", 12 * _INCH, "' foot feet"),
        ("thou", "", _INCH / 1000, "thous mil mils"),
        ("µm", "", Fraction(1, 10**6), "um micron microns"),
        ("yd", "", 36 * _INCH, "yds yard yards"),
    ),
    Kind.AREA: (
        ("mm²", "", Fraction(1, 10**6), "mm2 sq·mm"),
        ("cm²", "", Fraction(1, 10**4), "cm2 sq·cm"),
        ("m²", "", 1, "m2 sq·m"),
        ("in²", "", _INCH**2, "in2 sq·in"),
        ("ft²", "", (12 * _INCH) ** 2, "ft2 sq·ft"),
    ),
    Kind.VOLUME: (
        ("L", "", Fraction(1, 1000), "l litre litres liter liters ltr"),
        ("ml", "", Fraction(1, 10**6), "mL millilitre millilitres"),
        ("cm³", "", Fraction(1, 10**6), "cm3 cc"),
        ("in³", "", _INCH**3, "in3 cu·in"),
        ("m³", "", 1, "m3"),
    ),
    Kind.MASS: (
        ("kg", "", 1, "kgs kilo kilos kilogram kilograms"),
        ("g", "", Fraction(1, 1000), "gram grams gramme grammes"),
        ("t", "", 1000, "tonne tonnes"),
        ("lb", "", _POUND, "lbs pound pounds"),
        ("oz", "", _POUND / 16, "ounce ounces"),
    ),
    Kind.FORCE: (
        ("N", "", 1, "newton newtons"),
        ("kN", "", 1000, ""),
        ("kgf", "", _GRAVITY, "kp"),
        ("lbf", "", _LBF, ""),
    ),
    Kind.PRESSURE: (
        ("bar", "", 10**5, "bars"),
        ("kPa", "", 1000, ""),
        ("psi", "", _LBF / _INCH**2, "lbf/in2 lb/in2 lbs/in2 lbf/in² lb/in² lb/sq·in lbf/sq·in"),
        ("kgf/cm²", "", _GRAVITY * 10**4, "kgf/cm2 kg/cm2 kg/cm² kp/cm2 kp/cm²"),
        ("mbar", "", 100, "millibar millibars"),
        ("MPa", "", 10**6, ""),
        ("Pa", "", 1, ""),
        ("mmHg", "", _MERCURY, "mm·Hg"),
        ("inHg", "", _MERCURY * Fraction("25.4"), 'in·Hg "·Hg'),
    ),
    Kind.TIME: (
        ("h", "", 3600, "hr hrs hour hours"),
        ("min", "", 60, "mins minute minutes"),
        ("s", "", 1, "sec secs second seconds"),
        ("day", "days", 86400, "d"),
        ("week", "weeks", 7 * 86400, "wk wks"),
    ),
    Kind.DISTANCE: (
        ("km", "", 1000, "kms kilometre kilometres kilometer kilometers"),
        ("mile", "miles", 5280 * 12 * _INCH, "mi"),
    ),
    Kind.SPEED: (
        ("km/h", "", Fraction(1000, 3600), "kph kmh km/hr"),
        ("mph", "", 5280 * 12 * _INCH / 3600, "mile/h miles/h mi/h"),
        ("m/s", "", 1, ""),
    ),
    Kind.ROTATION: (("rpm", "", 1, "r/min rev/min revs/min min⁻¹ 1/min"),),
    Kind.TEMPERATURE: (
        ("°C", "", 1, "C °·C deg·C degC celsius deg·celsius"),
        ("°F", "", Fraction(5, 9), "F °·F deg·F degF fahrenheit"),
    ),
    Kind.VOLTAGE: (("V", "", 1, "volt volts"), ("mV", "", Fraction(1, 1000), ""), ("kV", "", 1000, "")),
    Kind.CURRENT: (("A", "", 1, "amp amps ampere amperes"), ("mA", "", Fraction(1, 1000), "")),
    Kind.CHARGE: (("Ah", "", 3600, "A·h amp·hour amp·hours"), ("mAh", "", Fraction(18, 5), "mA·h")),
    Kind.RESISTANCE: (
        ("Ω", "", 1, "ohm ohms"),
        ("kΩ", "", 1000, "kohm kilohm kilohms"),
        ("MΩ", "", 10**6, "megohm megohms"),
        ("mΩ", "", Fraction(1, 1000), "milliohm milliohms"),
    ),
    Kind.POWER: (
        ("W", "", 1, "watt watts"),
        ("kW", "", 1000, "kilowatt kilowatts"),
        ("hp", "", 550 * _LBF * 12 * _INCH, "bhp horsepower"),
        ("PS", "", 75 * _GRAVITY, "metric·hp"),
    ),
    Kind.PERCENT: (("%", "", Fraction(1, 100), "percent per·cent pc"),),
    Kind.COUNT: (("", "", 1, "each"),),
    Kind.NUMBER: (("", "", 1, ""),),
}

#: si = (number + shift) × factor, in kelvin.
_SHIFT = {"°C": Fraction("273.15"), "°F": Fraction("459.67")}

#: A value of each kind as it should be written, for the mend of a text that is none.
_EXAMPLE = {
    Kind.TORQUE: "45 N·m", Kind.ANGLE: "90°", Kind.LENGTH: "13 mm", Kind.AREA: "58 mm²", Kind.VOLUME: "8.5 L",
    Kind.MASS: "9.5 kg", Kind.FORCE: "20 N", Kind.PRESSURE: "2.2 bar", Kind.TIME: "1 h 20 min",
    Kind.DISTANCE: "500 miles", Kind.SPEED: "50 km/h", Kind.ROTATION: "1500 rpm", Kind.TEMPERATURE: "80 °C",
    Kind.VOLTAGE: "12.6 V", Kind.CURRENT: "15 A", Kind.CHARGE: "60 Ah", Kind.RESISTANCE: "1.5 Ω",
    Kind.POWER: "21 kW", Kind.PERCENT: "50 %", Kind.COUNT: "4", Kind.NUMBER: "1.26",
}  # fmt: skip

#: What to do about a unit that people write where it says something else, by what is wanted.
_HINTS: dict[tuple[str, Kind], str] = {
    **{
        (typed, Kind.TORQUE): "write `lbf·ft` or `lbf·in`: a torque is force times length"
        for typed in ("lb", "lbs", "lbf", "lb/ft", "lbs/ft", "lbf/ft", "ft/lb", "lb/in", "in/lb")
    },
    **{
        (typed, Kind.TORQUE): "write `N·m`: a torque is force times length, and a joule is energy"
        for typed in ("N", "J", "N/m", "Nm/s")
    },
    **{(typed, Kind.TEMPERATURE): "write `°C` or `°F`" for typed in ("°", "deg", "degree", "degrees")},
    **{(typed, Kind.PRESSURE): "write `psi`" for typed in ("lb", "lbs", "lbf")},
    **{(typed, Kind.PRESSURE): "write `kgf/cm²`" for typed in ("kg", "kgf")},
    **{(typed, Kind.FORCE): "write `lbf`, `kgf` or `N`" for typed in ("lb", "lbs", "kg")},
    **{(typed, Kind.VOLUME): "write `UK fl oz` or `US fl oz`: `oz` is a mass" for typed in ("oz", "ounces")},
    ("m", Kind.TIME): "write `min` for minutes",
    ("m", Kind.DISTANCE): "write `miles` or `km`",
}

_SEPARATOR = re.compile(r"[\s·⋅•∙*.\-]+")


def _key(text: str) -> str:
    """Give a unit as typed with every separator (space, dot, hyphen) written `·` and none at the ends."""
    return _SEPARATOR.sub("·", text).strip("·")


#: Units by what is typed, then by kind: `km` is a distance run, `m` a length.
_Typed = dict[str, dict[Kind, Unit]]


def _build() -> tuple[dict[tuple[Kind, str], Unit], _Typed, dict[str, tuple[str, str, Kind]]]:
    """Give the units by kind and name, the units by what is typed, and what needs UK or US said."""
    units: dict[tuple[Kind, str], Unit] = {}
    typed: _Typed = {}
    unsaid: dict[str, tuple[str, str, Kind]] = {}

    def add(unit: Unit, spellings: list[str]) -> None:
        units[unit.kind, unit.name] = unit
        for spelling in (_key(unit.name), _key(unit.plural) or _key(unit.name), *spellings):
            if typed.setdefault(spelling, {}).setdefault(unit.kind, unit) is not unit:
                raise AssertionError(f"{spelling} stands for two units of {unit.kind}")

    for kind, rows in _TABLE.items():
        for name, plural, factor, spellings in rows:
            add(Unit(name, kind, Fraction(factor), _SHIFT.get(name, Fraction(0)), plural), spellings.split())
    for spellings, symbol, uk, us, kind in _OF_TWO_COUNTRIES:
        nouns = spellings.split()
        plural = "tons" if symbol == "ton" else ""
        for country, factor, before in (("UK", uk, "UK imp imperial"), ("US", us, "US U·S American")):
            name = f"{country} {symbol}"
            said = [f"{prefix}·{noun}" for prefix in before.split() for noun in nouns]
            add(Unit(name, kind, factor, plural=plural and f"{country} {plural}"), said)
        for noun in nouns:
            unsaid[noun] = (f"UK {symbol}", f"US {symbol}", kind)
    return units, typed, unsaid


_UNITS, _TYPED, _UNSAID = _build()


def _fold() -> _Typed:
    """Give the spellings with case ignored, without those that would then stand for two units of one kind."""
    folded: _Typed = {}
    twofold: set[tuple[str, Kind]] = set()
    for spelling, by_kind in _TYPED.items():
        for kind, unit in by_kind.items():
            if folded.setdefault(spelling.casefold(), {}).setdefault(kind, unit) is not unit:
                twofold.add((spelling.casefold(), kind))
    for spelling, kind in twofold:
        del folded[spelling][kind]
    return folded


_FOLDED = _fold()


def table_row(kind: Kind, name: str) -> Unit:
    """Give the unit of that very name. Raises: KeyError."""
    return _UNITS[kind, name]


def units_of(kind: Kind) -> tuple[Unit, ...]:
    """Give the units of a kind, the usual ones first."""
    return tuple(unit for unit in _UNITS.values() if unit.kind is kind)


def unit_named(text: str, *kinds: Kind) -> Unit:
    """Find a unit by its name or by any way in which it is typed.

    Raises: BadQuantity, if it is unknown, is none of `kinds` (of any kind, if none are given), or does not
    say whether it is the UK's or the US's.
    """
    wanted = kinds or tuple(Kind)
    unit = found(text, wanted)
    if unit is None:
        raise bad_unit("", text, wanted)
    return unit


def found(text: str, wanted: tuple[Kind, ...]) -> Unit | None:
    """Find a unit of one of these kinds by any way in which it is typed; capitals count where they must."""
    key = _key(text)
    for by_kind in (_TYPED.get(key, {}), _FOLDED.get(key.casefold(), {})):
        for kind in wanted:
            if kind in by_kind:
                return by_kind[kind]
    return None


# ----------------------------------------------------------------------------------------- what is wrong


def with_article(kind: Kind) -> str:
    """Give `a torque`, `an angle`."""
    return f"an {kind}" if kind in (Kind.ANGLE, Kind.AREA) else f"a {kind}"


def example(kind: Kind) -> str:
    """Give a value of the kind as it should be written."""
    return _EXAMPLE[kind]


def any_of(words: list[str]) -> str:
    """Give `a, b or c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def bad_unit(text: str, typed: str, wanted: tuple[Kind, ...]) -> BadQuantity:
    """Say what is wrong with a unit that is of no kind that is wanted. `text` is empty if it stood alone."""
    key, folded, shown = _key(typed), _key(typed).casefold(), f"`{text or typed}`"
    if folded in _UNSAID and _UNSAID[folded][2] in wanted:
        return _unsaid(shown, typed, folded)
    if not typed:
        return BadQuantity(f"{shown} has no unit", _usual(wanted))
    hints = [_HINTS[name, kind] for kind in wanted for name in (key, folded) if (name, kind) in _HINTS]
    mend = hints[0] if hints else _usual(wanted)
    others = [_UNSAID[folded][2]] if folded in _UNSAID else _TYPED.get(key) or _FOLDED.get(folded)
    if others:
        other = next(iter(others))
        return BadQuantity(f"{shown} is {with_article(other)}, not {_all_of(wanted)}", mend)
    if not hints:
        from difflib import get_close_matches  # slow to import, and only needed here

        near = {name: units[kind] for name, units in _TYPED.items() for kind in wanted if kind in units}
        for name in get_close_matches(key, near, 1):
            mend += f" (nearest to `{typed}`: {near[name].name})"
    return BadQuantity(f"{shown} has the unknown unit `{typed}`" if text else f"{shown} is no unit", mend)


def _all_of(wanted: tuple[Kind, ...]) -> str:
    return any_of([with_article(kind) for kind in wanted])


def _usual(wanted: tuple[Kind, ...]) -> str:
    """Name the usual units of what is wanted; the table begins with them."""
    each = 4 if len(wanted) == 1 else 2
    names = [unit.name for kind in wanted[:3] for unit in units_of(kind)[:each] if unit.name]
    return f"write it in {any_of(names)}" if names else "write the number without a unit"


def _unsaid(shown: str, typed: str, folded: str) -> BadQuantity:
    uk, us, kind = _UNSAID[folded]
    base = "L" if kind is Kind.VOLUME else "kg"
    in_uk, in_us = (float(_UNITS[kind, name].factor / _UNITS[kind, base].factor) for name in (uk, us))
    return BadQuantity(
        f"{shown} does not say UK or US",
        f"write `{uk}` ({in_uk:.4g} {base}) or `{us}` ({in_us:.4g} {base}) for `{typed}`",
    )
