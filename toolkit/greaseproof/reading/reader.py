"""Reading one value: what every kind of value has in common, and where its findings go."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping as AnyMapping
from typing import TYPE_CHECKING, Any, Final, Protocol

from ..finding import Finding, Level, Related
from .nodes import Node, Scalar, Sequence, span

if TYPE_CHECKING:
    from .applies import Stretch

__all__ = ["Kind", "Reader", "Schema", "nearest", "one_of", "shown", "wrong_kind"]


class Reader:
    """What reading one manual gathers: its findings, and every stretch of an axis that somebody mentions."""

    def __init__(self) -> None:
        self.file = ""
        self.findings: list[Finding] = []
        #: Feature id -> its possible values; None while machines.yaml is being read, when names cannot be
        #: held to it.
        self.features: AnyMapping[str, tuple[str, ...]] | None = None
        #: Axis -> stretches mentioned anywhere in the manual.
        self.stretches: dict[str, set[Stretch]] = {}
        #: Keys of the file that were read and that no proof looks at yet, each with its place.
        self.unproven: list[tuple[str, Node]] = []

    def fault(
        self, rule: str, node: Node, message: str, mend: str | None = None, because: tuple[Related, ...] = ()
    ) -> None:
        """Put an error on the list; the place is the whole of `node`."""
        self.findings.append(
            Finding(rule, Level.ERROR, span(node, self.file), message, because=because, mend=mend)
        )


#: Characters up to which a word is like another by chance.
SHORT: Final = 4


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, None if none is near."""
    cutoff = 0.6 if len(word) > SHORT else 0.75
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=cutoff)
    return near[0] if near else None


def one_of(words: Iterable[str]) -> str:
    """`a`, `b` or `c`, as it stands in a sentence."""
    quoted = [f"`{w}`" for w in words]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]


def shown(node: Node) -> str:
    """What was written, short enough for a headline."""
    if isinstance(node, Scalar):
        return f"`{node.text}`" if len(node.text) < 60 else f"`{node.text[:57]}...`"
    return "a list" if isinstance(node, Sequence) else "a mapping"


def wrong_kind(reader: Reader, node: Node, wanted: str, mend: str | None = None) -> None:
    """A list where text belongs, a mapping where a list belongs, and so on."""
    if isinstance(node, Scalar) and not node.text and node.plain:
        reader.fault(
            "value-missing", node, f"nothing stands here; {wanted} belongs here", mend or f"write {wanted}"
        )
    else:
        reader.fault("wrong-kind-of-value", node, f"{shown(node)} stands where {wanted} belongs", mend)


Schema = dict[str, Any]

#: What an editor may make of a text without quotes.
SCALAR: Final = ["string", "number", "boolean"]


class Kind(Protocol):
    """Reads one node and describes itself to an editor."""

    def read(self, node: Node, reader: Reader) -> Any:
        """The value, or None after a finding."""

    def schema(self, definitions: Schema) -> Schema:
        """JSON Schema, draft-07. What it refers to by name is put into `definitions`.

        An editor may take `1954` for a number and `yes` for true or false: it is told that these may be.
        """
