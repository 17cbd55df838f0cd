"""A part fitted although what holds it was tightened without it."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..machines import Variants
from ..proof import Proof, Proofs
from ..proof.blame import blamed, called, named_by, thing_of, typed
from . import Found, rule


@rule(level=Level.ERROR, reads="procedure", since="0.1")
def fitted_while_held(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A part is fitted while a fixing that is to hold it is not off.

    The fixing was tightened without the part, and the refitting that is worked out tightens nothing twice: so
    the part would hang in its place with nothing to hold it. Fixings run back "so that they are not lost"
    have to come off again. Source: book/proof.md, "Actions".

    ## Bad
    ```yaml
    parts:
      guard: {held_by: [guard-nuts]}
    fixings:
      guard-nuts: {thread: M6, across_flats: 10 mm, count: 4, torque: 9 N·m}
    steps:
      - undo: guard-nuts
        remove: guard                            # expect: fitted-while-held
      - do: Run the nuts back on to their studs.
        tighten: guard-nuts
    ```
    ```text
    engine/bad.yaml:7:13: error: `guard` is fitted while `guard-nuts` is in place,
        tightened without it [fitted-while-held]
      for: every machine (2 variants)
      because: engine/bad.yaml:2:21 says that it is held by `guard-nuts`
      mend: take `tighten: guard-nuts` out before it, or undo it again
    ```
    ## Good
    ```yaml
    steps:
      - undo: guard-nuts
        remove: guard
        keep: Put the nuts in a tin with a lid.
    ```
    """
    for blame in blamed(proof, proofs, "fitted-while-held"):
        part, fixing = blame.fault.subject, blame.fault.other
        variants = blame.variants - never_off(part, fixing, proof, proofs)
        if not variants:
            continue
        says = f"says that it is held by {called(fixing)}"
        yield Found(
            at=blame.span,
            step=blame.step,
            variants=variants,
            because=(*named_by(thing_of(part, proofs), "held_by", fixing, says), *blame.because),
            wrong=f"{called(part)} is fitted while {called(fixing)} is in place, tightened without it",
            mend=f"take `tighten: {typed(fixing)}` out before it, or undo it again",
        )


def never_off(part: str, fixing: str, proof: Proof, proofs: Proofs) -> Variants:
    """Where the part was removed while held: that is told as such, and once."""
    found = proofs.resolver.none
    for fault in proof.faults:
        if (fault.kind, fault.subject, fault.other) == ("held", part, fixing):
            found |= fault.variants
    return found
