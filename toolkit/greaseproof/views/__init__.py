"""Views of a manual: one a file, plain data, nothing of HTML or of a terminal."""

from .job import Job, NotCoveredError, job
from .page import Page, page
from .supplies import SupplyNeed, supplies
from .tools import ToolNeed, needs

__all__ = ["Job", "NotCoveredError", "Page", "SupplyNeed", "ToolNeed", "job", "needs", "page", "supplies"]
