"""A synthetic manual of any size, for measuring: clean by construction, and the same for the same seed.

    python tests/bench/generate.py OUT --procedures 1000 --machines 30 --options 25

Machines and everything else in it are invented. Each procedure mentions at most six features itself; what it
calls mentions others. Whatever two procedures of one job could disturb twice belongs to one of them alone.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from random import Random
from textwrap import indent

if __name__ == "__main__":
    sys.path[0] = str(Path(__file__).resolve().parents[1])  # in place of this folder

from bench import vocabulary as words
from bench.fixed import BOOK, FILES, INVENTED, OPENERS

__all__ = ["MOST_FEATURES", "generate", "main"]

#: How many features one procedure mentions at most.
MOST_FEATURES = 6

#: About how many steps a procedure has.
STEPS = 30

#: Which share of the procedures calls others at most so many levels deep.
LEVELS = ((0, 0.24), (1, 0.26), (2, 0.28), (3, 0.22))


@dataclass(frozen=True)
class Feature:
    """A feature with its two values; `open` says that every machine has it either way."""

    id: str
    values: tuple[str, str]
    tell: str
    open: bool


HARDWARE = Feature("hardware", ("unified", "metric"), "", open=False)


@dataclass(frozen=True)
class Procedure:
    """What callers must know of a procedure; `below` are the procedures that it reaches, itself included."""

    id: str
    level: int
    title: str
    group: int
    applies: tuple[str, str] | None
    below: frozenset[str]


def generate(
    procedures: int, machines: int, options: int, seed: int = 1, restricted: int | None = None
) -> dict[str, str]:
    """All files of a manual and its book: path -> text.

    `procedures`: how many, the openers of conditions among them (at least 5). `options`: features that every
    machine has either way. `restricted`: if given, all procedures but the openers apply to so many machines.

    Raises: ValueError for a number that is too small or too large.
    """
    if (
        procedures <= len(OPENERS)
        or machines < 1
        or options < 1
        or (restricted is not None and restricted < 1)
    ):
        raise ValueError(f"needs {len(OPENERS) + 1} procedures, 1 machine and 1 option, or more of each")
    features = [*settled_features(), *option_features(options)]
    names = machine_names(machines)
    files = {
        "procedures/machines.yaml": machines_file(names, features, Random(f"{seed}/machines")),
        **{f"procedures/{path}": (text if "/" in path else INVENTED + text) for path, text in FILES.items()},
        **jobs(procedures - len(OPENERS), names, features, seed, restricted),
        **{f"book/{path}": text for path, text in BOOK.items()},
    }
    return dict(sorted(files.items()))


# --------------------------------------------------------------------------------------------------- machines


def settled_features() -> list[Feature]:
    """Features that each machine has one way, or changed from one way to the other."""
    return [Feature(id, (one, other), tell, open=False) for id, one, other, tell in words.SETTLED]


def option_features(count: int) -> list[Feature]:
    """Features that are open on every machine."""
    found = [
        Feature(id, (one, other), f"Look whether it is {one} or {other}.", open=True)
        for id, one, other in words.OPTIONS
    ]
    number = 0
    while len(found) < count:
        for place, thing in product(words.OPTION_PLACES, words.OPTION_THINGS):
            values = words.OPTION_VALUES[len(found) % len(words.OPTION_VALUES)]
            id = f"{place}-{thing}" if number == 0 else f"{place}-{thing}-{number + 1}"
            found.append(Feature(id, values, f"Look whether it is {values[0]} or {values[1]}.", open=True))
        number += 1
    return found[:count]


def machine_names(count: int) -> list[str]:
    """Names of models; beyond the list they are numbered in words of the range."""
    names = [f"{model} {kind}".strip() for kind, model in product(words.RANGES, words.MODELS)]
    while len(names) < count:
        names.extend([f"{name} Mark {len(names) // 176 + 1}" for name in names[:176]])
    return names[:count]


def machines_file(names: Sequence[str], features: Sequence[Feature], rng: Random) -> str:
    """machines.yaml: every machine was built across the change from unified to metric hardware."""
    lines = [INVENTED, "features:"]
    for feature in features:
        lines.append(f"  {feature.id}:\n    is: [{', '.join(feature.values)}]\n    tell: {feature.tell}")
    lines.append("\nhardware: {..1963: unified, 1964..: metric}\n\nmachines:")
    settled = [feature for feature in features if not feature.open]
    for number, name in enumerate(names):
        first, last = rng.randint(1952, 1961), rng.randint(1966, 1975)
        start = 1000 * rng.randint(1, 60) + 1
        serial = number % 3 == 0
        lines.append(f"  {slug(name)}:\n    name: {name}\n    built: {first}..{last}")
        if serial:
            lines.append(f"    serial: {start}..{start + 9000}")
        lines.append(f"    mass: {rng.randrange(900, 1900, 10)} kg\n    has:")
        for at, feature in enumerate(settled):
            one, other = feature.values
            change = (number + at) % 4 if number else 2  # the first machine has every value
            if change == 2 and serial:
                cut = start + rng.randint(2000, 7000)
                value = f"{{serial: {{..{cut}: {one}, {cut + 1}..: {other}}}}}"
            elif change >= 2:
                value = f"{{..{first + 3}: {one}, {first + 4}..: {other}}}"
            else:
                value = feature.values[change]
            lines.append(f"      {feature.id}: {value}")
        lines.extend(f"      {f.id}: [{', '.join(f.values)}]" for f in features if f.open)
    return "\n".join(lines) + "\n"


def slug(text: str) -> str:
    """A text as a name that other entries use."""
    return "".join(char if char.isalnum() else "-" for char in text.lower())


# ------------------------------------------------------------------------------------------------- procedures


def jobs(
    count: int, names: Sequence[str], features: Sequence[Feature], seed: int, restricted: int | None
) -> dict[str, str]:
    """The procedures that take something off: path -> text, those that call nothing first."""
    files: dict[str, str] = {}
    known: list[list[Procedure]] = []
    groups = (
        [names]
        if restricted is None
        else [names[at : at + restricted] for at in range(0, len(names), restricted)]
    )
    for number, (which, unit) in enumerate(units(count)):
        rng = Random(f"{seed}/{number}")
        group = number % len(groups)
        if group == len(known):
            known.append([])
        system = list(words.CARRIED)[number % len(words.CARRIED)]
        only = () if restricted is None else groups[group]
        draft = Draft(rng, f"{which} {unit}", unit, system, features, level_of(number / count), only)
        draft.call(known[group])
        text = draft.write()
        known[group].append(draft.outcome(group))
        files[f"procedures/{system}/{draft.id}.yaml"] = text
    return files


def units(count: int) -> Iterator[tuple[str, str]]:
    """Which unit each procedure is about; no two alike."""
    number = 0
    seconds = ("", *(f"{which} " for which in words.WHICH))
    for second, which, unit in product(seconds, words.WHICH, words.UNITS):
        if second.strip() != which:
            yield f"{second}{which}", unit
            number += 1
            if number == count:
                return
    raise ValueError("there are not so many names for procedures")


def level_of(share: float) -> int:
    """How deep the procedure that stands at `share` of the list may call."""
    upto = 0.0
    for level, part in LEVELS:
        upto += part
        if share < upto:
            return level
    return LEVELS[-1][0]


@dataclass
class Draft:
    """One procedure being written: blocks of steps that fit together on every machine, with their things."""

    rng: Random
    name: str
    unit: str
    system: str
    all_features: Sequence[Feature]
    level: int
    only: Sequence[str] = ()
    features: list[Feature] = field(default_factory=list)
    applies: tuple[str, str] | None = None
    calls: list[Procedure] = field(default_factory=list)
    first: set[str] = field(default_factory=set)
    things: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    lines: list[str] = field(default_factory=list)
    finish: list[str] = field(default_factory=list)
    steps: int = 0
    where: str | None = None

    def __post_init__(self) -> None:
        rng = self.rng
        self.id = slug(self.name)
        self.title = f"Remove and refit the {self.name}"
        pool = [feature for feature in self.all_features if feature.open or not self.only]
        room = MOST_FEATURES - 1 - bool(self.only)
        self.features = rng.sample(pool, min(len(pool), room, rng.choice((2, 3, 4, 4, room))))
        settled = [feature for feature in self.all_features if not feature.open]
        if not self.only and rng.random() < 0.1:
            chosen = rng.choice(settled)
            self.features = [feature for feature in self.features if feature is not chosen]
            self.features = self.features[: room - 1]
            self.applies = chosen.id, rng.choice(chosen.values)
        self.first.add("parking-brake-set")
        if rng.random() < 0.4:
            self.where = "under"
            self.first.add("raised-and-supported")
        elif rng.random() < 0.2:
            self.where = "fan"
            self.first.add("engine-cannot-start")

    # calls

    def call(self, known: Sequence[Procedure]) -> None:
        """Choose what is called: no procedure may be reached twice in one job."""
        deepest = [each for each in known if each.level == self.level - 1]
        others = [each for each in known if each.level < self.level]
        taken: frozenset[str] = frozenset()
        for number in range(self.rng.choice((1, 2, 3, 3)) if self.level else 0):
            pool = deepest if number == 0 else others
            for _ in range(8 if pool else 0):
                callee = self.rng.choice(pool)
                if not (callee.below & taken) and self.may_guard(callee.applies):
                    self.calls.append(callee)
                    taken |= callee.below
                    break
        if not self.calls:
            self.level = 0

    def may_guard(self, applies: tuple[str, str] | None) -> bool:
        """May a procedure that covers only some machines be called, under a `when` where that is needed?"""
        if applies is None or applies == self.applies:
            return True
        if self.applies is not None and applies[0] == self.applies[0]:
            return False
        feature = next(feature for feature in self.all_features if feature.id == applies[0])
        if feature not in self.features:
            if len(self.features) + 1 + bool(self.applies) >= MOST_FEATURES:
                return False
            self.features.append(feature)
        return True

    def outcome(self, group: int) -> Procedure:
        """What a caller must know of it."""
        below = frozenset({self.id}).union(*(each.below for each in self.calls))
        level = 1 + max(each.level for each in self.calls) if self.calls else 0
        return Procedure(self.id, level, self.title, group, self.applies, below)

    # writing

    def write(self) -> str:
        """The text of the file."""
        rng = self.rng
        for callee in self.calls:
            self.call_block(callee)
        blocks = [
            self.connections_block,
            self.drain_block,
            self.adjust_block,
            self.pair_block,
            self.group_block,
        ]
        chosen = [self.connections_block, *rng.sample(blocks[1:], rng.choice((1, 1, 2)))]
        rng.shuffle(chosen)
        self.unit_block(chosen)
        while self.steps < STEPS - 4:
            self.look_block()
        self.finally_block()
        return (
            "\n".join(
                [*self.head(), *self.declared(), "", "steps:", *self.lines, "", "finally:", *self.finish]
            )
            + "\n"
        )

    def head(self) -> Iterator[str]:
        rng = self.rng
        least = rng.randrange(10, 60, 5)
        yield f"title: {self.title}"
        yield f"system: {self.system}"
        yield "status: issued"
        if self.only:
            yield f"applies: {{machine: [{', '.join(map(slug, self.only))}]}}"
        elif self.applies:
            yield f"applies: {mapping(self.applies)}"
        yield f"purpose: {rng.choice(words.PURPOSES)}"
        yield "symptoms:"
        yield from (f"  - {symptom}" for symptom in rng.sample(words.SYMPTOMS, 1))
        yield f"skill: {rng.choice(words.SKILLS)}"
        yield f"time: {{least: {least} min, likely: {least + 15} min, most: {2 * least + 30} min}}"
        order = (
            "parking-brake-set", "engine-cold", "raised-and-supported", "battery-isolated",
            "engine-cannot-start", "oil-pressure-let-off",
        )  # fmt: skip
        yield f"first: [{', '.join(each for each in order if each in self.first)}]"
        yield ""

    def declared(self) -> Iterator[str]:
        for kind in ("parts", "fixings", "connections", "controls", "fluids"):
            if kind in self.things:
                yield f"{kind}:"
                for name, keys in self.things[kind].items():
                    if sum(map(len, keys)) < 70:
                        yield f"  {name}: {{{', '.join(keys)}}}"
                    else:
                        yield f"  {name}:"
                        yield from (f"    {key}" for key in keys)

    def declare(self, kind: str, name: str, *keys: str) -> str:
        """Declare a thing; its name if that is free, else with a number behind it."""
        taken = {each for things in self.things.values() for each in things}
        free, number = name, 2
        while free in taken:
            free, number = f"{name}-{number}", number + 1
        self.things.setdefault(kind, {})[free] = [key for key in keys if key]
        return free

    def step(self, do: str | None, *keys: str, into: list[str] | None = None, extras: bool = True) -> None:
        """Write one step: the sentence, then its other keys, then now and then what else is worth saying."""
        rng = self.rng
        given = [f"do: {do}"] * (do is not None) + [key for key in keys if key]
        if self.where and into is not self.finish and rng.random() < 0.4:
            given.append(f"where: {self.where}")
        drawn = rng.random() if extras else 1.0
        if drawn < 0.04:
            given.append(f"warning: {rng.choice(words.DANGERS)} {rng.choice(words.CARES)}")
        elif drawn < 0.07:
            given.append(f"caution: {rng.choice(words.DANGERS)} {rng.choice(words.CARES)}")
        elif drawn < 0.11:
            given.append(f"notice: {rng.choice(words.DAMAGES)}")
        elif drawn < 0.16:
            given.append(f"why: {rng.choice(words.WHYS)}")
        elif drawn < 0.19:
            given.append(f"tip: {rng.choice(words.TIPS)}")
        lines = self.lines if into is None else into
        lines.append(f"  - {given[0]}")
        lines.extend(f"    {key}" for key in given[1:])
        self.steps += 1

    def some(self, chance: float = 1.0) -> str:
        """Now and then a restriction to one value of one of its features: `when: {…}`, else nothing."""
        if not self.features or self.rng.random() >= chance:
            return ""
        feature = self.rng.choice(self.features)
        return f"when: {mapping((feature.id, self.rng.choice(feature.values)))}"

    def differing(self, one: str, other: str, chance: float = 0.5) -> str:
        """A value, or now and then two by one of its features."""
        if not self.features or self.rng.random() >= chance:
            return one
        feature = self.rng.choice(self.features)
        return f"{{{feature.id}: {{{feature.values[0]}: {one}, {feature.values[1]}: {other}}}}}"

    def bolts(self, name: str, sizes: Sequence[str], *keys: str, count: int = 0) -> str:
        """Declare bolts that suit the machine's hardware. What is called alike is alike everywhere."""
        rng = Random(name)
        unified, metric, washers = words.BOLTS[rng.choice(sizes)]
        torque = (
            unified[2]
            if unified[2] == metric[2]
            else f"{{hardware: {{unified: {unified[2]}, metric: {metric[2]}}}}}"
        )
        return self.declare(
            "fixings", name, *keys,
            f"thread: {{hardware: {{unified: {unified[0]}, metric: {metric[0]}}}}}",
            f"across_flats: {{hardware: {{unified: {unified[1]}, metric: {metric[1]}}}}}",
            f"count: {count or rng.choice((2, 3, 4, 6))}", f"torque: {torque}",
            f"renew: [{washers}]" if rng.random() < 0.3 else "",
        )  # fmt: skip

    def clips(self, name: str, count: int, *keys: str) -> str:
        """Declare clips that a screwdriver opens."""
        return self.declare(
            "fixings", name, *keys, "kind: clip", "drive: slot", f"count: {count}", "torque: hand"
        )

    # blocks

    def call_block(self, callee: Procedure) -> None:
        """Another procedure's job is done first."""
        when = "" if callee.applies in (None, self.applies) else f"when: {mapping(callee.applies)}"
        self.step(f"Take the {callee.id.replace('-', ' ')} out of the way.", f"call: {callee.id}", when)

    def unit_block(self, inside: Iterable[Callable[[], None]]) -> None:
        """A cover, what joins the unit, the unit, what lies behind it."""
        rng = self.rng
        unit = slug(self.unit)
        cover_name = rng.choice(words.COVERS)
        cover = slug(cover_name)
        self.step(f"Clean the dirt off around the {self.unit}.", "tools: [wire-brush, goggles]")
        clips = self.clips(f"{cover}-clips", 4, f"with: {cover}")
        presence = "fitted: look" if rng.random() < 0.08 else self.some(0.6)
        self.declare("parts", cover, presence, f"covers: [{unit}, {unit}-bolts]", f"held_by: [{clips}]")
        self.step(None, f"undo: {clips}", f"remove: {cover}", f"keep: {rng.choice(words.KEEPS)}")
        for block in inside:
            block()
        bolts = self.bolts(f"{unit}-bolts", ("medium", "large"))
        held = [bolts]
        if rng.random() < 0.4:
            held.append(self.clips(f"{unit}-clips", 2, self.some()))
        joined = f"joined_by: [{', '.join(self.things.get('connections', {}))}]"
        light = rng.randrange(8, 50)
        mass = f"mass: {self.differing(f'{light / 10} kg', f'{(light + 6) / 10} kg')}"
        inner_name = rng.choice(words.INNER)
        covers = f"covers: [{slug(inner_name)}, {slug(inner_name)}-clips]"
        self.declare("parts", unit, mass, f"held_by: [{', '.join(held)}]", joined, covers)
        self.step(f"Hold the {self.unit} with one hand, and undo its bolts.", f"undo: [{', '.join(held)}]")
        self.step(f"Draw the {self.unit} off its seat.", f"remove: {unit}")
        self.look_at(unit, self.unit)
        inner_clips = self.clips(f"{slug(inner_name)}-clips", 2, self.some(0.3))
        inner = self.declare("parts", slug(inner_name), f"held_by: [{inner_clips}]", self.some(0.3))
        self.step(f"Undo what holds the {inner_name}.", f"undo: {inner_clips}")
        self.step(f"Lift the {inner_name} out.", f"remove: {inner}", f"keep: {rng.choice(words.KEEPS)}")
        self.look_at(inner, inner_name)

    def connections_block(self) -> None:
        """Marks and takes off what joins the unit to the rest."""
        rng = self.rng
        kind = rng.choice(words.CARRIED[self.system])
        needed = {
            "electrical": "battery-isolated",
            "coolant": "engine-cold",
            "oil": "oil-pressure-let-off",
        }.get(kind)
        if needed:
            self.first.add(needed)
        chosen = rng.sample(words.CONNECTIONS[kind], rng.choice((2, 2, 3)))
        ids = []
        for number, name in enumerate(chosen):
            if kind == "electrical" and number:
                held = "end: blade"
            elif kind in ("electrical", "oil"):
                held = (
                    f"fixing: {self.bolts(f'{slug(name)}-nut', ('small',), f'with: {slug(name)}', count=1)}"
                )
            else:
                held = f"fixing: {self.clips(f'{slug(name)}-clip', 1, f'with: {slug(name)}')}"
            mark = f'mark: "{rng.randint(1, 87)}"' if kind == "electrical" else ""
            when = self.some(0.5) if number else ""
            ids.append(self.declare("connections", slug(name), when, f"kind: {kind}", mark, held))
        self.step(None, f"mark: [{', '.join(ids)}]", 'supplies: {wire-tags: "3"}')
        for id, name in zip(ids, chosen, strict=True):
            self.step(f"Take the {name} off its end.", f"disconnect: {id}")

    def drain_block(self) -> None:
        """Lets a fluid out."""
        rng = self.rng
        kind, supply = rng.choice(list(words.FLUIDS.items()))
        if kind == "coolant":
            self.first.add("engine-cold")
        litres = rng.randrange(12, 60)
        amount = self.differing(f"{litres / 10} L", f"{(litres + 8) / 10} L")
        fluid = self.declare(
            "fluids", f"{slug(self.unit)}-{kind}", f"kind: {kind}", f"amount: {amount}", f"supply: {supply}"
        )
        plug = self.bolts("drain-plug", ("large",), count=1)
        self.step("Set the tray beneath the plug.", "tools: [drain-tray, rubber-gloves]")
        self.step(
            f"Undo the plug, and let the {kind} run out.",
            f"undo: {plug}",
            f"drain: {fluid}",
            "waiting: 10 min",
        )
        self.step(
            "Pour it into its container, and note how much there was.",
            "record: how much came out",
            "tools: [measuring-jug]",
        )

    def adjust_block(self) -> None:
        """Slackens what is adjusted."""
        name = self.rng.choice(words.ADJUSTERS)
        bolt = self.bolts(f"{slug(name)}-bolt", ("medium",), count=1)
        control = self.declare(
            "controls", slug(name), self.some(0.3), "settings: [tight, slack]", "normally: tight"
        )
        self.step(f"Slacken the bolt of the {name} by one turn.", f"slacken: {bolt}")
        self.step(f"Push the {name} over as far as it goes.", f"set: {{{control}: slack}}")
        cock = self.rng.choice(words.CONTROLS)
        other = self.declare(
            "controls", slug(cock), self.some(0.5), "settings: [open, closed]", "normally: open"
        )
        self.step(f"Turn the {cock} until it stops.", f"set: {{{other}: closed}}")

    def pair_block(self) -> None:
        """The same on both sides, or only on one."""
        rng = self.rng
        name = rng.choice(words.PAIRED)
        one, other = rng.choice(words.PAIRS)
        places = f"places: [{one}, {other}]"
        bolts = self.bolts(f"{slug(name)}-bolts", ("small", "medium"), places)
        part = self.declare(
            "parts", slug(name), places, f"held_by: [{bolts}]", f"mass: {rng.randrange(5, 30) / 10} kg"
        )
        self.lines.append(f"  - heading: Take off each {name}")
        self.lines.append(f"    repeat: {self.differing(f'[{one}, {other}]', f'[{other}]')}\n    steps:")
        self.steps += 1
        inside: list[str] = []
        self.step(f"Undo the bolts of the {name}.", f"undo: {bolts}", into=inside)
        self.step(f"Work the {name} free, and take it away.", f"remove: {part}", into=inside)
        self.step(rng.choice(words.LOOKS).format(name), f"inspect: {part}", into=inside)
        self.lines.extend(indent(line, "    ") for line in inside)

    def group_block(self) -> None:
        """Some steps that concern only some machines."""
        rng = self.rng
        cock = rng.choice(words.CONTROLS)
        control = self.declare("controls", slug(cock), "settings: [open, closed]", "normally: open")
        self.lines.append(f"  - heading: Shut off the {cock}")
        self.lines.extend(f"    {key}" for key in (self.some(), "steps:") if key)
        self.steps += 1
        inside: list[str] = []
        self.step(f"Turn the {cock} until it stops.", f"set: {{{control}: closed}}", into=inside)
        self.step(rng.choice(words.LOOKS).format(cock), f"inspect: {control}", into=inside)
        self.lines.extend(indent(line, "    ") for line in inside)

    def look_at(self, part: str, name: str) -> None:
        """Looks at a part that lies on the bench, and cleans its face."""
        self.step(self.rng.choice(words.LOOKS).format(name), f"inspect: {part}", extras=False)
        self.step(self.rng.choice(words.CLEANS).format(name), f"clean: {part}", "tools: [wire-brush]")

    def look_block(self) -> None:
        """Something small: measured, or simply done."""
        rng = self.rng
        if rng.random() < 0.35:
            what, least, most, tool = rng.choice(words.MEASURES)
            when = self.some(0.4)
            self.step(
                f"Measure the {what}.",
                when,
                f"measure: {what}",
                f"least: {least}",
                f"most: {most}",
                f"tools: [{tool}]",
            )
            return
        do, supply = rng.choice(words.SMALL_JOBS)
        self.step(do, self.some(0.2), f'supplies: {{{supply}: "1"}}' if supply else "")

    def finally_block(self) -> None:
        """The proof that it works."""
        rng = self.rng
        if rng.random() < 0.5:
            self.step(
                "Put the gear lever in neutral.",
                "set: {gear: neutral}",
                "needs: [parking-brake-set]",
                into=self.finish,
                extras=False,
            )
        if self.level == LEVELS[-1][0]:
            self.step(
                "Start the engine, and let it idle.",
                "first: [nobody-beneath]",
                "makes: engine-running",
                "waiting: 2 min",
                "danger: Exhaust gas kills in a closed shed. Open the doors, and lead the gas outside.",
                into=self.finish,
                extras=False,
            )
            self.step(
                f"Look at the {self.unit} from one side.",
                f"test: {rng.choice(words.TESTS)}",
                into=self.finish,
                extras=False,
            )
            self.step("Stop the engine.", "ends: engine-running", into=self.finish, extras=False)
        self.step(
            rng.choice(words.TRIES),
            self.some(0.2),
            f"test: {rng.choice(words.TESTS)}",
            into=self.finish,
            extras=False,
        )
        self.step(
            f"Wipe the {self.unit} dry, and look at it again after a while.",
            f"test: {rng.choice(words.TESTS)}",
            into=self.finish,
        )


def mapping(pair: tuple[str, str]) -> str:
    """One feature and its value as a mapping in braces."""
    return f"{{{pair[0]}: {pair[1]}}}"


# ----------------------------------------------------------------------------------------------- command line


def main(arguments: Sequence[str] | None = None) -> None:
    """Write a manual into a folder."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("out", type=Path, help="the folder to write into")
    parser.add_argument("--procedures", type=int, default=1000)
    parser.add_argument("--machines", type=int, default=30)
    parser.add_argument("--options", type=int, default=25, help="features that every machine has either way")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--restricted", type=int, metavar="J", help="each procedure applies to J machines only"
    )
    given = parser.parse_args(arguments)
    try:
        files = generate(given.procedures, given.machines, given.options, given.seed, given.restricted)
    except ValueError as error:
        parser.error(str(error))
    for path, text in files.items():
        target = given.out / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    sys.stdout.write(f"{len(files)} files in {given.out}\n")


if __name__ == "__main__":
    main()
