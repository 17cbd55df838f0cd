"""How a value in an author's file is read, and how an editor is told about it.

A kind reads one node: `read(node, reader)` gives the value, or None after it has put a finding on the reader. The
same object gives its JSON Schema (draft-07), so that the reader and the schema cannot drift apart. A record is a
mapping whose keys are declared once, on a class, each with its kind and its description.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping as AnyMapping
from functools import lru_cache
from typing import Any, ClassVar, Final, Protocol

from ..finding import Finding, Level, Related, Span
from .nodes import Mapping, Node, Scalar, Sequence, span
from .quantity import BadQuantity

__all__ = [
    "LOOK", "Case", "Differing", "Key", "Kind", "Look", "Reader", "Record", "Ref", "Stretch", "Test", "Where", "key",
]


class Look:
    """`look`: the value is not known; the reader of the manual has to look at the machine."""

    def __repr__(self) -> str:
        return "look"

    def __reduce__(self) -> str:
        return "LOOK"


LOOK: Final = Look()


class Reader:
    """What reading one manual gathers: its findings, and every stretch of an axis that somebody mentions."""

    def __init__(self) -> None:
        self.file = ""
        self.findings: list[Finding] = []
        #: Feature id -> its possible values; None while machines.yaml is being read, when names cannot be held to it.
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


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, None if none is near."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
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
        reader.fault("value-missing", node, f"nothing stands here; {wanted} belongs here", mend or f"write {wanted}")
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


class Id:
    """A name that other entries use: small letters, digits and single hyphens."""

    def read(self, node: Node, reader: Reader) -> str | None:
        if isinstance(node, Scalar) and node.text:
            if ID.fullmatch(node.text):
                return node.text
            better = re.sub(r"[^a-z0-9]+", "-", node.text.lower()).strip("-")
            reader.fault(
                "name-badly-formed", node, f"`{node.text}` is not a name that other entries can use",
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
                    "word-unknown", node, f"`{node.text}` is not a word that is known here",
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
        if isinstance(node, Scalar) and node.text.isascii() and node.text.isdigit() and 0 < len(node.text) < 10:
            if int(node.text):
                return int(node.text)
        wrong_kind(reader, node, "a whole number, 1 or more")
        return None

    def schema(self, definitions: Schema) -> Schema:
        return {
            "type": ["integer", "string"], "minimum": 1, "maximum": 10**9 - 1,
            "pattern": "^0*[1-9][0-9]*$", "maxLength": 9,
        }


class Parsed:
    """A value with a grammar of its own: a quantity, a thread, a drive. `parse` raises BadQuantity with words."""

    def __init__(self, parse: Callable[[str], Any], wanted: str, *, look: bool = False, words: tuple[str, ...] = ()):
        self.parse, self.wanted, self.look, self.words = parse, wanted, look, words

    def read(self, node: Node, reader: Reader) -> Any:
        if isinstance(node, Scalar) and node.text:
            if node.text == "look" and self.look:
                return LOOK
            if node.text in self.words:
                return node.text
            try:
                return self.parse(node.text)
            except BadQuantity as bad:
                reader.fault("quantity-unreadable", node, bad.wrong, bad.mend)
                return None
        wrong_kind(reader, node, self.wanted)
        return None

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
            self.text if isinstance(node, Scalar) else self.mapping if isinstance(node, Mapping) else self.many
        )
        if kind is None or (isinstance(node, Scalar) and not node.text and node.plain):
            wrong_kind(reader, node, self.wanted)
            return None
        return kind.read(node, reader)

    def schema(self, definitions: Schema) -> Schema:
        return {"anyOf": [kind.schema(definitions) for kind in (self.text, self.mapping, self.many) if kind]}


# ---------------------------------------------------------------------------------------------- references


class Ref:
    """A name used somewhere, with its place in the file; `place` where one of the thing's places was named."""

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
        if isinstance(node, Scalar) and ID.fullmatch(node.text):
            return Ref(node.text, node)
        if isinstance(node, Mapping) and self.places and len(node.items) == 1:
            ((name, (name_node, place)),) = node.items.items()
            if isinstance(place, Scalar) and place.text:
                return Ref(name, name_node, place.text)
        if isinstance(node, Scalar) and node.text:
            reader.fault(
                "name-badly-formed", node, f"{shown(node)} stands where the name of {self.wanted} belongs",
                "write its name: small letters, digits and hyphens",
            )
            return None
        wrong_kind(reader, node, f"the name of {self.wanted}")
        return None

    def schema(self, definitions: Schema) -> Schema:
        if not self.places:
            return NAME
        one_place = {
            "type": "object", "minProperties": 1, "maxProperties": 1,
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


# --------------------------------------------------------------------------------------- where it applies


class Stretch:
    """A stretch of an ordered axis, both ends included; None is open."""

    __slots__ = ("first", "last")

    def __init__(self, first: int | None, last: int | None) -> None:
        self.first, self.last = first, last

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Stretch) and (self.first, self.last) == (other.first, other.last)

    def __hash__(self) -> int:
        return hash((self.first, self.last))

    def __repr__(self) -> str:
        if self.first == self.last is not None:
            return str(self.first)
        return f"{'' if self.first is None else self.first}..{'' if self.last is None else self.last}"

    def overlaps(self, other: Stretch) -> bool:
        """Do the two share a point?"""
        below = self.last is not None and other.first is not None and self.last < other.first
        above = self.first is not None and other.last is not None and self.first > other.last
        return not (below or above)


STRETCH = re.compile(r"(\d{0,9})\s*(?:\.\.|–|-|to)\s*(\d{0,9})|(\d{1,9})")
#: The same for an editor, with the range that has neither end left out.
STRETCH_PATTERN: Final = (
    r"^([0-9]{1,9}|[0-9]{1,9}\s*(\.\.|–|-|to)\s*[0-9]{0,9}|\s*(\.\.|–|-|to)\s*[0-9]{1,9})$"
)
AXES: Final = ("built", "serial", "engine")
#: Keys of `applies` and `when` that are neither a feature nor an axis.
OF_MACHINES: Final = ("machine", "kept")


@lru_cache(maxsize=4096)
def stretch_of(text: str) -> Stretch | None:
    """Read `1958..1963`, `..1961`, `1964..` or `1964`; None if the text is none of these."""
    match = STRETCH.fullmatch(text)
    if match is None:
        return None
    first, last, alone = match.groups()
    if alone:
        return Stretch(int(alone), int(alone))
    if not first and not last:
        return None
    return Stretch(int(first) if first else None, int(last) if last else None)


class StretchKind:
    """A stretch of years or numbers: `1958..1963`, `..1961`, `1964..`, or one year."""

    def read(self, node: Node, reader: Reader) -> Stretch | None:
        if isinstance(node, Scalar) and node.text:
            stretch = stretch_of(node.text)
            if stretch is None:
                reader.fault(
                    "range-unreadable", node, f"{shown(node)} is not a range of years or numbers",
                    "write it as `1958..1963`, `..1961` or `1964..`",
                )
                return None
            return checked_stretch(stretch, node, reader)
        wrong_kind(reader, node, "a range such as `1958..1963`")
        return None

    def schema(self, definitions: Schema) -> Schema:
        # a range without its beginning, `-1961`, may look like a number
        most = 10**9 - 1
        return {"type": ["string", "integer"], "pattern": STRETCH_PATTERN, "minimum": -most, "maximum": most}


def checked_stretch(stretch: Stretch, node: Node, reader: Reader) -> Stretch | None:
    """The stretch, or None and a finding if it runs backwards."""
    if stretch.first is not None and stretch.last is not None and stretch.first > stretch.last:
        reader.fault(
            "range-backwards", node, f"the range {shown(node)} ends before it begins",
            f"write `{stretch.last}..{stretch.first}`",
        )
        return None
    return stretch


class Test:
    """One test of a machine: the feature or axis, and what it may be (any of these)."""

    __slots__ = ("any_of", "feature", "node")
    __test__ = False

    def __init__(self, feature: str, any_of: tuple[str | Stretch, ...], node: Node) -> None:
        self.feature, self.any_of, self.node = feature, any_of, node

    def __repr__(self) -> str:
        return f"{self.feature}: {', '.join(map(str, self.any_of))}"


class Where:
    """Where something applies: any of the alternatives, each of which holds if all of its tests hold."""

    __slots__ = ("any_of", "node")

    def __init__(self, any_of: tuple[tuple[Test, ...], ...], node: Node) -> None:
        self.any_of, self.node = any_of, node

    def __repr__(self) -> str:
        return " or ".join("; ".join(map(repr, tests)) for tests in self.any_of)


def read_test(feature: str, feature_node: Scalar, node: Node, reader: Reader) -> Test | None:
    """One key of `applies` or `when` with its value, a list (any of these), or a range."""
    if reader.features is not None and feature not in AXES and feature not in reader.features:
        near = nearest(feature, [*reader.features, *AXES])
        reader.fault(
            "feature-unknown", feature_node, f"`{feature}` is not a feature of any machine",
            f"write `{near}`" if near else "add it to `features` in machines.yaml",
        )
        return None
    values: list[str | Stretch] = []
    for item in node.items if isinstance(node, Sequence) else [node]:
        if not isinstance(item, Scalar) or not item.text:
            wrong_kind(reader, item, "a value, a list of values or a range")
            return None
        if feature in AXES:
            stretch = StretchKind().read(item, reader)
            if stretch is None:
                return None
            reader.stretches.setdefault(feature, set()).add(stretch)
            values.append(stretch)
        else:
            if not value_known(feature, item, reader):
                return None
            values.append(item.text)
    if not values:
        wrong_kind(reader, node, "a value, a list of values or a range")
        return None
    return Test(feature, tuple(values), node)


def value_known(feature: str, node: Scalar, reader: Reader) -> bool:
    """Is this one of the feature's values, or `absent`? Otherwise a finding."""
    known = None if reader.features is None else reader.features.get(feature)
    if known is None or node.text in known or (node.text == "absent" and feature not in OF_MACHINES):
        return True
    near = nearest(node.text, known)
    reader.fault(
        "feature-value-unknown", node, f"`{node.text}` is not a value of `{feature}`",
        f"write `{near}`" if near else f"write {one_of(known)}" if known else None,
    )
    return False


class WhereKind:
    """`applies`, `when`, `unless`: a mapping (all of its keys hold) or a list of mappings (any of them)."""

    def read(self, node: Node, reader: Reader) -> Where | None:
        alternatives = []
        for item in node.items if isinstance(node, Sequence) else [node]:
            if not isinstance(item, Mapping) or not item.items:
                wrong_kind(reader, item, "a feature and its value, such as `fuel: diesel`,")
                return None
            tests = [read_test(f, f_node, v_node, reader) for f, (f_node, v_node) in item.items.items()]
            if None in tests:
                return None
            alternatives.append(tuple(test for test in tests if test is not None))
        if not alternatives:
            wrong_kind(reader, node, "a feature and its value, such as `fuel: diesel`,")
            return None
        return Where(tuple(alternatives), node)

    def schema(self, definitions: Schema) -> Schema:
        values = Many(Text()).schema(definitions)
        stretches = Many(StretchKind()).schema(definitions)
        one = {
            "type": "object", "minProperties": 1,
            "properties": dict.fromkeys(AXES, stretches), "additionalProperties": values,
        }
        return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}


class Case:
    """One value of something that differs between machines. `tests` (all hold) is None for `else`."""

    __slots__ = ("node", "tests", "value")

    def __init__(self, tests: tuple[Test, ...] | None, value: Any, node: Node) -> None:
        self.tests, self.value, self.node = tests, value, node


class Differing:
    """A value that may differ between machines: cases that exclude each other, an `else` last in its branch.

    A value that is the same everywhere has one case without tests. `else` in a branch means: these tests of the
    branch hold, and none of its other cases does.
    """

    __slots__ = ("cases", "node")

    def __init__(self, cases: tuple[Case, ...], node: Node) -> None:
        self.cases, self.node = cases, node

    @property
    def plain(self) -> bool:
        """Is it the same on every machine?"""
        return len(self.cases) == 1 and self.cases[0].tests == ()

    def __repr__(self) -> str:
        return "; ".join(f"{case.tests}: {case.value}" if case.tests else str(case.value) for case in self.cases)


class DifferingKind:
    """A value, or a mapping that says on which machines it is which.

    By years, `{..1966: A, 1967..: B}`; by a feature or axis, `{fuel: {diesel: A, else: B}}`; one in the other.
    """

    def __init__(self, value: Kind, *, own_keys: frozenset[str] = frozenset()) -> None:
        #: Keys of the value's own mapping form, which is so told from a mapping by machines.
        self.value, self.own_keys = value, own_keys

    def read(self, node: Node, reader: Reader) -> Differing | None:
        if not isinstance(node, Mapping):
            value = self.value.read(node, reader)
            return None if value is None else Differing((Case((), value, node),), node)
        cases: list[Case] = []
        sound = self.gather(node, (), cases, reader)
        return Differing(tuple(cases), node) if sound else None

    def gather(self, node: Node, tests: tuple[Test, ...], cases: list[Case], reader: Reader) -> bool:
        """Add the cases at or below `node`, where `tests` hold. False after a finding."""
        branch = self.branch(node, reader) if isinstance(node, Mapping) else None
        if branch is None:
            value = self.value.read(node, reader)
            if value is None:
                return False
            cases.append(Case(tests, value, node))
            return True
        axis, by = branch
        sound = True
        rest: Node | None = None
        seen: list[tuple[Stretch, Node]] = []
        mentioned: list[str | Stretch] = []
        for text, (key_node, below) in by.items.items():
            if text == "else":
                rest = below
                continue
            test = self.case_test(axis, text, key_node, reader)
            if test is None:
                sound = False
                continue
            if axis in AXES:
                sound &= self.apart(test, key_node, seen, reader)
            mentioned.extend(test.any_of)
            sound &= self.gather(below, (*tests, test), cases, reader)
        if rest is not None:
            others = Test(axis, tuple(mentioned), by)
            sound &= self.gather_rest(rest, tests, others, cases, reader)
        return sound

    @staticmethod
    def apart(test: Test, node: Node, seen: list[tuple[Stretch, Node]], reader: Reader) -> bool:
        """Does no stretch of a case overlap those of the cases before it? They are added to `seen`."""
        sound = True
        for value in test.any_of:
            assert isinstance(value, Stretch)
            for other, other_node in seen:
                if value.overlaps(other):
                    reader.fault(
                        "ranges-overlap", node, f"the ranges `{value}` and `{other}` overlap",
                        because=(Related(span(other_node, reader.file), f"says `{other}`"),),
                        mend="end the earlier one before the later one begins",
                    )
                    sound = False
            seen.append((value, node))
        return sound

    def gather_rest(
        self, node: Node, tests: tuple[Test, ...], others: Test, cases: list[Case], reader: Reader
    ) -> bool:
        """Add the cases of an `else`: those where none of `others` holds."""
        below: list[Case] = []
        if not self.gather(node, (), below, reader):
            return False
        cases.extend(Case((*tests, Not(others), *(case.tests or ())), case.value, case.node) for case in below)
        return True

    def branch(self, node: Mapping, reader: Reader) -> tuple[str, Mapping] | None:
        """The axis or feature that a mapping is keyed by and the mapping itself; None if it is a value."""
        if not node.items or self.own_keys.issuperset(node.items):
            return None
        if any(stretch_of(text) for text in node.items):
            return "built", node
        if len(node.items) == 1:
            ((name, (name_node, below)),) = node.items.items()
            known = reader.features is None or name in AXES or name in reader.features
            if isinstance(below, Mapping) and name not in self.own_keys:
                if not known:
                    near = nearest(name, [*(reader.features or ()), *AXES, *self.own_keys])
                    reader.fault(
                        "feature-unknown", name_node, f"`{name}` is not a feature of any machine",
                        f"write `{near}`" if near else "add it to `features` in machines.yaml",
                    )
                return name, below
        return None

    @staticmethod
    def case_test(axis: str, text: str, node: Scalar, reader: Reader) -> Test | None:
        """The test that one key of a branch stands for; several values are parted by commas."""
        if axis in AXES:
            stretch = stretch_of(text)
            if stretch is None:
                reader.fault(
                    "range-unreadable", node, f"`{text}` is not a range of years or numbers",
                    "write it as `1958..1963`, `..1961`, `1964..` or `else`",
                )
                return None
            if checked_stretch(stretch, node, reader) is None:
                return None
            reader.stretches.setdefault(axis, set()).add(stretch)
            return Test(axis, (stretch,), node)
        if reader.features is not None and axis not in reader.features:
            return None
        return Test(axis, (text,), node) if value_known(axis, node, reader) else None

    def schema(self, definitions: Schema) -> Schema:
        value = self.value.schema(definitions)
        plain = value["anyOf"] if set(value) == {"anyOf"} else [value]
        for name, known in definitions.items():
            if name.startswith("differing-") and known["anyOf"][:-2] == plain:
                return {"$ref": f"#/definitions/{name}"}
        name = f"differing-{1 + sum(known.startswith('differing-') for known in definitions)}"
        this = {"$ref": f"#/definitions/{name}"}
        by_years = {
            "type": "object", "minProperties": 1,
            "patternProperties": {STRETCH_PATTERN: this}, "properties": {"else": this},
            "additionalProperties": False,
            "description": "By the years in which the machine was built: `..1966`, `1967..`, `else`.",
        }
        by_feature = {
            "type": "object", "minProperties": 1, "maxProperties": 1,
            "propertyNames": {"not": {"anyOf": [
                {"enum": [*sorted(self.own_keys), "else"]}, {"pattern": STRETCH_PATTERN},
            ]}},
            "properties": dict.fromkeys(AXES, by_years),
            "additionalProperties": {"type": "object", "additionalProperties": this},
            "description": "By a feature, and then by its values and `else`.",
        }
        definitions[name] = {"anyOf": [*plain, by_years, by_feature]}
        return this


class Not(Test):
    """The opposite of a test; only `else` makes one."""

    __slots__ = ()

    def __init__(self, test: Test) -> None:
        super().__init__(test.feature, test.any_of, test.node)

    def __repr__(self) -> str:
        return f"not {super().__repr__()}"


# --------------------------------------------------------------------------------------------------- records


class Key:
    """One key of a record: its kind, what an author is told about it, whether it must be there."""

    __slots__ = ("attr", "default", "kind", "proven", "required", "says")

    def __init__(self, kind: Kind, says: str, default: Any, required: bool, attr: str, proven: bool) -> None:
        self.kind, self.says, self.default, self.required = kind, says, default, required
        self.attr, self.proven = attr, proven


def key(
    kind: Kind, says: str, *, default: Any = None, required: bool = False, name: str = "", proven: bool = True
) -> Any:
    """Declare a key on a Record. `name` where the key's name is not a name in Python (`from`, `with`, `is`)."""
    return Key(kind, says, default, required, name, proven)


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

    def given(self, name: str) -> bool:
        """Was this key written?"""
        return name in self.node.items

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {self.id}>" if self.id else f"<{type(self).__name__}>"


class RecordKind:
    """A mapping with the keys of one Record class. `short` says which key a bare text stands for."""

    def __init__(self, record: type[Record] | Callable[[], type[Record]]) -> None:
        self._record = record

    @property
    def record(self) -> type[Record]:
        if not isinstance(self._record, type):
            self._record = self._record()
        return self._record

    def read(self, node: Node, reader: Reader) -> Any:
        cls = self.record
        if not isinstance(node, Mapping):
            wrong_kind(reader, node, f"{cls.CALLED} (keys and values)")
            return None
        built = cls.__new__(cls)
        values = built.__dict__
        values["node"], values["file"] = node, reader.file
        reads = cls.READS
        for name, (name_node, value_node) in node.items.items():
            known = reads.get(name)
            if known is None:
                if name != "$schema":  # editors may be pointed at the schema so
                    unknown_key(cls, name, name_node, reader)
                continue
            read, attr, proven = known
            value = read(value_node, reader)
            if value is not None:
                values[attr] = value
                if not proven:
                    reader.unproven.append((name, name_node))
        for name in cls.REQUIRED:
            if name not in node.items:
                says = cls.KEYS[name].says
                reader.fault(
                    "key-missing", first_key(node), f"{cls.CALLED} lacks `{name}`",
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
        "title": record.CALLED, "description": " ".join((record.__doc__ or "").split("\n\n")[0].split()),
        "type": "object", "properties": described,
        # the reader passes over it wherever it stands; only a whole file is offered it
        "patternProperties": {r"^\$schema$": True}, "additionalProperties": False,
    }
    required = list(record.REQUIRED)
    return {**schema, "required": required} if required else schema


def first_key(node: Mapping) -> Node:
    """The first key of a mapping: a place small enough to point at for what the mapping lacks."""
    return next(iter(node.items.values()))[0] if node.items else node


def unknown_key(cls: type[Record], name: str, node: Node, reader: Reader) -> None:
    """A finding that names the nearest known key."""
    near = nearest(name, cls.KEYS)
    reader.fault(
        "key-unknown", node, f"`{name}` is not a key of {cls.CALLED}",
        f"write `{near}`" if near else f"use one of {one_of(sorted(cls.KEYS))}",
    )
