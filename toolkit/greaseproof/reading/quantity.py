"""Quantities: a number with a unit, a range of them, or a printed pair, each by a closed and exact table.

What was written is kept (`text`, `number`, `unit`); what is compared is exact (`si`, a `Fraction`).

>>> str(parse("45-55 Nm", Kind.TORQUE))
'45..55 N·m'
>>> parse("45 N·m", Kind.TORQUE).show("N·m", "lbf·ft")
'45 N·m (33 lbf·ft)'
>>> agrees(parse("50 lbf·ft (5.6 N·m)", Kind.TORQUE))
False
>>> parse("5 m", Kind.TIME)
Traceback (most recent call last):
    ...
greaseproof.reading.units.BadQuantity: `5 m` is a length, not a time; write `min` for minutes

`parse` remembers what it has read: the same text for the same kinds costs a look-up. Whatever can be
wrong with a text raises `BadQuantity`, which says what is wrong and how to mend it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from .units import (
    WITHOUT_UNIT,
    BadQuantity,
    Kind,
    Unit,
    any_of,
    bad_unit,
    example,
    found,
    table_row,
    unit_named,
    units_of,
    with_article,
)

__all__ = [
    "Amount",
    "BadQuantity",
    "Kind",
    "Pair",
    "Quantity",
    "Range",
    "Unit",
    "agrees",
    "from_si",
    "one",
    "parse",
    "unit_named",
    "units_of",
]

#: Kinds that may be negative where a caller allows it (a reading, a fit, a vacuum). A temperature always may.
SIGNED = frozenset({Kind.ANGLE, Kind.LENGTH, Kind.PRESSURE, Kind.VOLTAGE, Kind.CURRENT, Kind.NUMBER})


# ------------------------------------------------------------------------------------------------ values


@dataclass(frozen=True, slots=True)
class Quantity:
    """One number with its unit, as written. Equal means written alike; compare sizes by `si`.

    >>> parse("1/2\\"", Kind.LENGTH)
    Quantity('1/2 in')
    """

    kind: Kind
    number: Fraction
    unit: str
    #: Decimals as written; None for a fraction of whole numbers, which is exact.
    places: int | None = 0
    #: The larger units of a value in several, the largest first: ("h",) for `1 h 20 min`, whose unit is min.
    larger: tuple[str, ...] = ()
    text: str = field(default="", compare=False)
    #: In the base unit of the kind; see `Unit`.
    si: Fraction = field(init=False, compare=False)

    def __post_init__(self) -> None:
        whole = (self.number * 10 ** (self.places or 0)).denominator == 1
        if whole != (self.places is not None):
            raise ValueError(f"{self.number} cannot be written with places={self.places}")
        object.__setattr__(self, "si", self._row.to_si(self.number))

    def __str__(self) -> str:
        """Give the canonical writing, which reads back equal."""
        return self._written() + self._row.after(self._last())

    def __repr__(self) -> str:
        return f"Quantity({str(self)!r})"

    @property
    def _row(self) -> Unit:
        return table_row(self.kind, self.unit)

    def _parts(self) -> Iterator[tuple[Fraction, Unit]]:
        """Give what is written before each unit: 1 h and 20 min."""
        rest = self.number
        for name in self.larger:
            larger = table_row(self.kind, name)
            whole, rest = divmod(rest, larger.factor / self._row.factor)
            yield Fraction(whole), larger
        yield rest, self._row

    def _last(self) -> Fraction:
        """Give the number before the last unit: all of it, or what the larger units leave."""
        *_, (number, _) = self._parts()
        return number

    def _written(self) -> str:
        """Give the canonical writing without the last unit."""
        *before, (number, _) = self._parts()
        return "".join(f"{part}{unit.after(part)} " for part, unit in before) + _digits(number, self.places)

    @property
    def low(self) -> Quantity:
        """Itself, as the lower end: a quantity, a range and a pair can be asked alike."""
        return self

    @property
    def high(self) -> Quantity:
        """Itself, as the upper end."""
        return self

    def to(self, unit: str) -> Fraction:
        """Give the exact number in another unit of the same kind. Raises: BadQuantity, if it is none."""
        return unit_named(unit, self.kind).from_si(self.si)

    def converted(self, unit: str) -> Quantity:
        """Give it in another unit, without false precision.

        The last figure is worth what the last figure as written is worth, to the nearest power of ten that is
        not more than 1.4 times it (1 N·m is 0.74 lbf·ft: whole lbf·ft). At least two figures, and at most
        three or as many as were written; three for a fraction. A temperature keeps its decimals, since its
        noughts lie elsewhere. Half goes to even.
        """
        wanted = unit_named(unit, self.kind)
        if wanted.name == self.unit and not self.larger:
            return self
        number = wanted.from_si(self.si)
        if not number or self.kind is Kind.TEMPERATURE:
            return from_si(self.kind, self.si, wanted.name, self.places or 0)
        size = _power(number)
        if self.places is None:
            places = 2 - size
        else:
            worth = self._row.factor / wanted.factor / 10**self.places
            places = -_power(worth * Fraction(7, 5))
            places = min(max(places, 1 - size), max(3, self._figures()) - 1 - size)
        return from_si(self.kind, self.si, wanted.name, places)

    def _figures(self) -> int:
        """Count the significant figures as written; the noughts that end a whole number are not counted."""
        digits = str(abs(self.number * 10 ** (self.places or 0)))
        return len(digits if self.places else digits.rstrip("0")) or 1

    def show(self, *units: str) -> str:
        """Write it in the first unit, with the others in brackets; as written if there are none.

        >>> parse("45 N·m", Kind.TORQUE).show("lbf·ft")
        '33 lbf·ft'
        """
        return _show([str(self.converted(unit)) for unit in units] or [str(self)])

    def about(self) -> tuple[Fraction, Fraction]:
        """Give the ends of what the figures may stand for, in the base unit of the kind.

        Half of the last figure to either side; a fraction is exact. Books round to fives and tens, so a
        number that ends in 5, or a whole one that ends in noughts, may be off by half such a step, but
        never by more than 2.5 %.
        """
        half = Fraction(0)
        if self.places is not None:
            half = Fraction(1, 2 * 10**self.places)
            half = max(half, min(_rounding_step(self.number, self.places) / 2, abs(self.number) / 40))
        return self._row.to_si(self.number - half), self._row.to_si(self.number + half)


@dataclass(frozen=True, slots=True)
class Range:
    """From one quantity to another of its kind; `low.si` is never above `high.si`."""

    low: Quantity
    high: Quantity
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        if self.low.unit != self.high.unit or self.low.larger or self.high.larger:
            return f"{self.low}..{self.high}"
        return f"{self.low._written()}..{self.high}"

    def __repr__(self) -> str:
        return f"Range({str(self)!r})"

    @property
    def kind(self) -> Kind:
        """What is measured."""
        return self.low.kind

    def converted(self, unit: str) -> Range:
        """Give both ends in another unit, without false precision."""
        return Range(self.low.converted(unit), self.high.converted(unit))

    def show(self, *units: str) -> str:
        """Write it in the first unit, with the others in brackets; as written if there are none."""
        return _show([str(self.converted(unit)) for unit in units] or [str(self)])

    def covers(self, other: Amount) -> bool:
        """Say whether all of the other lies within, ends included.

        Raises: ValueError, if it is of another kind.
        """
        if other.kind is not self.kind:
            raise ValueError(f"{self} and {other} are not of one kind")
        return self.low.si <= other.low.si and other.high.si <= self.high.si


@dataclass(frozen=True, slots=True)
class Pair:
    """One value printed twice, `20..25 lbf·ft (27..34 N·m)`.

    The first counts, the twin in another unit is kept. Both are single or both are ranges. Whether they say
    the same is for `agrees`.
    """

    first: Quantity | Range
    twin: Quantity | Range
    text: str = field(default="", compare=False)

    def __str__(self) -> str:
        return f"{self.first} ({self.twin})"

    def __repr__(self) -> str:
        return f"Pair({str(self)!r})"

    @property
    def kind(self) -> Kind:
        """What is measured."""
        return self.first.kind

    @property
    def low(self) -> Quantity:
        """The lower end of the first."""
        return self.first.low

    @property
    def high(self) -> Quantity:
        """The upper end of the first."""
        return self.first.high

    def converted(self, unit: str) -> Quantity | Range:
        """Give the twin where it is printed in that unit, else the first in it, without false precision."""
        printed = unit_named(unit, self.kind).name == self.twin.low.unit == self.twin.high.unit
        return self.twin if printed else self.first.converted(unit)

    def show(self, *units: str) -> str:
        """Write it in the first unit, with the others in brackets; as written if there are none."""
        return _show([str(self.converted(unit)) for unit in units] or [str(self)])


Amount = Quantity | Range | Pair


def from_si(kind: Kind, si: Fraction, unit: str, places: int) -> Quantity:
    """Make a quantity from a value in the base unit of its kind, rounded half to even.

    `places` is how many decimals are kept; -1 rounds to tens.
    """
    wanted = unit_named(unit, kind)
    return Quantity(kind, round(wanted.from_si(si), places), wanted.name, max(places, 0))


def agrees(pair: Pair) -> bool:
    """Say whether the two sides of a printed pair are one value, as far as their figures allow.

    Each side is read as what its figures may stand for (`Quantity.about`). A side agrees with the other if it
    lies within that, or if both overlap and are within a tenth of each other, since both may have been
    rounded from a third figure. In effect: 5 %, and more only where a single figure allows no better.
    """
    ends = ((pair.first.low, pair.twin.low), (pair.first.high, pair.twin.high))
    return all(_meet(first, twin) for first, twin in ends)


def _meet(first: Quantity, twin: Quantity) -> bool:
    (a_low, a_high), (b_low, b_high) = first.about(), twin.about()
    if b_low <= first.si <= b_high or a_low <= twin.si <= a_high:
        return True
    return a_low <= b_high and b_low <= a_high and abs(first.si - twin.si) <= abs(first.si) / 10


def _rounding_step(number: Fraction, places: int) -> Fraction:
    """Give the step to which `number` may have been rounded.

    What its last figure is worth, but for the noughts that end a whole number; five times that, if it is a 5.
    """
    digits = str(abs(number * 10**places))
    bare = digits if places else digits.rstrip("0")
    step = Fraction(10 ** (len(digits) - len(bare)), 10**places)
    return 5 * step if bare.endswith("5") else step


def _power(number: Fraction) -> int:
    """Give the largest n with 10**n not above |number|, which is not 0."""
    size = abs(number)
    power = len(str(size.numerator)) - len(str(size.denominator))
    return power if Fraction(10) ** power <= size else power - 1


def _digits(number: Fraction, places: int | None) -> str:
    sign, size = ("-" if number < 0 else ""), abs(number)
    if places is None:
        whole, rest = divmod(size, 1)
        return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"
    digits = str((size * 10**places).numerator).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else sign + digits


def _show(texts: list[str]) -> str:
    return texts[0] + (f" ({', '.join(texts[1:])})" if len(texts) > 1 else "")


# ----------------------------------------------------------------------------------------------- reading

#: Signs that look alike, and fractions that are one sign.
_ALIKE = str.maketrans(
    {
        "−": "-", "‐": "-", "‑": "-", "—": "–", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "⁄": "/",
        "″": '"', "“": '"', "”": '"', "′": "'", "’": "'", "º": "°", "˚": "°", "℃": "°C", "℉": "°F",
        "μ": "µ", "\u2126": "Ω",
        "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
        "⅓": " 1/3", "⅔": " 2/3",
    }
)  # fmt: skip

#: Bounded, so that no text can ask for a number without end.
_FRACTION = r"[0-9]{1,9}/[1-9][0-9]{0,8}"
_NUMBER = rf"[+-]?(?:[0-9]{{1,30}}[ -]{_FRACTION}|{_FRACTION}|[0-9]{{1,30}}(?:\.[0-9]{{1,30}})?)"
#: A unit has no figures but the 2 or 3 of a square or a cube, and `1/min`.
_SIGN = r"[^0-9\s.,+±/=()–-]"
_UNIT = rf"(?:1/min|{_SIGN}[^0-9,()–]*?[23]?)"
_SINGLE = re.compile(rf"(?!.*\.\.)({_NUMBER})\s*({_UNIT})?")
_COMPOUND = re.compile(rf"(?:[0-9]{{1,30}}\s*{_SIGN}[^0-9\s.,()–-]*\s*)+(?=[0-9]){_NUMBER}\s*{_UNIT}")
_NUMBER_AND_UNIT = re.compile(rf"({_NUMBER})\s*({_SIGN}[^0-9,()–-]*)")
_PAIR = re.compile(r"([^()]*?)\s*\(([^()]*)\)")
#: What stands between the ends of a range, the surest first: a hyphen may belong to a unit or a fraction.
_BETWEEN = tuple(re.compile(rf"\s*{sign}\s*") for sign in (r"\.\.", r"(?<=\s)to(?=\s)", "–", "-"))

#: A number and its unit as typed; the unit is empty where there is none.
_Part = tuple[str, str]

#: Units that may stand together in one value, the largest first.
_TOGETHER = (("day", "h", "min", "s"), ("ft", "in"), ("lb", "oz"))


@lru_cache(maxsize=1 << 16)
def parse(text: str, kind: Kind | str | tuple[Kind | str, ...] = (), *, signed: bool = False) -> Amount:
    """Read a quantity, a range (`45..55 N·m`) or a printed pair (`20 lbf·ft (27 N·m)`).

    It is of that kind, of one of several, or of any that has units, if none is given. `signed` allows
    what may be negative as a reading, but not as a size.

    Raises: BadQuantity.
    """
    kinds = (kind,) if isinstance(kind, str) else kind
    wanted = tuple(Kind(each) for each in kinds) or tuple(each for each in Kind if each not in WITHOUT_UNIT)
    plain = " ".join(text.translate(_ALIKE).split())
    paired = _PAIR.fullmatch(plain)
    if not paired:
        return _read_side(plain, text, wanted, signed)
    first = _read_side(paired[1], text, wanted, signed)
    twin = _read_twin(paired[2], text, first.kind, signed)
    if isinstance(first, Range) != isinstance(twin, Range):
        raise BadQuantity(
            f"`{text}` is a range on one side and a single value on the other", "write both sides alike"
        )
    if {first.low.unit, first.high.unit} & {twin.low.unit, twin.high.unit}:
        raise BadQuantity(f"`{text}` gives two values in one unit", "keep the one that is right")
    return Pair(first, twin, text)


def one(text: str, kind: Kind | str | tuple[Kind | str, ...] = (), *, signed: bool = False) -> Quantity:
    """Read a single quantity. Raises: BadQuantity, also for a range or a pair."""
    value = parse(text, kind, signed=signed)
    if isinstance(value, Quantity):
        return value
    what = "a range" if isinstance(value, Range) else "a value printed in two units"
    raise BadQuantity(
        f"`{text}` is {what}, and a single value belongs here", f"write one value, such as `{value.low}`"
    )


def _read_side(plain: str, text: str, wanted: tuple[Kind, ...], signed: bool) -> Quantity | Range:
    if not _SINGLE.fullmatch(plain):
        for match in (match for between in _BETWEEN for match in between.finditer(plain)):
            left, right = _parts(plain[: match.start()]), _parts(plain[match.end() :])
            if left and right and (left[-1][1] or len(right) == 1):
                return _range(left, right, text, wanted, signed)
    parts = _parts(plain)
    if parts:
        return _quantity(parts, text, wanted, signed)
    raise _unread(plain, text, wanted)


def _read_twin(plain: str, text: str, kind: Kind, signed: bool) -> Quantity | Range:
    if not plain[:1].isdigit() and plain[:1] not in ("-", "+"):
        raise BadQuantity(
            f"`{text}` has something else than a second unit in brackets",
            "keep in the brackets only the same value in another unit, or leave them out",
        )
    return _read_side(plain, text, (kind,), signed)


def _parts(plain: str) -> list[_Part] | None:
    """Split `1 h 20 min` into its numbers and units, `45` into a number without a unit.

    None, if the text is no such thing.
    """
    single = _SINGLE.fullmatch(plain)
    if single:
        return [(single[1], single[2] or "")]
    if _COMPOUND.fullmatch(plain):
        return [(match[1], match[2]) for match in _NUMBER_AND_UNIT.finditer(plain)]
    return None


def _range(left: list[_Part], right: list[_Part], text: str, wanted: tuple[Kind, ...], signed: bool) -> Range:
    high = _quantity(right, text, wanted, signed)
    low = _quantity(left if left[-1][1] else [(left[0][0], right[-1][1])], text, (high.kind,), signed)
    if low.si > high.si:
        raise BadQuantity(f"`{text}` runs downwards", f"write `{Range(high, low)}`")
    return Range(low, high, text)


def _quantity(parts: list[_Part], text: str, wanted: tuple[Kind, ...], signed: bool) -> Quantity:
    units = []
    for _, typed in parts:
        unit = found(typed, wanted)
        if unit is None:
            raise bad_unit(text, typed.strip(), wanted)
        units.append(unit)
        wanted = (unit.kind,)
    last, kind = units[-1], units[-1].kind
    number, places = _number(parts[-1][0], text)
    if len(parts) > 1:
        number += _from_larger(parts, units, number, text)
    if number < 0 and kind is not Kind.TEMPERATURE and not (signed and kind in SIGNED):
        wrong = f"`{text}` is negative, which {with_article(kind)} cannot be here"
        raise BadQuantity(wrong, "write it without the minus sign")
    if kind is Kind.COUNT and places != 0:
        raise BadQuantity(f"`{text}` is not a whole number", "write a whole number, such as `4`")
    value = Quantity(kind, number, last.name, places, tuple(unit.name for unit in units[:-1]), text)
    if kind is Kind.TEMPERATURE and value.si < 0:
        raise BadQuantity(f"`{text}` is below absolute zero (-273.15 °C)", "write the temperature as read")
    return value


def _number(typed: str, text: str) -> tuple[Fraction, int | None]:
    """Give the number and its decimals (None: a fraction)."""
    if "/" not in typed:
        return Fraction(typed), len(typed.partition(".")[2])
    sign = -1 if typed.startswith("-") else 1
    whole, _, rest = re.sub(r"[ -](?=.*/)", " ", typed.lstrip("+-")).rpartition(" ")
    part = Fraction(rest)
    if whole and part >= 1:
        raise BadQuantity(f"`{text}` has {rest} after a whole number", "write a fraction less than one")
    number = sign * (int(whole or 0) + part)
    return number, 0 if number.denominator == 1 else None


def _from_larger(parts: list[_Part], units: list[Unit], last: Fraction, text: str) -> Fraction:
    """Add up the larger units of `1 h 20 min`, in the last one."""
    names = [unit.name for unit in units]
    order = next((order for order in _TOGETHER if names[0] in order), ())
    start = order.index(names[0]) if order else 0
    if names != list(order[start : start + len(names)]):
        mend = "write it in one unit, or as in `1 h 20 min`"
        raise BadQuantity(f"`{text}` joins units that do not follow each other", mend)
    numbers = [*(Fraction(number) for number, _ in parts[:-1]), last]
    for number, unit, above in zip(numbers[1:], units[1:], units[:-1], strict=True):
        if number * unit.factor >= above.factor:
            wrong = f"`{text}` has {number} {unit.name} after the {above.name}"
            raise BadQuantity(wrong, f"carry over each whole {above.name}")
    carried = (unit.to_si(number) for number, unit in zip(numbers[:-1], units[:-1], strict=True))
    return sum(carried, Fraction(0)) / units[-1].factor


def _unread(plain: str, text: str, wanted: tuple[Kind, ...]) -> BadQuantity:
    """Say why a text is neither a quantity nor a range."""
    if not plain:
        return BadQuantity("there is no value", f"write one, such as `{example(wanted[0])}`")
    both_ends = f", as in `40..50{units_of(wanted[0])[0].after(Fraction(50))}`"
    if re.search(r"[0-9],[0-9]", plain):
        pointed, joined = (re.sub(r"(?<=[0-9]),(?=[0-9])", sign, plain) for sign in (".", ""))
        mend = f"write `{pointed}`, with a point for decimals"
        if re.search(r"[0-9],[0-9]{3}(?![0-9])", plain):
            mend = f"write `{joined}` for thousands, or `{pointed}` with a point for decimals"
        return BadQuantity(f"`{text}` has a comma in the number", mend)
    if "±" in plain or "+/-" in plain:
        return BadQuantity(f"`{text}` gives a tolerance", f"write the least and the most{both_ends}")
    if plain.startswith("..") or plain.endswith(".."):
        return BadQuantity(f"`{text}` is a range with one end", f"write both ends{both_ends}")
    if re.match(r"[+-]?\.[0-9]", plain):
        return BadQuantity(f"`{text}` has nothing before the point", f"write `{plain.replace('.', '0.', 1)}`")
    if re.match(r"[0-9]+(?: [0-9]{3})+(?![0-9/])", plain):
        closed = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", plain)
        return BadQuantity(f"`{text}` has a space in the number", f"write `{closed}`")
    if re.search(r"[^0-9 ] *(?:[/=]|\bor\b) *[0-9]", plain):
        mend = "write the second in brackets, as in `20 lbf·ft (27 N·m)`, or leave it out"
        return BadQuantity(f"`{text}` is two values", mend)
    what = any_of([with_article(kind) for kind in wanted]) if len(wanted) < 4 else "a number with a unit"
    how = "a number" if wanted[0] in WITHOUT_UNIT else "a number and its unit"
    return BadQuantity(f"`{text}` is not {what}", f"write {how}, such as `{example(wanted[0])}`")
