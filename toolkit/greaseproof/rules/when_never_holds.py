"""A `when` that can never hold."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proof, Proofs
from ..reading.build import walk_steps
from ..reading.kinds import Record
from . import Found, rule


@rule(level=Level.WARNING, reads="procedure", since="0.1")
def when_never_holds(proof: Proof, proofs: Proofs) -> Iterator[Found]:
    """A `when` holds on no machine that the procedure covers, or an `unless` on all of them.

    The step or thing is for nobody: a year beside the years in which the machines were built, a value that none of them
    has, two tests that exclude each other. Source: house rule, "Machines and where things apply".

    ## Bad
    ```yaml
    applies: {machine: plover}
    steps:
      - do: Look at it.
      - do: Look at the alternator.
        when: {charging: alternator}             # expect: when-never-holds
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
                wrong="no machine is one that this procedure covers",
                mend="widen `applies`, or withdraw the procedure",
            )
            return
    for record, step in [
        *((step, step) for step in walk_steps(procedure)),
        *((thing, None) for thing in procedure.own.values()),
    ]:
        assert isinstance(record, Record)
        when, unless = record.when, record.unless  # type: ignore[attr-defined]
        if when is not None and not resolver.where(when) & proof.applies:
            yield Found(
                at=record.span("when"),
                step=step,
                wrong="no machine that the procedure covers is one of these",
                because=because,
                mend="mend `when`, or take the entry out",
            )
        elif unless is not None and proof.applies <= resolver.where(unless):
            yield Found(
                at=record.span("unless"),
                step=step,
                wrong="every machine that the procedure covers is one of these",
                because=because,
                mend="mend `unless`, or take the entry out",
            )
