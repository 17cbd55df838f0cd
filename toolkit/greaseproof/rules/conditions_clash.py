"""Conditions that must not hold together do."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..proof.blame import Blame, blamed, called
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def conditions_clash(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """Two conditions that stand against each other hold together, on some machine.

    A running engine on stands, a started machine with its battery isolated: what a condition is `against`
    must not hold when it begins. Source: book/proof.md, "Conditions"; each condition's own entry says what it
    is against.

    ## Bad
    ```yaml
    first: [raised-and-supported]
    steps:
      - do: Start the engine and listen.
        makes: engine-running                    # expect: conditions-clash
      - do: Stop the engine.
        ends: engine-running
    ```
    ```text
    engine/bad.yaml:4:12: error: `engine-running` begins while
        `raised-and-supported` holds [conditions-clash]
      for: every machine (2 variants)
      because: (shipped)/conditions.yaml:32:52 says that `engine-running` must not
        hold together with it
      mend: do this where `raised-and-supported` has ended; what `first` opened has
        ended in `finally`
    ```
    ## Good
    ```yaml
    first: [parking-brake-set]
    ```
    """
    for blame in blamed(proof, proofs, "clash"):
        begins, holds = called(blame.fault.subject), called(blame.fault.other)
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=blame.variants,
            because=(*against(blame, proofs), *blame.because),
            wrong=f"{begins} begins while {holds} holds",
            mend=f"do this where {holds} has ended; what `first` opened has ended in `finally`",
        )


def against(blame: Blame, proofs: Proofs) -> Iterator[Related]:
    """Where one of two conditions says that it is against the other."""
    one, other = (name.split(" @ ")[0] for name in (blame.fault.subject, blame.fault.other))
    for id, wanted in ((one, other), (other, one)):
        condition = proofs.shop.conditions[id]
        for ref in condition.against:
            if ref.id == wanted:
                yield Related(condition.place(ref.node), f"says that `{id}` must not hold together with it")
                return
