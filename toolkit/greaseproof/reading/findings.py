"""What may be found before any rule looks: a page for each such finding, read from findings.md."""

from __future__ import annotations

import re
from importlib.resources import files

__all__ = ["PAGES"]


def pages(text: str) -> dict[str, str]:
    """The pages of one text by name: each begins with `# NAME`, and its first line is its headline."""
    parts = re.split(r"^# ([a-z0-9-]+)\n", text, flags=re.MULTILINE)[1:]
    return {name: page.strip() + "\n" for name, page in zip(parts[::2], parts[1::2], strict=True)}


#: Name of a finding -> its page in Markdown, headline first, as a rule's page is written.
PAGES: dict[str, str] = pages((files("greaseproof.reading") / "findings.md").read_text(encoding="utf-8"))
