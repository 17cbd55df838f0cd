"""The records of a manual: every key an author may write, with what it means.

The editor's JSON Schema, the reader and the guide's page of keys all come from these declarations.
"""

from __future__ import annotations

from functools import partial
from typing import Any, Final

from .kinds import (
    ByShape, Count, Differing, DifferingKind, Id, Kind, ListOf, Many, MapOf, OneOf, Parsed, Record, RecordKind, Ref,
    RefKind, RefOrPhrase, Stretch, StretchKind, Text, Where, WhereKind, YesNo, key,
)
from .quantity import Range, parse
from .sizes import parse_property_class, parse_size, parse_thread

__all__ = [
    "ACTIONS", "Condition", "Connection", "Control", "Feature", "Fixing", "Fluid", "KeptMachine", "Lift", "Machine",
    "MachinesFile", "ManualFile", "Meaning", "Part", "PolicyRow", "Procedure", "Selector", "SignalWord", "Step",
    "StepSelector", "Supply", "Thing", "Time", "Tool", "Torque",
]


def quantity(kind: str, wanted: str, *, look: bool = False, words: tuple[str, ...] = ()) -> Parsed:
    """A quantity of one kind."""
    return Parsed(partial(parse, kind=kind), wanted, look=look, words=words)


SENTENCE: Final = Text("a sentence")
WORDS: Final = Text("a few words")
IDS: Final = Many(Id())
SIZE: Final = Parsed(parse_size, "a size such as `13 mm`, `1/2 in` or `cross 2`", look=True)
MASS: Final = quantity("mass", "a mass such as `9.5 kg`", look=True)
WAITING: Final = quantity("time", "a time such as `20 min`")
ANYTHING: Final = ("any",)


class Sources:
    """`from`: where the values of a record come from, as one text, or key by key."""

    def read(self, node: Any, reader: Any) -> Any:
        return _SOURCES.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return _SOURCES.schema(definitions)


_SOURCES = ByShape("where the values come from", text=WORDS, mapping=MapOf(WORDS, "keys and sources", names=WORDS))


class Sourced(Record):
    """Anything whose values may say where they come from."""

    sources: str | dict[str, str] | None = key(
        Sources(), "Where the values come from, printed beside them: `maker's handbook p. 12`, `measured`.", name="from"
    )


# ------------------------------------------------------------------------------------------------ manual.yaml


class ManualFile(Sourced, called="the manual"):
    """`manual.yaml`: what the manual is called and who answers for it."""

    title: str = key(WORDS, "The manual's title.", default="", required=True)
    language: str = key(WORDS, "The language it is written in, as a BCP 47 tag: `en-GB`.", default="en-GB")
    units: str = key(
        OneOf("metric first", "imperial first", "metric", "imperial"), "Which units a reader sees first.",
        default="metric first",
    )
    answers_for_it: str | None = key(WORDS, "Who answers for what the manual says.")
    contact: str | None = key(WORDS, "How to reach them: a mail or web address.")
    systems: tuple[str, ...] = key(IDS, "The systems of a machine, in the order of the contents.", default=())
    notice: str | None = key(SENTENCE, "A sentence that every page carries, such as that the data are invented.")


# ---------------------------------------------------------------------------------------------- machines.yaml


class Feature(Sourced, called="a feature"):
    """Something in which machines differ."""

    values: tuple[str, ...] = key(IDS, "The values it may have.", default=(), required=True, name="is")
    tell: str | None = key(SENTENCE, "How somebody in front of the machine can tell which it is.")
    altered: str | None = key(
        OneOf("often", "seldom"), "Whether owners change it, so that the year cannot be trusted.", proven=False
    )


class FeatureKind(RecordKind):
    """A feature, or just the list of its values."""

    def __init__(self) -> None:
        super().__init__(Feature)

    def read(self, node: Any, reader: Any) -> Feature | None:
        from .nodes import Mapping

        if isinstance(node, Mapping):
            feature: Feature | None = super().read(node, reader)
            return feature
        values = IDS.read(node, reader)
        if values is None:
            return None
        built = Feature.__new__(Feature)
        built.node, built.file, built.values = Mapping({}, node.start, node.end), reader.file, values
        return built

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [IDS.schema(definitions), super().schema(definitions)]}


class HasKind:
    """`has`: features and their values; or a list of such, one for each build. The value is a tuple of builds."""

    one = MapOf(DifferingKind(IDS), "features and their values")
    several = ListOf(one, "a list of builds")

    def read(self, node: Any, reader: Any) -> tuple[dict[str, Differing], ...] | None:
        from .nodes import Mapping

        if isinstance(node, Mapping):
            build = self.one.read(node, reader)
            return None if build is None else (build,)
        return self.several.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.one.schema(definitions), self.several.schema(definitions)]}


class Machine(Sourced, called="a machine"):
    """A model of machine, over all the years it was built."""

    name: str = key(WORDS, "The model's name, as people say it.", default="", required=True)
    built: Stretch = key(StretchKind(), "The years in which it was built.", required=True)
    serial: Stretch | None = key(StretchKind(), "The serial numbers it was given.")
    engine: Stretch | None = key(StretchKind(), "The engine numbers it was given.")
    mass: Differing | None = key(DifferingKind(MASS), "Its mass, ready to drive.", proven=False)
    has: tuple[dict[str, Differing], ...] = key(
        HasKind(),
        "What it is fitted with. A list of values means any of these; a list of mappings ties options that come together.",
        default=(),
    )


class KeptMachine(Sourced, called="a kept machine"):
    """One machine of the workshop's own."""

    machine: Ref = key(RefKind("a machine"), "The model it is.", required=True)
    name: str | None = key(WORDS, "What the workshop calls it.")
    built: Stretch | None = key(StretchKind(), "The year it was built, or the years it may have been.")
    serial: Stretch | None = key(StretchKind(), "Its serial number.")
    engine: Stretch | None = key(StretchKind(), "Its engine number.")
    has: dict[str, tuple[str, ...]] = key(
        MapOf(IDS, "features and their values"), "What it is fitted with, where that is known or was altered.", default={}
    )
    note: str | None = key(SENTENCE, "What else there is to know about it.")


class MachinesFile(Record, called="machines.yaml"):
    """`machines.yaml`: features, hardware by years, machines, the workshop's own machines."""

    features: dict[str, Feature] = key(
        MapOf(FeatureKind(), "features"), "In what the machines differ.", default={}
    )
    hardware: Differing | None = key(
        DifferingKind(Id()), "Which thread standard machines have, by years: becomes the feature `hardware`."
    )
    machines: dict[str, Machine] = key(
        MapOf(RecordKind(Machine), "machines"), "The models that the manual covers.", default={}, required=True
    )
    kept: dict[str, KeptMachine] = key(
        MapOf(RecordKind(KeptMachine), "the workshop's machines", names=WORDS), "The workshop's own machines.", default={}
    )


# ----------------------------------------------------------------------------- tools, supplies, policy, conditions


class Tool(Sourced, called="a tool"):
    """A tool of the store."""

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    kind: str = key(WORDS, "What kind of tool it is: `spanner`, `socket`, `torque wrench`, `stand`.", default="", required=True)
    fits: tuple[Any, ...] = key(Many(SIZE), "What it fits: sizes across flats, drives.", default=())
    square: tuple[Any, ...] = key(
        Many(quantity("length", "a square drive such as `1/2 in`")), "Its square drive.", default=()
    )
    range: Range | None = key(
        quantity("torque", "a range of torque such as `20..110 N·m`"), "The torque it can be set to."
    )
    rated: Any = key(quantity("mass", "a mass such as `2000 kg`"), "The mass it may carry.", proven=False)
    rated_for: str | None = key(OneOf("each", "pair", "set"), "Whether the rating is of one, a pair or a set.", proven=False)
    count: int = key(Count(), "How many there are.", default=1)


class Supply(Sourced, called="a supply"):
    """Something that is used up: a consumable, a spare, a fluid."""

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    unit: str = key(WORDS, "What it is counted or measured in: `each`, `L`, `g`.", default="", required=True)
    pack: str | None = key(WORDS, "What it is sold in: `50`, `5 L`.")
    hazard: str | None = key(WORDS, "What is dangerous about it.", proven=False)
    waste: str | None = key(WORDS, "Where what is left of it goes.")


THING_REFS: Final = Many(RefKind("a thing", places=True))
CONDITION_REFS: Final = Many(RefKind("a condition", places=True))


class Selector(Record, called="what picks out things"):
    """Picks out things by what they are. All of its keys hold."""

    kind: tuple[str, ...] = key(Many(WORDS), "Their kind: `electrical`, `fuel`, `clip`.", default=())
    role: tuple[str, ...] = key(Many(WORDS), "Their role: `earth`, `live`.", default=())
    things: tuple[Ref, ...] = key(THING_REFS, "The things themselves, by name.", default=())


class SelectorKind(RecordKind):
    """A selector, or just the names of things, or `any`. Only a meaning may name places."""

    def __init__(self, names: Kind) -> None:
        super().__init__(Selector)
        self.names = names

    def read(self, node: Any, reader: Any) -> Selector | None:
        from .nodes import Mapping, Scalar

        if isinstance(node, Mapping) and set(node.items) & set(Selector.KEYS):
            selector: Selector | None = super().read(node, reader)
            return selector
        built = Selector.__new__(Selector)
        built.node, built.file = Mapping({}, node.start, node.end), reader.file
        if isinstance(node, Scalar) and node.text in ANYTHING:
            return built
        things = self.names.read(node, reader)
        if things is None:
            return None
        built.things = things
        return built

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.names.schema(definitions), super().schema(definitions)]}


SELECTOR: Final = SelectorKind(Many(RefKind("a thing")))
MEANT: Final = SelectorKind(THING_REFS)
SETTINGS: Final = MapOf(WORDS, "controls and their settings", names=Id())


class Meaning(Record, called="what a condition means"):
    """What a condition says about things. All of its keys hold."""

    off: Selector | None = key(MEANT, "These are off, all that are there.")
    on: Selector | None = key(MEANT, "These are on, all that are there.")
    set: dict[str, str] = key(SETTINGS, "These controls are at these settings.", default={})


MEANING_KEYS = frozenset(Meaning.KEYS)


class Condition(Sourced, called="a condition"):
    """A state of the machine that steps need, make or end."""

    says: str | None = key(WORDS, "The condition in words, if its own name is not enough: `the battery is isolated`.")
    means: Differing | None = key(
        DifferingKind(RecordKind(Meaning), own_keys=MEANING_KEYS), "What it means for things: then it is a fact, not a claim."
    )
    none: str | None = key(OneOf("holds"), "`holds`: it holds where nothing that it speaks of is there.")
    opened_by: Ref | None = key(RefKind("a procedure"), "The procedure that makes it hold.")
    opened: str | None = key(SENTENCE, "The sentence that makes it hold.")
    closed: str | None = key(SENTENCE, "The sentence that ends it, where a sentence opened it.")
    ends: str = key(
        OneOf("must", "stays", "itself"),
        "Whether it must be ended before the job is over, may stay, or ends by itself.", default="must", required=True,
    )
    against: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that must not hold together with it.", default=())
    lost_by: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that end it when they begin.", default=())
    waiting: Any = key(WAITING, "How long it takes to come about.")
    places: tuple[str, ...] = key(Many(WORDS), "The places for each of which it holds or does not.", default=())


class StepSelector(Record, called="what picks out steps"):
    """Picks out steps by what they do, and where. All of its keys hold."""

    slacken: Selector | None = key(SELECTOR, "Steps that slacken these, or tighten them again.")
    undo: Selector | None = key(SELECTOR, "Steps that undo these, or tighten them again.")
    disconnect: Selector | None = key(SELECTOR, "Steps that disconnect these, or connect them again.")
    remove: Selector | None = key(SELECTOR, "Steps that remove these, or fit them again.")
    drain: Selector | None = key(SELECTOR, "Steps that drain these, or fill them again.")
    where: str | None = key(WORDS, "Steps that are done there: `under`.")


class PolicyRow(Record, called="a row of the policy"):
    """Which steps need which conditions, and why."""

    step: StepSelector = key(RecordKind(StepSelector), "Which steps.", required=True)
    except_: Selector | None = key(SELECTOR, "Things that the row does not concern.", name="except")
    needs: tuple[Ref, ...] = key(CONDITION_REFS, "The conditions that these steps need.", default=(), required=True)
    because: str = key(SENTENCE, "What could happen otherwise.", default="", required=True)
    source: str = key(WORDS, "Who says so; `common practice, no source` if nobody does.", default="", required=True)


# ----------------------------------------------------------------------------------------------------- things


class Thing(Sourced, called="a thing"):
    """What a machine consists of. `when`, `unless`, `fitted` and `with_` say on which machines it is there."""

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    when: Where | None = key(WhereKind(), "On which machines it is there.")
    unless: Where | None = key(WhereKind(), "On which machines it is not there.")
    fitted: str | None = key(OneOf("look"), "`look`: it may not be there; look.")
    with_: Ref | None = key(RefKind("a thing"), "It is there where that other thing is.", name="with")
    places: tuple[str, ...] = key(Many(WORDS), "Where it is, if there is one at each of several places.", default=())

    #: The procedure that it belongs to; empty if it is shared.
    owner: str = ""

    #: How it is told from every other thing: `NAME`, or `PROCEDURE/NAME`.
    subject: str = ""


class Part(Thing, called="a part"):
    """Something that is taken off and put back."""

    mass: Differing | None = key(DifferingKind(MASS), "Its mass.", proven=False)
    held_by: tuple[Ref, ...] = key(THING_REFS, "The fixings that hold it.", default=())
    joined_by: tuple[Ref, ...] = key(THING_REFS, "The connections that join it to the rest.", default=())
    covers: tuple[Ref, ...] = key(THING_REFS, "What cannot be reached while it is on.", default=())
    supply: Ref | None = key(RefKind("a supply"), "The spare that replaces it.")


class Stages(Record, called="tightening in stages"):
    """A tightening torque reached in stages."""

    stages: tuple[Any, ...] = key(
        ListOf(Parsed(lambda text: _stage(text), "a torque such as `40 N·m`, or an angle such as `90 deg`")),
        "The torques, and angles, one after the other.", default=(), required=True,
    )
    again: Any = key(RecordKind(lambda: Again), "Whether it is tightened again later.", proven=False)
    renew: tuple[Ref, ...] = key(THING_REFS, "What is replaced each time.", default=())


class Again(Record, called="tightening again"):
    """Tightening again after running."""

    after: str | None = key(WORDS, "After how long or how far: `500 miles`.")
    needs: tuple[Ref, ...] = key(CONDITION_REFS, "What must hold then.", default=())


def _stage(text: str) -> Any:
    return parse(text, kind="angle" if text.rstrip().endswith(("deg", "°", "degrees")) else "torque")


Torque = Any
TORQUE: Final = ByShape(
    "a torque", text=quantity("torque", "a torque such as `45 N·m`", look=True, words=("hand",)), mapping=RecordKind(Stages)
)


class Fixing(Thing, called="a fixing"):
    """Bolts, nuts, screws, clips: what holds, as a stack of what it consists of."""

    kind: str = key(WORDS, "What it is, if it is not threaded: `clip`, `strap`, `push-on`.", default="")
    thread: Differing | None = key(
        DifferingKind(Parsed(parse_thread, "a thread such as `M10` or `3/8 UNF`", look=True)), "Its thread."
    )
    across_flats: Differing | None = key(
        DifferingKind(Parsed(parse_size, "a size such as `17 mm`", look=True)), "Its hexagon, across flats."
    )
    nut: Differing | None = key(
        DifferingKind(Parsed(parse_size, "a size such as `13 mm`", look=True)),
        "The nut or head behind it, across flats, that a second spanner holds.",
    )
    drive: Differing | None = key(
        DifferingKind(Parsed(parse_size, "a drive such as `cross 2`, `slot` or `hex 6 mm`", look=True)), "What turns it, if not a hexagon."
    )
    property_class: Differing | None = key(
        DifferingKind(Parsed(parse_property_class, "a property class such as `8.8`")), "Its property class or grade.", proven=False
    )
    count: Differing | None = key(DifferingKind(Count()), "How many there are, at each place.")
    threads: str | None = key(OneOf("dry", "oiled", "greased"), "How its threads are when it is tightened.", proven=False)
    torque: Differing | None = key(
        DifferingKind(TORQUE, own_keys=frozenset(Stages.KEYS)), "How tight it goes: a torque, stages, or `hand`.", proven=False
    )
    order: tuple[str, ...] = key(Many(WORDS), "In which order they are tightened.", default=(), proven=False)
    renew: tuple[Ref, ...] = key(THING_REFS, "What is replaced each time it is undone, one for each.", default=())


class Connection(Thing, called="a connection"):
    """A wire, pipe, hose, rod or cable that joins parts."""

    kind: str = key(WORDS, "What it carries: `electrical`, `fuel`, `coolant`, `oil`, `air`, `control`.", default="", required=True)
    role: str | None = key(WORDS, "What it is for, where it matters: `earth`, `live`.")
    mark: str | None = key(WORDS, "What is printed or tied on it.")
    end: str | None = key(WORDS, "How it ends, if no fixing holds it: `blade`, `push-on`.")
    fixing: Ref | None = key(RefKind("a fixing", places=True), "The fixing that holds it.")
    at: dict[str, Ref] = key(
        MapOf(RefKind("a fixing"), "parts and fixings"), "Its ends: at which part, by which fixing.", default={}
    )
    along: tuple[Ref, ...] = key(THING_REFS, "The clips along it.", default=())


class Control(Thing, called="a control"):
    """A lever, switch, tap or screw that has settings."""

    settings: tuple[str, ...] = key(Many(WORDS), "Its settings.", default=(), required=True)
    normally: str | None = key(WORDS, "The setting at which it is left.")


class Fluid(Thing, called="a fluid"):
    """What a machine is filled with."""

    kind: str = key(WORDS, "What it is, so that the policy knows it: `coolant`, `oil`, `fuel`.", default="")
    amount: Differing | None = key(
        DifferingKind(quantity("volume", "an amount such as `8.5 L`", look=True)), "How much goes in.", proven=False
    )
    grade: str | None = key(WORDS, "Which grade or kind.")
    supply: Ref | None = key(RefKind("a supply"), "What it is filled with.")


# -------------------------------------------------------------------------------------------------- procedures


class SignalWord(Record, called="what can happen"):
    """What stands behind a signal word."""

    say: str = key(SENTENCE, "What can happen, and how to avoid it.", default="", required=True)
    hazard: str | None = key(WORDS, "The hazard, which brings its precautions.", proven=False)
    when: Where | None = key(WhereKind(), "On which machines.")


class SignalWordKind(RecordKind):
    """A sentence, or a mapping with the sentence under `say`."""

    def __init__(self) -> None:
        super().__init__(SignalWord)

    def read(self, node: Any, reader: Any) -> SignalWord | None:
        from .nodes import Mapping

        if isinstance(node, Mapping):
            word: SignalWord | None = super().read(node, reader)
            return word
        say = SENTENCE.read(node, reader)
        if say is None:
            return None
        built = SignalWord.__new__(SignalWord)
        built.node, built.file, built.say = Mapping({}, node.start, node.end), reader.file, say
        return built

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [SENTENCE.schema(definitions), super().schema(definitions)]}


SIGNAL_WORDS: Final = Many(SignalWordKind())


class Lift(Record, called="a lift"):
    """Taking the weight of something."""

    load: Ref = key(RefKind("a part"), "What is lifted.", required=True)
    by: str | None = key(OneOf("hand"), "`hand`: without a crane or hoist.")
    with_: Ref | None = key(RefKind("a tool"), "The crane, hoist or jack.", name="with")
    sling: Ref | None = key(RefKind("a tool"), "The sling.")
    points: Any = key(Count(), "How many legs the sling has.")
    angle: Any = key(quantity("angle", "an angle such as `60 deg`"), "The angle of its legs from the horizontal.")


class Time(Record, called="a time"):
    """How long a job takes."""

    least: Any = key(WAITING, "If all goes well.")
    likely: Any = key(WAITING, "As a rule.", required=True)
    most: Any = key(WAITING, "If much goes wrong.")


class Fitted(Record, called="what must be in place"):
    """Parts that must be on."""

    fitted: tuple[Ref, ...] = key(THING_REFS, "Parts that must be on.", default=(), required=True)


class NeedKind:
    """A condition, one of its places, or `fitted:` with parts that must be on."""

    fitted = RecordKind(Fitted)
    condition = RefKind("a condition", places=True)

    def read(self, node: Any, reader: Any) -> Ref | Fitted | None:
        from .nodes import Mapping

        if isinstance(node, Mapping) and "fitted" in node.items:
            fitted: Fitted | None = self.fitted.read(node, reader)
            return fitted
        return self.condition.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.condition.schema(definitions), self.fitted.schema(definitions)]}


NEEDS: Final = Many(NeedKind())
TOOL_REFS: Final = Many(RefKind("a tool"))
PHRASES: Final = Many(RefOrPhrase("a thing", places=True))


STEPS: Final = ListOf(RecordKind(lambda: Step), "a list of steps")


class Step(Sourced, called="a step"):
    """One step, or a group of steps."""

    id: str = key(Id(), "A name for the step; otherwise it is named after what it does.", default="")
    do: str | None = key(SENTENCE, "The sentence that says what to do. It may be left out where the other keys say it.")
    when: Where | None = key(WhereKind(), "On which machines.")
    unless: Where | None = key(WhereKind(), "Not on these machines.")
    first: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions made sure here, and closed after the step.", default=())
    needs: tuple[Any, ...] = key(NEEDS, "What must hold here, and is not brought about here.", default=())
    where: str | None = key(WORDS, "Where it is done: `under`, `inside`.")

    slacken: tuple[Ref, ...] = key(THING_REFS, "Fixings made slack.", default=())
    undo: tuple[Ref, ...] = key(THING_REFS, "Fixings undone and taken out.", default=())
    tighten: tuple[Ref, ...] = key(THING_REFS, "Fixings tightened to their torque.", default=())
    to: str | None = key(OneOf("hand"), "`hand`: tightened by hand only, for now.")
    disconnect: tuple[Ref, ...] = key(THING_REFS, "Connections taken off, their own fixings with them.", default=())
    connect: tuple[Ref, ...] = key(THING_REFS, "Connections put on, their own fixings tightened.", default=())
    remove: tuple[Ref, ...] = key(THING_REFS, "Parts taken off.", default=())
    fit: tuple[Ref, ...] = key(THING_REFS, "Parts put on.", default=())
    drain: tuple[Ref, ...] = key(THING_REFS, "Fluids let out.", default=())
    fill: tuple[Ref, ...] = key(THING_REFS, "Fluids filled in, the whole amount.", default=())
    top_up: tuple[Ref, ...] = key(THING_REFS, "Fluids topped up.", default=())
    set: dict[str, str] = key(SETTINGS, "Controls and the settings they are put at.", default={})
    makes: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that begin.", default=())
    ends: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that end.", default=())
    disturbs: tuple[Ref, ...] = key(THING_REFS, "Things taken off and put back in this very step.", default=())
    mark: tuple[Any, ...] = key(PHRASES, "What is marked.", default=())
    record: tuple[Any, ...] = key(PHRASES, "What is written down.", default=())
    inspect: tuple[Any, ...] = key(PHRASES, "What is looked at.", default=())
    measure: tuple[Any, ...] = key(PHRASES, "What is measured.", default=())
    least: str | None = key(WORDS, "The least that the measured value may be.", proven=False)
    most: str | None = key(WORDS, "The most that the measured value may be.", proven=False)
    clean: tuple[Any, ...] = key(PHRASES, "What is cleaned.", default=())
    renew: tuple[Ref, ...] = key(THING_REFS, "What is replaced by a new one: a supply, a part or a fixing.", default=())
    lift: Lift | None = key(RecordKind(Lift), "Whose weight is taken, and how.", proven=False)
    test: str | None = key(SENTENCE, "What is tried, and what must be seen.")

    danger: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "DANGER: will kill or maim if not avoided.", default=())
    warning: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "WARNING: can kill or maim.", default=())
    caution: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "CAUTION: can injure.", default=())
    notice: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "NOTICE: can damage the machine, not a person.", default=())
    why: str | None = key(SENTENCE, "The reason for the step.")
    tip: str | None = key(SENTENCE, "What makes it easier.")
    keep: str | None = key(SENTENCE, "Where small parts go meanwhile.")
    tools: tuple[Ref, ...] = key(TOOL_REFS, "Tools that nothing else in the step implies.", default=())
    supplies: dict[str, str] = key(
        MapOf(WORDS, "supplies and amounts"), "Supplies that nothing else in the step implies, and how much.", default={}
    )
    waiting: Any = key(WAITING, "How long to wait after it.")
    who: str | None = key(WORDS, "Who does it, where two people work together.")
    people: int | None = key(Count(), "How many people it takes.")
    checked_by: str | None = key(WORDS, "Who checks it: `a second person`.", proven=False)
    safe_to_stop: bool = key(YesNo(), "Whether the job may be left here overnight.", default=False)
    picture: str | None = key(WORDS, "A picture of it.", proven=False)
    clip: str | None = key(WORDS, "The part of a recording that shows it.", proven=False)

    heading: str | None = key(WORDS, "The heading of a group.")
    steps: tuple[Step, ...] = key(STEPS, "The steps of a group.", default=())
    repeat: Differing | None = key(
        DifferingKind(Many(WORDS)), "The group is done once for each of these places or items, in this order."
    )
    until: str | None = key(SENTENCE, "The group is done again until this is so.", proven=False)
    call: Ref | None = key(RefKind("a procedure"), "The steps of another procedure are done here; its closing is mirrored.")
    close: Ref | None = key(RefKind("a condition or a procedure"), "What was opened or called is closed here.", proven=False)
    ask: dict[str, tuple[str, ...]] = key(
        MapOf(IDS, "a question and its answers"), "A question that only the machine can answer.", default={}, proven=False
    )
    answers: dict[str, tuple[Step, ...]] = key(
        MapOf(STEPS, "answers and what to do then", names=WORDS), "What to do for each answer.", default={}, proven=False
    )
    if_not: Any = key(
        ByShape("steps, or the name of a procedure", text=RefKind("a procedure"), many=STEPS),
        "What to do if the test, measurement or inspection fails; then on.", proven=False,
    )
    go_to: Ref | None = key(RefKind("a procedure"), "The job goes on there, and does not come back.", proven=False)
    stop: str | None = key(SENTENCE, "The job ends here, for this reason.", proven=False)
    allow: dict[str, str] = key(MapOf(SENTENCE, "rules and reasons"), "Rules that are not to speak here, and why.", default={})

    #: The key by which everything else knows the step; made once the whole procedure is read.
    name: str = ""


#: The actions on things, in the order in which they happen within a step.
ACTIONS: Final = ("drain", "slacken", "undo", "disconnect", "remove", "fit", "connect", "tighten", "fill")


class Procedure(Sourced, called="a procedure"):
    """A job, from the first tool laid out to the last test."""

    title: str = key(WORDS, "What is done: begins with a verb.", default="", required=True)
    system: str = key(Id(), "The system of the machine that it belongs to.", default="", required=True)
    status: str = key(OneOf("draft", "issued", "withdrawn"), "Whether readers may rely on it.", default="draft")
    was: tuple[str, ...] = key(IDS, "Names it had before.", default=())
    revision: str | None = key(WORDS, "The revision: a number or a letter.")
    revised: str | None = key(WORDS, "The date of the revision, as 2026-11-25.")
    applies: Where | None = key(WhereKind(), "The machines it covers; all of them if left out.")
    purpose: str | None = key(SENTENCE, "What it is for.")
    symptoms: tuple[str, ...] = key(Many(SENTENCE), "What a person notices who needs it.", default=())
    skill: str | None = key(SENTENCE, "What somebody has to have done before.")
    time: Time | None = key(RecordKind(Time), "How long it takes.")
    people: int | None = key(Count(), "How many people it takes.")
    first: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions made sure before the first step, in this order.", default=())
    needs: tuple[Any, ...] = key(NEEDS, "What must hold before it may be begun.", default=())
    tools: tuple[Ref, ...] = key(TOOL_REFS, "The whole list of tools, if stated; then it is complete.", default=())
    parts: dict[str, Part] = key(MapOf(RecordKind(Part), "parts"), "Parts of this procedure alone.", default={})
    fixings: dict[str, Fixing] = key(MapOf(RecordKind(Fixing), "fixings"), "Fixings of this procedure alone.", default={})
    connections: dict[str, Connection] = key(
        MapOf(RecordKind(Connection), "connections"), "Connections of this procedure alone.", default={}
    )
    controls: dict[str, Control] = key(MapOf(RecordKind(Control), "controls"), "Controls of this procedure alone.", default={})
    fluids: dict[str, Fluid] = key(MapOf(RecordKind(Fluid), "fluids"), "Fluids of this procedure alone.", default={})
    begins: Any = key(
        MapOf(THING_REFS, "states and things"), "How the machine is found, if not complete: `out:` with parts.", proven=False
    )
    steps: tuple[Step, ...] = key(STEPS, "The steps.", default=(), required=True)
    refit: Any = key(
        ByShape("steps, or `confirmed by …`", text=WORDS, many=STEPS), "What is not the plain reverse, or who confirmed that it is.",
        proven=False,
    )
    finally_: tuple[Step, ...] = key(STEPS, "Steps after everything is closed: the proof that it works.", default=(), name="finally")
    allow: dict[str, str] = key(MapOf(SENTENCE, "rules and reasons"), "Rules that are not to speak here, and why.", default={})

    #: Its own parts, fixings, connections, controls and fluids, by name; filled once it is read.
    own: dict[str, Thing]


class PartsFile(Record, called="a file of shared things"):
    """`parts.yaml`: things that several procedures share."""

    parts: dict[str, Part] = key(MapOf(RecordKind(Part), "parts"), "Shared parts.", default={})
    fixings: dict[str, Fixing] = key(MapOf(RecordKind(Fixing), "fixings"), "Shared fixings.", default={})
    connections: dict[str, Connection] = key(MapOf(RecordKind(Connection), "connections"), "Shared connections.", default={})
    controls: dict[str, Control] = key(MapOf(RecordKind(Control), "controls"), "Shared controls.", default={})
    fluids: dict[str, Fluid] = key(MapOf(RecordKind(Fluid), "fluids"), "Shared fluids.", default={})


TOOLS_FILE: Final[Kind] = MapOf(RecordKind(Tool), "tools")
SUPPLIES_FILE: Final[Kind] = MapOf(RecordKind(Supply), "supplies")
CONDITIONS_FILE: Final[Kind] = MapOf(RecordKind(Condition), "conditions")
POLICY_FILE: Final[Kind] = ListOf(RecordKind(PolicyRow), "a list of rows")
