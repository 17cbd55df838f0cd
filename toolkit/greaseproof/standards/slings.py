"""What hangs and what stands: sling legs, lifts by two points, eyebolts, jacks and stands.

>>> for angle in (60, 45, 30):
...     leg = leg_load(1000, 2, angle, AngleFrom.HORIZONTAL)
...     print(f"{float(leg.kg):.0f} kg; {leg.remark}")
577 kg; None
707 kg; below 60° from the horizontal: steeper legs are preferred
1000 kg; below 60° from the horizontal: steeper legs are preferred
>>> leg_load(1000, 2, 60, AngleFrom.VERTICAL) == leg_load(1000, 2, 30, AngleFrom.HORIZONTAL)
True

Units: masses in kg, lengths in mm, angles in degrees, for a bare number; a `Quantity` may be in any unit of
its kind. A pull is given as the mass that weighs as much: a table that prints lbf is kept in lb.

Domain: a load that hangs still from sound gear, with the hook over its centre of mass and the points level
with each other and above that centre; a jerk, a swing or a point below it is not covered. What cannot be,
such as a hook higher than its legs are long, is an error; what has no published rating is `NotRated`, never a
number.

Gear that is rated, the marking and the data sheet of its maker, and local codes come first: these figures
question a lift and never allow one. Nobody stands beneath what hangs, and nobody works beneath what only a
jack or a hoist holds. A jack is rated for all that it lifts, on firm ground, and the load is blocked or put
on stands at once (29 CFR 1910.244(a), 2011; Washington State rule on jacks, rule 307-22509; HSE leaflet
INDG434). Stands are looked over each year, with their own pins, on hard level ground, and the wheels that
stay down are chocked (INDG434).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from ..reading.quantity import Kind, Quantity, from_si, one
from ..reading.sizes import Series, Thread
from .figure import Figure
from .hexagons import Known
from .measures import Measure, in_unit
from .threads import pitches

__all__ = [
    "AngleFrom",
    "Eyebolt",
    "Leg",
    "LoadFactor",
    "NotRated",
    "RatedFor",
    "Share",
    "eyebolt",
    "leg_load",
    "leg_load_by_lengths",
    "load_factor",
    "share",
    "two_legs",
    "two_points",
]


@dataclass(frozen=True, slots=True)
class NotRated:
    """No published rating covers this."""

    reason: str

    def __str__(self) -> str:
        return f"not rated: {self.reason}"


# ------------------------------------------------------------------------------------------------- slings


class AngleFrom(StrEnum):
    """The line from which an angle of a leg is measured: 60° from one is 30° from the other."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"


#: Degrees from the horizontal at which the factor was read in print: 1.000, 1.154 or 1.155, 1.414, 2.000.
#: Circulating tables set the sines against the wrong angles, or print 500 / 1.414 = 707: none is taken.
_PRINTED: Final = (90, 60, 45, 30)
_FACTOR_SOURCE: Final = "1 / sine of the angle from the horizontal: rigging seller's and university's pages"
_LENGTHS_SOURCE: Final = (
    "length of the leg over height of the hook: rigging seller's page on the angle of lift"
)
_STATICS: Final = "balance of forces and moments"

#: Degrees from the horizontal.
#: The least: sling maker's safety tips after ASME B30.9. The preferred: toolbox talk on 29 CFR 1910.184.
LEAST_ANGLE, PREFERRED_ANGLE = 30, 60


@dataclass(frozen=True, slots=True)
class LoadFactor:
    """How many times its share of the load a leg feels, and its angle from the horizontal in degrees."""

    value: Fraction
    from_horizontal: Fraction
    source: str
    known: Known


@dataclass(frozen=True, slots=True)
class Leg:
    """The tension of one leg."""

    #: kg of the load that hang on it.
    share: Fraction
    factor: LoadFactor
    known: Known

    @property
    def kg(self) -> Fraction:
        """The tension, as the mass that weighs as much."""
        return self.share * self.factor.value

    @property
    def remark(self) -> str | None:
        """What is to be said of its angle; below 30° it is not to be used as it is."""
        if self.factor.from_horizontal < LEAST_ANGLE:
            return "below 30° from the horizontal: only with gear that its maker rates for that angle"
        if self.factor.from_horizontal < PREFERRED_ANGLE:
            return "below 60° from the horizontal: steeper legs are preferred"
        return None


def load_factor(angle: Measure, measured_from: AngleFrom) -> LoadFactor:
    """Give the load factor of a leg, 1 / sin a with a from the horizontal.

    Raises: ValueError, unless the leg stands above the horizontal, at most plumb.
    """
    degrees = in_unit(angle, Kind.ANGLE, "°", "the angle of the legs")
    flat = 90 - degrees if measured_from is AngleFrom.VERTICAL else degrees
    if not 0 < flat <= 90:
        raise ValueError(
            f"the angle of the legs is {float(degrees):g}° from the {measured_from}; "
            "a leg lies between the horizontal, which holds nothing, and the plumb line"
        )
    value = _decimal(1 / math.sin(math.radians(flat)))
    return LoadFactor(value, flat, _FACTOR_SOURCE, Known.READ if flat in _PRINTED else Known.DERIVED)


def leg_load(load: Measure, legs: int, angle: Measure, measured_from: AngleFrom) -> Leg:
    """Give the tension in each leg of a sling whose legs are alike: (W / n) / sin a.

    Two or three legs share the load. Of four only two are counted, since a stiff load rocks on two (from
    memory; three are often counted for a load that gives way).

    Raises: ValueError, for a load not above nought, other numbers of legs than 1 to 4, an angle that cannot
    be, and a single leg that is not plumb.
    """
    return _leg(load, legs, load_factor(angle, measured_from))


def leg_load_by_lengths(load: Measure, legs: int, length: Measure, height: Measure) -> Leg:
    """Give the same from the length of a leg and the height of the hook above its points: (W / n) × L / H.

    Raises: ValueError, as `leg_load`, and if the hook is higher than a leg is long.
    """
    along = _positive(in_unit(length, Kind.LENGTH, "mm", "the length of a leg"), "the length of a leg", "mm")
    up = _positive(
        in_unit(height, Kind.LENGTH, "mm", "the height of the hook"), "the height of the hook", "mm"
    )
    if up > along:
        raise ValueError(
            f"the hook is {float(up):g} mm above the points, "
            f"and a leg of {float(along):g} mm does not reach it"
        )
    flat = _decimal(math.degrees(math.asin(up / along)))
    return _leg(load, legs, LoadFactor(along / up, flat, _LENGTHS_SOURCE, Known.DERIVED))


def _leg(load: Measure, legs: int, factor: LoadFactor) -> Leg:
    kg = _mass(load)
    if legs not in (1, 2, 3, 4):
        raise ValueError(f"a sling has 1 to 4 legs, not {legs}")
    if legs == 1 and factor.value != 1:
        raise ValueError(
            f"a single leg hangs plumb, and cannot stand at {float(factor.from_horizontal):g}° "
            "from the horizontal"
        )
    carrying, known = (2, Known.MEMORY) if legs == 4 else (legs, Known.DERIVED)
    return Leg(kg / carrying, factor, known)


# --------------------------------------------------------------------------------------------- two points


def two_points(load: Measure, first: Measure, second: Measure) -> tuple[Fraction, Fraction]:
    """Give what each of two points carries, in kg, each held by its own plumb line or stand.

    The distances are those from each point to the plumb line through the centre of mass, which lies between
    them: the nearer point carries more. Derived from the balance of moments.

    Raises: ValueError, for a load not above nought, a negative distance (the centre of mass lies outside, and
    the load tips) and two points in one place.
    """
    kg = _mass(load)
    a, b = (
        in_unit(distance, Kind.LENGTH, "mm", f"the distance of the {name} point")
        for distance, name in ((first, "first"), (second, "second"))
    )
    if a < 0 or b < 0:
        raise ValueError("the centre of mass lies outside the two points, and the load tips; move a point")
    if a + b == 0:
        raise ValueError("both points are in one place, over the centre of mass; give two points")
    return kg * b / (a + b), kg * a / (a + b)


def two_legs(load: Measure, first: Measure, second: Measure, height: Measure) -> tuple[Leg, Leg]:
    """Give the tensions of two legs from one hook, which hangs over the centre of mass.

    Distances as for `two_points`; `height` is that of the hook above the points, which are level. Derived
    from the balance of forces and moments.

    Raises: ValueError, as `two_points`, and for a height not above nought.
    """
    shares = two_points(load, first, second)
    up = _positive(
        in_unit(height, Kind.LENGTH, "mm", "the height of the hook"), "the height of the hook", "mm"
    )
    aside = [in_unit(each, Kind.LENGTH, "mm", "the distance of a point") for each in (first, second)]
    one_leg, other = (
        Leg(part, _slanting(distance, up), Known.DERIVED)
        for part, distance in zip(shares, aside, strict=True)
    )
    return one_leg, other


def _slanting(aside: Fraction, up: Fraction) -> LoadFactor:
    value = _decimal(math.hypot(aside / up, 1))
    flat = _decimal(math.degrees(math.atan2(up, aside)))
    return LoadFactor(value, flat, _STATICS, Known.DERIVED)


def _decimal(number: float) -> Fraction:
    """Give a sine, a root or an angle to 12 decimals, so that 30° makes 2 exactly."""
    return Fraction(f"{number:.12f}")


def _mass(load: Measure) -> Fraction:
    return _positive(in_unit(load, Kind.MASS, "kg", "the load"), "the load", "kg")


def _positive(number: Fraction, what: str, unit: str) -> Fraction:
    if number <= 0:
        raise ValueError(f"{what} is {float(number):g} {unit}, and must be above nought")
    return number


# ----------------------------------------------------------------------------------------------- eyebolts

#: kg: in line, up to 45° and up to 90° from the line of the shank; for each eyebolt, not for a pair.
_DIN_NAME: Final = "DIN 580"
_DIN_SOURCE: Final = (
    "DIN 580 (text of 2010): lifting catalogue p. 156; in line and 45° also a seller's data sheet"
)
_DIN: Final = """
    M8  140 100 70    M10 230 170 115    M12 340 240 170     M16 700 500 350     M20 1200 860 600
    M24 1800 1290 900 M30 3200 2300 1600 M36 4600 3300 2300  M42 6300 4500 3150  M48 8600 6100 4300
"""

#: lb (lbf as printed): in line, then at 30, 60 and 90° from the line of the shank. Shouldered, carbon steel.
_ASME_NAME: Final = "ASME B18.15, shouldered"
_ASME_SOURCE: Final = "ASME B18.15: training page of a seller of lifting hardware, table 1"
_ASME: Final = """
    1/4 400 75 - -                3/8 1000 400 220 180         1/2 1840 850 520 440
    5/8 2940 1410 890 740         3/4 4340 2230 1310 1140      1 7880 3850 2630 2320
    1-1/4 12600 6200 4125 3690    1-1/2 18260 9010 6040 5460   2 32500 15970 10910 9740
"""

#: Trade pages give shouldered eyebolts 30 % of the rating in line at 45° and 25 % at 90°, a chart of metric
#: ones 25 % at 45°. Beyond 30° that is often below the table of ASME B18.15; the lower is taken.
_ASME_TRADE_SOURCE: Final = (
    "trade pages on eyebolts: a quarter of the rating in line, below the table of ASME B18.15"
)


@dataclass(frozen=True, slots=True)
class Eyebolt:
    """The ratings of one size of eyebolt, as published.

    For each eyebolt: those of several are not added up for the legs of a sling (DIN 580:2018, clause 8), and
    one sling is never threaded through two. DIN 580: -20 to 200 °C; one that is used in turn on different
    loads is taken a thread larger (seller's data sheet to DIN 580).
    """

    standard: str
    #: (degrees from the line of the shank, rating up to there), the first in line.
    ratings: tuple[tuple[int, Quantity], ...]
    source: str
    known: Known = Known.READ

    def pull(
        self, angle: Measure, *, shouldered: bool, side_pull: bool = False
    ) -> Figure[Quantity] | NotRated:
        """Give the pull that it is rated for at an angle from the line of its shank, 0 to 90°.

        For an eyebolt that stands upright that is the angle of the leg from the vertical. Between two printed
        angles the rating of the greater counts. It is held against the tension of the leg, which is the
        cautious reading of the 45° column of DIN 580.
        side_pull: the marking or the data sheet of the very eyebolt allows a pull beyond 45°. DIN 580 of 2003
            bars it; the text of 2010 rates it.

        Raises: ValueError, for an angle outside 0 to 90°.
        """
        degrees = in_unit(angle, Kind.ANGLE, "°", "the angle of the pull")
        if not 0 <= degrees <= 90:
            raise ValueError(f"the angle of the pull is {float(degrees):g}°, and lies between 0 and 90°")
        if not shouldered:
            return NotRated("an eyebolt without a shoulder takes a pull in line only, rated by its maker")
        if self.standard == _DIN_NAME and degrees > 45 and not side_pull:
            return NotRated("beyond 45° only if the marking or data sheet of the eyebolt allows it")
        rating = next((rating for most, rating in self.ratings if degrees <= most), None)
        if rating is None:
            return NotRated(f"{self.standard} gives this size no rating at {float(degrees):g}°")
        in_line = self.ratings[0][1]
        if self.standard == _ASME_NAME and degrees > 30 and in_line.si < 4 * rating.si:
            quarter = from_si(Kind.MASS, in_line.si / 4, in_line.unit, 0)
            return Figure(quarter, "a quarter of the rating in line", _ASME_TRADE_SOURCE, Known.DERIVED)
        return Figure(rating, self.standard, self.source, self.known)


def _eyebolts(
    table: str, unit: str, angles: tuple[int, ...], standard: str, source: str
) -> dict[Fraction, Eyebolt]:
    """Give the rows of a table by nominal size."""
    cells, wide = table.replace("M", "").split(), 1 + len(angles)
    rows = [cells[start : start + wide] for start in range(0, len(cells), wide)]
    return {
        sum(map(Fraction, size.split("-")), Fraction(0)): Eyebolt(
            standard,
            tuple(
                (angle, one(f"{rating} {unit}", Kind.MASS))
                for angle, rating in zip(angles, ratings, strict=True)
                if rating != "-"
            ),
            source,
        )
        for size, *ratings in rows
    }


_BY_SIZE: Final = {
    Series.M: _eyebolts(_DIN, "kg", (0, 45, 90), _DIN_NAME, _DIN_SOURCE),
    Series.UNC: _eyebolts(_ASME, "lb", (0, 30, 60, 90), _ASME_NAME, _ASME_SOURCE),
}


def eyebolt(thread: Thread) -> Eyebolt | None:
    """Give the eyebolt of a coarse right-hand thread, M by DIN 580, UNC by ASME B18.15; None without one."""
    if thread.left_handed or thread.numbered:
        return None
    if thread.pitch is not None:
        usual = pitches(thread)
        if usual is None or usual[0].value.to("mm") != thread.pitch:
            return None
    return _BY_SIZE.get(thread.series, {}).get(thread.size)


# ----------------------------------------------------------------------------------------- jacks and stands


class RatedFor(StrEnum):
    """What the mass marked on a jack or stand is for."""

    EACH = "each"
    PAIR = "pair"
    SET = "set"


@dataclass(frozen=True, slots=True)
class Share:
    """What one of them may carry, in kg."""

    kg: Fraction
    source: str
    known: Known


def share(rated: Measure, rated_for: RatedFor, *, in_set: int | None = None) -> Share:
    """Give what one jack or stand may carry, of a rating for each, for the pair or for a set of so many.

    A stand's mark is most often for the pair, and on some packs for each: only the mark or the maker says
    which, so that there is no default. It holds for a load shared evenly; `two_points` tells what each
    carries.

    Raises: ValueError, for a rating not above nought, a set without its number or of less than one, and a
    number where there is no set.
    """
    kg = _positive(in_unit(rated, Kind.MASS, "kg", "the rating"), "the rating", "kg")
    if rated_for is not RatedFor.SET and in_set is not None:
        raise ValueError(f"the rating is for {rated_for}, not for a set; leave out how many are in it")
    match rated_for:
        case RatedFor.EACH:
            return Share(kg, "as marked", Known.READ)
        case RatedFor.PAIR:
            return Share(kg / 2, "two consumer pages on stand ratings: the total for the pair", Known.READ)
        case RatedFor.SET:
            if in_set is None or in_set < 1:
                raise ValueError("it is rated for a set; say how many are in it")
            return Share(kg / in_set, "common practice, no source", Known.MEMORY)
