"""A hexagon or drive that no tool of the store fits."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
from ..reading.sizes import Drive
from ..views.tools import Use, unmet
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def across_flats_without_tool(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """No tool of the store fits the hexagon or drive of a fixing, or too few to turn and hold at once.

    A near size rounds the corners off, and the hand slips. Source: house rule; the store is tools.yaml.

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M14, across_flats: 21 mm, count: 1, torque: look}
    steps:
      - undo: plug                               # expect: across-flats-without-tool
    ```
    ```text
    engine/bad.yaml:4:11: error: no tool of the store fits the 21 mm of `plug`
        [across-flats-without-tool]
      for: every machine (2 variants)
      because: engine/bad.yaml:2:37 says `21 mm`
      mend: measure the fixing again, or add a tool with `fits: 21 mm` to tools.yaml
    ```
    ## Good
    ```yaml
    # tools.yaml
    spanner-21: {kind: spanner, fits: 21 mm}
    ```
    """
    for need in unmet(proofs, proof.procedure):
        if need.use not in (Use.TURN, Use.HOLD) or need.item is None:
            continue
        fixing = need.item
        if need.use is Use.HOLD:
            key, wrong = "nut", f"no second tool of the store holds the {need.size} of `{fixing.id}` still"
        else:
            key = "drive" if isinstance(need.size, Drive) else "across_flats"
            wrong = f"no tool of the store fits the {need.size} of `{fixing.id}`"
        yield Found(
            at=acted_on(need.step, fixing.id) or step_place(need.step),
            step=need.step,
            variants=need.variants,
            wrong=wrong,
            because=(Related(fixing.span(key), f"says `{need.size}`"),),
            mend=f"measure the fixing again, or add a tool with `fits: {need.size}` to tools.yaml",
        )
