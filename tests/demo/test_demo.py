"""The demo is sound: nothing is found, nothing is excused, and the interpreter finds nothing either."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from demo.demo import demo, kinds_of_machine, texts, with_looks
from greaseproof.machines.variants import Variants
from greaseproof.proof import Proof
from greaseproof.proof.proofs import refs_within
from greaseproof.reading.build import walk_steps
from greaseproof.reading.model import Step
from greaseproof.views import needs
from proof.agreement import as_variant
from proof.interpreter import ACTIONS, OneMachine, covers, job

PROCEDURES = sorted(demo().shop.procedures)
SYSTEMS = ("access", "electrical", "cooling")
#: The longest sentence that a reader takes in at one glance; house rule.
LONGEST = 20


def test_nothing_is_found() -> None:
    """`check` tells no error, no warning and no advice, and everything was proven."""
    report = demo().report()

    assert [] == report.findings
    assert [] == [each.what for each in report.not_yet_proven if each.what in PROCEDURES]


def test_nothing_is_excused() -> None:
    """No `allow` stands anywhere in the demo."""
    assert [] == [file for file, text in texts().items() if re.search(r"\ballow\b", text)]


def test_demo_shows_enough() -> None:
    """Six procedures and eight machines at least; two batteries on one; a range whose earth is positive."""
    universe = demo().resolver.universe

    assert len(PROCEDURES) >= 6
    assert len(demo().shop.machines) >= 8
    assert {"dunlin"} == models(universe.test("batteries", ("two",)))
    assert {"fieldfare", "fieldfare-long"} == models(universe.test("earth-post", ("positive",)))


def models(of: Variants) -> set[str]:
    """The models that a set speaks of."""
    return {each.machine for each in demo().resolver.universe.variants_of(of)}


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_machine_is_covered(system: str) -> None:
    """In each system there is a procedure for every machine of the catalogue."""
    covered = demo().resolver.none
    for procedure in demo().shop.procedures.values():
        if procedure.system == system:
            covered |= demo().resolver.applies(procedure)

    assert demo().resolver.all == covered


def test_systems_are_those_of_the_manual() -> None:
    """The systems tried above are all that the demo has."""
    info = demo().shop.info

    assert info is not None
    assert SYSTEMS == info.systems


@pytest.mark.parametrize("id", PROCEDURES)
def test_procedure_is_issued(id: str) -> None:
    """Each procedure says that readers may rely on it, in which revision and since when."""
    procedure = demo().shop.procedures[id]

    assert "issued" == procedure.status
    assert procedure.revision
    assert re.fullmatch(r"\d{4}-\d{2}-\d{2}", procedure.revised or "")


def sentences(step: Step) -> Iterator[str]:
    """Every sentence of a step that a reader must follow."""
    words = [word.say for key in ("danger", "warning", "caution", "notice") for word in getattr(step, key)]
    for text in (step.do, step.test, step.why, step.tip, step.keep, *words):
        yield from re.split(r"(?<=[.!?]) ", text or "")


@pytest.mark.parametrize("id", PROCEDURES)
def test_sentences_are_short(id: str) -> None:
    """No sentence of a step has more than twenty words."""
    told = [text for step in walk_steps(demo().shop.procedures[id]) for text in sentences(step)]

    assert [] == [text for text in told if len(text.split()) > LONGEST]


def test_nothing_is_declared_in_vain() -> None:
    """Every tool, supply and shared thing serves some procedure."""
    shop = demo().shop
    records = [*shop.procedures.values(), *shop.things.values(), *shop.conditions.values(), *shop.policy]
    named = {ref.id for record in records for ref in refs_within(record)}
    for procedure in shop.procedures.values():
        named |= {tool.id for need in needs(demo(), procedure) for way in need.tools for tool in way}
        named |= {name for step in walk_steps(procedure) for name in (*step.supplies, *step.set)}
    meanings = [condition.means for condition in shop.conditions.values() if condition.means is not None]
    named |= {name for means in meanings for case in means.cases for name in case.value.set}
    roles = {connection for connection in shop.things if getattr(shop.things[connection], "role", None)}

    assert set() == {*shop.tools, *shop.supplies, *shop.things} - named - roles


@pytest.mark.parametrize("id", PROCEDURES)
def test_walk_agrees_with_interpreter(id: str) -> None:
    """On every machine both find nothing, and both do the same to the same things in the same order."""
    proof = demo().proof(id)
    assert proof is not None
    covered = [machine for machine in kinds_of_machine() if covers(demo().shop, id, machine)]
    on = [one for machine in covered for one in with_looks(machine, demo(), id)]

    assert len(on) >= 30
    assert models(proof.applies) == {as_variant(demo().shop, machine).machine for machine in covered}
    for machine in on:
        done = job(demo().shop, id, machine)
        assert [] == done.faults, machine
        assert interpreted(done.done) == walked(proof, machine), machine


def test_walk_covers_the_interpreters_machines() -> None:
    """Whether a procedure is for a machine, both say alike."""
    for id in PROCEDURES:
        proof = demo().proof(id)
        assert proof is not None
        for machine in kinds_of_machine():
            assert covers(demo().shop, id, machine) == (as_variant(demo().shop, machine) in proof.applies)


def interpreted(done: list[tuple[tuple[str, ...], str, str]]) -> list[tuple[str, str]]:
    """What the procedure's own steps did, those of other procedures left out: (action, thing)."""
    elsewhere = ("call ", "first ", "close ")
    return [
        (what, subject)
        for path, what, subject in done
        if what in ACTIONS and not any(part.startswith(elsewhere) for part in path)
    ]


def walked(proof: Proof, machine: OneMachine) -> list[tuple[str, str]]:
    """The same, of the walk."""
    variant = as_variant(demo().shop, machine)
    return [
        (act.action, act.item.subject)
        for line in proof.lines
        for act in line.acts
        if variant in line.variants and variant in act.variants and act.action in ACTIONS
    ]
