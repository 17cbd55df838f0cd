"""Conditions: where they hold, and which things and places they speak of."""

from __future__ import annotations

from collections.abc import Iterable

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..reading.build import Shop
from ..reading.kinds import Ref
from ..reading.model import Condition, Control, Meaning, Selector, Thing
from .items import OFF, Item, Items, Places
from .state import State

__all__ = ["Conditions", "same_place", "spoken"]


class Conditions:
    """All conditions of a shop, asked about a state."""

    def __init__(self, shop: Shop, resolver: Resolver, items: Items) -> None:
        self.shop, self.resolver, self.items = shop, resolver, items
        self.none = resolver.none
        self._meanings: dict[str, list[tuple[Variants, Meaning]]] = {}
        self._against: dict[tuple[str, str | None], list[tuple[Condition, str | None]]] = {}
        self._lost_by: dict[tuple[str, str | None], list[tuple[Condition, str | None]]] = {}

    def holds(self, condition: Condition, place: str | None, state: State) -> Variants:
        """The variants on which a condition holds now."""
        if condition.means is None:
            return state.get(self.items.condition(condition, place))
        found = self.none
        for variants, meaning in self.meanings(condition):
            ok, there = variants, self.none
            if meaning.off is not None:
                for item in self.meant(meaning.off, place):
                    ok &= state.get(item.key + OFF) | ~item.there
                    there |= item.there
            if meaning.on is not None:
                for item in self.meant(meaning.on, place):
                    ok -= self.disturbed(item, state) & item.there
                    there |= item.there
            for item, setting in self.meant_settings(meaning, place):
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

    def meant(self, selector: Selector, place: str | None) -> list[Item]:
        """The things that a condition speaks of; at its own place, for one that has places."""
        found: list[Item] = []
        for thing, written in self.items.picked(selector):
            if written is not None:
                found.extend([self.items.item(thing, written)] if written in thing.places else [])
            elif not isinstance(thing, Control):
                found.extend(self.meant_places(thing, place))
        return found

    def meant_settings(self, meaning: Meaning, place: str | None) -> list[tuple[Item, str]]:
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

    def against(self, made: Condition, place: str | None) -> list[tuple[Condition, str | None]]:
        """The conditions, with their places, that must not hold when this one is made at this place."""
        known = self._against.get((made.id, place))
        if known is None:
            found: dict[tuple[str, str | None], Condition] = {}
            for ref in made.against:
                other = self.shop.conditions.get(ref.id)
                if other is not None:
                    places = same_place(other, place) if ref.place is None else (ref.place,)
                    found.update({(other.id, each): other for each in places})
            for other in self.shop.conditions.values():
                if names(other.against, made, place):
                    found.update({(other.id, each): other for each in same_place(other, place)})
            known = self._against[made.id, place] = [(other, each) for (_, each), other in found.items()]
        return known

    def lost_by(self, made: Condition, place: str | None) -> list[tuple[Condition, str | None]]:
        """The conditions that cease to hold when this one is made at this place, with their places.

        Only those without `means`: whether one of the others holds follows from the facts.
        """
        known = self._lost_by.get((made.id, place))
        if known is None:
            known = self._lost_by[made.id, place] = [
                (other, each)
                for other in self.shop.conditions.values()
                if other.means is None and names(other.lost_by, made, place)
                for each in same_place(other, place)
            ]
        return known

    def disturbed(self, item: Item, state: State) -> Variants:
        """The variants on which a thing is not as found."""
        found = self.none
        for fact in item.disturbing:
            found |= state.get(fact)
        return found


def spoken(condition: Condition, place: str | None) -> str:
    """How a fault names a condition."""
    return f"{condition.id} @ {place}" if place is not None else condition.id


def same_place(other: Condition, place: str | None) -> tuple[str | None, ...]:
    """The same place of another condition if it has that, else all of its places."""
    if not other.places:
        return (None,)
    return (place,) if place in other.places else other.places


def names(refs: Iterable[Ref], made: Condition, place: str | None) -> bool:
    """Is the condition that is made at this place among these?"""
    return any(ref.id == made.id and ref.place in (None, place) for ref in refs)
