"""A part that must be in place is off."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def part_not_in_place(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A step needs a part in place that is off by then, on some machine.

    `needs: {fitted: [...]}` says what must be on: a guard before the engine runs, a wheel before the machine is lowered. Source: house
    rule, "What is proven, exactly".

    ## Bad
    ```yaml
    parts:
      guard: {}
    steps:
      - remove: guard
      - do: Turn the engine by hand.
        needs: {fitted: [guard]}                 # expect: part-not-in-place
    ```
    ## Good
    ```yaml
    steps:
      - remove: guard
      - fit: guard
      - do: Turn the engine by hand.
        needs: {fitted: [guard]}
    ```
    """
    for blame in blamed(proof, proofs, "not-fitted"):
        thing = in_words(blame.fault.subject)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is off here, and must be in place",
            mend="do this before it is removed, or after it is fitted again",
        )
