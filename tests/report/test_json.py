"""A report as programs read it, compared whole."""

from __future__ import annotations

import json

from greaseproof.report.json import report_json

from .reports import CLEAN, FULL

EXPECTED = """\
{"version": 1,
 "summary": {"procedures": 2,
   "machines": 3,
   "variants": 8,
   "rules": 5,
   "errors": 1,
   "warnings": 1,
   "advice": 1,
   "seconds": 0.25},
 "not_yet_proven": [
   {"what": "a,b",
    "procedure": "a,b",
    "file": "procedures/cooling/a,b.yaml",
    "line": 1,
    "column": 1,
    "end_line": 1,
    "end_column": 2,
    "why": "its file cannot be read"},
   {"what": "torque",
    "procedure": null,
    "file": "procedures/parts.yaml",
    "line": 4,
    "column": 1,
    "end_line": 4,
    "end_column": 7,
    "why": "no proof looks at it"},
   {"what": "torque",
    "procedure": null,
    "file": "procedures/parts.yaml",
    "line": 8,
    "column": 1,
    "end_line": 8,
    "end_column": 7,
    "why": "no proof looks at it"},
   {"what": "torque",
    "procedure": "starter",
    "file": "procedures/electrical/starter.yaml",
    "line": 3,
    "column": 1,
    "end_line": 3,
    "end_column": 7,
    "why": "no proof looks at it"},
   {"what": "lift",
    "procedure": "starter",
    "file": "procedures/electrical/starter.yaml",
    "line": 4,
    "column": 1,
    "end_line": 4,
    "end_column": 5,
    "why": "no proof looks at it"}],
 "findings": [
   {"rule": "reached-while-live",
    "level": "error",
    "file": "procedures/electrical/starter.yaml",
    "line": 52,
    "column": 17,
    "end_line": 52,
    "end_column": 27,
    "procedure": "starter",
    "step": "disconnect-trigger-wire",
    "message": "the trigger wire is disconnected while the battery is not isolated",
    "variants": {"example": "a Plover Major, serial 35118 or later",
      "count": 3,
      "of": 8,
      "words": "machines with alternator charging"},
    "because": [
      {"file": "procedures/electrical/starter.yaml",
       "line": 9,
       "column": 1,
       "end_line": 9,
       "end_column": 6,
       "says": "makes sure of the battery on a Plover only"},
      {"file": null,
       "line": null,
       "column": null,
       "end_line": null,
       "end_column": null,
       "says": "the policy asks for it"}],
    "mend": "add `battery-isolated` to `first`, after `raised-and-supported`"},
   {"rule": "torque-unusual",
    "level": "warning",
    "file": "procedures/parts.yaml",
    "line": 7,
    "column": 3,
    "end_line": 9,
    "end_column": 12,
    "procedure": null,
    "step": null,
    "message": "100% more than the table gives: 90 N·m",
    "variants": {"example": "a Teal", "count": 1, "of": 4, "words": "Teal"},
    "because": [],
    "mend": null},
   {"rule": "title-without-verb",
    "level": "advice",
    "file": "procedures/cooling/a,b.yaml",
    "line": 1,
    "column": 8,
    "end_line": 1,
    "end_column": 8,
    "procedure": "a,b",
    "step": null,
    "message": "the title does not begin with a verb",
    "variants": {"example": "a Teal", "count": 4, "of": 4, "words": "every machine"},
    "because": [],
    "mend": "write `Remove the fan belt`"}]}
"""


def test_the_whole_report_is_one_object() -> None:
    """Every finding with every key, in the order of the keys, advice included; indented by two."""
    expected = json.dumps(json.loads(EXPECTED), ensure_ascii=False, indent=2) + "\n"

    assert expected == report_json(FULL)


def test_a_sound_manual_has_empty_lists() -> None:
    """Nothing found: the lists are there, and empty."""
    actual = json.loads(report_json(CLEAN))

    assert ([], []) == (actual["findings"], actual["not_yet_proven"])
