"""A rule's page as a test: its Bad and Good blocks, laid over one small sound manual."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

SOUND = Path(__file__).parent / "sound"
PROCEDURE = "engine/bad.yaml"
SKELETON = """\
title: Do something
system: engine
status: issued
steps:
  - do: Look at it.
"""
BLOCK = re.compile(r"^```(yaml|text)\n(.*?)^```", re.MULTILINE | re.DOTALL)
EXPECT = re.compile(r"# expect: ([a-z-]+)")
FILE = re.compile(r"# (?P<file>[a-z/-]+\.yaml)\n")


@dataclass
class Example:
    """One Bad or Good: file -> text, and the text that is printed if the page gives it."""

    heading: str
    files: dict[str, str] = field(default_factory=dict)
    printed: str | None = None

    def expected(self, files: dict[str, str]) -> list[tuple[str, str, int]]:
        """(rule, file, line) of each `# expect:`, in order."""
        return sorted(
            (slug, file, number)
            for file, text in files.items()
            for number, line in enumerate(text.splitlines(), 1)
            for slug in EXPECT.findall(line)
        )


@cache
def sound() -> dict[str, str]:
    """The small sound manual: file -> text."""
    files = {
        p.relative_to(SOUND).as_posix(): p.read_text(encoding="utf-8") for p in sorted(SOUND.rglob("*.yaml"))
    }
    assert files
    return files


def examples(page: str) -> list[Example]:
    """The Bad and Good parts of a page, in order."""
    found: list[Example] = []
    for part in re.split(r"^## ", page, flags=re.MULTILINE)[1:]:
        heading, _, body = part.partition("\n")
        if heading.split()[0] not in ("Bad", "Good"):
            continue
        example = Example(heading.split()[0])
        for kind, block in BLOCK.findall(body):
            if kind == "text":
                example.printed = block
                continue
            named = FILE.match(block)
            example.files[named["file"] if named else PROCEDURE] = block
        found.append(example)
    return found


def laid_over(upper: dict[str, str], lower: dict[str, str]) -> dict[str, str]:
    """Files over files: in one file the upper's top-level keys come first and hide the lower's; lists add."""
    files = dict(lower)
    for name, text in upper.items():
        below = files.get(name, SKELETON if name == PROCEDURE else "")
        if text.lstrip("# abcdefghijklmnopqrstuvwxyz/.\n").startswith("- "):
            files[name] = text + below
            continue
        own = {key for key, _ in chunks(text)}
        files[name] = text + "".join(chunk for key, chunk in chunks(below) if key not in own)
    return files


def chunks(text: str) -> list[tuple[str, str]]:
    """The top-level entries of a mapping, as text: (key, lines)."""
    parts = re.split(r"^(?=[\w\"'(][^\n]*?:)", text, flags=re.MULTILINE)
    return [(part.split(":", 1)[0], part) for part in parts if re.match(r"[\w\"'(]", part)]


def bad(example: Example) -> dict[str, str]:
    """The whole manual of a Bad example."""
    return laid_over(example.files, sound())


def good(example: Example, over: Example) -> dict[str, str]:
    """The whole manual of a Good example, laid over the Bad one before it."""
    lower = {name: EXPECT.sub("", text) for name, text in bad(over).items()}
    return laid_over(example.files, lower)
