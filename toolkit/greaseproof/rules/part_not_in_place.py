"""A part that must be in place is off."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, earlier
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def part_not_in_place(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A step needs a part in place that is off by then, on some machine.

    `needs: {fitted: [...]}` says what must be on: a guard before the engine turns, a wheel before the machine
    is lowered. Source: book/proof.md, "A step".

    ## Bad
    ```yaml
    parts:
      guard: {}
    steps:
      - remove: guard
      - do: Turn the engine by hand.
        needs: {fitted: [guard]}                 # expect: part-not-in-place
    ```
    ```text
    engine/bad.yaml:6:12: error: `guard` is off here, and must be in place
        [part-not-in-place]
      for: every machine (2 variants)
      because: engine/bad.yaml:4:13 is where it is removed before
      mend: do this before it is removed, or after it is fitted again
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
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*earlier(blame, proof, proofs, {"remove": "removed"}), *blame.because),
            wrong=f"{called(blame.fault.subject)} is off here, and must be in place",
            mend="do this before it is removed, or after it is fitted again",
        )
