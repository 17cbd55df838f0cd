"""A condition that must end and does not."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, made_at, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def condition_never_ended(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A condition that must end still holds when the job is over.

    The machine would be left on stands, isolated or running. What `first` opened is closed by itself; what a
    step `makes` has to be ended by a step. Source: book/proof.md, "A whole job".

    ## Bad
    ```yaml
    steps:
      - do: Start the engine.
        makes: engine-running                    # expect: condition-never-ended
    ```
    ```text
    engine/bad.yaml:3:12: error: `engine-running` still holds when the job is over,
        and must have ended [condition-never-ended]
      for: every machine (2 variants)
      mend: write in a later step: `ends: engine-running`
    ```
    ## Good
    ```yaml
    steps:
      - do: Start the engine.
        makes: engine-running
      - do: Stop the engine.
        ends: engine-running
    ```
    """
    for blame in blamed(proof, proofs, "never-ended"):
        made = made_at(proof, blame.fault.subject.split(" @ ")[0])
        yield Found(
            at=made[1] if made else proof.procedure.span("title"),
            step=made[0] if made else None,
            variants=blame.variants,
            wrong=f"{called(blame.fault.subject)} still holds when the job is over, and must have ended",
            mend=f"write in a later step: `ends: {typed(blame.fault.subject)}`",
        )
