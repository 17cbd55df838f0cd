"""A value printed in two units that do not agree."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Span
from ..proof import Proofs
from ..reading.applies import Differing
from ..reading.build import walk_steps
from ..reading.model import Stages
from ..reading.quantity import Pair, agrees
from ..reading.records import Record
from . import Found, rule


@rule(level=Level.ERROR, reads="manual", since="0.1")
def unit_pair_disagrees(proofs: Proofs) -> Iterator[Found]:
    """A value is written in one unit with another in brackets, and the two are not the same.

    One of them was mistyped or converted wrongly, and the reader takes the one that their own tool shows.
    They may differ by as much as their figures are rounded. Source: the units' exact factors; 1 lbf·ft is
    1.3558179483314004 N·m by definition.

    ## Bad
    ```yaml
    fixings:
      nut:
        thread: M8
        across_flats: 13 mm
        count: 1
        torque: 15 lbf·ft (30 N·m)               # expect: unit-pair-disagrees
    steps:
      - undo: nut
    ```
    ```text
    engine/bad.yaml:6:13: error: `15 lbf·ft (30 N·m)` says two things: 15 lbf·ft is
        20 N·m [unit-pair-disagrees]
      mend: mend the one that is wrong, or leave the brackets out to have it worked
        out
    ```
    ## Good
    ```yaml
    fixings:
      nut:
        thread: M8
        across_flats: 13 mm
        count: 1
        torque: 15 lbf·ft (20 N·m)
    ```
    """
    shop = proofs.shop
    for record in (*shop.things.values(), *shop.tools.values(), *shop.machines.values()):
        yield from disagreeing(record, None)
    for procedure in shop.procedures.values():
        yield from disagreeing(procedure, procedure.id)
        for thing in procedure.own.values():
            yield from disagreeing(thing, procedure.id)
        for step in walk_steps(procedure):
            for found in disagreeing(step, procedure.id):
                found.step = step
                yield found


def disagreeing(record: Record, procedure: str | None) -> Iterator[Found]:
    """The pairs of a record's own values that disagree."""
    for place, pair in pairs(record):
        if not agrees(pair):
            other = pair.first.converted(pair.twin.low.unit)
            yield Found(
                at=place,
                procedure=procedure,
                wrong=f"`{pair.text}` says two things: {pair.first} is {other}",
                mend="mend the one that is wrong, or leave the brackets out to have it worked out",
            )


def pairs(record: Record) -> Iterator[tuple[Span, Pair]]:
    """The values of a record that are written in two units, each with its place."""
    for name, value in vars(record).items():
        if isinstance(value, Pair):
            yield record.span(name), value
        elif isinstance(value, Differing):
            for case in value.cases:
                if isinstance(case.value, Pair):
                    yield record.place(case.node), case.value
                elif isinstance(case.value, Stages):
                    staged = [stage for stage in case.value.stages if isinstance(stage, Pair)]
                    yield from ((record.place(case.node), stage) for stage in staged)
