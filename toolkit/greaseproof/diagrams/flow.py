"""What a step diagram says: the boxes of a whole job in order, as plain data made from its proof.

    flow = layout_of(proof, resolver)
    flow.parts[1].rows      boxes, and frames around those that belong together
    spoken(flow)            the same for somebody who cannot see the drawing

Nothing here knows how a diagram looks; `sheet` places it and `pen` draws it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..machines.words import words
from ..proof.outcome import Act, Line, Proof
from ..reading.kinds import Ref
from ..reading.model import Control, Procedure, Step, Thing

__all__ = ["Box", "Flow", "Frame", "Part", "Row", "Span", "layout_of", "spoken"]

#: Signal words, the gravest first, as ANSI Z535.6 ranks them.
SIGNALS: Final = ("danger", "warning", "caution", "notice")

HEADINGS: Final = {
    "first": "First",
    "steps": "Steps",
    "refit": "Refitting",
    "close": "Closing",
    "finally": "Finally",
}

#: How an action begins the text of a box; `{}` is what it is done to.
VERBS: Final = {
    "drain": "drain {}",
    "slacken": "slacken {}",
    "undo": "undo {}",
    "disconnect": "disconnect {}",
    "remove": "remove {}",
    "fit": "fit {}",
    "connect": "connect {}",
    "tighten": "tighten {}",
    "fill": "fill with {}",
    "disturbs": "take off {} and put it back",
}

#: Actions on what a step names without a fact about it.
LOOKING: Final = ("mark", "record", "inspect", "measure", "clean", "renew")

#: A full stop after which a sentence begins, not that of an abbreviation.
SENTENCE_END: Final = re.compile(r"\.\s+(?=[A-Z])")

#: Words for a set of variants, within the set that they are told from.
Say = Callable[[Variants, Variants], str]


@dataclass(frozen=True, slots=True)
class Box:
    """One thing to do, or one condition that begins or ends.

    `kind`: `step`; `off` or `on` for a step that removes or fits a part; `call` for another procedure; `open`
    or `close` for a condition. `number` counts the lines of kind `step` in part `steps`; `puts_back` is the
    number of the step whose work a box of the refitting undoes.
    """

    kind: str
    text: str
    number: int | None = None
    puts_back: int | None = None
    signals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Frame:
    """Rows that belong together: a `branch` for some machines, a `group`, one `round` of a repeated group."""

    kind: str
    label: str
    rows: tuple[Row, ...]
    signals: tuple[str, ...] = ()


Row = Box | Frame


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a job with its heading, such as the refitting."""

    name: str
    heading: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Span:
    """A condition that holds from one box to another; both count all boxes of the flow from 0."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Flow:
    """One whole job."""

    title: str
    parts: tuple[Part, ...]
    spans: tuple[Span, ...]


def layout_of(proof: Proof, resolver: Resolver, say: Say | None = None) -> Flow:
    """The diagram of a procedure on every machine that it covers.

    `say` gives the words for the machines of a branch; by default `words`, up to a millisecond for a set.
    """
    told = say or (lambda of, within: words(of, resolver.universe, within))
    return Layout(proof, resolver, told).flow()


class Layout:
    """Makes one flow."""

    def __init__(self, proof: Proof, resolver: Resolver, say: Say) -> None:
        self.proof, self.resolver, self.say = proof, resolver, say
        #: Step's name and place of its round -> its number.
        self.numbers: dict[tuple[str, str | None], int] = {}
        self.counted = 0
        self.said: dict[tuple[int, int], str] = {}

    def flow(self) -> Flow:
        parts = []
        for name, lines in groupby(self.proof.lines, key=lambda line: line.part):
            rows = self.rows(list(lines), self.proof.applies, None)
            parts.append(Part(name, HEADINGS[name], rows))
        return Flow(self.proof.procedure.title, tuple(parts), spans(self.proof.lines))

    def rows(self, lines: Sequence[Line], around: Variants, place: str | None) -> tuple[Row, ...]:
        """The rows of lines of one depth; those for fewer machines than `around` stand in branches."""
        found: list[tuple[Variants, list[Row]]] = []
        at = 0
        while at < len(lines):
            line, end = lines[at], at + 1
            while end < len(lines) and lines[end].depth > line.depth:
                end += 1
            row = self.row(line, lines[at + 1 : end], place)
            if found and found[-1][0] is line.variants:
                found[-1][1].append(row)
            else:
                found.append((line.variants, [row]))
            at = end
        rows: list[Row] = []
        for on, inside in found:
            if on is around:
                rows.extend(inside)
            else:
                rows.append(Frame("branch", f"Only {self.words(on, around)}", tuple(inside)))
        return tuple(rows)

    def words(self, on: Variants, around: Variants) -> str:
        key = (id(on), id(around))
        if key not in self.said:
            self.said[key] = self.say(on, around)
        return self.said[key]

    def row(self, line: Line, inside: Sequence[Line], place: str | None) -> Row:
        """One line, with the lines that stand within it."""
        if line.kind == "round":
            return Frame("round", line.place or "", self.rows(inside, line.variants, line.place))
        if line.kind == "group" and line.step is not None:
            return Frame(
                "group",
                group_label(line.step),
                self.rows(inside, line.variants, place),
                self.signals(line, line.step),
            )
        if line.kind in ("open", "close"):
            return Box(line.kind, condition_text(line))
        if line.kind == "call":
            return Box("call", call_text(line), signals=self.signals(line, line.step))
        assert line.step is not None
        return self.box(line, line.step, place)

    def box(self, line: Line, step: Step, place: str | None) -> Box:
        """A step, or its mirror in the refitting."""
        number = puts_back = None
        if line.part == "steps":
            self.counted += 1
            number = self.numbers[step.name, place] = self.counted
        elif line.part == "refit":
            puts_back = self.numbers.get((step.name, place))
        actions = {act.action for act in line.acts}
        kind = "off" if "remove" in actions else "on" if "fit" in actions else "step"
        mirror = line.part == "refit"
        text = self.acting(line, step, mirror) if mirror else self.step_text(line, step)
        return Box(kind, text, number, puts_back, self.signals(line, step))

    def signals(self, line: Line, step: Step | None) -> tuple[str, ...]:
        """The signal words before a step on some machine of its line; they do not speak to its mirror."""
        if step is None or line.part in ("refit", "close"):
            return ()
        return tuple(
            word.upper()
            for word in SIGNALS
            if any(self.resolver.where(each.when) & line.variants for each in getattr(step, word))
        )

    def step_text(self, line: Line, step: Step) -> str:
        """What a step does, in as few words as say it."""
        lifted = "" if step.lift is None else self.lifting(step)
        acting = (
            self.acting(line, step, mirror=False) if {act.action for act in line.acts} - {"disturbs"} else ""
        )
        text = "; ".join(filter(None, [lifted, acting[:1].lower() + acting[1:] if lifted else acting]))
        if not text and step.do:
            text = first_sentence(step.do)
        if not text and step.close is not None:
            text = f"End here: {self.called(step.close)}"
        if not text:
            text = self.looking(step) or self.acting(line, step, mirror=False)
        if not text and step.test:
            text = f"Test: {first_sentence(step.test)}"
        ends = [f"stop: {first_sentence(step.stop)}"] if step.stop else []
        if step.go_to is not None:
            ends.append(f"go on with {self.called(step.go_to)}")
        return "; ".join(filter(None, [text, *ends])) or spaced(step.name, capital=True)

    def acting(self, line: Line, step: Step, mirror: bool) -> str:
        """The actions on things: `Undo shield screws; remove heat shield`."""
        parts: list[str] = []
        for action, acts in groupby(line.acts, key=lambda act: act.action):
            if action == "set":
                parts.extend(setting_text(act, step, mirror) for act in one_each(acts))
            else:
                parts.append(VERBS[action].format(listed(list(acts), line.variants)))
        text = "; ".join(dict.fromkeys(parts))
        return text[:1].upper() + text[1:]

    def lifting(self, step: Step) -> str:
        assert step.lift is not None
        load = self.called(step.lift.load)
        if step.lift.by == "hand":
            return f"Take the weight of the {load}"
        return f"Lift {load}" + (
            f" with {self.called(step.lift.with_)}" if step.lift.with_ is not None else ""
        )

    def looking(self, step: Step) -> str:
        """What is marked, recorded, looked at, measured, cleaned or renewed."""
        parts = []
        for action in LOOKING:
            what = [
                self.called(each) if isinstance(each, Ref) else str(each) for each in getattr(step, action)
            ]
            if what:
                parts.append(f"{action} {', '.join(what)}")
        text = "; ".join(parts)
        return text[:1].upper() + text[1:]

    def called(self, ref: Ref) -> str:
        """How people call what a reference names."""
        shop = self.resolver.shop
        thing = shop.thing(self.proof.procedure, ref.id)
        if thing is not None:
            return name_of(thing)
        condition = shop.conditions.get(ref.id)
        if condition is not None:
            return condition.says or spaced(condition.id)
        procedure: Procedure | None = shop.procedures.get(ref.id)
        return procedure.title if procedure is not None else spaced(ref.id)


def spans(lines: Sequence[Line]) -> tuple[Span, ...]:
    """From where to where each condition holds that is opened and closed again, in the order of opening."""
    opened: dict[tuple[str, str | None], list[int]] = {}
    found = []
    boxes = [line for line in lines if line.kind not in ("group", "round")]
    for at, line in enumerate(boxes):
        if line.condition is None:
            continue
        key = (line.condition.id, line.place)
        if line.kind == "open":
            opened.setdefault(key, []).append(at)
        elif line.kind == "close" and opened.get(key):
            found.append(Span(opened[key].pop(), at))
    return tuple(sorted(found, key=lambda span: span.first))


# ----------------------------------------------------------------------------------------------- words


def spaced(id: str, capital: bool = False) -> str:
    """An id as words."""
    text = id.replace("-", " ").replace("_", " ")
    return text[:1].upper() + text[1:] if capital else text


def name_of(thing: Thing) -> str:
    return thing.name or spaced(thing.id)


def first_sentence(text: str) -> str:
    """The first sentence of a text, without its full stop."""
    return SENTENCE_END.split(text.strip())[0].removesuffix(".")


def group_label(step: Step) -> str:
    label = step.heading or first_sentence(step.do or "") or spaced(step.name, capital=True)
    return f"{label}, again until: {first_sentence(step.until)}" if step.until else label


def condition_text(line: Line) -> str:
    """A condition that begins or ends, and what makes it do so."""
    condition = line.condition
    assert condition is not None
    says = condition.says or spaced(condition.id)
    if line.place is not None:
        says = f"{says} ({line.place})"
    if line.kind == "open":
        if line.procedure is None and condition.opened:
            sentence = first_sentence(condition.opened)
            return f"{sentence} ({line.place})" if line.place is not None else sentence
        text = says[:1].upper() + says[1:]
    else:
        if line.procedure is None and condition.closed:
            return first_sentence(condition.closed)
        text = f"Ends: {says}"
    return f"{text} – see “{line.procedure.title}”" if line.procedure is not None else text


def call_text(line: Line) -> str:
    """Which half of another procedure is done: its steps, their refitting, or what it ends with."""
    called = line.procedure.title if line.procedure is not None else ""
    if line.part in ("refit", "close"):
        return f"Put back: {called}"
    return f"Last steps: {called}" if line.step is None else called


def one_each(acts: Iterator[Act]) -> list[Act]:
    """The first act on each thing."""
    return list({act.item.thing.subject: act for act in reversed(list(acts))}.values())[::-1]


def setting_text(act: Act, step: Step, mirror: bool) -> str:
    """`set gear to neutral`; the mirror puts a control back at its normal setting."""
    control = act.item.thing
    assert isinstance(control, Control)
    setting = control.normally if mirror else step.set.get(control.id)
    return f"set {name_of(control)} to {setting}"


def listed(acts: Sequence[Act], on: Variants) -> str:
    """The things of one action, each once with its places; last those that are not on every machine."""
    everywhere: list[str] = []
    somewhere: list[str] = []
    for act in one_each(iter(acts)):
        thing = act.item.thing
        at = [each.item.place for each in acts if each.item.thing is thing and each.item.place is not None]
        name = name_of(thing) if set(at) == set(thing.places) else f"{name_of(thing)} ({', '.join(at)})"
        (everywhere if on <= act.variants else somewhere).append(name)
    both = [", ".join(everywhere), f"where fitted {', '.join(somewhere)}" if somewhere else ""]
    return ", and ".join(filter(None, both))


# --------------------------------------------------------------------------------- without the drawing


def spoken(flow: Flow) -> str:
    """Everything that the drawing says, a sentence a line, for who hears it read out."""
    held = {span.first for span in flow.spans}
    count = iter(range(1_000_000))
    told = [f"Step diagram of “{flow.title}”, in the order of work."]
    for part in flow.parts:
        told.append(f"{part.heading}:")
        told.extend(spoken_rows(part.rows, held, count, ""))
    return "\n".join(told)


def spoken_rows(rows: Sequence[Row], held: set[int], count: Iterator[int], only: str) -> Iterator[str]:
    for row in rows:
        if isinstance(row, Box):
            number = "" if row.number is None else f"Step {row.number}: "
            back = "" if row.puts_back is None else f"Puts back step {row.puts_back}: "
            holds = "; holds until it is ended below" if next(count) in held else ""
            signals = "".join(f"{word}. " for word in row.signals)
            yield f"{only}{signals}{number}{back}{row.text}{holds}."
        elif row.kind == "branch":
            yield from spoken_rows(row.rows, held, count, f"{only}{row.label}: ")
        else:
            signals = "".join(f"{word}. " for word in row.signals)
            kind = "Group" if row.kind == "group" else "Round"
            yield f"{only}{signals}{kind} “{row.label}”:"
            yield from spoken_rows(row.rows, held, count, only)
            yield f"{only}End of {kind.lower()} “{row.label}”."
