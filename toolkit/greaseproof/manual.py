"""The pure way from the texts of a manual's files to what there is to say about them."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .finding import Finding, Level, Span
from .machines.catalogue import CatalogueError, UnknownNameError
from .proof import Proofs
from .reading.build import Shop, read_manual, walk_steps, without_collecting
from .reading.model import Procedure
from .reading.nodes import span
from .reading.records import Record
from .rules import all_rules, run_rule

__all__ = ["Manual", "Report", "Unproven", "check", "gather", "load"]


@dataclass(frozen=True, slots=True)
class Unproven:
    """Something that is read and that no proof looks at yet: a key, or a whole procedure."""

    what: str
    span: Span
    procedure: str | None
    why: str


@dataclass(slots=True)
class Report:
    """What `check` has to say. `findings` are sorted, errors first."""

    manual: Manual
    findings: list[Finding]
    not_yet_proven: list[Unproven]
    summary: dict[str, Any] = field(default_factory=dict)

    @property
    def errors(self) -> int:
        return int(self.summary["errors"])

    @property
    def crashed(self) -> bool:
        """Did a rule fail, so that the check is not whole?"""
        return any(finding.rule == "rule-crashed" for finding in self.findings)

    def of(self, procedure: str) -> list[Finding]:
        """The findings on one procedure, those in its own file among them."""
        record = self.manual.shop.procedures.get(procedure)
        file = record.file if record else None
        return [f for f in self.findings if f.procedure == procedure or f.span.file == file]


class Manual(Proofs):
    """A workshop manual: its records, its proofs, and what is wrong with it."""

    def __init__(self, shop: Shop, reading: list[Finding]) -> None:
        super().__init__(shop)
        self.reading = reading
        self._report: Report | None = None

    @classmethod
    def read(cls, files: Mapping[str, str | bytes]) -> Manual:
        """Read a manual from texts: path -> text."""
        with without_collecting():
            return cls._read(files)

    @classmethod
    def _read(cls, files: Mapping[str, str | bytes]) -> Manual:
        shop, findings = read_manual(files)
        try:
            return cls(shop, findings)
        except (CatalogueError, UnknownNameError) as error:
            place = next((m.span() for m in shop.machines.values()), Span("machines.yaml", 1, 1, 1, 1))
            if place.file not in shop.broken:  # else the error of reading is the cause, and is told
                findings.append(Finding("machines-contradict", Level.ERROR, place, str(error)))
            shop.machines, shop.kept, shop.features, shop.hardware = {}, {}, {}, None
            shop.broken.add(place.file)
            return cls(shop, findings)

    def report(self) -> Report:
        """Everything there is to say about the manual."""
        if self._report is None:
            began = time.perf_counter()
            with without_collecting():
                found = [finding for each in all_rules().values() for finding in run_rule(each, self)]
            findings = sorted(
                dict.fromkeys((*self.reading, *allowed(self.shop, found))),
                key=lambda finding: finding.order,
            )
            self._report = Report(self, findings, self.not_yet_proven())
            self._report.summary = self.summary(findings, time.perf_counter() - began)
        return self._report

    def summary(self, findings: list[Finding], seconds: float) -> dict[str, Any]:
        """Counts for the last line, and for programs."""
        levels = [finding.level for finding in findings]
        return {
            "procedures": len(self.shop.procedures),
            "machines": len(self.shop.machines),
            "variants": self.resolver.universe.count(self.resolver.all, self.resolver.everything()),
            "rules": len(all_rules()),
            "errors": levels.count(Level.ERROR),
            "warnings": levels.count(Level.WARNING),
            "advice": levels.count(Level.ADVICE),
            "seconds": round(seconds, 3),
        }

    def not_yet_proven(self) -> list[Unproven]:
        """What was read and is not proven."""
        files = self.shop.procedure_files
        unseen = "is read and shown; no proof looks at it yet"
        found = [
            Unproven(key, span(node, file), files.get(file), f"`{key}` {unseen}")
            for file, key, node in self.shop.unproven
        ]
        why = "it uses a procedure that cannot be proven"
        for id in sorted(self.shop.procedures):
            procedure = self.shop.procedures[id]
            if self.shop.catalogue_broken:
                reason = f"{', '.join(sorted(self.shop.broken - set(files)))} cannot be read"
            elif id not in self.unprovable:
                continue
            else:
                reason = "its file cannot be read" if procedure.file in self.shop.broken else why
            found.append(Unproven(id, procedure.span("title"), id, reason))
        return found


def allowed(shop: Shop, findings: Iterable[Finding]) -> list[Finding]:
    """The findings that no `allow` excuses, and one for each `allow` that is of no use."""
    rules = all_rules()
    excuses: dict[tuple[str, str | None, str], tuple[Record, str]] = {}
    left: list[Finding] = []
    for procedure in shop.procedures.values():
        for record, step in excusing(procedure):
            for slug in record.allow:  # type: ignore[attr-defined]
                if slug in rules:
                    excuses[procedure.id, step, slug] = (record, slug)
                else:
                    left.append(
                        Finding(
                            "allow-without-rule",
                            Level.ERROR,
                            record.span("allow"),
                            f"there is no rule `{slug}` to allow",
                            procedure.id,
                            step,
                            mend="take the line out, or write the rule's name as the finding gives it",
                        )
                    )
    used: set[tuple[str, str | None, str]] = set()
    for finding in findings:
        keys = [(finding.procedure or "", step, finding.rule) for step in (finding.step, None)]
        excused = [key for key in keys if key in excuses]
        used.update(excused[:1])
        if not excused:
            left.append(finding)
    for key in excuses:
        if key not in used:
            record, slug = excuses[key]
            left.append(
                Finding(
                    "allow-without-use",
                    Level.WARNING,
                    record.span("allow"),
                    f"`{slug}` is allowed here, and finds nothing here",
                    key[0],
                    key[1],
                    mend=f"take `{slug}` out of `allow`",
                )
            )
    return left


def excusing(procedure: Procedure) -> Iterable[tuple[Record, str | None]]:
    """The records of a procedure that carry `allow`: the procedure itself, and steps by name."""
    if procedure.allow:
        yield procedure, None
    for step in walk_steps(procedure):
        if step.allow:
            yield step, step.name


def check(files: Mapping[str, str | bytes]) -> Report:
    """Check a manual. `files`: path -> text, as the paths shall be shown.

    Reads nothing else and writes nothing.
    """
    began = time.perf_counter()
    report = Manual.read(files).report()
    report.summary["seconds"] = round(time.perf_counter() - began, 3)
    return report


def gather(folder: str | Path) -> tuple[dict[str, str | bytes], list[Finding]]:
    """The files of a manual's folder: path as given -> bytes; findings for what is not a file to be read."""
    files: dict[str, str | bytes] = {}
    findings: list[Finding] = []
    for path in sorted(Path(folder).rglob("*")):
        shown = path.as_posix()
        inside = path.relative_to(folder)
        if path.suffix not in (".yaml", ".yml") or any(part.startswith(".") for part in inside.parts):
            continue
        place = Span(shown, 1, 1, 1, 1)
        try:
            files[shown] = path.read_bytes()
        except IsADirectoryError:
            findings.append(
                Finding(
                    "folder-for-a-file",
                    Level.ERROR,
                    place,
                    f"{path.name} is a folder, where a file belongs",
                    mend="rename the folder, or move what is in it",
                )
            )
        except OSError as error:
            findings.append(
                Finding(
                    "file-unreadable",
                    Level.ERROR,
                    place,
                    f"{path.name} cannot be read: {error.strerror}",
                    mend="see that it may be read, and is not a link to nothing",
                )
            )
    return files, findings


def load(folder: str | Path) -> Manual:
    """Load a manual from its folder, `procedures` as a rule.

    Raises: NotADirectoryError, if there is no such folder.
    """
    if not Path(folder).is_dir():
        raise NotADirectoryError(f"there is no folder {folder}")
    files, findings = gather(folder)
    manual = Manual.read(files)
    manual.reading = [*findings, *manual.reading]
    return manual
