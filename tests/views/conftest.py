"""The small manual that the views are tried on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from greaseproof.manual import Manual

SMALL = Path(__file__).parent / "small"


def small_files() -> dict[str, str | bytes]:
    """Path within the manual -> text."""
    return {
        path.relative_to(SMALL).as_posix(): path.read_text("utf-8") for path in sorted(SMALL.rglob("*.yaml"))
    }


@pytest.fixture(scope="session")
def small() -> Manual:
    """A manual without a fault: two models, one of them with a change of hardware in its run."""
    manual = Manual.read(small_files())
    assert [] == manual.report().findings
    return manual


@pytest.fixture
def changed() -> Callable[[str, str, str], Manual]:
    """The small manual with one text in one file put in the place of another."""

    def change(path: str, old: str, new: str) -> Manual:
        files = small_files()
        text = str(files[path])
        assert 1 == text.count(old)
        return Manual.read({**files, path: text.replace(old, new)})

    return change
