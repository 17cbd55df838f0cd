"""A report for programs. book/findings.md tells the keys; a key may be added, none changes its meaning."""

from __future__ import annotations

import json
from typing import Any

from ..finding import Finding, Related, Span
from ..manual import Report

__all__ = ["VERSION", "report_data", "report_json"]

#: Raised when a key goes, or changes its meaning.
VERSION = 1

COUNTS = ("procedures", "machines", "variants", "rules", "errors", "warnings", "advice", "seconds")


def report_json(report: Report) -> str:
    """The whole report, advice included, as one JSON object. Ends with a newline."""
    return json.dumps(report_data(report), ensure_ascii=False, indent=2) + "\n"


def report_data(report: Report) -> dict[str, Any]:
    """What `report_json` writes, as plain data."""
    return {
        "version": VERSION,
        "summary": {name: report.summary[name] for name in COUNTS},
        "not_yet_proven": [
            {"what": each.what, "procedure": each.procedure, **place(each.span), "why": each.why}
            for each in report.not_yet_proven
        ],
        "findings": [finding_data(finding) for finding in report.findings],
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data; what it does not have is null, or an empty list."""
    variants = finding.variants
    return {
        "rule": finding.rule,
        "level": finding.level.value,
        **place(finding.span),
        "procedure": finding.procedure,
        "step": finding.step,
        "message": finding.message,
        "variants": None if variants is None else {
            "example": variants.example, "count": variants.count, "of": variants.of, "words": variants.words,
        },
        "because": [related_data(related) for related in finding.because],
        "mend": finding.mend,
    }


def related_data(related: Related) -> dict[str, Any]:
    """Another place with what it says; a reason without a place has null for it."""
    if related.span is None:
        return {**dict.fromkeys(("file", "line", "column", "end_line", "end_column")), "says": related.says}
    return {**place(related.span), "says": related.says}


def place(span: Span) -> dict[str, Any]:
    """A place in a file, counted from 1, the end exclusive."""
    return {
        "file": span.file, "line": span.line, "column": span.column,
        "end_line": span.end_line, "end_column": span.end_column,
    }
