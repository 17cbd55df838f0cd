"""A tool that is needed and not in the store."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
from ..reading.kinds import Ref
from ..reading.model import Step
from ..views.tools import Use, needs
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def tool_not_in_store(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A step names a tool that is not in tools.yaml, or tightens to a torque that no torque wrench of the store reaches.

    The reader would find that out under the machine. Tools that sizes across flats and drives ask for have a rule of
    their own. Source: house rule, tools.yaml.

    ## Bad
    ```yaml
    fixings:
      hub-nut: {thread: M12, across_flats: 19 mm, count: 1, torque: 180 N·m}
    steps:
      - do: Draw the hub off.
        tools: hub-puller                        # expect: tool-not-in-store
      - undo: hub-nut                            # expect: tool-not-in-store
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
                mend=f"add `{listed.id}` to tools.yaml, or name a tool that is there",
            )
    for need in needs(proofs, proof.procedure):
        if need.tools:
            continue
        if need.use is Use.NAMED:
            named = next((ref for ref in named_by(need.step) if ref.id.replace("-", " ") == need.what), None)
            yield Found(
                at=need.step.place(named.node) if named is not None else step_place(need.step),
                step=need.step,
                variants=need.variants,
                wrong=f"`{named.id if named is not None else need.what}` is not in the tool store",
                mend="add it to tools.yaml, or name a tool that is there",
            )
        elif need.use in (Use.TORQUE, Use.ANGLE) and need.item is not None:
            yield Found(
                at=acted_on(need.step, need.item.id) or step_place(need.step),
                step=need.step,
                variants=need.variants,
                wrong=f"no tool of the store is a {need.what}, as {need.item.id} needs",
                mend="add one to tools.yaml with its `range`, its `square` and what it `fits`",
            )


def named_by(step: Step) -> list[Ref]:
    """The tools that a step names."""
    lifting = (step.lift.with_, step.lift.sling) if step.lift is not None else ()
    return [*step.tools, *(ref for ref in lifting if ref is not None)]
