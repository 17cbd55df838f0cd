"""Work beneath what is not supported."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import policy_blames, typed
from ..reading.model import PolicyRow
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def work_beneath_unsupported(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Somebody works beneath a machine that is not raised and supported.

    A step with `where: under` is done by a person under the machine. A jack sinks, a wheel rolls; only stands
    on firm ground hold. The policy asks for `raised-and-supported` there, for every machine and on the way
    back too. Source: common practice, no source; local codes and the maker's jacking points come first.

    ## Bad
    ```yaml
    fixings:
      sump-plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - undo: sump-plug
        where: under                             # expect: work-beneath-unsupported
    ```
    ```text
    engine/bad.yaml:5:12: error: work `under` a machine that is not raised and
        supported [work-beneath-unsupported]
      for: every machine (2 variants)
      because: (shipped)/policy.yaml:4:12 says: A machine that rolls or sinks onto a
        person kills.
      mend: make sure of it before: `first: [raised-and-supported]`
    ```
    ## Good
    ```yaml
    first: [raised-and-supported]
    ```
    """
    for blame, row, _ in policy_blames(proof, proofs):
        if about_work_beneath(row, blame.fault.subject):
            where = blame.step.where if blame.step and blame.step.where else row.step.where
            yield Found(
                at=blame.span,
                step=blame.step,
                variants=blame.variants,
                because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
                wrong=f"work `{where}` a machine that is not raised and supported"
                + (", when it is put back" if blame.refitting else ""),
                mend=f"make sure of it before: `first: [{typed(blame.fault.subject)}]`",
            )


def about_work_beneath(row: PolicyRow, condition: str) -> bool:
    """Is a row of the policy about being beneath a machine that is not supported?"""
    return row.step.where is not None and condition.split(" @ ")[0] == "raised-and-supported"
