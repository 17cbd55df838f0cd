"""How a value in an author's file is read, and how an editor is told about it.

A kind reads one node: `read(node, reader)` gives the value, or None after it has put a finding on the reader.
The same object gives its JSON Schema (draft-07), so that the reader and the schema cannot drift apart.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from typing import Any, Final

from .nodes import Mapping, Node, Scalar, Sequence
from .quantity import BadQuantity
from .reader import SCALAR, Kind, Reader, Schema, nearest, one_of, shown, wrong_kind
from .records import Record

__all__ = [
    "ID",
    "LOOK",
    "ByShape",
    "Count",
    "Id",
    "ListOf",
    "Look",
    "Many",
    "MapOf",
    "OneOf",
    "Parsed",
    "Ref",
    "RefKind",
    "RefOrPhrase",
    "Text",
    "YesNo",
]


class Look:
    """`look`: the value is not known; the reader of the manual has to look at the machine."""

    def __repr__(self) -> str:
        return "look"

    def __reduce__(self) -> str:
        return "LOOK"


LOOK: Final = Look()


class Text:
    """A line or a sentence of prose, kept as written."""

    def __init__(self, wanted: str = "text") -> None:
        self.wanted = wanted

    def read(self, node: Node, reader: Reader) -> str | None:
        if isinstance(node, Scalar) and node.text.strip():
            return node.text
        wrong_kind(reader, node, self.wanted)
        return None

    def schema(self, definitions: Schema) -> Schema:
        return {"type": SCALAR, "pattern": r"\S"}


ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
NAME: Final[Schema] = {"type": ["string", "integer", "boolean"], "pattern": f"^{ID.pattern}$", "minimum": 0}


#: Names that were found to be well formed: the same ones come again and again.
_WELL_FORMED: set[str] = set()


def well_formed(name: str) -> bool:
    """Is this small letters, digits and single hyphens?"""
    if name in _WELL_FORMED:
        return True
    if ID.fullmatch(name) is None:
        return False
    _WELL_FORMED.add(name)
    return True


def made_well_formed(name: str) -> str:
    """The name in small letters, digits and single hyphens: `Brake Shoe` -> `brake-shoe`; it may be empty."""
    letters = unicodedata.normalize("NFKD", re.sub("['’]", "", name)).encode("ascii", "ignore").decode()
    return "-".join(re.findall("[a-z0-9]+", letters.lower()))


class Id:
    """A name that other entries use: small letters, digits and single hyphens."""

    def read(self, node: Node, reader: Reader) -> str | None:
        if isinstance(node, Scalar) and node.text:
            if well_formed(node.text):
                return node.text
            better = made_well_formed(node.text)
            reader.fault(
                "name-badly-formed",
                node,
                f"`{node.text}` is not a name that other entries can use",
                f"write `{better}`" if better else "use small letters, digits and hyphens",
            )
            return None
        wrong_kind(reader, node, "a name")
        return None

    def schema(self, definitions: Schema) -> Schema:
        return NAME


class OneOf:
    """One word out of a closed list."""

    def __init__(self, *words: str) -> None:
        self.words = words

    def read(self, node: Node, reader: Reader) -> str | None:
        if isinstance(node, Scalar):
            if node.text in self.words:
                return node.text
            if node.text:
                near = nearest(node.text, self.words)
                reader.fault(
                    "word-unknown",
                    node,
                    f"`{node.text}` is not a word that is known here",
                    f"write `{near}`" if near else f"write {one_of(self.words)}",
                )
                return None
        wrong_kind(reader, node, one_of(self.words))
        return None

    def schema(self, definitions: Schema) -> Schema:
        return {"enum": list(self.words)}


class YesNo:
    """`yes` or `no`."""

    def read(self, node: Node, reader: Reader) -> bool | None:
        if isinstance(node, Scalar) and node.text in ("yes", "no", "true", "false"):
            return node.text in ("yes", "true")
        wrong_kind(reader, node, "`yes` or `no`")
        return None

    def schema(self, definitions: Schema) -> Schema:
        return {"enum": ["yes", "no", "true", "false", True, False]}


class Count:
    """A whole number, 1 or more."""

    def read(self, node: Node, reader: Reader) -> int | None:
        if (
            isinstance(node, Scalar)
            and node.text.isascii()
            and node.text.isdigit()
            and 0 < len(node.text) < 10
            and int(node.text)
        ):
            return int(node.text)
        wrong_kind(reader, node, "a whole number, 1 or more")
        return None

    def schema(self, definitions: Schema) -> Schema:
        return {
            "type": ["integer", "string"],
            "minimum": 1,
            "maximum": 10**9 - 1,
            "pattern": "^0*[1-9][0-9]*$",
            "maxLength": 9,
        }


#: Texts of one kind that are remembered.
MANY: Final = 10_000


class Parsed:
    """A value with a grammar of its own: a quantity, a thread, a drive.

    `parse` raises BadQuantity with words.
    """

    def __init__(
        self, parse: Callable[[str], Any], wanted: str, *, look: bool = False, words: tuple[str, ...] = ()
    ):
        self.parse, self.wanted, self.look, self.words = parse, wanted, look, words
        #: What was read before: the same few texts come again and again.
        self._known: dict[str, Any] = {}

    def read(self, node: Node, reader: Reader) -> Any:
        if not isinstance(node, Scalar) or not node.text:
            wrong_kind(reader, node, self.wanted)
            return None
        known = self._known.get(node.text)
        if known is not None:
            return known
        if node.text == "look" and self.look:
            value: Any = LOOK
        elif node.text in self.words:
            value = node.text
        else:
            try:
                value = self.parse(node.text)
            except BadQuantity as bad:
                reader.fault("quantity-unreadable", node, bad.wrong, bad.mend)
                return None
        if len(self._known) < MANY:
            self._known[node.text] = value
        return value

    def schema(self, definitions: Schema) -> Schema:
        return {"type": ["string", "number"], "pattern": r"\S", "description": self.wanted}


class Many:
    """One, or a list. The value is a tuple; an empty list is refused unless said otherwise."""

    def __init__(self, item: Kind) -> None:
        self.item = item

    def read(self, node: Node, reader: Reader) -> tuple[Any, ...] | None:
        if not isinstance(node, Sequence):
            one = self.item.read(node, reader)
            return None if one is None else (one,)
        if not node.items:
            wrong_kind(reader, node, "a list with something in it")
            return None
        read = self.item.read
        many = [read(item, reader) for item in node.items]
        return None if None in many else tuple(many)

    def schema(self, definitions: Schema) -> Schema:
        item = self.item.schema(definitions)
        return {"anyOf": [item, {"type": "array", "items": item, "minItems": 1}]}


class ListOf:
    """A list, one or more. The value is a tuple of what could be read."""

    def __init__(self, item: Kind, wanted: str = "a list") -> None:
        self.item, self.wanted = item, wanted

    def read(self, node: Node, reader: Reader) -> tuple[Any, ...] | None:
        if not isinstance(node, Sequence) or not node.items:
            wrong_kind(reader, node, self.wanted, "begin each entry with a hyphen and a space")
            return None
        read = self.item.read
        return tuple([value for value in [read(item, reader) for item in node.items] if value is not None])

    def schema(self, definitions: Schema) -> Schema:
        return {"type": "array", "items": self.item.schema(definitions), "minItems": 1}


class MapOf:
    """Names chosen by the author, each with an entry of one kind. Records learn their name as `id`."""

    def __init__(self, entry: Kind, wanted: str, *, names: Kind | None = None) -> None:
        self.entry, self.wanted, self.names = entry, wanted, names or Id()

    def read(self, node: Node, reader: Reader) -> dict[str, Any] | None:
        if not isinstance(node, Mapping):
            wrong_kind(reader, node, self.wanted)
            return None
        entries: dict[str, Any] = {}
        for name, (name_node, entry_node) in node.items.items():
            named = self.names.read(name_node, reader)
            entry = self.entry.read(entry_node, reader)
            if named is not None and entry is not None:
                if isinstance(entry, Record):
                    entry.id, entry.id_node = name, name_node
                entries[name] = entry
        return entries

    def schema(self, definitions: Schema) -> Schema:
        return {
            "type": "object",
            "propertyNames": {**self.names.schema(definitions), "type": "string"},
            "additionalProperties": self.entry.schema(definitions),
        }


class ByShape:
    """Text of one kind, or a mapping of another, or a list of a third."""

    def __init__(
        self, wanted: str, *, text: Kind | None = None, mapping: Kind | None = None, many: Kind | None = None
    ) -> None:
        self.wanted, self.text, self.mapping, self.many = wanted, text, mapping, many

    def read(self, node: Node, reader: Reader) -> Any:
        kind = (
            self.text
            if isinstance(node, Scalar)
            else self.mapping
            if isinstance(node, Mapping)
            else self.many
        )
        if kind is None or (isinstance(node, Scalar) and not node.text and node.plain):
            wrong_kind(reader, node, self.wanted)
            return None
        return kind.read(node, reader)

    def schema(self, definitions: Schema) -> Schema:
        return {"anyOf": [kind.schema(definitions) for kind in (self.text, self.mapping, self.many) if kind]}


# ---------------------------------------------------------------------------------------------- references


class Ref:
    """A name used somewhere, with where it stands in the file.

    `place` is the one named of the thing's places, if one was.
    """

    __slots__ = ("id", "node", "place")

    def __init__(self, id: str, node: Node, place: str | None = None) -> None:
        self.id, self.node, self.place = id, node, place

    def __repr__(self) -> str:
        return f"{{{self.id}: {self.place}}}" if self.place else self.id


class RefKind:
    """The name of a thing, a condition, a tool, …, or `{name: place}` for one of its places."""

    def __init__(self, wanted: str, *, places: bool = False) -> None:
        self.wanted, self.places = wanted, places

    def read(self, node: Node, reader: Reader) -> Ref | None:
        if isinstance(node, Scalar) and well_formed(node.text):
            return Ref(node.text, node)
        if isinstance(node, Mapping) and self.places and len(node.items) == 1:
            ((name, (name_node, place)),) = node.items.items()
            if isinstance(place, Scalar) and place.text:
                return Ref(name, name_node, place.text)
        if isinstance(node, Scalar) and node.text:
            reader.fault(
                "name-badly-formed",
                node,
                f"{shown(node)} stands where the name of {self.wanted} belongs",
                "write its name: small letters, digits and hyphens",
            )
            return None
        wrong_kind(reader, node, f"the name of {self.wanted}")
        return None

    def schema(self, definitions: Schema) -> Schema:
        if not self.places:
            return NAME
        one_place = {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 1,
            "additionalProperties": {"type": SCALAR, "minLength": 1},
        }
        return {"anyOf": [NAME, one_place]}


class RefOrPhrase(RefKind):
    """The name of a thing; or, where no thing is meant, a phrase or a sentence (it has a space in it)."""

    def read(self, node: Node, reader: Reader) -> Any:
        if isinstance(node, Scalar) and " " in node.text.strip():
            return node.text
        return super().read(node, reader)

    def schema(self, definitions: Schema) -> Schema:
        phrase = {"type": "string", "pattern": r"\S[\s\S]* [\s\S]*\S"}
        return {"anyOf": [super().schema(definitions), phrase]}
