"""A part removed while held."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def removed_while_held(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A part is removed while a fixing that is there still holds it.

    It drops, bends or is levered off. Every fixing in `held_by` that is there on a machine must be off by then.
    Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    parts:
      cover: {held_by: [cover-screws, cover-bolt]}
    fixings:
      cover-screws: {thread: M6, drive: cross 2, count: 4, torque: hand}
      cover-bolt: {when: {built: 1967..}, thread: M6, across_flats: 10 mm, count: 1, torque: 9 N·m}
    steps:
      - undo: cover-screws
        remove: cover                            # expect: removed-while-held
    ```
    ## Good
    ```yaml
    steps:
      - undo: [cover-screws, cover-bolt]
        remove: cover
    ```
    """
    for blame in blamed(proof, proofs, "held"):
        thing, other = in_words(blame.fault.subject), in_words(blame.fault.other)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is removed while {other} still holds it",
            mend=f"undo `{blame.fault.other.split('/')[-1].split(' @ ')[0]}` first, or say with `when` on which machines it is there",
        )
