"""From the texts of a manual's files to its records: one `Shop`, and every fault of reading in one go."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping as AnyMapping
from contextlib import contextmanager
from functools import cache
from importlib.resources import files as package_files
from itertools import pairwise
from posixpath import basename, dirname
from typing import Any

from ..finding import Finding, Level, Related, Span
from . import nodes
from .applies import AXES, Differing, Stretch, value_known
from .kinds import Ref, made_well_formed, well_formed
from .model import (
    ACTIONS,
    CONDITIONS_FILE,
    POLICY_FILE,
    SUPPLIES_FILE,
    TOOLS_FILE,
    Condition,
    Feature,
    KeptMachine,
    Machine,
    MachinesFile,
    ManualFile,
    PartsFile,
    PolicyRow,
    Procedure,
    Step,
    Supply,
    Thing,
    Tool,
)
from .reader import Kind, Reader, nearest, one_of
from .records import RecordKind

__all__ = ["Shop", "read_manual", "without_collecting"]

#: Files of the manual's own folder, by name, and what an author keeps in them.
FILES = {
    "manual.yaml": RecordKind(ManualFile),
    "machines.yaml": RecordKind(MachinesFile),
    "conditions.yaml": CONDITIONS_FILE,
    "policy.yaml": POLICY_FILE,
    "tools.yaml": TOOLS_FILE,
    "supplies.yaml": SUPPLIES_FILE,
    "parts.yaml": RecordKind(PartsFile),
}


class Shop:
    """Everything that was read: the workshop's catalogues and its procedures.

    What could not be read is not there; `broken` holds the files that carry an error of reading.
    """

    def __init__(self) -> None:
        self.info: ManualFile | None = None
        self.features: dict[str, Feature] = {}
        self.hardware: Differing | None = None
        self.machines: dict[str, Machine] = {}
        self.kept: dict[str, KeptMachine] = {}
        self.conditions: dict[str, Condition] = {}
        self.policy: list[PolicyRow] = []
        self.tools: dict[str, Tool] = {}
        self.supplies: dict[str, Supply] = {}
        self.things: dict[str, Thing] = {}
        self.procedures: dict[str, Procedure] = {}
        #: Axis -> stretches that somebody mentions.
        self.stretches: dict[str, set[Stretch]] = {}
        #: File -> its catalogue's name, for the findings that have no better place.
        self.broken: set[str] = set()
        #: (file, key, its node) of each key that is read and that no proof looks at yet.
        self.unproven: list[tuple[str, str, nodes.Node]] = []

    def thing(self, procedure: Procedure | None, name: str) -> Thing | None:
        """The procedure's own thing of that name, else the shared one."""
        own = None if procedure is None else procedure.own.get(name)
        return own or self.things.get(name)

    @property
    def catalogue_broken(self) -> bool:
        """Is there an error in a file that every procedure depends on?"""
        return any(file not in self.procedure_files for file in self.broken)

    @property
    def procedure_files(self) -> dict[str, str]:
        """File -> id, of the procedures that could be read at all."""
        return {procedure.file: id for id, procedure in self.procedures.items()}


def read_manual(files: AnyMapping[str, str | bytes]) -> tuple[Shop, list[Finding]]:
    """Read every file of one manual.

    `files`: path -> text, paths with `/`; other than `.yaml` files are passed over.
    """
    with without_collecting():
        return ManualReader(files).read()


@contextmanager
def without_collecting() -> Iterator[None]:
    """Leave the search for garbage off: a third of the time otherwise, and what is made here is kept."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


class ManualReader:
    """One reading of one manual."""

    def __init__(self, files: AnyMapping[str, str | bytes]) -> None:
        self.files = {path: files[path] for path in sorted(files) if path.endswith((".yaml", ".yml"))}
        self.root = self.find_root()
        self.reader = Reader()
        self.shop = Shop()

    def find_root(self) -> str:
        """The folder with manual.yaml in it, nearest to the top; else the one all files share."""
        homes = sorted((dirname(path) for path in self.files if basename(path) == "manual.yaml"), key=len)
        if homes:
            return homes[0]
        homes = sorted((dirname(path) for path in self.files if basename(path) in FILES), key=len)
        return homes[0] if homes else ""

    def path(self, name: str) -> str:
        return f"{self.root}/{name}" if self.root else name

    def read(self) -> tuple[Shop, list[Finding]]:
        self.read_shipped()
        self.read_info()
        self.read_machines()
        for name in ("conditions.yaml", "policy.yaml", "tools.yaml", "supplies.yaml"):
            self.read_catalogue(name)
        self.read_things()
        self.read_procedures()
        self.shop.stretches = self.reader.stretches
        self.shop.broken = {f.span.file for f in self.reader.findings if f.level is Level.ERROR}
        return self.shop, self.reader.findings

    def value(self, path: str, kind: Kind, text: str | bytes | None = None) -> Any:
        """The value in a file, None if there is no such file or nothing in it could be read."""
        if text is None:
            text = self.files.get(path)
            if text is None:
                return None
        self.reader.file = path
        node, findings = nodes.read(text, path)
        self.reader.findings.extend(findings)
        if node is None:
            return None
        known = len(self.reader.findings)
        value = kind.read(node, self.reader)
        if findings:
            self.reader.findings[known:] = told_once(findings, self.reader.findings[known:])
        self.shop.unproven.extend([(path, key, key_node) for key, key_node in self.reader.unproven])
        self.reader.unproven.clear()
        return value

    # ------------------------------------------------------------------------------------------- catalogues

    def read_shipped(self) -> None:
        """The usual conditions and policy, which every manual starts from."""
        for name, text in shipped().items():
            value = self.value(name, FILES[basename(name)], text)
            if basename(name) == "conditions.yaml":
                self.shop.conditions.update(value)
            else:
                self.shop.policy.extend(value)

    def read_info(self) -> None:
        path = self.path("manual.yaml")
        if path not in self.files:
            self.missing_file(path, "title: The name of the workshop")
        self.shop.info = self.value(path, FILES["manual.yaml"])

    def missing_file(self, path: str, pattern: str) -> None:
        self.about_file(
            "file-missing",
            path,
            f"there is no {basename(path)}",
            f"write {path}, beginning with `{pattern}`",
        )

    def read_machines(self) -> None:
        path = self.path("machines.yaml")
        if path not in self.files:
            self.missing_file(path, "machines:")
            self.reader.features = {}
            return
        self.reader.features = None
        self.learn_features(path)
        catalogue: MachinesFile | None = self.value(path, FILES["machines.yaml"])
        if catalogue is None:
            return
        shop = self.shop
        shop.features, shop.hardware = catalogue.features, catalogue.hardware
        shop.machines = catalogue.machines
        shop.kept = {id: kept for id, kept in catalogue.kept.items() if kept.given("machine")}
        self.reader.file = path
        for machine in shop.machines.values():
            for build in machine.has:
                self.check_has({f: [v for c in d.cases for v in c.value] for f, d in build.items()}, machine)
                for feature, differing in build.items():
                    self.check_along_axes(feature, differing)
        for kept in shop.kept.values():
            self.check_has({f: list(values) for f, values in kept.has.items()}, kept)

    def learn_features(self, path: str) -> None:
        """Give the reader the features' names and values before anything is held against them."""
        node, _ = nodes.read(self.files[path], path)
        if not isinstance(node, nodes.Mapping):
            self.reader.features = {}
            return
        silent = Reader()
        silent.file = path
        known: dict[str, tuple[str, ...]] = {}
        if "features" in node.items:
            features = MachinesFile.KEYS["features"].kind.read(node.items["features"][1], silent) or {}
            known = {id: feature.values for id, feature in features.items()}
        if "hardware" in node.items:
            hardware = MachinesFile.KEYS["hardware"].kind.read(node.items["hardware"][1], silent)
            known["hardware"] = (
                tuple(dict.fromkeys(case.value for case in hardware.cases)) if hardware else ()
            )
        for feature, home in (("machine", "machines"), ("kept", "kept")):
            entries = node.items[home][1] if home in node.items else None
            known[feature] = tuple(entries.items) if isinstance(entries, nodes.Mapping) else ()
        self.reader.features = known

    def check_has(self, has: dict[str, list[str]], record: Machine | KeptMachine) -> None:
        """Hold the features and values of a machine against the catalogue of features."""
        known = self.reader.features or {}
        if not record.given("has"):
            return
        home = record.node.items["has"][1]
        for item in home.items if isinstance(home, nodes.Sequence) else [home]:
            if not isinstance(item, nodes.Mapping):
                continue
            for feature, (feature_node, value_node) in item.items.items():
                if feature not in known:
                    near = nearest(feature, known)
                    self.reader.fault(
                        "feature-unknown",
                        feature_node,
                        f"`{feature}` is not among the features",
                        f"write `{near}`" if near else f"add `{feature}:` to `features`, with its values",
                    )
                elif isinstance(value_node, nodes.Scalar):
                    value_known(feature, value_node, self.reader)
                else:
                    strange = [v for v in has.get(feature, ()) if v not in known[feature] and v != "absent"]
                    for value in dict.fromkeys(strange):
                        near = nearest(value, known[feature])
                        self.reader.fault(
                            "feature-value-unknown",
                            value_node,
                            f"`{value}` is not a value of `{feature}`",
                            f"write `{near}`"
                            if near
                            else f"write {one_of(known[feature])}"
                            if known[feature]
                            else None,
                        )

    def check_along_axes(self, feature: str, differing: Differing) -> None:
        """What a machine has may change along one axis; what depends on features is a list of builds."""
        tests = [case.tests or () for case in differing.cases]
        if any(len(each) > 1 or any(test.feature not in AXES for test in each) for each in tests):
            self.reader.fault(
                "options-tied-by-feature",
                differing.node,
                f"`{feature}` is given by another feature or by two axes at once",
                "give `has` as a list, one entry for each build, where options only come together",
            )

    def read_catalogue(self, name: str) -> None:
        value = self.value(self.path(name), FILES[name])
        if value is None:
            return
        if name == "policy.yaml":
            self.shop.policy.extend(value)
        else:
            getattr(self.shop, name.removesuffix(".yaml")).update(value)

    def read_things(self) -> None:
        folder = self.path("parts/")
        for path in [self.path("parts.yaml"), *(p for p in self.files if p.startswith(folder))]:
            shared: PartsFile | None = self.value(path, FILES["parts.yaml"])
            if shared is None:
                continue
            for kind in ("parts", "fixings", "connections", "controls", "fluids"):
                for thing in getattr(shared, kind).values():
                    self.add_thing(self.shop.things, thing)

    def add_thing(self, things: dict[str, Thing], thing: Thing) -> None:
        """Add a thing to others; two of one name are a finding."""
        other = things.get(thing.id) or self.shop.things.get(thing.id)
        if other is not None:
            self.reader.findings.append(
                Finding(
                    "thing-named-twice",
                    Level.ERROR,
                    thing.span(),
                    f"two things are called `{thing.id}`",
                    because=(Related(other.span(), "is called so too"),),
                    mend="give one of them another name, or use the shared one",
                )
            )
        thing.subject = f"{thing.owner}/{thing.id}" if thing.owner else thing.id
        things[thing.id] = thing

    # ------------------------------------------------------------------------------------------- procedures

    def read_procedures(self) -> None:
        parts = self.path("parts/")
        prefix = f"{self.root}/" if self.root else ""
        for path in self.files:
            inside = path.removeprefix(prefix)
            if (path == inside and prefix) or path.startswith(parts) or inside.startswith("."):
                continue
            if "/" not in inside:
                if inside not in FILES:
                    self.strange_file(path)
                continue
            self.read_procedure(path)

    def strange_file(self, path: str) -> None:
        near = nearest(basename(path), FILES)
        self.about_file(
            "file-unknown",
            path,
            f"{basename(path)} is not a file of a manual",
            f"rename it to {near}" if near else "move a procedure into the folder of its system",
        )

    def about_file(self, rule: str, path: str, message: str, mend: str) -> None:
        """Tell an error of a file as a whole."""
        self.reader.findings.append(Finding(rule, Level.ERROR, Span(path, 1, 1, 1, 1), message, mend=mend))

    def read_procedure(self, path: str) -> None:
        id = basename(path).rsplit(".", 1)[0]
        procedure: Procedure | None = self.value(path, RecordKind(Procedure))
        if procedure is None:
            return
        procedure.id = id
        if not well_formed(id):
            self.badly_named(path, id)
        if id in self.shop.procedures:
            other = self.shop.procedures[id]
            self.reader.findings.append(
                Finding(
                    "procedure-named-twice",
                    Level.ERROR,
                    procedure.span("title"),
                    f"two procedures are called `{id}`",
                    because=(Related(other.span("title"), "is called so too"),),
                    mend="rename one of the files",
                )
            )
            return
        own: dict[str, Thing] = {}
        for kind in ("parts", "fixings", "connections", "controls", "fluids"):
            for thing in getattr(procedure, kind).values():
                thing.owner = id
                self.add_thing(own, thing)
        procedure.own = own
        self.reader.file = path
        for step, earlier in name_steps(procedure):
            self.named_twice(step, earlier)
        self.check_time(procedure)
        self.shop.procedures[id] = procedure

    def badly_named(self, path: str, id: str) -> None:
        """A file whose name cannot be that of a procedure."""
        better = made_well_formed(id)
        mend = f"rename it to {better}.yaml" if better else "use small letters, digits and hyphens"
        self.about_file("name-badly-formed", path, f"`{id}` is not a name that other entries can use", mend)

    def named_twice(self, step: Step, earlier: Step) -> None:
        """Two steps must not have the same `id`: links and ticks hang on it."""
        self.reader.findings.append(
            Finding(
                "step-named-twice",
                Level.ERROR,
                step.span("id"),
                f"two steps are called `{step.id}`",
                because=(Related(earlier.span("id"), "is called so too"),),
                mend="give one of them another id",
            )
        )

    def check_time(self, procedure: Procedure) -> None:
        """The least time is no longer than the likely one, and that no longer than the most."""
        if procedure.time is None:
            return
        given = [(key, getattr(procedure.time, key)) for key in ("least", "likely", "most")]
        times = [(key, time) for key, time in given if time is not None]
        for (shorter, one), (longer, other) in pairwise(times):
            if one.low.si > other.high.si:
                self.reader.fault(
                    "times-out-of-order",
                    procedure.time.node.items[longer][1],
                    f"`{longer}` is {other}, and `{shorter}` is more: {one}",
                    f"mend one of them: `{shorter}` is the shorter time",
                )


#: What a fault in the writing of YAML makes of what stands around it.
FOLLOWING = frozenset({
    "key-missing", "key-unknown", "name-badly-formed", "quantity-unreadable", "value-missing", "word-unknown",
    "wrong-kind-of-value",
})  # fmt: skip


def told_once(writing: list[Finding], records: list[Finding]) -> list[Finding]:
    """The findings of records without those that only follow from faults of writing in the same file.

    On a line with a fault of writing, what is read is not what was meant; and where such a fault loses
    content, what is missing may have been written.
    """
    lines = {line for finding in writing for line in range(finding.span.line, finding.span.end_line + 1)}
    lost = any(finding.rule in nodes.LOSES_CONTENT for finding in writing)
    return [
        finding
        for finding in records
        if finding.rule not in FOLLOWING
        or not (
            finding.span.line in lines
            or "\ufffd" in finding.message
            or (lost and finding.rule == "key-missing")
        )
    ]


@cache
def shipped() -> dict[str, str]:
    """The toolkit's own conditions and policy: name -> text."""
    folder = package_files("greaseproof.reading") / "shipped"
    return {
        f"(shipped)/{name}": (folder / name).read_text(encoding="utf-8")
        for name in ("conditions.yaml", "policy.yaml")
    }


# ---------------------------------------------------------------------------------------------- step names


def name_steps(procedure: Procedure) -> list[tuple[Step, Step]]:
    """Give every step the name by which ticks, links and findings know it.

    That is its `id`, or else what it does; never its position. Gives the steps whose `id` another has before
    them, with that other.
    """
    taken: dict[str, Step] = {}
    twice = []
    for step in walk_steps(procedure):
        name = step.id or described(step)
        if name in taken:
            if step.id and taken[name].id == step.id:
                twice.append((step, taken[name]))
            longer = "-".join(part for part in (name, slug(step.where or ""), slug(step.do or "")) if part)
            name = longer if longer not in taken else name
            count = 2
            while name in taken:
                name, count = f"{longer}-{count}", count + 1
        taken[name] = step
        step.name = name
    return twice


def walk_steps(procedure: Procedure) -> tuple[Step, ...]:
    """Every step of a procedure, at any depth, in the order written; worked out once."""
    if not procedure.every_step:
        written = procedure.refit if isinstance(procedure.refit, tuple) else ()
        procedure.every_step = tuple(within((*procedure.steps, *written, *procedure.finally_)))
    return procedure.every_step


#: The keys of a step that may have steps below them.
BELOW = frozenset({"steps", "answers", "if_not"})


def within(steps: tuple[Step, ...]) -> Iterator[Step]:
    """These steps and all below them, in the order written."""
    for step in steps:
        yield step
        if BELOW.isdisjoint(step.__dict__):
            continue
        yield from within(step.steps)
        for answer in step.answers.values():
            yield from within(answer)
        if isinstance(step.if_not, tuple):
            yield from within(step.if_not)


#: Words that say nothing in a name.
SMALL_WORDS = frozenset({"the", "a", "an", "and", "of", "to", "it", "is", "its", "then", "with", "by", "at"})
#: Every byte that is no small letter or figure becomes a space; several times as quick as a pattern.
_SPACED = bytes(byte if chr(byte) in "abcdefghijklmnopqrstuvwxyz0123456789" else 32 for byte in range(256))


#: Characters among which a sentence has its telling words.
LONG_ENOUGH = 60


def slug(text: str) -> str:
    """A few telling words from the beginning of a sentence, joined by hyphens."""
    if len(text) > LONG_ENOUGH:
        text = text[: text.rfind(" ", 0, LONG_ENOUGH)]
    words = text.lower().encode("ascii", "replace").translate(_SPACED).decode("ascii").split()
    return "-".join([word for word in words if word not in SMALL_WORDS][:5])


#: The actions after which a step is named before its sentence is asked, and those that are asked after it.
NAMING = {action: action.replace("_", "-") for action in (*ACTIONS, "disturbs", "top_up")}
NAMING_LAST = ("mark", "record", "inspect", "measure", "clean", "renew")


def described(step: Step) -> str:
    """A name made from what a step does."""
    given = step.__dict__
    if "heading" in given:
        return slug(given["heading"])
    if "call" in given:
        return f"call-{given['call'].id}"
    for action in NAMING if not NAMING.keys().isdisjoint(given) else ():
        if action in given:
            return "-".join([NAMING[action], *map(named, given[action][:2])])
    if "set" in given and step.set:
        return "-".join(["set", *(f"{control}-{slug(to)}" for control, to in list(step.set.items())[:2])])
    if "do" in given:
        return slug(given["do"]) or "step"
    for action in NAMING_LAST:
        if action in given:
            return "-".join([action, *map(named, given[action][:2])])
    for action in ("makes", "ends"):
        if action in given:
            return f"{action}-{given[action][0].id}"
    if step.test:
        return f"test-{slug(step.test)}"
    return "group" if step.steps else "step"


def named(thing: Ref | str) -> str:
    """A reference or phrase as part of a name."""
    if isinstance(thing, Ref):
        return f"{thing.id}-{slug(thing.place)}" if thing.place else thing.id
    return slug(thing)
