"""Every finding that no rule has is explained, and what its page shows is so."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import greaseproof
import pytest
from greaseproof.manual import check
from greaseproof.reading.findings import PAGES
from greaseproof.rules import all_rules
from rules.pages import bad, examples

PACKAGE = Path(greaseproof.__file__).parent

#: Where findings are made that no rule has.
MODULES = (
    *sorted((PACKAGE / "reading").glob("*.py")), PACKAGE / "manual.py", PACKAGE / "rules" / "__init__.py",
)

#: Calls whose argument is the name of a finding.
CALLS = {"Finding": 0, "finding": 0, "fault": 0, "_about_file": 1}

#: What one small example cannot show: it is about whole files, or about a fault of the toolkit.
WITHOUT_EXAMPLE = {
    "control-character", "empty-file", "file-missing", "file-too-large", "file-unreadable",
    "folder-for-a-file", "machines-contradict", "nested-too-deep", "not-utf-8", "reading-stopped",
    "rule-crashed", "unreadable-yaml",
}


def names_of(path: Path) -> set[str]:
    """The names of findings in one module: those given to calls, and every text that is written like one."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            if re.fullmatch(r"[a-z]+(-[a-z]+)+", node.value):
                found.add(node.value)
        elif isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            number = CALLS.get(called)
            if number is not None and number < len(node.args):
                name = node.args[number]
                if isinstance(name, ast.Constant) and isinstance(name.value, str):
                    found.add(name.value)
    return found


def test_every_finding_has_a_page() -> None:
    """The names of findings in the code and the pages are the same, three chosen at run time added."""
    used = set().union(*(names_of(path) for path in MODULES))

    assert set(PAGES) == used | {"alias", "anchor", "tag"}
    assert not set(PAGES) & set(all_rules())
    assert list(PAGES) == sorted(PAGES)


@pytest.mark.parametrize("name", PAGES)
def test_page_is_whole(name: str) -> None:
    """A page has a headline in one line, then what to do, and two examples where a small one can show it."""
    headline, empty, text, *_ = PAGES[name].split("\n")

    assert headline.endswith(".")
    assert empty == ""
    assert text
    assert (name in WITHOUT_EXAMPLE) == (not examples(PAGES[name]))


@pytest.mark.parametrize("name", [name for name in PAGES if name not in WITHOUT_EXAMPLE])
def test_examples_are_true(name: str) -> None:
    """The Bad block of a page yields its finding; the Good block yields none at all."""
    wrong, right = examples(PAGES[name])

    assert name in {finding.rule for finding in check(bad(wrong)).findings}
    assert [] == check(bad(right)).findings
