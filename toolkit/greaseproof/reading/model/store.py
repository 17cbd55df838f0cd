"""tools.yaml and supplies.yaml: what the workshop has, and what it uses up."""

from __future__ import annotations

from typing import Any, Final

from ..kinds import Count, Many, MapOf, OneOf
from ..quantity import Range
from ..reader import Kind
from ..records import RecordKind, key
from .values import SIZE, WORDS, Sourced, quantity


class Tool(Sourced, called="a tool"):
    """A tool of the store."""

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    kind: str = key(
        WORDS,
        "What kind of tool it is: `spanner`, `socket`, `torque wrench`, `stand`.",
        default="",
        required=True,
    )
    fits: tuple[Any, ...] = key(Many(SIZE), "What it fits: sizes across flats, drives.", default=())
    square: tuple[Any, ...] = key(
        Many(quantity("length", "a square drive such as `1/2 in`")), "Its square drive.", default=()
    )
    range: Range | None = key(
        quantity("torque", "a range of torque such as `20..110 N·m`"), "The torque it can be set to."
    )
    rated: Any = key(quantity("mass", "a mass such as `2000 kg`"), "The mass it may carry.", proven=False)
    rated_for: str | None = key(
        OneOf("each", "pair", "set"), "Whether the rating is of one, a pair or a set.", proven=False
    )
    count: int = key(Count(), "How many there are.", default=1)


class Supply(Sourced, called="a supply"):
    """Something that is used up: a consumable, a spare, a fluid."""

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    unit: str = key(WORDS, "What it is counted or measured in: `each`, `L`, `g`.", default="", required=True)
    pack: str | None = key(WORDS, "What it is sold in: `50`, `5 L`.")
    hazard: str | None = key(WORDS, "What is dangerous about it.", proven=False)
    waste: str | None = key(WORDS, "Where what is left of it goes.")


TOOLS_FILE: Final[Kind] = MapOf(RecordKind(Tool), "tools")
SUPPLIES_FILE: Final[Kind] = MapOf(RecordKind(Supply), "supplies")
