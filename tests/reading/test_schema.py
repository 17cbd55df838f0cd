"""The editor's schema says what the reader says, as far as a schema can."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, ClassVar

import pytest
import yaml
from greaseproof.reading import nodes
from greaseproof.reading.build import FILES
from greaseproof.reading.reader import Reader
from greaseproof.reading.schema import KINDS, SAYS, schema
from jsonschema import Draft7Validator

TOP = Path(__file__).parents[2]
SCHEMAS = {kind: schema(kind) for kind in KINDS}
HOMES = (
    TOP / "procedures",
    TOP / "toolkit/greaseproof/starter/manual/procedures",
    TOP / "toolkit/greaseproof/reading/shipped",
)
GOOD = [path for home in HOMES for path in sorted(home.rglob("*.yaml"))]


class AnyEditor(yaml.SafeLoader):
    """Takes keys for text, as JSON has it."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Any, Any]:
        return {key.value: self.construct_object(value, deep=True) for key, value in node.value}


class Editor(AnyEditor):
    """Makes of a text without quotes what YAML 1.2 does (its core schema, chapter 10.3)."""

    yaml_implicit_resolvers: ClassVar[dict[str, Any]] = {}


for tag, form in {
    "null": "|~|null|Null|NULL", "bool": "true|True|TRUE|false|False|FALSE", "int": "[-+]?[0-9]+",
    "float": r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?",
}.items():
    Editor.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{form})$"), None)


class OlderEditor(AnyEditor):
    """Makes of a text without quotes what YAML 1.1 does: `yes` and `on` are true. JSON knows no dates."""


OlderEditor.add_constructor("tag:yaml.org,2002:timestamp", yaml.SafeLoader.construct_yaml_str)


def kind_of(path: Path) -> str:
    """What is in a file: told by its name if it stands at the top of a manual."""
    return path.stem if path.name in FILES else "procedure"


def refused_by_schema(kind: str, text: str) -> bool:
    """Would an editor underline something?"""
    data = yaml.load(text, Editor)

    return not Draft7Validator(SCHEMAS[kind]).is_valid(data)


def refused_by_reader(kind: str, text: str) -> bool:
    """Does reading the file alone give a finding?"""
    node, findings = nodes.read(text, "a.yaml")
    reader = Reader()
    if node is not None:
        KINDS[kind].read(node, reader)
    return bool(findings or reader.findings)


@pytest.mark.parametrize("kind", KINDS)
def test_schema_is_draft_07(kind: str) -> None:
    """It holds against the schema of schemas, names its draft, and every name it refers to is there."""
    whole = SCHEMAS[kind]
    refers = set(re.findall(r"'\$ref': '#/definitions/([^']+)'", repr(whole)))

    Draft7Validator.check_schema(whole)
    assert "http://json-schema.org/draft-07/schema#" == whole["$schema"]
    assert set(whole["definitions"]) == refers


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_is_described(kind: str) -> None:
    """Each key has a title and a description that ends as a sentence; each record refuses other keys."""
    whole = SCHEMAS[kind]
    records = [each for each in whole["definitions"].values() if each.get("type") == "object"]
    keys = [(path, key) for record in records for path, key in record["properties"].items()]

    assert keys
    assert [] == [path for path, key in keys if not key.get("title")]
    assert [] == [path for path, key in keys if not re.fullmatch(r"[A-Z`].*[.:]", key.get("description", ""))]
    assert [] == [each["title"] for each in records if each["additionalProperties"]]
    assert [] == [each["title"] for each in records if not each["description"]]


def test_every_file_of_a_manual_has_a_schema() -> None:
    """One for a procedure and one for each file at the top of a manual, each with words of its own."""
    assert list(SAYS) == list(KINDS)
    assert {name.removesuffix(".yaml") for name in FILES} | {"procedure"} == set(KINDS)


@pytest.mark.parametrize("path", GOOD, ids=[path.name for path in GOOD])
def test_good_files_are_accepted(path: Path) -> None:
    """What the reader accepts an editor accepts, whichever YAML it reads by."""
    text = path.read_text(encoding="utf-8")
    kind = kind_of(path)
    validator = Draft7Validator(SCHEMAS[kind])

    assert not refused_by_reader(kind, text)
    assert [] == [error.message for error in validator.iter_errors(yaml.load(text, Editor))]
    assert [] == [error.message for error in validator.iter_errors(yaml.load(text, OlderEditor))]


def test_all_kinds_have_good_files() -> None:
    """The test above sees a file of each kind."""
    assert set(KINDS) == {kind_of(path) for path in GOOD}


HEAD = "title: Look\nsystem: engine\n"
STEPS = "steps: [{do: Look at it}]\n"
MACHINES = "machines:\n  teal:\n    name: Teal\n"

#: Odd but right: (kind, text).
ACCEPTED = [
    ("procedure", f"$schema: ../procedure.json\n{HEAD}{STEPS}"),
    ("procedure", f"{HEAD}revision: 4\nrevised: 2026-11-25\n{STEPS}"),
    ("procedure", f"{HEAD}applies: {{built: 1964.., fuel: [petrol, diesel]}}\n{STEPS}"),
    ("procedure", f"{HEAD}applies: [{{built: 1964}}, {{fuel: diesel}}]\n{STEPS}"),
    ("procedure", f"{HEAD}steps: [{{undo: {{bolts: front left}}, needs: {{fitted: belt}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{safe_to_stop: yes, do: yes}}, {{safe_to_stop: true, id: 7}}]\n"),
    ("procedure", f"{HEAD}steps: [{{mark: the upper hole}}, {{mark: [belt, the upper hole]}}]\n"),
    ("procedure", f"{HEAD}steps: [{{steps: [{{steps: [{{do: Look}}]}}]}}]\n"),
    ("procedure", f"{HEAD}steps: [{{do: Look, repeat: {{fuel: {{diesel: [a, b], else: c}}}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{do: Look, if_not: other}}, {{do: Look, if_not: [{{do: Stop}}]}}]\n"),
    ("procedure", f"{HEAD}{STEPS}refit: confirmed by the committee\n"),
    ("procedure", f"{HEAD}steps: [{{warning: [Hot., {{say: Hot, when: {{fuel: diesel}}}}]}}]\n"),
    ("parts", "fixings: {bolts: {count: 2, torque: 45 N·m, across_flats: look}}\n"),
    ("parts", "fixings: {bolts: {torque: {..1966: 80 N·m, 1967..: {stages: [40 N·m, 90 deg]}}}}\n"),
    ("parts", "fixings: {bolts: {torque: {fuel: {diesel: {..1966: hand, else: look}, else: 60 N·m}}}}\n"),
    ("parts", "fixings: {bolts: {torque: {stages: [40 N·m], renew: [washer]}}}\n"),
    ("machines", f"{MACHINES}    built: 1954\n    has: {{fuel: [petrol, diesel], starter: absent}}\n"),
    ("machines", f"{MACHINES}    built: 1954-1960\n    has: [{{f: a}}, {{f: {{built: {{..9: b}}}}}}]\n"),
    ("machines", f"{MACHINES}    built: 1954 to 1960\nfeatures: {{fuel: [petrol], air: {{is: paper}}}}\n"),
    ("machines", f'{MACHINES}    built: ..1960\nkept:\n  "7": {{machine: teal, serial: 36020}}\n'),
    ("conditions", "cold: {ends: itself, means: {off: any, set: {tap: open}}}\n"),
    ("conditions", "cold: {ends: must, means: {fuel: {a: {on: {kind: b}}, else: {off: [a, {b: c}]}}}}\n"),
    ("tools", "spanner-7: {kind: spanner, fits: [7 mm, 8 mm], count: 2}\n7: {kind: socket, fits: 7 mm}\n"),
    ("supplies", "washer: {unit: each, pack: 50}\n"),
    ("policy", "- step: {where: under}\n  needs: cold\n  because: Hot.\n  source: measured\n"),
    ("manual", "title: 1954\nsystems: engine\n"),
]

#: Wrong by keys or by kind of value: (kind, text).
REFUSED = [
    # a key that is unknown, at each depth
    ("procedure", f"{HEAD}{STEPS}titel: Look\n"),
    ("procedure", f"{HEAD}steps: [{{doo: Look}}]\n"),
    ("procedure", f"{HEAD}steps: [{{steps: [{{do: Look, steps: [{{doo: Look}}]}}]}}]\n"),
    ("procedure", f"{HEAD}steps: [{{warning: {{says: Hot}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{lift: {{load: engine, how: hand}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{answers: {{good: [{{doo: Look}}]}}}}]\n"),
    ("procedure", f"{HEAD}fixings: {{bolts: {{threads: wet}}}}\n{STEPS}"),
    ("parts", "fixings: {bolts: {torque: {stagez: [40 N·m]}}}\n"),
    ("parts", "fixings: {bolts: {torque: {stages: [40 N·m], agains: 1}}}\n"),
    ("parts", "fixings: {bolts: {torque: {..1966: {stages: [40 N·m], agains: 1}}}}\n"),
    ("parts", "fixing: {bolts: {torque: hand}}\n"),
    ("machines", f"{MACHINES}    built: 1954\n    weight: 1 t\n"),
    ("conditions", "cold: {ends: must, means: {off: {knd: fuel, role: earth}}}\n"),
    ("conditions", "cold: {ends: must, means: {of: belt}}\n"),
    ("tools", "spanner: {kind: spanner, sizes: 7 mm}\n"),
    ("policy", "- {step: {place: under}, needs: cold, because: Hot., source: measured}\n"),
    ("manual", "title: Shed\nlang: en\n"),
    # a key that is missing
    ("procedure", f"title: Look\n{STEPS}"),
    ("procedure", HEAD),
    ("procedure", f"{HEAD}time: {{least: 5 min}}\n{STEPS}"),
    ("procedure", f"{HEAD}steps: [{{needs: {{fitted: []}}}}]\n"),
    ("machines", "features: {fuel: petrol}\n"),
    ("machines", f"{MACHINES}    mass: 900 kg\n"),
    ("conditions", "cold: {says: it is cold}\n"),
    ("policy", "- {step: {where: under}, needs: cold, source: measured}\n"),
    ("supplies", "washer: {pack: 50}\n"),
    ("manual", "language: en\n"),
    # nothing where something belongs
    ("procedure", f"title:\nsystem: engine\n{STEPS}"),
    ("procedure", f'title: " "\nsystem: engine\n{STEPS}'),
    ("procedure", f"{HEAD}steps:\n"),
    ("procedure", f"{HEAD}steps: []\n"),
    ("procedure", f"{HEAD}{STEPS}parts:\n"),
    ("procedure", f"{HEAD}steps: [{{undo: []}}]\n"),
    # a list, a mapping or a text where another belongs
    ("procedure", "- title: Look\n"),
    ("procedure", "Look at it\n"),
    ("procedure", f"title: [Look]\nsystem: engine\n{STEPS}"),
    ("procedure", f"{HEAD}steps: {{do: Look}}\n"),
    ("procedure", f"{HEAD}steps: Look\n"),
    ("procedure", f"{HEAD}steps: [Look]\n"),
    ("procedure", f"{HEAD}steps: [{{undo: {{a: b, c: d}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{undo: {{a: [b]}}}}]\n"),
    ("procedure", f"{HEAD}steps: [{{set: tap}}]\n"),
    ("procedure", f"{HEAD}applies: diesel\n{STEPS}"),
    ("procedure", f"{HEAD}applies: {{fuel: {{diesel: yes}}}}\n{STEPS}"),
    ("procedure", f"{HEAD}parts: [starter]\n{STEPS}"),
    ("procedure", f"{HEAD}begins: starter\n{STEPS}"),
    ("parts", "fixings: {bolts: {thread: [M10]}}\n"),
    ("parts", "fixings: {bolts: {thread: {fuel: {diesel: [M10]}}}}\n"),
    ("parts", "fixings: {bolts: {thread: {..1966: M8, fuel: M10}}}\n"),
    ("tools", "- spanner\n"),
    ("policy", "step: {where: under}\n"),
    ("machines", "machines: teal\n"),
    ("machines", f"{MACHINES}    built: 1954\n    has: diesel\n"),
    # a word that is unknown, a name badly formed, a number that is none
    ("procedure", f"{HEAD}status: done\n{STEPS}"),
    ("procedure", f"title: Look\nsystem: The Engine\n{STEPS}"),
    ("procedure", f"{HEAD}people: 0\n{STEPS}"),
    ("procedure", f"{HEAD}people: two\n{STEPS}"),
    ("procedure", f"{HEAD}people: 1.5\n{STEPS}"),
    ("procedure", f"{HEAD}steps: [{{safe_to_stop: perhaps}}]\n"),
    ("procedure", f"{HEAD}steps: [{{undo: The_Bolts}}]\n"),
    ("procedure", f"{HEAD}steps: [{{mark: The_Bolts}}]\n"),
    ("procedure", f"{HEAD}applies: {{built: early}}\n{STEPS}"),
    ("procedure", f"{HEAD}parts: {{The Starter: {{}}}}\n{STEPS}"),
    ("machines", f"{MACHINES}    built: the fifties\n"),
    ("machines", f"{MACHINES}    built: ..\n"),
    ("machines", f"features: {{fuel: Petrol!}}\n{MACHINES}    built: 1954\n"),
    ("conditions", "cold: {ends: sometimes}\n"),
    ("tools", "Spanner 7: {kind: spanner}\n"),
]


@pytest.mark.parametrize("kind, text", ACCEPTED)
def test_what_is_odd_but_right_is_accepted_by_both(kind: str, text: str) -> None:
    """Numbers, years and `yes` without quotes; one or a list; values by years, by feature, one in another."""
    assert (False, False) == (refused_by_reader(kind, text), refused_by_schema(kind, text))


@pytest.mark.parametrize("kind, text", REFUSED)
def test_what_is_wrong_is_refused_by_both(kind: str, text: str) -> None:
    """Keys that are unknown or missing, and values of the wrong kind, at each depth."""
    assert (True, True) == (refused_by_reader(kind, text), refused_by_schema(kind, text))


@pytest.mark.parametrize("kind, text", [
    ("parts", "fixings: {bolts: {torque: tight}}\n"),
    ("parts", "fixings: {bolts: {thread: X10}}\n"),
    ("machines", f"{MACHINES}    built: 1960..1954\n"),
    ("parts", "fixings: {bolts: {torque: {..1966: 80 N·m, 1960..: 85 N·m}}}\n"),
])
def test_what_has_a_grammar_of_its_own_is_for_the_reader(kind: str, text: str) -> None:
    """A quantity, a thread, a range backwards, ranges that overlap: no schema can tell."""
    assert (True, False) == (refused_by_reader(kind, text), refused_by_schema(kind, text))
