"""The walk: one procedure, followed on all the machines it covers at once. book/proof.md says what it does.

Whatever happens on a machine depends on that machine alone, so every fact is a set of variants and every action is an
operation on sets. A procedure that is called is followed once for each state of the facts that it looks at; its outcome
is then cut down to the variants of the call.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..reading.build import Shop
from ..reading.kinds import Ref
from ..reading.model import Condition, Connection, Control, Fitted, Meaning, Part, Procedure, Step, Thing
from .items import HAND, OFF, SLACK, Item, Items, Places, facts_of
from .outcome import Act, Fault, Line, Proof
from .plan import MIRROR, OPPOSITE, Plan, Planner, concerned
from .state import State

__all__ = ["Prover"]


@dataclass(slots=True)
class Opening:
    """A condition that `first` opened, where, and by what."""

    condition: Condition
    place: str | None
    variants: Variants
    run: Run | None


@dataclass(slots=True)
class Entry:
    """A step that was done, for its mirror: where, with which current items, and what happened within it."""

    plan: Plan
    done: Variants
    places: Places
    acts: list[tuple[str, Item]]
    #: One list of entries for each round of its own steps: (item of the repeat or None, entries).
    rounds: list[tuple[str | None, Variants, list[Entry]]] = field(default_factory=list)
    call: tuple[Run, Variants] | None = None


@dataclass(slots=True, eq=False)
class Run:
    """One half of a procedure, from one state of the facts that it looks at."""

    procedure: Procedure
    places: Places
    applies: Variants
    reads: dict[int, Variants] = field(default_factory=dict)
    facts: dict[int, Variants] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    openings: list[Opening] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    #: What follows it, for each state in which that was met: closing halves, and of these the proofs that it works.
    followed: list[Run] = field(default_factory=list)
    #: Of a closing half: the calls that were mirrored in it (opening half, closing half, where), in that order.
    mirrored: list[tuple[Run, Run, Variants]] = field(default_factory=list)


class Prover:
    """Proves the procedures of one shop."""

    def __init__(self, shop: Shop, resolver: Resolver) -> None:
        self.shop, self.resolver = shop, resolver
        self.all, self.none = resolver.all, resolver.none
        self.items = Items(shop, resolver)
        self.planner = Planner(shop, resolver)
        #: (procedure, current items) -> its opening halves, one for each state in which it was met.
        self.runs: dict[tuple[str, Places], list[Run]] = {}
        #: Procedures that are being followed; one that is met again within itself goes round in a circle.
        self.within: list[str] = []
        self._meanings: dict[str, list[tuple[Variants, Meaning]]] = {}
        self._acts: dict[tuple[int, Places], list[tuple[str, Item]]] = {}

    def prove(self, procedure: Procedure) -> Proof:
        """Follow a whole job, from the machine as found to the machine as it must be left."""
        state = State(self.all, self.none)
        run = self.opening_half(procedure, (), state, self.resolver.applies(procedure))
        self.take_over(state, run.facts, run.reads, run.applies)
        closing = self.closing_half(run, state, run.applies)
        self.take_over(state, closing.facts, closing.reads, run.applies)
        works = self.works(run, closing, state, run.applies)
        self.take_over(state, works.facts, works.reads, run.applies)
        proof = Proof(
            procedure, run.applies, [*run.lines, *closing.lines, *works.lines], [*run.faults, *closing.faults, *works.faults]
        )
        proof.faults.extend(self.left(procedure, state, run.applies))
        return proof

    def left(self, procedure: Procedure, state: State, live: Variants) -> Iterable[Fault]:
        """What is not as it must be when the job is over."""
        for key, item in list(self.items.by_key.items()):
            disturbed = self.none
            for fact in facts_of(item):
                disturbed |= state.facts.get(fact, self.none)
            disturbed &= live
            if disturbed:
                yield Fault("never-restored", ("end",), item.subject, "", disturbed, procedure, None)
        for (name, place), key in self.items.conditions:
            condition = self.shop.conditions[name]
            if condition.ends == "must":
                holds = state.facts.get(key, self.none) & live
                if holds:
                    yield Fault("never-ended", ("end",), spoken(condition, place), "", holds, procedure, None)

    # ------------------------------------------------------------------------------------------ halves of a job

    def opening_half(self, procedure: Procedure, places: Places, outer: State, live: Variants) -> Run:
        """Follow `first`, `needs` and `steps`, or find that they were followed from such a state before."""
        known = self.runs.setdefault((procedure.id, places), [])
        inner = State(self.all, self.none, outer, live)
        for run in known:
            if inner.agrees(run.reads):
                return run
        run = Run(procedure, places, self.resolver.applies(procedure))
        self.within.append(procedure.id)
        walk = Walk(self, run, inner)
        walk.open_all(procedure.first, run.applies, places, run.openings, "first", None, 0)
        walk.check_needs(procedure.needs, run.applies, places, None, ("needs",), fitted=True)
        run.entries = walk.steps(procedure.steps, run.applies, places, "steps", 0, ("steps",))
        self.within.pop()
        run.reads, run.facts = inner.reads, inner.facts
        known.append(run)
        return run

    def closing_half(self, run: Run, outer: State, live: Variants) -> Run:
        """Follow the closing of an opening half: refitting, and what `first` opened."""
        inner = State(self.all, self.none, outer, live)
        for closing in run.followed:
            if inner.agrees(closing.reads):
                return closing
        closing = Run(run.procedure, run.places, run.applies)
        self.within.append(run.procedure.id)
        walk = Walk(self, closing, inner)
        walk.mirror_all(run.entries, "refit", 0, ("refit",))
        walk.close_all(run.openings, "close", None, 0, ())
        self.within.pop()
        closing.reads, closing.facts = inner.reads, inner.facts
        run.followed.append(closing)
        return closing

    def works(self, run: Run, closing: Run, outer: State, live: Variants) -> Run:
        """Follow the proof that it works: that of the calls it closed, then its own `finally`."""
        inner = State(self.all, self.none, outer, live)
        for works in closing.followed:
            if inner.agrees(works.reads):
                return works
        procedure = run.procedure
        works = Run(procedure, run.places, run.applies)
        self.within.append(procedure.id)
        walk = Walk(self, works, inner)
        for called, closed, on in closing.mirrored:
            walk.line("finally", "call", 0, on, procedure=called.procedure)
            walk.prove_works(called, closed, on, ("finally", f"call {called.procedure.id}"))
        entries = walk.steps(procedure.finally_, run.applies, run.places, "finally", 0, ("finally",))
        walk.close_calls(entries, ("close finally",))
        self.within.pop()
        works.reads, works.facts = inner.reads, inner.facts
        closing.followed.append(works)
        return works

    def take_over(self, state: State, facts: dict[int, Variants], reads: dict[int, Variants], live: Variants) -> None:
        """What a half changed is so now, on the variants on which it was done."""
        for fact, now in facts.items():
            if reads.get(fact) is not now:
                state.put(fact, (state.get(fact) - live) | (now & live))

    # --------------------------------------------------------------------------------------------- conditions

    def holds(self, condition: Condition, place: str | None, state: State) -> Variants:
        """The variants on which a condition holds now."""
        if condition.means is None:
            return state.get(self.items.condition(condition, place))
        found = self.none
        for variants, meaning in self.meanings(condition):
            ok, there = variants, self.none
            if meaning.off is not None:
                for item in self.meant(meaning.off, condition, place):
                    ok &= state.get(item.key + OFF) | ~item.there
                    there |= item.there
            if meaning.on is not None:
                for item in self.meant(meaning.on, condition, place):
                    ok -= self.disturbed(item, state) & item.there
                    there |= item.there
            for item, setting in self.meant_settings(meaning, condition, place):
                fact = item.setting(setting)
                at = state.get(fact) if fact is not None else self.none
                ok &= at | ~item.there
                there |= item.there
            found |= ok if condition.none == "holds" else ok & there
        return found

    def meanings(self, condition: Condition) -> list[tuple[Variants, Meaning]]:
        """A condition's clauses, with the variants that each is for."""
        known = self._meanings.get(condition.id)
        if known is None:
            known = [(case.variants, case.value) for case in self.resolver.cases(condition.means)]
            self._meanings[condition.id] = known
        return known

    def meant(self, selector: object, condition: Condition, place: str | None) -> list[Item]:
        """The things that a condition speaks of; at its own place, for one that has places."""
        found: list[Item] = []
        for thing in self.items.picked(selector):  # type: ignore[arg-type]
            if isinstance(thing, Control):
                continue
            found.extend(self.meant_places(thing, place))
        return found

    def meant_settings(self, meaning: Meaning, condition: Condition, place: str | None) -> list[tuple[Item, str]]:
        """The controls that a condition speaks of, with their settings."""
        found: list[tuple[Item, str]] = []
        for name, setting in meaning.set.items():
            control = self.shop.things.get(name)
            if isinstance(control, Control):
                found.extend((item, setting) for item in self.meant_places(control, place))
        return found

    def meant_places(self, thing: Thing, place: str | None) -> list[Item]:
        if place is not None and place in thing.places:
            return [self.items.item(thing, place)]
        return self.items.all_places(thing)

    def places_of(self, condition: Condition, ref: Ref, places: Places) -> tuple[str | None, ...]:
        """The places that a reference to a condition means."""
        if not condition.places:
            return (None,)
        if ref.place is not None:
            return (ref.place,) if ref.place in condition.places else ()
        for place in places:
            if place in condition.places:
                return (place,)
        return condition.places

    def disturbed(self, item: Item, state: State) -> Variants:
        """The variants on which a thing is not as found."""
        found = self.none
        for fact in facts_of(item):
            found |= state.get(fact)
        return found

    def acts(self, plan: Plan, places: Places) -> list[tuple[str, Item]]:
        """A step's actions on things at the places that are meant, in order."""
        known = self._acts.get((id(plan.step), places))
        if known is None:
            known = [
                (action, item)
                for action, thing, ref in plan.acts for item in self.items.here(thing, ref, places)
            ]
            self._acts[id(plan.step), places] = known
        return known


def spoken(condition: Condition, place: str | None) -> str:
    """How a fault names a condition."""
    return f"{condition.id} @ {place}" if place is not None else condition.id


class Walk:
    """One half of one procedure being followed."""

    def __init__(self, prover: Prover, run: Run, state: State) -> None:
        self.prover, self.run, self.state = prover, run, state
        self.items, self.none = prover.items, prover.none
        self.procedure = run.procedure

    def fault(
        self, kind: str, path: tuple[str, ...], subject: str, variants: Variants, step: Step | None, other: str = ""
    ) -> None:
        """Something is wrong on these variants, if there are any."""
        if variants:
            self.run.faults.append(Fault(kind, path, subject, other, variants, self.procedure, step))

    def line(self, part: str, kind: str, depth: int, variants: Variants, **what: object) -> None:
        self.run.lines.append(Line(part, kind, depth, variants, **what))  # type: ignore[arg-type]

    # --------------------------------------------------------------------------------------- making sure, closing

    def open_all(
        self, refs: Iterable[Ref], live: Variants, places: Places, openings: list[Opening], part: str, step: Step | None,
        depth: int, path: tuple[str, ...] = (),
    ) -> None:
        """Make sure of each condition in order; what was opened is added to `openings`."""
        for ref in refs:
            condition = self.prover.shop.conditions.get(ref.id)
            if condition is None:
                continue
            for place in self.prover.places_of(condition, ref, places):
                lacking = live - self.prover.holds(condition, place, self.state)
                if lacking:
                    self.open(condition, place, lacking, places, openings, part, step, depth, path)

    def open(
        self, condition: Condition, place: str | None, lacking: Variants, places: Places, openings: list[Opening], part: str,
        step: Step | None, depth: int, path: tuple[str, ...],
    ) -> None:
        """Open one condition where it does not hold."""
        at = (*path, f"first {spoken(condition, place)}")
        inside = places if place is None else (place, *places)
        opener = self.prover.shop.procedures.get(condition.opened_by.id) if condition.opened_by else None
        run: Run | None = None
        opened = lacking
        if condition.opened_by is not None:
            opened = self.none
            if opener is not None and opener.id not in self.prover.within:
                covered = self.prover.resolver.applies(opener)
                self.fault("not-covered", at, opener.id, lacking - covered, step)
                opened = lacking & covered
                if opened:
                    run = self.call(opener, inside, opened, at)
                    if condition.means is None:
                        self.make(condition, place, opened, at, step)
        elif condition.opened is None:
            opened = self.none
            self.fault("cannot-open", at, spoken(condition, place), lacking, step)
        elif condition.means is None:
            self.make(condition, place, opened, at, step)
        else:
            self.carry_out(condition, place, opened)
        if not opened:
            return
        holds = self.prover.holds(condition, place, self.state)
        self.fault("cannot-open", at, spoken(condition, place), opened - holds, step)
        opened &= holds
        if opened:
            openings.append(Opening(condition, place, opened, run))
            self.line(part, "open", depth, opened, step=step, condition=condition, place=place,
                      procedure=run.procedure if run else None)

    def close_all(
        self, openings: list[Opening], part: str, step: Step | None, depth: int, path: tuple[str, ...]
    ) -> None:
        """Close what `first` opened, in reverse, on the variants on which it was opened."""
        for opening in reversed(openings):
            condition, place, opened = opening.condition, opening.place, opening.variants
            if condition.ends == "stays":
                continue
            if opening.run is not None:
                self.line(part, "close", depth, opened, step=step, condition=condition, place=place,
                          procedure=opening.run.procedure)
                at = (*path, f"close {spoken(condition, place)}")
                self.prove_works(opening.run, self.close_run(opening.run, opened, at), opened, at)
            elif condition.ends == "must":
                self.line(part, "close", depth, opened, step=step, condition=condition, place=place)
                if condition.means is not None:
                    self.undo_meaning(condition, place, opened)
            if condition.means is None:
                self.state.drop(self.items.condition(condition, place), opened)

    def make(
        self, condition: Condition, place: str | None, variants: Variants, path: tuple[str, ...], step: Step | None
    ) -> None:
        """A condition without meaning begins: what stands against it is a fault, what it ends is lost."""
        conditions = self.prover.shop.conditions
        clashing = {ref.id for ref in condition.against}
        for other in conditions.values():
            if other.id in clashing or any(ref.id == condition.id for ref in other.against):
                for other_place in self.same_place(other, place):
                    both = self.prover.holds(other, other_place, self.state) & variants
                    self.fault("clash", path, spoken(condition, place), both, step, spoken(other, other_place))
        self.state.add(self.items.condition(condition, place), variants)
        for other in conditions.values():
            if other.means is None and any(ref.id == condition.id for ref in other.lost_by):
                for other_place in self.same_place(other, place):
                    self.state.drop(self.items.condition(other, other_place), variants)

    @staticmethod
    def same_place(other: Condition, place: str | None) -> tuple[str | None, ...]:
        """The same place of another condition if it has that, else all of its places."""
        if not other.places:
            return (None,)
        return (place,) if place in other.places else other.places

    def carry_out(self, condition: Condition, place: str | None, variants: Variants) -> None:
        """Do what the sentence says that opens a condition with a meaning."""
        for where, meaning in self.prover.meanings(condition):
            on = variants & where
            if meaning.off is not None:
                for item in self.prover.meant(meaning.off, condition, place):
                    self.state.add(item.key, on & item.there)
                    self.take_off_fixings(item, on)
            if meaning.on is not None:
                for item in self.prover.meant(meaning.on, condition, place):
                    self.as_found(item, on & item.there)
            for item, setting in self.prover.meant_settings(meaning, condition, place):
                self.put_at(item, setting, on & item.there)

    def undo_meaning(self, condition: Condition, place: str | None, variants: Variants) -> None:
        """Undo what the sentence did."""
        for where, meaning in self.prover.meanings(condition):
            on = variants & where
            if meaning.off is not None:
                for item in self.prover.meant(meaning.off, condition, place):
                    self.as_found(item, on & item.there)
            for item, _ in self.prover.meant_settings(meaning, condition, place):
                if isinstance(item.thing, Control) and item.thing.normally is not None:
                    self.put_at(item, item.thing.normally, on & item.there)

    def as_found(self, item: Item, variants: Variants) -> None:
        """A thing is put back as found, a connection's fixings with it."""
        for fact in facts_of(item):
            self.state.drop(fact, variants)
        if isinstance(item.thing, Connection):
            for fixing in self.items.named(item, "fixings"):
                for fact in facts_of(fixing):
                    self.state.drop(fact, variants & fixing.there)

    def take_off_fixings(self, item: Item, variants: Variants) -> None:
        """A connection's fixings come off with it."""
        if isinstance(item.thing, Connection):
            for fixing in self.items.named(item, "fixings"):
                self.set_fixing(fixing, OFF, variants & item.there & fixing.there)

    # ----------------------------------------------------------------------------------------------- checking

    def check_needs(
        self, needs: Iterable[object], live: Variants, places: Places, step: Step | None, path: tuple[str, ...], *,
        fitted: bool,
    ) -> None:
        """`needs`: conditions that must hold, and parts that must be on."""
        for need in needs:
            if isinstance(need, Ref):
                self.check_condition(need, live, places, step, path, "")
            elif fitted and isinstance(need, Fitted):
                for ref in need.fitted:
                    thing = self.prover.shop.thing(self.procedure, ref.id)
                    for item in self.items.here(thing, ref, places) if isinstance(thing, Part) else ():
                        self.fault("not-fitted", path, item.subject, live & item.there & self.state.get(item.key), step)

    def check_condition(
        self, ref: Ref, live: Variants, places: Places, step: Step | None, path: tuple[str, ...], row: str
    ) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and live:
            for place in self.prover.places_of(condition, ref, places):
                lacking = live - self.prover.holds(condition, place, self.state)
                self.fault("need-missing", path, spoken(condition, place), lacking, step, row)

    def check_reach(self, item: Item, on: Variants, step: Step, path: tuple[str, ...]) -> None:
        """Nothing that is on may cover what is worked at."""
        for cover in self.items.covers(item, self.procedure):
            self.fault("covered", path, item.subject, (on & cover.there) - self.state.get(cover.key), step, cover.subject)

    def earth_on(self) -> Variants:
        """The variants on which some earth lead is there and is on."""
        found = self.none
        for thing in self.prover.shop.things.values():
            if isinstance(thing, Connection) and thing.role == "earth":
                for item in self.items.all_places(thing):
                    found |= item.there - self.state.get(item.key)
        return found

    # -------------------------------------------------------------------------------------------------- actions

    def set_fixing(self, item: Item, fact: int, on: Variants) -> None:
        """A fixing is now slack, hand or off on these variants, and nothing else."""
        for each in (OFF, SLACK, HAND):
            if each == fact:
                self.state.add(item.key + each, on)
            else:
                self.state.drop(item.key + each, on)

    def tight(self, item: Item, on: Variants) -> None:
        for each in (OFF, SLACK, HAND):
            self.state.drop(item.key + each, on)

    def put_at(self, item: Item, setting: str, on: Variants) -> None:
        """A control is now at this setting."""
        settings = item.thing.settings if isinstance(item.thing, Control) else ()
        for at, each in enumerate(settings):
            if each == setting:
                self.state.add(item.key + at, on)
            else:
                self.state.drop(item.key + at, on)

    def act(self, action: str, item: Item, done: Variants, step: Step, path: tuple[str, ...]) -> Variants:
        """Do one action on one thing, with its checks. The variants on which it is done."""
        state = self.state
        on = done & item.there
        if not on:
            return on
        if action not in ("drain", "fill"):
            self.check_reach(item, on, step, path)
        if action == "disturbs":
            return on
        off = state.get(item.key)
        if action == "undo":
            self.fault("done-twice", path, item.subject, on & off, step)
            self.set_fixing(item, OFF, on)
        elif action == "slacken":
            self.fault("done-twice", path, item.subject, on & (off | state.get(item.key + SLACK)), step)
            self.set_fixing(item, SLACK, on - off)
        elif action == "tighten":
            if step.to == "hand":
                self.set_fixing(item, HAND, on)
            else:
                self.tight(item, on)
        elif action == "drain":
            self.fault("done-twice", path, item.subject, on & off, step)
            state.add(item.key, on)
        elif action == "fill":
            self.fault("put-back-twice", path, item.subject, on - off, step)
            state.drop(item.key, on)
        elif action == "disconnect":
            self.fault("done-twice", path, item.subject, on & off, step)
            if isinstance(item.thing, Connection) and item.thing.role == "live":
                self.fault("earth-not-first-off", path, item.subject, on & self.earth_on(), step)
            state.add(item.key, on)
            self.take_off_fixings(item, on)
        elif action == "connect":
            self.fault("put-back-twice", path, item.subject, on - off, step)
            if isinstance(item.thing, Connection) and item.thing.role == "live":
                self.fault("earth-not-last-on", path, item.subject, on & self.earth_on(), step)
            self.as_found(item, on)
        elif action == "remove":
            self.fault("done-twice", path, item.subject, on & off, step)
            going = on - off
            for fixing in self.items.named(item, "held_by"):
                self.fault("held", path, item.subject, (going & fixing.there) - state.get(fixing.key), step, fixing.subject)
            for join in self.items.joins(item, self.procedure):
                self.fault("joined", path, item.subject, (going & join.there) - state.get(join.key), step, join.subject)
            state.add(item.key, on)
        elif action == "fit":
            self.fault("put-back-twice", path, item.subject, on - off, step)
            state.drop(item.key, on)
        return on

    # ---------------------------------------------------------------------------------------------------- steps

    def steps(
        self, steps: Iterable[Step], live: Variants, places: Places, part: str, depth: int, path: tuple[str, ...]
    ) -> list[Entry]:
        """Do steps in order. Gives what was done, for refitting."""
        entries = []
        for step in steps:
            plan = self.prover.planner.plan(step, self.procedure)
            done = live & plan.domain
            if done:
                entries.append(self.step(plan, done, places, part, depth, (*path, step.name)))
        return entries

    def step(
        self, plan: Plan, done: Variants, places: Places, part: str, depth: int, path: tuple[str, ...]
    ) -> Entry:
        """Do one step, or a group."""
        step = plan.step
        openings: list[Opening] = []
        if step.first:
            self.open_all(step.first, done, places, openings, part, step, depth, path)
        if step.needs:
            self.check_needs(step.needs, done, places, step, path, fitted=True)
        for number, row, deciding in plan.policy:
            concerned = done
            for there in deciding:
                concerned &= there
            for ref in row.needs:
                self.check_condition(ref, concerned, places, step, path, str(number))
        acts = self.prover.acts(plan, places)
        entry = Entry(plan, done, places, acts)
        told: list[Act] = []
        for control, setting in plan.sets:
            for item in self.items.all_places(control):
                on = done & item.there
                self.put_at(item, setting, on)
                if on:
                    told.append(Act("set", item, on))
        for action, item in acts:
            on = self.act(action, item, done, step, path)
            if on:
                told.append(Act(action, item, on))
        for ref in step.makes:
            self.begin(ref, done, places, step, path)
        for ref in step.ends:
            self.end(ref, done, places)
        self.line(part, "group" if step.steps else "call" if step.call else "step", depth, done, step=step, acts=tuple(told),
                  procedure=self.prover.shop.procedures.get(step.call.id) if step.call else None)
        if step.steps:
            self.rounds(entry, done, places, part, depth + 1, path)
        if step.call:
            self.call_step(entry, step.call, done, places, step, path)
        self.close_all(openings, part, step, depth, path)
        return entry

    def begin(self, ref: Ref, done: Variants, places: Places, step: Step, path: tuple[str, ...]) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and condition.means is None:
            for place in self.prover.places_of(condition, ref, places):
                self.make(condition, place, done, path, step)

    def end(self, ref: Ref, done: Variants, places: Places) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and condition.means is None:
            for place in self.prover.places_of(condition, ref, places):
                self.state.drop(self.items.condition(condition, place), done)

    def rounds(
        self, entry: Entry, done: Variants, places: Places, part: str, depth: int, path: tuple[str, ...]
    ) -> None:
        """Do a group's own steps, once or for each item of its repeat."""
        step = entry.plan.step
        if step.repeat is None:
            inside = self.steps(step.steps, done, places, part, depth, (*path, "steps"))
            entry.rounds.append((None, done, inside))
            return
        for case in self.prover.resolver.cases(step.repeat):
            on = done & case.variants
            if not on:
                continue
            for item in case.value:
                self.line(part, "round", depth, on, step=step, place=item)
                below = self.steps(step.steps, on, (item, *places), part, depth + 1, (*path, f"@ {item}", "steps"))
                entry.rounds.append((item, on, below))

    def call_step(
        self, entry: Entry, ref: Ref, done: Variants, places: Places, step: Step, path: tuple[str, ...]
    ) -> None:
        """Do another procedure's opening half here."""
        procedure = self.prover.shop.procedures.get(ref.id)
        if procedure is None or procedure.id in self.prover.within:
            return
        covered = self.prover.resolver.applies(procedure)
        at = (*path, f"call {procedure.id}")
        self.fault("not-covered", at, procedure.id, done - covered, step)
        on = done & covered
        if on:
            entry.call = self.call(procedure, places, on, at), on

    def call(self, procedure: Procedure, places: Places, on: Variants, path: tuple[str, ...]) -> Run:
        """The opening half of another procedure, its effects and its faults taken over."""
        run = self.prover.opening_half(procedure, places, self.state, on)
        self.take_over(run, on, path)
        return run

    def close_run(self, run: Run, on: Variants, path: tuple[str, ...]) -> Run:
        """The closing half of another procedure, its effects and its faults taken over."""
        closing = self.prover.closing_half(run, self.state, on)
        self.take_over(closing, on, path)
        return closing

    def prove_works(self, run: Run, closing: Run, on: Variants, path: tuple[str, ...]) -> None:
        """The proof that another procedure works, its effects and its faults taken over."""
        self.take_over(self.prover.works(run, closing, self.state, on), on, path)

    def take_over(self, run: Run, on: Variants, path: tuple[str, ...]) -> None:
        self.prover.take_over(self.state, run.facts, run.reads, on)
        for fault in run.faults:
            seen = fault.under(path, on)
            if seen.variants:
                self.run.faults.append(seen)

    # ------------------------------------------------------------------------------------------------ refitting

    def mirror_all(self, entries: list[Entry], part: str, depth: int, path: tuple[str, ...]) -> None:
        """Put back what these steps disturbed, in reverse."""
        for entry in reversed(entries):
            due = self.due_within(entry)
            if due:
                self.mirror(entry, due, part, depth, (*path, entry.plan.step.name))

    def due(self, entry: Entry) -> list[tuple[str, Item, Variants]]:
        """The mirrored actions of a step that are due now, in order, with the variants."""
        found: list[tuple[str, Item, Variants]] = []
        for was, now in MIRROR:
            if was == "set":
                found.extend(self.due_settings(entry))
                continue
            for action, item in reversed(entry.acts):
                if action == was:
                    on = entry.done & item.there & self.prover.disturbed(item, self.state)
                    if on:
                        found.append((now, item, on))
        return found

    def due_settings(self, entry: Entry) -> list[tuple[str, Item, Variants]]:
        """The controls that a step moved off their normal settings, and that are still off them."""
        found = []
        for control, setting in reversed(entry.plan.sets):
            if isinstance(control, Control) and control.normally not in (None, setting):
                for item in reversed(self.items.all_places(control)):
                    on = entry.done & item.there & self.prover.disturbed(item, self.state)
                    if on:
                        found.append(("set", item, on))
        return found

    def due_within(self, entry: Entry) -> Variants:
        """The variants on which a step has something to put back, at any depth."""
        found = self.none
        for _, _, on in self.due(entry):
            found |= on
        for _, _, entries in entry.rounds:
            for below in entries:
                found |= self.due_within(below)
        if entry.call is not None:
            found |= entry.call[1]
        return found

    def mirror(self, entry: Entry, due: Variants, part: str, depth: int, path: tuple[str, ...]) -> None:
        """Put back what one step disturbed."""
        step, places = entry.plan.step, entry.places
        openings: list[Opening] = []
        if step.first:
            self.open_all(step.first, due, places, openings, part, step, depth, path)
        if step.needs:
            self.check_needs(step.needs, due, places, step, path, fitted=False)
        actions = self.due(entry)
        self.check_mirror_policy(entry, actions, due, path)
        if entry.call is not None:
            run, on = entry.call
            self.line(part, "call", depth, on, step=step, procedure=run.procedure)
            closing = self.close_run(run, on, (*path, f"call {run.procedure.id}"))
            self.run.mirrored.append((run, closing, on))
        if entry.rounds:
            self.line(part, "group", depth, due, step=step)
        for place, _, entries in reversed(entry.rounds):
            below = (*path, "steps") if place is None else (*path, f"@ {place}", "steps")
            if place is not None:
                again = self.none
                for inside in entries:
                    again |= self.due_within(inside)
                if again:
                    self.line(part, "round", depth + 1, again, step=step, place=place)
            self.mirror_all(entries, part, depth + (1 if place is None else 2), below)
        told: list[Act] = []
        for action, item, on in actions:
            on &= self.prover.disturbed(item, self.state)
            if action == "set":
                assert isinstance(item.thing, Control) and item.thing.normally is not None
                self.put_at(item, item.thing.normally, on)
            elif on:
                self.put_back(action, item, on, step, path)
            if on:
                told.append(Act(action, item, on))
        if told:
            self.line(part, "step", depth, due, step=step, acts=tuple(told))
        self.close_all(openings, part, step, depth, path)

    def put_back(self, action: str, item: Item, on: Variants, step: Step, path: tuple[str, ...]) -> None:
        """Do one mirrored action, with its checks; `to: hand` does not concern it."""
        if action == "tighten":
            self.check_reach(item, on, step, path)
            self.tight(item, on)
        else:
            self.act(action, item, on, step, path)

    def check_mirror_policy(
        self, entry: Entry, actions: list[tuple[str, Item, Variants]], due: Variants, path: tuple[str, ...]
    ) -> None:
        """The policy, for what is put back."""
        step = entry.plan.step
        for number, row in enumerate(self.prover.shop.policy):
            if row.step.where is not None and row.step.where != step.where:
                continue
            on = due
            for action, opposites in OPPOSITE.items():
                if getattr(row.step, action) is None:
                    continue
                there = self.none
                for done, item, variants in actions:
                    if done in opposites and concerned(row, action, item.thing):
                        there |= variants
                on &= there
            if on:
                for ref in row.needs:
                    self.check_condition(ref, on, entry.places, step, path, str(number))

    def close_calls(self, entries: list[Entry], path: tuple[str, ...]) -> None:
        """Close the calls among steps that are not mirrored, in reverse."""
        for entry in reversed(entries):
            for item, _, inside in reversed(entry.rounds):
                below = () if item is None else (f"@ {item}",)
                self.close_calls(inside, (*path, entry.plan.step.name, *below, "steps"))
            if entry.call is not None:
                run, on = entry.call
                self.line("close", "call", 0, on, step=entry.plan.step, procedure=run.procedure)
                at = (*path, entry.plan.step.name, f"call {run.procedure.id}")
                self.prove_works(run, self.close_run(run, on, at), on, at)


