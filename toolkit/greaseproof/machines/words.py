"""Sets of variants in words that people read and `read_words` reads back, and one example of a set.

    every machine
    Plover Major built 1967..1974 with alternator charging, or Teal
    Plover Major serial ..35117 with coil or no ignition and heat-shield not fitted

A set is the union of *terms*, parted by `, or`. A term names models (or `machines`: any), then ranges on
axes, kept machines and, after `with`, what is fitted: values before their feature, `no` for one that is
absent, a thing that is there (`fitted`) or not (`not fitted`), a question with its answers (`answered`). All
parts of a term must hold; in each of them `or` stands for any of these. A name that would be misread stands
in quotation marks.

Words are exact and the same for equal sets; they are short, but nobody promises that they are the shortest.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import accumulate
from operator import or_
from typing import Any, Final, NamedTuple, TypeVar

from .catalogue import ABSENT, AXES, Interval, UnknownNameError
from .universe import Universe, Variant
from .variants import Variants

__all__ = ["Example", "UnreadableError", "example", "read_words", "words"]

EVERY: Final = "every machine"
NONE: Final = "no machine"
ANY: Final = "machines"
T = TypeVar("T")

MACHINE: Final = "machine"
KEPT: Final = "kept"

#: In which order the demands of a term are rather kept than dropped; each gives words, the shortest of which
#: are taken.
ORDERS: Final = (("model", "axes", "fitted"), ("model", "fitted", "axes"), ("fitted", "axes", "model"))

#: How many demands a term takes from one group before it tries the next.
FEW: Final = 5

#: Words that have a meaning of their own in a term; a name that holds one is put in quotation marks.
RESERVED: Final = {"or", "and", "with", "no", "not", "fitted", "answered", "every", ANY, KEPT, *AXES}
TOKEN: Final = re.compile(r'"(?:[^"\\]|\\.)*"|,|[^\s,"]+')
RANGE: Final = re.compile(r"(-?\d+)?(\.\.)?(-?\d+)?")


class UnreadableError(ValueError):
    """A text is not the words of a set. `at` counts its words and marks from 0."""

    def __init__(self, text: str, at: int, says: str) -> None:
        self.text = text
        self.at = at
        super().__init__(f"cannot read {text!r}: {says}")


class Example(NamedTuple):
    """One real machine; `says` tells as much as puts it into the set, and so does all that it fits."""

    variant: Variant
    says: str

    def __str__(self) -> str:
        return self.says


class Demand(NamedTuple):
    """A feature, axis, `machine`, `kept`, or (`asked`) a look or question has any of these."""

    name: Hashable
    #: Words for a feature, `machine`, `kept` or question, one bool for a look, one Interval for an axis.
    any_of: tuple[Any, ...]
    asked: bool = False

    @property
    def ranges(self) -> bool:
        """Whether it is about an axis."""
        return not self.asked and self.name in AXES


#: All demands must hold; none at all: every machine.
Term = tuple[Demand, ...]


def words(of: Variants, universe: Universe, within: Variants | None = None) -> str:
    """The set in words; `within`: only as much as tells it from the rest of that set.

    `read_words` gives `of` back, or a set that has the same variants in common with `within`.
    """
    cover = Cover(of, universe, universe.all if within is None else within)
    if not cover.goal:
        return NONE
    if not cover.bad:
        return EVERY
    speech = Speech(universe)
    best: tuple[int, int, str] | None = None
    for order in ORDERS:
        terms = cover.terms(order, None if best is None else best[0])
        if terms is not None:
            text = speech.text(terms)
            best = min(best or (len(terms), len(text), text), (len(terms), len(text), text))
    assert best is not None  # the first order has no bound
    return best[2]


def example(of: Variants, universe: Universe, within: Variants | None = None) -> Example:
    """The first variant of the set in the order of the catalogue, and what of it tells that from `within`.

    Raises: ValueError, if the set is empty.
    """
    cover = Cover(of, universe, universe.all if within is None else within)
    variant = universe.first(cover.goal)
    return Example(variant, Speech(universe).describe(variant, cover.reasons(variant)))


class Cover:
    """Finds terms that make up the set `of` as far as it lies `within` another."""

    def __init__(self, of: Variants, universe: Universe, within: Variants) -> None:
        self.universe = universe
        self.within = within
        self.goal = of & within
        #: What no term may reach.
        self.bad = within - of
        self.asked = list(dict.fromkeys((*universe.asked(self.goal), *universe.asked(self.bad))))
        #: What was worked out for one order and holds for the others.
        self._sets: dict[Demand, Variants] = {}
        self._seeds: dict[Variants, tuple[Variant, dict[str, list[Demand]]]] = {}
        self._grown: dict[tuple[Term, Variants], tuple[Term, Variants]] = {}

    def terms(self, order: Sequence[str], most: int | None) -> list[Term] | None:
        """Terms that together are the goal, none of them without need; None, if it takes more than `most`.

        Each is grown from a variant not yet reached.
        """
        left = self.goal
        found: list[tuple[Term, Variants]] = []
        while left:
            if most is not None and len(found) == most:
                return None
            seed, parts = self._seed(left)
            chosen = tuple(self._chosen(self.bad, [parts[name] for name in order]))
            if (chosen, left) not in self._grown:
                term = self._widen(self._in_order(self._placed(list(chosen), seed)), left)
                self._grown[chosen, left] = (term, self._area(term))
            term, area = self._grown[chosen, left]
            found.append((term, area))
            left -= area
        before = list(accumulate((area for _, area in found), or_, initial=self.universe.none))
        after = self.universe.none
        needed: list[Term] = []
        for (term, area), earlier in reversed(list(zip(found, before, strict=False))):
            if not area - earlier <= after:
                needed.append(self._closed(term))
                after |= area
        return needed[::-1]

    def reasons(self, seed: Variant) -> Term:
        """What, on the model or kept machine of a variant, puts it into the goal."""
        model = self._model(seed)
        bad = self._area(model, self.bad)
        return self._widen_axes(self._chosen(bad, [self._axes(seed), self._fitted(seed)]), model)

    # What a variant is like

    def _seed(self, left: Variants) -> tuple[Variant, dict[str, list[Demand]]]:
        """The first variant of what is left, and all that can be demanded of it."""
        known = self._seeds.get(left)
        if known is None:
            seed = self.universe.first(left)
            parts = {"model": self._model(seed), "axes": self._axes(seed), "fitted": self._fitted(seed)}
            known = self._seeds[left] = (seed, parts)
        return known

    def _model(self, seed: Variant) -> list[Demand]:
        kept = [Demand(KEPT, (seed.kept or ABSENT,))] if self.universe.kept else []
        return [Demand(MACHINE, (seed.machine,)), *kept]

    def _axes(self, seed: Variant) -> list[Demand]:
        everything = Interval(None, None)
        stretches = self.universe.stretches(seed)
        return [Demand(axis, (stretch,)) for axis, stretch in stretches.items() if stretch != everything]

    def _fitted(self, seed: Variant) -> list[Demand]:
        given: dict[Hashable, str | bool] = {**seed.looks, **seed.answers}
        fitted = [Demand(name, (value,)) for name, value in seed.values.items()]
        return fitted + [Demand(key, (given.get(key, self._first(key)),), asked=True) for key in self.asked]

    def _first(self, key: Hashable) -> str | bool:
        return self.universe.questions[key].values[0]

    # Sets of demands

    def _set(self, demand: Demand) -> Variants:
        known = self._sets.get(demand)
        if known is None:
            known = self._sets[demand] = self._worked_out(demand)
        return known

    def _worked_out(self, demand: Demand) -> Variants:
        if demand.asked:
            ways = self.universe.ways(demand.name)
            found = self.universe.none
            for value in demand.any_of:
                found |= ways[value]
            return found
        name = str(demand.name)
        if name in AXES:
            found, partly = self.universe.reach(name, demand.any_of[0])
            return found | partly
        return self.universe.test(name, demand.any_of)

    def _torn(self, demand: Demand) -> Variants:
        """The variants of which a demand cannot speak: its range ends within their stretch."""
        if not demand.ranges:
            return self.universe.none
        return self.universe.reach(str(demand.name), demand.any_of[0])[1]

    def _area(self, term: Iterable[Demand], of: Variants | None = None) -> Variants:
        """What of a set, or of `within`, meets all demands."""
        area = self.within if of is None else of
        for demand in term:
            area &= self._set(demand)
        return area

    # From a variant to a term

    def _chosen(self, bad: Variants, groups: Sequence[Sequence[Demand]]) -> list[Demand]:
        """Demands that keep clear of `bad`, none without need; all of them together do keep clear.

        A few from one group after the other, then as many of all as it takes; at each step what keeps clear
        of most. (To begin with all and drop some would be simpler, but many features at once, on all
        machines, make very large sets.)
        """
        left = bad
        chosen: list[Demand] = []
        everything = [demand for group in groups for demand in group]
        for group, most in (*((group, FEW) for group in groups), (everything, len(everything))):
            sets = [(self._set(demand), demand) for demand in group] if left else []
            for _ in range(most):
                rests = [(rest, demand) for there, demand in sets if (rest := left & there) is not left]
                if not rests:
                    break
                left, demand = min(rests, key=lambda rest: self.universe.weight(rest[0]))
                chosen.append(demand)
        return self._needed(bad, chosen)

    def _needed(self, bad: Variants, demands: Sequence[Demand]) -> list[Demand]:
        """As few of the demands as keep clear of `bad`, rather the earlier ones. All of them do keep clear.

        By halves: the number of trials grows with what is needed, not with what is given. U. Junker,
        QUICKXPLAIN, AAAI 2004, pages 167-172.
        """
        if not bad:
            return []
        if len(demands) == 1:
            return list(demands)
        earlier, later = demands[: len(demands) // 2], demands[len(demands) // 2 :]
        of_later = self._needed(self._area(earlier, bad), later)
        return self._needed(self._area(of_later, bad), earlier) + of_later

    def _in_order(self, demands: Iterable[Demand]) -> list[Demand]:
        order = [MACHINE, *AXES, KEPT, *self.universe.features]
        return sorted(
            demands,
            key=lambda d: (1, self.asked.index(d.name)) if d.asked else (0, order.index(str(d.name))),
        )

    def _placed(self, demands: list[Demand], seed: Variant) -> list[Demand]:
        """The demands, and the model where a range would say nothing, or end within a stretch, without it.

        A serial or engine number says nothing by itself: other models have the same.
        """
        ranges = [demand for demand in demands if demand.ranges]
        if not any(d.name != "built" or self._area(demands) & self._torn(d) for d in ranges):
            return demands
        if any(demand.name == KEPT and demand.any_of != (ABSENT,) for demand in demands):
            return demands
        return list(dict.fromkeys([*demands, self._model(seed)[0]]))

    def _widen(self, demands: Sequence[Demand], left: Variants) -> Term:
        """Let each demand take in more values, where that reaches more of what is left and nothing bad."""
        term = list(self._widen_axes(demands, ()))
        torn = self.universe.none
        for demand in term:
            torn |= self._torn(demand)
        bad, gain = self.bad | (self.within & torn), left
        for at, demand in enumerate(term):
            if not demand.ranges:
                out_of_bounds, welcome = self._area(term[at + 1 :], bad), self._area(term[at + 1 :], gain)
                values = self._values(demand)
                chosen = set(demand.any_of)
                for value in values:
                    if value not in chosen:
                        more = self._set(Demand(demand.name, (value,), demand.asked))
                        if more.isdisjoint(out_of_bounds) and not more.isdisjoint(welcome):
                            chosen.add(value)
                term[at] = Demand(
                    demand.name, tuple(value for value in values if value in chosen), demand.asked
                )
            bad, gain = self._area(term[at : at + 1], bad), self._area(term[at : at + 1], gain)
        return tuple(term)

    def _values(self, demand: Demand) -> tuple[Any, ...]:
        return (
            self.universe.questions[demand.name].values
            if demand.asked
            else self.universe.values(str(demand.name))
        )

    def _widen_axes(self, demands: Sequence[Demand], beside: Sequence[Demand]) -> Term:
        """Let each range reach as far as nothing bad is met."""
        term = list(demands)
        for at, demand in enumerate(term):
            if not demand.ranges:
                continue
            others = self._area([*beside, *term[:at], *term[at + 1 :]])
            axis, interval = str(demand.name), demand.any_of[0]
            begins, ends = self.universe.ends(axis)
            if interval.lo is not None:
                lower = [n for n in reversed(begins) if n < interval.lo]
                interval = self._farthest(
                    axis, interval, [Interval(n, interval.hi) for n in (*lower, None)], others
                )
            if interval.hi is not None:
                upper = [n for n in ends if n > interval.hi]
                interval = self._farthest(
                    axis, interval, [Interval(interval.lo, n) for n in (*upper, None)], others
                )
            term[at] = Demand(axis, (interval,))
        return tuple(term)

    def _farthest(self, axis: str, interval: Interval, wider: list[Interval], others: Variants) -> Interval:
        """The narrowest range that reaches as much as any wider one; no end, if that is no more."""
        best = interval
        inside, partly = self.universe.reach(axis, best)
        reached = inside | partly
        for each in wider:
            inside, partly = self.universe.reach(axis, each)
            zone = inside | partly
            if not others.isdisjoint(zone & self.bad):
                break
            more = not others.isdisjoint(zone - reached)
            if others.isdisjoint(partly) and (more or each is wider[-1]):
                best, reached = each, zone
        return best

    def _closed(self, term: Term) -> Term:
        """The term with open ranges closed where its one model ends: it says more and means the same."""
        models = next((demand.any_of for demand in term if demand.name == MACHINE and not demand.asked), ())
        closed = list(term)
        for at, demand in enumerate(term):
            if len(models) == 1 and demand.ranges:
                model, axis, interval = str(models[0]), str(demand.name), demand.any_of[0]
                extent = self.universe.extent(axis, model)
                lo = extent.lo if interval.lo is None else interval.lo
                closed[at] = Demand(axis, (Interval(lo, extent.hi if interval.hi is None else interval.hi),))
        return tuple(closed)


class Speech:
    """How the things of a universe are called in words."""

    def __init__(self, universe: Universe) -> None:
        self.universe = universe
        taken = [*universe.machines, *(machine.name for machine in universe.machines.values())]
        #: What words call a model: its name, where that is its own and plain, else its id.
        self.models = {
            id: machine.name
            if plain(machine.name) and taken.count(machine.name) == 1 + (machine.name == id)
            else quoted(id)
            for id, machine in universe.machines.items()
        }

    def text(self, terms: Iterable[Term]) -> str:
        """All terms; `every machine` for one that demands nothing."""
        return ", or ".join(self._term(term) for term in terms)

    def _term(self, term: Term) -> str:
        head: list[str] = []
        fitted: list[str] = []
        for demand in term:
            if demand.asked or demand.name in self.universe.features:
                fitted.append(self._fitted(demand))
            elif demand.name == MACHINE:
                head.append(" or ".join(self.models[str(value)] for value in demand.any_of))
            elif demand.name == KEPT:
                ids = (
                    "not kept" if value == ABSENT else f"kept {quoted(str(value))}" for value in demand.any_of
                )
                head.append(" or ".join(ids))
            else:
                head.append(f"{demand.name} {demand.any_of[0]}")
        named = bool(term) and not term[0].asked and term[0].name in (MACHINE, KEPT)
        if not named or head[0].startswith("not kept"):
            head.insert(0, ANY)
        return " ".join(head) + (f" with {' and '.join(fitted)}" if fitted else "")

    def _fitted(self, demand: Demand) -> str:
        if not demand.asked:
            values = ("no" if value == ABSENT else quoted(str(value)) for value in demand.any_of)
            return f"{' or '.join(values)} {quoted(str(demand.name))}"
        label = quoted(self.universe.questions[demand.name].says, phrase=True)
        if demand.any_of[0] is True:
            return f"{label} fitted"
        if demand.any_of[0] is False:
            return f"{label} not fitted"
        return f"{label} answered {' or '.join(quoted(str(value)) for value in demand.any_of)}"

    def describe(self, variant: Variant, reasons: Term) -> str:
        """One machine, in a sentence's words."""
        name = self.universe.machines[variant.machine].name
        model = f"{'an' if name[:1].lower() in 'aeiou' else 'a'} {name}"
        parts = [model] if variant.kept is None else [f"kept machine {variant.kept}", model]
        parts += [reach(str(d.name), d.any_of[0]) for d in reasons if d.ranges]
        fitted = [self._fitted(d) for d in reasons if not d.ranges]
        return ", ".join(parts + ([f"with {' and '.join(fitted)}"] if fitted else []))


def reach(axis: str, value: Interval) -> str:
    """A range in a sentence: `built 1967 or later`."""
    label = "engine number" if axis == "engine" else axis
    if value.hi is None:
        return f"{label} {value.lo} or later"
    if value.lo is None:
        return f"{label} {value.hi} or earlier"
    return f"{label} {value.lo}" if value.lo == value.hi else f"{label} {value.lo} to {value.hi}"


def plain(text: str) -> bool:
    """Whether a name can stand in words as it is."""
    parts = text.split(" ")
    return all(
        part and TOKEN.fullmatch(part) and part[0] not in '",' and part not in RESERVED for part in parts
    )


def quoted(text: str, phrase: bool = False) -> str:
    """A name as it stands in words; `phrase`: it may be several words."""
    return text if plain(text) and (phrase or " " not in text) else json.dumps(text, ensure_ascii=False)


def read_words(text: str, universe: Universe) -> Variants:
    """The set that words stand for.

    Raises: UnreadableError, for a text that is not in the form of words, or a name that two things share;
    UnknownNameError, for a name that nothing has; NotToldApartError, for a range at which nothing is split.
    """
    if text == EVERY:
        return universe.all
    if text == NONE:
        return universe.none
    return Reader(text, universe).read()


class Reader:
    """Reads words, one word or mark after the other."""

    def __init__(self, text: str, universe: Universe) -> None:
        self.text = text
        self.universe = universe
        self.tokens = TOKEN.findall(text)
        self.at = 0
        self.models = {called: id for id, called in Speech(universe).models.items()}

    def read(self) -> Variants:
        found = self.term()
        while self.at < len(self.tokens):
            self.expect(",")
            self.expect("or")
            found |= self.term()
        return found

    def term(self) -> Variants:
        found = self.universe.all
        if not self.take(ANY) and self.peek() != KEPT:
            found &= self.universe.test(MACHINE, self.several(self.model))
        ranges: list[tuple[str, list[Interval]]] = []
        while self.peek() in AXES:
            ranges.append((self.next(), self.several(self.interval)))
        if self.peek() in (KEPT, "not"):
            found &= self.universe.test(KEPT, self.several(self.kept))
        if self.take("with"):
            found &= self.fitted()
            while self.take("and"):
                found &= self.fitted()
        for axis, intervals in ranges:  # last: they need only be told apart among what is left
            found = self.universe.test(axis, intervals, found)
        return found

    def model(self) -> str:
        called = [call for call in self.models if self.stands(call)]
        if not called:
            raise UnknownNameError("machine", self.next(), self.universe.machines)
        best = max(called, key=len)
        self.at += len(TOKEN.findall(best))
        return self.models[best]

    def kept(self) -> str:
        if self.take("not"):
            self.expect(KEPT)
            return ABSENT
        self.expect(KEPT)
        return self.name()

    def interval(self) -> Interval:
        found = RANGE.fullmatch(self.next())
        if found is None or (found[3] and not found[2]) or not found[0]:
            raise self.unreadable("a range like 1967..1974", self.at - 1)
        lo, hi = (None if end is None else int(end) for end in found.group(1, 3))
        return Interval(lo, hi if found[2] else lo)

    def fitted(self) -> Variants:
        called = {question.says for question in self.universe.questions.values() if self.asks(question.says)}
        if not called:
            values = self.several(lambda: ABSENT if self.take("no") else self.name())
            return self.universe.test(self.name(), values)
        says = max(called, key=len)
        keys = [key for key, question in self.universe.questions.items() if question.says == says]
        if len(keys) > 1:
            raise self.unreadable(f"a name of its own: {len(keys)} things are called {says!r}", self.at)
        self.at += len(TOKEN.findall(quoted(says, phrase=True)))
        ways = self.universe.ways(keys[0])
        if not self.take("answered"):
            there = not self.take("not")
            self.expect("fitted")
            answers: list[str | bool] = [there]
        else:
            answers = list(self.several(self.name))
        found = self.universe.none
        for answer in answers:
            if answer not in ways:
                raise UnknownNameError(f"answer to {says}", str(answer), map(str, ways))
            found |= ways[answer]
        return found

    def asks(self, says: str) -> bool:
        """Whether a look or question of this name stands next."""
        called = quoted(says, phrase=True)
        after = self.tokens[self.at + len(TOKEN.findall(called)) :]
        return self.stands(called) and (
            after[:1] in (["fitted"], ["answered"]) or after[:2] == ["not", "fitted"]
        )

    def stands(self, called: str) -> bool:
        parts = TOKEN.findall(called)
        return bool(self.tokens[self.at : self.at + len(parts)] == parts)

    def several(self, read: Callable[[], T]) -> list[T]:
        found = [read()]
        while self.take("or"):
            found.append(read())
        return found

    def name(self) -> str:
        token = self.next()
        if token.startswith('"'):
            return str(json.loads(token))
        if not plain(token):
            raise self.unreadable("a name", self.at - 1)
        return token

    def peek(self) -> str | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def next(self) -> str:
        token = self.peek()
        if token is None:
            raise self.unreadable("more words", self.at)
        self.at += 1
        return token

    def take(self, token: str) -> bool:
        if self.peek() == token:
            self.at += 1
            return True
        return False

    def expect(self, token: str) -> None:
        if not self.take(token):
            raise self.unreadable(repr(token), self.at)

    def unreadable(self, wanted: str, at: int) -> UnreadableError:
        there = f"{self.tokens[at]!r}" if at < len(self.tokens) else "the end"
        return UnreadableError(self.text, at, f"expected {wanted}, found {there}")
