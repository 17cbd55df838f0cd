"""Electrical work with the battery live."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import called, policy_blames, typed
from ..reading.model import PolicyRow
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def electrical_work_while_live(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """An electrical connection is disturbed while the battery is not isolated.

    A spanner from a live terminal to the frame welds itself on, burns, and can burst a battery. The policy
    asks for `battery-isolated`, for every machine and on the way back too. The battery's own leads are
    excepted; they have rules of their own. Source: common practice, no source; the row of the policy is named
    by the finding.

    ## Bad
    ```yaml
    connections:
      lamp-wire: {kind: electrical, end: push-on, mark: red}
    steps:
      - disconnect: lamp-wire                    # expect: electrical-work-while-live
    ```
    ```text
    engine/bad.yaml:4:17: error: electrical work at `lamp-wire` while
        `battery-isolated` does not hold [electrical-work-while-live]
      for: every machine (2 variants)
      because: (shipped)/policy.yaml:9:12 says: A spanner from a live terminal to
        the frame burns, and can burst a battery.
      mend: make sure of it before: `first: [battery-isolated]`
    ```
    ## Good
    ```yaml
    first: [battery-isolated]
    ```
    """
    for blame, row, thing in policy_blames(proof, proofs):
        if about_electrical_work(row):
            lacking = called(blame.fault.subject)
            yield Found(
                at=blame.span,
                step=blame.step,
                variants=blame.variants,
                because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
                wrong=f"electrical work at {thing} while {lacking} does not hold"
                + (", when it is put back" if blame.refitting else ""),
                mend=f"make sure of it before: `first: [{typed(blame.fault.subject)}]`",
            )


def about_electrical_work(row: PolicyRow) -> bool:
    """Is a row of the policy about disconnecting what is electrical, wherever that is?"""
    selector = row.step.disconnect
    return selector is not None and "electrical" in selector.kind and row.step.where is None
