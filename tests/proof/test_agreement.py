"""The walk and the interpreter agree on random manuals, machine by machine."""

from __future__ import annotations

import os

import pytest
from proof.agreement import draw, draws

#: Each draw is one manual of several procedures, followed on eight machines.
IN_EVERY_RUN = 3_000
NIGHTLY = 100_000


def test_draws_are_whole() -> None:
    """Drawn manuals have faults of every kind and sound jobs too, so that agreeing means something."""
    from proof.random_manuals import statistics

    told = statistics(40)

    for kind in ("need-missing", "held", "joined", "covered", "never-restored", "clash", "not-covered"):
        assert kind in told


@pytest.mark.parametrize("part", range(10))
def test_walk_agrees_with_interpreter(part: int) -> None:
    """3,000 random manuals: the same faults at the same places on the same machines."""
    draws(range(part * IN_EVERY_RUN // 10, (part + 1) * IN_EVERY_RUN // 10), several=4)


def test_a_disagreement_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """If the interpreter forgot that things can be held, the two would be found to differ."""
    from proof import agreement

    run = agreement.run
    monkeypatch.setattr(
        agreement, "run", lambda *given: [fault for fault in run(*given) if fault.kind != "held"]
    )

    assert any(draw(seed)[1] for seed in range(10))


@pytest.mark.nightly
def test_walk_agrees_with_interpreter_nightly() -> None:
    """100,000 random manuals, from another seed each time; DRAWS_FROM repeats a run."""
    first = int(os.environ.get("DRAWS_FROM", "3000"))
    draws(range(first, first + NIGHTLY))
