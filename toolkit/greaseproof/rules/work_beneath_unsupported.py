"""Work beneath what is not supported."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import policy_blames
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def work_beneath_unsupported(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Somebody works beneath a machine that is not raised and supported.

    A step with `where: under` is done by a person under the machine. A jack sinks, a wheel rolls; only stands on firm ground
    hold. The policy asks for `raised-and-supported` there, for every machine and on the way back too. Source: common
    practice, no source; local codes and the maker's jacking points come first.

    ## Bad
    ```yaml
    fixings:
      sump-plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - undo: sump-plug
        where: under                             # expect: work-beneath-unsupported
    ```
    ## Good
    ```yaml
    first: [raised-and-supported]
    ```
    """
    for blame, row in policy_blames(proof, proofs):
        if row.step.where is not None and blame.fault.subject == "raised-and-supported":
            yield Found(
                at=blame.span,
                step=blame.step,
                variants=blame.variants,
                because=(Related(row.span("because"), f"says: {row.because}"), *blame.because),
                wrong=f"a person is {blame.step.where if blame.step else 'under'} the machine, and it is not raised and supported"
                + (", when it is put back" if blame.refitting else ""),
                mend=f"make sure of it before: `first: [{blame.fault.subject.split(' @ ')[0]}]`",
            )
