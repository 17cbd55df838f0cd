"""Small, nasty manuals drawn at random: every construct that book/proof.md speaks of, sound and faulty.

`random_manual` gives the texts of one manual, well-formed for the reader. Its author is careful or wild: a
careful one strips what is in the way first and disturbs nothing twice, a wild one writes any action anywhere.
Run as a module it prints how often each kind of fault arises: `python -m tests.proof.random_manuals 300`.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Sequence
from itertools import islice
from typing import Any, Final, TypeVar

import yaml
from greaseproof.reading.build import read_manual

from .interpreter import covers, job, machines

__all__ = ["random_manual"]

Entry = dict[str, Any]
T = TypeVar("T")

PLACES: Final = (["left", "right"], ["left", "front right"], ["front right", "rear", "left"])
FEATURES: Final = {
    "fuel": ["petrol", "diesel"], "charging": ["dynamo", "alternator"], "trim": ["plain", "fancy"],
}
YEARS: Final = (1954, 1957)
NUMBERS: Final = (1, 4)
KINDS: Final = ("electrical", "coolant", "fuel")
SETTINGS: Final = ("open", "closed", "half")
#: At most so many things of one manual may be absent by inspection: each doubles its machines.
LOOK_AT_MOST: Final = 3
PROSE: Final = "Look at it from both sides."
GROUPS: Final = ("fixings", "connections", "parts", "controls", "fluids")
#: Actions by what they are done to.
DONE_TO: Final = {
    "fixings": ("slacken", "undo", "tighten"), "connections": ("disconnect", "connect"),
    "parts": ("remove", "fit"), "fluids": ("drain", "fill", "top_up"),
}


def random_manual(rng: random.Random) -> dict[str, str]:
    """The texts of one manual: path -> YAML."""
    return Author(rng).manual()


class Author:
    """Writes one manual."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.careful = rng.random() < 0.6
        self.looks = 0
        self.named = 0
        self.features: dict[str, list[str]] = {}
        self.models: list[str] = []
        self.kept: list[str] = []
        #: Group -> name -> entry, of shared things.
        self.shared: dict[str, dict[str, Entry]] = {group: {} for group in GROUPS}
        #: The same of the procedure that is being written.
        self.own: dict[str, dict[str, Entry]] = {group: {} for group in GROUPS}
        self.conditions: dict[str, Entry] = {}
        #: A procedure calls, and opens conditions by, only those that come later in this list.
        self.procedures: list[str] = []
        self.writing = 0
        #: What steps have disturbed and which procedures they have called, so that a careful author does
        #: neither twice. A wild one forgets it with every procedure.
        self.touched: set[str] = set()

    # ---------------------------------------------------------------------------------------------- drawing

    def chance(self, likely: float) -> bool:
        return self.rng.random() < likely

    def some(self, among: Sequence[T], least: int = 1, most: int = 2) -> list[T]:
        """Between `least` and `most` of them, as far as there are so many, in any order."""
        return self.rng.sample(list(among), min(len(among), self.rng.randint(least, most)))

    def one_or_list(self, many: list[Any]) -> Any:
        return many[0] if len(many) == 1 and self.chance(0.5) else many

    def stretch(self, bounds: tuple[int, int]) -> str:
        first, last = sorted(self.rng.choices(range(bounds[0], bounds[1] + 1), k=2))
        return self.rng.choice([f"{first}..{last}", f"..{last}", f"{first}..", str(first)])

    def where(self) -> Any:
        """A value of `applies`, `when` or `unless`."""
        if self.chance(0.15):
            return [self.all_of(), self.all_of()]
        return self.all_of()

    def all_of(self) -> Entry:
        tests: Entry = {}
        for _ in range(self.rng.choice((1, 1, 2))):
            features = list(self.features)
            key = self.rng.choice([*features, *features, "built", "serial", "engine", "machine", "kept"])
            if key == "built":
                tests[key] = self.stretch(YEARS)
            elif key in ("serial", "engine"):
                stretches = [self.stretch(NUMBERS) for _ in range(self.rng.choice((1, 1, 2)))]
                tests[key] = self.one_or_list(stretches)
            elif key == "machine":
                tests[key] = self.one_or_list(self.some(self.models))
            elif key == "kept" and self.kept:
                tests[key] = self.rng.choice(self.kept)
            elif key in self.features:
                tests[key] = self.one_or_list(self.some([*self.features[key], "absent"]))
        return tests or {"machine": self.rng.choice(self.models)}

    def differing(self, values: list[Any]) -> Any:
        """One of the values, or a mapping that says on which machines it is which, perhaps not on all."""
        draw = self.rng.random()
        if draw < 0.5 or not self.features:
            return self.rng.choice(values)
        if draw < 0.7:
            cut = self.rng.randint(YEARS[0], YEARS[1] - 1)
            cases = {f"..{cut}": self.rng.choice(values), f"{cut + 1}..": self.rng.choice(values)}
            if self.chance(0.2):
                del cases[f"..{cut}"]
            return cases
        feature = self.rng.choice(list(self.features))
        chosen = self.some([*self.features[feature], "absent"], 1, 2)
        by_value = {value: self.rng.choice(values) for value in chosen}
        if self.chance(0.7):
            by_value["else"] = self.rng.choice(values)
        return {feature: by_value}

    # --------------------------------------------------------------------------------------------- machines

    def machines_file(self) -> Entry:
        self.features = {f: FEATURES[f] for f in self.some(list(FEATURES), 2, 3)}
        self.models = ["plover", "plover-major"][: self.rng.randint(1, 2)]
        features = {f: values if self.chance(0.5) else {"is": values} for f, values in self.features.items()}
        written: Entry = {"features": features}
        if self.chance(0.3):
            written["hardware"] = {"..1955": "unified", "1956..": "metric"}
        written["machines"] = {model: self.model() for model in self.models}
        if self.chance(0.4):
            self.kept = ["7"]
            written["kept"] = {"7": self.kept_machine()}
        if "hardware" in written:
            self.features["hardware"] = ["unified", "metric"]
        return written

    def model(self) -> Entry:
        first = self.rng.randint(YEARS[0], YEARS[1] - 1)
        entry: Entry = {"name": "Plover", "built": f"{first}..{YEARS[1]}"}
        if self.chance(0.6):
            entry["serial"] = "{}..{}".format(*NUMBERS)
        elif self.chance(0.5):
            entry["engine"] = "{}..{}".format(*NUMBERS)
        builds = [self.build() for _ in range(self.rng.choice((1, 1, 1, 2)))]
        entry["has"] = builds[0] if len(builds) == 1 else builds
        return entry

    def build(self) -> Entry:
        """The features of one build: fixed, open, by serial number or by years."""
        has: Entry = {}
        for feature, values in self.features.items():
            draw = self.rng.random()
            if draw < 0.35:
                has[feature] = values if self.chance(0.8) else [values[0], "absent"]
            elif draw < 0.6:
                has[feature] = self.rng.choice(values)
            elif draw < 0.75:
                has[feature] = {"serial": {"..2": values[0], "3..": self.one_or_list(self.some(values))}}
            elif draw < 0.9:
                late = self.one_or_list(self.some(values))
                has[feature] = {"..1955": self.rng.choice(values), "1956..": late}
        return has or {next(iter(self.features)): FEATURES[next(iter(self.features))]}

    def kept_machine(self) -> Entry:
        entry: Entry = {"machine": self.rng.choice(self.models)}
        if self.chance(0.5):
            entry["built"] = str(YEARS[1])
        if self.chance(0.3):
            entry["serial"] = "3"
        changed = self.some(list(self.features), 1, 2)
        entry["has"] = {feature: self.one_or_list(self.some(self.features[feature])) for feature in changed}
        return entry

    # ----------------------------------------------------------------------------------------------- things

    def thing(self, names: list[str]) -> Entry:
        """What every thing may say; `names` are things that it may be fitted with."""
        entry: Entry = {}
        if self.chance(0.15):
            entry["when"] = self.where()
        if self.chance(0.1):
            entry["unless"] = self.where()
        if self.chance(0.15) and self.looks < LOOK_AT_MOST:
            self.looks += 1
            entry["fitted"] = "look"
        if self.chance(0.1) and names:
            entry["with"] = self.rng.choice(names)
        if self.chance(0.3):
            entry["places"] = self.rng.choice(PLACES)
        return entry

    def things(self, into: dict[str, dict[str, Entry]], prefix: str, counts: dict[str, int]) -> None:
        """Write things into `into`; they may name those that are there already."""
        for group in GROUPS:
            for number in range(counts[group]):
                entry = self.thing([name for g in GROUPS for name in self.known(g)])
                getattr(self, f"write_{group}")(entry)
                into[group][f"{prefix}{group[:-1]}-{number + 1}"] = entry

    def write_fixings(self, entry: Entry) -> None:
        if self.chance(0.2):
            entry["kind"] = self.rng.choice(("clip", "strap"))

    def write_connections(self, entry: Entry) -> None:
        entry["kind"] = self.rng.choice(KINDS)
        if self.chance(0.6):
            entry["kind"] = "electrical"
            entry["role"] = self.rng.choice(("earth", "live"))
        fixings = list(self.known("fixings"))
        if fixings and self.chance(0.6):
            entry["fixing"] = self.ref(self.rng.choice(fixings))
        if fixings and self.chance(0.2):
            entry["along"] = [self.ref(name) for name in self.some(fixings)]

    def write_parts(self, entry: Entry) -> None:
        covers = 0.25 if self.careful else 0.5
        draws = (("held_by", "fixings", 0.7), ("joined_by", "connections", 0.4), ("covers", "", covers))
        for key, group, likely in draws:
            groups = [group] if group else ["fixings", "connections", "parts"]
            known = [name for g in groups for name in self.known(g)]
            if known and self.chance(likely):
                entry[key] = self.one_or_list([self.ref(name) for name in self.some(known)])

    def write_controls(self, entry: Entry) -> None:
        entry["settings"] = list(SETTINGS)
        if self.chance(0.7):
            entry["normally"] = self.rng.choice(SETTINGS)

    def write_fluids(self, entry: Entry) -> None:
        entry["amount"] = "3 L"

    def ends_of_connections(self, connections: dict[str, Entry]) -> None:
        """Say at which parts connections end: parts are written after them."""
        for entry in connections.values():
            if self.known("parts") and self.known("fixings") and self.chance(0.35):
                parts = self.some(list(self.known("parts")))
                entry["at"] = {part: self.rng.choice(list(self.known("fixings"))) for part in parts}

    def parts_that_cover_themselves(self, parts: dict[str, Entry]) -> None:
        for name, entry in parts.items():
            if self.chance(0.1):
                entry["covers"] = [name]

    def known(self, group: str) -> dict[str, Entry]:
        """The things of one group that may be named where the author is writing."""
        return {**self.shared[group], **self.own[group]}

    def places_of(self, name: str) -> list[str]:
        for group in GROUPS:
            if name in self.known(group):
                places: list[str] = self.known(group)[name].get("places", [])
                return places
        return []

    def ref(self, name: str, likely: float = 0.25) -> Any:
        """A thing's name, now and then with one of its places."""
        places = self.places_of(name)
        return {name: self.rng.choice(places)} if places and self.chance(likely) else name

    # ------------------------------------------------------------------------------------------- conditions

    def write_conditions(self) -> None:
        usual = self.some(["battery-isolated", "raised-and-supported"], 0, 2)
        for name in [*usual, *(f"state-{number + 1}" for number in range(self.rng.randint(4, 7)))]:
            entry: Entry = {}
            if self.chance(0.5):
                meanings = [self.meaning() for _ in range(2)]
                plain = self.careful and self.chance(0.8)
                entry["means"] = meanings[0] if plain else self.differing(meanings)
                if self.chance(0.8 if self.careful else 0.3):
                    entry["none"] = "holds"
            draw = self.rng.random() * (0.9 if self.careful else 1)
            if draw < 0.45 and len(self.procedures) > 1:
                entry["opened_by"] = self.rng.choice(self.procedures[1:])
            if 0.4 < draw < 0.9:
                entry["opened"] = "See to it."
            entry["ends"] = self.rng.choice(("must", "must", "must", "stays", "itself"))
            if self.chance(0.25):
                entry["places"] = self.rng.choice(PLACES)
            self.conditions[name] = entry
            if name == "battery-isolated":
                entry["means"] = {"off": {"role": "earth"}}
        for entry in self.conditions.values():
            if self.chance(0.1 if self.careful else 0.4):
                entry["against"] = self.one_or_list(self.condition_refs(list(self.conditions)))
            if "means" not in entry and self.chance(0.3):
                entry["lost_by"] = self.one_or_list(self.condition_refs(list(self.conditions)))
        for name, entry in self.conditions.items():
            for key in ("against", "lost_by"):
                if key in entry:
                    listed = entry[key] if isinstance(entry[key], list) else [entry[key]]
                    entry[key] = [ref for ref in listed if ref != name and name not in ref] or None
                    if entry[key] is None:
                        del entry[key]

    def meaning(self) -> Entry:
        clause: Entry = {}
        simple = self.careful and self.chance(0.8)
        keys = self.some(["off", "set"], 1, 1) if simple else self.some(["off", "off", "on", "set"])
        for key in keys:
            if key == "set":
                clause["set"] = {
                    control: self.rng.choice(SETTINGS) for control in self.some(list(self.shared["controls"]))
                }
            else:
                clause[key] = self.selector(of_procedures=False)
        return clause

    def selector(self, group: str = "", *, of_procedures: bool = True, places: bool = True) -> Any:
        """What picks out shared things; of one group if that is given. The policy names no places."""
        groups = [group] if group else ["fixings", "connections", "parts", "fluids"]
        draw = self.rng.random()
        if draw < 0.35 and "connections" in groups:
            return self.rng.choice([
                {"role": "earth"}, {"role": "live"}, {"kind": "electrical", "role": "earth"},
                {"role": ["earth", "live"]},
            ])
        if draw < 0.5 and "connections" in groups:
            return {"kind": self.one_or_list(self.some(KINDS))}
        if draw < 0.5 and "fixings" in groups:
            return {"kind": "clip"}
        if draw < 0.6 and of_procedures:
            return "any"
        names = [name for g in groups for name in self.shared[g]]
        refs = [self.ref(name) if places else name for name in self.some(names)]
        return {"things": refs} if self.chance(0.3) else refs

    def condition_refs(self, names: list[str], most: int = 2) -> list[Any]:
        refs: list[Any] = []
        for name in self.some(names, 1, most):
            places = self.conditions[name].get("places")
            refs.append({name: self.rng.choice(places)} if places and self.chance(0.25) else name)
        return refs

    def openable(self) -> list[str]:
        """The conditions that the procedure being written may open without going round in a circle."""
        later = self.procedures[self.writing + 1 :]
        return [name for name, entry in self.conditions.items() if entry.get("opened_by") in (None, *later)]

    def policy(self) -> list[Entry]:
        rows = []
        for _ in range(self.rng.randint(0, 1 if self.careful else 3)):
            step: Entry = {}
            actions = (
                ("slacken", "fixings"), ("undo", "fixings"), ("disconnect", "connections"),
                ("remove", "parts"), ("drain", "fluids"),
            )
            for action, group in self.some(actions, 1, 2 if self.chance(0.2) else 1):
                step[action] = self.selector(group, places=False)
            if self.chance(0.15):
                step["where"] = self.rng.choice(("inside", "under"))
            row: Entry = {"step": step}
            if self.chance(0.4):
                row["except"] = self.selector(of_procedures=False, places=False)
            row["needs"] = self.one_or_list(self.condition_refs(list(self.conditions), 1))
            row |= {"because": "It could fall.", "source": "common practice, no source"}
            rows.append(row)
        return rows

    # ------------------------------------------------------------------------------------------- procedures

    def procedure(self, number: int) -> Entry:
        self.writing = number
        self.touched = self.touched if self.careful else set()
        self.own = {group: {} for group in GROUPS}
        entry: Entry = {"title": "Do the work", "system": "engine"}
        if self.chance(0.1 if self.careful else 0.4):
            entry["applies"] = self.where()
        if self.chance(0.5):
            # Some of these names stand in several procedures, for things of their own.
            counts = dict(zip(GROUPS, self.rng.choices((0, 0, 1, 1, 2), k=5), strict=True))
            self.things(self.own, "own-", counts)
            self.ends_of_connections(self.own["connections"])
            entry |= {group: dict(things) for group, things in self.own.items() if things}
        self.firsts(entry, 0.6 if number == 0 else 0.3)
        self.needs(entry, 0.2)
        steps = self.bring_about(number) + self.steps(0, self.rng.randint(1, 5 if number == 0 else 3))
        entry["steps"] = steps
        if self.chance(0.4):
            entry["finally"] = self.ending() if self.careful else self.steps(0, self.rng.randint(1, 2))
        return entry

    def ending(self) -> list[Entry]:
        """What a careful author does in the end: controls put right, a look, a call that closes again."""
        normal = {c: entry["normally"] for c, entry in self.known("controls").items() if "normally" in entry}
        steps: list[Entry] = [{"do": PROSE}]
        if normal and self.chance(0.5):
            steps.append({"set": normal})
        if self.callable() and self.chance(0.4):
            called = self.rng.choice(self.callable())
            self.touched.add(called)
            step: Entry = {"call": called}
            steps.append({"heading": "Try it", "steps": [step]} if self.chance(0.4) else step)
        for step in steps:
            self.firsts(step, 0.3)
        return steps

    def bring_about(self, number: int) -> list[Entry]:
        """What makes the conditions with a meaning hold that this procedure is to open."""
        steps: list[Entry] = []
        for condition in self.conditions.values():
            opened = condition.get("opened_by") == self.procedures[number]
            if opened and self.chance(1 if self.careful else 0.7):
                for clause in clauses(condition.get("means")):
                    steps += self.follow(clause)
        return steps

    def follow(self, clause: Entry) -> list[Entry]:
        steps: list[Entry] = []
        selector = clause.get("off", [])
        for group, action in (
            ("connections", "disconnect"), ("parts", "remove"), ("fixings", "undo"), ("fluids", "drain"),
        ):
            names = [name for name, entry in self.shared[group].items() if picked(selector, name, entry)]
            if names:
                steps.append({action: [self.ref(name, 0.1) for name in names]})
        if "set" in clause:
            steps.append({"set": dict(clause["set"])})
        return steps

    def firsts(self, entry: Entry, likely: float) -> None:
        if self.openable() and self.chance(likely):
            entry["first"] = self.one_or_list(self.condition_refs(self.openable()))

    def needs(self, entry: Entry, likely: float) -> None:
        if self.chance(likely):
            needs = self.condition_refs(list(self.conditions), 1)
            if self.careful and self.chance(0.8):
                needs = entry["first"] if isinstance(entry.get("first"), list) else []
            parts = [name for name in self.known("parts") if not self.careful or name not in self.touched]
            if parts and (not needs or self.chance(0.5)):
                fitted = self.one_or_list([self.ref(name) for name in self.some(parts)])
                needs = self.rng.choice([[{"fitted": fitted}], [*needs, {"fitted": fitted}]])
            if needs:
                entry["needs"] = needs

    def steps(self, depth: int, count: int) -> list[Entry]:
        written: list[Entry] = []
        while len(written) < count:
            written += self.some_steps(depth)
        return written

    def some_steps(self, depth: int) -> list[Entry]:
        draw = self.rng.random()
        if draw < 0.3:
            steps = self.strip() if self.careful or self.chance(0.4) else [self.wild_step()]
        elif draw < 0.5:
            steps = [self.wild_step()] if not self.careful or self.chance(0.15) else [self.mild_step()]
        elif draw < 0.72 and depth < 2:
            steps = [self.group(depth)]
        elif draw < 0.84 and self.callable():
            called = self.rng.choice(self.callable())
            self.touched.add(called)
            steps = [{"call": called}]
        else:
            steps = [self.mild_step()]
        for step in steps:
            self.trimmings(step)
        return steps

    def callable(self) -> list[str]:
        later = self.procedures[self.writing + 1 :]
        opening = [entry.get("opened_by") for entry in self.conditions.values()]
        unused = [id for id in later if id not in self.touched and id not in opening]
        return unused if self.careful else later

    def trimmings(self, step: Entry) -> None:
        """When a step is done, and what it needs."""
        if self.chance(0.12):
            step["when"] = self.where()
        if self.chance(0.08):
            step["unless"] = self.where()
        if self.chance(0.03 if self.careful else 0.1):
            step["where"] = self.rng.choice(("under", "inside"))
        if self.chance(0.05):
            self.named += 1
            step["id"] = f"step-{self.named}"
        if "first" not in step:
            self.firsts(step, 0.15)
        self.needs(step, 0.15)

    def strip(self) -> list[Entry]:
        """Take a part off: what joins it and what holds it first, in one step or several."""
        parts = [name for name in self.known("parts") if name not in self.touched]
        if not parts:
            return [self.mild_step()]
        return self.strip_part(self.rng.choice(parts))

    def strip_part(self, name: str) -> list[Entry]:
        self.touched.add(name)
        part = self.known("parts")[name]
        fixings, joined = ids(part.get("held_by")), ids(part.get("joined_by"))
        joined += [c for c, entry in self.known("connections").items() if name in entry.get("at", {})]
        joined = [c for c in dict.fromkeys(joined) if c not in self.touched]
        if self.chance(0.6) and any(self.known("connections")[c].get("role") == "live" for c in joined):
            earths = [c for c, entry in self.shared["connections"].items() if entry.get("role") == "earth"]
            joined = [c for c in dict.fromkeys([*earths, *joined]) if c not in self.touched]
        undone = {f for c in joined for f in self.fixings_of(c)}
        fixings = [f for f in fixings if f not in self.touched | undone]
        steps: list[Entry] = []
        for cover, entry in self.known("parts").items():
            if cover not in self.touched and set(ids(entry.get("covers"))) & {name, *fixings, *joined}:
                steps += self.strip_part(cover)
        self.touched |= {*fixings, *joined, *undone}
        taking: list[tuple[str, list[str]]] = [("disconnect", joined), ("undo", fixings), ("remove", [name])]
        if self.chance(0.1):
            taking.pop(self.rng.randrange(3))
        written = [{action: self.one_or_list(list(names))} for action, names in taking if names]
        if self.chance(0.4) and written:
            written = [{action: names for step in written for action, names in step.items()}]
        return [*steps, *written] or [self.mild_step()]

    def fixings_of(self, connection: str) -> list[str]:
        entry = self.known("connections")[connection]
        return [*ids(entry.get("fixing")), *ids(entry.get("along")), *entry.get("at", {}).values()]

    def mild_step(self) -> Entry:
        """A step that does little harm."""
        draw = self.rng.random()
        things = [name for group in GROUPS for name in self.known(group)]
        if draw < 0.25:
            key = self.rng.choice(("mark", "record", "inspect", "measure", "clean"))
            return {key: [self.ref(self.rng.choice(things)), *([PROSE] if self.chance(0.3) else [])]}
        if draw < 0.45:
            controls = [c for c, e in self.known("controls").items() if not self.careful or "normally" in e]
            if controls:
                return {"set": {control: self.rng.choice(SETTINGS) for control in self.some(controls)}}
        if draw < 0.6:
            fluids = [name for name in self.known("fluids") if name not in self.touched]
            if fluids:
                name = self.rng.choice(fluids)
                self.touched.add(name)
                return {self.rng.choice(("drain", "drain", "top_up")): self.ref(name)}
        if draw < 0.75:
            begun = [c for c, entry in self.conditions.items() if "means" not in entry or self.chance(0.1)]
            if begun:
                refs = self.condition_refs(begun, 1)
                return self.rng.choice([{"makes": refs}, {"ends": refs}, {"makes": refs, "ends": refs}])
        if draw < 0.85:
            fixings = [name for name in self.known("fixings") if name not in self.touched]
            if fixings:
                name = self.rng.choice(fixings)
                self.touched.add(name)
                return self.rng.choice([
                    {"slacken": name}, {"undo": name, "tighten": name}, {"slacken": name, "undo": name},
                    {"undo": name, "tighten": name, "to": "hand"},
                ])
        return {"do": PROSE}

    def wild_step(self) -> Entry:
        """One to three actions on anything."""
        step: Entry = {}
        for _ in range(self.rng.choice((1, 1, 2, 3))):
            group = self.rng.choice([*DONE_TO, "fixings", "connections", "parts", "any"])
            if group == "any":
                names = [name for placed in DONE_TO for name in self.known(placed)]
                step["disturbs"] = [self.ref(name) for name in self.some(names)]
            elif self.known(group):
                names = self.some(list(self.known(group)), 1, 3)
                names += names[:1] if self.chance(0.05) else []
                self.touched |= set(names)
                step[self.rng.choice(DONE_TO[group])] = [self.ref(name) for name in names]
        if "tighten" in step and self.chance(0.3):
            step["to"] = "hand"
        return step or {"do": PROSE}

    def group(self, depth: int) -> Entry:
        step: Entry = {"heading": "Part of the work"}
        if self.chance(0.3):
            step |= self.mild_step()
        self.firsts(step, 0.25)
        if self.chance(0.4):
            lists = [*PLACES, self.rng.choice(PLACES)[::-1], ["left"], ["first", "second"]]
            step["repeat"] = self.differing(lists)
        placed = [name for group in DONE_TO for name in self.known(group) if self.places_of(name)]
        placed = [name for name in placed if name not in self.touched]
        if self.careful and "repeat" in step and placed:
            name = self.rng.choice(placed)
            self.touched.add(name)
            action = next(DONE_TO[group][0] for group in DONE_TO if name in self.known(group))
            places = self.places_of(name)
            step["repeat"] = self.rng.choice([places, places[::-1], step["repeat"]])
            step["steps"] = [{action: name}, {"do": PROSE}][: self.rng.randint(1, 2)]
            if self.chance(0.5):
                self.firsts(step["steps"][-1], 0.5)
        else:
            step["steps"] = self.steps(depth + 1, self.rng.randint(1, 3))
        return step

    # ------------------------------------------------------------------------------------------- the manual

    def manual(self) -> dict[str, str]:
        files: dict[str, Any] = {"manual.yaml": {"title": "A drawn manual", "systems": ["engine"]}}
        files["machines.yaml"] = self.machines_file()
        counts = {"fixings": 4, "connections": 4, "parts": 4, "controls": 2, "fluids": 2}
        self.things(self.shared, "", {group: self.rng.randint(1, most) for group, most in counts.items()})
        self.ends_of_connections(self.shared["connections"])
        self.parts_that_cover_themselves(self.shared["parts"])
        files["parts.yaml"] = self.shared
        self.procedures = ["job", "second", "third", "fourth"][: self.rng.randint(2, 4)]
        self.write_conditions()
        files["conditions.yaml"] = self.conditions
        rows = self.policy()
        if rows:
            files["policy.yaml"] = rows
        for number, id in enumerate(self.procedures):
            files[f"engine/{id}.yaml"] = self.procedure(number)
        return {
            path: yaml.dump(value, Dumper=Plainly, sort_keys=False, allow_unicode=True)
            for path, value in files.items()
        }


class Plainly(yaml.SafeDumper):
    """Writes everything out: anchors are no part of a manual."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def ids(refs: Any) -> list[str]:
    """The names in a reference or a list of them."""
    listed = [] if refs is None else refs if isinstance(refs, list) else [refs]
    return [ref if isinstance(ref, str) else next(iter(ref)) for ref in listed]


def clauses(means: Any) -> list[Entry]:
    """The clauses of a meaning, on whatever machines."""
    if not isinstance(means, dict):
        return []
    if set(means) & {"off", "on", "set"}:
        return [means]
    return [clause for below in means.values() for clause in clauses(below)]


def picked(selector: Any, name: str, entry: Entry) -> bool:
    """Does a selector as written pick out a thing as written?"""
    if isinstance(selector, dict) and set(selector) & {"kind", "role", "things"}:
        return (
            ("things" not in selector or name in ids(selector["things"]))
            and ("kind" not in selector or entry.get("kind") in ids(selector["kind"]))
            and ("role" not in selector or entry.get("role") in ids(selector["role"]))
        )
    return name in ids(selector)


# ------------------------------------------------------------------------------------------------ statistics


def statistics(manuals: int) -> str:
    """How often each kind of fault arises, over jobs on machines drawn at random."""
    kinds: Counter[str] = Counter()
    actions: Counter[str] = Counter()
    jobs = sound = 0
    for seed in range(manuals):
        rng = random.Random(seed)
        shop, findings = read_manual(random_manual(rng))
        if findings:
            return f"manual {seed} is not well-formed: {findings[0]}"
        for procedure in shop.procedures:
            for machine in islice(machines(shop, rng), 12):
                if covers(shop, procedure, machine):
                    done = job(shop, procedure, machine)
                    jobs, sound = jobs + 1, sound + (not done.faults)
                    kinds.update({fault.kind for fault in done.faults})
                    actions.update({f"{path[0].split()[0]} {what}" for path, what, _ in done.done})
    lines = [f"{manuals} manuals, {jobs} jobs, {sound} of them without a fault; jobs with"]
    lines += [f"{count:7} {kind}" for kind, count in kinds.most_common()]
    lines += ["jobs that do, in", *(f"{count:7} {action}" for action, count in actions.most_common())]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.stdout.write(statistics(int(sys.argv[1]) if len(sys.argv) > 1 else 200) + "\n")
