"""Diagrams of a manual, drawn with matplotlib once and kept under a hash of what they show."""

from .drawing import Drawing, flow
from .flow import Box, Flow, Frame, Part, Span, layout_of, spoken

__all__ = ["Box", "Drawing", "Flow", "Frame", "Part", "Span", "flow", "layout_of", "spoken"]
