"""Things of one name in two procedures that differ in size, for a machine that both cover."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from ..finding import Level, Related
from ..machines.resolve import Case
from ..machines.variants import Variants
from ..proof import Proofs
from ..reading.kinds import LOOK
from ..reading.model import Fixing
from . import Found, rule

#: The keys that must agree where two procedures speak of the same fixing of the same machine.
SIZES = ("thread", "across_flats", "nut", "drive", "count", "torque", "property_class")


@rule(level=Level.WARNING, reads="manual", since="0.1")
def one_thing_two_sizes(proofs: Proofs) -> Iterator[Found]:
    """Two procedures give a fixing of one name different sizes, on a machine that both cover.

    Either it is one fixing, and one of them is mistaken; or it is two, and then the name misleads whoever
    does both jobs. Source: house rule.

    ## Bad
    ```yaml
    fixings:
      guard-bolts: {thread: M8, across_flats: 13 mm, count: 2, torque: 20 N·m}   # expect: one-thing-two-sizes
    steps:
      - undo: guard-bolts
    ```
    ```yaml
    # engine/another.yaml
    title: Do another thing
    system: engine
    fixings:
      guard-bolts: {thread: M6, across_flats: 10 mm, count: 2, torque: 9 N·m}
    steps:
      - undo: guard-bolts
    ```
    ```text
    engine/bad.yaml:2:25: warning: `thread` of `guard-bolts` is M8 here and M6 in
        `another` [one-thing-two-sizes]
      for: every machine (2 variants)
      because: engine/another.yaml:5:25 says `M6`
      mend: measure it; declare one fixing once, in parts.yaml, or give two fixings
        two names
    ```
    ## Good
    ```yaml
    fixings:
      guard-bolts: {thread: M6, across_flats: 10 mm, count: 2, torque: 9 N·m}
    ```
    """
    by_name: dict[str, list[Fixing]] = {}
    for procedure in proofs.shop.procedures.values():
        for thing in procedure.own.values():
            if isinstance(thing, Fixing):
                by_name.setdefault(thing.id, []).append(thing)
    for fixings in by_name.values():
        told: set[tuple[str, str]] = set()
        for key in SIZES if len(fixings) > 1 else ():
            yield from differing(fixings, key, told, proofs)


@dataclass(slots=True)
class Given:
    """One value that a fixing is given, and the variants on which it is this."""

    fixing: Fixing
    case: Case
    variants: Variants


def differing(fixings: list[Fixing], key: str, told: set[tuple[str, str]], proofs: Proofs) -> Iterator[Found]:
    """Where fixings of one name are given different values; of each two values the first place is told.

    `told` holds the pairs of procedures of which a difference was told already: one cause, one finding.
    """
    by_value: dict[str, list[Given]] = {}
    for fixing in fixings:
        within = None
        for case in proofs.resolver.cases(getattr(fixing, key)):
            if case.value is LOOK:
                continue
            if within is None:
                procedure = proofs.shop.procedures[fixing.owner]
                within = proofs.resolver.applies(procedure) & proofs.resolver.there(fixing)
            by_value.setdefault(written(case.value), []).append(Given(fixing, case, within & case.variants))
    for other, value in combinations(by_value, 2):
        clash = next(clashes(by_value[other], by_value[value], proofs), None)
        if clash is not None:
            earlier, later, both = clash
            if (earlier.fixing.owner, later.fixing.owner) in told:
                continue
            told.add((earlier.fixing.owner, later.fixing.owner))
            owner = earlier.fixing.owner
            yield Found(
                at=later.fixing.place(later.case.node),
                variants=both,
                within=later.variants,
                procedure=later.fixing.owner,
                wrong=f"`{key}` of `{later.fixing.id}` is {value} here and {other} in `{owner}`",
                because=(Related(earlier.fixing.place(earlier.case.node), f"says `{other}`"),),
                mend="measure it; declare one fixing once, in parts.yaml, or give two fixings two names",
            )


@cache
def written(value: object) -> str:
    """A value as text. Values that are written alike are one object, as a rule: it is asked once."""
    return str(value)


def clashes(
    one: list[Given], another: list[Given], proofs: Proofs
) -> Iterator[tuple[Given, Given, Variants]]:
    """Pairs with different values that meet on some machine."""
    somewhere = proofs.resolver.none
    for given in one:
        somewhere |= given.variants
    for later in another:
        if later.variants & somewhere:
            for earlier in one:
                both = earlier.variants & later.variants
                if both and earlier.fixing is not later.fixing:
                    yield earlier, later, both
