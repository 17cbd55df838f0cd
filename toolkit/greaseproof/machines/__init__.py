"""Machines, what tells them apart, and exact sets of their variants."""

from .catalogue import (
    ABSENT,
    AXES,
    Build,
    CatalogueError,
    Choice,
    Feature,
    Interval,
    Kept,
    Machine,
    Mention,
    NotToldApartError,
    Stretch,
    Test,
    UnknownNameError,
    Where,
    WrongTestError,
)
from .universe import Universe, Variant
from .variants import Variants
from .words import Example, UnreadableError, example, read_words, words

__all__ = [
    "ABSENT",
    "AXES",
    "Build",
    "CatalogueError",
    "Choice",
    "Example",
    "Feature",
    "Interval",
    "Kept",
    "Machine",
    "Mention",
    "NotToldApartError",
    "Stretch",
    "Test",
    "Universe",
    "UnknownNameError",
    "UnreadableError",
    "Variant",
    "Variants",
    "Where",
    "WrongTestError",
    "example",
    "read_words",
    "words",
]
