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

    Its steps are not written for these machines: their parts are others, and stand elsewhere. Whoever follows
    them is led to what is not there. Source: book/proof.md, "A step" and "Making sure".

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
    ```text
    engine/bad.yaml:2:11: error: `lamps` is to be done on machines that it does not
        cover [called-beyond-its-machines]
      for: a Plover Major (1 of 2 variants)
      because: electrical/lamps.yaml:4:10 says which machines it covers
      mend: say with `when` on which machines it is called, and write what is done
        on the others
    ```
    ## Good
    ```yaml
    steps:
      - call: lamps
        when: {machine: plover}
    ```
    """
    for blame in blamed(proof, proofs, "not-covered"):
        lacking = proofs.shop.procedures[blame.fault.subject]
        calls = blame.step is not None and blame.step.call is not None and blame.step.call.id == lacking.id
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(Related(lacking.span("applies"), "says which machines it covers"), *blame.because),
            wrong=f"`{lacking.id}` is to be done on machines that it does not cover",
            mend="say with `when` on which machines it is called, and write what is done on the others"
            if calls else None,
        )
