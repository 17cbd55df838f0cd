"""The earth lead comes off first."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def earth_lead_not_first_off(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A battery's live lead comes off while an earth lead is still on.

    While an earth lead is on, a spanner on the live terminal that touches the frame shorts the battery. The earth lead comes
    off first, whichever post it is on; with several batteries, all of them. Leads are known by their `role`. Source: common
    practice, no source.

    ## Bad
    ```yaml
    steps:
      - disconnect: live-lead                    # expect: earth-lead-not-first-off
      - connect: live-lead                       # expect: earth-lead-not-last-on
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: earth-lead
      - disconnect: live-lead
    ```
    """
    for blame in blamed(proof, proofs, "earth-not-first-off"):
        thing = in_words(blame.fault.subject)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} comes off while an earth lead is on",
            mend="take every lead with `role: earth` off before it",
        )
