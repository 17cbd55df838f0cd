"""Conditions that must not hold together do."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def conditions_clash(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Two conditions that stand against each other hold together, on some machine.

    A running engine on stands, a started machine with its battery isolated: what a condition is `against` must not hold when it
    begins. Source: house rule; each condition's own entry.

    ## Bad
    ```yaml
    first: [raised-and-supported]
    steps:
      - do: Start the engine and listen.
        makes: engine-running                    # expect: conditions-clash
      - do: Stop the engine.
        ends: engine-running
    ```
    ## Good
    ```yaml
    first: [parking-brake-set]
    ```
    """
    for blame in blamed(proof, proofs, "clash"):
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"`{blame.fault.subject}` begins while `{blame.fault.other}` holds",
            mend=f"end `{blame.fault.other.split(' @ ')[0]}` before, or do this where it has been closed, as in `finally`",
        )
