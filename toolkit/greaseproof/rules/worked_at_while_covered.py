"""Something worked at while covered."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def worked_at_while_covered(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is worked at while a part that is there still covers it.

    It cannot be reached: the reader finds that out with the job half done. What stands in a part's `covers` is out of reach
    as long as that part is on, also when it is put back. Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    parts:
      shield: {covers: [plug], held_by: [shield-screws]}
    fixings:
      shield-screws: {thread: M6, drive: cross 2, count: 2, torque: hand}
      plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - undo: plug                               # expect: worked-at-while-covered
    ```
    ## Good
    ```yaml
    steps:
      - undo: shield-screws
        remove: shield
      - undo: plug
    ```
    """
    for blame in blamed(proof, proofs, "covered"):
        thing, other = in_words(blame.fault.subject), in_words(blame.fault.other)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is worked at while {other} covers it",
            mend=f"remove `{blame.fault.other.split('/')[-1].split(' @ ')[0]}` first",
        )
