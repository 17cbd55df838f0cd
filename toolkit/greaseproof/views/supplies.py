"""What a procedure uses up: consumables, spares and fluids, for which machines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from ..machines.variants import Variants
from ..proof import Proofs
from ..proof.outcome import Line
from ..reading.kinds import LOOK, Ref
from ..reading.model import Fixing, Fluid, Part, Procedure, Stages, Step, Supply
from .saying import called, measured
from .tools import joints, reached

__all__ = ["SupplyNeed", "renewed", "supplies", "whole_supplies"]


@dataclass(frozen=True, slots=True)
class SupplyNeed:
    """Something that one step uses up, on `variants`.

    `count` is how many, for what is counted; `amount` is as written (`5 g`) or as measured (`8.5 L`), None
    for what is counted. `supply` is None for something that no supply stands for.
    """

    what: str
    supply: Supply | None
    count: int | None
    amount: str | None
    step: Step
    variants: Variants


def supplies(manual: Proofs, procedure: Procedure, order: str = "metric first") -> list[SupplyNeed]:
    """What the procedure's own lines use up, in the order of the work. `order`: of the units."""
    known: list[SupplyNeed] | None = manual.views.get(("supplies", procedure.id, order))
    if known is None:
        proof = manual.proof(procedure.id)
        known = manual.views["supplies", procedure.id, order] = []
        for line in proof.lines if proof is not None else ():
            if line.step is not None and line.kind in ("step", "group", "call"):
                known.extend(of_line(manual, procedure, line, order))
    return known


def whole_supplies(manual: Proofs, procedure: Procedure, order: str = "metric first") -> list[SupplyNeed]:
    """`supplies` of the whole job: with what it calls and what opens its conditions, where those are done."""
    proof = manual.proof(procedure.id)
    if proof is None:
        return []
    found = list(supplies(manual, procedure, order))
    for callee, variants in reached(manual, procedure, proof.applies).items():
        for need in supplies(manual, manual.shop.procedures[callee], order):
            on = need.variants & variants
            if on:
                found.append(need if on is need.variants else replace(need, variants=on))
    return found


def of_line(manual: Proofs, procedure: Procedure, line: Line, order: str) -> Iterator[SupplyNeed]:
    step = line.step
    assert step is not None
    for act in line.acts:
        if act.action == "fill" and isinstance(act.item.thing, Fluid):
            yield from filled(manual, act.item.thing, act.variants, step, order)
        if act.action in ("undo", "disconnect", "disturbs"):
            for joint in joints(manual, act):
                for ref, count, on in renewed(manual, joint.fixing, joint.variants):
                    yield from replaced(manual, procedure, ref, count, on, step)
    if line.part == "refit":
        return
    for ref in step.top_up:
        fluid = manual.shop.thing(procedure, ref.id)
        filling = fluid.supply if isinstance(fluid, Fluid) else None
        supply = manual.shop.supplies.get(filling.id) if filling is not None else None
        if supply is not None:
            yield SupplyNeed(called(supply), supply, None, "to top up", step, line.variants)
    for ref in step.renew:
        yield from replaced(manual, procedure, ref, 1, line.variants, step)
    for name, amount in step.supplies.items():
        supply = manual.shop.supplies.get(name)
        what = called(supply) if supply is not None else name.replace("-", " ")
        if amount.isdigit():
            yield SupplyNeed(what, supply, int(amount), None, step, line.variants)
        else:
            yield SupplyNeed(what, supply, None, amount, step, line.variants)


def filled(manual: Proofs, fluid: Fluid, on: Variants, step: Step, order: str) -> Iterator[SupplyNeed]:
    """The amounts of a fluid that is filled in."""
    supply = manual.shop.supplies.get(fluid.supply.id) if fluid.supply else None
    what = called(supply) if supply is not None else called(fluid)
    left = on
    for case in manual.resolver.cases(fluid.amount):
        if on & case.variants:
            amount = "amount not known: look" if case.value is LOOK else measured(case.value, order)
            yield SupplyNeed(what, supply, None, amount, step, on & case.variants)
            left -= case.variants
    if left:
        yield SupplyNeed(what, supply, None, "amount not stated", step, left)


def renewed(manual: Proofs, fixing: Fixing, on: Variants) -> Iterator[tuple[Ref, int, Variants]]:
    """What a fixing that was undone wants new: the reference, how many, and on which of these variants."""
    refs: list[tuple[Any, Variants]] = [(ref, on) for ref in fixing.renew]
    for case in manual.resolver.cases(fixing.torque):
        if isinstance(case.value, Stages):
            refs.extend((ref, on & case.variants) for ref in case.value.renew)
    for ref, there in refs:
        left = there
        for count in manual.resolver.cases(fixing.count):
            if there & count.variants:
                yield ref, count.value, there & count.variants
                left -= count.variants
        if left:
            yield ref, 1, left


def replaced(
    manual: Proofs, procedure: Procedure, ref: Ref, count: int, on: Variants, step: Step
) -> Iterator[SupplyNeed]:
    """A supply, or the spare for a thing, where that thing is there."""
    supply = manual.shop.supplies.get(ref.id)
    thing = manual.shop.thing(procedure, ref.id)
    if supply is None and thing is not None:
        on &= manual.resolver.there(thing)
        if isinstance(thing, Part) and thing.supply is not None:
            supply = manual.shop.supplies.get(thing.supply.id)
    if on:
        what = called(supply) if supply is not None else called(thing) if thing is not None else ref.id
        yield SupplyNeed(what, supply, count, None, step, on)
