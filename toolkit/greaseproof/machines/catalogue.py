"""The plain records that a universe is made from: features, machines, kept machines and conditions on them.

They hold no file, span or YAML; whoever reads the author's files turns them into these.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

__all__ = [
    "ABSENT",
    "AXES",
    "Build",
    "CatalogueError",
    "Choice",
    "Feature",
    "Interval",
    "Kept",
    "Machine",
    "Mention",
    "NotToldApartError",
    "Stretch",
    "Test",
    "UnknownNameError",
    "Where",
    "WrongTestError",
]

#: The value of a feature that a machine does not name, and of an axis that it does not have.
ABSENT = "absent"

#: The ordered axes: years built, serial numbers, engine numbers.
AXES = ("built", "serial", "engine")


class UnknownNameError(LookupError):
    """Nothing of this `kind` is called `name`; `near` holds the nearest known names, best first."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind = kind
        self.name = name
        self.near = tuple(get_close_matches(name, sorted(known), n=3))
        hint = f"; did you mean {' or '.join(self.near)}?" if self.near else ""
        super().__init__(f"there is no {kind} {name!r}{hint}")

    def __str__(self) -> str:
        return str(self.args[0])


class WrongTestError(TypeError):
    """A feature was asked for a range, or an axis for a word."""


class NotToldApartError(ValueError):
    """A range ends where the universe does not split a machine's axis: it was not among the `cuts`."""


class CatalogueError(ValueError):
    """The catalogue contradicts itself, so that no set of machines can be made from it."""


@dataclass(frozen=True, slots=True, order=False)
class Interval:
    """The whole numbers from `lo` to `hi`, both included; None: no end on that side."""

    lo: int | None
    hi: int | None

    def __post_init__(self) -> None:
        if self.lo is not None and self.hi is not None and self.lo > self.hi:
            raise ValueError(f"the range {self.lo}..{self.hi} ends before it begins")

    def __contains__(self, number: int) -> bool:
        return (self.lo is None or self.lo <= number) and (self.hi is None or number <= self.hi)

    def __str__(self) -> str:
        if self.lo is not None and self.lo == self.hi:
            return str(self.lo)
        return f"{'' if self.lo is None else self.lo}..{'' if self.hi is None else self.hi}"

    def covers(self, other: Interval) -> bool:
        """Whether all of `other` lies in this range."""
        below = self.lo is None or (other.lo is not None and self.lo <= other.lo)
        return below and (self.hi is None or (other.hi is not None and other.hi <= self.hi))

    def meets(self, other: Interval) -> bool:
        """Whether any number lies in both."""
        below = self.lo is None or other.hi is None or self.lo <= other.hi
        return below and (self.hi is None or other.lo is None or other.lo <= self.hi)

    def cuts(self) -> tuple[int, ...]:
        """The numbers at which something new begins: where this range starts, and just after it ends."""
        return (() if self.lo is None else (self.lo,)) + (() if self.hi is None else (self.hi + 1,))

    def split(self, cuts: Iterable[int]) -> tuple[Interval, ...]:
        """This range in ascending pieces, a new one beginning at every cut inside it."""
        inside = sorted({cut for cut in cuts if cut in self and cut != self.lo})
        starts, ends = [self.lo, *inside], [*(cut - 1 for cut in inside), self.hi]
        return tuple(Interval(lo, hi) for lo, hi in zip(starts, ends, strict=True))


@dataclass(frozen=True, slots=True)
class Feature:
    """Something by which machines differ. `absent` need not be among the values."""

    id: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """The values of a feature along a part of an axis."""

    axis: str
    interval: Interval
    values: tuple[str, ...]


#: The values a feature may have: one, several where it is left open, or several stretches of an axis. Where
#: stretches meet, any of their values may be there; where none reaches, the feature is absent.
Choice = tuple[str, ...] | tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class Build:
    """Options that come together, and the parts of the axes to which they are confined."""

    has: Mapping[str, Choice] = field(default_factory=dict)
    axes: Mapping[str, Interval] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Machine:
    """A model. Several builds: options that only come together. An axis left out: it has none."""

    id: str
    name: str
    axes: Mapping[str, Interval] = field(default_factory=dict)
    builds: tuple[Build, ...] = (Build(),)


@dataclass(frozen=True, slots=True)
class Kept:
    """One of the workshop's own machines: a `machine` of the catalogue, narrowed by `axes` and `has`.

    Where `axes` or `has` contradict the catalogue, the machine is taken as described here.
    """

    id: str
    machine: str
    axes: Mapping[str, Interval] = field(default_factory=dict)
    has: Mapping[str, Choice] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Test:
    """A feature, `machine`, `kept` or axis has any of these values: words for a feature, ranges for an axis.

    `absent` may be asked of a feature, of `kept` (not one of the workshop's own) and of an axis.
    """

    __test__ = False  # not a class of tests

    name: str
    any_of: tuple[str | Interval, ...]


#: Where something applies: any of these, in each of which all of the tests hold. `((),)` holds everywhere.
Where = tuple[tuple[Test, ...], ...]


@dataclass(frozen=True, slots=True)
class Mention:
    """What a procedure speaks of, and so what tells one of its variants from another.

    `cuts` are pairs of an axis and a range on it; `looks` are keys of looks and of answers.
    """

    features: frozenset[str] = frozenset()
    cuts: frozenset[tuple[str, Interval]] = frozenset()
    looks: frozenset[Hashable] = frozenset()

    @classmethod
    def of(cls, where: Where) -> Mention:
        """What a condition mentions."""
        tests = [test for alternative in where for test in alternative]
        return cls(
            features=frozenset(test.name for test in tests if test.name not in AXES),
            cuts=frozenset(
                (test.name, value) for test in tests for value in test.any_of if isinstance(value, Interval)
            ),
        )

    def __or__(self, other: Mention) -> Mention:
        return Mention(self.features | other.features, self.cuts | other.cuts, self.looks | other.looks)
