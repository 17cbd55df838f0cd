"""Put back twice."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import action_on, blamed, called, earlier
from . import Found, rule

#: Action -> its participle, and the state in which it finds nothing to do.
SAID = {"fit": ("fitted", "in place"), "connect": ("connected", "on"), "fill": ("filled", "full")}


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def put_back_twice(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is fitted, connected or filled that is in place already, on some machine.

    A step that takes it off was lost, or one that puts it back was written twice; the reader looks for the
    part that is left over. Source: book/proof.md, "Actions".

    ## Bad
    ```yaml
    parts:
      cap: {}
    steps:
      - fit: cap                                 # expect: put-back-twice
    ```
    ```text
    engine/bad.yaml:4:10: error: `cap` is fitted here, and is in place already
        [put-back-twice]
      for: every machine (2 variants)
      mend: take it out here, or say with `when` on which machines it is done
    ```
    ## Good
    ```yaml
    steps:
      - remove: cap
      - fit: cap
    ```
    """
    for blame in blamed(proof, proofs, "put-back-twice"):
        subject = blame.fault.subject
        done, already = SAID[action_on(blame.fault.step, subject, SAID) or "fit"]
        actions = {action: participle for action, (participle, _) in SAID.items()}
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*earlier(blame, proof, proofs, actions), *blame.because),
            wrong=f"{called(subject)} is {done} here, and is {already} already",
            mend="take it out here, or say with `when` on which machines it is done",
        )
