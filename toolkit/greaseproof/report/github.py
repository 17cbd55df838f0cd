"""A report as GitHub workflow commands, which put each finding beside the line it is about.

Sources, from memory: of the form, GitHub Docs, "Workflow commands for GitHub Actions", "Setting an error
message"; of the escapes, github.com/actions/toolkit, packages/core/src/command.ts.
"""

from __future__ import annotations

from ..finding import Finding, Level
from ..manual import Report
from .text import summary_line, variants_text

__all__ = ["report_github"]

COMMANDS = {Level.ERROR: "error", Level.WARNING: "warning", Level.ADVICE: "notice"}


def report_github(report: Report, *, advice: bool = False) -> str:
    """One command a finding, the most severe first, and the counts as the last line. Ends with a newline.

    GitHub shows only the first few annotations of a level; the counts tell that there are more.
    """
    shown = [finding for finding in report.findings if advice or finding.level is not Level.ADVICE]
    return "\n".join([*map(command, shown), summary_line(report)]) + "\n"


def command(finding: Finding) -> str:
    """The workflow command for one finding."""
    span = finding.span
    places = {"file": span.file, "line": str(span.line), "endLine": str(span.end_line)}
    if span.line == span.end_line:  # columns are for annotations on one line (GitHub REST API, check runs)
        # a command's last column is shown as part of the place
        places |= {"col": str(span.column), "endColumn": str(max(span.column, span.end_column - 1))}
    places["title"] = finding.rule
    told = [finding.message]
    if finding.variants is not None:
        told.append(f"for: {variants_text(finding.variants)}")
    told.extend(f"because: {related}" for related in finding.because)
    if finding.mend is not None:
        told.append(f"mend: {finding.mend}")
    properties = ",".join(f"{name}={in_property(value)}" for name, value in places.items())
    return f"::{COMMANDS[finding.level]} {properties}::{in_message(chr(10).join(told))}"


def in_message(text: str) -> str:
    """Text as the message of a command."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def in_property(text: str) -> str:
    """Text as the value of a command's property."""
    return in_message(text).replace(":", "%3A").replace(",", "%2C")
