"""The text of one file while it is read: places in it, and a copy that may be mended to read on."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from functools import cached_property
from typing import Any

from yaml.cyaml import CParser  # type: ignore[attr-defined]  # the stubs do not export it
from yaml.error import Mark

from ..finding import Finding, Level, Related, Span

__all__ = ["Source", "events", "marks", "quoted", "shortened"]

_WRITTEN = re.compile(r"[^\r\n]")

#: What the YAML parser counts as the end of a line, once other separators are taken out.
_BREAK = re.compile(r"\r\n|\r|\n")

#: The ranges that Unicode leaves to private agreement: no text of the trade needs them.
_PRIVATE = (*range(0xE000, 0xF900), *range(0xF0000, 0xFFFFE), *range(0x100000, 0x10FFFE))


def events(text: str) -> Callable[[], Any]:
    """What gives the next event of the YAML parser, written in C, at each call; None after the last.

    Events are untyped here: the stubs let their marks be None, which they never are.
    """
    next_event: Callable[[], Any] = CParser(text).get_event
    return next_event


def marks(event: Any) -> tuple[Mark, Mark]:
    """Where an event begins and ends."""
    return event.start_mark, event.end_mark


class Source:
    """A file's text as written, and `working`, a copy in which single characters were replaced.

    Both have the same length and the same lines, so a place in one is the same place in the other. A hidden
    character is replaced by a stand-in without a meaning in YAML; `restore` puts it back into a value.
    """

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.working = text
        self.stand_ins: dict[str, str] = {}
        #: Lines that were indented with tabs: where they belong is a guess.
        self.tabbed: set[int] = set()

    @cached_property
    def _starts(self) -> list[int]:
        return [0, *(found.end() for found in _BREAK.finditer(self.text))]

    def line(self, index: int) -> int:
        """The line, from 0, on which the character at `index` stands."""
        return bisect_right(self._starts, index) - 1

    def bounds(self, line: int) -> tuple[int, int]:
        """Where a line begins and ends in the text, its line break left out."""
        starts = self._starts
        end = starts[line + 1] if line + 1 < len(starts) else len(self.text)
        while end > starts[line] and self.text[end - 1] in "\r\n":
            end -= 1
        return starts[line], end

    @property
    def last_line(self) -> int:
        return len(self._starts) - 1

    def span(self, start: int, end: int) -> Span:
        """The place of `text[start:end]`, lines and columns from 1."""
        start, end = min(start, len(self.text)), min(end, len(self.text))
        first, last = self.line(start), self.line(end)
        return Span(
            self.file, first + 1, start - self._starts[first] + 1, last + 1, end - self._starts[last] + 1
        )

    def finding(
        self, rule: str, start: int, end: int, message: str, mend: str, because: tuple[Related, ...] = ()
    ) -> Finding:
        """An error about `text[start:end]`."""
        return Finding(rule, Level.ERROR, self.span(start, end), message, because=because, mend=mend)

    def hide(self, *indices: int) -> None:
        """Replace characters by stand-ins: they are read as text, whatever YAML makes of them."""
        working = list(self.working)
        for index in indices:
            char = self.text[index]
            if char not in self.stand_ins.values():
                self.stand_ins[self._free()] = char
            working[index] = next(stand_in for stand_in, kept in self.stand_ins.items() if kept == char)
        self.working = "".join(working)

    def _free(self) -> str:
        free = (char for char in map(chr, _PRIVATE) if char not in self.text and char not in self.stand_ins)
        return next(free, "\ufffd")

    def blank(self, *stretches: tuple[int, int]) -> None:
        """Replace stretches of the text, given in their order, by spaces; line breaks stay."""
        pieces, done = [], 0
        for start, end in stretches:
            pieces += [self.working[done:start], _WRITTEN.sub(" ", self.working[start:end])]
            done = max(start, end)
        self.working = "".join(pieces) + self.working[done:]

    def restore(self, value: str) -> str:
        """A value read from `working`, with what was hidden put back."""
        for stand_in, char in self.stand_ins.items():
            value = value.replace(stand_in, char)
        return value


def shortened(text: str) -> str:
    """The text on one line; of a long one, the beginning."""
    text = " ".join(text.split())
    return text if len(text) <= 72 else f"{text[:60].rsplit(' ', 1)[0]} …"


def quoted(text: str) -> str:
    """The text in quotes, ready to be typed; of a long one, the beginning."""
    text = shortened(text)
    if '"' not in text and "\\" not in text:
        return f'"{text}"'
    return "'" + text.replace("'", "''") + "'"
