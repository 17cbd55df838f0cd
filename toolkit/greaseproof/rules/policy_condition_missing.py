"""A condition that the policy asks for does not hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import policy_blames
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def policy_condition_missing(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """The policy asks for a condition that does not hold, on some machine.

    A row of the policy says which steps need which conditions, and what could happen otherwise. A manual adds rows of its
    own in policy.yaml. Work beneath a machine and electrical work have rules of their own. Source: each row names its own.

    ## Bad
    ```yaml
    connections:
      top-hose: {kind: coolant, end: push-on}
    steps:
      - disconnect: top-hose                     # expect: policy-condition-missing
    ```
    ## Good
    ```yaml
    first: [engine-cold]
    ```
    """
    for blame, row in policy_blames(proof, proofs):
        if not (row.step.where is not None and blame.fault.subject == "raised-and-supported") and not (
            row.step.disconnect is not None
            and "electrical" in row.step.disconnect.kind
            and row.step.where is None
        ):
            yield Found(
                at=blame.span,
                step=blame.step,
                variants=blame.variants,
                because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
                wrong=f"the policy asks for `{blame.fault.subject}` here, and it does not hold"
                + (", when it is put back" if blame.refitting else ""),
                mend=f"make sure of it before: `first: [{blame.fault.subject.split(' @ ')[0]}]`",
            )
