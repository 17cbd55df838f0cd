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

    The list that a reader lays out must be complete, or the missing one is fetched with oily hands, under the
    machine. Leave `tools` out, and the list is computed. Source: house rule.

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
    ```text
    engine/bad.yaml:7:11: error: the list of tools has no spanner 17 mm, which
        `bolt` needs [tool-used-and-undeclared]
      for: every machine (2 variants)
      because: engine/bad.yaml:1:8 is said to be the whole list
      mend: add `spanner-17` to `tools`, or leave the list out to have it computed
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
        lacking = [[tool.id for tool in way if tool.id not in declared] for way in need.tools]
        if not all(lacking):
            continue
        if need.item is not None:
            place = acted_on(need.step, need.item.id)
        else:
            named = (ref for ref in need.step.tools if ref.id.replace("-", " ") == need.what)
            place = next((need.step.place(ref.node) for ref in named), None)
        user = f"`{need.item.id}` needs" if need.item else "this step needs"
        add = " and ".join(f"`{id}`" for id in min(lacking, key=len))
        yield Found(
            at=place or step_place(need.step),
            step=need.step,
            variants=need.variants,
            wrong=f"the list of tools has no {need.what}, which {user}",
            because=(Related(proof.procedure.span("tools"), "is said to be the whole list"),),
            mend=f"add {add} to `tools`, or leave the list out to have it computed",
        )
