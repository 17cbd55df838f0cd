"""Faults seeded one at a time into the demo: each is found in its place, for the machines it concerns."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import islice

import pytest
from demo.demo import demo, machines_of, text_at, texts
from demo.seeds import SEEDS, Seed
from greaseproof.finding import Finding
from greaseproof.machines.variants import Variants
from greaseproof.machines.words import read_words
from greaseproof.manual import Manual
from greaseproof.rules import all_rules
from proof.interpreter import Job, OneMachine, run, value_of

#: The interpreter's kind of fault that a rule tells of.
KINDS = {
    "called-beyond-its-machines": "not-covered",
    "condition-cannot-be-opened": "cannot-open",
    "condition-never-ended": "never-ended",
    "conditions-clash": "clash",
    "earth-lead-not-first-off": "earth-not-first-off",
    "earth-lead-not-last-on": "earth-not-last-on",
    "electrical-work-while-live": "need-missing",
    "fitted-while-held": "fitted-while-held",
    "needed-condition-missing": "need-missing",
    "never-restored": "never-restored",
    "part-not-in-place": "not-fitted",
    "policy-condition-missing": "need-missing",
    "put-back-twice": "put-back-twice",
    "removed-while-held": "held",
    "removed-while-joined": "joined",
    "undone-twice": "done-twice",
    "work-beneath-unsupported": "need-missing",
    "worked-at-while-covered": "covered",
}
#: How many machines of a set are tried, and how many outside it.
TRIED = 4

DEPENDING = [seed for seed in SEEDS if seed.depends_on_machine]


def names(seeds: list[Seed] | tuple[Seed, ...]) -> list[str]:
    """The names of seeds, to tell the tests apart."""
    return [seed.name for seed in seeds]


@cache
def seeded(seed: Seed) -> Manual:
    """The demo with one fault in it."""
    return Manual.read(seed.sown(texts()))


def found_by(seed: Seed) -> list[Finding]:
    """The findings of the seed's rule in the file that it points at."""
    findings = seeded(seed).report().findings
    return [each for each in findings if (each.rule, each.span.file) == (seed.rule, seed.where[0])]


def test_seeds_are_many_and_different() -> None:
    """Thirty seeds at least, a third of which concern only some machines; no two have one name."""
    assert len(SEEDS) >= 30
    assert len(DEPENDING) >= len(SEEDS) // 3
    assert len(SEEDS) == len(set(names(SEEDS)))


def test_every_rule_is_seeded() -> None:
    """No rule is left out: each is made to speak by some seed."""
    assert set() == set(all_rules()) - {seed.rule for seed in SEEDS}


@pytest.mark.parametrize("seed", SEEDS, ids=names(SEEDS))
def test_seed_is_found(seed: Seed) -> None:
    """The rule speaks at the seed's place; whatever else is found is known to follow from it."""
    expected = sorted([(seed.rule, seed.where[0]), *seed.also])
    findings = seeded(seed).report().findings
    places = [text_at(seed.sown(texts()), finding.span) for finding in found_by(seed)]

    assert expected == sorted((finding.rule, finding.span.file) for finding in findings)
    assert seed.where[1] in places


@pytest.mark.parametrize("seed", DEPENDING, ids=names(DEPENDING))
def test_machines_are_those_at_fault(seed: Seed) -> None:
    """The words of the findings, read back, give machines that the interpreter finds at fault; no others."""
    hold_against_interpreter(seed, TRIED)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", DEPENDING, ids=names(DEPENDING))
def test_all_machines_are_those_at_fault(seed: Seed) -> None:
    """The same of every machine that the procedure covers."""
    hold_against_interpreter(seed, None)


def hold_against_interpreter(seed: Seed, several: int | None) -> None:
    """Try several machines (None: all) for which the rule speaks, and several others."""
    manual = seeded(seed)
    told = machines_told(seed) & covered(seed)
    inside = list(islice(spread(manual, told), several))
    outside = list(islice(spread(manual, covered(seed) - told), several))

    assert inside
    assert outside
    assert [] == [machine for machine in inside if not at_fault(seed, machine)]
    assert [] == [machine for machine in outside if at_fault(seed, machine)]


def covered(seed: Seed) -> Variants:
    """The machines of the procedure in which the fault is found; all if it is in none."""
    manual = seeded(seed)
    procedure = found_by(seed)[0].procedure
    if procedure is None:
        return manual.resolver.all
    return manual.resolver.applies(manual.shop.procedures[procedure])


def machines_told(seed: Seed) -> Variants:
    """The machines for which the rule speaks in that file, read back from the words of the findings."""
    manual = seeded(seed)
    told = manual.resolver.none
    for finding in found_by(seed):
        assert finding.variants is not None
        assert finding.variants.example
        told |= read_words(finding.variants.words, manual.resolver.universe)
    return told


def spread(manual: Manual, of: Variants) -> Iterator[OneMachine]:
    """Machines of a set, one of each model before a second of any."""
    seen: set[str] = set()
    later = []
    for machine in machines_of(manual, of):
        if machine.id in seen:
            later.append(machine)
        else:
            seen.add(machine.id)
            yield machine
    yield from later


def at_fault(seed: Seed, machine: OneMachine) -> bool:
    """Does the interpreter find the seed's fault on this machine?"""
    shop = seeded(seed).shop
    if seed.value is None:
        procedure = found_by(seed)[0].procedure
        assert procedure is not None
        return KINDS[seed.rule] in {fault.kind for fault in run(shop, procedure, machine)}
    owner, id, key, wrong = seed.value
    thing = shop.procedures[owner].own[id] if owner else shop.things[id]
    value = value_of(shop, machine, getattr(thing, key))
    there: bool = Job(shop, machine).is_there(thing)
    return there and wrong == ("" if value is None else str(value))


def test_a_seed_without_its_place_is_told() -> None:
    """A seed whose text the demo no longer has fails, rather than testing nothing."""
    gone = Seed("gone", "tools.yaml", "no such line", "", "tool-not-in-store", ("tools.yaml", ""))

    with pytest.raises(ValueError, match=r"gone: tools.yaml has 'no such line' 0 times"):
        gone.sown(texts())


def test_the_demo_itself_is_at_no_fault() -> None:
    """Without a seed none of these faults is there, so that the seeds bring them about."""
    assert [] == demo().report().findings
