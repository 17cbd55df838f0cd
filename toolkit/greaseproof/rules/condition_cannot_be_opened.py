"""A condition that nothing makes hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..proof import Proof, Proofs
from ..proof.blame import blamed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def condition_cannot_be_opened(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """`first` makes sure of a condition that nothing can make hold there, on some machine.

    A condition says by `opened_by` which procedure makes it hold, or by `opened` in which sentence. Having done so, it must hold:
    a meaning that nothing on a machine fulfils is not brought about by words. Source: house rule, "What is proven, exactly".

    ## Bad
    ```yaml
    first: [guard-open]                          # expect: condition-cannot-be-opened
    ```
    ```yaml
    # conditions.yaml
    guard-open: {ends: must}
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
            mend = f"write the procedure `{opener}`, which is to make it hold"
        elif opener is not None or condition.opened:
            mend = f"see that `{opener or 'opened'}` makes what `{name}` means true on these machines"
        else:
            mend = f"give `{name}` an `opened` or `opened_by` in conditions.yaml"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=blame.because,
            wrong=f"`{blame.fault.subject}` cannot be made to hold here",
            mend=mend,
        )
