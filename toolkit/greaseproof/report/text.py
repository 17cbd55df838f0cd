"""A report for people: plain words, 80 columns, the place first."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from posixpath import basename

from ..finding import Finding, ForVariants, Level
from ..manual import Report, Unproven

__all__ = [
    "WIDTH", "counted", "finding_text", "findings_text", "report_text", "summary_line",
    "variants_text",
]

WIDTH = 80

#: Select Graphic Rendition of ECMA-48: bold and a colour, and back to plain.
COLOURS = {Level.ERROR: "\x1b[1;31m", Level.WARNING: "\x1b[1;33m", Level.ADVICE: "\x1b[1;36m"}
PLAIN = "\x1b[0m"

#: Stands for a space at which no line may end; a private character, so no text has it by chance.
HELD = "\ue000"


def report_text(report: Report, *, advice: bool = False, colour: bool = False) -> str:
    """The whole report: findings, what is not yet proven, one line of counts. Ends with a newline.

    `advice`: tell every piece of advice, not only how many there are. `colour`: colour the levels.
    """
    shown = [finding for finding in report.findings if advice or finding.level is not Level.ADVICE]
    parts = [findings_text(shown, colour=colour).rstrip("\n")] if shown else []
    if report.not_yet_proven:
        parts.append(unproven_text(report.not_yet_proven))
    kept_back = len(report.findings) - len(shown)
    last = summary_line(report)
    if kept_back:
        them = "it" if kept_back == 1 else "them"
        last = f"{counted(kept_back, 'piece')} of advice not shown; --advice shows {them}\n{last}"
    return "\n\n".join([*parts, last]) + "\n"


def findings_text(findings: Iterable[Finding], *, colour: bool = False) -> str:
    """The findings in the order given, with a blank line between them. Ends with a newline."""
    return "\n\n".join(finding_text(finding, colour=colour) for finding in findings) + "\n"


def finding_text(finding: Finding, *, colour: bool = False) -> str:
    """One finding: its headline, then for which machine, because of what, and how to mend it."""
    lines = wrapped(f"{finding.span}: {finding.level}: {finding.message} [{finding.rule}]", "", "    ")
    if colour:
        begins = lines.index(finding.level, len(clean(str(finding.span))))
        ends = begins + len(finding.level)
        lines = f"{lines[:begins]}{COLOURS[finding.level]}{finding.level}{PLAIN}{lines[ends:]}"
    told = [lines]
    if finding.variants is not None:
        told.append(field("for", variants_text(finding.variants)))
    told.extend(field("because", str(related)) for related in finding.because)
    if finding.mend is not None:
        told.append(field("mend", finding.mend))
    return "\n".join(told)


def variants_text(variants: ForVariants) -> str:
    """One real machine, how many of how many, and which, in words, where that says more than the machine."""
    if variants.count == variants.of:
        return f"every machine ({counted(variants.of, 'variant')})"
    which = "" if variants.count == 1 else f": {variants.words}"
    return f"{variants.example} ({variants.count} of {counted(variants.of, 'variant')}{which})"


def summary_line(report: Report) -> str:
    """The counts and the time, in one line."""
    counts = report.summary
    found = [
        counted(counts["errors"], "error") if counts["errors"] else "",
        counted(counts["warnings"], "warning") if counts["warnings"] else "",
        f"{counted(counts['advice'], 'piece')} of advice" if counts["advice"] else "",
    ]
    told = ", ".join(filter(None, found)) or "nothing found"
    seen = f"{counted(counts['procedures'], 'procedure')}, {counted(counts['variants'], 'variant')}"
    return f"{told}; {seen}; {counts['seconds']:.2f} s"


def unproven_text(unproven: Iterable[Unproven]) -> str:
    """What is read and not proven: whole procedures each with the reason, keys with how often and where.

    The first are mended with the findings above them; of the second an author has nothing to mend.
    """
    whole: list[str] = []
    keys: Counter[str] = Counter()
    homes: dict[str, dict[str, None]] = {}
    for each in unproven:
        if each.what == each.procedure:
            whole.append(field(each.what, each.why))
        else:
            keys[each.what] += 1
            homes.setdefault(each.what, {})[each.procedure or basename(each.span.file)] = None
    parts = ["\n".join(["not proven:", *whole])] if whole else []
    width = max(map(len, keys), default=0)
    lines = ["read and shown, but not yet proven by the toolkit (nothing to mend):"]
    for key, count in sorted(keys.items(), key=lambda item: (-item[1], item[0])):
        lines.append("".join(listed(f"  {clean(key):<{width}} {count:>4}  ", sorted(homes[key]))))
    return "\n\n".join([*parts, "\n".join(lines)] if keys else parts)


def listed(start: str, names: list[str]) -> Iterator[str]:
    """`start` and as many of the names as one line holds, then how many more."""
    names = [clean(name) for name in names]
    yield start
    room = WIDTH - len(start)
    for taken, name in enumerate(names):
        left = len(names) - taken
        word = name if not taken else f", {name}"
        more = f" and {left} more" if taken else f"{left} procedures"
        after = len(f" and {left - 1} more") if left > 1 else 0
        if len(word) + after > room and taken:
            yield more
            return
        room -= len(word)
        yield word


def field(name: str, value: str) -> str:
    """`  name: value`, wrapped; what follows the first line stands further in."""
    return wrapped(f"{name}: {value}", "  ", "    ")


def wrapped(text: str, first: str, then: str) -> str:
    """The text in lines of at most `WIDTH` columns. What stands in backticks stays whole, for pasting."""
    lines: list[str] = []
    for line in text.split("\n"):
        held = re.sub(r"`[^`]*`", lambda found: found[0].replace(" ", HELD), clean(line))
        lines.extend(textwrap.wrap(
            held, WIDTH, initial_indent=then if lines else first, subsequent_indent=then,
            break_long_words=False, break_on_hyphens=False,
        ))
    return "\n".join(lines).replace(HELD, " ")


def clean(text: str) -> str:
    """The text without characters that a terminal would obey: each is shown by its number."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else f"\\u{{{ord(char):x}}}" for char in text)


def counted(count: int, noun: str) -> str:
    """`1 error`, `2 errors`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
