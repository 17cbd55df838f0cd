"""Things at their places, with what holds, joins and covers them: looked up once for a whole manual."""

from __future__ import annotations

from collections.abc import Iterable

from ..machines.resolve import Resolver
from ..machines.variants import Variants
from ..reading.build import Shop
from ..reading.kinds import Ref
from ..reading.model import Condition, Connection, Control, Fixing, Part, Procedure, Selector, Thing

__all__ = ["Item", "Items", "Places"]

#: What each key of a thing may name. A reference to something else is a finding, and counts for nothing here.
NAMES: dict[str, type[Thing]] = {
    "held_by": Fixing,
    "joined_by": Connection,
    "covers": Thing,
    "fixings": Fixing,
}

#: The current items of the repeats that something stands in, innermost first.
Places = tuple[str, ...]


class Item:
    """One thing, at one of its places if it has several.

    `key` numbers its first fact; a fixing has three (off, slack, hand), a control one for each setting.
    """

    __slots__ = ("covers", "disturbing", "key", "named", "place", "subject", "there", "thing")

    def __init__(self, thing: Thing, place: str | None, key: int, there: Variants) -> None:
        self.thing, self.place, self.key, self.there = thing, place, key, there
        #: How a fault names it.
        self.subject = f"{thing.subject} @ {place}" if place is not None else thing.subject
        #: The facts that say it is not as found.
        self.disturbing = disturbing(thing, key)
        #: What it names under a key; what covers it, for the procedure whose step it is.
        #: Filled when asked for.
        self.named: dict[str, list[Item]] = {}
        self.covers: dict[str, list[Item]] = {}

    def setting(self, setting: str) -> int | None:
        """The number of the fact that a control is at this setting; None if it has no such setting."""
        settings = self.thing.settings if isinstance(self.thing, Control) else ()
        return self.key + settings.index(setting) if setting in settings else None

    def __repr__(self) -> str:
        return self.subject


class Items:
    """All items of a shop, made when first asked for, and how they hang together."""

    def __init__(self, shop: Shop, resolver: Resolver) -> None:
        self.shop, self.resolver = shop, resolver
        self._items: dict[tuple[str, str | None], Item] = {}
        self._everywhere: dict[str, list[Item]] = {}
        #: For each fact, what it is about: an item, or the name and place of a condition.
        self.of_fact: list[Item | tuple[str, str | None]] = []
        self._conditions: dict[tuple[str, str | None], int] = {}
        self._joins: dict[tuple[str, str | None, str], list[Item]] = {}
        self._picked: dict[int, list[tuple[Thing, str | None]]] = {}
        self._covering = _index(shop.things.values())
        self._own_covering: dict[str, tuple[dict[str, list[Part]], dict[str, list[Connection]]]] = {}

    def item(self, thing: Thing, place: str | None) -> Item:
        """A thing at a place (None for a thing that has no places)."""
        known = self._items.get((thing.subject, place))
        if known is None:
            known = Item(thing, place, len(self.of_fact), self.resolver.there(thing))
            self._items[thing.subject, place] = known
            facts = (
                3 if isinstance(thing, Fixing) else len(thing.settings) if isinstance(thing, Control) else 1
            )
            self.of_fact.extend([known] * facts)
        return known

    def all_places(self, thing: Thing) -> list[Item]:
        """A thing at all of its places."""
        known = self._everywhere.get(thing.subject)
        if known is None:
            known = [self.item(thing, place) for place in thing.places or (None,)]
            self._everywhere[thing.subject] = known
        return known

    def here(self, thing: Thing, named: str | None, places: Places) -> list[Item]:
        """What a name in a procedure means.

        At the place named with it, else given the current items of the procedure's repeats.
        """
        if named is not None:
            return [self.item(thing, named)] if named in thing.places else []
        if thing.places:
            for place in places:
                if place in thing.places:
                    return [self.item(thing, place)]
        return self.all_places(thing)

    def condition(self, condition: Condition, place: str | None) -> int:
        """The number of the fact that a condition without meaning holds."""
        known = self._conditions.get((condition.id, place))
        if known is None:
            known = self._conditions[condition.id, place] = len(self.of_fact)
            self.of_fact.append((condition.id, place))
        return known

    # ------------------------------------------------------------------------------ how things hang together

    def named(self, item: Item, key: str) -> list[Item]:
        """What a thing names under `held_by`, `joined_by`, `covers` or, of a connection, `fixings`."""
        known = item.named.get(key)
        if known is None:
            owner = self.shop.procedures.get(item.thing.owner)
            known = []
            for ref in named_refs(item.thing, key):
                other = self.shop.thing(owner, ref.id)
                if isinstance(other, NAMES[key]):
                    known.extend(self.related(item, other, ref.place))
            item.named[key] = known
        return known

    def related(self, item: Item, other: Thing, named: str | None) -> list[Item]:
        """Which places of another thing an item means when it names it, perhaps at a place."""
        if named is not None:
            return [self.item(other, named)] if named in other.places else []
        if item.place is not None and item.place in other.places:
            return [self.item(other, item.place)]
        return self.all_places(other)

    def _own(self, procedure: Procedure) -> tuple[dict[str, list[Part]], dict[str, list[Connection]]]:
        known = self._own_covering.get(procedure.id)
        if known is None:
            known = self._own_covering[procedure.id] = _index(procedure.own.values())
        return known

    def covers(self, item: Item, procedure: Procedure) -> list[Item]:
        """The parts that cover an item, among shared ones and those of the procedure whose step it is."""
        known = item.covers.get(procedure.id)
        if known is None:
            name = item.thing.id
            parts = [*self._covering[0].get(name, ()), *self._own(procedure)[0].get(name, ())]
            known = [
                cover
                for part in dict.fromkeys(parts)
                for cover in self.all_places(part)
                if item in self.named(cover, "covers") and cover is not item
            ]
            item.covers[procedure.id] = known
        return known

    def joins(self, item: Item, procedure: Procedure) -> list[Item]:
        """The connections that join a part: those it names, and those that end at it."""
        known = self._joins.get((item.thing.subject, item.place, procedure.id))
        if known is None:
            known = list(self.named(item, "joined_by"))
            name = item.thing.id
            ending = [*self._covering[1].get(name, ()), *self._own(procedure)[1].get(name, ())]
            for connection in ending:
                owner = self.shop.procedures.get(connection.owner)
                if self.shop.thing(owner, name) is not item.thing:
                    continue
                for end in self.all_places(connection):
                    meant = self.related(end, item.thing, None)
                    if item in meant and end not in known:
                        known.append(end)
            self._joins[item.thing.subject, item.place, procedure.id] = known
        return known

    def picked(self, selector: Selector) -> list[tuple[Thing, str | None]]:
        """The shared things that a meaning picks out, each with the place written with it."""
        known = self._picked.get(id(selector))
        if known is None:
            things = self.shop.things
            if selector.things:
                known = [
                    (things[ref.id], ref.place)
                    for ref in selector.things
                    if ref.id in things and picks(selector, things[ref.id])
                ]
            else:
                known = [(thing, None) for thing in things.values() if picks(selector, thing)]
            self._picked[id(selector)] = known
        return known


def picks(selector: Selector, thing: Thing) -> bool:
    """Does a selector pick out this thing? One that says nothing picks out everything."""
    if selector.things and (thing.owner or all(ref.id != thing.id for ref in selector.things)):
        return False
    if selector.kind and getattr(thing, "kind", "") not in selector.kind:
        return False
    return not selector.role or getattr(thing, "role", None) in selector.role


def named_refs(thing: Thing, key: str) -> Iterable[Ref]:
    """The references under one key of a thing; `fixings` of a connection are at all its ends and clips."""
    if key == "fixings":
        assert isinstance(thing, Connection)
        return [*([thing.fixing] if thing.fixing else []), *thing.at.values(), *thing.along]
    refs: tuple[Ref, ...] = getattr(thing, key)
    return refs


def _index(things: Iterable[Thing]) -> tuple[dict[str, list[Part]], dict[str, list[Connection]]]:
    """Parts by the names they cover, connections by the parts at which they end."""
    covering: dict[str, list[Part]] = {}
    ending: dict[str, list[Connection]] = {}
    for thing in things:
        if isinstance(thing, Part):
            for ref in thing.covers:
                covering.setdefault(ref.id, []).append(thing)
        elif isinstance(thing, Connection):
            for name in thing.at:
                ending.setdefault(name, []).append(thing)
    return covering, ending


#: Facts of a fixing, counted from its key.
OFF, SLACK, HAND = 0, 1, 2


def disturbing(thing: Thing, key: int) -> tuple[int, ...]:
    """The facts that say a thing is not as found; of a control, its settings other than `normally`."""
    if isinstance(thing, Fixing):
        return (key, key + SLACK, key + HAND)
    if isinstance(thing, Control):
        if thing.normally is None:
            return ()
        return tuple(key + at for at, setting in enumerate(thing.settings) if setting != thing.normally)
    return (key,)
