"""A procedure called on machines that it does not cover."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import blamed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def called_beyond_its_machines(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A procedure is called, or is to open a condition, on machines that it does not cover.

    Its steps are not written for these machines: other parts, other places. Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    steps:
      - call: lamps                              # expect: called-beyond-its-machines
    ```
    ```yaml
    # electrical/lamps.yaml
    title: Look at the lamps
    system: electrical
    applies: {machine: plover}
    steps:
      - do: Look at the lamps.
    ```
    ## Good
    ```yaml
    steps:
      - call: lamps
        when: {machine: plover}
    ```
    """
    for blame in blamed(proof, proofs, "not-covered"):
        called = proofs.shop.procedures[blame.fault.subject]
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(Related(called.span("applies"), "says which machines it covers"), *blame.because),
            wrong=f"`{called.id}` is called on machines that it does not cover",
            mend="say with `when` on which machines it is called, and what is done on the others",
        )
