"""A condition that nothing makes hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def condition_cannot_be_opened(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """`first` makes sure of a condition that nothing can make hold there, on some machine.

    A condition says by `opened_by` which procedure makes it hold, or by `opened` in which sentence. When that
    is done, it must hold: a meaning that nothing on a machine fulfils is not brought about by words, and the
    reader would trust in what is not so. Source: book/proof.md, "Making sure".

    ## Bad
    ```yaml
    first: [guard-open]                          # expect: condition-cannot-be-opened
    ```
    ```yaml
    # conditions.yaml
    guard-open: {ends: must}
    ```
    ```text
    engine/bad.yaml:1:9: error: `guard-open` cannot be made to hold here
        [condition-cannot-be-opened]
      for: every machine (2 variants)
      because: conditions.yaml:2:1 says neither by `opened_by` nor by `opened` what
        makes it hold
      mend: give `guard-open` an `opened` or `opened_by` in conditions.yaml
    ```
    ## Good
    ```yaml
    # conditions.yaml
    guard-open:
      ends: must
      opened: Swing the guard aside.
      closed: Swing the guard back.
    ```
    """
    for blame in blamed(proof, proofs, "cannot-open"):
        name = blame.fault.subject.split(" @ ")[0]
        condition = proofs.shop.conditions[name]
        opener = condition.opened_by.id if condition.opened_by else None
        if opener is not None and opener not in proofs.shop.procedures:
            says = f"has it opened by `{opener}`, which is not there"
            mend = f"write the procedure `{opener}`, which is to make it hold"
        elif opener is not None or condition.opened:
            says = "says what opens it, and what it means"
            mend = f"see that `{opener or 'opened'}` makes what `{name}` means true on these machines"
        else:
            says = "says neither by `opened_by` nor by `opened` what makes it hold"
            mend = f"give `{name}` an `opened` or `opened_by` in conditions.yaml"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(Related(condition.span(), says), *blame.because),
            wrong=f"{called(blame.fault.subject)} cannot be made to hold here",
            mend=mend,
        )
