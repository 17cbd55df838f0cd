"""Never restored."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import act_place, blamed, called, thing_of, typed
from ..reading.model import Connection, Control, Fixing, Fluid, Part, Thing
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def never_restored(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """When the job is over something is still off, slack, drained or at another setting than its normal one.

    Whoever starts the machine next does not know. What `steps` disturb is put back by the refitting that is
    derived from them; what `finally` disturbs, and a control that is moved there, the author has to put back.
    Source: book/proof.md, "A whole job".

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - do: Look at the plug.
    finally:
      - undo: plug                               # expect: never-restored
    ```
    ```text
    engine/bad.yaml:6:11: error: `plug` is not tight when the job is over
        [never-restored]
      for: every machine (2 variants)
      mend: write in a later step: `tighten: plug`
    ```
    ## Good
    ```yaml
    finally:
      - undo: plug
      - tighten: plug
    ```
    """
    for blame in blamed(proof, proofs, "never-restored"):
        subject = blame.fault.subject
        ended = act_place(subject, proof)
        state, mend = put_back(thing_of(subject, proofs), typed(subject))
        yield Found(
            at=blame.span,
            step=ended[0] if ended else None,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{called(subject)} is {state} when the job is over",
            mend=f"write in a later step: `{mend}`",
        )


def put_back(thing: Thing | None, name: str) -> tuple[str, str]:
    """The state that a thing was left in, and what a step writes to end that."""
    match thing:
        case Fixing():
            return "not tight", f"tighten: {name}"
        case Connection():
            return "not connected", f"connect: {name}"
        case Part():
            return "not fitted", f"fit: {name}"
        case Fluid():
            return "still drained", f"fill: {name}"
        case Control(normally=str(normally)):
            return f"not at `{normally}`", f"set: {{{name}: {normally}}}"
        case _:
            raise AssertionError(f"no job disturbs {name}")
