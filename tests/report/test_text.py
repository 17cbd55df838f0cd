"""A report as people read it, compared whole."""

from __future__ import annotations

from dataclasses import replace

from greaseproof.finding import Finding, Level, Span
from greaseproof.report.text import finding_text, report_text

from .reports import CLEAN, ERROR, FULL, WARNING

TEXT = """\
procedures/electrical/starter.yaml:52:17: error: the trigger wire is
    disconnected while the battery is not isolated [reached-while-live]
  for: a Plover Major, serial 35118 or later (3 of 8 variants: machines with
    alternator charging)
  because: procedures/electrical/starter.yaml:9:1 makes sure of the battery on a
    Plover only
  because: the policy asks for it
  mend: add `battery-isolated` to `first`, after `raised-and-supported`

procedures/parts.yaml:7:3: warning: 100% more than the table gives: 90 N·m
    [torque-unusual]
  for: a Teal (1 of 4 variants)
"""
ADVICE_TEXT = """\

procedures/cooling/a,b.yaml:1:8: advice: the title does not begin with a verb
    [title-without-verb]
  for: every machine (4 variants)
  mend: write `Remove the fan belt`
"""
END = """\

not proven:
  a,b: its file cannot be read

read and shown, but not yet proven by the toolkit (nothing to mend):
  torque    3  parts.yaml, starter
  lift      1  starter

"""
SUMMARY = "1 error, 1 warning, 1 piece of advice; 2 procedures, 8 variants; 0.25 s\n"


def test_findings_come_first_and_the_counts_last() -> None:
    """Place, sentence, machine, cause, mend; advice as a count; what is not proven; one line of counts."""
    assert TEXT + END + "1 piece of advice not shown; --advice shows it\n" + SUMMARY == report_text(FULL)


def test_advice_is_told_where_it_is_asked_for() -> None:
    """With `advice` every piece stands among the findings, and none is said to be kept back."""
    assert TEXT + ADVICE_TEXT + END + SUMMARY == report_text(FULL, advice=True)


def test_a_sound_manual_has_one_line() -> None:
    """Where nothing is found and everything is proven there are only the counts."""
    assert "nothing found; 1 procedure, 1 variant; 0.25 s\n" == report_text(CLEAN)


def test_only_the_level_is_coloured() -> None:
    """Colour is put round the level and nothing else, even where the path holds the same word."""
    warning = replace(WARNING, span=Span("warning: mine.yaml", 7, 3, 9, 12))
    expected = (
        "warning: mine.yaml:7:3: \x1b[1;33mwarning\x1b[0m: 100% more than the table gives: 90 N·m\n"
        "    [torque-unusual]\n"
        "  for: a Teal (1 of 4 variants)"
    )

    assert expected == finding_text(warning, colour=True)
    coloured = finding_text(ERROR, colour=True)
    assert finding_text(ERROR) == coloured.replace("\x1b[1;31m", "").replace("\x1b[0m", "")


def test_what_is_for_pasting_stays_whole() -> None:
    """Backticked text is never broken over two lines, and a mend of several lines keeps its lines."""
    mend = "write `torque: {..1966: 80 N·m, 1967..: 85 N·m}` in place of what stands there now\nor narrow it"
    finding = Finding("a-rule", Level.ERROR, Span("a.yaml", 1, 1, 1, 2), "wrong", mend=mend)
    expected = """\
a.yaml:1:1: error: wrong [a-rule]
  mend: write `torque: {..1966: 80 N·m, 1967..: 85 N·m}` in place of what stands
    there now
    or narrow it"""

    assert expected == finding_text(finding)


def test_a_terminal_gets_no_orders_from_a_file() -> None:
    """Control characters that an author's text or path holds are shown by number."""
    finding = Finding("a-rule", Level.ERROR, Span("a\x1b[2J.yaml", 1, 1, 1, 2), "`\x07\u202e` is not a word")

    assert "a\\u{1b}[2J.yaml:1:1: error: `\\u{7}\\u{202e}` is not a word [a-rule]" == finding_text(finding)
