"""From what an author wrote to sets of variants.

That is: `applies`, `when`, values that differ, and the things that are there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from ..reading import applies as written
from ..reading.applies import Differing, Not
from ..reading.build import Shop
from ..reading.model import KeptMachine, Machine, Procedure, Thing
from ..reading.nodes import Node
from ..reading.records import Record
from .catalogue import Build, Choice, Feature, Interval, Kept, Machine as CatalogueMachine, Mention, Stretch
from .universe import Universe
from .variants import Variants

__all__ = ["Case", "Resolver"]


class Case(NamedTuple):
    """One value of something that differs, and the variants on which it is the value."""

    variants: Variants
    value: Any
    node: Node


class Resolver:
    """One shop's universe, and the sets that its records stand for; each is worked out once."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.universe = universe_of(shop)
        self.all, self.none = self.universe.all, self.universe.none
        self._wheres: dict[int, Variants] = {}
        self._cases: dict[int, list[Case]] = {}
        self._there: dict[str, Variants] = {}

    def where(self, where: written.Where | None) -> Variants:
        """The variants where it holds; all of them if there is nothing that restricts."""
        if where is None:
            return self.all
        known = self._wheres.get(id(where))
        if known is None:
            known = self.none
            for tests in where.any_of:
                known |= self.tests(tests)
            self._wheres[id(where)] = known
        return known

    def tests(self, tests: Iterable[written.Test]) -> Variants:
        """The variants where all of these hold."""
        found = self.all
        for test in tests:
            wanted = tuple(interval(v) if isinstance(v, written.Stretch) else v for v in test.any_of)
            holds = self.universe.test(test.feature, wanted) if wanted else self.none
            found = found - holds if isinstance(test, Not) else found & holds
        return found

    def when(self, when: written.Where | None, unless: written.Where | None) -> Variants:
        """The variants where `when` holds and `unless` does not."""
        found = self.where(when)
        return found if unless is None else found - self.where(unless)

    def applies(self, procedure: Procedure) -> Variants:
        """The variants that a procedure covers."""
        return self.where(procedure.applies)

    def cases(self, differing: Differing | None) -> list[Case]:
        """Its values with their variants, empty cases left out."""
        if differing is None:
            return []
        known = self._cases.get(id(differing))
        if known is None:
            if differing.plain:
                known = [Case(self.all, differing.value, differing.node)]
            else:
                cases = differing.cases
                found = [Case(self.tests(case.tests or ()), case.value, case.node) for case in cases]
                known = [case for case in found if case.variants]
            self._cases[id(differing)] = known
        return known

    def there(self, thing: Thing) -> Variants:
        """The variants on which a thing is there."""
        known = self._there.get(thing.subject)
        if known is None:
            self._there[thing.subject] = self.none  # a thing fitted with itself, round a corner, is nowhere
            known = self.when(thing.when, thing.unless)
            if thing.fitted == "look":
                known &= self.universe.look(thing.subject, says=thing.name or thing.id)
            if thing.with_ is not None:
                owner = self.shop.procedures.get(thing.owner)
                other = self.shop.thing(owner, thing.with_.id)
                known &= self.there(other) if other is not None else self.none
            self._there[thing.subject] = known
        return known

    def everything(self) -> Mention:
        """Every feature, and every stretch of an axis that somebody speaks of."""
        stretches = self.shop.stretches.items()
        return Mention(
            frozenset(self.universe.features),
            frozenset((axis, interval(each)) for axis, several in stretches for each in several),
        )

    def mention(self, records: Iterable[Record]) -> Mention:
        """What these records speak of, themselves and all that is written within them."""
        features: set[str] = set()
        cuts: set[tuple[str, Interval]] = set()
        looks: set[str] = set()
        for test in mentioned_tests(records):
            if test.feature in written.AXES:
                stretches = (value for value in test.any_of if isinstance(value, written.Stretch))
                cuts.update((test.feature, interval(stretch)) for stretch in stretches)
            else:
                features.add(test.feature)
        for record in records:
            for thing in things_within(record):
                if thing.fitted == "look":
                    self.there(thing)
                    looks.add(thing.subject)
        return Mention(frozenset(features), frozenset(cuts), frozenset(looks))


def interval(stretch: written.Stretch) -> Interval:
    """A stretch as the universe has it."""
    return Interval(stretch.first, stretch.last)


def universe_of(shop: Shop) -> Universe:
    """The universe of a shop's machines, split wherever somebody in the manual mentions a stretch."""
    features = [Feature(id, feature.values) for id, feature in shop.features.items()]
    if shop.hardware is not None and "hardware" not in shop.features:
        features.append(Feature("hardware", tuple(dict.fromkeys(case.value for case in shop.hardware.cases))))
    machines = [
        CatalogueMachine(id, machine.name or id, axes_of(machine), tuple(builds_of(machine, shop.hardware)))
        for id, machine in shop.machines.items()
    ]
    kept = [
        Kept(id, own.machine.id, axes_of(own), dict(own.has))
        for id, own in shop.kept.items()
        if own.machine.id in shop.machines
    ]
    cuts = {axis: [interval(stretch) for stretch in stretches] for axis, stretches in shop.stretches.items()}
    return Universe(features, machines, kept, cuts)


def axes_of(machine: Machine | KeptMachine) -> dict[str, Interval]:
    """The axes that a machine has, with their extent."""
    extents = ((axis, getattr(machine, axis)) for axis in written.AXES)
    return {axis: interval(extent) for axis, extent in extents if extent is not None}


def builds_of(machine: Machine, hardware: Differing | None) -> Iterator[Build]:
    """The machine's builds; one without anything if it says nothing."""
    for has in machine.has or ({},):
        choices = {feature: choice(values) for feature, values in has.items()}
        if hardware is not None:
            choices.setdefault("hardware", choice(hardware))
        yield Build(choices)


def choice(differing: Differing) -> Choice:
    """The values that a feature may have, along an axis or everywhere."""
    stretches: list[Stretch] = []
    for case in differing.cases:
        values = case.value if isinstance(case.value, tuple) else (case.value,)
        if not case.tests:
            return tuple(values)
        test = case.tests[0]
        on = [interval(v) for v in test.any_of if isinstance(v, written.Stretch)]
        if isinstance(test, Not):
            on = between(on)
        stretches.extend(Stretch(test.feature, each, values) for each in on)
    return tuple(stretches)


def between(taken: list[Interval]) -> list[Interval]:
    """What is left of an axis beside these stretches, which do not overlap."""
    free: list[Interval] = []
    start: int | None = None
    for each in sorted(taken, key=lambda i: float("-inf") if i.lo is None else i.lo):
        if each.lo is not None and (start is None or start < each.lo):
            free.append(Interval(start, each.lo - 1))
        if each.hi is None:
            return free
        start = each.hi + 1
    free.append(Interval(start, None))
    return free


def mentioned_tests(records: Iterable[Any]) -> Iterator[written.Test]:
    """Every test that is written within records, at any depth."""
    waiting = list(records)
    for each in waiting:
        if isinstance(each, written.Where):
            for tests in each.any_of:
                yield from tests
        elif isinstance(each, Record):
            waiting.extend(each.inside())
        elif isinstance(each, Differing):
            for case in each.cases:
                yield from case.tests or ()
                waiting.append(case.value)
        elif isinstance(each, tuple):
            waiting.extend(each)
        elif isinstance(each, dict):
            waiting.extend(each.values())


def things_within(record: Record) -> Iterator[Thing]:
    """The things that a record is or declares."""
    if isinstance(record, Thing):
        yield record
    elif isinstance(record, Procedure):
        yield from record.own.values()
