"""The manual behind a book.

Read once a build, and only if a file has changed; which procedures may be published.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ..finding import Finding, Level
from ..manual import Manual, gather
from ..reading.model import Procedure
from ..report.text import findings_text

__all__ = ["Book", "State", "book_of", "digest_of", "handing_over", "toolkit_digest"]


@cache
def toolkit_digest() -> str:
    """A hash of the toolkit's own files: another makes other pages, though its version be the same."""
    home = Path(__file__).parents[1]
    found = hashlib.sha256()
    for path in sorted(home.rglob("*")):
        if path.is_file() and path.suffix != ".pyc":
            found.update(path.relative_to(home).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()


def digest_of(files: dict[str, bytes | str], *more: object) -> str:
    """A hash of texts, of the toolkit, and of what else decides how pages come out."""
    found = hashlib.sha256(repr((toolkit_digest(), more)).encode())
    for path in sorted(files):
        text = files[path]
        found.update(path.encode() + b"\0" + (text if isinstance(text, bytes) else text.encode()) + b"\0")
    return found.hexdigest()


@dataclass(frozen=True, slots=True)
class State:
    """How one procedure is published: `issued`, `draft`, `withdrawn`, or `left out` with the reason."""

    state: str
    findings: tuple[str, ...] = ()
    reason: str = ""


class Book:
    """The manual of one build."""

    def __init__(self, folder: Path, draft: bool) -> None:
        self.folder, self.draft = folder, draft
        self.files, self.missing = gather(folder)
        self._manual: Manual | None = None

    @property
    def manual(self) -> Manual:
        if self._manual is None:
            self._manual = Manual.read(self.files)
            self._manual.reading = [*self.missing, *self._manual.reading]
        return self._manual

    def digest(self, *more: object) -> str:
        return digest_of(dict(self.files), self.draft, *self.pictures(), *more)

    def pictures(self) -> list[tuple[str, int, int]]:
        """The files of `photos`, each with its size and its time."""
        stats = sorted((path.name, path.stat()) for path in (self.folder / "photos").glob("*"))
        return [(name, stat.st_size, stat.st_mtime_ns) for name, stat in stats]

    # -------------------------------------------------------------------------------- what may be published

    def errors(self) -> list[Finding]:
        return [finding for finding in self.manual.report().findings if finding.level is Level.ERROR]

    def owner(self, finding: Finding) -> str | None:
        """The procedure whose fault it is; None for one of the catalogues."""
        if finding.procedure is not None:
            return finding.procedure
        for id, procedure in self.manual.shop.procedures.items():
            if procedure.file == finding.span.file:
                return id
        return None

    def stopping(self) -> list[Finding]:
        """The errors that stop a build: all but those of procedures that are not issued."""
        found = []
        for finding in self.errors():
            owner = self.owner(finding)
            if owner is None:
                issued = finding.span.file not in self.files or self.issues_itself(finding.span.file)
            else:
                issued = self.manual.shop.procedures[owner].status == "issued"
            if issued:
                found.append(finding)
        return found

    def issues_itself(self, file: str) -> bool:
        """Of a file that could not be read: is it a catalogue, or does it say that it is issued?"""
        if file.count("/") <= self.depth:
            return True
        text = self.files[file]
        plain = text if isinstance(text, str) else text.decode("utf-8", "replace")
        return re.search(r"^status:\s*[\"']?issued\b", plain, re.MULTILINE) is not None

    @property
    def depth(self) -> int:
        """How many folders deep the manual's own files are."""
        homes = [path.count("/") for path in self.files if path.rsplit("/", 1)[-1] == "manual.yaml"]
        return min(homes, default=0)

    def unproven(self) -> list[str]:
        """Issued procedures that cannot be followed, though no error says so: what they use is broken."""
        blamed = {self.owner(finding) for finding in self.errors()}
        return [
            id
            for id, procedure in self.manual.shop.procedures.items()
            if procedure.status == "issued" and id not in blamed and self.manual.proof(id) is None
        ]

    def unfounded(self) -> list[str]:
        """A line on each issued procedure that cannot be followed, though no error says so."""
        titles = {id: self.manual.shop.procedures[id].span("title") for id in self.unproven()}
        return [
            f"{title}: {id} is issued, but uses a procedure that cannot be proven"
            for id, title in titles.items()
        ]

    def complaint(self) -> str | None:
        """Why the manual cannot be published, for a person; None if it can."""
        if self.draft:
            return None
        stopping = self.stopping()
        lines = [findings_text(stopping)] if stopping else []
        lines += [f"{line}\n" for line in self.unfounded()]
        if not lines:
            return None
        end = "The manual is not published. Mend this, or build it as a draft: greaseproof build --draft"
        return "\n" + "\n".join([*lines, end])

    def state(self, procedure: Procedure) -> State:
        """How a procedure is published."""
        if procedure.status == "withdrawn":
            return State("withdrawn")
        own = tuple(
            findings_text([finding]).strip()
            for finding in self.errors()
            if self.owner(finding) == procedure.id
        )
        if self.manual.proof(procedure.id) is None:
            return State("left out", own if self.draft else (), "It cannot be proven, so it is left out.")
        if own and not self.draft:
            return State("left out", (), f"It is a draft with {counted(own)}, so it is left out.")
        if own or procedure.status != "issued" or (self.draft and self.catalogue_faults()):
            return State("draft", own or self.catalogue_faults())
        return State("issued")

    def catalogue_faults(self) -> tuple[str, ...]:
        """The errors that belong to no procedure, and so concern every page."""
        return tuple(findings_text([f]).strip() for f in self.errors() if self.owner(f) is None)

    def publishable(self) -> Iterable[Procedure]:
        """Every procedure that has an address, in the order of the systems and of the files."""
        systems = list(self.systems())
        procedures = [p for p in self.manual.shop.procedures.values() if p.system and p.title]
        return sorted(procedures, key=lambda p: (systems.index(p.system), p.id))

    def systems(self) -> Iterable[str]:
        """The systems in the order of the contents; those that manual.yaml does not name come last."""
        info = self.manual.shop.info
        named = list(info.systems) if info is not None else []
        used = sorted({p.system for p in self.manual.shop.procedures.values() if p.system} - set(named))
        return [*named, *used]


#: The book that a build in this process is to publish, read and proven before.
HANDED: ContextVar[Book | None] = ContextVar("handed", default=None)


@contextmanager
def handing_over(book: Book) -> Iterator[None]:
    """Within this, `book_of` gives that book for its folder."""
    before = HANDED.set(book)
    try:
        yield
    finally:
        HANDED.reset(before)


def book_of(folder: Path, draft: bool) -> Book:
    """The book of a manual's folder: that which was handed over, else one that is yet to be read."""
    handed = HANDED.get()
    if handed is not None and handed.draft == draft and handed.folder.resolve() == folder.resolve():
        return handed
    return Book(folder, draft)


def counted(findings: tuple[str, ...]) -> str:
    return "an error" if len(findings) == 1 else f"{len(findings)} errors"
