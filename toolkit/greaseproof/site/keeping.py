"""What is kept from one build to the next.

The data of each page, under a hash of all that it was made from.
"""

from __future__ import annotations

import hashlib
import pickle
from dataclasses import dataclass
from pathlib import Path

from .. import __version__
from ..views.page import Page
from .manual import Book

__all__ = ["Kept", "Origins", "Pages"]


@dataclass(frozen=True, slots=True)
class Kept:
    """A page with the name of its drawing; `made_from` is the hash of its files."""

    made_from: str
    page: Page
    drawing: str | None


class Pages:
    """The pages of the build before, from a file beside the doctrees.

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
        """The page, if it was made from the very same files."""
        known = self.before.get(id)
        if known is None or known.made_from != made_from:
            return None
        self.now[id] = known
        return known

    def put(self, id: str, kept: Kept) -> Kept:
        self.now[id] = kept
        return kept

    def save(self) -> None:
        """Keep the pages of this build, and no others. Nobody ever sees half a file."""
        part = self.file.with_suffix(".part")
        part.write_bytes(pickle.dumps(self.now, pickle.HIGHEST_PROTOCOL))
        part.replace(self.file)


class Origins:
    """Hashes of what pages are made from.

    A procedure's file, those of all that it uses, and every catalogue.
    """

    def __init__(self, book: Book, diagrams: bool) -> None:
        self.book = book
        procedures = book.manual.shop.procedure_files
        hashes = {path: hashlib.sha256(as_bytes(text)).digest() for path, text in book.files.items()}
        self.hashes = {path: hashed for path, hashed in hashes.items() if path in procedures}
        common = hashlib.sha256(repr((__version__, diagrams)).encode())
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
