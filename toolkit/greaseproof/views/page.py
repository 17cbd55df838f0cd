"""One procedure as a reader meets it on paper or on a screen: all that is printed, in order, as plain data.

HTML, print and text are made from this; whatever they show was worked out here. `only` says, wherever it
stands, on which of the machines spoken of something is so; None means on all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from ..machines.variants import Variants
from ..proof import Proofs
from ..proof.items import Item
from ..proof.outcome import Act, Line, Proof
from ..reading.applies import Differing
from ..reading.kinds import LOOK, Ref
from ..reading.model import (
    Condition,
    Connection,
    Control,
    Fitted,
    Fixing,
    Fluid,
    ManualFile,
    Part,
    Procedure,
    SignalWord,
    Step,
    Thing,
    Tool,
)
from ..reading.sizes import Drive
from .saying import called, item_called, many, measured, sentence, speaker_of, tool_called, torque_said
from .supplies import SupplyNeed, renewed, replaced, whole_supplies
from .tools import ToolNeed, Use, fixings_of, needs, reached

__all__ = [
    "ActShown",
    "Branch",
    "CallRow",
    "ConditionRow",
    "Figure",
    "First",
    "HeadingRow",
    "Link",
    "MachineCovered",
    "Material",
    "Page",
    "PutBackRow",
    "Row",
    "Signal",
    "StepRow",
    "ThingRow",
    "page",
    "rows_within",
]

#: The signal words of ANSI Z535.6 and ISO 3864, the gravest first. NOTICE is not about injury.
SIGNAL_WORDS = ("danger", "warning", "caution", "notice")

#: What an action is called at the head of a sentence; in the order in which actions happen within a step.
VERBS = {
    "mark": "mark",
    "record": "write down",
    "measure": "measure",
    "set": "set",
    "drain": "drain",
    "slacken": "slacken",
    "undo": "undo",
    "disconnect": "disconnect",
    "remove": "remove",
    "inspect": "look at",
    "clean": "clean",
    "renew": "renew",
    "fit": "fit",
    "connect": "connect",
    "tighten": "tighten",
    "fill": "put in",
    "top_up": "top up",
    "disturbs": "take off and put back",
}


class Link(NamedTuple):
    """Another procedure. `part`: `closing` for its closing half, `finally` for its last steps."""

    id: str
    system: str
    title: str
    part: str | None = None


class Figure(NamedTuple):
    """A value in figures."""

    text: str
    only: str | None = None


class Signal(NamedTuple):
    """A signal word with its sentence.

    `step` is the anchor where it stands, `link` the procedure if another's.
    """

    word: str
    says: str
    only: str | None = None
    step: str | None = None
    link: Link | None = None


class MachineCovered(NamedTuple):
    """A model that is covered, from `first` to `last` year built."""

    name: str
    built: str
    only: str | None = None


class Tell(NamedTuple):
    """How somebody in front of the machine can tell what it is fitted with. `altered`: owners change it."""

    feature: str
    says: str
    altered: bool = False


class First(NamedTuple):
    """A condition that must hold before anything else: how it is made so, and by which procedure."""

    says: str
    how: str | None
    link: Link | None
    waiting: str | None
    only: str | None = None


class Material(NamedTuple):
    """A tool or a supply to have ready.

    `about`: how much, or that the store has none; `renew`: it goes in new.
    """

    what: str
    about: str | None = None
    renew: bool = False
    only: str | None = None


class ActShown(NamedTuple):
    """What a step does to one thing: its name, its mark, and its sizes and torques in figures."""

    action: str
    name: str
    mark: str | None = None
    figures: tuple[Figure, ...] = ()
    only: str | None = None


class Branch(NamedTuple):
    """An answer to a question, or what to do if something fails, with its steps."""

    says: str
    rows: tuple[Row, ...] = ()
    link: Link | None = None


class StepRow(NamedTuple):
    """One step."""

    anchor: str
    number: int
    depth: int
    says: str
    only: str | None = None
    signals: tuple[Signal, ...] = ()
    acts: tuple[ActShown, ...] = ()
    tests: tuple[str, ...] = ()
    measure: str | None = None
    records: tuple[str, ...] = ()
    who: str | None = None
    where: str | None = None
    checked_by: str | None = None
    waiting: str | None = None
    people: int | None = None
    lift: str | None = None
    picture: str | None = None
    supplies: tuple[str, ...] = ()
    why: str | None = None
    tip: str | None = None
    keep: str | None = None
    safe_to_stop: bool = False
    ends_here: str | None = None
    goes_to: Link | None = None
    branches: tuple[Branch, ...] = ()


class HeadingRow(NamedTuple):
    """A group, or one round of a repeat, begins."""

    anchor: str
    depth: int
    says: str
    only: str | None = None
    signals: tuple[Signal, ...] = ()
    until: str | None = None
    who: str | None = None


class ConditionRow(NamedTuple):
    """A condition is opened or closed here, by a sentence or by another procedure."""

    anchor: str
    depth: int
    opens: bool
    condition: str
    how: str | None
    link: Link | None
    waiting: str | None = None
    only: str | None = None


class CallRow(NamedTuple):
    """Another procedure's `steps`, its `closing`, or its last steps (`finally`) are done here."""

    anchor: str
    depth: int
    part: str
    link: Link
    says: str | None = None
    why: str | None = None
    only: str | None = None


class PutBackRow(NamedTuple):
    """One line of refitting. `ends` (torques, amounts) stand at the line's end, `renew` goes in new.

    `of_step` is the number of the step that disturbed it. What can hurt there can hurt here: the first of its
    lines carries its `signals`, where it is done, how many people it takes and what weighs how much (`lift`).
    """

    anchor: str
    depth: int
    says: str
    figures: tuple[Figure, ...] = ()
    ends: tuple[Figure, ...] = ()
    renew: tuple[Figure, ...] = ()
    of_step: int | None = None
    step_anchor: str | None = None
    only: str | None = None
    signals: tuple[Signal, ...] = ()
    where: str | None = None
    people: int | None = None
    lift: str | None = None


Row = StepRow | HeadingRow | ConditionRow | CallRow | PutBackRow


class ThingRow(NamedTuple):
    """A thing of the job with what is known of it.

    Pairs of a label and figures; `source` is where that comes from.
    """

    kind: str
    name: str
    facts: tuple[tuple[str, tuple[Figure, ...]], ...]
    source: str | None = None
    only: str | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """A procedure, complete."""

    id: str
    system: str
    title: str
    status: str
    was: tuple[str, ...]
    revision: str | None
    revised: str | None
    manual: str
    language: str
    answers_for_it: str | None
    contact: str | None
    notice: str | None
    file: str
    machines: tuple[MachineCovered, ...]
    machines_words: str
    tells: tuple[Tell, ...]
    purpose: str | None
    symptoms: tuple[str, ...]
    skill: str | None
    time: str | None
    people: int
    roles: tuple[str, ...]
    hazards: tuple[Signal, ...]
    needs: tuple[str, ...]
    first: tuple[First, ...]
    tools: tuple[Material, ...]
    supplies: tuple[Material, ...]
    steps: tuple[Row, ...]
    refit: tuple[Row, ...]
    refit_note: str | None
    refit_written: tuple[Row, ...]
    close: tuple[Row, ...]
    finally_: tuple[Row, ...]
    things: tuple[ThingRow, ...]
    sources: tuple[tuple[str, tuple[str, ...]], ...]
    waste: tuple[tuple[str, str], ...]


def page(manual: Proofs, id: str) -> Page | None:
    """The page of a procedure; None if there is none of that id, or if it could not be followed."""
    proof = manual.proof(id)
    return None if proof is None else Composer(manual, proof).page()


def rows_within(rows: Iterable[Row]) -> Iterator[Row]:
    """Rows with those of their branches, in order."""
    for row in rows:
        yield row
        if isinstance(row, StepRow):
            for branch in row.branches:
                yield from rows_within(branch.rows)


class Composer:
    """Makes the page of one procedure."""

    def __init__(self, manual: Proofs, proof: Proof) -> None:
        self.manual, self.proof, self.procedure = manual, proof, proof.procedure
        self.shop, self.resolver = manual.shop, manual.resolver
        self.info = manual.shop.info or ManualFile.__new__(ManualFile)
        self.order = self.info.units
        self.speaker = speaker_of(manual)
        self.number = 0
        self.anchors: set[str] = set()
        #: Step name -> (number, anchor), for refitting.
        self.numbers: dict[str, tuple[int, str]] = {}
        #: Steps that the proof itself has lines for; those of answers and the like are shown from their
        #: records.
        self.told = {line.step.name for line in proof.lines if line.step is not None}

    def page(self) -> Page:
        procedure, info = self.procedure, self.info
        parts = {name: [line for line in self.proof.lines if line.part == name] for name in PARTS}
        steps = self.rows(parts["steps"])
        written = procedure.refit if isinstance(procedure.refit, tuple) else ()
        refit_written = self.recorded(written, self.proof.applies, 0)
        refit = self.rows(parts["refit"])
        close = self.rows(parts["close"])
        final = self.rows(parts["finally"])
        things = self.things()
        people, roles = self.people()
        return Page(
            id=procedure.id,
            system=procedure.system,
            title=procedure.title,
            status=procedure.status,
            was=procedure.was,
            revision=procedure.revision,
            revised=procedure.revised,
            manual=info.title,
            language=info.language,
            answers_for_it=info.answers_for_it,
            contact=info.contact,
            notice=info.notice,
            file="/".join(procedure.file.split("/")[-2:]),
            machines=tuple(self.machines()),
            machines_words=self.speaker.only(self.proof.applies, self.resolver.all) or "every machine",
            tells=tuple(self.tells()),
            purpose=procedure.purpose,
            symptoms=procedure.symptoms,
            skill=procedure.skill,
            time=self.time(),
            people=people,
            roles=roles,
            hazards=tuple(self.hazards()),
            needs=tuple(self.needed(procedure.needs)),
            first=tuple(self.first(parts["first"])),
            tools=tuple(self.tools()),
            supplies=tuple(self.supplies()),
            steps=steps,
            refit=refit,
            refit_note=procedure.refit if isinstance(procedure.refit, str) else None,
            refit_written=refit_written,
            close=close,
            finally_=final,
            things=tuple(things),
            sources=tuple(self.sources()),
            waste=tuple(self.waste()),
        )

    # --------------------------------------------------------------------------------------------- the
    # heading

    def link(self, procedure: Procedure, part: str | None = None) -> Link:
        return Link(procedure.id, procedure.system, procedure.title, part)

    def machines(self) -> Iterator[MachineCovered]:
        """The models covered, in the order of the catalogue."""
        for id, machine in self.shop.machines.items():
            every = self.resolver.universe.machine(id)
            covered = every & self.proof.applies
            if covered:
                built = f"{machine.built.first} to {machine.built.last}"
                yield MachineCovered(machine.name or id, built, self.speaker.only(covered, every))

    def tells(self) -> Iterator[Tell]:
        """How to tell the machines apart, where what the job speaks of is not the same on all of them."""
        telling = [name for name, feature in sorted(self.shop.features.items()) if feature.tell]
        telling = [name for name in telling if self.differs(name)]
        spoken_of = self.manual.mention(self.procedure.id).features if telling else ()
        for name in telling:
            if name in spoken_of:
                feature = self.shop.features[name]
                yield Tell(name.replace("-", " "), sentence(feature.tell or ""), feature.altered == "often")

    def differs(self, feature: str) -> bool:
        """Have the machines of the job more than one value of a feature?"""
        known: dict[tuple[str, Variants], bool] = self.manual.views.setdefault("differs", {})
        key = (feature, self.proof.applies)
        if key not in known:
            values = self.shop.features[feature].values
            ways = (self.resolver.universe.test(feature, (value,)) for value in values)
            known[key] = sum(not way.isdisjoint(self.proof.applies) for way in ways) > 1
        return known[key]

    def time(self) -> str | None:
        """How long it takes, in a sentence."""
        time = self.procedure.time
        if time is None or not time.likely:
            return None
        also = []
        if time.least:
            also.append(f"{time.least} if all goes well")
        if time.most:
            also.append(f"{time.most} if much goes wrong")
        return f"{time.likely} as a rule" + (f"; {' and '.join(also)}" if also else "")

    def people(self) -> tuple[int, tuple[str, ...]]:
        """How many people it takes at most, and their roles."""
        steps = [line.step for line in self.proof.lines if line.step is not None]
        roles = tuple(dict.fromkeys(step.who for step in steps if step.who))
        return max(self.procedure.people or 1, len(roles), *(step.people or 1 for step in steps), 1), roles

    def hazards(self) -> Iterator[Signal]:
        """Everything in the whole job that can hurt somebody, each once, the gravest first."""
        found: dict[tuple[str, str], Signal] = {}
        for id, within in self.jobs().items():
            link = None if id == self.procedure.id else self.link(self.shop.procedures[id])
            for step, word, said, variants in warned(self.manual, id):
                on = variants & within
                if on and (word, said) not in found:
                    only = self.speaker.only(on, self.proof.applies)
                    found[word, said] = Signal(word, said, only, step, link)
        yield from sorted(found.values(), key=lambda signal: SIGNAL_WORDS.index(signal.word.lower()))

    def signals(self, step: Step, on: Variants, anchor: str, within: Variants) -> Iterator[Signal]:
        """The signal words of a step, the gravest first."""
        for word in SIGNAL_WORDS:
            said: tuple[SignalWord, ...] = getattr(step, word)
            for each in said:
                there = on & self.resolver.where(each.when)
                if there:
                    yield Signal(word.upper(), sentence(each.say), self.speaker.only(there, within), anchor)

    def needed(self, needs: Iterable[Any]) -> Iterator[str]:
        """What must hold before the job may be begun, and what is found out of the machine."""
        found_out = (self.procedure.begins or {}).get("out", ())
        if found_out:
            yield f"{listed([self.name_of(ref) for ref in found_out])} out"
        for need in needs:
            if isinstance(need, Fitted):
                yield f"{listed([self.name_of(ref) for ref in need.fitted])} in place"
            else:
                yield self.condition_says(self.shop.conditions.get(need.id), need.id, need.place)

    def name_of(self, ref: Ref) -> str:
        thing = self.shop.thing(self.procedure, ref.id)
        name = called(thing) if thing is not None else ref.id.replace("-", " ")
        return f"{name}, {ref.place}" if ref.place else name

    def condition_says(self, condition: Condition | None, id: str, place: str | None) -> str:
        says = condition.says if condition is not None and condition.says else id.replace("-", " ")
        return f"{says}, {place}" if place else says

    def first(self, lines: list[Line]) -> Iterator[First]:
        for line in lines:
            condition = line.condition
            if condition is None or line.kind != "open":
                continue
            yield First(
                self.condition_says(condition, condition.id, line.place),
                sentence(condition.opened) if condition.opened and line.procedure is None else None,
                self.link(line.procedure) if line.procedure is not None else None,
                str(condition.waiting) if condition.waiting else None,
                self.speaker.only(line.variants, self.proof.applies),
            )

    # ------------------------------------------------------------------------------------- what to have ready

    def tools(self) -> Iterator[Material]:
        """The tools of the whole job, each once, hexagons and recesses first."""
        found: dict[tuple[Use, str], tuple[Variants, str | None]] = {}
        for id, within in self.jobs().items():
            for key, (variants, about) in wanted(self.manual, id, self.order).items():
                on = variants & within
                if on:
                    found[key] = (found[key][0] | on if key in found else on, about)
        uses = list(Use)
        for (_, what), (on, about) in sorted(found.items(), key=lambda pair: uses.index(pair[0][0])):
            yield Material(what, about, False, self.speaker.only(on, self.proof.applies))

    def jobs(self) -> dict[str, Variants]:
        """This procedure and all that it leads through, with the machines on which it does."""
        through = reached(self.manual, self.procedure, self.proof.applies)
        return {self.procedure.id: self.proof.applies, **through}

    def supplies(self) -> Iterator[Material]:
        """The supplies of the whole job; counts of one supply for the same machines are added up."""
        counts: dict[tuple[str, Variants, str | None], int] = {}
        renewing: set[str] = set()
        for need in self.used_up():
            key = (need.what, need.variants & self.proof.applies, need.amount)
            counts[key] = counts.get(key, 0) + (need.count or 0)
            if need.count is not None and not need.step.supplies:
                renewing.add(need.what)
        for (what, variants, amount), count in counts.items():
            said = what if amount is not None else many(count, what)
            yield Material(said, amount, what in renewing, self.speaker.only(variants, self.proof.applies))

    def used_up(self) -> Iterator[SupplyNeed]:
        """What the whole job uses up on the machines of this page."""
        for need in whole_supplies(self.manual, self.procedure, self.order):
            if not need.variants.isdisjoint(self.proof.applies):
                yield need

    def waste(self) -> Iterator[tuple[str, str]]:
        """Where what is left of the supplies goes."""
        seen = set()
        for need in self.used_up():
            supply = need.supply
            if supply is not None and supply.waste and supply.id not in seen:
                seen.add(supply.id)
                hazard = f" ({supply.hazard})" if supply.hazard else ""
                yield f"{called(supply)}{hazard}", supply.waste

    # ----------------------------------------------------------------------------------------------- the
    # lines

    def anchor(self, *names: str | None) -> str:
        """An anchor of its own: the step's name, with its place or a number where that is taken."""
        base = "-".join(slug(name) for name in names if name)
        anchor, count = base, 2
        while anchor in self.anchors:
            anchor, count = f"{base}-{count}", count + 1
        self.anchors.add(anchor)
        return anchor

    def rows(self, lines: list[Line]) -> tuple[Row, ...]:
        """The lines of one part of the job.

        Within a group only what tells a line from the rest of the group is said.
        """
        found: list[Row] = []
        around: list[Variants] = []
        place = ""
        for line in lines:
            if line.depth == 0:
                place = ""
            if line.kind == "round":
                place = line.place or ""
            del around[line.depth :]
            within = around[-1] if around else self.proof.applies
            found.extend(self.row(line, place, within))
            around.extend([within] * (line.depth - len(around)))
            around.append(line.variants & within)
        return tuple(found)

    def row(self, line: Line, place: str, within: Variants) -> Iterator[Row]:
        only = self.speaker.only(line.variants, within)
        step = line.step
        if line.kind in ("open", "close"):
            yield self.condition_row(line, only)
        elif line.kind == "call" and line.procedure is not None:
            if step is not None or self.ends_with_something(line.procedure):
                yield self.call_row(line, only)
        elif step is None:
            return
        elif line.kind == "group":
            yield self.heading(line, step, only)
        elif line.kind == "round":
            anchor = self.anchor(line.part if line.part == "refit" else None, step.name, line.place)
            yield HeadingRow(anchor, line.depth, sentence(line.place or "").rstrip("."), only)
        elif line.part == "refit":
            yield from self.put_back(line, step, place, within)
        elif step.close is not None and not step.do and not line.acts:
            yield self.close_row(line, step.close, only)
        else:
            yield self.step_row(step, line.variants, line.acts, line.depth, place, only)

    def condition_row(self, line: Line, only: str | None) -> ConditionRow:
        condition = line.condition
        assert condition is not None
        opens = line.kind == "open"
        how = condition.opened if opens else condition.closed
        link = None
        if line.procedure is not None:
            link, how = self.link(line.procedure, None if opens else "closing"), None
        return ConditionRow(
            self.anchor(line.part, line.kind, condition.id, line.place),
            line.depth,
            opens,
            self.condition_says(condition, condition.id, line.place),
            sentence(how) if how else None,
            link,
            str(condition.waiting) if opens and condition.waiting else None,
            only,
        )

    def close_row(self, line: Line, closed: Ref, only: str | None) -> Row:
        """A `close:` of a condition or of a call that the proof gives no line of its own."""
        condition = self.shop.conditions.get(closed.id)
        procedure = self.shop.procedures.get(
            condition.opened_by.id if condition is not None and condition.opened_by is not None else closed.id
        )
        link = self.link(procedure, "closing") if procedure is not None else None
        anchor = self.anchor(line.part, "close", closed.id)
        if condition is None and link is not None:
            return CallRow(anchor, line.depth, "closing", link, only=only)
        how = condition.closed if condition is not None else None
        says = self.condition_says(condition, closed.id, None)
        return ConditionRow(anchor, line.depth, False, says, sentence(how) if how else None, link, None, only)

    def heading(self, line: Line, step: Step, only: str | None) -> HeadingRow:
        says = step.heading or step.do or ("These steps together" if not step.repeat else "For each of these")
        refit = line.part == "refit"
        anchor = self.anchor("refit" if refit else None, step.name)
        signals = () if refit else tuple(self.signals(step, line.variants, anchor, line.variants))
        return HeadingRow(anchor, line.depth, says, only, signals, None if refit else step.until, step.who)

    def call_row(self, line: Line, only: str | None) -> CallRow:
        """Another procedure's steps, its refitting, or (behind no step of this one) its last steps."""
        assert line.procedure is not None
        step = line.step
        if step is None:
            anchor = self.anchor("finally", line.procedure.id)
            return CallRow(anchor, line.depth, "finally", self.link(line.procedure, "finally"), only=only)
        if line.part in ("refit", "close"):
            anchor = self.anchor("refit", step.name)
            return CallRow(anchor, line.depth, "closing", self.link(line.procedure, "closing"), only=only)
        says = sentence(step.do) if step.do else None
        link = self.link(line.procedure)
        return CallRow(self.anchor(step.name), line.depth, "steps", link, says, step.why, only)

    def ends_with_something(self, procedure: Procedure) -> bool:
        """Has a procedure last steps of its own?"""
        proof = self.manual.proof(procedure.id)
        return proof is not None and any(line.part == "finally" for line in proof.lines)

    def step_row(
        self, step: Step, on: Variants, acts: tuple[Act, ...], depth: int, place: str, only: str | None
    ) -> StepRow:
        self.number += 1
        number = self.number
        anchor = self.anchor(step.name, place if step.name in self.numbers else None)
        signals = tuple(self.signals(step, on, anchor, on))
        self.numbers.setdefault(step.name, (number, anchor))
        here = tuple(act for act in acts if act.item.place in (place, None) or not self.placed(acts, place))
        says = sentence(step.do) if step.do else self.generated(step, here, on)
        records = [self.phrase(one) for one in step.record]
        return StepRow(
            anchor,
            number,
            depth,
            says,
            only,
            signals,
            tuple(self.shown(step, here, on)),
            (sentence(step.test),) if step.test else (),
            self.bounds(step),
            tuple(sentence(one) for one in records) if step.do else (),
            step.who,
            step.where,
            step.checked_by,
            str(step.waiting) if step.waiting else None,
            step.people,
            self.lift(step, on),
            step.picture,
            tuple(f"{self.supply_named(name)}: {amount}" for name, amount in step.supplies.items()),
            step.why,
            step.tip,
            step.keep,
            step.safe_to_stop,
            step.stop,
            self.goes_to(step),
            tuple(self.branches(step, on, depth)),
        )

    def lift(self, step: Step, on: Variants) -> str | None:
        """Whose weight is taken, how heavy it is, and with what."""
        if step.lift is None or not isinstance(step.lift.load, Ref):
            return None
        part = self.shop.thing(self.procedure, step.lift.load.id)
        masses = list(self.values(part.mass, on)) if isinstance(part, Part) else []
        mass = ", ".join(f"{each.text} ({each.only})" if each.only else each.text for each in masses)
        tools = [self.shop.tools.get(ref.id) for ref in (step.lift.with_, step.lift.sling) if ref is not None]
        by = "by hand" if step.lift.by else f"with {listed([tool_called(tool) for tool in tools if tool])}"
        says = f"{self.name_of(step.lift.load)}, {mass}" if mass else self.name_of(step.lift.load)
        return f"{says}, {by}" if step.lift.by or any(tools) else says

    def placed(self, acts: tuple[Act, ...], place: str) -> bool:
        """Does a step within a round act on that round's place?"""
        return any(act.item.place == place for act in acts)

    def supply_named(self, name: str) -> str:
        supply = self.shop.supplies.get(name)
        return called(supply) if supply is not None else name.replace("-", " ")

    def goes_to(self, step: Step) -> Link | None:
        procedure = self.shop.procedures.get(step.go_to.id) if step.go_to is not None else None
        return self.link(procedure) if procedure is not None else None

    def branches(self, step: Step, on: Variants, depth: int) -> Iterator[Branch]:
        """The answers to a question, and what to do where a test fails, from the records."""
        question = next(iter(step.ask), None)
        for answer, steps in step.answers.items():
            if not any(inside.name in self.told for inside in steps):
                asked = f"{question.replace('-', ' ')}: " if question else ""
                yield Branch(f"{asked}{answer}", self.recorded(steps, on, depth + 1))
        if isinstance(step.if_not, Ref):
            procedure = self.shop.procedures.get(step.if_not.id)
            if procedure is not None:
                yield Branch("If not", (), self.link(procedure))
        elif isinstance(step.if_not, tuple) and not any(inside.name in self.told for inside in step.if_not):
            yield Branch("If not", self.recorded(step.if_not, on, depth + 1))

    def recorded(self, steps: tuple[Step, ...], on: Variants, depth: int) -> tuple[Row, ...]:
        """Rows of steps for which the proof has no lines."""
        found: list[Row] = []
        for step in steps:
            plan = self.manual.prover.planner.plan(step, self.procedure)
            done = on & plan.domain
            if not done:
                continue
            only = self.speaker.only(done, on)
            if step.steps:
                says = step.heading or step.do or "These steps together"
                found.append(HeadingRow(self.anchor(step.name), depth, says, only))
                found.extend(self.recorded(step.steps, done, depth + 1))
                continue
            acts = tuple(
                Act(action, item, done & item.there)
                for action, thing, ref in plan.acts
                for item in self.manual.prover.items.here(thing, ref.place, ())
                if done & item.there
            )
            found.append(self.step_row(step, done, acts, depth, "", only))
        return tuple(found)

    def bounds(self, step: Step) -> str | None:
        """What is measured, and within which limits."""
        limits = []
        if step.least:
            limits.append(f"at least {step.least}")
        if step.most:
            limits.append(f"at most {step.most}")
        if not step.measure:
            return None
        what = listed([self.phrase(one) for one in step.measure])
        return f"{what}: {', '.join(limits)}" if limits else what

    def phrase(self, one: Ref | str) -> str:
        return self.name_of(one) if isinstance(one, Ref) else one

    # --------------------------------------------------------------------------------------- what a step says

    def generated(self, step: Step, acts: tuple[Act, ...], on: Variants) -> str:
        """The sentence of a step that has none of its own, made from what it does."""
        clauses: list[str] = []
        for action, verb in VERBS.items():
            names: list[str] = []
            if action in ("mark", "record", "measure", "inspect", "clean", "renew", "top_up"):
                names = [
                    f"the {self.phrase(one)}" if isinstance(one, Ref) else one
                    for one in getattr(step, action)
                ]
            elif action == "set":
                names = [self.setting(name, to) for name, to in step.set.items()]
            else:
                names = [self.counted(act.item, act.variants) for act in acts if act.action == action]
            if names:
                clauses.append(f"{verb} {listed(names)}")
        for ref in step.makes:
            says = self.condition_says(self.shop.conditions.get(ref.id), ref.id, ref.place)
            clauses.append(f"see that {says}")
        for ref in step.ends:
            says = self.condition_says(self.shop.conditions.get(ref.id), ref.id, ref.place)
            clauses.append(f"end this: {says}")
        if not clauses and step.test:
            return "Try it."
        if not clauses and step.ask:
            return sentence(f"Look: {next(iter(step.ask)).replace('-', ' ')}")
        if not clauses and step.go_to is not None:
            return "Go on with the procedure named here."
        if not clauses and step.stop:
            return "Stop here."
        return sentence(
            ", and ".join(clauses) if len(clauses) < 3 else "; ".join(clauses) if clauses else step.name
        )

    def setting(self, name: str, to: str) -> str:
        control = self.shop.thing(self.procedure, name)
        return f"the {called(control) if control is not None else name.replace('-', ' ')} to {to}"

    def counted(self, item: Item, on: Variants) -> str:
        """A thing with how many there are and its size, where that is one for all.

        `the 4 shield screws (M5, slot)`.
        """
        thing = item.thing
        place = f", {item.place}" if item.place else ""
        if not isinstance(thing, Fixing):
            return f"the {called(thing)}{place}"
        count = self.single(thing.count, on)
        several = f"{count} " if count is not None and count > 1 else ""
        sizes = [self.single(size, on) for size in (thing.thread, thing.across_flats, thing.drive)]
        said = [recess_said(size) for size in sizes if size is not None and size is not LOOK]
        return f"the {several}{called(thing)}" + (f" ({', '.join(said)})" if said else "") + place

    def single(self, differing: Differing | None, on: Variants) -> Any:
        """The value, if it is the same on all of these machines; else None."""
        cases = [case for case in self.resolver.cases(differing) if case.variants & on]
        return cases[0].value if len(cases) == 1 and on <= cases[0].variants else None

    def shown(self, step: Step, acts: tuple[Act, ...], on: Variants) -> Iterator[ActShown]:
        """What a step acts on, with figures."""
        for act in acts:
            if act.action == "set":
                continue
            thing = act.item.thing
            only = self.speaker.only(act.variants, on)
            figures = tuple(self.figures(thing, act.variants))
            mark = thing.mark if isinstance(thing, Connection) else None
            yield ActShown(act.action, item_called(act.item), mark, figures, only)
        for ref in step.mark:
            marked = self.shop.thing(self.procedure, ref.id) if isinstance(ref, Ref) else None
            there = on & self.resolver.there(marked) if marked is not None else self.resolver.none
            if isinstance(marked, Connection) and there:
                yield ActShown("mark", self.name_of(ref), marked.mark, (), self.speaker.only(there, on))
        for need in (
            need for ref in step.renew for need in replaced(self.manual, self.procedure, ref, 1, on, step)
        ):
            yield ActShown("renew", need.what, only=self.speaker.only(need.variants, on))
        for ref in step.top_up:
            yield ActShown("top_up", self.name_of(ref))

    def figures(self, thing: Thing, on: Variants, torque: bool = True) -> Iterator[Figure]:
        """A thing's sizes, masses and amounts: a figure for each group of machines that share them."""
        if isinstance(thing, Connection):
            for fixing in fixings_of(self.shop, thing):
                there = on & self.resolver.there(fixing)
                yield from self.figures(fixing, there, torque) if there else ()
            if thing.end and not thing.fixing:
                yield Figure(f"end: {thing.end}", None)
        elif isinstance(thing, Fixing):
            values = [thing.thread, thing.across_flats, thing.drive]
            for there, parts, hint in self.together([*values, *([thing.torque] if torque else [])], on):
                said = [str(value) for value in parts[:3] if value is not None and value is not LOOK]
                count = self.single(thing.count, there)
                if said and count is not None and count > 1:
                    said[0] = f"{count} × {said[0]}"
                if torque and parts[3] is not None:
                    said.append(torque_said(parts[3], self.order))
                text = " · ".join(said)
                if text:
                    yield Figure(text, self.speaker.only(there, on, hint))
        elif isinstance(thing, Part):
            yield from self.values(thing.mass, on)
        elif isinstance(thing, Fluid):
            yield from self.values(thing.amount, on)

    def values(self, differing: Differing | None, on: Variants) -> Iterator[Figure]:
        """The values of one key."""
        for there, (value,), hint in self.together([differing], on):
            if value is not None:
                yield Figure(measured(value, self.order), self.speaker.only(there, on, hint))

    def together(
        self, keys: list[Differing | None], on: Variants
    ) -> list[tuple[Variants, list[Any], str | None]]:
        """The values of several keys at once, the machines on which they meet, the author's words for these.

        None where a key says nothing, and for words where the author has none of his own (`else`).
        """
        found: list[tuple[Variants, list[Any], tuple[str | None, ...]]] = [(on, [], ())]
        for differing in keys:
            cases = self.speaker.cases(differing)
            split: list[tuple[Variants, list[Any], tuple[str | None, ...]]] = []
            for there, values, hints in found:
                left = there
                for variants, value, hint in cases:
                    both = there & variants
                    if both:
                        split.append(
                            (both, [*values, value], hints if hint in ("", *hints) else (*hints, hint))
                        )
                        left -= variants
                if left:
                    split.append((left, [*values, None], hints))
            found = split
        return [(there, values, hints[0] if len(hints) == 1 else None) for there, values, hints in found]

    # -----------------------------------------------------------------------------------------------
    # refitting

    def put_back(self, line: Line, step: Step, place: str, within: Variants) -> Iterator[Row]:
        """One line for each thing that is put back."""
        number, step_anchor = self.numbers.get(step.name, (None, None))
        signals = tuple(self.signals(step, line.variants, step_anchor or "", line.variants))
        lift = self.lift(step, line.variants)
        first = True
        for act in line.acts:
            if place and self.placed(line.acts, place) and act.item.place not in (place, None):
                continue
            thing = act.item.thing
            says = sentence(f"{VERBS[act.action]} {self.put_back_what(act)}").rstrip(".")
            anchor = self.anchor("refit", act.action, thing.id, act.item.place)
            ends = tuple(self.tightness(thing, act.variants))
            figures = tuple(self.figures(thing, act.variants, torque=False))
            if isinstance(thing, Fluid):
                figures, ends = (), figures
            elif isinstance(thing, Part) and lift is not None:
                figures = ()  # what it weighs stands with how it is lifted
            yield PutBackRow(
                anchor,
                line.depth,
                says,
                figures,
                ends,
                tuple(self.renewals(thing, act.variants)),
                number,
                step_anchor,
                self.speaker.only(act.variants, within),
                signals if first else (),
                step.where if first else None,
                step.people if first else None,
                lift if first else None,
            )
            first = False

    def put_back_what(self, act: Act) -> str:
        thing = act.item.thing
        place = f", {act.item.place}" if act.item.place else ""
        if isinstance(thing, Control):
            return f"the {called(thing)}{place} to {thing.normally}"
        if isinstance(thing, Fixing):
            count = self.single(thing.count, act.variants)
            several = f"{count} " if count is not None and count > 1 else ""
            return f"the {several}{called(thing)}{place}"
        mark = f", marked {thing.mark}" if isinstance(thing, Connection) and thing.mark else ""
        return f"the {called(thing)}{mark}{place}"

    def tightness(self, thing: Thing, on: Variants) -> Iterator[Figure]:
        """The torques of a fixing, or of those that hold a connection."""
        for fixing in fixings_of(self.shop, thing):
            there = on & self.resolver.there(fixing)
            for tight, (torque,), hint in self.together([fixing.torque], there):
                if torque is not None:
                    order = f" in the order {', '.join(fixing.order)}" if fixing.order else ""
                    yield Figure(torque_said(torque, self.order) + order, self.speaker.only(tight, on, hint))

    def renewals(self, thing: Thing, on: Variants) -> Iterator[Figure]:
        """What goes in new."""
        for fixing in fixings_of(self.shop, thing):
            there = on & self.resolver.there(fixing)
            for ref, count, variants in renewed(self.manual, fixing, there):
                for need in replaced(self.manual, self.procedure, ref, count, variants, NO_STEP):
                    only = self.speaker.only(need.variants, on)
                    yield Figure(many(count, f"new {need.what}") if count > 1 else f"new {need.what}", only)

    # --------------------------------------------------------------------------------------------------
    # things

    def used(self) -> dict[str, tuple[Thing, Variants]]:
        """Everything that the job's own lines act on, with the machines on which they do."""
        found: dict[str, tuple[Thing, Variants]] = {}

        def add(thing: Thing, on: Variants) -> None:
            if on:
                known = found.get(thing.subject)
                found[thing.subject] = (thing, on if known is None else known[1] | on)

        for line in self.proof.lines:
            for act in line.acts:
                add(act.item.thing, act.variants)
                for fixing in fixings_of(self.shop, act.item.thing):
                    add(fixing, act.variants & self.resolver.there(fixing))
        return found

    def things(self) -> Iterator[ThingRow]:
        """Fixings, connections, fluids, then parts whose mass is known."""
        for kind, cls in KINDS.items():
            for thing, on in self.used().values():
                if not isinstance(thing, cls):
                    continue
                facts = tuple((label, figures) for label, figures in self.facts(thing, on) if figures)
                if isinstance(thing, Part) and not facts:
                    continue
                only = self.speaker.only(on, self.proof.applies)
                yield ThingRow(kind, called(thing), facts, source_said(thing), only)

    def facts(self, thing: Thing, on: Variants) -> Iterator[tuple[str, tuple[Figure, ...]]]:
        if isinstance(thing, Fixing):
            if thing.kind:
                yield "Kind", (Figure(thing.kind),)
            yield "How many", tuple(self.values(thing.count, on))
            yield "Thread", tuple(self.values(thing.thread, on))
            yield "Across flats", tuple(self.values(thing.across_flats, on))
            yield "Nut", tuple(self.values(thing.nut, on))
            yield "Drive", tuple(self.values(thing.drive, on))
            yield "Property class", tuple(self.values(thing.property_class, on))
            yield "Threads", (Figure(thing.threads),) if thing.threads else ()
            yield "Torque", tuple(self.tightness(thing, on))
            yield "Renew", tuple(self.renewals(thing, on))
        elif isinstance(thing, Connection):
            yield "Mark", (Figure(thing.mark),) if thing.mark else ()
            yield "Kind", (Figure(thing.kind),) if thing.kind else ()
            yield "Goes to", tuple(Figure(text) for text in self.goes(thing))
            yield (
                "Held by",
                tuple(
                    Figure(called(fixing), self.speaker.only(on & self.resolver.there(fixing), on))
                    for fixing in fixings_of(self.shop, thing)
                    if on & self.resolver.there(fixing)
                ),
            )
            yield "End", (Figure(thing.end),) if thing.end else ()
        elif isinstance(thing, Fluid):
            yield "Amount", tuple(self.values(thing.amount, on))
            yield "Grade", (Figure(thing.grade),) if thing.grade else ()
            if thing.supply is not None:
                yield "Supply", (Figure(self.supply_named(thing.supply.id)),)
        elif isinstance(thing, Part):
            yield "Mass", tuple(self.values(thing.mass, on))
        elif isinstance(thing, Control):
            yield "Settings", (Figure(", ".join(thing.settings)),)
            yield "Left at", (Figure(thing.normally),) if thing.normally else ()

    def goes(self, connection: Connection) -> Iterator[str]:
        """At which parts a connection ends: those it names, and those that name it."""
        owner = self.shop.procedures.get(connection.owner)
        for name in connection.at:
            part = self.shop.thing(owner, name)
            yield called(part) if part is not None else name.replace("-", " ")
        for part in [*self.procedure.own.values(), *joining(self.manual).get(connection.id, ())]:
            joins = isinstance(part, Part) and any(ref.id == connection.id for ref in part.joined_by)
            if joins and part.id not in connection.at:
                yield called(part)

    def sources(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Where values come from, each source with the names of what it is for."""
        found: dict[str, list[str]] = {}
        if self.procedure.sources:
            found.setdefault(flat(self.procedure.sources), []).append("the procedure")
        for thing, _ in self.used().values():
            said = source_said(thing)
            if said:
                found.setdefault(said, []).append(called(thing))
        for line in self.proof.lines:
            if line.step is not None and line.step.sources:
                name = (
                    f"step {self.numbers[line.step.name][0]}"
                    if line.step.name in self.numbers
                    else line.step.name
                )
                names = found.setdefault(flat(line.step.sources), [])
                if name not in names:
                    names.append(name)
        yield from ((source, tuple(names)) for source, names in found.items())


def joining(manual: Proofs) -> dict[str, list[Part]]:
    """The shared parts by the connections that join them."""
    known: dict[str, list[Part]] | None = manual.views.get("joining")
    if known is None:
        known = manual.views["joining"] = {}
        for part in manual.shop.things.values():
            for ref in part.joined_by if isinstance(part, Part) else ():
                known.setdefault(ref.id, []).append(part)  # type: ignore[arg-type]
    return known


def warned(manual: Proofs, id: str) -> list[tuple[str, str, str, Variants]]:
    """What can hurt somebody in a procedure's own lines: step, signal word, sentence, machines."""
    known: list[tuple[str, str, str, Variants]] | None = manual.views.get(("warned", id))
    if known is None:
        proof = manual.proof(id)
        known = manual.views["warned", id] = [
            (
                line.step.name,
                word.upper(),
                sentence(said.say),
                line.variants & manual.resolver.where(said.when),
            )
            for line in (proof.lines if proof is not None else ())
            if line.step is not None and line.kind in ("step", "group", "call")
            for word in SIGNAL_WORDS
            if word != "notice"
            for said in getattr(line.step, word)
        ]
    return known


def wanted(
    manual: Proofs, id: str, order: str
) -> dict[tuple[Use, str], tuple[Variants, str | None]]:
    """The tools of a procedure's own lines, each once, with the machines and what is to say about it."""
    known: dict[tuple[Use, str], tuple[Variants, str | None]] | None = manual.views.get(("wanted", id, order))
    if known is None:
        known = manual.views["wanted", id, order] = {}
        for need in needs(manual, manual.shop.procedures[id]):
            for what, about in laid_out(need, order):
                before = known.get((need.use, what))
                on = need.variants if before is None else before[0] | need.variants
                known[need.use, what] = (on, about)
    return known


def laid_out(need: ToolNeed, order: str) -> Iterator[tuple[str, str | None]]:
    """What is laid out for one need: each tool with what is to say about it."""
    if not need.tools:
        what = f"torque wrench {torque_said(need.size, order)}" if need.use is Use.TORQUE else need.what
        yield what, "not in the tool store"
        return
    if need.use is Use.NAMED:
        (tool,) = need.tools[0]
        yield need.what, rating(tool, order) if tool.rated is not None else None
        return
    if any(len(way) == 1 for way in need.tools) and need.use is not Use.TORQUE:
        yield need.what, None
        return
    for tool in need.tools[0]:
        reach = f"torque wrench {measured(tool.range, order)}" if tool.range is not None else None
        yield reach or tool_called(tool), None


def rating(tool: Tool, order: str) -> str:
    """What a tool may carry: `rated 2000 kg the pair`."""
    of = f" the {tool.rated_for}" if tool.rated_for in ("pair", "set") else " each" if tool.rated_for else ""
    return f"rated {measured(tool.rated, order)}{of}"


#: The parts of a job, in order.
PARTS = ("first", "steps", "refit", "close", "finally")

#: Kinds of things in the order of the table.
KINDS: dict[str, type[Thing]] = {
    "Fixings": Fixing,
    "Connections": Connection,
    "Fluids": Fluid,
    "Controls": Control,
    "Parts": Part,
}

#: Stands in where a renewal is worked out for a line and not for a step.
NO_STEP = Step.__new__(Step)


def recess_said(size: Any) -> str:
    """A size within brackets in a sentence: a recess is named without its number."""
    if isinstance(size, Drive):
        return "slot" if size.recess == "slot" else f"{size.recess} recess"
    return str(size)


def listed(names: list[str]) -> str:
    """`a, b and c`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def slug(text: str) -> str:
    """A text as part of an anchor."""
    return "-".join("".join(c if c.isalnum() else " " for c in text.lower()).split())


def flat(sources: str | dict[str, str]) -> str:
    return (
        sources
        if isinstance(sources, str)
        else "; ".join(f"{key}: {value}" for key, value in sources.items())
    )


def source_said(thing: Thing) -> str | None:
    """Where a thing's values come from."""
    return flat(thing.sources) if thing.sources else None
