"""Electrical work with the battery live."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import policy_blames
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def electrical_work_while_live(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """An electrical connection is disturbed while the battery is not isolated.

    A spanner from a live terminal to the frame welds itself on, burns, and can burst a battery. The battery's own leads are
    excepted; they have rules of their own. Source: common practice, no source.

    ## Bad
    ```yaml
    connections:
      lamp-wire: {kind: electrical, end: push-on, mark: red}
    steps:
      - disconnect: lamp-wire                    # expect: electrical-work-while-live
    ```
    ## Good
    ```yaml
    first: [battery-isolated]
    ```
    """
    for blame, row in policy_blames(proof, proofs):
        if (
            row.step.disconnect is not None
            and "electrical" in row.step.disconnect.kind
            and row.step.where is None
        ):
            yield Found(
                at=blame.span,
                step=blame.step,
                variants=blame.variants,
                because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
                wrong=f"an electrical connection is disturbed, and `{blame.fault.subject}` does not hold"
                + (", when it is put back" if blame.refitting else ""),
                mend=f"make sure of it before: `first: [{blame.fault.subject.split(' @ ')[0]}]`",
            )
