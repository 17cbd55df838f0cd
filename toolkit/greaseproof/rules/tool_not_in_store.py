"""A tool that is needed and not in the store."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..finding import Level
from ..machines.variants import Variants
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
from ..reading.kinds import Ref
from ..reading.model import Fixing, Stages, Step, Tool
from ..reading.quantity import Kind
from ..reading.reader import nearest
from ..views.tools import ToolNeed, Use, reaches, unmet
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def tool_not_in_store(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A step names a tool that is not in the store, or no torque wrench of the store reaches a torque.

    The reader would find that out under the machine. Tools that sizes across flats and drives ask for have a
    rule of their own. Source: house rule; the store is tools.yaml.

    ## Bad
    ```yaml
    fixings:
      hub-nut: {thread: M12, across_flats: 19 mm, count: 1, torque: 180 N·m}
    steps:
      - do: Draw the hub off.
        tools: hub-puller                        # expect: tool-not-in-store
      - undo: hub-nut                            # expect: tool-not-in-store
    ```
    ```text
    engine/bad.yaml:5:12: error: `hub-puller` is not in the tool store
        [tool-not-in-store]
      for: every machine (2 variants)
      mend: add `hub-puller` to tools.yaml

    engine/bad.yaml:6:11: error: the store has no torque wrench for 180 N·m, as
        `hub-nut` needs [tool-not-in-store]
      for: every machine (2 variants)
      mend: add a torque wrench with that torque in its `range` to tools.yaml
    ```
    ## Good
    ```yaml
    # tools.yaml
    socket-13: {kind: socket, fits: 13 mm, square: 1/2 in}
    socket-19: {kind: socket, fits: 19 mm, square: 1/2 in}
    ratchet: {kind: ratchet, square: 1/2 in}
    hub-puller: {kind: puller}
    torque-wrench-5-25: {kind: torque wrench, square: 1/2 in, range: 5..25 N·m}
    torque-wrench-100-300: {kind: torque wrench, square: 1/2 in, range: 100..300 N·m}
    jack: {kind: jack}
    axle-stands: {kind: stand}
    ```
    """
    for listed in proof.procedure.tools:
        if listed.id not in proofs.shop.tools:
            yield Found(
                at=proof.procedure.place(listed.node),
                wrong=f"`{listed.id}` is not in the tool store",
                mend=named_right(listed.id, proofs),
            )
    #: (step, fixing) -> where nothing turns it: another rule tells of it, and no torque wrench fits either.
    unturned: dict[tuple[str, str], Variants] = {}
    for need in unmet(proofs, proof.procedure):
        if need.use is Use.TURN and need.item is not None:
            key = (need.step.name, need.item.id)
            unturned[key] = unturned.get(key, proofs.resolver.none) | need.variants
    for need in unmet(proofs, proof.procedure):
        if need.use is Use.NAMED:
            for ref in named_by(need.step):
                if ref.id not in proofs.shop.tools and ref.id.replace("-", " ") == need.what:
                    yield Found(
                        at=need.step.place(ref.node),
                        step=need.step,
                        variants=need.variants,
                        wrong=f"`{ref.id}` is not in the tool store",
                        mend=named_right(ref.id, proofs),
                    )
        elif need.use in (Use.TORQUE, Use.ANGLE) and need.item is not None:
            variants = need.variants - unturned.get((need.step.name, need.item.id), proofs.resolver.none)
            if not variants:
                continue
            wrong, mend = tightening(need, variants, proofs)
            yield Found(
                at=acted_on(need.step, need.item.id) or step_place(need.step),
                step=need.step,
                variants=variants,
                wrong=wrong,
                mend=mend,
            )


def tightening(need: ToolNeed, on: Variants, proofs: Proofs) -> tuple[str, str]:
    """What is wrong where something cannot be tightened with what the store has, and what to do about it."""
    assert isinstance(need.item, Fixing)
    if need.use is Use.ANGLE:
        what = f"the store has no {need.what}, which `{need.item.id}` needs"
        return what, "add a tool with `kind: angle gauge` to tools.yaml"
    fitting = [tool for tool in proofs.shop.tools.values() if tool.square and reaches_all(tool, need.size)]
    sizes = [
        case.value
        for case in (
            *proofs.resolver.cases(need.item.across_flats),
            *proofs.resolver.cases(need.item.drive),
        )
        if case.variants & on
    ]
    if fitting and sizes:
        square = fitting[0].square[0]
        socket = f"{{kind: socket, fits: {sizes[0]}, square: {square}}}"
        return (
            f"no socket of the store goes on `{need.item.id}` and on a {need.what}",
            f"add `{socket}` to tools.yaml, under a name of your own",
        )
    return (
        f"the store has no {need.what}, as `{need.item.id}` needs",
        "add a torque wrench with that torque in its `range` to tools.yaml",
    )


def reaches_all(tool: Tool, torque: Any) -> bool:
    """Can the tool be set to this torque, or to each of its stages?"""
    stages = torque.stages if isinstance(torque, Stages) else (torque,)
    return all(reaches(tool, stage) for stage in stages if stage.kind is Kind.TORQUE)


def named_right(name: str, proofs: Proofs) -> str:
    """What to do about a name that no tool has."""
    near = nearest(name, proofs.shop.tools)
    return f"write `{near}`, or add `{name}` to tools.yaml" if near else f"add `{name}` to tools.yaml"


def named_by(step: Step) -> list[Ref]:
    """The tools that a step names."""
    lifting = (step.lift.with_, step.lift.sling) if step.lift is not None else ()
    return [*step.tools, *(ref for ref in lifting if ref is not None)]
