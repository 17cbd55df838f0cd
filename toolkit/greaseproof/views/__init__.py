"""Views of a manual: one a file, plain data, nothing of HTML or of a terminal."""

from .tools import ToolNeed, needs

__all__ = ["ToolNeed", "needs"]
