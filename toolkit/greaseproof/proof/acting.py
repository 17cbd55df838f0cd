"""What hands do: actions on things, with their checks, and what is true of the things afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..machines.variants import Variants
from ..reading.model import Condition, Connection, Control, Step
from .items import HAND, OFF, SLACK, Item
from .outcome import Fault
from .run import Run
from .state import State

if TYPE_CHECKING:
    from .prover import Prover

__all__ = ["Acting"]


class Acting:
    """One half of one procedure being followed: its state, its faults, and what can be done to things."""

    def __init__(self, prover: Prover, run: Run, state: State) -> None:
        self.prover, self.run, self.state = prover, run, state
        self.items, self.conditions, self.none = prover.items, prover.conditions, prover.none
        self.procedure = run.procedure

    def fault(
        self,
        kind: str,
        path: tuple[str, ...],
        subject: str,
        variants: Variants,
        step: Step | None,
        other: str = "",
    ) -> None:
        """Something is wrong on these variants, if there are any."""
        if variants:
            self.run.faults.append(Fault(kind, path, subject, other, variants, self.procedure, step))

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
                self.fault(
                    "held",
                    path,
                    item.subject,
                    (going & fixing.there) - state.get(fixing.key),
                    step,
                    fixing.subject,
                )
            for join in self.items.joins(item, self.procedure):
                self.fault(
                    "joined",
                    path,
                    item.subject,
                    (going & join.there) - state.get(join.key),
                    step,
                    join.subject,
                )
            state.add(item.key, on)
        elif action == "fit":
            self.fault("put-back-twice", path, item.subject, on - off, step)
            coming = on & off
            for fixing in self.items.named(item, "held_by"):
                without = (coming & fixing.there) - state.get(fixing.key)
                self.fault("fitted-while-held", path, item.subject, without, step, fixing.subject)
            state.drop(item.key, on)
        return on

    def check_reach(self, item: Item, on: Variants, step: Step, path: tuple[str, ...]) -> None:
        """Nothing that is on may cover what is worked at."""
        for cover in self.items.covers(item, self.procedure):
            self.fault(
                "covered",
                path,
                item.subject,
                (on & cover.there) - self.state.get(cover.key),
                step,
                cover.subject,
            )

    def earth_on(self) -> Variants:
        """The variants on which some earth lead is there and is on."""
        found = self.none
        for thing in self.prover.shop.things.values():
            if isinstance(thing, Connection) and thing.role == "earth":
                for item in self.items.all_places(thing):
                    found |= item.there - self.state.get(item.key)
        return found

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

    def as_found(self, item: Item, variants: Variants) -> None:
        """A thing is put back as found, a connection's fixings with it."""
        for fact in item.disturbing:
            self.state.drop(fact, variants)
        if isinstance(item.thing, Connection):
            for fixing in self.items.named(item, "fixings"):
                for fact in fixing.disturbing:
                    self.state.drop(fact, variants & fixing.there)

    def take_off_fixings(self, item: Item, variants: Variants) -> None:
        """A connection's fixings come off with it."""
        if isinstance(item.thing, Connection):
            for fixing in self.items.named(item, "fixings"):
                self.set_fixing(fixing, OFF, variants & item.there & fixing.there)

    def carry_out(self, condition: Condition, place: str | None, variants: Variants) -> None:
        """Do what the sentence says that opens a condition with a meaning."""
        for where, meaning in self.conditions.meanings(condition):
            on = variants & where
            if meaning.off is not None:
                for item in self.conditions.meant(meaning.off, place):
                    self.state.add(item.key, on & item.there)
                    self.take_off_fixings(item, on)
            if meaning.on is not None:
                for item in self.conditions.meant(meaning.on, place):
                    self.as_found(item, on & item.there)
            for item, setting in self.conditions.meant_settings(meaning, place):
                self.put_at(item, setting, on & item.there)

    def undo_meaning(self, condition: Condition, place: str | None, variants: Variants) -> None:
        """Undo what the sentence did."""
        for where, meaning in self.conditions.meanings(condition):
            on = variants & where
            if meaning.off is not None:
                for item in self.conditions.meant(meaning.off, place):
                    self.as_found(item, on & item.there)
            for item, _ in self.conditions.meant_settings(meaning, place):
                if isinstance(item.thing, Control) and item.thing.normally is not None:
                    self.put_at(item, item.thing.normally, on & item.there)
