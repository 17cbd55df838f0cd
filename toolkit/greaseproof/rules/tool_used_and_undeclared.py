"""A step that the stated list of tools does not serve."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import acted_on, step_place
from ..views.tools import needs
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def tool_used_and_undeclared(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A procedure states its whole list of tools, and a step needs one that is not on it.

    The list that a reader lays out must be complete. Leave `tools` out, and it is computed. Source: house rule.

    ## Bad
    ```yaml
    tools: [spanner-13]
    fixings:
      nut: {thread: M8, across_flats: 13 mm, count: 1, torque: look}
      bolt: {thread: M10, across_flats: 17 mm, count: 1, torque: look}
    steps:
      - undo: nut
      - undo: bolt                               # expect: tool-used-and-undeclared
    ```
    ## Good
    ```yaml
    tools: [spanner-13, spanner-17]
    ```
    """
    declared = {ref.id for ref in proof.procedure.tools}
    if not declared:
        return
    for need in needs(proofs, proof.procedure):
        if not need.tools or any(all(tool.id in declared for tool in way) for way in need.tools):
            continue
        place = acted_on(need.step, need.item.id) if need.item else None
        yield Found(
            at=place or step_place(need.step),
            step=need.step,
            variants=need.variants,
            wrong=f"a {need.what} is needed here, and the list of tools has none",
            because=(Related(proof.procedure.span("tools"), "is said to be the whole list"),),
            mend=f"add `{need.tools[0][0].id}` to `tools`, or leave the list out to have it computed",
        )
