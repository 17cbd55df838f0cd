"""Never restored."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import act_place, blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def never_restored(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """When the job is over something is still off, slack, drained or at another setting than its normal one.

    What `steps` disturb is put back by the refitting that is derived from them. What `finally` disturbs, and a control that is moved
    there, the author has to put back. Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    fixings:
      plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - do: Look at the plug.
    finally:
      - undo: plug                               # expect: never-restored
    ```
    ## Good
    ```yaml
    finally:
      - undo: plug
      - tighten: plug
    ```
    """
    for blame in blamed(proof, proofs, "never-restored"):
        ended = act_place(blame.fault.subject, proof)
        yield Found(
            at=blame.span,
            step=ended[0] if ended else None,
            variants=blame.variants,
            wrong=f"{in_words(blame.fault.subject)} is not as it was when the job is over",
            mend="put it back in `finally`, or do this among `steps`, which are put back by themselves",
        )
