"""A report on some files keeps what is about them, and what keeps them from being proven."""

from __future__ import annotations

from greaseproof.manual import check
from greaseproof.report import narrowed

MACHINES = "machines:\n  teal: {name: Teal, built: 1960..1962}\n"
STEP = "steps:\n  - do: Look at it.\n"
FILES = {
    "p/manual.yaml": "title: A shed\n",
    "p/machines.yaml": MACHINES,
    "p/engine/good.yaml": f"title: Look at it\nsystem: engine\n{STEP}",
    "p/engine/bad.yaml": f"titel: Look at it\nsystem: engine\n{STEP}",
    "p/engine/caller.yaml": "title: Look at it\nsystem: engine\nsteps:\n  - call: bad\n",
}


def seen(files: dict[str, str], *wanted: str) -> tuple[list[tuple[str, str]], int, list[str]]:
    """(rule, file) of each finding left, the count of errors, and the procedures said to be not proven."""
    report = narrowed(check(files), lambda file: file in wanted)
    findings = [(f.rule, f.span.file) for f in report.findings if f.rule in ("key-unknown", "key-missing")]
    return findings, report.summary["errors"], [each.what for each in report.not_yet_proven]


def test_a_sound_file_beside_a_bad_one_is_sound() -> None:
    """Errors of a file that nobody asked about are left out, and not counted."""
    assert ([], 0, []) == seen(FILES, "p/engine/good.yaml")


def test_errors_in_what_a_procedure_uses_stay() -> None:
    """A procedure that calls a broken one is not proven, and the report says because of what."""
    bad = "p/engine/bad.yaml"

    assert ([("key-unknown", bad)], 1, ["caller"]) == seen(FILES, "p/engine/caller.yaml")


def test_errors_in_a_catalogue_stay() -> None:
    """Where machines.yaml cannot be read nothing is proven, and every report says so."""
    machines = "p/machines.yaml"
    findings, errors, unproven = seen(FILES | {machines: MACHINES + "kepd: {}\n"}, "p/engine/good.yaml")

    assert ([("key-unknown", machines)], 1, ["good"]) == (findings, errors, unproven)
