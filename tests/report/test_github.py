"""A report as workflow commands, compared whole."""

from __future__ import annotations

from greaseproof.report.github import report_github

from .reports import FULL

EXPECTED = (
    "::error file=procedures/electrical/starter.yaml,line=52,endLine=52,col=17,endColumn=26,"
    "title=reached-while-live::the trigger wire is disconnected while the battery is not isolated"
    "%0Afor: a Plover Major, serial 35118 or later (3 of 8 variants: machines with alternator charging)"
    "%0Abecause: procedures/electrical/starter.yaml:9:1 makes sure of the battery on a Plover only"
    "%0Abecause: the policy asks for it"
    "%0Amend: add `battery-isolated` to `first`, after `raised-and-supported`\n"
    "::warning file=procedures/parts.yaml,line=7,endLine=9,title=torque-unusual::"
    "100%25 more than the table gives: 90 N·m%0Afor: a Teal (1 of 4 variants)\n"
)
ADVICE = (
    "::notice file=procedures/cooling/a%2Cb.yaml,line=1,endLine=1,col=8,endColumn=8,"
    "title=title-without-verb::the title does not begin with a verb%0Afor: every machine (4 variants)"
    "%0Amend: write `Remove the fan belt`\n"
)
LAST = "1 error, 1 warning, 1 piece of advice; 2 procedures, 8 variants; 0.25 s\n"


def test_each_finding_is_one_command() -> None:
    """Percent signs, line ends, colons and commas are escaped where they mislead; the counts come last."""
    assert EXPECTED + LAST == report_github(FULL)


def test_advice_becomes_a_notice_where_it_is_asked_for() -> None:
    """With `advice` each piece is a notice, after the errors and warnings."""
    assert EXPECTED + ADVICE + LAST == report_github(FULL, advice=True)
