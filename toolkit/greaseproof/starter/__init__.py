"""What an author begins with: a small manual that builds at once, and the pattern of a procedure."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from ..reading.build import FILES

__all__ = ["new_procedure", "start", "taken", "write_new"]

#: Text that needs no quotes in YAML: it begins with a letter, and holds no colon and no hash.
PLAIN = re.compile(r"[A-Za-z][\w ,.()’'/-]*", re.ASCII)

#: What stands for the title until the author writes one.
UNTITLED = "… say what is done, beginning with a verb"

#: Names by which other pages are linked to: the book's first, Sphinx's own, and the lists of procedures.
PAGES = frozenset({"index", "genindex", "modindex", "py-modindex", "search", "machines", "symptoms"})


def start(folder: Path) -> list[Path]:
    """Write a small manual into an empty folder, made if it is not there. Gives the files written.

    Raises: FileExistsError, if there is anything in the folder; NotADirectoryError, if it is a file; OSError,
    if it cannot be written, and then what was written is taken away again.
    """
    if folder.exists() and not folder.is_dir():
        raise NotADirectoryError(f"{folder} is a file")
    if folder.exists() and any(folder.iterdir()):
        raise FileExistsError(f"{folder} is not empty")
    written: list[Path] = []
    try:
        for name, text in manual_files(files(__name__) / "manual"):
            write_new(folder / name, text)
            written.append(folder / name)
    except OSError:
        for path in written:
            path.unlink(missing_ok=True)
        raise
    return written


def manual_files(folder: Traversable, inside: str = "") -> list[tuple[str, bytes]]:
    """Path and content of every file below a folder of the package, in the order of the paths."""
    found = []
    for entry in sorted(folder.iterdir(), key=lambda each: each.name):
        if entry.is_dir():
            found.extend(manual_files(entry, f"{inside}{entry.name}/"))
        else:
            found.append((f"{inside}{entry.name}", entry.read_bytes()))
    return found


def taken(id: str) -> str | None:
    """Why a procedure cannot have this name, in a sentence without a stop; None if it can."""
    if f"{id}.yaml" in FILES:
        return f"{id}.yaml is one of the manual's own files; say what is done, or to what part"
    if id in PAGES:
        return "a page of the site is called that; say what is done, or to what part"
    return None


def new_procedure(id: str, title: str | None, system: str) -> str:
    """The text of a procedure to write over. It is sound as it stands, as a draft."""
    pattern = (files(__name__) / "procedure.yaml").read_text(encoding="utf-8")
    part = f"{id}-part"
    heading = UNTITLED if title is None else as_yaml(title)
    fills = {"TITLE": heading, "SYSTEM": system, "PART": part, "FIXINGS": f"{id}-bolts"}
    return re.sub("|".join(fills), lambda found: fills[found[0]], pattern)


def as_yaml(text: str) -> str:
    """A line of text as it stands in YAML: in quotes where it has to."""
    return text if PLAIN.fullmatch(text) and text == text.strip() else json.dumps(text, ensure_ascii=False)


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all.

    Raises: FileExistsError, if it is there; OSError, if it cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        try:
            file.write(content)
        except OSError:
            file.close()
            path.unlink(missing_ok=True)
            raise
