"""Which tools a job asks for, and which of the store will do."""

from __future__ import annotations

from collections.abc import Callable

from greaseproof.machines import words
from greaseproof.manual import Manual
from greaseproof.views import ToolNeed, needs
from greaseproof.views.tools import whole_needs


def told(manual: Manual, found: list[ToolNeed]) -> list[tuple[str, str, str, list[str]]]:
    """What, for which step, on which machines, and each way of doing it."""
    return [
        (
            need.what,
            need.step.name,
            words(need.variants, manual.resolver.universe),
            [" + ".join(tool.id for tool in way) for way in need.tools],
        )
        for need in found
    ]


def test_needs_of_a_job(small: Manual) -> None:
    """A hexagon is turned by a spanner or by socket and ratchet, its nut is held, its torque is measured.

    `hand` is not.
    """
    expected = [
        ("screwdriver slot", "cover-off", "machines with cover fitted", ["screwdriver-slot"]),
        ("rag", "pipe-off", "every machine", ["rag"]),
        ("spanner 1/2 in", "bolts-off", "machines built ..1963", ["spanner-1-2", "socket-1-2 + ratchet-3-8"]),
        (
            "second spanner 1/2 in",
            "bolts-off",
            "machines built ..1963",
            ["spanner-1-2", "socket-1-2 + ratchet-3-8"],
        ),
        ("spanner 13 mm", "bolts-off", "machines built 1964..", ["spanner-13", "socket-13 + ratchet-3-8"]),
        (
            "second spanner 13 mm",
            "bolts-off",
            "machines built 1964..",
            ["spanner-13", "socket-13 + ratchet-3-8"],
        ),
        ("hoist", "remove-pump", "every machine", ["hoist"]),
        (
            "torque wrench for 20 N·m",
            "bolts-off",
            "machines built ..1963",
            ["torque-wrench-5-25 + socket-1-2"],
        ),
        (
            "torque wrench for 20 N·m",
            "bolts-off",
            "Wren built 1964..1966",
            ["torque-wrench-5-25 + socket-13"],
        ),
        ("torque wrench for 24 N·m", "bolts-off", "Heron", ["torque-wrench-5-25 + socket-13"]),
    ]

    actual = told(small, needs(small, small.shop.procedures["pump"]))

    assert expected == actual


def test_one_tool_cannot_hold_and_turn_at_once(changed: Callable[[str, str, str], Manual]) -> None:
    """With one spanner of the size and no socket, nothing is left to hold the nut."""
    manual = changed("tools.yaml", "socket-13: {kind: socket, fits: 13 mm, square: 3/8 in}\n", "")

    actual = told(manual, needs(manual, manual.shop.procedures["pump"]))

    assert ("spanner 13 mm", "bolts-off", "machines built 1964..", ["spanner-13"]) in actual
    assert ("second spanner 13 mm", "bolts-off", "machines built 1964..", []) in actual


def test_a_torque_beyond_every_wrench_finds_none(changed: Callable[[str, str, str], Manual]) -> None:
    """A torque that no wrench can be set to has no way of being done."""
    manual = changed("parts.yaml", "diesel: 24 N·m", "diesel: 95 N·m")

    actual = told(manual, needs(manual, manual.shop.procedures["pump"]))

    assert ("torque wrench for 95 N·m", "bolts-off", "Heron", []) in actual


def test_a_socket_needs_its_own_square(changed: Callable[[str, str, str], Manual]) -> None:
    """A socket whose square nothing turns is no way of turning anything."""
    manual = changed("tools.yaml", "fits: 1/2 in, square: 3/8 in", "fits: 1/2 in, square: 1/2 in")

    actual = told(manual, needs(manual, manual.shop.procedures["pump"]))

    assert ("spanner 1/2 in", "bolts-off", "machines built ..1963", ["spanner-1-2"]) in actual
    assert ("torque wrench for 20 N·m", "bolts-off", "machines built ..1963", []) in actual


def test_the_whole_job_has_what_its_conditions_need(changed: Callable[[str, str, str], Manual]) -> None:
    """A tool of the procedure that opens a condition is wanted for the job.

    It is not one of the job's own needs.
    """
    manual = changed("bench/clear-the-bench.yaml", "    makes:", "    tools: [rag]\n    makes:")
    pump = manual.shop.procedures["pump"]

    own, whole = needs(manual, pump), whole_needs(manual, pump)

    assert ["pipe-off"] == [need.step.name for need in own if need.what == "rag"]
    assert ["pipe-off", "clear"] == [need.step.name for need in whole if need.what == "rag"]
