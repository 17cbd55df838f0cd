"""Exact sets of variants. The only module that knows how such a set is stored.

A *space* has base points (a machine, a build of it, a stretch of its axes) and *choices*: a feature that some
machine leaves open, a thing that may be absent, the answer to a question. A set is a decision diagram: a node
for each choice on which it depends, with one child a value, in one order; a leaf is an integer whose bits are
base points. Nodes are shared, so equal sets are one object. At a point where a value is impossible, that
child carries a copy of what the first possible one carries: every operation so works point by point, the form
stays canonical, and "empty" means "no real machine".

# Limits of the model

- Choices are independent of each other at one base point. Options that come only together must be given as
  builds.
- The cost of an operation grows with the nodes of its operands. There is no small bound on them: a union of n
  parts that speak each of another machine *and* of another choice can need 2^n nodes. Nothing is cut short to
  avoid that.
- The nodes of a space live as long as the space. Remembered results are dropped when there are too many of
  them; this changes no answer.
- Sets of two spaces do not mix; a set cannot be pickled. Its words carry it from one process to another.
- A space is not locked: work on it from one thread at a time.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from itertools import repeat
from operator import attrgetter
from typing import Final, NoReturn, TypeVar

__all__ = ["Space", "Variants"]

T = TypeVar("T")

#: The level of a leaf: below every choice.
LEAF: Final = sys.maxsize

#: Remembered results in one space before they are dropped, about 300 MB.
REMEMBERED: Final = 3_000_000


class Variants:
    """A set of variants: immutable, exact, one object for equal sets, so that `is` and `==` are the same.

    `&`, `|`, `-`, `^`, `~`, `<=`, `<`, `>=`, `>`, `isdisjoint`, `bool` and `in` are those of sets.
    Made by a `Universe`: `all`, `none`, `where`, `test`, `machine`, `look`, `answers`.
    """

    __slots__ = ("_and", "_children", "_every", "_level", "_minus", "_or", "_some", "_space")

    _space: Space
    #: The choice that this node branches on, or LEAF.
    _level: int
    #: One a value of the choice, not all the same; none in a leaf.
    _children: tuple[Variants, ...]
    #: The base points at which the set holds for some, and for every, way to choose. In a leaf the same.
    _some: int
    _every: int
    #: Results of operations with this set on the left.
    _and: dict[Variants, Variants]
    _or: dict[Variants, Variants]
    _minus: dict[Variants, Variants]

    def __init__(self) -> None:
        raise TypeError(
            "a set of variants is made by a Universe: all, none, where, test, machine, look or answers"
        )

    def __and__(self, other: Variants) -> Variants:
        known = self._and.get(other)
        return known if known is not None else self._space.combine(_MEET, self, other)

    def __or__(self, other: Variants) -> Variants:
        known = self._or.get(other)
        return known if known is not None else self._space.combine(_JOIN, self, other)

    def __sub__(self, other: Variants) -> Variants:
        known = self._minus.get(other)
        return known if known is not None else self._space.combine(_LESS, self, other)

    def __xor__(self, other: Variants) -> Variants:
        return (self - other) | (other - self)

    def __invert__(self) -> Variants:
        return self._space.all - self

    def __le__(self, other: Variants) -> bool:
        self._space.own(other)
        waiting, seen = [(self, other)], set()
        for a, b in waiting:
            if a._some & b._every == a._some or (a, b) in seen:
                continue
            if a._some & b._some != a._some or a._every & b._every != a._every:
                return (
                    False  # at some base point, some of `a` and none of `b`, or all of `a` and not all of `b`
                )
            seen.add((a, b))
            waiting.extend(_opened(a, b)[1])
        return True

    def __lt__(self, other: Variants) -> bool:
        return self is not other and self <= other

    def __ge__(self, other: Variants) -> bool:
        return other <= self

    def __gt__(self, other: Variants) -> bool:
        return other < self

    def __bool__(self) -> bool:
        return self._some != 0

    def isdisjoint(self, other: Variants) -> bool:
        """Whether no variant is in both."""
        self._space.own(other)
        waiting, seen = [(self, other)], set()
        for a, b in waiting:
            if not a._some & b._some or (a, b) in seen:
                continue
            if a._some & b._every or a._every & b._some:
                return False  # at some base point, some of one and all of the other
            seen.add((a, b))
            waiting.extend(_opened(a, b)[1])
        return True

    def __contains__(self, variant: object) -> bool:
        """Whether one concrete variant is in the set; found by following its values."""
        point, value_at = self._space.locate(variant)
        node = self
        while node._level != LEAF:
            node = node._children[value_at(node._level)]
        return bool(node._some >> point & 1)

    def __copy__(self) -> Variants:
        return self

    def __deepcopy__(self, memo: object) -> Variants:
        return self

    def __reduce__(self) -> NoReturn:
        raise TypeError("a set of variants cannot be pickled: keep its words and read them back")

    def __repr__(self) -> str:
        some, every = self._some.bit_count(), self._every.bit_count()
        points = self._space.all._some.bit_count()
        return f"<Variants: all of {every}, part of {some - every} of {points} base points>"


class Space:
    """Base points and choices; it makes every set on them and remembers what it made.

    `locate` finds the base point of a concrete variant, and its value (an index) for each choice.
    """

    def __init__(self, points: int, locate: Callable[[object], tuple[int, Callable[[int], int]]]) -> None:
        self.locate = locate
        self._nodes: dict[tuple[int, tuple[Variants, ...]], Variants] = {}
        self._leaves: dict[int, Variants] = {}
        self._remembered = 0
        self._weights: dict[Variants, float] = {}
        #: For each choice and value, the base points at which that value is possible.
        self._possible: list[tuple[int, ...]] = []
        self.all: Final = self.points((1 << points) - 1)
        self.none: Final = self.points(0)

    # Making sets

    def points(self, mask: int) -> Variants:
        """The set of these base points, whatever is chosen there."""
        leaf = self._leaves.get(mask)
        if leaf is None:
            leaf = self._leaves[mask] = self._new(LEAF, (), mask, mask)
        return leaf

    def choice(self, possible: Sequence[int]) -> int:
        """Add a choice below all others, and give its level; `possible`: a mask of base points a value.

        A point is in none of the masks (nothing to choose there) or in two or more.
        """
        self._possible.append(tuple(possible))
        return len(self._possible) - 1

    def chosen(self, level: int, wanted: Collection[int], settled: int) -> Variants:
        """Where a `wanted` value is chosen; `settled`: points without this choice that belong as well."""
        possible = self._possible[level]
        children = []
        for value, here in enumerate(possible):
            mask = settled | (here if value in wanted else 0)
            earlier = here
            for first, there in enumerate(
                possible
            ):  # a value impossible at a point copies the first possible one
                if first in wanted:
                    mask |= there ^ (there & earlier)
                earlier |= there
            children.append(self.points(mask))
        return self._node(level, tuple(children))

    def _node(self, level: int, children: tuple[Variants, ...]) -> Variants:
        node = self._nodes.get((level, children))
        if node is None:
            first = children[0]
            some, every = first._some, first._every
            for child in children:
                some |= child._some
                every &= child._every
            alike = children.count(first) == len(children)
            node = first if alike else self._new(level, children, some, every)
            self._nodes[level, children] = node
        return node

    def _new(self, level: int, children: tuple[Variants, ...], some: int, every: int) -> Variants:
        node: Variants = object.__new__(Variants)
        node._space, node._level, node._children, node._some, node._every = self, level, children, some, every
        node._and, node._or, node._minus = {}, {}, {}
        return node

    # The algebra

    def combine(self, operation: Operation, a: Variants, b: Variants) -> Variants:
        """What an operation gives, worked out and remembered.

        Keeps its own stack: a set may depend on more choices than calls can nest.
        """
        self.own(b)
        results, at_once = operation
        if (found := at_once(self, a, b)) is not None:
            results(a)[b] = found
            return found
        waiting: list[
            tuple[Variants, Variants, int, Iterator[tuple[Variants, Variants]], list[Variants]]
        ] = []
        level, pairs = _opened(a, b)
        children: list[Variants] = []
        while True:
            for x, y in pairs:
                known = results(x).get(y)
                if known is None and (known := at_once(self, x, y)) is None:
                    waiting.append((a, b, level, pairs, children))
                    a, b = x, y
                    level, pairs = _opened(a, b)
                    children = []
                    break
                children.append(known)
            else:
                results(a)[b] = found = self._node(level, tuple(children))
                self._remembered += 1
                if not waiting:
                    break
                a, b, level, pairs, children = waiting.pop()
                children.append(found)
        if self._remembered > REMEMBERED:
            self._forget()
        return found

    def own(self, other: object) -> None:
        """Raises: TypeError for what is no set, ValueError for a set of another space."""
        if type(other) is not Variants:
            raise TypeError(f"a set of variants does not combine with {type(other).__name__}")
        if other._space is not self:
            raise ValueError("these sets of variants belong to two different universes")

    def _forget(self) -> None:
        self._remembered = 0
        for node in (*self._nodes.values(), *self._leaves.values()):
            node._and, node._or, node._minus = {}, {}, {}

    # Looking into sets

    def possible(self, point: int, level: int) -> list[int]:
        """The values that may be chosen at a base point; none where there is no choice."""
        return [value for value, mask in enumerate(self._possible[level]) if mask >> point & 1]

    def support(self, of: Variants) -> list[int]:
        """The choices on which a set depends, in order."""
        seen, waiting = {of}, [of]
        for node in waiting:
            new = [child for child in dict.fromkeys(node._children) if child not in seen]
            seen.update(new)
            waiting.extend(new)
        return sorted({node._level for node in waiting} - {LEAF})

    def somewhere(self, of: Variants) -> int:
        """The mask of base points of which some variant is in the set."""
        return of._some

    def first(self, of: Variants) -> tuple[int, dict[int, int]]:
        """The first base point of a set that is not empty, and the first values with which it belongs.

        A choice that is not in the result may be made in any way.
        """
        return next(self.paths(of))

    def paths(self, of: Variants) -> Iterator[tuple[int, dict[int, int]]]:
        """The set in parts, without overlap: a base point, and a value for each choice that matters there."""
        some = of._some
        while some:
            bit = some & -some
            some ^= bit
            point = bit.bit_length() - 1
            waiting: list[tuple[Variants, dict[int, int]]] = [(of, {})]
            while waiting:
                node, chosen = waiting.pop()
                if not node._some & bit:
                    continue
                if node._every & bit:
                    yield point, chosen
                    continue
                values = self.possible(point, node._level)
                if not values:
                    waiting.append((node._children[0], chosen))
                for value in reversed(values):
                    waiting.append((node._children[value], chosen | {node._level: value}))

    def _fold(
        self,
        of: Variants,
        leaf: Callable[[Variants], T],
        node: Callable[[Variants, list[T]], T],
        known: dict[Variants, T] | None = None,
    ) -> T:
        """Work out something for every node of a set, children first; give that of the set itself.

        `known` has what was worked out before, and takes in what is worked out now.
        """
        done: dict[Variants, T] = {} if known is None else known
        waiting = [of]
        while waiting:
            at = waiting[-1]
            missing = [child for child in at._children if child not in done]
            if missing:
                waiting.extend(missing)
                continue
            waiting.pop()
            if at not in done:
                done[at] = node(at, [done[child] for child in at._children]) if at._children else leaf(at)
        return done[of]

    def weight(self, of: Variants) -> float:
        """The mean number of base points over all ways to choose."""
        if of not in self._weights:
            self._fold(
                of,
                lambda leaf: float(leaf._some.bit_count()),
                lambda at, means: sum(means) / len(means),
                self._weights,
            )
        return self._weights[of]

    def some(self, of: Variants, levels: Collection[int]) -> Variants:
        """What some other choice at `levels` can bring into the set, which depends on them no more."""

        def node(at: Variants, children: list[Variants]) -> Variants:
            if at._level not in levels:
                return self._node(at._level, tuple(children))
            total = children[0]
            for child in children[1:]:
                total |= child
            return total

        return self._fold(of, lambda leaf: leaf, node)

    def replace(self, of: Variants, parts: Mapping[int, Sequence[Variants]]) -> Variants:
        """The set in which choices are no longer free: a value is chosen where its set in `parts` says so.

        For each level one set a value, without overlap, together everything.
        """

        def node(at: Variants, children: list[Variants]) -> Variants:
            total = self.none
            for part, child in zip(parts.get(at._level) or self._values(at._level), children, strict=True):
                total |= part & child
            return total

        return self._fold(of, lambda leaf: leaf, node)

    def _values(self, level: int) -> list[Variants]:
        """One diagram for each value of a choice, though that value be impossible at some points."""
        none, every = self.none, self.all
        width = len(self._possible[level])
        return [
            self._node(level, tuple(every if at == value else none for at in range(width)))
            for value in range(width)
        ]

    def count(self, of: Variants, levels: Collection[int], classes: Sequence[int]) -> int:
        """Over all classes of base points, the ways to choose at `levels` that bring some of it into the set.

        `classes`: masks without overlap; within one the same values are possible at each of the `levels`.
        """
        seen = self.some(of, [level for level in self.support(of) if level not in levels])
        order = sorted(levels)
        place = {level: at for at, level in enumerate(order)} | {LEAF: len(order)}
        alike: dict[tuple[tuple[int, ...], ...], list[int]] = {}
        for mask in classes:
            if mask & seen._some:
                point = (mask & -mask).bit_length() - 1
                alike.setdefault(tuple(tuple(self.possible(point, level)) for level in order), []).append(
                    mask
                )
        total = 0
        for possible, masks in alike.items():
            total += self._count_alike(seen, place, possible, masks)
        return total

    def _count_alike(
        self, of: Variants, place: Mapping[int, int], possible: Sequence[Sequence[int]], masks: list[int]
    ) -> int:
        ways = [max(1, len(values)) for values in possible]

        def between(upper: int, lower: int) -> int:
            product = 1
            for each in ways[upper:lower]:
                product *= each
            return product

        def leaf(at: Variants) -> int:
            return sum(1 for mask in masks if mask & at._some)

        def node(at: Variants, counts: list[int]) -> int:
            here = place[at._level]
            return sum(
                counts[value] * between(here + 1, place[at._children[value]._level])
                for value in possible[here] or (0,)
            )

        return between(0, place[of._level]) * self._fold(of, leaf, node)


#: Where an operation is remembered, and its answer where no node need be opened (None: it must be).
Operation = tuple[
    Callable[[Variants], dict[Variants, Variants]], Callable[[Space, Variants, Variants], Variants | None]
]


def _opened(a: Variants, b: Variants) -> tuple[int, Iterator[tuple[Variants, Variants]]]:
    """The higher choice of two sets, and their children at it, side by side."""
    if a._level == b._level:
        return a._level, zip(a._children, b._children, strict=True)
    if a._level < b._level:
        return a._level, zip(a._children, repeat(b))
    return b._level, zip(repeat(a), b._children)


def _meet_at_once(space: Space, a: Variants, b: Variants) -> Variants | None:
    both = a._some & b._some
    if a._level == b._level == LEAF:
        return space.points(both)
    if not both:
        return space.none
    if a is b or a._some & b._every == a._some:
        return a
    if both == b._some and b._some & a._every == b._some:
        return b
    return None


def _join_at_once(space: Space, a: Variants, b: Variants) -> Variants | None:
    if a._level == b._level == LEAF:
        return space.points(a._some | b._some)
    if a is b or b._some & a._every == b._some:
        return a
    if a._some & b._every == a._some:
        return b
    return None


def _less_at_once(space: Space, a: Variants, b: Variants) -> Variants | None:
    # on integers a ^ (a & b), many times faster than a & ~b
    if a._level == b._level == LEAF:
        return space.points(a._some ^ (a._some & b._some))
    if a is b or a._some & b._every == a._some:
        return space.none
    if not a._some & b._some:
        return a
    return None


_MEET: Final[Operation] = (attrgetter("_and"), _meet_at_once)
_JOIN: Final[Operation] = (attrgetter("_or"), _join_at_once)
_LESS: Final[Operation] = (attrgetter("_minus"), _less_at_once)
