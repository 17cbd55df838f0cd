"""A part removed while joined."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed, in_words
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def removed_while_joined(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A part is removed while a wire, pipe, hose or rod that is there still joins it to the rest.

    It hangs by what tears next. Every connection in `joined_by`, and every one that ends `at` the part, must be off by then.
    Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    first: [battery-isolated]
    parts:
      horn: {joined_by: [horn-wire]}
    connections:
      horn-wire: {kind: electrical, end: push-on}
    steps:
      - remove: horn                             # expect: removed-while-joined
    ```
    ## Good
    ```yaml
    steps:
      - disconnect: horn-wire
        remove: horn
    ```
    """
    for blame in blamed(proof, proofs, "joined"):
        thing, other = in_words(blame.fault.subject), in_words(blame.fault.other)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"{thing} is removed while {other} still joins it",
            mend=f"disconnect `{blame.fault.other.split('/')[-1].split(' @ ')[0]}` first, or say with `when` on which machines it is there",
        )
