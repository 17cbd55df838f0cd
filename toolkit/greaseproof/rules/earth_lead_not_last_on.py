"""The earth lead goes on last."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def earth_lead_not_last_on(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A battery's live lead goes on while an earth lead is on already.

    The earth lead goes on last, for the reason that it comes off first. Source: common practice, no source.

    ## Bad
    ```yaml
    steps:
      - disconnect: [earth-lead, live-lead]
      - connect: earth-lead
      - connect: live-lead                       # expect: earth-lead-not-last-on
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: [earth-lead, live-lead]
    ```
    """
    for blame in blamed(proof, proofs, "earth-not-last-on"):
        thing = in_words(blame.fault.subject)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} goes on while an earth lead is on already",
            mend="connect every lead with `role: earth` after it",
        )
