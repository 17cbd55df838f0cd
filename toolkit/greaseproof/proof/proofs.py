"""A shop with its proofs, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from ..finding import ForVariants
from ..machines import words
from ..machines.catalogue import Mention
from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..machines.words import example
from ..reading.applies import Differing
from ..reading.build import Shop, walk_steps
from ..reading.kinds import Ref
from ..reading.model import Procedure, Thing
from ..reading.records import Record
from .outcome import Proof
from .prover import Prover

__all__ = ["Proofs"]


class Proofs:
    """What rules and views look at: the records (`shop`), their sets (`resolver`), each procedure's proof."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.resolver = Resolver(shop)
        self.prover = Prover(shop, self.resolver)
        self._proofs: dict[str, Proof | None] = {}
        self._mentions: dict[str, Mention] = {}
        #: What views worked out, for the rules and pages that ask again: each view's own key -> its data.
        self.views: dict[Hashable, Any] = {}
        #: Procedure -> those that it calls, or that open a condition which it makes sure of.
        self.uses: dict[str, tuple[str, ...]] = {
            id: tuple(dict.fromkeys(self._used_by(procedure))) for id, procedure in shop.procedures.items()
        }
        self.circles: list[tuple[str, ...]] = circles(self.uses)
        round_in_circles = {id for circle in self.circles for id in circle}
        broken = {id for id, procedure in shop.procedures.items() if procedure.file in shop.broken}
        #: Procedures that cannot be proven: unread in part, going round in a circle, or using one that is so.
        self.unprovable: frozenset[str] = frozenset(users_of(self.uses, broken | round_in_circles))

    def proof(self, id: str) -> Proof | None:
        """The proof of a procedure; None if it cannot be proven."""
        if id not in self._proofs:
            provable = (
                id in self.shop.procedures and id not in self.unprovable and not self.shop.catalogue_broken
            )
            self._proofs[id] = self.prover.prove(self.shop.procedures[id]) if provable else None
        return self._proofs[id]

    def proofs(self) -> Iterator[Proof]:
        """Every proof there is, in the order of the files."""
        for id in self.shop.procedures:
            proof = self.proof(id)
            if proof is not None:
                yield proof

    def _used_by(self, procedure: Procedure) -> Iterator[str]:
        firsts = list(procedure.first)
        for step in walk_steps(procedure):
            firsts.extend(step.first)
            for ref in (step.call, step.go_to, step.if_not):
                name = getattr(ref, "id", None)
                if name in self.shop.procedures:
                    yield name
        for first in firsts:
            condition = self.shop.conditions.get(first.id)
            if (
                condition is not None
                and condition.opened_by is not None
                and condition.opened_by.id in self.shop.procedures
            ):
                yield condition.opened_by.id

    def with_used(self, id: str) -> list[str]:
        """A procedure and all that it uses, at any depth."""
        found = [id]
        for each in found:
            found.extend(used for used in self.uses.get(each, ()) if used not in found)
        return found

    # ------------------------------------------------------------------------------------------ in words

    def mention(self, id: str) -> Mention:
        """What a procedure and all that it uses speak of."""
        known = self._mentions.get(id)
        if known is None:
            procedure = self.shop.procedures[id]
            own = [procedure, *self._shared_things(procedure)]
            known = self.resolver.mention(own)
            for used in self.with_used(id)[1:]:
                known |= self.mention(used) if used not in self.unprovable else Mention()
            self._mentions[id] = known
        return known

    def _shared_things(self, procedure: Procedure) -> list[Record]:
        """The shared things and the conditions that a procedure names, and the things that these name."""
        found: dict[str, Thing] = {}
        names = {ref.id for ref in refs_within(procedure)}
        conditions = [self.shop.conditions[name] for name in names if name in self.shop.conditions]
        waiting = [
            thing for thing in (self.shop.things.get(name) for name in sorted(names)) if thing is not None
        ]
        for condition in conditions:
            for case in condition.means.cases if condition.means else ():
                for selector in (case.value.off, case.value.on):
                    picked = self.prover.items.picked(selector) if selector is not None else []
                    waiting.extend(thing for thing, _ in picked)
        while waiting:
            thing = waiting.pop()
            if thing.id not in found:
                found[thing.id] = thing
                for ref in refs_within(thing):
                    if ref.id in self.shop.things:
                        waiting.append(self.shop.things[ref.id])
        return [*found.values(), *conditions]

    def for_variants(self, of: Variants, within: Variants, id: str | None = None) -> ForVariants:
        """A set as a finding tells it: one real machine, how many of how many, and the exact words."""
        universe = self.resolver.universe
        mention = (
            self.mention(id)
            if id is not None
            else Mention(frozenset(universe.features), frozenset(), frozenset(universe.asked(of)))
        )
        return ForVariants(
            str(example(of, universe, within)),
            universe.count(of, mention),
            universe.count(within, mention),
            words(of, universe, within),
        )


def refs_within(value: object) -> Iterator[Ref]:
    """Every reference that is written within a record, at any depth."""
    waiting = [value]
    for each in waiting:
        if isinstance(each, Ref):
            yield each
        elif isinstance(each, Record):
            waiting.extend(each.inside())
        elif isinstance(each, Differing):
            waiting.extend(case.value for case in each.cases)
        elif isinstance(each, tuple):
            waiting.extend(each)
        elif isinstance(each, dict):
            waiting.extend(each.values())


def circles(uses: dict[str, tuple[str, ...]]) -> list[tuple[str, ...]]:
    """The groups of procedures that use one another in a circle, each in the order of going round."""
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[tuple[str, ...]] = []

    def visit(start: str) -> None:
        work: list[tuple[str, Iterator[str]]] = []

        def enter(id: str) -> None:
            number[id] = low[id] = len(number)
            stack.append(id)
            work.append((id, iter(uses.get(id, ()))))

        enter(start)
        while work:
            id, rest = work[-1]
            for used in rest:
                if used not in number:
                    enter(used)
                    break
                if used in stack:
                    low[id] = min(low[id], number[used])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[id])
                if low[id] == number[id]:
                    group = stack[stack.index(id) :]
                    del stack[stack.index(id) :]
                    if len(group) > 1 or id in uses.get(id, ()):
                        found.append(tuple(group))

    for id in uses:
        if id not in number:
            visit(id)
    return found


def users_of(uses: dict[str, tuple[str, ...]], those: set[str]) -> set[str]:
    """These procedures and all that use one of them, at any depth."""
    users: dict[str, list[str]] = {}
    for id, used in uses.items():
        for each in used:
            users.setdefault(each, []).append(id)
    found, waiting = set(those), list(those)
    while waiting:
        for user in users.get(waiting.pop(), ()):
            if user not in found:
                found.add(user)
                waiting.append(user)
    return found
