"""What a machine consists of: parts, fixings, connections, controls, fluids."""

from __future__ import annotations

from typing import Any, Final

from ..applies import Differing, DifferingKind, Where, WhereKind
from ..kinds import ByShape, Count, ListOf, Many, MapOf, OneOf, Parsed, Ref, RefKind
from ..quantity import parse
from ..records import Record, RecordKind, key
from ..sizes import parse_property_class, parse_size, parse_thread
from .values import CONDITION_REFS, MASS, THING_REFS, WORDS, Sourced, quantity


class Thing(Sourced, called="a thing"):
    """What a machine consists of.

    `when`, `unless`, `fitted` and `with_` say on which machines it is there.
    """

    name: str | None = key(WORDS, "What it is called, if its own name is not enough.")
    when: Where | None = key(WhereKind(), "On which machines it is there.")
    unless: Where | None = key(WhereKind(), "On which machines it is not there.")
    fitted: str | None = key(OneOf("look"), "`look`: it may not be there; look.")
    with_: Ref | None = key(RefKind("a thing"), "It is there where that other thing is.", name="with")
    places: tuple[str, ...] = key(
        Many(WORDS), "Where it is, if there is one at each of several places.", default=()
    )

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
        "The torques, and angles, one after the other.",
        default=(),
        required=True,
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
    "a torque",
    text=quantity("torque", "a torque such as `45 N·m`", look=True, words=("hand",)),
    mapping=RecordKind(Stages),
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
        DifferingKind(Parsed(parse_size, "a drive such as `cross 2`, `slot` or `hex 6 mm`", look=True)),
        "What turns it, if not a hexagon.",
    )
    property_class: Differing | None = key(
        DifferingKind(Parsed(parse_property_class, "a property class such as `8.8`")),
        "Its property class or grade.",
        proven=False,
    )
    count: Differing | None = key(DifferingKind(Count()), "How many there are, at each place.")
    threads: str | None = key(
        OneOf("dry", "oiled", "greased"), "How its threads are when it is tightened.", proven=False
    )
    torque: Differing | None = key(
        DifferingKind(TORQUE, own_keys=frozenset(Stages.KEYS)),
        "How tight it goes: a torque, stages, or `hand`.",
        proven=False,
    )
    order: tuple[str, ...] = key(Many(WORDS), "In which order they are tightened.", default=(), proven=False)
    renew: tuple[Ref, ...] = key(
        THING_REFS, "What is replaced each time it is undone, one for each.", default=()
    )


class Connection(Thing, called="a connection"):
    """A wire, pipe, hose, rod or cable that joins parts."""

    kind: str = key(
        WORDS,
        "What it carries: `electrical`, `fuel`, `coolant`, `oil`, `air`, `control`.",
        default="",
        required=True,
    )
    role: str | None = key(WORDS, "What it is for, where it matters: `earth`, `live`.")
    mark: str | None = key(WORDS, "What is printed or tied on it.")
    end: str | None = key(WORDS, "How it ends, if no fixing holds it: `blade`, `push-on`.")
    fixing: Ref | None = key(RefKind("a fixing", places=True), "The fixing that holds it.")
    at: dict[str, Ref] = key(
        MapOf(RefKind("a fixing"), "parts and fixings"),
        "Its ends: at which part, by which fixing.",
        default={},
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
        DifferingKind(quantity("volume", "an amount such as `8.5 L`", look=True)),
        "How much goes in.",
        proven=False,
    )
    grade: str | None = key(WORDS, "Which grade or kind.")
    supply: Ref | None = key(RefKind("a supply"), "What it is filled with.")


class PartsFile(Record, called="a file of shared things"):
    """`parts.yaml`: things that several procedures share."""

    parts: dict[str, Part] = key(MapOf(RecordKind(Part), "parts"), "Shared parts.", default={})
    fixings: dict[str, Fixing] = key(MapOf(RecordKind(Fixing), "fixings"), "Shared fixings.", default={})
    connections: dict[str, Connection] = key(
        MapOf(RecordKind(Connection), "connections"), "Shared connections.", default={}
    )
    controls: dict[str, Control] = key(MapOf(RecordKind(Control), "controls"), "Shared controls.", default={})
    fluids: dict[str, Fluid] = key(MapOf(RecordKind(Fluid), "fluids"), "Shared fluids.", default={})
