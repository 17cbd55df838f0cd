"""Jupyter Book's own build, in this process, of a book whose manual was proven before."""

from __future__ import annotations

import io
from collections.abc import Mapping
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from .manual import Book, handing_over

__all__ = ["build_site"]


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
