"""Builds the book with plain Sphinx, the newest there is, and without Jupyter Book.

Used by `.ci/run`: `sphinx-build -W -c tests/newest_sphinx book OUT`. What the book says in its `_config.yml`
is read from there, under the names that jupyter_book/config.py (1.0.4) gives to Sphinx.
"""

from pathlib import Path
from typing import Any

import yaml

#: Extensions that come with Jupyter Book 1 only.
ONLY_WITH_JUPYTER_BOOK = {
    "jupyter_book",
    "sphinx_comments",
    "sphinx_copybutton",
    "sphinx_jupyterbook_latex",
    "sphinx_multitoc_numbering",
    "sphinx_thebe",
    "sphinx_togglebutton",
    "sphinxcontrib.bibtex",
}

BOOK = Path(__file__).parents[2] / "book"
_book: dict[str, Any] = yaml.safe_load((BOOK / "_config.yml").read_text(encoding="utf-8"))
_sphinx: dict[str, Any] = _book.get("sphinx") or {}
_values: dict[str, Any] = dict(_sphinx.get("config") or {})

extensions = list(
    dict.fromkeys(
        name
        for name in (
            "myst_nb",
            "sphinx_external_toc",
            *_values.pop("extensions", []),
            *(_sphinx.get("extra_extensions") or []),
        )
        if name not in ONLY_WITH_JUPYTER_BOOK
    )
)
if "greaseproof.site" not in extensions:
    raise ValueError("book/_config.yml does not name greaseproof.site: this build would prove nothing")

project = html_title = _book["title"]
author = _book.get("author") or ""
copyright = str(_book.get("copyright") or "")
html_theme = "sphinx_book_theme"
external_toc_path = "_toc.yml"
external_toc_exclude_missing = bool(_book.get("only_build_toc_files"))
exclude_patterns = ["_build", "**.ipynb_checkpoints", *(_book.get("exclude_patterns") or [])]
nb_execution_mode = (_book.get("execute") or {}).get("execute_notebooks") or "off"
myst_enable_extensions = (_book.get("parse") or {}).get("myst_enable_extensions") or []
myst_url_schemes = ["mailto", "http", "https"]
suppress_warnings = ["myst.domains"]  # as Jupyter Book does

globals().update(_values)
