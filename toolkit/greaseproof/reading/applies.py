"""Where something applies, and values that differ between machines.

They are written with `applies`, `when`, `unless`, ranges and `else`.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, Final

from ..finding import Related
from .kinds import Many, Text
from .nodes import Mapping, Node, Scalar, Sequence, span
from .reader import Kind, Reader, Schema, nearest, one_of, shown, wrong_kind

__all__ = [
    "AXES",
    "OF_MACHINES",
    "Case",
    "Differing",
    "DifferingKind",
    "Not",
    "Stretch",
    "StretchKind",
    "Test",
    "Where",
    "WhereKind",
]


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
                    "range-unreadable",
                    node,
                    f"{shown(node)} is not a range of years or numbers",
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
            "range-backwards",
            node,
            f"the range {shown(node)} ends before it begins",
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
            "feature-unknown",
            feature_node,
            f"`{feature}` is not a feature of any machine",
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
        "feature-value-unknown",
        node,
        f"`{node.text}` is not a value of `{feature}`",
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
            "type": "object",
            "minProperties": 1,
            "properties": dict.fromkeys(AXES, stretches),
            "additionalProperties": values,
        }
        return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}


class Case:
    """One value of something that differs between machines. `tests` (all hold) is None for `else`."""

    __slots__ = ("node", "tests", "value")

    def __init__(self, tests: tuple[Test, ...] | None, value: Any, node: Node) -> None:
        self.tests, self.value, self.node = tests, value, node


class Differing:
    """A value that may differ between machines: cases that exclude each other, an `else` last in its branch.

    A value that is the same everywhere has one case without tests. `else` in a branch means: these tests of
    the branch hold, and none of its other cases does.
    """

    __slots__ = ("_cases", "node", "plain", "value")

    def __init__(self, node: Node, cases: tuple[Case, ...] | None = None, value: Any = None) -> None:
        #: Is it the same on every machine? Then `value` is it.
        self.plain = cases is None
        self.node, self.value, self._cases = node, value, cases

    @property
    def cases(self) -> tuple[Case, ...]:
        """The values, each with the tests that must hold for it to be the one."""
        if self._cases is None:
            self._cases = (Case((), self.value, self.node),)
        return self._cases

    def __repr__(self) -> str:
        return "; ".join(
            f"{case.tests}: {case.value}" if case.tests else str(case.value) for case in self.cases
        )


class DifferingKind:
    """A value, or a mapping that says on which machines it is which.

    By years, `{..1966: A, 1967..: B}`; by a feature or axis, `{fuel: {diesel: A, else: B}}`; or one in the
    other.
    """

    def __init__(self, value: Kind, *, own_keys: frozenset[str] = frozenset()) -> None:
        #: Keys of the value's own mapping form, which is so told from a mapping by machines.
        self.value, self.own_keys = value, own_keys

    def read(self, node: Node, reader: Reader) -> Differing | None:
        if not isinstance(node, Mapping):
            value = self.value.read(node, reader)
            return None if value is None else Differing(node, None, value)
        cases: list[Case] = []
        sound = self.gather(node, (), cases, reader)
        return Differing(node, tuple(cases)) if sound else None

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
                        "ranges-overlap",
                        node,
                        f"the ranges `{value}` and `{other}` overlap",
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
        cases.extend(
            Case((*tests, Not(others), *(case.tests or ())), case.value, case.node) for case in below
        )
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
                        "feature-unknown",
                        name_node,
                        f"`{name}` is not a feature of any machine",
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
                    "range-unreadable",
                    node,
                    f"`{text}` is not a range of years or numbers",
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
            "type": "object",
            "minProperties": 1,
            "patternProperties": {STRETCH_PATTERN: this},
            "properties": {"else": this},
            "additionalProperties": False,
            "description": "By the years in which the machine was built: `..1966`, `1967..`, `else`.",
        }
        by_feature = {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 1,
            "propertyNames": {
                "not": {
                    "anyOf": [
                        {"enum": [*sorted(self.own_keys), "else"]},
                        {"pattern": STRETCH_PATTERN},
                    ]
                }
            },
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
