"""What is true at one moment of a job: each fact with the set of variants on which it is true."""

from __future__ import annotations

from collections.abc import Iterable

from ..machines.variants import Variants

__all__ = ["State"]


class State:
    """Facts by number. A fact that is not among `facts` is true nowhere.

    `touched` holds every fact that was looked at or changed: what follows depends on these alone.
    """

    __slots__ = ("facts", "none", "touched")

    def __init__(self, none: Variants, facts: dict[int, Variants] | None = None) -> None:
        self.none = none
        self.facts: dict[int, Variants] = {} if facts is None else facts
        self.touched: set[int] = set()

    def get(self, fact: int) -> Variants:
        """The variants on which a fact is true."""
        self.touched.add(fact)
        return self.facts.get(fact, self.none)

    def put(self, fact: int, variants: Variants) -> None:
        """A fact is now true on just these variants."""
        self.touched.add(fact)
        if variants:
            self.facts[fact] = variants
        else:
            self.facts.pop(fact, None)

    def add(self, fact: int, variants: Variants) -> None:
        """A fact becomes true on these variants."""
        if variants:
            self.touched.add(fact)
            known = self.facts.get(fact)
            self.facts[fact] = variants if known is None else known | variants

    def drop(self, fact: int, variants: Variants) -> None:
        """A fact becomes false on these variants."""
        self.touched.add(fact)
        known = self.facts.get(fact)
        if known is not None:
            self.put(fact, known - variants)

    def entry(self, live: Variants, every: Variants) -> dict[int, Variants]:
        """The facts as somebody sees them who is called on `live`.

        Off `live` a fact does not matter; there it is taken to be whatever makes it plainest, so that what
        was found out in one call serves in others.
        """
        seen = {}
        for fact, true in self.facts.items():
            inside = true & live
            if inside:
                seen[fact] = every if inside is live else inside
        return seen

    def take_over(
        self, before: dict[int, Variants], after: dict[int, Variants], touched: Iterable[int], live: Variants
    ) -> None:
        """What changed between `before` and `after` in a call on `live` has changed here."""
        self.touched.update(touched)
        for fact, now in after.items():
            if before.get(fact) is not now:
                self.put(fact, (self.facts.get(fact, self.none) - live) | (now & live))
        for fact in before:
            if fact not in after:
                self.put(fact, self.facts.get(fact, self.none) - live)
