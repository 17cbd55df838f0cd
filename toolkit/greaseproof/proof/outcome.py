"""What the proof of a procedure gives: the lines of the whole job, and what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from ..machines.variants import Variants
from ..reading.model import Condition, Procedure, Step
from .items import Item

__all__ = ["Act", "Fault", "Line", "Proof"]


class Act(NamedTuple):
    """One action on one thing, and the variants on which it is done."""

    action: str
    item: Item
    variants: Variants


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that goes wrong on `variants`. book/proof.md lists the kinds.

    `path` leads to it from the outside in.
    `procedure` and `step` say whose text it is; the step is None for what belongs to a procedure as a whole.
    """

    kind: str
    path: tuple[str, ...]
    subject: str
    other: str
    variants: Variants
    procedure: Procedure
    step: Step | None

    def under(self, prefix: tuple[str, ...], within: Variants) -> Fault:
        """The same fault as seen by a caller, on those of its variants that the caller reaches."""
        return Fault(
            self.kind,
            prefix + self.path,
            self.subject,
            self.other,
            self.variants & within,
            self.procedure,
            self.step,
        )


class Line(NamedTuple):
    """One line of the whole job, in order.

    `part` is `first`, `steps`, `refit`, `close` or `finally`. `kind` says what it is:

    - `open`, `close`: a condition is opened or closed (by `procedure`, or by its sentence if None);
    - `step`: what a written step does; in `refit`, what its mirror does;
    - `group`, `round`: a group or one round of a repeat (`place`) begins;
    - `call`: another procedure's steps are done; in `refit` and `close`, its closing half.

    `depth` counts the groups that it stands in.
    """

    part: str
    kind: str
    depth: int
    variants: Variants
    step: Step | None = None
    acts: tuple[Act, ...] = ()
    condition: Condition | None = None
    place: str | None = None
    procedure: Procedure | None = None


@dataclass(slots=True)
class Proof:
    """One procedure, followed on every machine that it covers."""

    procedure: Procedure
    applies: Variants
    lines: list[Line] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
