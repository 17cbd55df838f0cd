"""What a procedure does to one machine, read from book/proof.md and from nothing else.

This is the second opinion. The walk follows a procedure for all machines at once; this follows it for one,
with a plain dictionary of states and plain recursion, and shares no line with the walk. It is to be read
beside the book: the names of the methods are the book's words. A manual whose procedures call or open one
another in a circle has no meaning here.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Any, Final, NamedTuple

from greaseproof.reading.applies import AXES, Differing, Not, Stretch, Test, Where
from greaseproof.reading.build import Shop
from greaseproof.reading.kinds import Ref
from greaseproof.reading.model import (
    Condition,
    Connection,
    Control,
    Fixing,
    Fluid,
    KeptMachine,
    Machine,
    Meaning,
    Part,
    PolicyRow,
    Procedure,
    Selector,
    Step,
    Thing,
)

__all__ = ["Fault", "Job", "OneMachine", "all_machines", "covers", "job", "machines", "run", "variants"]

Path = tuple[str, ...]
#: The current items of the repeats around a step, the innermost last.
Items = tuple[str, ...]

TIGHT, SLACK, HAND = "tight", "slack", "hand"
ON, OFF = "on", "off"
IN, DRAINED = "in", "drained"
NOT_KNOWN = "not known"

#: The actions of a step on things, in the order in which they are done.
ACTIONS: Final = (
    "set", "drain", "slacken", "undo", "disconnect", "remove", "fit", "connect", "tighten", "fill",
    "disturbs",
)
#: A step that names things in any of these vanishes where none of them is there.
NAMES_THINGS: Final = (
    "slacken", "undo", "tighten", "disconnect", "connect", "remove", "fit", "drain", "fill", "top_up", "set",
    "disturbs", "mark", "record", "inspect", "measure", "clean",
)
NEEDS_REACH: Final = ("slacken", "undo", "tighten", "disconnect", "connect", "remove", "fit", "disturbs")
#: What an action becomes in refitting, in the order of refitting; `set` comes last and stays `set`.
MIRRORED: Final = (
    ("remove", "fit"), ("disconnect", "connect"), ("undo", "tighten"), ("slacken", "tighten"),
    ("drain", "fill"), ("set", "set"),
)
#: The action of a row of the policy -> its opposite.
OPPOSITE: Final = {
    "slacken": "tighten", "undo": "tighten", "disconnect": "connect", "remove": "fit", "drain": "fill",
}


@dataclass(frozen=True)
class OneMachine:
    """One machine, with nothing left open.

    `id`: of a model, or of a kept machine. `axes`: of `built`, `serial`, `engine` those that it has.
    `features`: every feature, `absent` where the machine does not name it. `there`: (owner, thing's id) ->
    whether a thing that says `fitted: look` is there.
    """

    id: str
    axes: dict[str, int]
    features: dict[str, str]
    there: dict[tuple[str, str], bool] = field(default_factory=dict)


class Fault(NamedTuple):
    """One fault. `other`: a second thing or condition, or the number of a row of the policy; else empty."""

    kind: str
    path: Path
    subject: str
    other: str = ""


class At(NamedTuple):
    """A thing at one of its places; the place of a thing without places is empty."""

    thing: Thing
    place: str


class ConditionAt(NamedTuple):
    """A condition at one of its places; the place of a condition without places is empty."""

    condition: Condition
    place: str


# ------------------------------------------------------------------------------------------------ machines


def model_of(shop: Shop, machine: OneMachine) -> str:
    """The model that a machine is; a kept machine is of its model."""
    return shop.kept[machine.id].machine.id if machine.id in shop.kept else machine.id


def test_holds(shop: Shop, machine: OneMachine, test: Test) -> bool:
    """Does one test hold? An axis that the machine does not have is in no stretch."""
    if test.feature in AXES:
        number = machine.axes.get(test.feature)
        found = any(isinstance(s, Stretch) and number is not None and within(number, s) for s in test.any_of)
    elif test.feature == "machine":
        found = model_of(shop, machine) in test.any_of
    elif test.feature == "kept":
        found = machine.id in shop.kept and machine.id in test.any_of
    else:
        found = machine.features.get(test.feature, "absent") in test.any_of
    return found is not isinstance(test, Not)


test_holds.__test__ = False  # type: ignore[attr-defined]  # no test, in spite of its name


def within(number: int, stretch: Stretch) -> bool:
    """Is the number in the stretch?"""
    after_first = stretch.first is None or stretch.first <= number
    before_last = stretch.last is None or number <= stretch.last
    return after_first and before_last


def where_holds(shop: Shop, machine: OneMachine, where: Where) -> bool:
    """Does any of the alternatives hold, that is, all tests of it?"""
    return any(all(test_holds(shop, machine, test) for test in tests) for tests in where.any_of)


def value_of(shop: Shop, machine: OneMachine, differing: Differing | None) -> Any:
    """The value that something differing has on this machine, None if none is given."""
    for case in differing.cases if differing is not None else ():
        if all(test_holds(shop, machine, test) for test in case.tests or ()):
            return case.value
    return None


def covers(shop: Shop, procedure_id: str, machine: OneMachine) -> bool:
    """Is the procedure for this machine, by its `applies`?"""
    applies = shop.procedures[procedure_id].applies
    return applies is None or where_holds(shop, machine, applies)


def numbers(shop: Shop, axis: str, stretch: Stretch) -> list[int]:
    """The numbers of a stretch: all if they are few, else the first and each at which something changes."""
    mentioned = shop.stretches.get(axis, set())
    changes = {s.first for s in mentioned if s.first is not None}
    changes |= {s.last + 1 for s in mentioned if s.last is not None}
    ends = {n for n in (stretch.first, stretch.last) if n is not None} | changes
    first = min(ends) - 1 if stretch.first is None else stretch.first
    last = max(ends) + 1 if stretch.last is None else stretch.last
    if last - first < 20:
        return list(range(first, last + 1))
    return sorted({first} | {n for n in changes if first <= n <= last})


def axes_of(shop: Shop, model: Machine, kept: KeptMachine | None) -> Iterator[dict[str, int]]:
    """Every year with every serial and every engine number; the axes are independent of one another.

    A machine has an axis if it says which numbers it was given, or if what it has depends on it; then it may
    have any number. Otherwise nobody can tell its number, and it is in no stretch.
    """
    entries = [differing for build in model.has for differing in build.values()]
    cases = [case for differing in entries for case in differing.cases]
    depends_on = {test.feature for case in cases for test in case.tests or ()}
    stretches = {}
    for axis in AXES:
        given: Stretch | None = (getattr(kept, axis) if kept else None) or getattr(model, axis)
        if given is not None or axis in depends_on:
            stretches[axis] = given or Stretch(None, None)
    for choice in product(*(numbers(shop, axis, stretch) for axis, stretch in stretches.items())):
        yield dict(zip(stretches, choice, strict=True))


def features_of(shop: Shop, id: str, axes: dict[str, int], build: dict[str, Any]) -> Iterator[dict[str, str]]:
    """Every way to choose the features that fits the build: feature -> Differing of lists, or a list."""
    known = dict.fromkeys([*shop.features, *(["hardware"] if shop.hardware else [])])
    candidates = []
    for feature in known:
        values = {"absent": None}
        if feature in build:
            entry = build[feature]
            lists = [case.value for case in entry.cases] if isinstance(entry, Differing) else [entry]
            values |= dict.fromkeys(value for one in lists for value in one)
        elif feature == "hardware" and shop.hardware:
            values |= dict.fromkeys(case.value for case in shop.hardware.cases)
        candidates.append(list(values))
    for choice in product(*candidates):
        features = dict(zip(known, choice, strict=True))
        machine = OneMachine(id, axes, features)
        if all(features[feature] in allowed(shop, machine, build, feature) for feature in known):
            yield features


def allowed(shop: Shop, machine: OneMachine, build: dict[str, Any], feature: str) -> tuple[str, ...]:
    """The values that one feature may have on a machine of this build."""
    if feature in build:
        entry = build[feature]
        values = value_of(shop, machine, entry) if isinstance(entry, Differing) else entry
    elif feature == "hardware":
        value = value_of(shop, machine, shop.hardware)
        values = None if value is None else (value,)
    else:
        values = None
    return ("absent",) if values is None else tuple(values)


def variants(shop: Shop) -> Iterator[OneMachine]:
    """Every model and kept machine at every stretch of its axes with every choice; `there` is left empty."""
    for id, model in shop.machines.items():
        yield from variants_of(shop, id, model, None)
    for id, kept in shop.kept.items():
        model = shop.machines[kept.machine.id]
        as_built = variants_of(shop, id, model, kept)
        fitting = [
            one for one in as_built if all(one.features[feature] in may for feature, may in kept.has.items())
        ]
        yield from fitting or variants_of(shop, id, model, kept, kept.has)


def variants_of(
    shop: Shop, id: str, model: Machine, kept: KeptMachine | None, instead: dict[str, Any] | None = None
) -> Iterator[OneMachine]:
    """One model's variants, with other entries `instead` of its own."""
    for axes in axes_of(shop, model, kept):
        seen: list[dict[str, str]] = []
        for build in model.has or ({},):
            for features in features_of(shop, id, axes, {**build, **(instead or {})}):
                if features not in seen:
                    seen.append(features)
                    yield OneMachine(id, axes, features)


def to_look_for(shop: Shop) -> list[tuple[str, str]]:
    """(owner, id) of every thing that may be absent."""
    return [(thing.owner, thing.id) for thing in every_thing(shop) if thing.fitted == "look"]


def all_machines(shop: Shop, procedure_id: str) -> Iterator[OneMachine]:
    """Every machine that the procedure covers, with everything that may be absent there and not there."""
    look = to_look_for(shop)
    for variant in variants(shop):
        if covers(shop, procedure_id, variant):
            for there in product((True, False), repeat=len(look)):
                yield replace(variant, there=dict(zip(look, there, strict=True)))


def machines(shop: Shop, rng: random.Random) -> Iterator[OneMachine]:
    """Machines drawn at random, without end; none at all if the shop has none."""
    known = list(variants(shop))
    look = to_look_for(shop)
    while known:
        yield replace(rng.choice(known), there={key: rng.random() < 0.5 for key in look})


def every_thing(shop: Shop) -> Iterator[Thing]:
    """All shared things, then each procedure's own."""
    yield from shop.things.values()
    for procedure in shop.procedures.values():
        yield from procedure.own.values()


# ----------------------------------------------------------------------------------------------- a whole job


@dataclass
class StepDone:
    """A step that was done in an opening half, with all that refitting has to know of it."""

    procedure: Procedure
    step: Step
    items: Items
    acted: list[tuple[str, At]]
    #: The rounds of a group: the item ("" where it does not repeat) and the steps done in it.
    rounds: list[tuple[str, list[StepDone]]]
    #: The opening half of the procedure that it calls, if that was done.
    call: HalfDone | None


@dataclass
class HalfDone:
    """An opening half that was done."""

    procedure: Procedure
    items: Items
    opened: list[Opened]
    steps: list[StepDone]
    #: The calls that were mirrored in its closing half, in that order.
    mirrored: list[HalfDone] = field(default_factory=list)


@dataclass
class Opened:
    """A condition that a `first` opened: by the opening half of a procedure, else by its sentence."""

    at: ConditionAt
    by: HalfDone | None


def run(shop: Shop, procedure_id: str, machine: OneMachine) -> list[Fault]:
    """Do a whole job on one machine that the procedure covers: its faults, in the order of their arising."""
    return job(shop, procedure_id, machine).faults


def job(shop: Shop, procedure_id: str, machine: OneMachine) -> Job:
    """Do a whole job on one machine that the procedure covers: its faults, and what was done."""
    if not covers(shop, procedure_id, machine):
        raise ValueError(f"{procedure_id} does not cover {machine}")
    doing = Job(shop, machine)
    half = doing.opening_half(shop.procedures[procedure_id], (), ())
    doing.closing_half(half, ())
    doing.proof_that_it_works(half, ())
    doing.end()
    return doing


class Job:
    """One job on one machine. `faults` and `done` grow as it goes on.

    `done` has (path, what, subject): every action (`undo`, `fit`, `makes`, …) with its thing or condition;
    `step` with the step's name before all that; `first` and `close` with the condition opened or closed.
    """

    def __init__(self, shop: Shop, machine: OneMachine) -> None:
        self.shop, self.machine = shop, machine
        self.faults: list[Fault] = []
        self.done: list[tuple[Path, str, str]] = []
        #: The state of each thing that is not as found.
        self.states: dict[At, str] = {}
        #: The conditions without meaning that hold.
        self.made: set[ConditionAt] = set()

    def opening_half(self, procedure: Procedure, items: Items, path: Path) -> HalfDone:
        opened = self.make_sure(procedure.first, items, path)
        self.check_needs(procedure, procedure.needs, items, (*path, "needs"))
        steps = self.do_steps(procedure, procedure.steps, items, (*path, "steps"))
        return HalfDone(procedure, items, opened, steps)

    def closing_half(self, half: HalfDone, path: Path) -> None:
        for done in reversed(half.steps):
            self.mirror(done, (*path, "refit", done.step.name), half.mirrored)
        self.close(half.opened, path)

    def proof_that_it_works(self, half: HalfDone, path: Path) -> None:
        for called in half.mirrored:
            self.proof_that_it_works(called, (*path, "finally", f"call {called.procedure.id}"))
        ending = self.do_steps(half.procedure, half.procedure.finally_, half.items, (*path, "finally"))
        self.close_calls(ending, (*path, "close finally"))

    def close_calls(self, steps: list[StepDone], path: Path) -> None:
        """Close the calls that stand in `finally`, at any depth, in reverse."""
        for done in reversed(steps):
            here = (*path, done.step.name)
            if done.call is not None:
                inside = (*here, f"call {done.call.procedure.id}")
                self.closing_half(done.call, inside)
                self.proof_that_it_works(done.call, inside)
            for item, steps_inside in reversed(done.rounds):
                self.close_calls(steps_inside, in_round(here, item))

    def end(self) -> None:
        """Everything touched must be as it was."""
        for at, state in self.states.items():
            if isinstance(at.thing, Control):
                restored = at.thing.normally is None or state in (NOT_KNOWN, at.thing.normally)
            else:
                restored = state == as_found(at.thing)
            if not restored:
                self.fault("never-restored", ("end",), written(at))
        for condition in self.made:
            if condition.condition.ends == "must":
                self.fault("never-ended", ("end",), written(condition))

    def fault(self, kind: str, path: Path, subject: str, other: str = "") -> None:
        self.faults.append(Fault(kind, path, subject, other))

    # ---------------------------------------------------------------------------------------------- things

    def state(self, at: At) -> str:
        return self.states.get(at, as_found(at.thing))

    def is_off(self, at: At) -> bool:
        """Fixing off, connection off, part off, fluid drained."""
        return self.state(at) in (OFF, DRAINED)

    def is_there(self, thing: Thing) -> bool:
        if thing.when is not None and not where_holds(self.shop, self.machine, thing.when):
            return False
        if thing.unless is not None and where_holds(self.shop, self.machine, thing.unless):
            return False
        if thing.fitted == "look" and not self.machine.there[thing.owner, thing.id]:
            return False
        return thing.with_ is None or self.is_there(self.thing(thing.owner, thing.with_.id))

    def thing(self, owner: str, id: str) -> Thing:
        """What a name means in the procedure `owner`, or among the shared things if that is empty."""
        thing = self.shop.thing(self.shop.procedures[owner] if owner else None, id)
        if thing is None:
            raise KeyError(f"{owner or 'the shared things'}: {id}")
        return thing

    def meant(self, procedure: Procedure, id: str, place: str | None, items: Items) -> list[At]:
        """The things that a name in a procedure means, those that are there."""
        thing = self.thing(procedure.id, id)
        if not self.is_there(thing):
            return []
        return [At(thing, one) for one in places_meant(thing.places, place, items)]

    def named(self, naming: At, refs: Iterable[Ref]) -> list[At]:
        """The things that a thing means by those that it names, those that are there."""
        found = []
        for ref in refs:
            thing = self.thing(naming.thing.owner, ref.id)
            if self.is_there(thing):
                found += [At(thing, place) for place in places_named(thing.places, ref.place, naming.place)]
        return found

    def fixings_of(self, connection: At) -> list[At]:
        """A connection's fixings: `fixing`, `at`, `along`."""
        thing = connection.thing
        assert isinstance(thing, Connection)
        own = [thing.fixing] if thing.fixing is not None else []
        return self.named(connection, [*own, *thing.at.values(), *thing.along])

    def ends_at(self, connection: At) -> list[At]:
        """The parts at which a connection ends: the names in its `at`."""
        thing = connection.thing
        assert isinstance(thing, Connection)
        return self.named(connection, [Ref(part, ref.node) for part, ref in thing.at.items()])

    def everything_there(self, procedure: Procedure) -> Iterator[At]:
        """Every shared thing and every thing of the procedure, at each of its places, that is there."""
        for thing in (*self.shop.things.values(), *procedure.own.values()):
            if self.is_there(thing):
                for place in thing.places or ("",):
                    yield At(thing, place)

    # ------------------------------------------------------------------------------------------ conditions

    def holds(self, condition: ConditionAt) -> bool:
        if condition.condition.means is None:
            return condition in self.made
        clause = self.clause(condition.condition)
        if clause is None:
            return False
        off, on = self.picked(clause.off, condition.place), self.picked(clause.on, condition.place)
        controls = self.controls(clause, condition.place)
        if not off and not on and not controls:
            return condition.condition.none == "holds"
        return (
            all(self.is_off(at) for at in off)
            and all(self.state(at) == as_found(at.thing) for at in on)
            and all(self.state(at) == setting for at, setting in controls)
        )

    def clause(self, condition: Condition) -> Meaning | None:
        """What the condition means on this machine."""
        clause: Meaning | None = value_of(self.shop, self.machine, condition.means)
        return clause

    def picked(self, selector: Selector | None, place: str) -> list[At]:
        """The shared things that a clause picks out, if there; a control is neither on nor off."""
        if selector is None:
            return []
        return [
            At(thing, one)
            for thing in self.shop.things.values() if not isinstance(thing, Control) and self.is_there(thing)
            for one in thing.places or ("",)
            if selects(selector, At(thing, one)) and self.is_meant(selector, At(thing, one), place)
        ]

    @staticmethod
    def is_meant(selector: Selector, at: At, place: str) -> bool:
        """Is a clause about this place of a thing? The place written with it, the condition's own, or any."""
        written = {ref.place for ref in selector.things if ref.id == at.thing.id}
        return at.place in written or (
            (None in written or not written) and at.place in places_named(at.thing.places, None, place)
        )

    def controls(self, clause: Meaning, place: str) -> list[tuple[At, str]]:
        """The controls that a clause names, those that are there, and their settings.

        The usual conditions speak of controls that a manual need not have; those are nowhere.
        """
        found = []
        for name, setting in clause.set.items():
            control = self.shop.things.get(name)
            if control is not None and self.is_there(control):
                found += [(At(control, one), setting) for one in places_named(control.places, None, place)]
        return found

    def conditions_meant(self, refs: Iterable[Ref], items: Items) -> list[ConditionAt]:
        """The conditions that names in a procedure mean."""
        found = []
        for ref in refs:
            condition = self.shop.conditions[ref.id]
            places = places_meant(condition.places, ref.place, items)
            found += [ConditionAt(condition, place) for place in places]
        return found

    def every_condition(self) -> Iterator[ConditionAt]:
        """Every condition at each of its places."""
        for condition in self.shop.conditions.values():
            for place in condition.places or ("",):
                yield ConditionAt(condition, place)

    def make(self, condition: ConditionAt, path: Path) -> None:
        """Make a condition without meaning."""
        for other in self.every_condition():
            against = speaks_of(condition, condition.condition.against, other)
            against = against or is_spoken_of(other, other.condition.against, condition)
            if against and self.holds(other):
                self.fault("clash", path, written(condition), written(other))
        self.made.add(condition)
        for other in self.every_condition():
            if is_spoken_of(other, other.condition.lost_by, condition):
                self.made.discard(other)

    # ----------------------------------------------------------------------------------------------- a step

    def do_steps(
        self, procedure: Procedure, steps: Iterable[Step], items: Items, path: Path
    ) -> list[StepDone]:
        """Do steps in order; give back those that did not vanish."""
        all_done = [self.do_step(procedure, step, items, (*path, step.name)) for step in steps]
        return [done for done in all_done if done is not None]

    def is_done(self, procedure: Procedure, step: Step, items: Items) -> bool:
        if step.when is not None and not where_holds(self.shop, self.machine, step.when):
            return False
        if step.unless is not None and where_holds(self.shop, self.machine, step.unless):
            return False
        names = [name for key in NAMES_THINGS for name in names_in(step, key)]
        return not names or any(self.meant(procedure, id, place, items) for id, place in names)

    def do_step(self, procedure: Procedure, step: Step, items: Items, path: Path) -> StepDone | None:
        if not self.is_done(procedure, step, items):
            return None
        self.done.append((path, "step", step.name))
        opened = self.make_sure(step.first, items, path)
        self.check_needs(procedure, step.needs, items, path)
        acts = [
            (action, at) for action in ACTIONS for id, place in names_in(step, action)
            for at in self.meant(procedure, id, place, items)
        ]
        self.check_policy(step, acts, items, path)
        for action, at in acts:
            setting = step.set[at.thing.id] if action == "set" else ""
            self.act(procedure, action, at, path, setting=setting, to_hand=step.to == "hand")
        for condition in self.conditions_meant(step.makes, items):
            if condition.condition.means is None:
                self.done.append((path, "makes", written(condition)))
                self.make(condition, path)
        for condition in self.conditions_meant(step.ends, items):
            if condition.condition.means is None:
                self.done.append((path, "ends", written(condition)))
                self.made.discard(condition)
        rounds = []
        for item in self.rounds(step):
            inside = (*items, item) if item else items
            rounds.append((item, self.do_steps(procedure, step.steps, inside, in_round(path, item))))
        call = self.do_call(step, items, path)
        self.close(opened, path)
        return StepDone(procedure, step, items, acts, rounds, call)

    def rounds(self, step: Step) -> tuple[str, ...]:
        """The items for which a group is done on this machine; one empty one if it does not repeat."""
        if not step.steps:
            return ()
        if step.repeat is None:
            return ("",)
        return value_of(self.shop, self.machine, step.repeat) or ()

    def do_call(self, step: Step, items: Items, path: Path) -> HalfDone | None:
        if step.call is None:
            return None
        inside = (*path, f"call {step.call.id}")
        if not covers(self.shop, step.call.id, self.machine):
            self.fault("not-covered", inside, step.call.id)
            return None
        return self.opening_half(self.shop.procedures[step.call.id], items, inside)

    def check_needs(self, procedure: Procedure, needs: Iterable[Any], items: Items, path: Path) -> None:
        """Check `needs`, each a condition or the parts that must be fitted."""
        for need in needs:
            if isinstance(need, Ref):
                self.check_conditions([need], items, path)
            else:
                for ref in need.fitted:
                    for at in self.meant(procedure, ref.id, ref.place, items):
                        if self.is_off(at):
                            self.fault("not-fitted", path, written(at))

    def check_conditions(self, refs: Iterable[Ref], items: Items, path: Path, row: str = "") -> None:
        for condition in self.conditions_meant(refs, items):
            if not self.holds(condition):
                self.fault("need-missing", path, written(condition), row)

    # ---------------------------------------------------------------------------------------------- actions

    def check_reach(self, procedure: Procedure, at: At, path: Path) -> None:
        for cover in self.everything_there(procedure):
            if (
                isinstance(cover.thing, Part) and cover != at and not self.is_off(cover)
                and at in self.named(cover, cover.thing.covers)
            ):
                self.fault("covered", path, written(at), written(cover))

    def an_earth_is_on(self, procedure: Procedure) -> bool:
        """Is some shared connection with `role: earth` that is there on?"""
        return any(
            isinstance(at.thing, Connection) and not at.thing.owner and at.thing.role == "earth"
            and not self.is_off(at)
            for at in self.everything_there(procedure)
        )

    def act(
        self, procedure: Procedure, action: str, at: At, path: Path, *,
        setting: str = "", to_hand: bool = False,
    ) -> None:
        """Do one action of a procedure's step on one thing."""
        self.done.append((path, action, written(at)))
        if action in NEEDS_REACH:
            self.check_reach(procedure, at, path)
        if action == "set":
            self.states[at] = setting
        elif action == "drain":
            if self.is_off(at):
                self.fault("done-twice", path, written(at))
            self.states[at] = DRAINED
        elif action == "slacken":
            if self.state(at) in (SLACK, OFF):
                self.fault("done-twice", path, written(at))
            if not self.is_off(at):
                self.states[at] = SLACK
        elif action == "undo":
            if self.is_off(at):
                self.fault("done-twice", path, written(at))
            self.states[at] = OFF
        elif action == "disconnect":
            if self.is_off(at):
                self.fault("done-twice", path, written(at))
            if is_live(at) and self.an_earth_is_on(procedure):
                self.fault("earth-not-first-off", path, written(at))
            self.take_off(at)
        elif action == "remove":
            self.remove(procedure, at, path)
        elif action == "fit":
            self.fit(at, path)
        elif action == "connect":
            if not self.is_off(at):
                self.fault("put-back-twice", path, written(at))
            if is_live(at) and self.an_earth_is_on(procedure):
                self.fault("earth-not-last-on", path, written(at))
            self.put_on(at)
        elif action == "tighten":
            self.states[at] = HAND if to_hand else TIGHT
        elif action == "fill":
            if not self.is_off(at):
                self.fault("put-back-twice", path, written(at))
            self.states[at] = IN

    def remove(self, procedure: Procedure, at: At, path: Path) -> None:
        part = at.thing
        assert isinstance(part, Part)
        if self.is_off(at):
            self.fault("done-twice", path, written(at))
        else:
            for fixing in self.named(at, part.held_by):
                if not self.is_off(fixing):
                    self.fault("held", path, written(at), written(fixing))
            joined_by = self.named(at, part.joined_by)
            for other in self.everything_there(procedure):
                if (
                    isinstance(other.thing, Connection) and not self.is_off(other)
                    and (other in joined_by or at in self.ends_at(other))
                ):
                    self.fault("joined", path, written(at), written(other))
        self.states[at] = OFF

    def fit(self, at: At, path: Path) -> None:
        part = at.thing
        assert isinstance(part, Part)
        if not self.is_off(at):
            self.fault("put-back-twice", path, written(at))
        else:
            for fixing in self.named(at, part.held_by):
                if not self.is_off(fixing):
                    self.fault("fitted-while-held", path, written(at), written(fixing))
        self.states[at] = ON

    def take_off(self, at: At) -> None:
        """Make a thing be off without any check, a connection's fixings with it."""
        if isinstance(at.thing, Connection):
            for fixing in self.fixings_of(at):
                self.states[fixing] = OFF
        self.states[at] = DRAINED if isinstance(at.thing, Fluid) else OFF

    def put_on(self, at: At) -> None:
        """Make a thing be as found without any check, a connection's fixings with it."""
        if isinstance(at.thing, Connection):
            for fixing in self.fixings_of(at):
                self.states[fixing] = TIGHT
        self.states[at] = as_found(at.thing)

    # ------------------------------------------------------------------------------------------- the policy

    def check_policy(self, step: Step, acts: list[tuple[str, At]], items: Items, path: Path) -> None:
        """Check the policy for a step and the actions that it does to things that are there."""
        for number, row in enumerate(self.shop.policy):
            if concerns(row, step, acts):
                self.check_conditions(row.needs, items, path, str(number))

    # ----------------------------------------------------------------------------------- making sure, closing

    def make_sure(self, refs: Iterable[Ref], items: Items, path: Path) -> list[Opened]:
        """Open what does not hold; give back what was opened."""
        opened = []
        for at in self.conditions_meant(refs, items):
            if self.holds(at):
                continue
            condition, here = at.condition, (*path, f"first {written(at)}")
            inside = (*items, at.place) if at.place else items
            opener = condition.opened_by and self.shop.procedures.get(condition.opened_by.id)
            by = None
            if opener:
                if not covers(self.shop, opener.id, self.machine):
                    self.fault("not-covered", here, opener.id)
                    continue
                by = self.opening_half(opener, inside, here)
            elif condition.opened is not None:
                self.carry_out(at)
            else:
                self.fault("cannot-open", here, written(at))
                continue
            if condition.means is None:
                self.make(at, here)
            if not self.holds(at):
                self.fault("cannot-open", here, written(at))
                continue
            self.done.append((here, "first", written(at)))
            opened.append(Opened(at, by))
        return opened

    def carry_out(self, at: ConditionAt) -> None:
        """Do what a condition means, as its sentence says, without any check."""
        clause = self.clause(at.condition)
        if clause is not None:
            for off in self.picked(clause.off, at.place):
                self.take_off(off)
            for on in self.picked(clause.on, at.place):
                self.put_on(on)
            for control, setting in self.controls(clause, at.place):
                self.states[control] = setting

    def close(self, opened: list[Opened], path: Path) -> None:
        """Close what a `first` opened, in reverse."""
        for one in reversed(opened):
            condition = one.at.condition
            if condition.ends == "stays":
                continue
            here = (*path, f"close {written(one.at)}")
            self.done.append((here, "close", written(one.at)))
            if one.by is not None:
                self.closing_half(one.by, here)
                self.proof_that_it_works(one.by, here)
            elif condition.means is not None and condition.ends == "must":
                self.undo_meaning(one.at)
            if condition.means is None:
                self.made.discard(one.at)

    def undo_meaning(self, at: ConditionAt) -> None:
        """Undo what a condition means, without any check."""
        clause = self.clause(at.condition)
        if clause is not None:
            for off in self.picked(clause.off, at.place):
                self.put_on(off)
            for control, _ in self.controls(clause, at.place):
                assert isinstance(control.thing, Control)
                if control.thing.normally is not None:
                    self.states[control] = control.thing.normally

    # -------------------------------------------------------------------------------------------- refitting

    def mirror(self, done: StepDone, path: Path, calls: list[HalfDone]) -> None:
        """Put back what a step disturbed, if anything of it is due; add the calls mirrored to `calls`."""
        if not self.anything_due(done):
            return
        step = done.step
        self.done.append((path, "step", step.name))
        opened = self.make_sure(step.first, done.items, path)
        self.check_conditions([need for need in step.needs if isinstance(need, Ref)], done.items, path)
        due = [(action, at) for action, at in mirrored(done) if self.is_due(action, at)]
        self.check_policy(step, due, done.items, path)
        if done.call is not None:
            self.closing_half(done.call, (*path, f"call {done.call.procedure.id}"))
            calls.append(done.call)
        for item, inside in reversed(done.rounds):
            for inner in reversed(inside):
                self.mirror(inner, (*in_round(path, item), inner.step.name), calls)
        for action, at in mirrored(done):
            if self.is_due(action, at):
                normally = at.thing.normally if isinstance(at.thing, Control) else None
                self.act(done.procedure, action, at, path, setting=normally or "")
        self.close(opened, path)

    def anything_due(self, done: StepDone) -> bool:
        """Is a mirrored action of the step, or of one inside it, due; or was a call in it done?"""
        own = any(self.is_due(action, at) for action, at in mirrored(done))
        inside = any(self.anything_due(inner) for _, steps in done.rounds for inner in steps)
        return own or inside or done.call is not None

    def is_due(self, action: str, at: At) -> bool:
        """Is the thing of a mirrored action still disturbed now?"""
        if isinstance(at.thing, Control):
            return self.state(at) not in (NOT_KNOWN, at.thing.normally)
        if action == "tighten":
            return self.state(at) != TIGHT
        return self.is_off(at)


# --------------------------------------------------------------------------------------- parts of the reading


def as_found(thing: Thing) -> str:
    """The state of a thing as found."""
    if isinstance(thing, Control):
        return NOT_KNOWN
    return TIGHT if isinstance(thing, Fixing) else IN if isinstance(thing, Fluid) else ON


def is_live(at: At) -> bool:
    return isinstance(at.thing, Connection) and at.thing.role == "live"


def written(at: At | ConditionAt) -> str:
    """A thing or condition as a fault writes it."""
    if isinstance(at, ConditionAt):
        name = at.condition.id
    else:
        name = f"{at.thing.owner}/{at.thing.id}" if at.thing.owner else at.thing.id
    return f"{name} @ {at.place}" if at.place else name


def in_round(path: Path, item: str) -> Path:
    """The path of what stands in a group, or in one round of a group that repeats."""
    return (*path, f"@ {item}", "steps") if item else (*path, "steps")


def places_meant(places: tuple[str, ...], place: str | None, items: Items) -> tuple[str, ...]:
    """Which places a name in a procedure means: the one written, else the innermost repeat's, else all."""
    if not places:
        return ("",)
    if place is not None:
        return (place,)
    for item in reversed(items):
        if item in places:
            return (item,)
    return places


def places_named(places: tuple[str, ...], place: str | None, own: str) -> tuple[str, ...]:
    """Which places something at the place `own` means by a name: the one written, else its own, else all."""
    return places_meant(places, place, (own,))


def goes_with(made: ConditionAt, other: ConditionAt) -> bool:
    """Is it this place of another condition that making one at its place is about? The same, else any."""
    return other.place == made.place or made.place not in other.condition.places


def speaks_of(made: ConditionAt, refs: Iterable[Ref], other: ConditionAt) -> bool:
    """Does the condition that is made name this place of another one?"""
    return any(
        ref.id == other.condition.id
        and (goes_with(made, other) if ref.place is None else ref.place == other.place)
        for ref in refs
    )


def is_spoken_of(other: ConditionAt, refs: Iterable[Ref], made: ConditionAt) -> bool:
    """Does this place of another condition name the one that is made?"""
    return goes_with(made, other) and any(
        ref.id == made.condition.id and ref.place in (None, made.place) for ref in refs
    )


def names_in(step: Step, key: str) -> list[tuple[str, str | None]]:
    """The things that a step names under one key: (id, place written)."""
    if key == "set":
        return [(control, None) for control in step.set]
    return [(ref.id, ref.place) for ref in getattr(step, key) if isinstance(ref, Ref)]


def selects(selector: Selector, at: At) -> bool:
    """Is the thing picked out? What a selector does not mention it does not ask for."""
    thing = at.thing
    kind = thing.kind if isinstance(thing, Fixing | Connection | Fluid) else None
    role = thing.role if isinstance(thing, Connection) else None
    by_name = not thing.owner and any(
        ref.id == thing.id and ref.place in (None, at.place) for ref in selector.things
    )
    return (
        (not selector.kind or kind in selector.kind)
        and (not selector.role or role in selector.role)
        and (not selector.things or by_name)
    )


def concerns(row: PolicyRow, step: Step, acts: list[tuple[str, At]]) -> bool:
    """Does a row of the policy concern a step that does these actions?"""
    if row.step.where is not None and row.step.where != step.where:
        return False
    for action, opposite in OPPOSITE.items():
        selector: Selector | None = getattr(row.step, action)
        if selector is not None:
            alike = (action, opposite, "disturbs")
            picked = [at for done, at in acts if done in alike and selects(selector, at)]
            if all(row.except_ is not None and selects(row.except_, at) for at in picked):
                return False
    return True


def mirrored(done: StepDone) -> list[tuple[str, At]]:
    """The mirror of a step's own actions, in the order of refitting."""
    found = []
    for action, back in MIRRORED:
        for acted, at in reversed(done.acted):
            if acted == action and not (isinstance(at.thing, Control) and stays_put(done.step, at.thing)):
                found.append((back, at))
    return found


def stays_put(step: Step, control: Control) -> bool:
    """Has a control nowhere to be put back to, or did the step put it there?"""
    return control.normally is None or step.set[control.id] == control.normally
