"""The earth lead comes off first."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..machines.variants import Variants
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called
from ..reading.model import Connection
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def earth_lead_not_first_off(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A battery's live lead comes off while an earth lead is still on.

    While an earth lead is on, a spanner on the live terminal that touches the frame shorts the battery: it
    burns, and can burst the battery. The earth lead comes off first, whichever post it is on; with several
    batteries, all of them. Leads are known by their `role`. Source: common practice, no source; the maker's
    order comes first.

    ## Bad
    ```yaml
    steps:
      - disconnect: live-lead                    # expect: earth-lead-not-first-off
      - connect: live-lead                       # expect: earth-lead-not-last-on
    ```
    ```text
    engine/bad.yaml:2:17: error: `live-lead` is disconnected while an earth lead is
        still on [earth-lead-not-first-off]
      for: every machine (2 variants)
      mend: disconnect `earth-lead` before it
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: earth-lead
      - disconnect: live-lead
    ```
    """
    for blame in blamed(proof, proofs, "earth-not-first-off"):
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{called(blame.fault.subject)} is disconnected while an earth lead is still on",
            mend=f"disconnect {earth_leads(blame.variants, proofs)} before it",
        )


def earth_leads(variants: Variants, proofs: Proofs) -> str:
    """The shared earth leads that are there on some of these variants, as a sentence lists them."""
    found = [
        f"`{thing.id}`"
        for thing in proofs.shop.things.values()
        if isinstance(thing, Connection)
        and thing.role == "earth"
        and proofs.resolver.there(thing) & variants
    ]
    return " and ".join(found)
