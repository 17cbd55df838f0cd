"""Jupyter Book's own build, in this process, of a book whose manual was proven before."""

from __future__ import annotations

import io
from collections.abc import Mapping
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import yaml

from ..finding import Finding, Level, Span
from ..reading import nodes
from .manual import Book, handing_over

__all__ = ["build_site", "unreadable"]


def unreadable(home: Path) -> list[Finding]:
    """What is wrong with the book's own two files, if they are not YAML.

    `home` is the book's folder, as its path is to be shown.
    """
    found: list[Finding] = []
    for path in (home / "_config.yml", home / "_toc.yml"):
        text, name = path.read_bytes(), path.as_posix()
        try:
            yaml.safe_load(text)
        except (yaml.YAMLError, UnicodeDecodeError):
            _, findings = nodes.read(text, name)
            plain = Finding("unreadable-yaml", Level.ERROR, Span(name, 1, 1, 1, 1), "the file is not YAML")
            found.extend(findings or [plain])
    return found


def build_site(folder: Path, book: Book, *, strict: bool, settings: Mapping[str, bool]) -> tuple[str, bool]:
    """Build the site of the book in a folder, without a conf.py, as `jupyter-book build` does it.

    `settings` go before those of the book itself; `strict` makes every page anew, and any warning an error.
    Gives what Sphinx had to say, and whether it failed. Sphinx and what it loads keep things for the whole
    process, so that it is built once in one.
    """
    from jupyter_book.sphinx import build_sphinx  # type: ignore[import-untyped]

    toc = (folder / "_toc.yml").as_posix()
    said = io.StringIO()
    with handing_over(book), redirect_stdout(said), redirect_stderr(said):
        result = build_sphinx(
            folder,
            folder / "_build" / "html",
            noconfig=True,
            path_config=folder / "_config.yml",
            confoverrides={**settings, "external_toc_path": toc, "latex_individualpages": False},
            freshenv=strict,
            warningiserror=strict,
            keep_going=True,
            quiet=True,
        )
    return said.getvalue().strip(), bool(result)
