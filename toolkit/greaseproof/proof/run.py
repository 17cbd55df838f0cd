"""What following a procedure leaves behind: what was opened, what was done, and what is true then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..machines.variants import Variants
from ..reading.model import Condition, Procedure
from .items import Item, Places
from .outcome import Fault, Line
from .plan import Plan

__all__ = ["Entry", "Opening", "Run"]


@dataclass(slots=True)
class Opening:
    """A condition that `first` opened, where, and by what."""

    condition: Condition
    place: str | None
    variants: Variants
    run: Run | None


@dataclass(slots=True)
class Entry:
    """A step that was done, for its mirror: where, with which current items, and what happened within it."""

    plan: Plan
    done: Variants
    places: Places
    #: What is put back after it, in order: (action, item), settings apart.
    mirror: Sequence[tuple[str, Item]]
    #: One list of entries for each round of its own steps: (item of the repeat or None, entries).
    rounds: list[tuple[str | None, Variants, list[Entry]]] = field(default_factory=list)
    call: tuple[Run, Variants] | None = None


@dataclass(slots=True, eq=False)
class Run:
    """One half of a procedure, from one state of the facts that it looks at."""

    procedure: Procedure
    places: Places
    applies: Variants
    #: Are its lines kept? Only those of a whole job are ever read, not those of what it calls.
    tells: bool = True
    #: The facts at its beginning and at its end, of those that it looked at or changed.
    before: dict[int, Variants] = field(default_factory=dict)
    after: dict[int, Variants] = field(default_factory=dict)
    touched: frozenset[int] = frozenset()
    faults: list[Fault] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    openings: list[Opening] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    #: What follows it, for each state in which that was met: closing halves, and of these the proofs
    #: that it works.
    followed: list[Run] = field(default_factory=list)
    #: Of a closing half: the calls that were mirrored in it (opening half, closing half, where), in order.
    mirrored: list[tuple[Run, Run, Variants]] = field(default_factory=list)

    def begins_with(self, entry: dict[int, Variants]) -> bool:
        """Would it go the same way from these facts?"""
        before, touched = self.before, self.touched
        same = 0
        for fact, true in entry.items():
            if fact in touched:
                if before.get(fact) is not true:
                    return False
                same += 1
        return same == len(before)
