"""A report as text for people, as JSON for programs, as annotations for GitHub: pure functions."""

from .narrow import narrowed

__all__ = ["narrowed"]
