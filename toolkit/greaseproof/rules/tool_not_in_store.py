"""A tool that is needed and not in the store."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
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
    for ref in proof.procedure.tools:
        if ref.id not in proofs.shop.tools:
            yield Found(
                at=proof.procedure.place(ref.node),
                wrong=f"`{ref.id}` is not in the tool store",
                mend=f"add `{ref.id}` to tools.yaml, or name a tool that is there",
            )
    for need in needs(proofs, proof.procedure):
        if need.tools:
            continue
        if need.use is Use.NAMED:
            ref = next((r for r in need.step.tools if r.id.replace("-", " ") == need.what), None)
            lift = need.step.lift
            lifting = [r for r in (lift.with_, lift.sling) if r is not None] if lift else []
            ref = ref or next((r for r in lifting if r.id.replace("-", " ") == need.what), None)
            yield Found(
                at=need.step.place(ref.node) if ref else step_place(need.step),
                step=need.step,
                variants=need.variants,
                wrong=f"`{ref.id if ref else need.what}` is not in the tool store",
                mend="add it to tools.yaml, or name a tool that is there",
            )
        elif need.use in (Use.TORQUE, Use.ANGLE) and need.item is not None:
            place = acted_on(need.step, need.item.id) or step_place(need.step)
            yield Found(
                at=place,
                step=need.step,
                variants=need.variants,
                wrong=f"no tool of the store is a {need.what}, as {need.item.id} needs",
                mend="add one to tools.yaml with its `range`, its `square` and what it `fits`",
            )
