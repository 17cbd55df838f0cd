"""A procedure and its steps."""

from __future__ import annotations

from typing import Any, Final

from ..applies import Differing, DifferingKind, Where, WhereKind
from ..kinds import ByShape, Count, Id, ListOf, Many, MapOf, OneOf, Ref, RefKind, RefOrPhrase, YesNo
from ..nodes import Mapping
from ..records import Record, RecordKind, key
from .things import Connection, Control, Fixing, Fluid, Part, Thing
from .values import (
    CONDITION_REFS,
    IDS,
    SENTENCE,
    SETTINGS,
    THING_REFS,
    TOOL_REFS,
    WAITING,
    WORDS,
    Sourced,
    quantity,
)


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
    angle: Any = key(
        quantity("angle", "an angle such as `60 deg`"), "The angle of its legs from the horizontal."
    )


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

        if isinstance(node, Mapping) and "fitted" in node.items:
            fitted: Fitted | None = self.fitted.read(node, reader)
            return fitted
        return self.condition.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.condition.schema(definitions), self.fitted.schema(definitions)]}


NEEDS: Final = Many(NeedKind())
PHRASES: Final = Many(RefOrPhrase("a thing", places=True))


STEPS: Final = ListOf(RecordKind(lambda: Step), "a list of steps")


class Step(Sourced, called="a step"):
    """One step, or a group of steps."""

    id: str = key(Id(), "A name for the step; otherwise it is named after what it does.", default="")
    do: str | None = key(
        SENTENCE, "The sentence that says what to do. It may be left out where the other keys say it."
    )
    when: Where | None = key(WhereKind(), "On which machines.")
    unless: Where | None = key(WhereKind(), "Not on these machines.")
    first: tuple[Ref, ...] = key(
        CONDITION_REFS, "Conditions made sure here, and closed after the step.", default=()
    )
    needs: tuple[Any, ...] = key(NEEDS, "What must hold here, and is not brought about here.", default=())
    where: str | None = key(WORDS, "Where it is done: `under`, `inside`.")

    slacken: tuple[Ref, ...] = key(THING_REFS, "Fixings made slack.", default=())
    undo: tuple[Ref, ...] = key(THING_REFS, "Fixings undone and taken out.", default=())
    tighten: tuple[Ref, ...] = key(THING_REFS, "Fixings tightened to their torque.", default=())
    to: str | None = key(OneOf("hand"), "`hand`: tightened by hand only, for now.")
    disconnect: tuple[Ref, ...] = key(
        THING_REFS, "Connections taken off, their own fixings with them.", default=()
    )
    connect: tuple[Ref, ...] = key(THING_REFS, "Connections put on, their own fixings tightened.", default=())
    remove: tuple[Ref, ...] = key(THING_REFS, "Parts taken off.", default=())
    fit: tuple[Ref, ...] = key(THING_REFS, "Parts put on.", default=())
    drain: tuple[Ref, ...] = key(THING_REFS, "Fluids let out.", default=())
    fill: tuple[Ref, ...] = key(THING_REFS, "Fluids filled in, the whole amount.", default=())
    top_up: tuple[Ref, ...] = key(THING_REFS, "Fluids topped up.", default=())
    set: dict[str, str] = key(SETTINGS, "Controls and the settings they are put at.", default={})
    makes: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that begin.", default=())
    ends: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that end.", default=())
    disturbs: tuple[Ref, ...] = key(
        THING_REFS, "Things taken off and put back in this very step.", default=()
    )
    mark: tuple[Any, ...] = key(PHRASES, "What is marked.", default=())
    record: tuple[Any, ...] = key(PHRASES, "What is written down.", default=())
    inspect: tuple[Any, ...] = key(PHRASES, "What is looked at.", default=())
    measure: tuple[Any, ...] = key(PHRASES, "What is measured.", default=())
    least: str | None = key(WORDS, "The least that the measured value may be.", proven=False)
    most: str | None = key(WORDS, "The most that the measured value may be.", proven=False)
    clean: tuple[Any, ...] = key(PHRASES, "What is cleaned.", default=())
    renew: tuple[Ref, ...] = key(
        THING_REFS, "What is replaced by a new one: a supply, a part or a fixing.", default=()
    )
    lift: Lift | None = key(RecordKind(Lift), "Whose weight is taken, and how.", proven=False)
    test: str | None = key(SENTENCE, "What is tried, and what must be seen.")

    danger: tuple[SignalWord, ...] = key(
        SIGNAL_WORDS, "DANGER: will kill or maim if not avoided.", default=()
    )
    warning: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "WARNING: can kill or maim.", default=())
    caution: tuple[SignalWord, ...] = key(SIGNAL_WORDS, "CAUTION: can injure.", default=())
    notice: tuple[SignalWord, ...] = key(
        SIGNAL_WORDS, "NOTICE: can damage the machine, not a person.", default=()
    )
    why: str | None = key(SENTENCE, "The reason for the step.")
    tip: str | None = key(SENTENCE, "What makes it easier.")
    keep: str | None = key(SENTENCE, "Where small parts go meanwhile.")
    tools: tuple[Ref, ...] = key(TOOL_REFS, "Tools that nothing else in the step implies.", default=())
    supplies: dict[str, str] = key(
        MapOf(WORDS, "supplies and amounts"),
        "Supplies that nothing else in the step implies, and how much.",
        default={},
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
    call: Ref | None = key(
        RefKind("a procedure"), "The steps of another procedure are done here; its closing is mirrored."
    )
    close: Ref | None = key(
        RefKind("a condition or a procedure"), "What was opened or called is closed here.", proven=False
    )
    ask: dict[str, tuple[str, ...]] = key(
        MapOf(IDS, "a question and its answers"),
        "A question that only the machine can answer.",
        default={},
        proven=False,
    )
    answers: dict[str, tuple[Step, ...]] = key(
        MapOf(STEPS, "answers and what to do then", names=WORDS),
        "What to do for each answer.",
        default={},
        proven=False,
    )
    if_not: Any = key(
        ByShape("steps, or the name of a procedure", text=RefKind("a procedure"), many=STEPS),
        "What to do if the test, measurement or inspection fails; then on.",
        proven=False,
    )
    go_to: Ref | None = key(
        RefKind("a procedure"), "The job goes on there, and does not come back.", proven=False
    )
    stop: str | None = key(SENTENCE, "The job ends here, for this reason.", proven=False)
    allow: dict[str, str] = key(
        MapOf(SENTENCE, "rules and reasons"), "Rules that are not to speak here, and why.", default={}
    )

    #: The key by which everything else knows the step; made once the whole procedure is read.
    name: str = ""


#: The actions on things, in the order in which they happen within a step.
ACTIONS: Final = ("drain", "slacken", "undo", "disconnect", "remove", "fit", "connect", "tighten", "fill")


class Procedure(Sourced, called="a procedure"):
    """A job, from the first tool laid out to the last test."""

    title: str = key(WORDS, "What is done: begins with a verb.", default="", required=True)
    system: str = key(Id(), "The system of the machine that it belongs to.", default="", required=True)
    status: str = key(
        OneOf("draft", "issued", "withdrawn"), "Whether readers may rely on it.", default="draft"
    )
    was: tuple[str, ...] = key(IDS, "Names it had before.", default=())
    revision: str | None = key(WORDS, "The revision: a number or a letter.")
    revised: str | None = key(WORDS, "The date of the revision, as 2026-11-25.")
    applies: Where | None = key(WhereKind(), "The machines it covers; all of them if left out.")
    purpose: str | None = key(SENTENCE, "What it is for.")
    symptoms: tuple[str, ...] = key(Many(SENTENCE), "What a person notices who needs it.", default=())
    skill: str | None = key(SENTENCE, "What somebody has to have done before.")
    time: Time | None = key(RecordKind(Time), "How long it takes.")
    people: int | None = key(Count(), "How many people it takes.")
    first: tuple[Ref, ...] = key(
        CONDITION_REFS, "Conditions made sure before the first step, in this order.", default=()
    )
    needs: tuple[Any, ...] = key(NEEDS, "What must hold before it may be begun.", default=())
    tools: tuple[Ref, ...] = key(
        TOOL_REFS, "The whole list of tools, if stated; then it is complete.", default=()
    )
    parts: dict[str, Part] = key(
        MapOf(RecordKind(Part), "parts"), "Parts of this procedure alone.", default={}
    )
    fixings: dict[str, Fixing] = key(
        MapOf(RecordKind(Fixing), "fixings"), "Fixings of this procedure alone.", default={}
    )
    connections: dict[str, Connection] = key(
        MapOf(RecordKind(Connection), "connections"), "Connections of this procedure alone.", default={}
    )
    controls: dict[str, Control] = key(
        MapOf(RecordKind(Control), "controls"), "Controls of this procedure alone.", default={}
    )
    fluids: dict[str, Fluid] = key(
        MapOf(RecordKind(Fluid), "fluids"), "Fluids of this procedure alone.", default={}
    )
    begins: Any = key(
        MapOf(THING_REFS, "states and things"),
        "How the machine is found, if not complete: `out:` with parts.",
        proven=False,
    )
    steps: tuple[Step, ...] = key(STEPS, "The steps.", default=(), required=True)
    refit: Any = key(
        ByShape("steps, or `confirmed by …`", text=WORDS, many=STEPS),
        "What is not the plain reverse, or who confirmed that it is.",
        proven=False,
    )
    finally_: tuple[Step, ...] = key(
        STEPS, "Steps after everything is closed: the proof that it works.", default=(), name="finally"
    )
    allow: dict[str, str] = key(
        MapOf(SENTENCE, "rules and reasons"), "Rules that are not to speak here, and why.", default={}
    )

    #: All of its steps, at any depth; filled once somebody walks through them.
    every_step: tuple[Step, ...] = ()
    #: Its own parts, fixings, connections, controls and fluids, by name; filled once it is read.
    own: dict[str, Thing]
