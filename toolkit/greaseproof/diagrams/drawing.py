"""A diagram as a file: drawn only when nobody has drawn the same before."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from ..machines.resolve import Resolver
from ..proof.outcome import Proof
from .flow import Flow, Say, layout_of, spoken
from .sheet import Sheet, place

__all__ = ["Drawing", "flow"]

#: To be raised whenever the same flow comes out as another drawing.
VERSION: Final = 1


@dataclass(frozen=True)
class Drawing:
    """The step diagram of one procedure, in one column (328 px wide) or two (684 px).

    Everything but `svg` and `draw` goes without matplotlib.
    """

    shows: Flow
    columns: int = 1

    @cached_property
    def key(self) -> str:
        """A hash of what it shows and how: the name of its file."""
        text = f"{VERSION}\n{self.columns}\n{self.shows!r}"
        return hashlib.sha256(text.encode()).hexdigest()[:20]

    @cached_property
    def alt(self) -> str:
        """All that it says, a sentence a line."""
        return spoken(self.shows)

    @cached_property
    def sheet(self) -> Sheet:
        return place(self.shows, self.columns)

    @property
    def width(self) -> int:
        """In CSS pixels, like `height`."""
        return round(self.sheet.width)

    @property
    def height(self) -> int:
        return round(self.sheet.height)

    @cached_property
    def svg(self) -> bytes:
        """The drawing, transparent.

        Within a page it takes that page's ink and font; alone or as an image it has its own, by day and
        by night.
        """
        from .pen import svg

        return svg(self.sheet, f"flow-{self.key}", f"Step diagram: {self.shows.title}", self.alt)

    def draw(self, folder: Path) -> Path:
        """The drawing's file in a folder, drawn if it is not there.

        Nobody ever sees half a file. Raises: OSError, where the folder cannot be written.
        """
        path = folder / f"{self.key}.svg"
        if not path.exists():
            folder.mkdir(parents=True, exist_ok=True)
            part = folder / f"{self.key}.{os.getpid()}.part"
            part.write_bytes(self.svg)
            part.replace(path)
        return path


def flow(proof: Proof, resolver: Resolver, *, columns: int = 1, say: Say | None = None) -> Drawing:
    """The step diagram of a procedure; `say` as for `layout_of`.

    Raises: ValueError, for other than one or two columns.
    """
    if columns not in (1, 2):
        raise ValueError(f"a step diagram has one or two columns, not {columns}")
    return Drawing(layout_of(proof, resolver, say), columns)
