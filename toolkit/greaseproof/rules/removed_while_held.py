"""A part removed while held."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, named_by, thing_of, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def removed_while_held(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A part is removed while a fixing that is there still holds it.

    It drops, bends or is levered off. Every fixing in `held_by` that is there on a machine must be off by
    then; a slack one still holds. Source: book/proof.md, "Actions".

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
    ```text
    engine/bad.yaml:8:13: error: `cover` is removed while still held by `cover-bolt`
        [removed-while-held]
      for: a Plover Major, built 1967 or later (1 of 3 variants)
      because: engine/bad.yaml:2:35 says that it is held by `cover-bolt`
      mend: write before it: `undo: cover-bolt`
    ```
    ## Good
    ```yaml
    steps:
      - undo: [cover-screws, cover-bolt]
        remove: cover
    ```
    """
    for blame in blamed(proof, proofs, "held"):
        part, fixing = blame.fault.subject, blame.fault.other
        says = f"says that it is held by {called(fixing)}"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*named_by(thing_of(part, proofs), "held_by", fixing, says), *blame.because),
            wrong=f"{called(part)} is removed while still held by {called(fixing)}",
            mend=f"write before it: `undo: {typed(fixing)}`",
        )
