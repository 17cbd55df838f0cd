"""Lifting by hand: the revised NIOSH lifting equation, and where it says nothing.

>>> hands, bench = Hands(height=15, reach=40), Hands(height=90, reach=40)
>>> found = assess(
...     20, hands, bench, per_minute=0.2, duration=Duration.SHORT, coupling=Coupling.FAIR, circumstances=()
... )
>>> f"{float(found.limit):.2f} kg, {float(found.index):.2f}: {found.verdict}"
'9.85 kg, 2.03: some people are at a higher risk of hurting their backs'
>>> found = assess(
...     20, hands, bench, per_minute=0.2, duration=Duration.SHORT, coupling=Coupling.FAIR,
...     circumstances=(Circumstance.ONE_HANDED,),
... )
>>> str(found)
'not assessable, use equipment: it is lifted with one hand'

Units: masses in kg, lengths in cm, angles in degrees, times in hours, frequencies in lifts a minute, for a
bare number; a `Quantity` may be in any unit of its kind. The metric form is used throughout: it is not an
exact conversion of the inch form (23 kg against 51 lb), so that its limits lie mostly 1 to 3 % lower.

Domain: smooth lifting with two hands, standing, of a steady load, in a temperate place with a sure foothold,
for no more than 8 hours. What the equation leaves out (`Circumstance`), or what lies beyond its limits, gives
`NotAssessable` and never a number. An index of 1 or less certifies nobody's back: lifting gear rated for the
load, what the maker of the machine says and local codes come first, and nobody stands beneath what is raised.

Source: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110, revised 9/2021, doi
10.26616/NIOSHPUB94110revised092021. It was read in reprints and in a transcription with its page numbers,
which stand below.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import Enum, StrEnum
from fractions import Fraction
from typing import Final, NamedTuple

from ..reading.quantity import Kind
from .hexagons import Known
from .measures import Measure, in_unit

__all__ = [
    "LOAD_CONSTANT",
    "SOURCE",
    "Assessed",
    "Circumstance",
    "Coupling",
    "Duration",
    "Hands",
    "Limit",
    "Multipliers",
    "NotAssessable",
    "assess",
    "asymmetry_multiplier",
    "coupling_multiplier",
    "distance_multiplier",
    "duration_of",
    "estimated_reach",
    "frequency_multiplier",
    "horizontal_multiplier",
    "sampled_frequency",
    "vertical_multiplier",
]

SOURCE: Final = "DHHS (NIOSH) 94-110, revised 9/2021"

# ----------------------------------------------------------------------------------------- what is asked


class Duration(StrEnum):
    """How long lifting goes on, with the rest from lifting that must follow (p. 13-14)."""

    SHORT = "up to 1 h"
    MODERATE = "1 to 2 h"
    LONG = "2 to 8 h"


class Coupling(StrEnum):
    """How well the hands hold: handles or a sure grip, a worse one, none (table 7)."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Circumstance(Enum):
    """A case that the equation does not cover (p. 6). The value says it of a lift."""

    ONE_HANDED = "it is lifted with one hand"
    SEATED = "the lifter sits"
    KNEELING = "the lifter kneels"
    CONFINED = "there is no room to stand freely"
    UNSTABLE = "the load is unsteady"
    CARRIED = "it is carried, pushed or pulled as well"
    WHEELBARROW = "a wheelbarrow is used"
    SHOVELLING = "a shovel is used"
    FAST = "it is lifted faster than about 30 in/s (76 cm/s)"
    SLIPPERY = "the foothold is slippery (friction below 0.4)"
    HOT_OR_COLD = "it is hotter or colder than 19 to 26 °C"
    DAMP_OR_DRY = "the air is drier or damper than 35 to 50 %"


@dataclass(frozen=True, slots=True)
class Hands:
    """Where the hands are as the load is taken or put down.

    height: cm, the middle of the hands above the floor.
    reach: cm, the hands ahead of the middle between the ankles. None where the load is put down without any
        care: nothing is guided, held back or placed with precision.
    turn: degrees, how far the hands are to one side of straight ahead.
    """

    height: Measure
    reach: Measure | None
    turn: Measure = 0


# --------------------------------------------------------------------------------------- what is answered


@dataclass(frozen=True, slots=True)
class NotAssessable:
    """The equation says nothing of this lift: it is for equipment."""

    reason: str

    def __str__(self) -> str:
        return f"not assessable, use equipment: {self.reason}"


class Multipliers(NamedTuple):
    """The six multipliers, each from 0 to 1; not rounded."""

    horizontal: Fraction
    vertical: Fraction
    distance: Fraction
    asymmetry: Fraction
    frequency: Fraction
    coupling: Fraction


@dataclass(frozen=True, slots=True)
class Limit:
    """The recommended weight limit at one end: from memory if its frequency multiplier is, else derived."""

    multipliers: Multipliers
    known: Known
    source: str = SOURCE

    @property
    def kg(self) -> Fraction:
        """RWL = LC × HM × VM × DM × AM × FM × CM (p. 7)."""
        return LOAD_CONSTANT * math.prod(self.multipliers)


@dataclass(frozen=True, slots=True)
class Assessed:
    """A lift that the equation covers: the load in kg, and the limit at either end."""

    load: Fraction
    origin: Limit
    #: None if the load is put down without care.
    destination: Limit | None

    @property
    def limit(self) -> Fraction:
        """The recommended weight limit in kg: the lower of both ends (p. 19, 26)."""
        return self.governing.kg

    @property
    def governing(self) -> Limit:
        """The end that has the lower limit."""
        if self.destination is None:
            return self.origin
        return min(self.origin, self.destination, key=lambda end: end.kg)

    @property
    def known(self) -> Known:
        """How the limit is known: from memory if either end is."""
        ends = [end.known for end in (self.origin, self.destination) if end is not None]
        return Known.MEMORY if Known.MEMORY in ends else Known.DERIVED

    @property
    def index(self) -> Fraction:
        """The lifting index: the load for each kg of the limit."""
        return self.load / self.limit

    @property
    def verdict(self) -> str:
        """What the manual says of such an index (p. 20)."""
        if self.index <= 1:
            return "within the design goal of the equation"
        if self.index <= 3:
            return "some people are at a higher risk of hurting their backs"
        return "nearly everybody is at a higher risk of hurting their backs"


# ---------------------------------------------------------------------------------- figures, as published

#: kg (p. 7).
LOAD_CONSTANT: Final = Fraction(23)

#: cm and degrees (p. 8-12). Nearer than the least counts as the least; beyond the most there is no limit.
LEAST_REACH, MOST_REACH = Fraction(25), 63
MOST_HEIGHT = 175
LEAST_TRAVEL, MOST_TRAVEL = Fraction(25), 175
MOST_TURN = 135
#: Lifts a minute: once in five minutes, and the last row of table 5.
LEAST_FREQUENCY, MOST_FREQUENCY = Fraction(1, 5), 15
#: cm, the height of the knuckles: at or above it other columns of tables 5 and 7 count.
KNUCKLES = 75

#: Table 5: lifts a minute, then the frequency multiplier for each duration, with the hands below 75 cm and at
#: or above it where the load is taken. `m` marks what is from memory; the others were read in reprints of the
#: table, which mostly show the columns for 75 cm and above.
#: A circulating copy has one column for both heights, another goes on past the noughts: neither is taken.
_FREQUENCY_TABLE = """
    0.2  1.00  1.00   0.95  0.95   0.85  0.85
    0.5  0.97  0.97   0.92  0.92   0.81  0.81
    1    0.94  0.94   0.88m 0.88   0.75m 0.75
    2    0.91m 0.91   0.84m 0.84   0.65m 0.65
    3    0.88  0.88   0.79m 0.79   0.55m 0.55
    4    0.84m 0.84   0.72m 0.72   0.45m 0.45
    5    0.80m 0.80   0.60m 0.60   0.35m 0.35
    6    0.75m 0.75   0.50m 0.50   0.27m 0.27
    7    0.70m 0.70   0.42m 0.42   0.22m 0.22
    8    0.60m 0.60   0.35m 0.35   0.18m 0.18
    9    0.52m 0.52   0.30m 0.30   0.00m 0.15
    10   0.45m 0.45   0.26m 0.26   0.00m 0.13
    11   0.41m 0.41   0.00m 0.23   0.00m 0.00m
    12   0.37m 0.37   0.00m 0.21   0.00m 0.00m
    13   0.00m 0.34   0.00m 0.00m  0.00m 0.00
    14   0.00m 0.31   0.00m 0.00m  0.00m 0.00
    15   0.00m 0.28   0.00m 0.00m  0.00m 0.00
"""

#: Table 7, read: below 75 cm, and at or above it. A circulating program has the two of `fair` exchanged.
_COUPLING = {
    Coupling.GOOD: (Fraction(1), Fraction(1)),
    Coupling.FAIR: (Fraction("0.95"), Fraction(1)),
    Coupling.POOR: (Fraction("0.90"), Fraction("0.90")),
}


class _Cell(NamedTuple):
    per_minute: Fraction
    multiplier: Fraction
    known: Known


def _columns(table: str) -> dict[tuple[Duration, bool], list[_Cell]]:
    """Give the cells of each column, by duration and by whether the hands are at 75 cm or above."""
    columns: dict[tuple[Duration, bool], list[_Cell]] = {
        (duration, high): [] for duration in Duration for high in (False, True)
    }
    for row in table.split("\n"):
        if not row.strip():
            continue
        per_minute, *cells = row.split()
        for column, cell in zip(columns.values(), cells, strict=True):
            known = Known.MEMORY if cell.endswith("m") else Known.READ
            column.append(_Cell(Fraction(per_minute), Fraction(cell.rstrip("m")), known))
    return columns


_FREQUENCY = _columns(_FREQUENCY_TABLE)


# -------------------------------------------------------------------------------------------- multipliers
# Each gives None beyond its limit, where the manual sets the recommended weight limit to nought.


def horizontal_multiplier(reach: Measure) -> Fraction | None:
    """25 / H, for a reach H in cm of 25 to 63 (p. 7-8). Raises: ValueError, if it is negative."""
    cm = _not_negative(in_unit(reach, Kind.LENGTH, "cm", "the reach"), "the reach")
    return None if cm > MOST_REACH else LEAST_REACH / max(cm, LEAST_REACH)


def vertical_multiplier(height: Measure) -> Fraction | None:
    """1 - 0.003 |V - 75|, for a height V in cm of 0 to 175 (p. 7). Raises: ValueError, if it is no length."""
    cm = in_unit(height, Kind.LENGTH, "cm", "the height of the hands")
    return 1 - Fraction("0.003") * abs(cm - KNUCKLES) if 0 <= cm <= MOST_HEIGHT else None


def distance_multiplier(travel: Measure) -> Fraction | None:
    """0.82 + 4.5 / D, for a way D in cm of 25 to 175 up or down (p. 7). Raises: ValueError, if negative."""
    cm = _not_negative(in_unit(travel, Kind.LENGTH, "cm", "the way up or down"), "the way up or down")
    return None if cm > MOST_TRAVEL else Fraction("0.82") + Fraction("4.5") / max(cm, LEAST_TRAVEL)


def asymmetry_multiplier(turn: Measure) -> Fraction | None:
    """1 - 0.0032 A, for a turn A in degrees of 0 to 135 (p. 7). Raises: ValueError, if it is negative."""
    degrees = _not_negative(in_unit(turn, Kind.ANGLE, "°", "the turn"), "the turn")
    return None if degrees > MOST_TURN else 1 - Fraction("0.0032") * degrees


def frequency_multiplier(
    per_minute: Measure, duration: Duration, origin_height: Measure
) -> tuple[Fraction, Known] | None:
    """Look up table 5, in a straight line between its rows (p. 56-57), and say how that is known.

    The height is that where the load is taken, for both ends of the lift (p. 15). Towards a nought nothing is
    drawn: beyond the last figure of a column there is none.

    Raises: ValueError, if the frequency is negative.
    """
    rate = _not_negative(in_unit(per_minute, Kind.NUMBER, "", "the lifts a minute"), "the lifts a minute")
    height = in_unit(origin_height, Kind.LENGTH, "cm", "the height of the hands")
    rate = max(rate, LEAST_FREQUENCY)
    if rate > MOST_FREQUENCY:
        return None
    column = _FREQUENCY[duration, height >= KNUCKLES]
    above = bisect_left([cell.per_minute for cell in column], rate)
    upper = column[above]
    if not upper.multiplier:
        return None
    if upper.per_minute == rate:
        return upper.multiplier, upper.known
    lower = column[above - 1]
    part = (rate - lower.per_minute) / (upper.per_minute - lower.per_minute)
    known = Known.MEMORY if Known.MEMORY in (lower.known, upper.known) else Known.DERIVED
    return lower.multiplier + part * (upper.multiplier - lower.multiplier), known


def coupling_multiplier(coupling: Coupling, height: Measure) -> Fraction:
    """Look up table 7. The height is that of the end in question, as in the manual's example 4 (p. 46)."""
    return _COUPLING[coupling][in_unit(height, Kind.LENGTH, "cm", "the height of the hands") >= KNUCKLES]


def _not_negative(number: Fraction, what: str) -> Fraction:
    if number < 0:
        raise ValueError(f"{what} is {float(number):g}, and cannot be less than nought")
    return number


# --------------------------------------------------------------------------------------- what can be told


def duration_of(work: Measure, rest: Measure) -> Duration | NotAssessable:
    """Give the class of a spell of lifting, in hours, with the rest from lifting that follows it (p. 13-14).

    Short needs a rest as long as the work, moderate one of 0.3 times it (the edition of 1994 asked for 1.2
    times in the first case). With less rest it counts as the next longer class. Spells that are not parted
    by the rest they need are one spell: give their sum.

    Raises: ValueError, if the work is not above nought or the rest is negative.
    """
    hours = in_unit(work, Kind.TIME, "h", "the time of lifting")
    after = _not_negative(in_unit(rest, Kind.TIME, "h", "the rest"), "the rest")
    if hours <= 0:
        raise ValueError(f"the time of lifting is {float(hours):g} h, and must be above nought")
    if hours <= 1 and after >= hours:
        return Duration.SHORT
    if hours <= 2 and after >= Fraction("0.3") * hours:
        return Duration.MODERATE
    return Duration.LONG if hours <= 8 else NotAssessable("lifting goes on for more than 8 h")


def sampled_frequency(per_minute: Measure, minutes: Measure) -> Fraction:
    """Give the lifts a minute over 15 minutes, of which lifting takes but some (p. 16).

    A bare number of minutes is in minutes. For 10 lifts a minute during 5 minutes the manual prints 3.4; it
    is 3.33.

    Raises: ValueError, if either is negative or lifting takes more than the 15 minutes.
    """
    rate = _not_negative(in_unit(per_minute, Kind.NUMBER, "", "the lifts a minute"), "the lifts a minute")
    busy = _not_negative(in_unit(minutes, Kind.TIME, "min", "the time of lifting"), "the time of lifting")
    if busy > 15:
        raise ValueError(f"lifting takes {float(busy):g} of 15 minutes; give the part of them that it takes")
    return rate * busy / 15


def estimated_reach(width: Measure, height: Measure) -> Fraction:
    """Estimate the reach in cm from how deep a box is, from front to back, and the hands' height (p. 8).

    20 + W/2 with the hands at 25 cm or above, else 25 + W/2. To measure is better.

    Raises: ValueError, if the depth is negative.
    """
    cm = _not_negative(in_unit(width, Kind.LENGTH, "cm", "the depth of the box"), "the depth of the box")
    low = in_unit(height, Kind.LENGTH, "cm", "the height of the hands") < 25
    return (25 if low else 20) + cm / 2


def assess(
    load: Measure,
    origin: Hands,
    destination: Hands,
    *,
    per_minute: Measure,
    duration: Duration,
    coupling: Coupling,
    circumstances: Collection[Circumstance],
) -> Assessed | NotAssessable:
    """Give the recommended weight limit and the lifting index, or say all that forbids it.

    load: kg. The end at which the limit is lower governs; the destination counts if its `reach` is given.
    circumstances: those that hold; the caller has to say that there are none.

    Raises: ValueError, for a load that is not above nought, lengths, turns or frequencies that cannot be, a
    quantity of another kind, and an origin without a reach.
    """
    kg = in_unit(load, Kind.MASS, "kg", "the load")
    if kg <= 0:
        raise ValueError(f"the load is {float(kg):g} kg, and must be above nought")
    if origin.reach is None:
        raise ValueError("the reach is missing where the load is taken; give it in cm")
    reasons = [each.value for each in Circumstance if each in circumstances]
    reasons += _beyond("where it is taken", origin)
    reasons += _beyond("where it is put down", destination)
    frequency = frequency_multiplier(per_minute, duration, origin.height)
    if frequency is None:
        rate = float(in_unit(per_minute, Kind.NUMBER, "", "the lifts a minute"))
        reasons.append(f"{rate:g} lifts a minute are too many for {duration} from that height")
    if reasons or frequency is None:
        return NotAssessable("; ".join(reasons))
    travel = abs(_height(destination) - _height(origin))
    return Assessed(
        load=kg,
        origin=_limit(origin, origin.reach, travel, frequency, coupling),
        destination=(
            None
            if destination.reach is None
            else _limit(destination, destination.reach, travel, frequency, coupling)
        ),
    )


def _height(hands: Hands) -> Fraction:
    return in_unit(hands.height, Kind.LENGTH, "cm", "the height of the hands")


def _beyond(where: str, hands: Hands) -> Iterator[str]:
    """Say which limits are passed at one end; within those of height the way up or down is within its own."""
    if vertical_multiplier(hands.height) is None:
        yield f"the hands are at {float(_height(hands)):g} cm {where}, and 0 to {MOST_HEIGHT} cm are covered"
    if hands.reach is None:
        return
    if horizontal_multiplier(hands.reach) is None:
        reach = float(in_unit(hands.reach, Kind.LENGTH, "cm", "the reach"))
        yield f"the reach is {reach:g} cm {where}, and up to {MOST_REACH} cm are covered"
    if asymmetry_multiplier(hands.turn) is None:
        turn = float(in_unit(hands.turn, Kind.ANGLE, "°", "the turn"))
        yield f"the turn is {turn:g}° {where}, and up to {MOST_TURN}° are covered"


def _limit(
    hands: Hands, reach: Measure, travel: Fraction, frequency: tuple[Fraction, Known], coupling: Coupling
) -> Limit:
    """Give the limit at one end, all of whose figures are within theirs."""
    often, known = frequency
    found = (
        horizontal_multiplier(reach),
        vertical_multiplier(hands.height),
        distance_multiplier(travel),
        asymmetry_multiplier(hands.turn),
        often,
        coupling_multiplier(coupling, hands.height),
    )
    multipliers = Multipliers(*(each for each in found if each is not None))
    return Limit(multipliers, Known.MEMORY if known is Known.MEMORY else Known.DERIVED)
