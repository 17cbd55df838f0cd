"""Records: mappings whose keys are declared once, on a class, each with its kind and its description."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any, ClassVar

from ..finding import Span
from .nodes import Mapping, Node, Scalar, span
from .reader import Kind, Reader, Schema, nearest, one_of, wrong_kind

__all__ = ["Key", "Record", "RecordKind", "key"]


class Key:
    """One key of a record: its kind, what an author is told about it, whether it must be there."""

    __slots__ = ("attr", "default", "kind", "proven", "required", "says")

    def __init__(self, kind: Kind, says: str, default: Any, required: bool, attr: str, proven: bool) -> None:
        self.kind, self.says, self.default, self.required = kind, says, default, required
        self.attr, self.proven = attr, proven


def key(
    kind: Kind, says: str, *, default: Any = None, required: bool = False, name: str = "", proven: bool = True
) -> Any:
    """Declare a key on a Record.

    `name` where the key's name is not a name in Python (`from`, `with`, `is`).
    """
    return Key(kind, says, default, required, name, proven)


#: What records carry beside the values of their keys.
BESIDE = frozenset({"every_step", "file", "id_node", "node", "own", "owner", "subject"})


class Record:
    """A mapping that was read. Attributes are its keys; an absent key has its default; positions ride beside.

    `node` and `file` give the place; `id` is the name under which it stands in a mapping of names.
    """

    KEYS: ClassVar[dict[str, Key]] = {}
    #: For each key what reads its value, the attribute that takes it, and whether a proof looks at it.
    READS: ClassVar[dict[str, tuple[Callable[[Node, Reader], Any], str, bool]]] = {}
    #: The keys without which a record means nothing.
    REQUIRED: ClassVar[tuple[str, ...]] = ()
    #: What the record is called in a sentence, with its article.
    CALLED: ClassVar[str] = "an entry"

    node: Mapping
    file: str
    id: str = ""
    id_node: Scalar | None = None

    def __init_subclass__(cls, called: str = "", **kwargs: Any) -> None:
        super().__init_subclass__(**kwargs)
        keys = dict(cls.KEYS)
        for attr, declared in list(vars(cls).items()):
            if isinstance(declared, Key):
                keys[declared.attr or attr] = declared
                declared.attr = attr
                setattr(cls, attr, declared.default)
        cls.KEYS = keys
        cls.READS = {name: (each.kind.read, each.attr, each.proven) for name, each in keys.items()}
        cls.REQUIRED = tuple(name for name, each in keys.items() if each.required)
        if called:
            cls.CALLED = called

    def span(self, name: str | None = None) -> Span:
        """The place of the value under `name`, of the record's own name, or of the whole record."""
        if name is not None and name in self.node.items:
            return span(self.node.items[name][1], self.file)
        if self.id_node is not None:
            return span(self.id_node, self.file)
        return span(self.node, self.file)

    def place(self, node: Node) -> Span:
        """The place of a node of this record's file."""
        return span(node, self.file)

    def inside(self) -> list[Any]:
        """What was read under its keys, in no order that matters."""
        return [value for name, value in vars(self).items() if name not in BESIDE]

    def given(self, name: str) -> bool:
        """Was this key written?"""
        return name in self.node.items

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {self.id}>" if self.id else f"<{type(self).__name__}>"


class RecordKind:
    """A mapping with the keys of one Record class. `short` says which key a bare text stands for."""

    def __init__(self, record: type[Record] | Callable[[], type[Record]]) -> None:
        self._record = record

    @cached_property
    def record(self) -> type[Record]:
        return self._record if isinstance(self._record, type) else self._record()

    def read(self, node: Node, reader: Reader) -> Any:
        cls = self.record
        if not isinstance(node, Mapping):
            wrong_kind(reader, node, f"{cls.CALLED} (keys and values)")
            return None
        built = cls.__new__(cls)
        values = built.__dict__
        values["node"], values["file"] = node, reader.file
        reads = cls.READS
        meant: list[str | None] = []
        for name, (name_node, value_node) in node.items.items():
            known = reads.get(name)
            if known is None:
                if name != "$schema":  # editors may be pointed at the schema so
                    meant.append(unknown_key(cls, name, name_node, reader))
                continue
            read, attr, proven = known
            value = read(value_node, reader)
            if value is not None:
                values[attr] = value
                if not proven:
                    reader.unproven.append((name, name_node))
        for name in cls.REQUIRED:
            if name not in node.items and name not in meant:
                says = cls.KEYS[name].says
                reader.fault(
                    "key-missing",
                    first_key(node),
                    f"{cls.CALLED} lacks `{name}`",
                    f"add `{name}:` — {says[:1].lower()}{says[1:].rstrip('.')}",
                )
        return built

    def schema(self, definitions: Schema) -> Schema:
        name = self.record.__name__
        if name not in definitions:
            definitions[name] = {}  # there already where a record holds others of its own kind
            definitions[name] |= record_schema(self.record, definitions)
        return {"$ref": f"#/definitions/{name}"}


def record_schema(record: type[Record], definitions: Schema) -> Schema:
    """The schema of a record: its keys with their descriptions, which must be there, and no others."""
    described = {}
    for name, declared in record.KEYS.items():
        value = declared.kind.schema(definitions)
        wanted = value.get("description")
        says = f"{declared.says} Write {wanted}." if wanted else declared.says
        if "$ref" in value:  # draft-07 passes over whatever stands beside a `$ref`
            value = {"allOf": [value]}
        described[name] = {**value, "title": name.replace("_", " "), "description": says}
    schema: Schema = {
        "title": record.CALLED,
        "description": " ".join((record.__doc__ or "").split("\n\n")[0].split()),
        "type": "object",
        "properties": described,
        # the reader passes over it wherever it stands; only a whole file is offered it
        "patternProperties": {r"^\$schema$": True},
        "additionalProperties": False,
    }
    required = list(record.REQUIRED)
    return {**schema, "required": required} if required else schema


def first_key(node: Mapping) -> Node:
    """The first key of a mapping: a place small enough to point at for what the mapping lacks."""
    return next(iter(node.items.values()))[0] if node.items else node


def unknown_key(cls: type[Record], name: str, node: Node, reader: Reader) -> str | None:
    """A finding that names the nearest known key, which is given."""
    near = nearest(name, cls.KEYS)
    reader.fault(
        "key-unknown",
        node,
        f"`{name}` is not a key of {cls.CALLED}",
        f"write `{near}`" if near else f"use one of {one_of(sorted(cls.KEYS))}",
    )
    return near
