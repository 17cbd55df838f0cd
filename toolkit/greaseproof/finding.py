"""What the toolkit has to say about an author's files: where, what, for which machines, how to mend it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Finding", "ForVariants", "Level", "Related", "Span"]


class Level(StrEnum):
    """How much a finding weighs. It belongs to the rule: two levels are two rules."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


#: The order in which findings are told.
LEVELS = {Level.ERROR: 0, Level.WARNING: 1, Level.ADVICE: 2}


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of one file. Lines and columns count from 1, columns in characters; the end is exclusive."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Related:
    """Another place that makes something wrong, or a reason that has no place of its own."""

    span: Span | None
    says: str

    def __str__(self) -> str:
        return f"{self.span} {self.says}" if self.span else self.says


@dataclass(frozen=True, slots=True)
class ForVariants:
    """For which machines: one real example in full, `count` of `of` variants, and the whole set in words."""

    example: str
    count: int
    of: int
    words: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong, worded for the person who mends it.

    `message` makes sense on its own and has no full stop; `mend` is an order, and None where no safe one is
    known.
    """

    rule: str
    level: Level
    span: Span
    message: str
    procedure: str | None = None
    step: str | None = None
    variants: ForVariants | None = None
    because: tuple[Related, ...] = ()
    mend: str | None = None

    @property
    def order(self) -> tuple[int, Span, str, str]:
        """Sorts errors first, then by place."""
        return (LEVELS[self.level], self.span, self.rule, self.message)
