"""A value that differs between machines, and is given for too few of them."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..machines.variants import Variants
from ..proof import Proofs
from ..reading.applies import Differing
from ..reading.build import walk_steps
from ..reading.nodes import span
from ..reading.records import Record
from . import Found, rule


@rule(level=Level.ERROR, reads="manual", since="0.1")
def machine_that_nothing_fits(proofs: Proofs) -> Iterator[Found]:
    """A size, torque, count or amount is given by machine, and left out for some machine.

    Often `applies` or a machine's years were widened later. A torque that is missing makes the fitter guess,
    and a guess on a clamped joint leaks or strips. Source: house rule.

    ## Bad
    ```yaml
    fixings:
      head-bolts:
        thread: M12
        across_flats: 19 mm
        count: 10
        torque: {..1966: 80 N·m}                 # expect: machine-that-nothing-fits
    steps:
      - undo: head-bolts
    ```
    ```text
    engine/bad.yaml:6:13: error: `head-bolts` has no `torque` on some machine that
        it is for [machine-that-nothing-fits]
      for: a Plover Major, built 1967 or later (1 of 3 variants)
      mend: add a case for these machines with their maker's figure, or `look` where
        nobody knows
    ```
    ## Good
    ```yaml
    fixings:
      head-bolts:
        thread: M12
        across_flats: 19 mm
        count: 10
        torque: {..1966: 80 N·m, 1967..: 85 N·m}
    ```
    """
    shop, resolver = proofs.shop, proofs.resolver
    if not shop.machines or next(iter(shop.machines.values())).file in shop.broken:
        return
    if shop.hardware is not None and (bare := without(shop.hardware, resolver.all, proofs)):
        yield Found(
            at=span(shop.hardware.node, next(iter(shop.machines.values())).file),
            variants=bare,
            wrong="`hardware` is not said of some machine",
            mend="let the ranges of `hardware` take in every year in which a machine was built",
        )
    for thing in shop.things.values():
        yield from lacking(thing, resolver.there(thing), resolver.there(thing), None, proofs)
    for procedure in shop.procedures.values():
        applies = resolver.applies(procedure)
        for thing in procedure.own.values():
            yield from lacking(thing, resolver.there(thing) & applies, applies, procedure.id, proofs)
        for step in walk_steps(procedure):
            done = resolver.when(step.when, step.unless) & applies
            for found in lacking(step, done, applies, procedure.id, proofs):
                found.step = step
                yield found


def lacking(
    record: Record, needed: Variants, within: Variants, procedure: str | None, proofs: Proofs
) -> Iterator[Found]:
    """The keys of a record whose cases leave out some variant on which they are needed."""
    for name, value in vars(record).items():
        if not isinstance(value, Differing) or value.plain:
            continue
        bare = without(value, needed, proofs)
        hardware = proofs.shop.hardware
        tests = [test.feature for case in value.cases for test in case.tests or ()]
        if hardware is not None and "hardware" in tests:
            bare -= without(hardware, proofs.resolver.all, proofs)
        if bare:
            called = f"`{record.id}`" if record.id else "this step"
            yield Found(
                at=record.span(name),
                variants=bare,
                within=within,
                procedure=procedure,
                wrong=f"{called} has no `{name}` on some machine that it is for",
                mend="add a case for these machines with their maker's figure, or `look` where nobody knows",
            )


def without(value: Differing, needed: Variants, proofs: Proofs) -> Variants:
    """What of a set no case of a differing value fits."""
    for case in proofs.resolver.cases(value):
        needed -= case.variants
    return needed
