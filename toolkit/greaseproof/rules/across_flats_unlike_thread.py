"""A hexagon that does not suit its thread."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proofs
from ..reading.kinds import LOOK
from ..reading.model import Fixing
from ..standards.hexagons import across_flats, suits
from . import Found, rule


@rule(level=Level.WARNING, reads="manual", since="0.1")
def across_flats_unlike_thread(proofs: Proofs) -> Iterator[Found]:
    """A fixing's size across flats is one that no standard gives to its thread.

    One of the two was mistaken, or the bolt is not what it was when the machine was built. Both happen; the
    reader, who fetches a spanner by one and a new bolt by the other, needs to know which. The table questions
    a value and never certifies one. Source: hexagons of ISO 272, of the older DIN 933 and 934, of ASME
    B18.2.1 and B18.2.2, of BS 1083 and of the older Whitworth and BA series; the table of hexagons gives each
    with its origin.

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M10, across_flats: 19 mm, count: 1, torque: 40 N·m}  # expect: across-flats-unlike-thread
    steps:
      - undo: plug
    ```
    ```text
    engine/bad.yaml:2:37: warning: 19 mm across flats does not suit the thread M10
        of `plug` [across-flats-unlike-thread]
      for: every machine (2 variants)
      mend: measure both; usual for M10 are 16 mm (ISO 272), 17 mm (DIN before
        1982), 14 mm (Japanese practice)
    ```
    ## Good
    ```yaml
    fixings:
      plug: {thread: M10, across_flats: 17 mm, count: 1, torque: 40 N·m}
    ```
    """
    shop, resolver = proofs.shop, proofs.resolver
    if not shop.machines:
        return
    things = [
        *shop.things.values(),
        *(thing for procedure in shop.procedures.values() for thing in procedure.own.values()),
    ]
    for fixing in things:
        if not isinstance(fixing, Fixing) or fixing.thread is None or fixing.across_flats is None:
            continue
        owner = shop.procedures.get(fixing.owner)
        within = resolver.there(fixing) & (resolver.applies(owner) if owner else resolver.all)
        for thread in resolver.cases(fixing.thread):
            for size in resolver.cases(fixing.across_flats):
                both = within & thread.variants & size.variants
                if not both or LOOK in (thread.value, size.value) or suits(thread.value, size.value) != []:
                    continue
                odd = f"{size.value} across flats"
                known = across_flats(thread.value) or ()
                usual = dict.fromkeys(f"{hexagon.size} ({hexagon.standard})" for hexagon in known)
                yield Found(
                    at=fixing.place(size.node),
                    variants=both,
                    within=within,
                    procedure=fixing.owner or None,
                    wrong=f"{odd} does not suit the thread {thread.value} of `{fixing.id}`",
                    mend=f"measure both; usual for {thread.value} are {', '.join(usual)}",
                )
