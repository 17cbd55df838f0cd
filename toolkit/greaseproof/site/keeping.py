"""What is kept from one build to the next: of each page what others show of it, and how it was written."""

from __future__ import annotations

import hashlib
import pickle
from dataclasses import dataclass
from pathlib import Path

from ..views.page import Link, MachineCovered, Page
from .manual import Book, toolkit_digest
from .searching import words_of

__all__ = ["Entry", "Kept", "Origins", "Pages", "entry_of", "stamp"]

#: Size and time of a file, in nanoseconds.
Stamp = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Entry:
    """What lists, neighbours and the search show of a page. `words` are those that the search finds it by."""

    id: str
    system: str
    title: str
    status: str
    purpose: str | None
    symptoms: tuple[str, ...]
    machines: tuple[MachineCovered, ...]
    file: str
    words: str

    @property
    def link(self) -> Link:
        return Link(self.id, self.system, self.title)


def entry_of(page: Page) -> Entry:
    """What others show of a page."""
    return Entry(
        page.id,
        page.system,
        page.title,
        page.status,
        page.purpose,
        page.symptoms,
        page.machines,
        page.file,
        words_of(page),
    )


@dataclass(slots=True)
class Kept:
    """What is known of one page.

    `made_from` is the hash of its files, `drawing` the name of its diagram; `written` is the hash of all that
    its HTML was made from, with the stamp of the file that it was written to.
    """

    made_from: str
    entry: Entry
    drawing: str | None
    written: tuple[str, Stamp | None] | None = None


def stamp(file: Path) -> Stamp | None:
    """Size and time of a file; None if it is not there."""
    try:
        stat = file.stat()
    except FileNotFoundError:
        return None
    return stat.st_size, stat.st_mtime_ns


class Pages:
    """What the build before kept, from a file beside the doctrees.

    A file that cannot be read is as good as none.
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self.before: dict[str, Kept] = {}
        self.now: dict[str, Kept] = {}
        if file.exists():
            try:
                self.before = pickle.loads(file.read_bytes())
            except (pickle.UnpicklingError, EOFError, AttributeError, ImportError, TypeError, IndexError):
                self.before = {}

    def get(self, id: str, made_from: str) -> Kept | None:
        """What is known of a page, if it was made from the very same files."""
        known = self.before.get(id)
        if known is None or known.made_from != made_from:
            return None
        self.now[id] = known
        return known

    def put(self, id: str, kept: Kept) -> Kept:
        self.now[id] = kept
        return kept

    def save(self) -> None:
        """Keep what is known of the pages of this build, and no others. Nobody ever sees half a file."""
        part = self.file.with_suffix(".part")
        part.write_bytes(pickle.dumps(self.now, pickle.HIGHEST_PROTOCOL))
        part.replace(self.file)


class Origins:
    """Hashes of what pages are made from.

    A procedure's file, those of all that it uses, every catalogue, and the toolkit itself.
    """

    def __init__(self, book: Book, diagrams: bool) -> None:
        self.book = book
        procedures = book.manual.shop.procedure_files
        hashes = {path: hashlib.sha256(as_bytes(text)).digest() for path, text in book.files.items()}
        self.hashes = {path: hashed for path, hashed in hashes.items() if path in procedures}
        common = hashlib.sha256(repr((toolkit_digest(), diagrams)).encode())
        for path in sorted(set(hashes) - set(procedures)):
            common.update(path.encode() + hashes[path])
        self.common = common.digest()

    def of(self, id: str) -> str:
        found = hashlib.sha256(self.common)
        manual = self.book.manual
        for used in manual.with_used(id):
            procedure = manual.shop.procedures.get(used)
            found.update(
                used.encode() + (self.hashes.get(procedure.file, b"") if procedure is not None else b"")
            )
        return found.hexdigest()


def as_bytes(text: str | bytes) -> bytes:
    return text if isinstance(text, bytes) else text.encode("utf-8")
