"""A condition that must end and does not."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, made_at, step_place
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def condition_never_ended(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A condition that must end still holds when the job is over.

    The machine would be left on stands, isolated or running. A condition with `ends: must` that `first` opened is closed by itself; one
    that a step `makes` has to be ended by a step. Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    steps:
      - do: Start the engine.                    # expect: condition-never-ended
        makes: engine-running
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
        name = blame.fault.subject.split(" @ ")[0]
        made = made_at(proof, name)
        yield Found(
            at=step_place(made) if made else proof.procedure.span("title"),
            step=made,
            variants=blame.variants,
            wrong=f"`{blame.fault.subject}` still holds when the job is over, and must have ended",
            mend=f"end it in a step: `ends: {name}`",
        )
