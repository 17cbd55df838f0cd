"""Books to build: a small one for each test, also as its first build left it; the demonstration once."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "views" / "small"

CONF = """\
project = "Small shed"
extensions = ["myst_parser", "greaseproof.site"]
html_theme = "sphinx_book_theme"
html_show_search_summary = False
html_theme_options = {"navbar_start": [], "navbar_center": [], "navbar_end": [], "navbar_persistent": []}
"""

INDEX = """\
# Small shed

See {procedure}`pump` and [the bench](#clear-the-bench), or {ref}`clear-the-bench`.

```{toctree}
other
```
"""

OTHER = """\
# Other

Nothing of procedures.
"""


class Book:
    """A book in a folder of its own, beside its manual."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.book, self.out = folder, folder / "book", folder / "out"
        self.manual = folder / "procedures"

    def written(self) -> Book:
        """Write its files, and those of its manual."""
        shutil.copytree(SMALL, self.manual)
        self.book.mkdir()
        for name, text in (("conf.py", CONF), ("index.md", INDEX), ("other.md", OTHER)):
            (self.book / name).write_text(text, encoding="utf-8")
        return self

    def build(self, **environment: str) -> subprocess.CompletedProcess[str]:
        """Build it with warnings as errors."""
        return subprocess.run(
            [
                sys.executable,
                "-m",
                "sphinx",
                "-W",
                "-q",
                "-b",
                "html",
                "-d",
                self.folder / "doctrees",
                self.book,
                self.out,
            ],
            capture_output=True,
            text=True,
            check=False,
            cwd=self.folder,
            env={**os.environ, **environment},
        )

    def built(self, **environment: str) -> Book:
        """Build it, and see that nothing was said."""
        done = self.build(**environment)
        assert ("", 0) == (done.stderr, done.returncode)
        return self

    def change(self, path: str, old: str, new: str) -> Book:
        """Put one text of a file of the manual in the place of another."""
        file = self.manual / path
        text = file.read_text(encoding="utf-8")
        assert 1 == text.count(old)
        file.write_text(text.replace(old, new), encoding="utf-8")
        return self

    def page(self, name: str) -> str:
        return (self.out / f"{name}.html").read_text(encoding="utf-8")

    def pages(self) -> dict[str, tuple[str, int]]:
        """Each page: its text, and when it was written."""
        return {
            path.relative_to(self.out).with_suffix("").as_posix(): (
                path.read_text("utf-8"),
                path.stat().st_mtime_ns,
            )
            for path in sorted(self.out.rglob("*.html"))
            if "_static" not in path.parts
        }


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """A small book that is not built yet."""
    return Book(tmp_path).written()


@pytest.fixture(scope="session")
def first_build(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The small book built once: where it was built, and a copy to begin again from.

    Sphinx reads everything again in a book that was moved, so the copy goes back to the same place.
    """
    folder = tmp_path_factory.mktemp("first")
    place, kept = folder / "book", folder / "kept"
    place.mkdir()
    Book(place).written().built()
    shutil.copytree(place, kept)
    return place, kept


@pytest.fixture
def built(first_build: tuple[Path, Path]) -> Book:
    """The small book as its first build left it, times of files included."""
    place, kept = first_build
    shutil.rmtree(place)
    shutil.copytree(kept, place)
    return Book(place)


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's book, built as a user builds it, with warnings as errors.

    The folder of its pages.
    """
    out = tmp_path_factory.mktemp("demo")
    done = subprocess.run(
        [
            Path(sys.executable).parent / "jupyter-book",
            "build",
            "-W",
            "--keep-going",
            "--path-output",
            out,
            ROOT / "book",
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert 0 == done.returncode, done.stdout + done.stderr
    return out / "_build" / "html"
