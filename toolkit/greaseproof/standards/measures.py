"""What a published formula is asked with: a quantity of the right kind, or a bare number in a stated unit."""

from __future__ import annotations

import math
from fractions import Fraction

from ..reading.quantity import Kind, Quantity

__all__ = ["Measure", "in_unit"]

#: A bare number is in the unit that the function asked says.
Measure = Quantity | Fraction | int | float


def in_unit(value: Measure, kind: Kind, unit: str, what: str) -> Fraction:
    """Give the exact number in that unit; a float counts as the decimal that is written.

    Raises: ValueError, for a quantity of another kind and for a float that is no number. `what` names it.
    """
    if isinstance(value, Quantity):
        if value.kind is not kind:
            raise ValueError(f"{what}: `{value}` is of the kind {value.kind}; give one of the kind {kind}")
        return value.to(unit)
    if isinstance(value, float):
        if not math.isfinite(value):
            wanted = f"one in {unit}" if unit else "a plain number"
            raise ValueError(f"{what}: {value} is not a number that can be worked with; give {wanted}")
        return Fraction(repr(value))
    return Fraction(value)
