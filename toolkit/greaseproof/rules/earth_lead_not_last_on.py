"""The earth lead goes on last."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called
from . import Found, rule
from .earth_lead_not_first_off import earth_leads


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def earth_lead_not_last_on(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A battery's live lead goes on while an earth lead is on already.

    The earth lead goes on last, for the reason that it comes off first: while it is on, a spanner from the
    live terminal to the frame shorts the battery. Source: common practice, no source; the maker's order comes
    first.

    ## Bad
    ```yaml
    steps:
      - disconnect: [earth-lead, live-lead]
      - connect: earth-lead
      - connect: live-lead                       # expect: earth-lead-not-last-on
    ```
    ```text
    engine/bad.yaml:4:14: error: `live-lead` is connected while an earth lead is on
        already [earth-lead-not-last-on]
      for: every machine (2 variants)
      mend: connect `earth-lead` after it
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: [earth-lead, live-lead]
    ```
    """
    for blame in blamed(proof, proofs, "earth-not-last-on"):
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{called(blame.fault.subject)} is connected while an earth lead is on already",
            mend=f"connect {earth_leads(blame.variants, proofs)} after it",
        )
