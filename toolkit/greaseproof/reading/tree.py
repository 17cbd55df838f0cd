"""Nodes of a YAML file: text, lists and mappings, each with its place."""

from __future__ import annotations

from yaml.error import Mark

from ..finding import Span

__all__ = ["Mapping", "Node", "Scalar", "Sequence", "span"]


class Scalar:
    """A text. What it means (a number, a time, a yes) is for the reader of the field to say.

    `start` and `end` count lines and columns from 0, in characters; `plain` says that it stood without
    quotes. A value that is missing (`key:`) is a plain text of no length.
    """

    __slots__ = ("end", "plain", "start", "text")

    text: str
    start: Mark
    end: Mark
    plain: bool


class Sequence:
    """A list."""

    __slots__ = ("end", "items", "start")

    def __init__(self, items: list[Node], start: Mark, end: Mark) -> None:
        self.items = items
        self.start = start
        self.end = end


class Mapping:
    """Keys with their values, in the order of the file; `items` gives the key's own node beside the value."""

    __slots__ = ("end", "items", "start")

    def __init__(self, items: dict[str, tuple[Scalar, Node]], start: Mark, end: Mark) -> None:
        self.items = items
        self.start = start
        self.end = end


Node = Scalar | Sequence | Mapping


def span(node: Node, file: str) -> Span:
    """The node's place, lines and columns counted from 1, the end exclusive."""
    return between(node, node, file)


def between(first: Node, last: Node, file: str) -> Span:
    """The place from the beginning of `first` to the end of `last`."""
    start, end = first.start, last.end
    return Span(file, start.line + 1, start.column + 1, end.line + 1, end.column + 1)
