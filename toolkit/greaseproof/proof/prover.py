"""The prover: follows the halves of procedures, each once for every state in which it is met."""

from __future__ import annotations

from collections.abc import Iterable

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..reading.build import Shop
from ..reading.model import Procedure
from .conditions import Conditions, spoken
from .items import Item, Items, Places
from .outcome import Fault, Proof
from .plan import Plan, Planner
from .refit import Refitting
from .run import Run
from .state import State
from .walk import Walk

__all__ = ["Prover"]


class Prover:
    """Proves the procedures of one shop."""

    def __init__(self, shop: Shop, resolver: Resolver) -> None:
        self.shop, self.resolver = shop, resolver
        self.all, self.none = resolver.all, resolver.none
        self.items = Items(shop, resolver)
        self.conditions = Conditions(shop, resolver, self.items)
        self.planner = Planner(shop, resolver)
        #: (procedure, current items) -> its opening halves, one for each state in which it was met.
        self.runs: dict[tuple[str, Places], list[Run]] = {}
        #: Procedures that are being followed; one that is met again within itself goes round in a circle.
        self.within: list[str] = []
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
            procedure,
            run.applies,
            [*run.lines, *closing.lines, *works.lines],
            [*run.faults, *closing.faults, *works.faults],
        )
        proof.faults.extend(self.left(procedure, state, run.applies))
        return proof

    def left(self, procedure: Procedure, state: State, live: Variants) -> Iterable[Fault]:
        """What is not as it must be when the job is over."""
        told: set[str] = set()
        for fact, true in list(state.facts.items()):
            subject = self.items.of_fact[fact]
            if isinstance(subject, Item):
                if true & live and subject.subject not in told:
                    told.add(subject.subject)
                    disturbed = self.conditions.disturbed(subject, state) & live
                    if disturbed:
                        yield Fault(
                            "never-restored", ("end",), subject.subject, "", disturbed, procedure, None
                        )
            elif self.shop.conditions[subject[0]].ends == "must" and true & live:
                condition = self.shop.conditions[subject[0]]
                yield Fault(
                    "never-ended", ("end",), spoken(condition, subject[1]), "", true & live, procedure, None
                )

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
        Refitting(walk).mirror_all(run.entries, "refit", 0, ("refit",))
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
        Refitting(walk).close_calls(entries, ("close finally",))
        self.within.pop()
        works.reads, works.facts = inner.reads, inner.facts
        closing.followed.append(works)
        return works

    def take_over(
        self, state: State, facts: dict[int, Variants], reads: dict[int, Variants], live: Variants
    ) -> None:
        """What a half changed is so now, on the variants on which it was done."""
        for fact, now in facts.items():
            if reads.get(fact) is not now:
                state.put(fact, (state.get(fact) - live) | (now & live))

    def acts(self, plan: Plan, places: Places) -> list[tuple[str, Item]]:
        """A step's actions on things at the places that are meant, in order."""
        known = self._acts.get((id(plan.step), places))
        if known is None:
            known = [
                (action, item)
                for action, thing, ref in plan.acts
                for item in self.items.here(thing, ref, places)
            ]
            self._acts[id(plan.step), places] = known
        return known
