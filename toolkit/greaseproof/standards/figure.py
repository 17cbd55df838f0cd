"""A figure of a standard with where it comes from, and rounding of what is worked out from it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

from ..reading.quantity import Kind, Quantity, Range, from_si, unit_named
from .hexagons import Known

__all__ = ["Figure", "rounded"]

V = TypeVar("V", Quantity, Range)


@dataclass(frozen=True, slots=True)
class Figure(Generic[V]):
    """One figure, or the range it lies in, with its unit."""

    value: V
    #: What it is: the table of a standard, or the formula that gave it.
    basis: str
    source: str
    known: Known


def rounded(kind: Kind, si: Fraction, unit: str, figures: int = 3) -> Quantity:
    """Give a value, which is in the base unit of its kind, in `unit` to that many significant figures.

    Raises: BadQuantity, if the unit is of another kind.
    """
    number = float(unit_named(unit, kind).from_si(si))
    power = int(f"{number:.{figures - 1}e}".partition("e")[2])
    return from_si(kind, si, unit, figures - 1 - power)
