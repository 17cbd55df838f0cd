"""A tool on the stated list that no step needs."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..views.tools import needs
from . import Found, rule


@rule(level=Level.WARNING, reads="procedure", since="0.1")
def tool_declared_and_unused(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A procedure states its whole list of tools, and one of them serves no step.

    The reader fetches it for nothing, or a step has lost what needed it. Source: house rule.

    ## Bad
    ```yaml
    tools: [spanner-13, spanner-19]              # expect: tool-declared-and-unused
    fixings:
      nut: {thread: M8, across_flats: 13 mm, count: 1, torque: look}
    steps:
      - undo: nut
    ```
    ```text
    engine/bad.yaml:1:21: warning: `spanner-19` is on the list of tools and serves
        no step [tool-declared-and-unused]
      mend: take `spanner-19` out of `tools`, or name it at the step that needs it
    ```
    ## Good
    ```yaml
    tools: [spanner-13]
    ```
    """
    if not proof.procedure.tools:
        return
    used = {tool.id for need in needs(proofs, proof.procedure) for way in need.tools for tool in way}
    for ref in proof.procedure.tools:
        if ref.id in proofs.shop.tools and ref.id not in used:
            yield Found(
                at=proof.procedure.place(ref.node),
                wrong=f"`{ref.id}` is on the list of tools and serves no step",
                mend=f"take `{ref.id}` out of `tools`, or name it at the step that needs it",
            )
