"""The page of a procedure as data."""

from __future__ import annotations

from collections.abc import Callable

from greaseproof.manual import Manual
from greaseproof.views import Page, page
from greaseproof.views.page import (
    ActShown,
    Branch,
    CallRow,
    ConditionRow,
    Figure,
    First,
    HeadingRow,
    Link,
    MachineCovered,
    Material,
    PutBackRow,
    Signal,
    StepRow,
    Tell,
    ThingRow,
)

CLEAR = Link("clear-the-bench", "bench", "Clear the bench")


def of(manual: Manual, id: str = "pump") -> Page:
    made = page(manual, id)
    assert made is not None
    return made


def test_the_head_of_a_page(small: Manual) -> None:
    """A page says what it is, for which machines, and what can hurt somebody anywhere in the job."""
    made = of(small)

    assert ("pump", "fuel", "Remove and refit the fuel pump", "issued", ("fuel-pump",), "fuel/pump.yaml") == (
        made.id,
        made.system,
        made.title,
        made.status,
        made.was,
        made.file,
    )
    assert (MachineCovered("Wren", "1960 to 1966"), MachineCovered("Heron", "1964 to 1970")) == made.machines
    assert (Tell("fuel", "A diesel has a pipe to each injector.", True),) == made.tells
    assert "every machine" == made.machines_words
    assert ("20 min as a rule; 10 min if all goes well", 2) == (made.time, made.people)
    assert (
        Signal("DANGER", "Fuel burns. Put out every flame.", "Heron", "drain-it"),
        Signal("CAUTION", "Sharp tools cut. Wear gloves.", None, "clear", CLEAR),
    ) == made.hazards
    assert (
        First("engine cold", "Let the engine stand until it is cold.", None, "4 h"),
        First("the bench is clear", None, CLEAR, None),
    ) == made.first


def test_what_to_have_ready(small: Manual) -> None:
    """Tools and supplies of the whole job, each once, with the machines that want them.

    What goes in new is marked.
    """
    expected_tools = (
        Material("screwdriver slot", only="with cover fitted"),
        Material("spanner 1/2 in", only="built up to 1963"),
        Material("spanner 13 mm", only="built 1964 or later"),
        Material("second spanner 1/2 in", only="built up to 1963"),
        Material("second spanner 13 mm", only="built 1964 or later"),
        Material("torque wrench 5 to 25 N·m (3.7 to 18 lbf·ft)"),
        Material("socket 1/2 in", only="built up to 1963"),
        Material("socket 13 mm", only="built 1964 or later"),
        Material("rag"),
        Material("hoist", "rated 100 kg (220 lb) each"),
    )
    expected_supplies = (
        Material("fuel", "10 ml"),
        Material("2 spring washers M8", renew=True, only="built 1964 or later"),
        Material("fuel", "5 L (8.8 UK pt)", only="Heron"),
    )

    made = of(small)

    assert expected_tools == made.tools
    assert expected_supplies == made.supplies
    assert (("fuel (burns)", "closed can"),) == made.waste


def test_the_steps(small: Manual) -> None:
    """A step has its anchor from its name, a sentence made from the facts if it has none, and figures."""
    expected = (
        StepRow(
            "drain-it",
            1,
            0,
            "Drain the tank.",
            "Heron",
            (Signal("DANGER", "Fuel burns. Put out every flame.", None, "drain-it"),),
            (ActShown("drain", "tank", None, (Figure("5 L (8.8 UK pt)"),)),),
        ),
        StepRow(
            "cover-off",
            2,
            0,
            "Undo the cover screw (M5, slot), and remove the cover.",
            "with cover fitted",
            (),
            (
                ActShown("undo", "cover screw", None, (Figure("M5 · slot · by hand"),)),
                ActShown("remove", "cover"),
            ),
        ),
        StepRow(
            "pipe-off",
            3,
            0,
            "Pull the pipe off by its end.",
            None,
            (Signal("NOTICE", "A pipe that is bent leaks.", None, "pipe-off"),),
            (ActShown("disconnect", "pipe", "A", (Figure("end: push-on"),)),),
            supplies=("fuel: 10 ml",),
            keep="Plug the pipe.",
        ),
        StepRow(
            "bolts-off",
            4,
            0,
            "Undo the 2 pump bolts.",
            None,
            (),
            (
                ActShown(
                    "undo",
                    "pump bolts",
                    None,
                    (
                        Figure("2 × 5/16 UNF · 1/2 in · 20 N·m (15 lbf·ft)", "built up to 1963"),
                        Figure("2 × M8 · 13 mm · 20 N·m (15 lbf·ft)", "Wren built 1964 to 1966"),
                        Figure("2 × M8 · 13 mm · 24 N·m (18 lbf·ft)", "Heron"),
                    ),
                ),
            ),
            where="bonnet",
        ),
        StepRow(
            "remove-pump",
            5,
            0,
            "Remove the pump.",
            None,
            (),
            (ActShown("remove", "pump", None, (Figure("2 kg (4.4 lb)"),)),),
            people=2,
            lift="pump, 2 kg (4.4 lb), with hoist",
            picture="pump.png",
            why="It is heavy.",
        ),
    )

    assert expected == of(small).steps


def test_refitting_is_derived(small: Manual) -> None:
    """Each thing goes back in a line of its own, torques at its end, renewals apart, with its step.

    What can hurt at the step is said again, and how many people it takes.
    """
    expected = (
        PutBackRow(
            "refit-fit-pump",
            0,
            "Fit the pump",
            of_step=5,
            step_anchor="remove-pump",
            people=2,
            lift="pump, 2 kg (4.4 lb), with hoist",
        ),
        PutBackRow(
            "refit-tighten-pump-bolts",
            0,
            "Tighten the 2 pump bolts",
            (
                Figure("2 × 5/16 UNF · 1/2 in", "built up to 1963"),
                Figure("2 × M8 · 13 mm", "built 1964 or later"),
            ),
            (Figure("20 N·m (15 lbf·ft)", "Wren"), Figure("24 N·m (18 lbf·ft)", "Heron")),
            (Figure("2 new spring washers M8", "built 1964 or later"),),
            4,
            "bolts-off",
            where="bonnet",
        ),
        PutBackRow(
            "refit-connect-pipe",
            0,
            "Connect the pipe, marked A",
            (Figure("end: push-on"),),
            of_step=3,
            step_anchor="pipe-off",
            signals=(Signal("NOTICE", "A pipe that is bent leaks.", step="pipe-off"),),
        ),
        PutBackRow(
            "refit-fit-cover",
            0,
            "Fit the cover",
            of_step=2,
            step_anchor="cover-off",
            only="with cover fitted",
        ),
        PutBackRow(
            "refit-tighten-cover-screw",
            0,
            "Tighten the cover screw",
            (Figure("M5 · slot"),),
            (Figure("by hand"),),
            of_step=2,
            step_anchor="cover-off",
            only="with cover fitted",
        ),
        PutBackRow(
            "refit-fill-tank",
            0,
            "Put in the tank",
            (),
            (Figure("5 L (8.8 UK pt)"),),
            of_step=1,
            step_anchor="drain-it",
            only="Heron",
            signals=(Signal("DANGER", "Fuel burns. Put out every flame.", step="drain-it"),),
        ),
    )

    assert expected == of(small).refit


def test_the_end_of_the_job(small: Manual) -> None:
    """What `first` opened is closed by a line that leads to the closing of whoever opened it.

    Then the steps go on.
    """
    made = of(small)

    assert (
        ConditionRow(
            "close-close-bench-clear",
            0,
            False,
            "the bench is clear",
            None,
            Link("clear-the-bench", "bench", "Clear the bench", "closing"),
        ),
    ) == made.close
    assert (StepRow("try-it", 6, 0, "Run the engine.", tests=("No fuel drips.",)),) == made.finally_


def test_things_and_sources(small: Manual) -> None:
    """Each thing that the job touches stands with what is known of it and where that comes from."""
    made = of(small)

    assert (
        ThingRow(
            "Connections",
            "pipe",
            (
                ("Mark", (Figure("A"),)),
                ("Kind", (Figure("fuel"),)),
                ("Goes to", (Figure("pump"),)),
                ("End", (Figure("push-on"),)),
            ),
        )
        in made.things
    )
    assert ["Fixings", "Fixings", "Connections", "Fluids", "Parts"] == [thing.kind for thing in made.things]
    assert (("measured", ("pump bolts",)),) == made.sources


def test_units_follow_the_manual(changed: Callable[[str, str, str], Manual]) -> None:
    """`imperial first` turns the figures round.

    `metric` leaves the other unit out; sizes of hexagons stay as they are.
    """
    imperial = of(changed("manual.yaml", "units: metric first", "units: imperial first"))
    metric = of(changed("manual.yaml", "units: metric first", "units: metric"))

    def bolts(made: Page) -> str:
        return next(r for r in made.steps if isinstance(r, StepRow) and r.number == 4).acts[0].figures[0].text

    assert "2 × 5/16 UNF · 1/2 in · 15 lbf·ft (20 N·m)" == bolts(imperial)
    assert "2 × 5/16 UNF · 1/2 in · 20 N·m" == bolts(metric)


def test_within_a_group_only_what_tells_from_the_group_is_said(
    changed: Callable[[str, str, str], Manual],
) -> None:
    """A step of a group for Herons does not say `Heron` again; its place is in the group's own depth."""
    manual = changed(
        "fuel/pump.yaml",
        "  - id: drain-it\n    drain: tank\n    when: {fuel: diesel}\n",
        "  - heading: Empty it\n    when: {fuel: diesel}\n    steps:\n"
        "      - id: drain-it\n        drain: tank\n"
        "  - id: warn\n    do: Look out.\n",
    )

    rows = of(manual).steps[:3]

    assert (
        HeadingRow("empty", 0, "Empty it", "Heron"),
        StepRow(
            "drain-it",
            1,
            1,
            "Drain the tank.",
            acts=(ActShown("drain", "tank", None, (Figure("5 L (8.8 UK pt)"),)),),
        ),
        StepRow(
            "warn",
            2,
            0,
            "Look out.",
            signals=(Signal("DANGER", "Fuel burns. Put out every flame.", None, "warn"),),
        ),
    ) == rows


def test_what_to_do_if_a_test_fails(changed: Callable[[str, str, str], Manual]) -> None:
    """The steps of `if_not` stand below the step, numbered on."""
    manual = changed(
        "fuel/pump.yaml",
        "    test: No fuel drips.\n",
        "    test: No fuel drips.\n    if_not:\n      - id: again\n        do: Tighten it again.\n",
    )

    row = of(manual).finally_[0]

    assert isinstance(row, StepRow)
    assert (Branch("If not", (StepRow("again", 7, 1, "Tighten it again."),)),) == row.branches


def test_no_page_without_proof(changed: Callable[[str, str, str], Manual]) -> None:
    """A procedure that cannot be read whole has no page.

    Neither has one that uses it; an unknown one has none.
    """
    manual = changed("bench/clear-the-bench.yaml", "makes: bench-clear", "makez: bench-clear")

    assert [None, None, None] == [page(manual, id) for id in ("clear-the-bench", "pump", "nothing")]


def test_what_the_author_wrote_for_refitting(changed: Callable[[str, str, str], Manual]) -> None:
    """Written refitting stands beside the derived list, which is still complete."""
    manual = changed(
        "fuel/pump.yaml",
        "finally:\n",
        "refit:\n  - id: by-hand\n    do: Run the bolts in by hand.\nfinally:\n",
    )

    made = of(manual)

    assert (StepRow("by-hand", 6, 0, "Run the bolts in by hand."),) == made.refit_written
    assert 6 == len(made.refit)


def test_again_after_running(changed: Callable[[str, str, str], Manual]) -> None:
    """Stages stand in their order, and so does the tightening after a time of running."""
    manual = changed(
        "parts.yaml",
        "torque: {fuel: {petrol: 20 N·m, diesel: 24 N·m}}",
        "torque: {stages: [10 N·m, 20 N·m, 90 deg], again: {after: 500 miles}}",
    )

    row = of(manual).refit[1]

    assert isinstance(row, PutBackRow)
    assert (
        Figure("10 N·m (7.4 lbf·ft), then 20 N·m (15 lbf·ft), then 90°, and again after 500 miles"),
    ) == row.ends


def test_a_call_and_its_two_ends(changed: Callable[[str, str, str], Manual]) -> None:
    """A called procedure is refitted where the call stood; its last steps come after all is closed."""
    manual = changed("fuel/pump.yaml", "steps:\n", "steps:\n  - id: tidy\n    call: clear-the-bench\n")

    made = of(manual)

    assert CallRow("tidy", 0, "steps", CLEAR) == made.steps[0]
    closing, last = CLEAR._replace(part="closing"), CLEAR._replace(part="finally")
    assert CallRow("refit-tidy", 0, "closing", closing) == made.refit[-1]
    assert CallRow("finally-clear-the-bench", 0, "finally", last) == made.finally_[0]


def test_what_a_step_renews_and_tops_up(changed: Callable[[str, str, str], Manual]) -> None:
    """A spare that goes in new and a fluid that is topped up stand by the step, each where it is there."""
    manual = changed(
        "fuel/pump.yaml",
        "    do: Run the engine.\n",
        "    do: Run it.\n    renew: washer\n    top_up: tank\n",
    )

    row = of(manual).finally_[0]

    assert isinstance(row, StepRow)
    assert (
        ActShown("renew", "spring washer M8", only="built 1964 or later"),
        ActShown("top_up", "tank"),
    ) == row.acts
