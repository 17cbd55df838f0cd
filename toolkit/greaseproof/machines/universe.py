"""A universe: every variant of every machine, and the sets that features, axes and conditions name."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from random import Random
from typing import Any, NamedTuple, TypeVar

from .catalogue import (
    ABSENT,
    AXES,
    Build,
    CatalogueError,
    Choice,
    Feature,
    Interval,
    Kept,
    Machine,
    Mention,
    NotToldApartError,
    Stretch,
    UnknownNameError,
    Where,
    WrongTestError,
)
from .variants import Space, Variants

__all__ = ["Question", "Universe", "Variant"]

K = TypeVar("K", bound=Hashable)
R = TypeVar("R", Feature, Machine, Kept)

#: How far beyond its known end an open stretch is drawn from.
BEYOND = 1000

#: The possible values of each feature, in the order of the features.
Fit = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Variant:
    """One concrete machine: a number on each axis that it has, a value for each feature.

    `looks` says what is there and `answers` what was answered; a key left out is there, or has the first
    answer.
    """

    machine: str
    kept: str | None
    axes: Mapping[str, int]
    values: Mapping[str, str]
    looks: Mapping[Hashable, bool] = field(default_factory=dict)
    answers: Mapping[Hashable, str] = field(default_factory=dict)

    def __str__(self) -> str:
        """Everything about it; a short description for people is `words.example`."""
        parts = [f"machine: {self.machine}"] + ([f"kept: {self.kept}"] if self.kept is not None else [])
        parts += [f"{name}: {value}" for name, value in (*self.axes.items(), *self.values.items())]
        parts += [f"{key}: {'there' if there else 'not there'}" for key, there in self.looks.items()]
        return "; ".join(parts + [f"{key}: {answer}" for key, answer in self.answers.items()])


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the machine in front of you can answer; a look has the values `True` and `False`."""

    key: Hashable
    says: str
    values: tuple[str | bool, ...]
    level: int


class Point(NamedTuple):
    """A base point: a model or kept machine, a stretch of each axis (None: has none), what may be fitted."""

    machine: str
    kept: str | None
    axes: tuple[Interval | None, ...]
    fit: Fit


class Universe:
    """All variants of all machines.

    `cuts`: for each axis the ranges that are mentioned anywhere; a machine's axis is split where one of them
    or the catalogue changes something, and a condition can speak of no other ranges.

    Raises: CatalogueError, UnknownNameError, WrongTestError for records that contradict themselves or each
    other.
    """

    def __init__(
        self,
        features: Sequence[Feature],
        machines: Sequence[Machine],
        kept: Sequence[Kept] = (),
        cuts: Mapping[str, Iterable[Interval]] | None = None,
    ) -> None:
        self.machines: dict[str, Machine] = _by_id("machine", machines)
        self.kept: dict[str, Kept] = _by_id("kept machine", kept)
        self.features = {
            each.id: tuple(dict.fromkeys((*each.values, ABSENT)))
            for each in _by_id("feature", features).values()
        }
        for name in ("machine", "kept", *AXES):
            if name in self.features:
                raise CatalogueError(
                    f"a feature cannot be called {name!r}: that name has a meaning of its own"
                )
        for axis in cuts or {}:
            self._need_axis(axis)
        #: The numbers at which a new stretch begins on every machine.
        self._cuts = {
            axis: {cut for interval in (cuts or {}).get(axis, ()) for cut in interval.cuts()} for axis in AXES
        }
        #: The kept machines that contradict the catalogue: proven as described, not as built.
        self.departing: tuple[str, ...] = ()

        self._points: list[Point] = []
        for machine in self.machines.values():
            self._points += self._points_of(machine.id, None, machine.axes, machine.builds)
        for each in self.kept.values():
            self._points += self._points_of_kept(each)
        #: The base points of each model and kept machine.
        self._places: dict[tuple[str, str | None], list[int]] = {}
        for index, point in enumerate(self._points):
            self._places.setdefault((point.machine, point.kept), []).append(index)
        self._space = Space(len(self._points), self._locate)
        self.all = self._space.all
        self.none = self._space.none

        by_fit: dict[Fit, list[int]] = {}
        for index, point in enumerate(self._points):
            by_fit.setdefault(point.fit, []).append(index)
        fits = {fit: self._mask(indexes) for fit, indexes in by_fit.items()}
        #: For each feature and value: the points at which nothing else is possible.
        self._settled: dict[str, dict[str, int]] = {}
        #: For each feature that is open somewhere: its level, and the values among which it is open.
        self._open: dict[str, tuple[int, tuple[str, ...]]] = {}
        for at, (name, values) in enumerate(self.features.items()):
            settled, possible = dict.fromkeys(values, 0), dict.fromkeys(values, 0)
            for fit, mask in fits.items():
                for value in fit[at]:
                    (settled if len(fit[at]) == 1 else possible)[value] |= mask
            self._settled[name] = settled
            open_values = tuple(value for value in values if possible[value])
            if open_values:
                level = self._space.choice([possible[value] for value in open_values])
                self._open[name] = level, open_values
        self._heads: dict[str, dict[str, int]] = {
            "machine": self._masks(point.machine for point in self._points),
            "kept": self._masks(point.kept or ABSENT for point in self._points),
        }
        #: For each axis and stretch of it: the points there. None: the machine has no such axis.
        self._stretches: dict[str, dict[Interval | None, int]] = {
            axis: self._masks(point.axes[at] for point in self._points) for at, axis in enumerate(AXES)
        }
        #: For each level what is chosen there: a feature, a look or an answer.
        self._at_level: dict[int, str | Question] = {level: name for name, (level, _) in self._open.items()}
        #: Looks and answers by key, in order of first use.
        self.questions: dict[Hashable, Question] = {}
        self._reach: dict[tuple[str, Interval], tuple[Variants, Variants]] = {}
        self._tests: dict[tuple[str, tuple[str | Interval, ...]], Variants] = {}
        self._classes: dict[tuple[frozenset[str], frozenset[tuple[str, Interval]]], list[int]] = {}
        self._last: tuple[Variant, int] | None = None

    # Base points

    def _points_of(
        self,
        machine: str,
        kept: str | None,
        axes: Mapping[str, Interval],
        builds: Sequence[Build],
        described: Mapping[str, Choice] | None = None,
    ) -> Iterator[Point]:
        """The base points of one machine, without overlap.

        `described`: only the builds that leave room for this, and of them only as much.
        """
        described = described or {}
        changes = [change for build in (*builds, Build(described)) for change in self._changes(build)]
        cells: list[tuple[Interval | None, ...]] = []
        for axis in AXES:
            own = [interval for name, interval in changes if name == axis]
            if axis in axes or own:
                cuts = self._cuts[axis].union(*(interval.cuts() for interval in own))
                cells.append(axes.get(axis, Interval(None, None)).split(cuts))
            else:
                cells.append((None,))
        for cell in product(*cells):
            along = dict(zip(AXES, cell, strict=True))
            fits: list[Fit] = []
            for build in builds:
                if not all(_reaches(interval, along[axis]) for axis, interval in build.axes.items()):
                    continue
                fit = self._fit(build.has, along)
                wanted = self._fit(described, along)
                pairs = list(zip(self.features, wanted, fit, strict=True))
                fit = tuple(
                    tuple(value for value in may if value in want) if name in described else may
                    for name, want, may in pairs
                )
                if not all(fit):
                    continue
                parts: list[Fit] = [fit]
                for earlier in fits:  # what two builds share is one variant, not two
                    parts = [rest for part in parts for rest in _beyond(part, earlier)]
                fits += parts
            for fit in fits:
                yield Point(machine, kept, cell, fit)

    def _points_of_kept(self, kept: Kept) -> list[Point]:
        if kept.machine not in self.machines:
            raise UnknownNameError("machine", kept.machine, self.machines)
        model = self.machines[kept.machine]
        implied = {axis: Interval(None, None) for build in model.builds for axis, _ in self._changes(build)}
        axes = {**implied, **model.axes, **kept.axes}
        points = list(self._points_of(model.id, kept.id, axes, model.builds, kept.has))
        beyond = any(
            axis in model.axes and not model.axes[axis].covers(interval)
            for axis, interval in kept.axes.items()
        )
        if beyond or not points:
            self.departing += (kept.id,)
        if not points:
            builds = tuple(Build(has={**build.has, **kept.has}) for build in model.builds)
            points = list(self._points_of(model.id, kept.id, axes, builds))
        return points

    def _fit(self, has: Mapping[str, Choice], along: Mapping[str, Interval | None]) -> Fit:
        return tuple(
            tuple(sorted(set(_values_at(has.get(name, ()), along)), key=values.index)) or (ABSENT,)
            for name, values in self.features.items()
        )

    def _changes(self, build: Build) -> list[tuple[str, Interval]]:
        """The ranges of axes of which a build speaks. Raises: UnknownNameError for what it does not know."""
        changes = list(build.axes.items())
        for name, choice in build.has.items():
            if name not in self.features:
                raise UnknownNameError("feature", name, self.features)
            values: list[str] = []
            for each in choice:
                if isinstance(each, Stretch):
                    changes.append((each.axis, each.interval))
                    values += each.values
                else:
                    values.append(each)
            for value in values:
                if value not in self.features[name]:
                    raise UnknownNameError(f"value of {name}", value, self.features[name])
        for axis, _ in changes:
            self._need_axis(axis)
        return changes

    def _need_axis(self, axis: str) -> None:
        if axis not in AXES:
            raise UnknownNameError("axis", axis, AXES)

    def _mask(self, indexes: Iterable[int]) -> int:
        # by bytes: setting one bit of a long integer copies all of it
        bits = bytearray(len(self._points) // 8 + 1)
        for index in indexes:
            bits[index >> 3] |= 1 << (index & 7)
        return int.from_bytes(bits, "little")

    def _masks(self, keys: Iterable[K]) -> dict[K, int]:
        indexes: dict[K, list[int]] = {}
        for index, key in enumerate(keys):
            indexes.setdefault(key, []).append(index)
        return {key: self._mask(each) for key, each in indexes.items()}

    # Sets

    def where(self, where: Where) -> Variants:
        """The variants to which a condition applies."""
        found = self.none
        for alternative in where:
            every = self.all
            for test in alternative:
                every &= self.test(test.name, test.any_of)
            found |= every
        return found

    def machine(self, id: str) -> Variants:
        """All variants of one model, the kept ones among them."""
        return self.test("machine", (id,))

    def test(self, name: str, any_of: Iterable[str | Interval], among: Variants | None = None) -> Variants:
        """The variants (among those) where a feature, axis, `machine` or `kept` has any of these values.

        A range never holds for a machine that does not have its axis.

        Raises: UnknownNameError for a feature or value, WrongTestError for a range where a word belongs or
        the reverse, NotToldApartError for a range that ends within a stretch of a machine in `among`.
        """
        wanted = tuple(any_of)
        known = self._tests.get((name, wanted))
        if known is None:
            if name in AXES:
                inside, partly = self._on_axis(name, wanted)
                torn = partly & (self.all if among is None else among)
                if torn:
                    machine = self.first(torn)
                    raise NotToldApartError(
                        f"{name} {' or '.join(map(str, wanted))} ends within a stretch of "
                        f"{machine.machine} that was not split there"
                    )
                if partly:
                    return inside if among is None else inside & among
                known = inside
            else:
                known = self._on_feature(name, wanted)
            self._tests[name, wanted] = known
        return known if among is None else known & among

    def _on_feature(self, name: str, wanted: Sequence[str | Interval]) -> Variants:
        known = self.values(name)
        for value in wanted:
            if isinstance(value, Interval):
                raise WrongTestError(f"{name} is not an axis: it has no range {value}")
            if value not in known:
                raise UnknownNameError(
                    name if name in ("machine", "kept") else f"value of {name}", value, known
                )
        if name in self._heads:
            return self._space.points(_union(self._heads[name].get(str(value), 0) for value in wanted))
        settled = _union(self._settled[name][str(value)] for value in wanted)
        if name not in self._open:
            return self._space.points(settled)
        level, values = self._open[name]
        return self._space.chosen(level, [at for at, value in enumerate(values) if value in wanted], settled)

    def _on_axis(self, axis: str, wanted: Sequence[str | Interval]) -> tuple[Variants, Variants]:
        """The stretches that lie in one of the ranges, and those that only reach into one."""
        inside = partly = 0
        for stretch, mask in self._stretches[axis].items():
            for value in wanted:
                if not isinstance(value, Interval) and value != ABSENT:
                    raise WrongTestError(f"{axis} is an axis: {value!r} is not a range")
                if stretch is None or not isinstance(value, Interval):
                    inside |= mask if stretch is None and value == ABSENT else 0
                elif value.covers(stretch):
                    inside |= mask
                elif value.meets(stretch):
                    partly |= mask
        return self._space.points(inside), self._space.points(partly ^ (partly & inside))

    def reach(self, axis: str, interval: Interval) -> tuple[Variants, Variants]:
        """The variants whose stretch of the axis lies in the range, and those whose stretch only meets it."""
        self._need_axis(axis)
        known = self._reach.get((axis, interval))
        if known is None:
            known = self._reach[axis, interval] = self._on_axis(axis, (interval,))
        return known

    def ends(self, axis: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The numbers at which any stretch of an axis begins, and at which any ends, ascending."""
        stretches = [stretch for stretch in self._stretches[axis] if stretch is not None]
        return (
            tuple(sorted({stretch.lo for stretch in stretches if stretch.lo is not None})),
            tuple(sorted({stretch.hi for stretch in stretches if stretch.hi is not None})),
        )

    def extent(self, axis: str, machine: str) -> Interval:
        """From where to where the variants of one model reach on an axis, the kept ones among them."""
        return _extent(point.axes[AXES.index(axis)] for point in self._points if point.machine == machine)

    def stretches(self, variant: Variant) -> dict[str, Interval]:
        """On each axis of a variant the stretch it stands in, open where the machine goes no further."""
        found = {}
        points = [self._points[at].axes for at in self._places[variant.machine, variant.kept]]
        for at, (axis, stretch) in enumerate(zip(AXES, self._points[self._find(variant)].axes, strict=True)):
            if stretch is not None:
                extent = _extent(axes[at] for axes in points)
                lo = None if stretch.lo == extent.lo else stretch.lo
                found[axis] = Interval(lo, None if stretch.hi == extent.hi else stretch.hi)
        return found

    def values(self, name: str) -> tuple[str, ...]:
        """The values of a feature, `machine` or `kept`, in order. Raises: UnknownNameError."""
        if name == "machine":
            return tuple(self.machines)
        if name == "kept":
            return (*self.kept, ABSENT)
        if name not in self.features:
            raise UnknownNameError("feature", name, (*self.features, "machine", "kept", *AXES))
        return self.features[name]

    def look(self, key: Hashable, says: str | None = None) -> Variants:
        """Where the thing named by `key` is there: a choice of its own, free on every machine.

        Made on first use; `says` is then what words call it (else the key itself).
        """
        self._question(key, says, (True, False))
        return self.ways(key)[True]

    def answers(self, key: Hashable, values: Iterable[str], says: str | None = None) -> dict[str, Variants]:
        """Where each answer to the question `key` is given: a choice of its own, free on every machine."""
        self._question(key, says, tuple(values))
        return {str(value): chosen for value, chosen in self.ways(key).items()}

    def ways(self, key: Hashable) -> dict[bool | str, Variants]:
        """Where each value of a look (`True`, `False`) or question is given. Raises: UnknownNameError."""
        if key not in self.questions:
            raise UnknownNameError("look or question", str(key), map(str, self.questions))
        question = self.questions[key]
        return {
            value: self._space.chosen(question.level, (at,), 0) for at, value in enumerate(question.values)
        }

    def _question(self, key: Hashable, says: str | None, values: tuple[str | bool, ...]) -> Question:
        question = self.questions.get(key)
        if question is None:
            if len(set(values)) != len(values) or not values:
                raise CatalogueError(f"the question {key!r} needs answers, each but once: {values!r}")
            level = self._space.choice([self._space.somewhere(self.all)] * len(values))
            question = self.questions[key] = Question(key, str(key) if says is None else says, values, level)
            self._at_level[level] = question
        elif question.values != values:
            raise CatalogueError(
                f"{key!r} was asked before with other answers: {question.values!r}, now {values!r}"
            )
        return question

    # Sets from sets

    def some(self, of: Variants, keys: Iterable[Hashable]) -> Variants:
        """The variants that some way to settle these looks and answers brings into the set."""
        return self._space.some(of, {self.questions[key].level for key in keys if key in self.questions})

    def every(self, of: Variants, keys: Iterable[Hashable]) -> Variants:
        """The variants that are in the set however these looks and answers are settled."""
        return ~self.some(~of, keys)

    def settle(self, of: Variants, by: Mapping[Hashable, Mapping[Any, Variants]]) -> Variants:
        """The set in which looks and answers are no longer free: a value stands where its set in `by` says.

        For each key one set a value (True, False for a look), without overlap, together everything. All at
        once, so that two keys may change places.
        """
        parts = {}
        for key, sets in by.items():
            if key in self.questions:
                question = self.questions[key]
                parts[question.level] = [sets[value] for value in question.values]
        return self._space.replace(of, parts)

    def weight(self, of: Variants) -> float:
        """How large a set is, were all values of a choice alike on all machines; for comparing only."""
        return self._space.weight(of)

    def asked(self, of: Variants) -> list[Hashable]:
        """The keys of the looks and answers on which a set depends, in order of first use."""
        asked = (self._at_level[level] for level in self._space.support(of))
        return [question.key for question in asked if isinstance(question, Question)]

    # Concrete variants

    def first(self, of: Variants) -> Variant:
        """The first variant of a set in the order of the catalogue. Raises: ValueError, if it is empty."""
        if not of:
            raise ValueError("an empty set has no first variant")
        point, chosen = self._space.first(of)
        return self._variant(point, chosen, self.asked(of))

    def variants_of(self, of: Variants) -> Iterator[Variant]:
        """Every concrete variant of a set, with those looks and answers on which the set depends.

        There may be very many; the caller stops when it has enough.
        """
        asked = self.asked(of)
        levels = [level for level, _ in self._open.values()] + [self.questions[key].level for key in asked]
        for point, chosen in self._space.paths(of):
            free = [level for level in levels if level not in chosen]
            for values in product(*(self._space.possible(point, level) or (0,) for level in free)):
                yield self._variant(point, chosen | dict(zip(free, values, strict=True)), asked)

    def sample(self, rng: Random) -> Variant:
        """A random variant, all base points alike, with every look and answer settled."""
        point = rng.randrange(len(self._points))
        levels = [level for level, _ in self._open.values()] + [
            each.level for each in self.questions.values()
        ]
        chosen = {level: rng.choice(self._space.possible(point, level) or [0]) for level in levels}

        def pick(stretch: Interval) -> int:
            lo = (
                stretch.lo
                if stretch.lo is not None
                else (BEYOND if stretch.hi is None else stretch.hi) - BEYOND
            )
            return rng.randint(lo, stretch.hi if stretch.hi is not None else lo + BEYOND)

        return self._variant(point, chosen, list(self.questions), pick)

    def _variant(
        self,
        at: int,
        chosen: Mapping[int, int],
        asked: Iterable[Hashable],
        pick: Callable[[Interval], int] = lambda stretch: stretch.lo or stretch.hi or 0,
    ) -> Variant:
        point = self._points[at]
        values = {}
        for (name, _), may in zip(self.features.items(), point.fit, strict=True):
            values[name] = may[0]
            if len(may) > 1:
                level, open_values = self._open[name]
                values[name] = open_values[chosen[level]] if level in chosen else may[0]
        looks, answers = {}, {}
        for question in (self.questions[key] for key in asked):
            value = question.values[chosen.get(question.level, 0)]
            if isinstance(value, bool):
                looks[question.key] = value
            else:
                answers[question.key] = value
        axes = {
            axis: pick(stretch) for axis, stretch in zip(AXES, point.axes, strict=True) if stretch is not None
        }
        return Variant(point.machine, point.kept, axes, values, looks, answers)

    def _locate(self, variant: object) -> tuple[int, Callable[[int], int]]:
        if not isinstance(variant, Variant):
            raise TypeError(f"a set of variants holds no {type(variant).__name__}")
        if self._last is None or self._last[0] is not variant:
            self._last = variant, self._find(variant)
        at = self._last[1]

        def value_at(level: int) -> int:
            asked = self._at_level[level]
            if isinstance(asked, str):
                values = self._open[asked][1]
                # a value that is nowhere left open is settled at this point: all children agree there
                return values.index(variant.values[asked]) if variant.values[asked] in values else 0
            given: object = (variant.looks if asked.values[0] is True else variant.answers).get(
                asked.key, asked.values[0]
            )
            if given not in asked.values:
                raise UnknownNameError(f"answer to {asked.says}", str(given), map(str, asked.values))
            return asked.values.index(given)

        return at, value_at

    def _find(self, variant: Variant) -> int:
        """The base point of a concrete variant. Raises: LookupError, if the catalogue has no such machine."""
        if variant.machine not in self.machines:
            raise UnknownNameError("machine", variant.machine, self.machines)
        for at in self._places.get((variant.machine, variant.kept), ()):
            point = self._points[at]
            if all(
                (stretch is None) == (axis not in variant.axes)
                and (stretch is None or variant.axes[axis] in stretch)
                for axis, stretch in zip(AXES, point.axes, strict=True)
            ) and all(
                variant.values[name] in may for name, may in zip(self.features, point.fit, strict=True)
            ):
                return at
        raise LookupError(f"no machine of the catalogue is like this: {variant}")

    # Counting

    def count(self, of: Variants, mention: Mention) -> int:
        """How many variants are in a set, told apart only by what is mentioned.

        A variant is a model or kept machine, a side of each mentioned range, and a possible value for each
        mentioned feature, look and answer; it is counted if anything else that may differ can bring it into
        the set.
        """
        for name in mention.features:
            self.values(name)
        levels = {self._open[name][0] for name in mention.features if name in self._open}
        for key in mention.looks:
            if key not in self.questions:
                raise UnknownNameError("look or question", str(key), map(str, self.questions))
            levels.add(self.questions[key].level)
        return self._space.count(of, levels, self._classes_of(mention))

    def _classes_of(self, mention: Mention) -> list[int]:
        key = mention.features, mention.cuts
        if key not in self._classes:
            fitted = [at for at, name in enumerate(self.features) if name in mention.features]
            cuts = [(AXES.index(axis), interval) for axis, interval in mention.cuts]

            def sides(point: Point) -> tuple[bool, ...]:
                stretches = ((point.axes[axis], interval) for axis, interval in cuts)
                return tuple(
                    stretch is not None and interval.covers(stretch) for stretch, interval in stretches
                )

            self._classes[key] = list(
                self._masks(
                    (point.machine, point.kept, tuple(point.fit[at] for at in fitted), sides(point))
                    for point in self._points
                ).values()
            )
        return self._classes[key]


def _by_id(kind: str, records: Sequence[R]) -> dict[str, R]:
    found = {record.id: record for record in records}
    if len(found) != len(records):
        twice = next(
            record.id for at, record in enumerate(records) if record.id in {r.id for r in records[:at]}
        )
        raise CatalogueError(f"two things are called {kind} {twice!r}")
    return found


def _values_at(choice: Choice, along: Mapping[str, Interval | None]) -> Iterator[str]:
    for each in choice:
        if not isinstance(each, Stretch):
            yield each
        elif _reaches(each.interval, along[each.axis]):
            yield from each.values


def _reaches(interval: Interval, stretch: Interval | None) -> bool:
    return stretch is not None and interval.covers(stretch)


def _beyond(part: Fit, earlier: Fit) -> list[Fit]:
    """What `part` allows and `earlier` does not, in parts without overlap."""
    shared = [
        tuple(value for value in may if value in before) for may, before in zip(part, earlier, strict=True)
    ]
    if not all(shared):
        return [part]
    beyond = []
    for at, (may, both) in enumerate(zip(part, shared, strict=True)):
        rest = tuple(value for value in may if value not in both)
        if rest:
            beyond.append((*shared[:at], rest, *part[at + 1 :]))
    return beyond


def _extent(stretches: Iterable[Interval | None]) -> Interval:
    """The narrowest range around all stretches; None: it has none of the axis, and takes no room on it."""
    known = [stretch for stretch in stretches if stretch is not None]
    begins = [stretch.lo for stretch in known if stretch.lo is not None]
    ends = [stretch.hi for stretch in known if stretch.hi is not None]
    return Interval(
        min(begins) if begins and len(begins) == len(known) else None,
        max(ends) if ends and len(ends) == len(known) else None,
    )


def _union(masks: Iterable[int]) -> int:
    total = 0
    for mask in masks:
        total |= mask
    return total
