"""How things, tools, quantities and sets of machines are called on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import accumulate
from operator import and_
from typing import Any, NamedTuple

from ..machines import words
from ..machines.catalogue import ABSENT, Interval
from ..machines.variants import Variants
from ..machines.words import plain, quoted
from ..proof import Proofs
from ..proof.items import Item
from ..reading.applies import AXES, OF_MACHINES, Differing, Not, Test
from ..reading.kinds import LOOK
from ..reading.model import Stages, Supply, Thing, Tool
from ..reading.quantity import Kind, Pair, Quantity, Range

__all__ = [
    "Speaker",
    "called",
    "item_called",
    "many",
    "measured",
    "plain_words",
    "sentence",
    "speaker_of",
    "tool_called",
    "torque_said",
]

#: For each kind, its unit in a metric and in an imperial manual. Sizes of things are names, never converted.
UNITS = {
    Kind.TORQUE: ("N·m", "lbf·ft"),
    Kind.MASS: ("kg", "lb"),
    Kind.VOLUME: ("L", "UK pt"),
}

#: A fraction of an inch within an id: `washer-5-16`.
FRACTION = re.compile(r"\b(\d{1,2}) (2|4|8|16|32|64)\b")


def called(thing: Thing | Supply | Tool) -> str:
    """Its own words, else its id read as words: `mounting bolts`, `spring washer 5/16`."""
    return thing.name or as_words(thing.id)


@lru_cache(maxsize=1 << 14)
def as_words(id: str) -> str:
    """An id read as words."""
    text = id.replace("-", " ")
    text = FRACTION.sub(lambda m: f"{m[1]}/{m[2]}" if int(m[1]) < int(m[2]) else m[0], text)
    return re.sub(r"\bm(\d+)\b", r"M\1", text)


def item_called(item: Item) -> str:
    """A thing, and where it is if there are several places."""
    return called(item.thing) if item.place is None else f"{called(item.thing)}, {item.place}"


def tool_called(tool: Tool) -> str:
    """A tool by its name, else by its kind and what it fits, else by its id: `spanner 17 mm`."""
    if tool.name:
        return tool.name
    if tool.fits:
        return f"{tool.kind} {', '.join(map(str, tool.fits))}"
    if tool.range is not None:
        return f"{tool.kind} {tool.range}"
    if tool.square:
        return f"{tool.kind} {', '.join(map(str, tool.square))}"
    return called(tool)


@lru_cache(maxsize=1 << 14)
def measured(value: Any, order: str) -> str:
    """A quantity in the order of the manual's units, the other one in brackets; other values as they read.

    `order`: `metric first`, `imperial first`, `metric` or `imperial`.
    """
    if value is LOOK:
        return "look"
    if not isinstance(value, (Quantity, Range, Pair)) or value.kind not in UNITS:
        return str(value)
    metric, imperial = UNITS[value.kind]
    units = (imperial, metric) if order.startswith("imperial") else (metric, imperial)
    return value.show(*(units if order.endswith("first") else units[:1])).replace("..", " to ")


def torque_said(torque: Any, order: str) -> str:
    """A tightness as it stands at the end of a line: `45 N·m (33 lbf·ft)`, `by hand`, or its stages."""
    if torque == "hand":
        return "by hand"
    if torque is LOOK:
        return "torque not known: look"
    if isinstance(torque, Stages):
        stages = ", then ".join(measured(stage, order) for stage in torque.stages)
        after = torque.again.after if torque.again is not None else None
        return f"{stages}, and again after {after}" if after else stages
    return measured(torque, order)


def many(count: int, what: str) -> str:
    """How many of something: `2 spring washers M10`. The last word that is no size takes the plural."""
    words_of = what.split(" ")
    last = max((at for at, word in enumerate(words_of) if word.isalpha() and len(word) > 1), default=None)
    if last is not None and count != 1 and not words_of[last].endswith("s"):
        words_of[last] += "s"
    elif last is not None and count == 1 and words_of[last].endswith("s"):
        words_of[last] = words_of[last].removesuffix("s")
    return f"{count} {' '.join(words_of)}"


def sentence(text: str) -> str:
    """A text as a sentence: a capital in front, a full stop behind."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?", ":")) else ".")


def plain_words(text: str) -> str:
    """The exact words of a set as a reader sees them: `built 1964..` becomes `built 1964 or later`."""
    text = re.sub(r"(?<=, or )machines |^machines ", "", text)
    text = re.sub(r"(\d+)\.\.(\d+)", r"\1 to \2", text)
    text = re.sub(r"\.\.(\d+)", r"up to \1", text)
    return re.sub(r"(\d+)\.\.", r"\1 or later", text)


class Simple(NamedTuple):
    """Words for the machines that one test picks."""

    text: str
    there: Variants

    @property
    def feature(self) -> bool:
        return self.text.startswith("with ")


class Speaker:
    """Says sets of machines in words; one for a manual, and each set is worked out once."""

    def __init__(self, manual: Proofs) -> None:
        self.resolver = manual.resolver
        self.universe = manual.resolver.universe
        self._said: dict[tuple[Variants, Variants], str | None] = {}
        self._simple = list(self.simple())

    def only(self, of: Variants, within: Variants, hint: str | None = None) -> str | None:
        """What tells these machines from the rest; None if they are all of `within`.

        `hint`: words of the author's own for the same machines, taken where they are no longer, or where the
        others say what is not there.
        """
        key = (of & within, within)
        if key not in self._said:
            self._said[key] = None if within <= of else self.say(*key)
        said = self._said[key]
        if said is None or not hint:
            return said
        return hint if len(hint) <= len(said) or (" no " in said and " no " not in hint) else said

    def say(self, of: Variants, within: Variants) -> str:
        """One model, one value or one stretch of years if that is enough, else several values together.

        Else the exact words, which take long.
        """
        simple = [*self._simple, *self.looked_at(of)]
        fitting = [each.text for each in simple if within & each.there is of]
        if fitting:
            return min(fitting, key=lambda text: (" no " in text, len(text), text))
        return self.together(of, within, simple) or plain_words(words(of, self.universe, within))

    def together(self, of: Variants, within: Variants, simple: list[Simple]) -> str | None:
        """Values of features that all hold, where none can be spared: no exact words are shorter.

        None if it takes more than that, or if there is a choice of what to name.
        """
        around = [each for each in simple if of <= each.there]
        sets = [each.there for each in around]
        before = list(accumulate(sets, and_, initial=within))
        behind = list(accumulate(reversed(sets), and_, initial=within))[::-1]
        needed = [each for at, each in enumerate(around) if before[at] & behind[at + 1] is not of]
        [*_, left] = accumulate((each.there for each in needed), and_, initial=within)
        if left is not of or not all(each.feature for each in needed):
            return None
        text = f"with {' and '.join(each.text.removeprefix('with ') for each in needed)}"
        return text if len(text) <= len(self.models(of)) else None

    def models(self, of: Variants) -> str:
        """The names of all models that are in a set."""
        machines = self.universe.machines.items()
        return " or ".join(each.name for id, each in machines if not self.universe.machine(id).isdisjoint(of))

    def simple(self) -> Iterator[Simple]:
        """Words for one model, one value of a feature, or the years from or up to a change."""
        for id, machine in self.universe.machines.items():
            if plain(machine.name):
                yield Simple(machine.name, self.universe.machine(id))
        for feature in self.universe.features:
            for value in (*self.universe.values(feature), ABSENT):
                text = f"with no {feature}" if value == ABSENT else f"with {value} {feature}"
                yield Simple(text, self.universe.test(feature, (value,)))
        firsts, lasts = self.universe.ends("built")
        for first in firsts:
            inside, partly = self.universe.reach("built", Interval(first, None))
            if not partly:
                yield Simple(f"built {first} or later", inside)
        for last in lasts:
            inside, partly = self.universe.reach("built", Interval(None, last))
            if not partly:
                yield Simple(f"built up to {last}", inside)

    def looked_at(self, of: Variants) -> Iterator[Simple]:
        """Words for what only a look at the machine tells, where the set depends on it."""
        for key in self.universe.asked(of):
            label = quoted(self.universe.questions[key].says, phrase=True)
            for answer, there in self.universe.ways(key).items():
                looked = "fitted" if answer else "not fitted"
                said = f"answered {answer}" if isinstance(answer, str) else looked
                yield Simple(f"with {label} {said}", there)

    def cases(self, differing: Differing | None) -> list[tuple[Variants, Any, str | None]]:
        """Its values, each with its machines and the author's words for them.

        Empty for all, None for `else`.
        """
        if differing is None:
            return []
        if differing.plain:
            return [(self.resolver.all, differing.cases[0].value, "")]
        found = [
            (self.resolver.tests(case.tests or ()), case.value, hint(case.tests)) for case in differing.cases
        ]
        return [case for case in found if case[0]]


def speaker_of(manual: Proofs) -> Speaker:
    """The manual's speaker."""
    known: Speaker | None = manual.views.get("speaker")
    if known is None:
        known = manual.views["speaker"] = Speaker(manual)
    return known


def hint(tests: tuple[Test, ...] | None) -> str | None:
    """The tests of one case as words.

    `with diesel fuel`, `built 1967 or later`; None where it is what is left.
    """
    if not tests or len(tests) > 1 or isinstance(tests[0], Not):
        return None
    test = tests[0]
    values = " or ".join(map(str, test.any_of))
    if test.feature in AXES:
        return plain_words(f"{test.feature} {values}")
    if test.feature in OF_MACHINES:
        return None
    return f"with no {test.feature}" if values == "absent" else f"with {values} {test.feature}"
