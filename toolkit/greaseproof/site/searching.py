"""Procedures in Sphinx's own search index: their titles, steps, things and sizes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import TYPE_CHECKING

from docutils import nodes
from sphinx.builders.html import StandaloneHTMLBuilder

from ..views.page import Page, PutBackRow, StepRow, rows_within
from .html import address

if TYPE_CHECKING:
    from .keeping import Entry

__all__ = ["feed", "words_of"]


def feed(builder: StandaloneHTMLBuilder, pages: Iterable[Entry]) -> None:
    """Put the pages into the index that the builder is about to write.

    The builder drops whatever is no document before it writes the index, so the pages are named to it.
    """
    indexer = builder.indexer
    if indexer is None:
        return
    # Procedures share their words, and Sphinx forgets their stems after each page.
    indexer.lang.stem = cache(indexer.lang.stem)  # type: ignore[method-assign]
    names = []
    for page in pages:
        name = address(page.system, page.id)
        indexer.feed(name, f"{page.file}", page.title, doctree_of(page))  # type: ignore[arg-type]
        names.append(name)
    prune = indexer.prune

    def prune_all_but(docnames: Iterable[str]) -> None:
        prune({*docnames, *names})

    indexer.prune = prune_all_but  # type: ignore[method-assign]


def doctree_of(page: Entry) -> nodes.Element:
    """What the index reads: the title, and all words a person may look for."""
    section = nodes.section("", nodes.title("", page.title), ids=[page.id])
    section.append(nodes.paragraph("", page.words))
    return section


def words_of(page: Page) -> str:
    """All words of a page that a person may look for, each of them once."""
    return " ".join(dict.fromkeys(word for text in texts(page) for word in text.split()))


def texts(page: Page) -> Iterator[str]:
    yield from (page.id, page.system, page.purpose or "", *page.symptoms, *page.was)
    yield from (machine.name for machine in page.machines)
    yield from (material.what for material in (*page.tools, *page.supplies))
    for row in rows_within((*page.steps, *page.finally_)):
        if isinstance(row, StepRow):
            yield from (row.says, *row.tests, row.why or "", row.tip or "", row.keep or "")
            yield from (signal.says for signal in row.signals)
    yield from (row.says for row in page.refit if isinstance(row, PutBackRow))
    for thing in page.things:
        yield thing.name
        for _, values in thing.facts:
            yield from (value.text for value in values)
