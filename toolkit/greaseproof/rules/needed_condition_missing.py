"""A condition that a step needs does not hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def needed_condition_missing(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A procedure, group or step needs a condition that does not hold there on some machine.

    `needs` only requires; it never brings a condition about. What a step needs must have been made sure by a
    `first` before it, or made by an earlier step, on every machine on which the step is done. Source:
    book/proof.md, "A step".

    ## Bad
    ```yaml
    first: [parking-brake-set]
    controls:
      blanking-plate: {settings: [closed, open], normally: closed}
    steps:
      - do: Open the blanking plate and look at the flywheel.
        set: {blanking-plate: open}
        needs: [engine-cannot-start]             # expect: needed-condition-missing
    ```
    ```text
    engine/bad.yaml:7:13: error: `engine-cannot-start` is needed here and does not
        hold [needed-condition-missing]
      for: every machine (2 variants)
      mend: make sure of it before: `first: [engine-cannot-start]`
    ```
    ## Good
    ```yaml
    first: [parking-brake-set, engine-cannot-start]
    ```
    ```yaml
    # conditions.yaml
    engine-cannot-start:
      ends: must
      opened: Pull the stop knob out.
      closed: Push the stop knob in.
    ```
    """
    for blame in blamed(proof, proofs, "need-missing"):
        if blame.fault.other:
            continue
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{called(blame.fault.subject)} is needed here and does not hold"
            + (", when it is put back" if blame.refitting else ""),
            mend=f"make sure of it before: `first: [{typed(blame.fault.subject)}]`",
        )
