"""A `when` that can never hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..reading.build import walk_steps
from ..reading.model import Step, Thing
from . import Found, rule


@rule(level=Level.WARNING, reads="procedure", since="0.1")
def when_never_holds(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A `when` holds on no machine that the procedure covers, or an `unless` on all of them.

    The step or thing is for nobody, and so what its author knew never reaches a reader: a year outside those
    in which the machines were built, a value that none of them has, two tests that exclude each other.
    Source: house rule.

    ## Bad
    ```yaml
    applies: {machine: plover}
    steps:
      - do: Look at it.
      - do: Look at the alternator.
        when: {charging: alternator}             # expect: when-never-holds
    ```
    ```text
    engine/bad.yaml:5:11: warning: `when` holds on no machine that the procedure
        covers [when-never-holds]
      because: engine/bad.yaml:1:10 says which machines the procedure covers
      mend: hold `when` against machines.yaml, or take the whole entry out
    ```
    ## Good
    ```yaml
    applies: {charging: [dynamo, alternator]}
    ```
    """
    procedure, resolver = proof.procedure, proofs.resolver
    because: tuple[Related, ...] = ()
    if procedure.applies is not None:
        because = (Related(procedure.span("applies"), "says which machines the procedure covers"),)
        if not proof.applies:
            yield Found(
                at=procedure.span("applies"),
                wrong="`applies` covers no machine at all",
                mend="hold it against machines.yaml, one test at a time; or write `status: withdrawn`",
            )
            return
    steps: list[tuple[Step | Thing, Step | None]] = [(step, step) for step in walk_steps(procedure)]
    things: list[tuple[Step | Thing, Step | None]] = [(thing, None) for thing in procedure.own.values()]
    for record, step in [*steps, *things]:
        if record.when is not None and not resolver.where(record.when) & proof.applies:
            key, wrong = "when", "`when` holds on no machine that the procedure covers"
        elif record.unless is not None and proof.applies <= resolver.where(record.unless):
            key, wrong = "unless", "`unless` holds on every machine that the procedure covers"
        else:
            continue
        yield Found(
            at=record.span(key),
            step=step,
            wrong=wrong,
            because=because,
            mend=f"hold `{key}` against machines.yaml, or take the whole entry out",
        )
