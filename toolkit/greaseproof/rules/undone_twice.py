"""Undone, disconnected or removed twice."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def undone_twice(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is undone, disconnected, removed or drained that is so already, on some machine.

    Two steps are meant for different machines and lack their `when`, or one was written twice. Source: house rule, "What is
    proven, exactly".

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - do: Undo the plug by half a turn.
        undo: plug
      - do: Take the plug out.
        undo: plug                               # expect: undone-twice
    ```
    ## Good
    ```yaml
    steps:
      - do: Undo the plug by half a turn.
        slacken: plug
      - do: Take the plug out.
        undo: plug
    ```
    """
    for blame in blamed(proof, proofs, "done-twice"):
        thing = in_words(blame.fault.subject)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is undone here, and it is so already",
            mend="take one of the two steps out, or say with `when` on which machines each is done",
        )
