"""Put back twice."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def put_back_twice(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Something is fitted, connected or filled that is in place already, on some machine.

    Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    parts:
      cap: {}
    steps:
      - fit: cap                                 # expect: put-back-twice
    ```
    ## Good
    ```yaml
    steps:
      - remove: cap
      - fit: cap
    ```
    """
    for blame in blamed(proof, proofs, "put-back-twice"):
        thing = in_words(blame.fault.subject)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is put back here, and it is in place already",
            mend="take the step out, or say with `when` on which machines it is done",
        )
