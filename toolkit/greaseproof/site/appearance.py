"""The style sheet, the script and the short list of links in the theme's sidebar."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sphinx.application import Sphinx
from sphinx.config import Config

from .lists import LISTS

__all__ = ["setup_appearance"]

HERE = Path(__file__).parent
SIDEBAR = "greaseproof-sidebar.html"
#: Those of sphinx-book-theme (theme.conf, 1.3), for a book that chooses none.
CONTENTS = "sbt-sidebar-nav.html"
USUAL_SIDEBARS = ["navbar-logo.html", "icon-links.html", "search-button-field.html", CONTENTS]


def setup_appearance(app: Sphinx) -> None:
    app.connect("config-inited", add_folders)
    app.connect("html-page-context", add_links)
    app.add_css_file("greaseproof.css", priority=900)
    app.add_js_file("greaseproof.js", loading_method="defer")


def add_folders(app: Sphinx, config: Config) -> None:
    config.html_static_path = [*config.html_static_path, str(HERE / "static")]
    config.templates_path = [*config.templates_path, str(HERE / "templates")]
    sidebars: dict[str, list[str]] = dict(config.html_sidebars)
    usual = sidebars.get("**", USUAL_SIDEBARS)
    at = usual.index(CONTENTS) if CONTENTS in usual else len(usual)
    sidebars["**"] = [*usual[:at], SIDEBAR, *usual[at:]]
    config.html_sidebars = sidebars
    # The theme's script complains on every page where the mode is left to it.
    config.html_context = {"default_mode": "auto", **config.html_context}


def add_links(app: Sphinx, pagename: str, template: str, context: dict[str, Any], doctree: Any) -> None:
    """The generated pages, for the sidebar.

    As many links on a book of ten procedures as on one of ten thousand.
    """
    context["greaseproof_links"] = [
        {"title": title, "href": f"{'../' * pagename.count('/')}{name}.html", "here": name == pagename}
        for name, title in LISTS.items()
    ]
