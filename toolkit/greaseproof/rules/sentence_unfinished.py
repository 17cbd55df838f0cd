"""A sentence of a pattern that nobody has written over."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Span
from ..proof import Proofs
from ..reading.build import walk_steps
from ..reading.model import Procedure, SignalWord, Step
from . import Found, rule

#: With this a sentence begins that is still to be written.
UNFINISHED = "…"


@rule(level=Level.ERROR, reads="manual", since="0.1")
def sentence_unfinished(proofs: Proofs) -> Iterator[Found]:
    """An issued procedure still has a sentence that begins with `…`, as those of a new pattern do.

    The reader would be told what the author was to write. As a draft a procedure may have such sentences.
    Source: house rule.

    ## Bad
    ```yaml
    title: … say what is done                    # expect: sentence-unfinished
    steps:
      - do: … say what is to be looked at.       # expect: sentence-unfinished
    ```
    ```text
    engine/bad.yaml:1:8: error: `title` is still to be written [sentence-unfinished]
      mend: write it, or set `status: draft` until it is written

    engine/bad.yaml:3:9: error: `do` is still to be written [sentence-unfinished]
      mend: write it, or set `status: draft` until it is written
    ```
    ## Good
    ```yaml
    title: Look at the sump
    steps:
      - do: Look at the sump.
    ```
    """
    for procedure in proofs.shop.procedures.values():
        if procedure.status != "issued":
            continue
        for name, place in unfinished(procedure):
            yield found(name, place, procedure, None)
        for step in walk_steps(procedure):
            for name, place in unfinished(step):
                yield found(name, place, procedure, step)


def unfinished(record: Procedure | Step) -> Iterator[tuple[str, Span]]:
    """The keys of a record whose own sentences are still to be written, each with its place."""
    for name, value in vars(record).items():
        if isinstance(value, str):
            if value.startswith(UNFINISHED):
                yield name, record.span(name)
        elif isinstance(value, tuple):
            for each in value:
                says = each.say if isinstance(each, SignalWord) else each
                if isinstance(says, str) and says.startswith(UNFINISHED):
                    yield name, each.span("say") if isinstance(each, SignalWord) else record.span(name)


def found(name: str, place: Span, procedure: Procedure, step: Step | None) -> Found:
    """The finding on one sentence."""
    return Found(
        at=place,
        procedure=procedure.id,
        step=step,
        wrong=f"`{name}` is still to be written",
        mend="write it, or set `status: draft` until it is written",
    )
