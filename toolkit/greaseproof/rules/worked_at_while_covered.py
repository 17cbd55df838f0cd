"""Something worked at while covered."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, named_by, thing_of, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def worked_at_while_covered(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is worked at while a part that is there still covers it.

    It cannot be reached: the reader finds that out with the job half done. What stands in a part's `covers`
    is out of reach as long as that part is on, also when it is put back. Source: book/proof.md, "Actions".

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
    ```text
    engine/bad.yaml:7:11: error: `plug` cannot be reached while covered by `shield`
        [worked-at-while-covered]
      for: every machine (2 variants)
      because: engine/bad.yaml:2:21 names it under `covers`
      mend: write before it: `remove: shield`
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
        thing, cover = blame.fault.subject, blame.fault.other
        says = "names it under `covers`"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*named_by(thing_of(cover, proofs), "covers", thing, says), *blame.because),
            wrong=f"{called(thing)} cannot be reached while covered by {called(cover)}"
            + (", when it is put back" if blame.refitting else ""),
            mend=cover_off(typed(cover), refitting=blame.refitting),
        )


def cover_off(cover: str, *, refitting: bool) -> str:
    """What to write so that a cover is off."""
    if refitting:
        return f"remove `{cover}` before the step that takes this off, so that it is put back after it"
    return f"write before it: `remove: {cover}`"
