"""The pages that lead to procedures: by system, by machine and by symptom."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from .html import address
from .keeping import Entry

__all__ = ["LISTS", "LIST_LABELS", "by_machine", "by_symptom", "by_system", "system_title"]

#: Page name -> title, in the order of the sidebar.
LISTS = {
    "procedures/index": "Procedures by system",
    "procedures/machines": "Procedures by machine",
    "procedures/symptoms": "What is wrong?",
}

#: Page name -> the label by which other pages link to it.
LIST_LABELS = {
    "procedures/index": "procedures-by-system",
    "procedures/machines": "procedures-by-machine",
    "procedures/symptoms": "procedures-by-symptom",
}

#: From each of these pages to the top of the site.
ROOT = "../"


def system_title(system: str) -> str:
    """The name of a system as a heading."""
    return system.replace("-", " ").capitalize()


def entry(page: Entry, about: str = "") -> str:
    href = escape(f"{ROOT}{address(page.system, page.id)}.html")
    state = "" if page.status == "issued" else f' <b class="gp-state">{escape(page.status.upper())}</b>'
    more = f'<span class="gp-quiet">{escape(about)}</span>' if about else ""
    return f'<li><a href="{href}">{escape(page.title)}</a>{state}{more}</li>'


def article(title: str, body: str) -> str:
    return f'<article class="gp gp-list"><h1>{escape(title)}</h1>{body}</article>'


def by_system(systems: Iterable[str], pages: dict[str, list[Entry]]) -> str:
    """Every procedure, under its system."""
    parts = []
    for system in systems:
        items = "".join(entry(page, page.purpose or "") for page in pages.get(system, ()))
        if items:
            title = escape(system_title(system))
            parts.append(
                f'<section id="{escape(system)}"><h2>{title}</h2>'
                f'<ul class="gp-entries">{items}</ul></section>'
            )
    return article(LISTS["procedures/index"], "".join(parts))


def by_machine(pages: list[Entry]) -> str:
    """Every machine, with the procedures that cover it."""
    found: dict[str, list[str]] = {}
    built: dict[str, str] = {}
    for page in pages:
        for machine in page.machines:
            built[machine.name] = machine.built
            about = f"Only: {machine.only}" if machine.only else ""
            found.setdefault(machine.name, []).append(entry(page, about))
    parts = [
        f'<section><h2>{escape(name)}</h2><p class="gp-quiet">Built {escape(built[name])}</p>'
        f'<ul class="gp-entries">{"".join(items)}</ul></section>'
        for name, items in found.items()
    ]
    return article(LISTS["procedures/machines"], "".join(parts))


def by_symptom(pages: list[Entry]) -> str:
    """Every symptom, with the procedure that may mend it."""
    found = sorted(
        ((symptom, page) for page in pages for symptom in page.symptoms),
        key=lambda pair: (pair[0].lower(), pair[1].id),
    )
    items = "".join(
        f'<li><span>{escape(symptom)}</span> <a href="{escape(ROOT + address(page.system, page.id))}.html">'
        f"{escape(page.title)}</a></li>"
        for symptom, page in found
    )
    lead = "<p>What a person notices, and the procedure that may put it right.</p>"
    return article(LISTS["procedures/symptoms"], f'{lead}<ul class="gp-entries gp-symptoms">{items}</ul>')
