"""Undone, disconnected or removed twice."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Span
from ..proof import Proof, Proofs
from ..proof.blame import Blame, action_on, blamed, called, earlier
from . import Found, rule

#: Action -> its participle, and the state in which it finds nothing to do.
SAID = {
    "slacken": ("slackened", "slack or off"),
    "undo": ("undone", "off"),
    "disconnect": ("disconnected", "off"),
    "remove": ("removed", "off"),
    "drain": ("drained", "drained"),
}


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def undone_twice(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is undone, disconnected, removed or drained that is so already, on some machine.

    Two steps are meant for different machines and lack their `when`, or one was written twice. Source:
    book/proof.md, "Actions".

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
    ```text
    engine/bad.yaml:7:11: error: `plug` is undone here, and is off already
        [undone-twice]
      for: every machine (2 variants)
      because: engine/bad.yaml:5:11 is where it is undone before
      mend: take it out here, or say with `when` on which machines it is done
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
    groups: dict[tuple[Span, str | None], list[Blame]] = {}
    for blame in blamed(proof, proofs, "done-twice"):
        called_here = blame.fault.procedure is not proof.procedure
        groups.setdefault((blame.span, None if called_here else blame.fault.subject), []).append(blame)
    actions = {action: participle for action, (participle, _) in SAID.items()}
    for first, *others in groups.values():
        subject, variants = first.fault.subject, first.variants
        for other in others:
            variants |= other.variants
        done, already = SAID[action_on(first.fault.step, subject, SAID) or "undo"]
        # One call too many does many things twice: that is one thing to mend.
        also = f", and so {'is' if len(others) == 1 else 'are'} {len(others)} more" if others else ""
        yield Found(
            at=first.span,
            step=first.step,
            variants=variants,
            because=(*earlier(first, proof, proofs, actions), *first.because),
            wrong=f"{called(subject)} is {done} here, and is {already} already{also}",
            mend="take it out here, or say with `when` on which machines it is done",
        )
