"""The walk: one half of a procedure, followed on all the machines it covers at once.

book/proof.md says what it does. Whatever happens on a machine depends on that machine alone, so every fact is
a set of variants and every action is an operation on sets. A procedure that is called is followed once for
each state of the facts that it looks at; its outcome is then cut down to the variants of the call.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..machines.variants import Variants
from ..reading.kinds import Ref
from ..reading.model import Condition, Fitted, Part, Procedure, Step
from .acting import Acting
from .conditions import spoken
from .items import Places
from .outcome import Act, Line
from .plan import Plan
from .run import Entry, Opening, Run

__all__ = ["Walk"]


class Walk(Acting):
    """Follows `first`, needs, policy and steps."""

    def line(self, part: str, kind: str, depth: int, variants: Variants, **what: object) -> None:
        if self.run.tells:
            self.run.lines.append(Line(part, kind, depth, variants, **what))  # type: ignore[arg-type]

    # ------------------------------------------------------------------------------ making sure, closing

    def open_all(
        self,
        refs: Iterable[Ref],
        live: Variants,
        places: Places,
        openings: list[Opening],
        part: str,
        step: Step | None,
        depth: int,
        path: tuple[str, ...] = (),
    ) -> None:
        """Make sure of each condition in order; what was opened is added to `openings`."""
        for ref in refs:
            condition = self.prover.shop.conditions.get(ref.id)
            if condition is None:
                continue
            for place in self.conditions.places_of(condition, ref, places):
                lacking = live - self.conditions.holds(condition, place, self.state)
                if lacking:
                    self.open(condition, place, lacking, places, openings, part, step, depth, path)

    def open(
        self,
        condition: Condition,
        place: str | None,
        lacking: Variants,
        places: Places,
        openings: list[Opening],
        part: str,
        step: Step | None,
        depth: int,
        path: tuple[str, ...],
    ) -> None:
        """Open one condition where it does not hold."""
        at = (*path, f"first {spoken(condition, place)}")
        inside = places if place is None else (place, *places)
        opener = self.prover.shop.procedures.get(condition.opened_by.id) if condition.opened_by else None
        run: Run | None = None
        opened = lacking
        if opener is not None:
            opened = self.none
            if opener.id not in self.prover.within:
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
        holds = self.conditions.holds(condition, place, self.state)
        self.fault("cannot-open", at, spoken(condition, place), opened - holds, step)
        opened &= holds
        if opened:
            openings.append(Opening(condition, place, opened, run))
            self.line(
                part,
                "open",
                depth,
                opened,
                step=step,
                condition=condition,
                place=place,
                procedure=run.procedure if run else None,
            )

    def close_all(
        self, openings: list[Opening], part: str, step: Step | None, depth: int, path: tuple[str, ...]
    ) -> None:
        """Close what `first` opened, in reverse, on the variants on which it was opened."""
        for opening in reversed(openings):
            condition, place, opened = opening.condition, opening.place, opening.variants
            if condition.ends == "stays":
                continue
            if opening.run is not None:
                self.line(
                    part,
                    "close",
                    depth,
                    opened,
                    step=step,
                    condition=condition,
                    place=place,
                    procedure=opening.run.procedure,
                )
                at = (*path, f"close {spoken(condition, place)}")
                self.prove_works(opening.run, self.close_run(opening.run, opened, at), opened, at)
            elif condition.ends == "must":
                self.line(part, "close", depth, opened, step=step, condition=condition, place=place)
                if condition.means is not None:
                    self.undo_meaning(condition, place, opened)
            if condition.means is None:
                self.state.drop(self.items.condition(condition, place), opened)

    def make(
        self,
        condition: Condition,
        place: str | None,
        variants: Variants,
        path: tuple[str, ...],
        step: Step | None,
    ) -> None:
        """A condition without meaning begins: what stands against it is a fault, what it ends is lost."""
        for other, other_place in self.conditions.against(condition, place):
            both = self.conditions.holds(other, other_place, self.state) & variants
            self.fault("clash", path, spoken(condition, place), both, step, spoken(other, other_place))
        self.state.add(self.items.condition(condition, place), variants)
        for other, other_place in self.conditions.lost_by(condition, place):
            self.state.drop(self.items.condition(other, other_place), variants)

    # ----------------------------------------------------------------------------------------------- checking

    def check_needs(
        self,
        needs: Iterable[object],
        live: Variants,
        places: Places,
        step: Step | None,
        path: tuple[str, ...],
        *,
        fitted: bool,
    ) -> None:
        """`needs`: conditions that must hold, and parts that must be on."""
        for need in needs:
            if isinstance(need, Ref):
                self.check_condition(need, live, places, step, path, "")
            elif fitted and isinstance(need, Fitted):
                for ref in need.fitted:
                    thing = self.prover.shop.thing(self.procedure, ref.id)
                    for item in self.items.here(thing, ref.place, places) if isinstance(thing, Part) else ():
                        self.fault(
                            "not-fitted",
                            path,
                            item.subject,
                            live & item.there & self.state.get(item.key),
                            step,
                        )

    def check_condition(
        self, ref: Ref, live: Variants, places: Places, step: Step | None, path: tuple[str, ...], row: str
    ) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and live:
            for place in self.conditions.places_of(condition, ref, places):
                lacking = live - self.conditions.holds(condition, place, self.state)
                self.fault("need-missing", path, spoken(condition, place), lacking, step, row)

    # --------------------------------------------------------------------------------------------- steps

    def steps(
        self,
        steps: Iterable[Step],
        live: Variants,
        places: Places,
        part: str,
        depth: int,
        path: tuple[str, ...],
    ) -> list[Entry]:
        """Do steps in order. Gives what was done, for refitting."""
        entries = []
        for step in steps:
            plan = self.prover.planner.plan(step, self.procedure)
            done = live & plan.domain
            if not done:
                continue
            if plan.plain:
                if self.run.tells:
                    self.run.lines.append(Line(part, "step", depth, done, step))
            else:
                entry = self.step(plan, done, places, part, depth, (*path, step.name))
                if plan.leaves:
                    entries.append(entry)
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
        acts, mirror = self.prover.acts(plan, places) if plan.acts else ((), ())
        entry = Entry(plan, done, places, mirror)
        told: list[Act] = []
        for control, setting in plan.sets:
            for item in self.items.here(control, None, places):
                on = done & item.there
                self.put_at(item, setting, on)
                if on:
                    told.append(Act("set", item, on))
        for action, item in acts:
            on = self.act(action, item, done, step, path)
            if on and self.run.tells:
                told.append(Act(action, item, on))
        for ref in step.makes:
            self.begin(ref, done, places, step, path)
        for ref in step.ends:
            self.end(ref, done, places)
        kind = "group" if step.steps else "call" if step.call else "step"
        called = self.prover.shop.procedures.get(step.call.id) if step.call else None
        if self.run.tells:
            self.run.lines.append(Line(part, kind, depth, done, step, tuple(told), None, None, called))
        if step.steps:
            self.rounds(entry, done, places, part, depth + 1, path)
        if step.call:
            self.call_step(entry, step.call, done, places, step, path)
        if openings:
            self.close_all(openings, part, step, depth, path)
        return entry

    def begin(self, ref: Ref, done: Variants, places: Places, step: Step, path: tuple[str, ...]) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and condition.means is None:
            for place in self.conditions.places_of(condition, ref, places):
                self.make(condition, place, done, path, step)

    def end(self, ref: Ref, done: Variants, places: Places) -> None:
        condition = self.prover.shop.conditions.get(ref.id)
        if condition is not None and condition.means is None:
            for place in self.conditions.places_of(condition, ref, places):
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
                below = self.steps(
                    step.steps, on, (item, *places), part, depth + 1, (*path, f"@ {item}", "steps")
                )
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

    # ----------------------------------------------------------------------- halves of other procedures

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
        self.state.take_over(run.before, run.after, run.touched, on)
        for fault in run.faults:
            seen = fault.under(path, on)
            if seen.variants:
                self.run.faults.append(seen)
