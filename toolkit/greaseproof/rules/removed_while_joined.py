"""A part removed while joined."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, named_by, thing_of, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def removed_while_joined(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A part is removed while a wire, pipe, hose or rod that is there still joins it to the rest.

    It hangs by what tears next. Every connection in `joined_by`, and every one that ends `at` the part, must
    be off by then. Source: book/proof.md, "Actions".

    ## Bad
    ```yaml
    first: [battery-isolated]
    parts:
      horn: {joined_by: [horn-wire]}
    connections:
      horn-wire: {kind: electrical, end: push-on}
    steps:
      - remove: horn                             # expect: removed-while-joined
    ```
    ```text
    engine/bad.yaml:7:13: error: `horn` is removed while still joined by `horn-wire`
        [removed-while-joined]
      for: every machine (2 variants)
      because: engine/bad.yaml:3:22 says that it is joined by `horn-wire`
      mend: write before it: `disconnect: horn-wire`
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: horn-wire
        remove: horn
    ```
    """
    for blame in blamed(proof, proofs, "joined"):
        part, connection = blame.fault.subject, blame.fault.other
        says = f"says that it is joined by {called(connection)}"
        because = named_by(thing_of(part, proofs), "joined_by", connection, says)
        joining = thing_of(connection, proofs)
        if not because and joining is not None and joining.given("at"):
            because = (Related(joining.span("at"), f"says that {called(connection)} ends at it"),)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*because, *blame.because),
            wrong=f"{called(part)} is removed while still joined by {called(connection)}",
            mend=f"write before it: `disconnect: {typed(connection)}`",
        )
