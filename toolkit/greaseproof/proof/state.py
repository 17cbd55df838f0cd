"""What is true at one moment of a job: each fact with the set of variants on which it is true."""

from __future__ import annotations

from ..machines.variants import Variants

__all__ = ["State"]


class State:
    """Facts by number. A fact that nobody touched is what it was outside; outside everything it is false.

    A procedure that is called looks at the caller's facts through `outer`, on the variants `live`. What it looked at is
    kept in `reads`, so that its outcome can be used again wherever the same facts are found. Off `live` a fact does
    not matter; there it is taken to be whatever makes it plainest.
    """

    __slots__ = ("facts", "live", "none", "outer", "reads", "universe")

    def __init__(
        self, universe: Variants, none: Variants, outer: State | None = None, live: Variants | None = None
    ) -> None:
        self.universe, self.none, self.outer, self.live = universe, none, outer, live
        self.facts: dict[int, Variants] = {}
        self.reads: dict[int, Variants] = {}

    def get(self, fact: int) -> Variants:
        """The variants on which a fact is true."""
        known = self.facts.get(fact)
        if known is None:
            known = self.facts[fact] = self.reads[fact] = self.seen(fact)
        return known

    def seen(self, fact: int) -> Variants:
        """What the caller knows of a fact, made plain off `live`."""
        if self.outer is None:
            return self.none
        outside = self.outer.get(fact)
        if not outside:
            return outside
        assert self.live is not None
        inside = outside & self.live
        return self.universe if inside is self.live else inside

    def put(self, fact: int, variants: Variants) -> None:
        """A fact is now true on just these variants."""
        self.facts[fact] = variants

    def add(self, fact: int, variants: Variants) -> None:
        """A fact becomes true on these variants."""
        self.facts[fact] = self.get(fact) | variants

    def drop(self, fact: int, variants: Variants) -> None:
        """A fact becomes false on these variants."""
        known = self.get(fact)
        if known:
            self.facts[fact] = known - variants

    def agrees(self, reads: dict[int, Variants]) -> bool:
        """Would whoever looked at these facts have found the same here?"""
        return all(self.seen(fact) is found for fact, found in reads.items())
