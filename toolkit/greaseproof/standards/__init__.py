"""Published tables against which an author's values are questioned; they never certify one.

Every row names its source and how it is known. A size that is in no table gives None, never a guess.
Knows nothing of procedures.
"""

from __future__ import annotations

from .hexagons import Hexagon, Known, across_flats, jaw, suits

__all__ = ["Hexagon", "Known", "across_flats", "jaw", "suits"]
