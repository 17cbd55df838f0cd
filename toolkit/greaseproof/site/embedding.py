"""The role that links to a procedure and the directive that shows its steps within a page."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

from docutils import nodes
from sphinx.addnodes import pending_xref
from sphinx.application import Sphinx
from sphinx.util.docutils import ReferenceRole, SphinxDirective
from sphinx.writers.html5 import HTML5Translator

from ..views.page import StepRow, page, rows_within
from .html import Writer
from .manual import Book

__all__ = ["setup_embedding"]


class Steps(nodes.General, nodes.Element):
    """The steps of a procedure: HTML of our own, and within it a plain list for other builders."""


def setup_embedding(app: Sphinx) -> None:
    app.add_role("procedure", ProcedureRole())
    app.add_directive("procedure", ProcedureDirective)
    plain = (visit_plain, depart_plain)
    app.add_node(Steps, html=(visit_html, None), latex=plain, text=plain, man=plain, texinfo=plain)


class ProcedureRole(ReferenceRole):
    """{procedure}`starter`: a link to a procedure, with its title unless another text is given."""

    def run(self) -> tuple[list[nodes.Node], list[nodes.system_message]]:
        inner = nodes.inline(self.rawtext, self.title, classes=["xref", "std", "std-ref"])
        node = pending_xref(
            self.rawtext,
            inner,
            refdomain="std",
            reftype="ref",
            reftarget=self.target,
            refwarn=True,
            refexplicit=self.has_explicit_title,
            refdoc=self.env.docname,
        )
        self.set_source_info(node)
        return [node], []


class ProcedureDirective(SphinxDirective):
    """Shows the steps of a procedure, and a link to the whole of it."""

    required_arguments = 1
    option_spec: ClassVar[dict[str, Any]] = {}

    def run(self) -> list[nodes.Node]:
        book: Book = self.env.app.greaseproof.book  # type: ignore[attr-defined]
        manual, id = book.manual, self.arguments[0]
        used = {
            manual.shop.procedures[name].file
            for name in manual.with_used(id)
            if name in manual.shop.procedures
        }
        for file in book.files:
            if file in used or file not in manual.shop.procedure_files:
                self.env.note_dependency(str(Path(file).resolve()))
        shown = page(manual, id) if id in manual.shop.procedures else None
        if shown is None or book.state(manual.shop.procedures[id]).state not in ("issued", "draft"):
            return [
                self.state.document.reporter.warning(f"there is no procedure {id} to show", line=self.lineno)
            ]
        root = "../" * self.env.docname.count("/")
        html = (
            f'<div class="gp gp-embedded" data-procedure="{shown.id}">{Writer(root).rows(shown.steps)}</div>'
        )
        items = [
            nodes.list_item("", nodes.paragraph("", row.says))
            for row in rows_within(shown.steps)
            if isinstance(row, StepRow)
        ]
        node = Steps("", nodes.enumerated_list("", *items), html=html)
        inner = nodes.inline("", shown.title)
        link = pending_xref(
            "",
            inner,
            refdomain="std",
            reftype="ref",
            reftarget=id,
            refexplicit=False,
            refdoc=self.env.docname,
            refwarn=True,
        )
        return [node, nodes.paragraph("", "The whole procedure: ", link)]


def visit_html(self: HTML5Translator, node: Steps) -> None:
    self.body.append(node["html"])
    raise nodes.SkipNode


def visit_plain(self: Any, node: Steps) -> None:
    """Its list is written as it is."""


def depart_plain(self: Any, node: Steps) -> None:
    """Nothing is left to close."""
