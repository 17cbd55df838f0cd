"""A report on some of a manual's files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..finding import Finding, Level
from ..manual import Report

__all__ = ["narrowed"]


def narrowed(report: Report, wanted: Callable[[str], bool]) -> Report:
    """The part of a report that is about the wanted files; `wanted` is asked with each file's path as shown.

    A finding stays if it stands in a wanted file or is about a procedure of one. So does what keeps such a
    procedure from being proven: an error in what it uses, or in a catalogue that every procedure depends on.
    """
    manual = report.manual
    shop = manual.shop
    procedures = {id for id, procedure in shop.procedures.items() if wanted(procedure.file)}
    used = {each for id in procedures for each in manual.with_used(id)}
    hinder = {shop.procedures[id].file for id in used} & shop.broken
    if procedures or any(map(wanted, shop.broken)):
        hinder |= shop.broken - set(shop.procedure_files)

    def stays(finding: Finding) -> bool:
        file = finding.span.file
        about = wanted(file) or finding.procedure in procedures or finding.rule == "rule-crashed"
        return about or (file in hinder and finding.level is Level.ERROR)

    findings = [finding for finding in report.findings if stays(finding)]
    levels = [finding.level for finding in findings]
    counts = {
        "procedures": len(procedures),
        "errors": levels.count(Level.ERROR),
        "warnings": levels.count(Level.WARNING),
        "advice": levels.count(Level.ADVICE),
    }
    unproven = [
        each for each in report.not_yet_proven if wanted(each.span.file) or each.procedure in procedures
    ]
    return replace(report, findings=findings, not_yet_proven=unproven, summary=report.summary | counts)
