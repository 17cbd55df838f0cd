"""What a step diagram says."""

from __future__ import annotations

import pytest
from greaseproof.diagrams import Box, Flow, Frame, Part, Span
from greaseproof.diagrams.flow import first_sentence

from .shed import drawn

BELT = "Remove and refit the belt"


def test_the_flow_has_every_line_of_the_job_in_its_frame() -> None:
    """Steps are numbered in order, in the branch of their machines and in their group, with signal words.

    A notice for some machines counts; a thing not on every machine comes last; mirrors carry the number
    of the step that they put back, and no signal word.
    """
    diesel = "Only machines with diesel fuel"
    undone = "undo pump bolts, and where fitted lower bolts"
    expected = Flow(
        "Remove and refit the pump",
        (
            Part(
                "first",
                "First",
                (
                    Box("open", "Let the engine stand until it is cold"),
                    Box("open", "The battery is isolated – see “Isolate the battery”"),
                ),
            ),
            Part(
                "steps",
                "Steps",
                (
                    Frame("branch", "Only Plover", (Box("call", BELT),)),
                    Frame(
                        "group",
                        "Open the taps",
                        (
                            Frame("round", "left", (Box("step", "Turn the tap", 1),)),
                            Frame("round", "right", (Box("step", "Turn the tap", 2),)),
                        ),
                        ("CAUTION",),
                    ),
                    Frame(
                        "branch",
                        diesel,
                        (
                            Box("step", "Shut the fuel off", 3, signals=("DANGER",)),
                            Box("step", "Take the key out", 4),
                        ),
                    ),
                    Box("step", f"Take the weight of the pump; {undone}", 5, signals=("WARNING", "NOTICE")),
                    Box("open", "Lock the cover"),
                    Box("off", "Remove pump", 6),
                    Box("close", "Unlock the cover"),
                    Box("step", "Set tap to open", 7),
                    Box("step", "Inspect pump", 8),
                ),
            ),
            Part(
                "refit",
                "Refitting",
                (
                    Box("step", "Set tap to shut", puts_back=7),
                    Box("open", "Lock the cover"),
                    Box("on", "Fit pump", puts_back=6),
                    Box("close", "Unlock the cover"),
                    Box("step", "Tighten pump bolts, and where fitted lower bolts", puts_back=5),
                    Frame("branch", "Only Plover", (Box("call", f"Put back: {BELT}"),)),
                ),
            ),
            Part(
                "close",
                "Closing",
                (Box("close", "Ends: the battery is isolated – see “Isolate the battery”"),),
            ),
            Part(
                "finally",
                "Finally",
                (
                    Frame("branch", "Only Plover", (Box("call", f"Last steps: {BELT}"),)),
                    Box("step", "Test: Nothing drips"),
                ),
            ),
        ),
        (Span(1, 19), Span(8, 10), Span(14, 16)),
    )

    actual = drawn().shows

    assert expected == actual


def test_the_alternative_text_says_all_of_it() -> None:
    """One sentence a line: machines before what is for them, then signal words; groups with ends."""
    expected = """\
Step diagram of “Remove and refit the pump”, in the order of work.
First:
Let the engine stand until it is cold.
The battery is isolated – see “Isolate the battery”; holds until it is ended below.
Steps:
Only Plover: Remove and refit the belt.
CAUTION. Group “Open the taps”:
Round “left”:
Step 1: Turn the tap.
End of round “left”.
Round “right”:
Step 2: Turn the tap.
End of round “right”.
End of group “Open the taps”.
Only machines with diesel fuel: DANGER. Step 3: Shut the fuel off.
Only machines with diesel fuel: Step 4: Take the key out.
WARNING. NOTICE. Step 5: Take the weight of the pump; undo pump bolts, and where fitted lower bolts.
Lock the cover; holds until it is ended below.
Step 6: Remove pump.
Unlock the cover.
Step 7: Set tap to open.
Step 8: Inspect pump.
Refitting:
Puts back step 7: Set tap to shut.
Lock the cover; holds until it is ended below.
Puts back step 6: Fit pump.
Unlock the cover.
Puts back step 5: Tighten pump bolts, and where fitted lower bolts.
Only Plover: Put back: Remove and refit the belt.
Closing:
Ends: the battery is isolated – see “Isolate the battery”.
Finally:
Only Plover: Last steps: Remove and refit the belt.
Test: Nothing drips."""

    actual = drawn().alt

    assert expected == actual


@pytest.mark.parametrize(
    "text, expected",
    [
        ("Turn the tap. Wait.", "Turn the tap"),
        ("Take off rings, e.g. watches.", "Take off rings, e.g. watches"),
        ("Set it to 1.5 mm", "Set it to 1.5 mm"),
    ],
)
def test_a_sentence_ends_where_another_begins(text: str, expected: str) -> None:
    """The stop of an abbreviation or of a number is not its end."""
    assert expected == first_sentence(text)
