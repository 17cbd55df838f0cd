"""Things of one name in two procedures that differ in size, for a machine that both cover."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proofs
from ..reading.model import Fixing
from . import Found, rule

#: The keys that must agree where two procedures speak of the same fixing of the same machine.
SIZES = ("thread", "across_flats", "nut", "drive", "count", "torque", "property_class")


@rule(level=Level.WARNING, reads="manual", since="0.1")
def one_thing_two_sizes(proofs: Proofs) -> Iterator[Found]:
    """Two procedures have a fixing of the same name of their own, and give it different sizes on a machine that both cover.

    Either it is one fixing, and one of them is mistaken; or it is two, and then the name misleads whoever does both jobs. Source:
    house rule.

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
        for at, later in enumerate(fixings):
            for earlier in fixings[:at]:
                yield from differing(earlier, later, proofs)


def differing(earlier: Fixing, later: Fixing, proofs: Proofs) -> Iterator[Found]:
    """Where two fixings of one name differ."""
    shop, resolver = proofs.shop, proofs.resolver
    first, second = shop.procedures[earlier.owner], shop.procedures[later.owner]
    shared = (
        resolver.applies(first) & resolver.applies(second) & resolver.there(earlier) & resolver.there(later)
    )
    if not shared:
        return
    for key in SIZES:
        one, other = getattr(earlier, key), getattr(later, key)
        for a in resolver.cases(one):
            for b in resolver.cases(other):
                both = shared & a.variants & b.variants
                if both and str(a.value) != str(b.value) and "look" not in (str(a.value), str(b.value)):
                    yield Found(
                        at=later.place(b.node),
                        variants=both,
                        within=shared,
                        procedure=second.id,
                        wrong=f"`{key}` of {later.id.replace('-', ' ')} is {b.value} here and {a.value} in `{first.id}`",
                        because=(Related(earlier.place(a.node), f"says `{a.value}`"),),
                        mend="declare it once in parts.yaml, or give the two different names",
                    )
                    return
