"""One machine's job."""

from __future__ import annotations

import pytest
from greaseproof.manual import Manual
from greaseproof.views import NotCoveredError, job

HERON = """\
Remove and refit the fuel pump
for Heron

First
  [ ] Let the engine stand until it is cold.
  [ ] The bench is clear: Clear the bench

Steps
  [ ] 1. Drain the tank.
        DANGER: Fuel burns. Put out every flame.
        tank: 5 L (8.8 UK pt)
  [ ] 2. Undo the cover screw (M5, slot), and remove the cover. (only: with
      cover fitted)
        cover screw: M5 · slot · by hand
        cover
  [ ] 3. Pull the pipe off by its end.
        NOTICE: A pipe that is bent leaks.
        pipe [A]: end: push-on
  [ ] 4. Undo the 2 pump bolts (M8, 13 mm).
        pump bolts: 2 × M8 · 13 mm · 24 N·m (18 lbf·ft)
  [ ] 5. Remove the pump.
        pump: 2 kg (4.4 lb)

Refitting
  [ ] Fit the pump
  [ ] Tighten the 2 pump bolts
        2 × M8 · 13 mm
        2 new spring washers M8
        24 N·m (18 lbf·ft)
  [ ] Connect the pipe, marked A
        NOTICE: A pipe that is bent leaks.
        end: push-on
  [ ] Fit the cover (only: with cover fitted)
  [ ] Tighten the cover screw (only: with cover fitted)
        M5 · slot
        by hand
  [ ] Put in the tank
        DANGER: Fuel burns. Put out every flame.
        5 L (8.8 UK pt)

Closing
  [ ] No longer needed: the bench is clear: Clear the bench

Finally
  [ ] 6. Run the engine.
        right if: No fuel drips."""


def test_a_model(small: Manual) -> None:
    """Only that model's figures are left; what nobody knows until they look stays open."""
    assert HERON == repr(job(small, "pump", "heron"))


def test_a_kept_machine_and_a_year_settle_what_differs(small: Manual) -> None:
    """The workshop's No. 4 was built in 1961, and so has the early hardware.

    A year says the same of a model.
    """
    kept, year = repr(job(small, "pump", "4")), repr(job(small, "pump", "wren", year=1961))

    assert "for the workshop's No. 4, a Wren\n" in kept
    assert "for Wren, built 1961\n" in year
    for text in (kept, year):
        assert "Undo the 2 pump bolts (5/16 UNF, 1/2 in)." in text
        assert "M8" not in text


def test_the_displayed_form_is_escaped(small: Manual) -> None:
    """What a notebook shows has the same lines as the text, as HTML."""
    shown = job(small, "pump", "heron")._repr_html_()

    assert "<li>Pull" not in shown
    assert (
        "<li>3. Pull the pipe off by its end.<br>NOTICE: A pipe that is bent leaks."
        "<br>pipe [A]: end: push-on</li>" in shown
    )
    assert shown.count("<ul>") == shown.count("</ul>") == 5


@pytest.mark.parametrize(
    "procedure,machine,message",
    [
        ("nothing", "wren", "there is no procedure nothing that can be followed"),
        ("pump", "eagle", "there is no machine eagle"),
    ],
)
def test_what_is_not_covered(small: Manual, procedure: str, machine: str, message: str) -> None:
    """A machine or procedure that is not there is told so in a sentence."""
    with pytest.raises(NotCoveredError) as error:
        job(small, procedure, machine)

    assert message == str(error.value)
