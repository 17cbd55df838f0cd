"""The synthetic manual that the benchmark measures is what it says it is."""

from __future__ import annotations

import pytest
from bench.fixed import OPENERS
from bench.generate import MOST_FEATURES, generate
from greaseproof.manual import Manual, check
from greaseproof.reading.build import walk_steps
from greaseproof.reading.model import Procedure


def manual(**changed: int) -> dict[str, str]:
    """The files of a small manual, those of the book left out."""
    files = generate(**{"procedures": 16, "machines": 4, "options": 5, **changed})
    return {path: text for path, text in files.items() if path.startswith("procedures/")}


def callees(procedure: Procedure) -> list[str]:
    """What a procedure calls."""
    return [step.call.id for step in walk_steps(procedure) if step.call is not None]


def test_is_the_same_for_the_same_seed() -> None:
    """The same numbers and seed give the same texts, byte for byte; another seed gives others."""

    assert generate(12, 4, 5, seed=3) == generate(12, 4, 5, seed=3)
    assert generate(12, 4, 5, seed=3) != generate(12, 4, 5, seed=4)


@pytest.mark.parametrize(
    "numbers",
    [{}, {"procedures": 40, "options": 1}, {"machines": 9, "restricted": 4}, {"seed": 2, "machines": 1}],
)
def test_is_proven_clean(numbers: dict[str, int]) -> None:
    """Nothing is found in it: no fault of reading, no error, no warning, no advice."""
    report = check(manual(**numbers))

    assert [] == report.findings
    assert numbers.get("procedures", 16) == report.summary["procedures"]
    assert numbers.get("machines", 4) == report.summary["machines"]


def test_procedures_call_one_another() -> None:
    """Calls go more than one level deep, and the condition openers are reached through `first`."""
    read = Manual.read(manual(procedures=40))
    calls = {id: callees(procedure) for id, procedure in read.shop.procedures.items()}
    opened = {ref.id for procedure in read.shop.procedures.values() for ref in procedure.first}

    assert any(calls[inner] for outer in calls.values() for inner in outer)
    assert {
        "battery-isolated",
        "raised-and-supported",
        "engine-cannot-start",
        "oil-pressure-let-off",
    } <= opened


def test_mentions_few_features_itself() -> None:
    """A procedure mentions at most six features itself, and what it calls mentions others."""
    read = Manual.read(manual(procedures=60, options=25))
    own = {id: read.resolver.mention([procedure]).features for id, procedure in read.shop.procedures.items()}
    beyond = [
        inner
        for id, procedure in read.shop.procedures.items()
        for inner in callees(procedure)
        if own[inner] - own[id]
    ]

    assert all(len(features) <= MOST_FEATURES for features in own.values())
    assert beyond != []


def test_covers_few_machines_if_restricted() -> None:
    """`restricted` gives every procedure but the openers so many machines, and callers call within them."""
    read = Manual.read(manual(procedures=40, machines=12, restricted=3))
    openers = {path.rpartition("/")[2].removesuffix(".yaml") for path in OPENERS}
    jobs = [procedure for id, procedure in read.shop.procedures.items() if id not in openers]
    machines = [
        len(test.any_of) for job in jobs if job.applies for tests in job.applies.any_of for test in tests
    ]

    assert [3] * len(jobs) == machines
    assert any(callees(job) for job in jobs)


def test_has_the_size_of_a_real_manual() -> None:
    """Each procedure is about as long as one of a workshop's: some 130 lines and 30 steps."""
    files = manual(procedures=60)
    shop = Manual.read(files).shop
    jobs = [
        procedure for procedure in shop.procedures.values() if procedure.title.startswith("Remove and refit")
    ]
    lines = sum(files[job.file].count("\n") for job in jobs) / len(jobs)
    steps = sum(len(list(walk_steps(job))) for job in jobs) / len(jobs)

    assert 120 < lines < 145
    assert 26 < steps < 34


@pytest.mark.parametrize("numbers", [(4, 1, 1), (5, 0, 1), (5, 1, 0)])
def test_refuses_numbers_too_small(numbers: tuple[int, int, int]) -> None:
    """Fewer procedures than the openers and one more, no machine or no option is refused in words."""
    with pytest.raises(ValueError, match=r"^needs 5 procedures, 1 machine and 1 option, or more of each$"):
        generate(*numbers)
