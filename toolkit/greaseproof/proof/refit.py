"""Refitting: what steps disturbed is put back in reverse, with the same checks."""

from __future__ import annotations

from ..machines.variants import Variants
from ..reading.model import Control, Step
from .items import Item
from .outcome import Act
from .plan import OPPOSITE, concerned
from .run import Entry, Opening
from .walk import Walk

__all__ = ["Refitting"]


class Refitting:
    """Mirrors what a walk's procedure did."""

    def __init__(self, walk: Walk) -> None:
        self.walk = walk
        self.items, self.conditions, self.none = walk.items, walk.conditions, walk.none
        self.state, self.prover = walk.state, walk.prover

    def mirror_all(self, entries: list[Entry], part: str, depth: int, path: tuple[str, ...]) -> None:
        """Put back what these steps disturbed, in reverse."""
        for entry in reversed(entries):
            due = self.due_within(entry)
            if due:
                self.mirror(entry, due, part, depth, (*path, entry.plan.step.name))

    def due(self, entry: Entry) -> list[tuple[str, Item, Variants]]:
        """The mirrored actions of a step that are due now, in order, with the variants."""
        found: list[tuple[str, Item, Variants]] = []
        for action, item in entry.mirror:
            disturbed = self.conditions.disturbed(item, self.state)
            if disturbed:
                on = entry.done & item.there & disturbed
                if on:
                    found.append((action, item, on))
        if entry.plan.sets:
            found.extend(self.due_settings(entry))
        return found

    def due_settings(self, entry: Entry) -> list[tuple[str, Item, Variants]]:
        """The controls that a step moved off their normal settings, and that are still off them."""
        found = []
        for control, setting in reversed(entry.plan.sets):
            if isinstance(control, Control) and control.normally not in (None, setting):
                for item in reversed(self.items.here(control, None, entry.places)):
                    on = entry.done & item.there & self.conditions.disturbed(item, self.state)
                    if on:
                        found.append(("set", item, on))
        return found

    def due_within(self, entry: Entry) -> Variants:
        """The variants on which a step has something to put back, at any depth."""
        found = self.none
        if entry.mirror or entry.plan.sets:
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
            self.walk.open_all(step.first, due, places, openings, part, step, depth, path)
        if step.needs:
            self.walk.check_needs(step.needs, due, places, step, path, fitted=False)
        actions = self.due(entry)
        if entry.plan.mirror_policy:
            self.check_mirror_policy(entry, actions, due, path)
        if entry.call is not None:
            run, on = entry.call
            self.walk.line(part, "call", depth, on, step=step, procedure=run.procedure)
            closing = self.walk.close_run(run, on, (*path, f"call {run.procedure.id}"))
            self.walk.run.mirrored.append((run, closing, on))
        if entry.rounds:
            self.walk.line(part, "group", depth, due, step=step)
        for place, _, entries in reversed(entry.rounds):
            below = (*path, "steps") if place is None else (*path, f"@ {place}", "steps")
            if place is not None:
                again = self.none
                for inside in entries:
                    again |= self.due_within(inside)
                if again:
                    self.walk.line(part, "round", depth + 1, again, step=step, place=place)
            self.mirror_all(entries, part, depth + (1 if place is None else 2), below)
        told: list[Act] = []
        if entry.rounds or entry.call is not None:
            actions = self.due(entry)  # what was put back within it may have disturbed something else
        for action, item, on in actions:
            on &= self.conditions.disturbed(item, self.state)
            if action == "set":
                assert isinstance(item.thing, Control)
                assert item.thing.normally is not None
                self.walk.put_at(item, item.thing.normally, on)
            elif on:
                self.put_back(action, item, on, step, path)
            if on:
                told.append(Act(action, item, on))
        if told:
            self.walk.line(part, "step", depth, due, step=step, acts=tuple(told))
        if openings:
            self.walk.close_all(openings, part, step, depth, path)

    def put_back(self, action: str, item: Item, on: Variants, step: Step, path: tuple[str, ...]) -> None:
        """Do one mirrored action, with its checks; `to: hand` does not concern it."""
        if action == "tighten":
            self.walk.check_reach(item, on, step, path)
            self.walk.tight(item, on)
        else:
            self.walk.act(action, item, on, step, path)

    def check_mirror_policy(
        self, entry: Entry, actions: list[tuple[str, Item, Variants]], due: Variants, path: tuple[str, ...]
    ) -> None:
        """The policy, for what is put back."""
        step = entry.plan.step
        for number, row in entry.plan.mirror_policy:
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
                    self.walk.check_condition(ref, on, entry.places, step, path, str(number))

    def close_calls(self, entries: list[Entry], path: tuple[str, ...]) -> None:
        """Close the calls among steps that are not mirrored, in reverse."""
        for entry in reversed(entries):
            for item, _, inside in reversed(entry.rounds):
                below = () if item is None else (f"@ {item}",)
                self.close_calls(inside, (*path, entry.plan.step.name, *below, "steps"))
            if entry.call is not None:
                run, on = entry.call
                self.walk.line("close", "call", 0, on, step=entry.plan.step, procedure=run.procedure)
                at = (*path, entry.plan.step.name, f"call {run.procedure.id}")
                self.walk.prove_works(run, self.walk.close_run(run, on, at), on, at)
