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
from .plan import MIRROR, Plan, Planner
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
        self._acts: dict[tuple[int, Places], tuple[list[tuple[str, Item]], list[tuple[str, Item]]]] = {}

    def prove(self, procedure: Procedure) -> Proof:
        """Follow a whole job, from the machine as found to the machine as it must be left."""
        state = State(self.none)
        live = self.resolver.applies(procedure)
        opening = self.opening_half(procedure, (), state, live, tells=True)
        state.take_over(opening.before, opening.after, opening.touched, live)
        closing = self.closing_half(opening, state, live)
        state.take_over(closing.before, closing.after, closing.touched, live)
        works = self.works(opening, closing, state, live)
        state.take_over(works.before, works.after, works.touched, live)
        halves = (opening, closing, works)
        proof = Proof(
            procedure,
            live,
            [line for half in halves for line in half.lines],
            [fault for half in halves for fault in half.faults],
        )
        proof.faults.extend(self.left(procedure, state, live))
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

    def opening_half(
        self, procedure: Procedure, places: Places, outer: State, live: Variants, *, tells: bool = False
    ) -> Run:
        """Follow `first`, `needs` and `steps`, or find that they were followed from such a state before."""
        entry = outer.entry(live, self.all)
        known = self.runs.setdefault((procedure.id, places), [])
        for run in known:
            if run.begins_with(entry) and (run.tells or not tells):
                return run
        run = Run(procedure, places, self.resolver.applies(procedure), tells)
        walk = self.begin(run, entry)
        walk.open_all(procedure.first, run.applies, places, run.openings, "first", None, 0)
        walk.check_needs(procedure.needs, run.applies, places, None, ("needs",), fitted=True)
        run.entries = walk.steps(procedure.steps, run.applies, places, "steps", 0, ("steps",))
        self.end(walk, entry, known)
        return run

    def closing_half(self, opening: Run, outer: State, live: Variants) -> Run:
        """Follow the closing of an opening half: refitting, and what `first` opened."""
        entry = outer.entry(live, self.all)
        for run in opening.followed:
            if run.begins_with(entry):
                return run
        run = Run(opening.procedure, opening.places, opening.applies, opening.tells)
        walk = self.begin(run, entry)
        Refitting(walk).mirror_all(opening.entries, "refit", 0, ("refit",))
        walk.close_all(opening.openings, "close", None, 0, ())
        self.end(walk, entry, opening.followed)
        return run

    def works(self, opening: Run, closing: Run, outer: State, live: Variants) -> Run:
        """Follow the proof that it works: that of the calls it closed, then its own `finally`."""
        entry = outer.entry(live, self.all)
        for run in closing.followed:
            if run.begins_with(entry):
                return run
        procedure = opening.procedure
        run = Run(procedure, opening.places, opening.applies, opening.tells)
        walk = self.begin(run, entry)
        for called, closed, on in closing.mirrored:
            walk.line("finally", "call", 0, on, procedure=called.procedure)
            walk.prove_works(called, closed, on, ("finally", f"call {called.procedure.id}"))
        entries = walk.steps(procedure.finally_, run.applies, run.places, "finally", 0, ("finally",))
        Refitting(walk).close_calls(entries, ("close finally",))
        self.end(walk, entry, closing.followed)
        return run

    def begin(self, run: Run, entry: dict[int, Variants]) -> Walk:
        """Begin to follow a half from these facts."""
        self.within.append(run.procedure.id)
        return Walk(self, run, State(self.none, dict(entry)))

    def end(self, walk: Walk, entry: dict[int, Variants], known: list[Run]) -> None:
        """Keep what a half came to, for the next time that it is met so."""
        self.within.pop()
        run, touched = walk.run, walk.state.touched
        run.touched = frozenset(touched)
        run.before = {fact: true for fact, true in entry.items() if fact in touched}
        run.after = {fact: true for fact, true in walk.state.facts.items() if fact in touched}
        known.append(run)

    def acts(self, plan: Plan, places: Places) -> tuple[list[tuple[str, Item]], list[tuple[str, Item]]]:
        """A step's actions on things at the places meant, in order; and what is put back after it."""
        known = self._acts.get((id(plan), places))
        if known is None:
            acts = [
                (action, item)
                for action, thing, ref in plan.acts
                for item in self.items.here(thing, ref.place, places)
            ]
            mirror = [(now, item) for was, now in MIRROR for action, item in reversed(acts) if action == was]
            known = self._acts[id(plan), places] = acts, mirror
        return known
