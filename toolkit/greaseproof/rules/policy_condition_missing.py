"""A condition that the policy asks for does not hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import called, policy_blames, typed
from . import Found, rule
from .electrical_work_while_live import about_electrical_work
from .work_beneath_unsupported import about_work_beneath


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def policy_condition_missing(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """The policy asks for a condition that does not hold, on some machine.

    A row of the policy says which steps need which conditions, and what could happen otherwise. A manual adds
    rows of its own in policy.yaml. Work beneath a machine and electrical work have rules of their own.
    Source: each row names its own, and the finding names the row.

    ## Bad
    ```yaml
    connections:
      top-hose: {kind: coolant, end: push-on}
    steps:
      - disconnect: top-hose                     # expect: policy-condition-missing
    ```
    ```text
    engine/bad.yaml:4:17: error: the policy asks for `engine-cold` at `top-hose`,
        and it does not hold [policy-condition-missing]
      for: every machine (2 variants)
      because: (shipped)/policy.yaml:17:12 says: Hot coolant under pressure scalds.
      mend: make sure of it before: `first: [engine-cold]`
    ```
    ## Good
    ```yaml
    first: [engine-cold]
    ```
    """
    for blame, row, thing in policy_blames(proof, proofs):
        if about_electrical_work(row) or about_work_beneath(row, blame.fault.subject):
            continue
        where = f"at {thing}" if thing is not None else "here"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
            wrong=f"the policy asks for {called(blame.fault.subject)} {where}, and it does not hold"
            + (", when it is put back" if blame.refitting else ""),
            mend=f"make sure of it before: `first: [{typed(blame.fault.subject)}]`",
        )
