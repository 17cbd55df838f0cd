"""Procedures that call one another in a circle."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level, Related
from ..proof import Proofs
from . import Found, rule


@rule(level=Level.ERROR, reads="manual", since="0.1")
def call_goes_round(proofs: Proofs) -> Iterator[Found]:
    """A procedure calls itself, or is called by one that it calls.

    The reader would never come out of it, and nothing that goes round in a circle can be proven. A procedure
    that opens a condition is called by all that make sure of it. Source: book/proof.md, "A step".

    ## Bad
    ```yaml
    title: Do something   # expect: call-goes-round
    steps:
      - call: bad
    ```
    ```text
    engine/bad.yaml:1:8: error: `bad` calls `bad`, and so goes round in a circle
        [call-goes-round]
      mend: take one of the calls out
    ```
    ## Good
    ```yaml
    steps:
      - do: Look at it.
    ```
    """
    for circle in proofs.circles:
        first = proofs.shop.procedures[circle[0]]
        others = [proofs.shop.procedures[id] for id in circle[1:]]
        way = " calls ".join(f"`{id}`" for id in (*circle, circle[0]))
        yield Found(
            at=first.span("title"),
            procedure=first.id,
            wrong=f"{way}, and so goes round in a circle",
            because=tuple(Related(other.span("title"), "is part of the circle") for other in others),
            mend="take one of the calls out",
        )
