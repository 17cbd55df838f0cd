"""Small random universes, conditions on them, and what both mean for one machine, worked out by hand.

Nothing here is shared with the sets: machines are listed number by number, and a condition is asked of one of
them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

from greaseproof.machines import (
    ABSENT,
    AXES,
    Build,
    Choice,
    Feature,
    Interval,
    Kept,
    Machine,
    Stretch,
    Universe,
    Variant,
    Variants,
)
from hypothesis import strategies as st

FEATURES = (
    Feature("charging", ("dynamo", "alternator")),
    Feature("fuel", ("petrol", "paraffin", "diesel")),
    Feature("front brake", ("disc", "drum")),
)
LOOKS = ("heat-shield", "guard, front")
QUESTION, ANSWERS = "spark", ("good", "weak", "none")
NUMBERS = range(4)
NAMES = ("Plover", "Plover Major", "Teal with Cab", "Plover")


@dataclass(frozen=True)
class Catalogue:
    """What a universe is made from, kept so that it can be read a second time."""

    features: tuple[Feature, ...]
    machines: tuple[Machine, ...]
    kept: tuple[Kept, ...]
    cuts: Mapping[str, tuple[Interval, ...]]

    def universe(self) -> Universe:
        """The universe, with all looks and the question known to it in one order."""
        universe = Universe(self.features, self.machines, self.kept, self.cuts)
        for key in LOOKS:
            universe.look(key)
        universe.answers(QUESTION, ANSWERS)
        return universe


@st.composite
def intervals(draw: st.DrawFn, ends: bool = True) -> Interval:
    lo, hi = sorted(draw(st.tuples(st.sampled_from(NUMBERS), st.sampled_from(NUMBERS))))
    return Interval(
        lo if not ends or draw(st.booleans()) else None, hi if not ends or draw(st.booleans()) else None
    )


@st.composite
def choices(draw: st.DrawFn, feature: Feature, axes: tuple[str, ...]) -> Choice:
    values = st.lists(st.sampled_from((*feature.values, ABSENT)), min_size=1, max_size=3, unique=True).map(
        tuple
    )
    if not axes or draw(st.integers(0, 2)):
        return draw(values)
    axis, cut = draw(st.sampled_from(axes)), draw(st.sampled_from(NUMBERS))
    early, late = Interval(None, cut), Interval(cut + 1, None)
    return (Stretch(axis, early, draw(values)), Stretch(axis, late, draw(values)))


@st.composite
def options(draw: st.DrawFn, features: tuple[Feature, ...], axes: tuple[str, ...]) -> dict[str, Choice]:
    return {each.id: draw(choices(each, axes)) for each in features if draw(st.integers(0, 3))}


@st.composite
def catalogues(draw: st.DrawFn) -> Catalogue:
    features = FEATURES[: draw(st.integers(1, len(FEATURES)))]
    machines = []
    for number in range(draw(st.integers(1, 3))):
        axes = {axis: draw(intervals(ends=False)) for axis in ("built", "serial") if draw(st.booleans())}
        builds = []
        for _ in range(draw(st.sampled_from((1, 1, 2, 3)))):
            own = {axis: draw(intervals()) for axis in axes if draw(st.integers(0, 4)) == 0}
            builds.append(Build(draw(options(features, tuple(axes))), own))
        machines.append(Machine(f"m{number}", NAMES[number], axes, tuple(builds)))
    kept = []
    for number in range(draw(st.integers(0, 2))):
        model = draw(st.sampled_from(machines))
        at = {
            axis: Interval(n, n)
            for axis in model.axes
            if (n := draw(st.one_of(st.none(), st.sampled_from(NUMBERS)))) is not None
        }
        kept.append(Kept(f"{number + 7}", model.id, at, draw(options(features[:1], ()))))
    cuts = {axis: tuple(draw(st.lists(intervals(), max_size=2))) for axis in ("built", "serial")}
    return Catalogue(features, tuple(machines), tuple(kept), cuts)


# Concrete machines, by hand


def possible(choice: Choice, axes: Mapping[str, int]) -> set[str]:
    found = {each for each in choice if isinstance(each, str)}
    for each in choice:
        if isinstance(each, Stretch) and each.axis in axes and axes[each.axis] in each.interval:
            found.update(each.values)
    return found or {ABSENT}


def fits(
    has: Mapping[str, Choice], features: tuple[Feature, ...], axes: Mapping[str, int]
) -> Iterator[dict[str, str]]:
    sets = [sorted(possible(has.get(each.id, ()), axes)) for each in features]
    for values in product(*sets):
        yield dict(zip((each.id for each in features), values, strict=True))


def numbers(interval: Interval) -> list[int]:
    return [number for number in NUMBERS if number in interval]


def concrete(catalogue: Catalogue) -> list[tuple[str, str | None, dict[str, int], dict[str, str]]]:
    """Every machine there can be: model, kept machine, a number on each axis, a value for each feature."""
    found: dict[tuple[object, ...], tuple[str, str | None, dict[str, int], dict[str, str]]] = {}

    def add(
        machine: Machine, kept: Kept | None, axes: Mapping[str, Interval], builds: tuple[Build, ...]
    ) -> bool:
        before = len(found)
        for at in product(*(numbers(interval) for interval in axes.values())):
            place = dict(zip(axes, at, strict=True))
            for build in builds:
                if not all(place[axis] in interval for axis, interval in build.axes.items()):
                    continue
                for values in fits(build.has, catalogue.features, place):
                    if kept is not None and any(
                        values[name] not in possible(choice, place)
                        for name, choice in kept.has.items()
                    ):
                        continue
                    id = None if kept is None else kept.id
                    found[machine.id, id, *place.items(), *values.items()] = (machine.id, id, place, values)
        return len(found) > before

    for machine in catalogue.machines:
        add(machine, None, machine.axes, machine.builds)
    for kept in catalogue.kept:
        model = next(each for each in catalogue.machines if each.id == kept.machine)
        axes = {**model.axes, **kept.axes}
        if not add(model, kept, axes, model.builds):  # departs from the catalogue: as described
            builds = tuple(Build({**build.has, **kept.has}) for build in model.builds)
            add(model, kept, axes, builds)
    return list(found.values())


def everything(catalogue: Catalogue) -> list[Variant]:
    """Every machine with every way to settle the looks and the question."""
    return [
        Variant(*machine, dict(zip(LOOKS, there, strict=True)), {QUESTION: answer})
        for machine in concrete(catalogue)
        for there in product((True, False), repeat=len(LOOKS))
        for answer in ANSWERS
    ]


# Conditions: nested tuples, with a meaning for a universe and one for a concrete machine

Condition = tuple[Any, ...]


def conditions(catalogue: Catalogue) -> st.SearchStrategy[Condition]:
    tests: list[st.SearchStrategy[Condition]] = [
        st.tuples(st.just("test"), st.just("machine"), some_of([each.id for each in catalogue.machines])),
        st.tuples(st.just("test"), st.just("kept"), some_of([*(each.id for each in catalogue.kept), ABSENT])),
        *(
            st.tuples(st.just("test"), st.just(each.id), some_of([*each.values, ABSENT]))
            for each in catalogue.features
        ),
        *(
            st.tuples(st.just("test"), st.just(axis), some_of([*ranges, ABSENT]))
            for axis, ranges in catalogue.cuts.items()
        ),
        st.tuples(st.just("look"), st.sampled_from(LOOKS)),
        st.tuples(st.just("answer"), st.sampled_from(ANSWERS)),
        st.sampled_from([("all",), ("none",)]),
    ]
    return st.recursive(
        st.one_of(tests),
        lambda inner: st.one_of(
            st.tuples(st.sampled_from(("and", "or", "minus", "xor")), inner, inner),
            st.tuples(st.just("not"), inner),
        ),
        max_leaves=8,
    )


def some_of(values: list[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(st.sampled_from(values), min_size=1, max_size=2, unique=True).map(tuple)


def as_set(condition: Condition, universe: Universe) -> Variants:
    match condition:
        case ("all",):
            return universe.all
        case ("none",):
            return universe.none
        case ("test", name, any_of):
            return universe.test(name, any_of)
        case ("look", key):
            return universe.look(key)
        case ("answer", answer):
            return universe.answers(QUESTION, ANSWERS)[answer]
        case ("not", inner):
            return ~as_set(inner, universe)
    left, right = (as_set(inner, universe) for inner in condition[1:])
    return {
        "and": lambda: left & right,
        "or": lambda: left | right,
        "minus": lambda: left - right,
        "xor": lambda: left ^ right,
    }[condition[0]]()


def holds(condition: Condition, variant: Variant) -> bool:
    match condition:
        case ("all",):
            return True
        case ("none",):
            return False
        case ("test", "machine", any_of):
            return variant.machine in any_of
        case ("test", "kept", any_of):
            return (ABSENT if variant.kept is None else variant.kept) in any_of
        case ("test", name, any_of) if name in AXES:
            if name not in variant.axes:
                return ABSENT in any_of
            return any(isinstance(each, Interval) and variant.axes[name] in each for each in any_of)
        case ("test", name, any_of):
            return variant.values[name] in any_of
        case ("look", key):
            return variant.looks[key]
        case ("answer", answer):
            return variant.answers[QUESTION] == answer
        case ("not", inner):
            return not holds(inner, variant)
    left, right = (holds(inner, variant) for inner in condition[1:])
    return {"and": left and right, "or": left or right, "minus": left and not right, "xor": left != right}[
        condition[0]
    ]
