"""A hexagon or drive that no tool of the store fits."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
from ..views.tools import Use, needs
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def across_flats_without_tool(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """No tool of the store fits the hexagon or drive of a fixing, or there are too few to turn and hold at once.

    A near size rounds the corners off, and the hand slips. Source: house rule, tools.yaml.

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M14, across_flats: 21 mm, count: 1, torque: look}
    steps:
      - undo: plug                               # expect: across-flats-without-tool
    ```
    ## Good
    ```yaml
    # tools.yaml
    spanner-21: {kind: spanner, fits: 21 mm}
    ```
    """
    for need in needs(proofs, proof.procedure):
        if need.tools or need.use not in (Use.TURN, Use.HOLD) or need.item is None:
            continue
        fixing = need.item
        key = "nut" if need.use is Use.HOLD else "drive" if fixing.given("drive") else "across_flats"
        yield Found(
            at=acted_on(need.step, fixing.id) or step_place(need.step),
            step=need.step,
            variants=need.variants,
            wrong=f"no tool of the store fits the {need.size} of {fixing.id.replace('-', ' ')}",
            because=(Related(fixing.span(key), f"says `{need.size}`"),),
            mend=f"add a tool with `fits: {need.size}` to tools.yaml, or mend the size",
        )
