"""Values that records of several kinds share."""

from __future__ import annotations

from functools import partial
from typing import Any, Final

from ..kinds import ByShape, Id, Many, MapOf, Parsed, RefKind, Text
from ..quantity import parse
from ..records import Record, key
from ..sizes import parse_size


def quantity(kind: str, wanted: str, *, look: bool = False, words: tuple[str, ...] = ()) -> Parsed:
    """A quantity of one kind."""
    return Parsed(partial(parse, kind=kind), wanted, look=look, words=words)


SENTENCE: Final = Text("a sentence")
WORDS: Final = Text("a few words")
IDS: Final = Many(Id())
SIZE: Final = Parsed(parse_size, "a size such as `13 mm`, `1/2 in` or `cross 2`", look=True)
MASS: Final = quantity("mass", "a mass such as `9.5 kg`", look=True)
WAITING: Final = quantity("time", "a time such as `20 min`")


class Sources:
    """`from`: where the values of a record come from, as one text, or key by key."""

    def read(self, node: Any, reader: Any) -> Any:
        return _SOURCES.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return _SOURCES.schema(definitions)


_SOURCES = ByShape(
    "where the values come from", text=WORDS, mapping=MapOf(WORDS, "keys and sources", names=WORDS)
)


class Sourced(Record):
    """Anything whose values may say where they come from."""

    sources: str | dict[str, str] | None = key(
        Sources(),
        "Where the values come from, printed beside them: `maker's handbook p. 12`, `measured`.",
        name="from",
    )


THING_REFS: Final = Many(RefKind("a thing", places=True))
CONDITION_REFS: Final = Many(RefKind("a condition", places=True))
SETTINGS: Final = MapOf(WORDS, "controls and their settings", names=Id())
TOOL_REFS: Final = Many(RefKind("a tool"))
