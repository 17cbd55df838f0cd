"""From a manual to the pages of a book: filled into one page of the theme, written where they have changed.

Procedures are no documents of Sphinx: one page of the theme is rendered as a shell, once for each depth of
folder, and every procedure's body is filled into it. Their ids are labels of the standard domain, so that any
page links to them.
"""

from __future__ import annotations

import gc
import hashlib
import re
from collections.abc import Iterator
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

from docutils import nodes
from sphinx.addnodes import pending_xref
from sphinx.application import Sphinx
from sphinx.builders.html import StandaloneHTMLBuilder
from sphinx.environment import BuildEnvironment
from sphinx.errors import ExtensionError
from sphinx.util import logging

from ..diagrams import flow
from ..reading.build import without_collecting
from ..reading.model import Procedure
from ..views.page import Link, Page, page
from ..views.saying import speaker_of
from .config import is_draft, procedures_folder
from .html import PICTURES, Writer, address
from .keeping import Entry, Kept, Origins, Pages, entry_of, stamp
from .lists import LIST_LABELS, LISTS, by_machine, by_symptom, by_system
from .manual import Book, State, book_of
from .searching import feed

__all__ = ["Publisher", "setup_publishing"]

logger = logging.getLogger(__name__)

#: What a browser shows as a picture, and never runs: no SVG, which may hold a script.
PICTURE_KINDS = (".avif", ".gif", ".jpeg", ".jpg", ".png", ".webp")

#: What is put in the place of a page's own name, title and body when the shell is rendered.
NAME, TITLE, BODY = "greaseproof-shell", "greaseproof title", "<!-- greaseproof body -->"
DEPTHS = {1: f"procedures/{NAME}", 2: f"procedures/{NAME}/{NAME}"}


def setup_publishing(app: Sphinx) -> None:
    publisher = Publisher(app)
    app.connect("builder-inited", publisher.begin)
    app.connect("env-get-outdated", publisher.outdated)
    app.connect("doctree-read", publisher.note_links)
    app.connect("env-purge-doc", purge)
    app.connect("env-merge-info", merge)
    app.connect("html-collect-pages", publisher.publish)
    app.greaseproof = publisher  # type: ignore[attr-defined]


class Publisher:
    """One build."""

    def __init__(self, app: Sphinx) -> None:
        self.app = app
        self.book: Book
        self.digest = ""
        #: Ids of procedures whose title or address is not that of the build before.
        self.renamed: set[str] = set()

    # ------------------------------------------------------------------------------------------------ reading

    def begin(self, app: Sphinx) -> None:
        """Read the manual.

        Where it has changed, hold it against its rules and name its procedures to Sphinx.
        """
        folder = procedures_folder(app)
        if not folder.is_dir():
            raise ExtensionError(
                f"there is no folder {folder}; set greaseproof_procedures to where the manual is"
            )
        self.book = book_of(folder, is_draft(app))
        self.digest = self.book.digest(app.config.greaseproof_diagrams, str(app.outdir))
        if self.changed(app.env):
            with without_collecting():
                complaint = self.book.complaint()
            gc.freeze()  # the manual is needed until the end, and Sphinx need not look through it for garbage
            if complaint is not None:
                raise ExtensionError(complaint)
            self.name_procedures(app.env)
            app.env.greaseproof_digest = self.digest  # type: ignore[attr-defined]

    def changed(self, env: BuildEnvironment) -> bool:
        return getattr(env, "greaseproof_digest", None) != self.digest

    def name_procedures(self, env: BuildEnvironment) -> None:
        """Make each procedure's id a label, so that `{ref}` and `[](#id)` find its page."""
        standard = env.domains["std"]
        for labels in (standard.data["labels"], standard.data["anonlabels"]):
            for name in [name for name, target in labels.items() if target[0].startswith("procedures/")]:
                del labels[name]
        titles: dict[str, tuple[str, str]] = {}
        for procedure in self.book.publishable():
            target = address(procedure.system, procedure.id)
            for name in (procedure.id, *procedure.was):
                if name in standard.data["labels"]:
                    logger.warning(
                        "%s is a label of a page and the name of a procedure", name, type="greaseproof"
                    )
                    continue
                standard.data["labels"][name] = (target, "", procedure.title)
                standard.data["anonlabels"][name] = (target, "")
                titles[name] = (target, procedure.title)
        for target, title in LISTS.items():
            name = LIST_LABELS[target]
            standard.data["labels"][name] = (target, "", title)
            standard.data["anonlabels"][name] = (target, "")
        before: dict[str, tuple[str, str]] = getattr(env, "greaseproof_titles", {})
        env.greaseproof_titles = titles  # type: ignore[attr-defined]
        self.renamed = {name for name in {*titles, *before} if titles.get(name) != before.get(name)}

    def outdated(
        self, app: Sphinx, env: BuildEnvironment, added: set[str], changed: set[str], removed: set[str]
    ) -> list[str]:
        """The pages that link to a renamed procedure, and the root page if any has changed.

        Sphinx stops where nothing is outdated, and would ask for no procedures.
        """
        links: dict[str, set[str]] = getattr(env, "greaseproof_links", {})
        found = {docname for docname, names in links.items() if names & self.renamed}
        if self.published != self.digest or not self.output("procedures/index").exists():
            found.add(env.config.root_doc)
        return sorted(found)

    @property
    def published(self) -> str:
        """The digest of what the output folder shows.

        Kept in a file, since Sphinx stores its own state before writing.
        """
        stamp = self.kept / "published"
        return stamp.read_text(encoding="utf-8") if stamp.exists() else ""

    @published.setter
    def published(self, digest: str) -> None:
        self.kept.mkdir(parents=True, exist_ok=True)
        (self.kept / "published").write_text(digest, encoding="utf-8")

    @property
    def kept(self) -> Path:
        """What is kept from one build to the next, beside the doctrees: drawings, and what was published."""
        return Path(self.app.doctreedir) / "greaseproof"

    def output(self, name: str) -> Path:
        return Path(self.app.outdir) / f"{name}.html"

    def note_links(self, app: Sphinx, doctree: nodes.document) -> None:
        """Remember which procedures a page links to: it must be made again if they change their titles."""
        wanted = {node["reftarget"] for node in doctree.findall(pending_xref)}
        links: dict[str, set[str]] = app.env.__dict__.setdefault("greaseproof_links", {})
        links[app.env.docname] = wanted

    # ----------------------------------------------------------------------------------------------
    # publishing

    def publish(self, app: Sphinx) -> Iterator[tuple[str, dict[str, Any], str]]:
        """Write every page that is not on the disk as it should be, and take away those not wanted."""
        builder = app.builder
        if isinstance(builder, StandaloneHTMLBuilder):
            with without_collecting():
                written, total = self.write_all(builder)
            self.published = self.digest
            logger.info("procedures: %d pages, %d written", total, written)
        yield from ()

    def write_all(self, builder: StandaloneHTMLBuilder) -> tuple[int, int]:
        """How many pages were written, and of how many."""
        self.kept.mkdir(parents=True, exist_ok=True)
        shells = {depth: self.shell(builder, name) for depth, name in DEPTHS.items()}
        store = Pages(self.kept / "pages.pickle")
        composed: dict[str, Page] = {}
        procedures = list(self.book.publishable())
        states = {procedure.id: self.book.state(procedure) for procedure in procedures}
        entries = list(self.entries(states, store, composed))
        others = self.lists(shells[1], entries)
        for procedure in procedures:
            if procedure.id not in store.now:
                name = address(procedure.system, procedure.id)
                others[name] = fill(shells[2], name, procedure.title, notice(procedure, states[procedure.id]))
            others |= {address(procedure.system, old): led_on(procedure) for old in procedure.was}
        written = sum(write(self.output(name), text) for name, text in others.items())
        written += self.write_pages(shells[2], entries, states, store, composed)
        store.save()
        names = {*others, *(address(entry.system, entry.id) for entry in entries)}
        self.clear({self.output(name) for name in names})
        feed(builder, entries)
        return written, len(names)

    def entries(self, states: dict[str, State], store: Pages, composed: dict[str, Page]) -> Iterator[Entry]:
        """What lists show of each procedure that has a page; `composed` takes in the pages made for that."""
        origins = Origins(self.book, self.app.config.greaseproof_diagrams)
        for id, state in states.items():
            if state.state in ("issued", "draft"):
                entry = self.made(store, origins.of(id), id, composed).entry
                yield replace(entry, status="draft") if state.state == "draft" else entry

    def lists(self, shell: str, entries: list[Entry]) -> dict[str, str]:
        """The pages that lead to procedures."""
        by: dict[str, list[Entry]] = {}
        for entry in entries:
            by.setdefault(entry.system, []).append(entry)
        bodies = {
            "procedures/index": by_system(self.book.systems(), by),
            "procedures/machines": by_machine(entries),
            "procedures/symptoms": by_symptom(entries),
        }
        return {name: fill(shell, name, LISTS[name], body) for name, body in bodies.items()}

    def write_pages(
        self,
        shell: str,
        entries: list[Entry],
        states: dict[str, State],
        store: Pages,
        composed: dict[str, Page],
    ) -> int:
        """Write the pages of procedures, but for those that stand there from the build before. How many."""
        writer = Writer(pictures=self.copy_pictures())
        common = hashlib.sha256(repr((shell, sorted(writer.pictures))).encode()).digest()
        written = 0
        for entry, before, after in zip(entries, [None, *entries], [*entries[1:], None], strict=False):
            kept, findings = store.now[entry.id], states[entry.id].findings
            around = (beside(entry, before), beside(entry, after))
            made_of = (kept.made_from, common, entry.status, findings, around)
            made_from = hashlib.sha256(repr(made_of).encode()).hexdigest()
            name = address(entry.system, entry.id)
            if kept.written == (made_from, stamp(self.output(name))):
                continue
            page = composed.get(entry.id) or self.composed(entry.id)
            page = page if page.status == entry.status else replace(page, status=entry.status)
            body = writer.page(page, findings, self.drawing(kept), *around)
            written += write(self.output(name), fill(shell, name, entry.title, body))
            kept.written = (made_from, stamp(self.output(name)))
        return written

    def copy_pictures(self) -> frozenset[str]:
        """Copy the pictures of the manual's own `photos` into the site. Their names, as a step gives them."""
        photos = self.book.folder / "photos"
        found = {path.name: path for path in photos.glob("*") if path.suffix.lower() in PICTURE_KINDS}
        for name, path in found.items():
            target = Path(self.app.outdir) / PICTURES / name
            if not target.exists() or target.read_bytes() != path.read_bytes():
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(path.read_bytes())
        return frozenset(found)

    def made(self, store: Pages, made_from: str, id: str, composed: dict[str, Page]) -> Kept:
        """What is known of the page of a procedure that can be followed.

        From the build before, if nothing it was made from changed; else the page is composed.
        """
        known = store.get(id, made_from)
        if known is not None and (known.drawing is None or (self.kept / known.drawing).exists()):
            return known
        composed[id] = self.composed(id)
        return store.put(id, Kept(made_from, entry_of(composed[id]), self.drawn(id)))

    def composed(self, id: str) -> Page:
        made = page(self.book.manual, id)
        assert made is not None
        return made

    def drawn(self, id: str) -> str | None:
        """The name of the file of its step diagram."""
        manual = self.book.manual
        proof = manual.proof(id)
        if proof is None or not self.app.config.greaseproof_diagrams:
            return None
        speaker = speaker_of(manual)
        drawing = flow(
            proof, manual.resolver, say=lambda of, within: speaker.only(of, within) or "every machine"
        )
        return drawing.draw(self.kept).name

    def drawing(self, kept: Kept) -> str:
        """The step diagram, within the page, whose ink and type it takes."""
        if kept.drawing is None:
            return ""
        svg = (self.kept / kept.drawing).read_text(encoding="utf-8")
        svg = svg[svg.index("<svg") :]
        heading = "<h2>The job at a glance</h2>"
        return f'<section id="diagram" class="gp-diagram">{heading}<figure>{svg}</figure></section>'

    def clear(self, wanted: set[Path]) -> None:
        """Take away pages of procedures that are no more."""
        documents = {self.output(name) for name in self.app.env.found_docs}
        for path in (Path(self.app.outdir) / "procedures").rglob("*.html"):
            if path not in wanted and path not in documents:
                path.unlink()

    def shell(self, builder: StandaloneHTMLBuilder, name: str) -> str:
        """A page of the theme with marks in the place of its title and body.

        The theme asks for style sheets by their hash, which is not the same before and after they are copied:
        it is taken out, so that an unchanged page is unchanged.
        """
        path = self.kept / "shell.html"
        context = {
            "title": TITLE,
            "body": BODY,
            "display_toc": False,
            "toc": "",
            "theme_secondary_sidebar_items": [],
        }
        builder.handle_page(name, context, "page.html", outfilename=str(path))
        text = path.read_text(encoding="utf-8")
        path.unlink()
        return re.sub(r"\?v=[0-9a-f]+(?=[\"'])", "", text)


def beside(entry: Entry, other: Entry | None) -> Link | None:
    """The link to the procedure before or after one; None where that is of another system."""
    return other.link if other is not None and other.system == entry.system else None


def fill(shell: str, name: str, title: str, body: str) -> str:
    """A page, from a shell."""
    for shape in sorted(DEPTHS.values(), key=len, reverse=True):
        shell = shell.replace(shape, name)
    return shell.replace(TITLE, escape(title)).replace(BODY, body)


def write(path: Path, text: str) -> bool:
    """Write a page unless it is there already, word for word. Was it written?"""
    data = text.encode("utf-8")
    if path.exists() and path.read_bytes() == data:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    part.write_bytes(data)
    part.replace(path)
    return True


def notice(procedure: Procedure, state: State) -> str:
    """The page of a procedure that is withdrawn or left out: its address stays, nothing of it is shown."""
    if state.state == "withdrawn":
        says = "This procedure is withdrawn. Nobody may work from an earlier copy of it."
    else:
        says = f"{state.reason} Nobody may work from it."
    faults = "".join(f"<li><pre>{escape(finding)}</pre></li>" for finding in state.findings)
    word = "WITHDRAWN" if state.state == "withdrawn" else "DRAFT"
    return (
        f'<article class="gp"><h1>{escape(procedure.title)}</h1><div class="gp-draft" role="note">'
        f"<p><b>{word}</b> {escape(says)}</p>{f'<ul>{faults}</ul>' if faults else ''}</div></article>"
    )


def led_on(procedure: Procedure) -> str:
    """The page at an old address: it leads on to the new one, without a script."""
    to = escape(f"{procedure.id}.html")
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>{escape(procedure.title)}</title>"
        f'<meta http-equiv="refresh" content="0; url={to}"><link rel="canonical" href="{to}"></head>'
        f'<body><p>This page is now <a href="{to}">{escape(procedure.title)}</a>.</p></body></html>\n'
    )


def purge(app: Sphinx, env: BuildEnvironment, docname: str) -> None:
    env.__dict__.get("greaseproof_links", {}).pop(docname, None)


def merge(app: Sphinx, env: BuildEnvironment, docnames: list[str], other: BuildEnvironment) -> None:
    links = env.__dict__.setdefault("greaseproof_links", {})
    links.update(
        {
            name: names
            for name, names in other.__dict__.get("greaseproof_links", {}).items()
            if name in docnames
        }
    )
