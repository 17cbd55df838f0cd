"""What a step comes to, whatever the state.

That is: the things it acts on, where it is done, and the policy that may concern it.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..reading.build import Shop
from ..reading.kinds import Ref
from ..reading.model import Connection, Control, Fixing, Fluid, Part, PolicyRow, Procedure, Step, Thing
from .items import picks

__all__ = ["FORWARD", "MIRROR", "OPPOSITE", "Plan", "Planner"]

#: The actions on things within a step, in the order in which they happen.
FORWARD = (
    "drain",
    "slacken",
    "undo",
    "disconnect",
    "remove",
    "fit",
    "connect",
    "tighten",
    "fill",
    "disturbs",
)

ACTING = frozenset(FORWARD)

#: The other keys of a step that a proof looks at.
TELLING = frozenset({"first", "needs", "makes", "ends", "steps", "call"})

#: How a step's actions are put back, in this order: (what was done, what is done now).
MIRROR = (
    ("remove", "fit"),
    ("disconnect", "connect"),
    ("undo", "tighten"),
    ("slacken", "tighten"),
    ("drain", "fill"),
    ("set", "set"),
)

#: What is done now for what was done.
BACK = dict(MIRROR)

#: The actions of a row of the policy, with all the actions of steps that it concerns.
OPPOSITE = {
    "slacken": frozenset({"slacken", "tighten", "disturbs"}),
    "undo": frozenset({"undo", "tighten", "disturbs"}),
    "disconnect": frozenset({"disconnect", "connect", "disturbs"}),
    "remove": frozenset({"remove", "fit", "disturbs"}),
    "drain": frozenset({"drain", "fill", "disturbs"}),
}

#: What each action may be done to. A reference to something else is a finding, and does nothing here.
DONE_TO: dict[str, tuple[type[Thing], ...]] = {
    "drain": (Fluid,),
    "slacken": (Fixing,),
    "undo": (Fixing,),
    "disconnect": (Connection,),
    "remove": (Part,),
    "fit": (Part,),
    "connect": (Connection,),
    "tighten": (Fixing,),
    "fill": (Fluid,),
    "disturbs": (Part, Fixing, Connection, Fluid),
}

#: Keys of a step that may name things without acting on them.
TOUCHING = frozenset({"mark", "record", "inspect", "measure", "clean", "top_up"})


#: Keys of a step after which something may have to be put back.
LEAVING = frozenset({*BACK, "steps", "call"})
WHEN = frozenset({"when", "unless"})
#: All keys of a step that a proof looks at, but for the machines for which it is.
LOOKED_AT = ACTING | TELLING | TOUCHING | {"set", "where"}


class Plan:
    """One step of one procedure.

    `domain` is where it is done if it is reached; `acts` has (action, thing, reference).
    """

    __slots__ = ("acts", "domain", "leaves", "mirror_policy", "plain", "policy", "procedure", "sets", "step")

    def __init__(self, step: Step, procedure: Procedure, domain: Variants) -> None:
        self.step, self.procedure, self.domain = step, procedure, domain
        self.acts: list[tuple[str, Thing, Ref]] = []
        #: Does it leave anything to put back, itself or in what it does below it?
        self.leaves = False
        #: Does it say something, and do nothing that a proof looks at?
        self.plain = False
        #: (control, setting)
        self.sets: list[tuple[Thing, str]] = []
        #: (row number, row, for each of its actions the things that bring it about);
        #: rows that cannot concern it are left out.
        self.policy: list[tuple[int, PolicyRow, list[Variants]]] = []
        #: (row number, row) of those rows that may concern what is put back.
        self.mirror_policy: list[tuple[int, PolicyRow]] = []


class Planner:
    """Makes the plan of each step once."""

    def __init__(self, shop: Shop, resolver: Resolver) -> None:
        self.shop, self.resolver = shop, resolver
        self._plans: dict[int, Plan] = {}
        self._rows = [
            (number, row, tuple(action for action in OPPOSITE if getattr(row.step, action) is not None))
            for number, row in enumerate(shop.policy)
        ]
        self._rows_where: dict[str | None, list[tuple[int, PolicyRow, tuple[str, ...]]]] = {}
        self._rows_for_all = any(row.step.where is None and not actions for _, row, actions in self._rows)

    def plan(self, step: Step, procedure: Procedure) -> Plan:
        """The plan of a step."""
        known = self._plans.get(id(step))
        if known is None:
            known = self._plans[id(step)] = self.make(step, procedure)
        return known

    def make(self, step: Step, procedure: Procedure) -> Plan:
        plan = Plan(step, procedure, self.resolver.all)
        given = step.__dict__
        if not WHEN.isdisjoint(given):
            plan.domain = self.resolver.when(step.when, step.unless)
        if LOOKED_AT.isdisjoint(given) and not self._rows_for_all:
            plan.plain = True
            return plan
        plan.leaves = not LEAVING.isdisjoint(given)
        thing_of = self.shop.thing
        touched = []
        for action in FORWARD if not ACTING.isdisjoint(given) else ():
            for ref in given.get(action, ()):
                thing = thing_of(procedure, ref.id)
                if isinstance(thing, DONE_TO[action]):
                    plan.acts.append((action, thing, ref))
                    touched.append(thing)
        for name, setting in step.set.items():
            control = thing_of(procedure, name)
            if isinstance(control, Control):
                plan.sets.append((control, setting))
                touched.append(control)
        if not TOUCHING.isdisjoint(given):
            touched.extend(self.touching(step, procedure))
        if touched:
            there = self.resolver.none
            for thing in touched:
                there |= self.resolver.there(thing)
            plan.domain &= there
        if plan.acts or step.where is not None or self._rows_for_all:
            plan.policy = list(self.concerning(plan))
            plan.mirror_policy = list(self.concerning_mirror(plan))
        plan.plain = not (plan.acts or plan.sets or plan.policy) and TELLING.isdisjoint(given)
        return plan

    def touching(self, step: Step, procedure: Procedure) -> Iterator[Thing]:
        """The things that a step names without acting on them."""
        for key in TOUCHING.intersection(step.__dict__):
            for ref in getattr(step, key):
                thing = self.shop.thing(procedure, ref.id) if isinstance(ref, Ref) else None
                if thing is not None:
                    yield thing

    def concerning(self, plan: Plan) -> Iterator[tuple[int, PolicyRow, list[Variants]]]:
        """The rows that may concern a step as written, with the sets that decide it."""
        done = {action for action, _, _ in plan.acts}
        for number, row, actions in self.rows(plan.step.where):
            if any(done.isdisjoint(OPPOSITE[action]) for action in actions):
                continue
            deciding = []
            for action in actions:
                opposites = OPPOSITE[action]
                there = self.resolver.none
                for did, thing, _ in plan.acts:
                    if did in opposites and concerned(row, action, thing):
                        there |= self.resolver.there(thing)
                deciding.append(there)
            if all(deciding):
                yield number, row, deciding

    def rows(self, where: str | None) -> list[tuple[int, PolicyRow, tuple[str, ...]]]:
        """The rows for where a step is done, each with the actions that it names."""
        known = self._rows_where.get(where)
        if known is None:
            known = [each for each in self._rows if each[1].step.where in (None, where)]
            self._rows_where[where] = known
        return known

    def concerning_mirror(self, plan: Plan) -> Iterator[tuple[int, PolicyRow]]:
        """The rows that may concern what is put back after a step."""
        things = [(BACK[done], thing) for done, thing, _ in plan.acts if done in BACK]
        if not things and not plan.step.where and not self._rows_for_all:
            return
        back = {done for done, _ in things}
        for number, row, actions in self.rows(plan.step.where):
            if any(back.isdisjoint(OPPOSITE[action]) for action in actions):
                continue
            if all(
                any(done in OPPOSITE[action] and concerned(row, action, thing) for done, thing in things)
                for action in actions
            ):
                yield number, row


def concerned(row: PolicyRow, action: str, thing: Thing) -> bool:
    """Does a row of the policy pick out this thing for this action?"""
    if row.except_ is not None and picks(row.except_, thing):
        return False
    return picks(getattr(row.step, action), thing)
