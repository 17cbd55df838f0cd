"""One procedure for one machine: its steps as they are done there, with that machine's own figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from textwrap import wrap
from typing import Final

from ..machines.catalogue import Interval
from ..machines.variants import Variants
from ..proof import Proofs
from ..proof.outcome import Proof
from .page import Composer, ConditionRow, Figure, HeadingRow, Page, PutBackRow, Row, StepRow

__all__ = ["Job", "NotCoveredError", "job"]


#: Columns of a terminal.
WIDTH: Final = 80


#: How the parts of another procedure are called.
CALLS: Final = {"steps": "Steps of", "closing": "Refitting of", "finally": "Last steps of"}


class NotCoveredError(LookupError):
    """The procedure does not cover the machine, or cannot be followed."""


@dataclass(frozen=True, slots=True)
class Job:
    """The page of a procedure as it is on one machine. What nobody knows until they look stays open in it."""

    machine: str
    page: Page

    def lines(self) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Part, line, and what stands under it, in the order of the work."""
        page = self.page
        for first in page.first:
            says = first.how or f"{first.says[:1].upper()}{first.says[1:]}"
            yield "First", f"{says}: {first.link.title}" if first.link is not None else says, ()
        for part, rows in (
            ("Steps", page.steps),
            ("Refitting", page.refit),
            ("Closing", page.close),
            ("Finally", page.finally_),
        ):
            for row in rows:
                yield part, *told(row)

    def __repr__(self) -> str:
        out = [self.page.title, f"for {self.machine}"]
        part = ""
        for name, line, more in self.lines():
            if name != part:
                part = name
                out.extend(["", name])
            out.extend(wrap(line, WIDTH, initial_indent="  [ ] ", subsequent_indent="      "))
            for each in more:
                out.extend(wrap(each, WIDTH, initial_indent="        ", subsequent_indent="          "))
        return "\n".join(out)

    def _repr_html_(self) -> str:
        out = [f"<h3>{escape(self.page.title)}</h3><p>For {escape(self.machine)}.</p>"]
        part = ""
        for name, line, more in self.lines():
            if name != part:
                out.append(f"{'</ul>' if part else ''}<h4>{escape(name)}</h4><ul>")
                part = name
            below = "".join(f"<br>{escape(each)}" for each in more)
            out.append(f"<li>{escape(line)}{below}</li>")
        return "".join([*out, "</ul>" if part else ""])


def job(
    manual: Proofs, procedure: str, machine: str, *, year: int | None = None, serial: int | None = None
) -> Job:
    """A procedure for one machine: the workshop's own by name, or a model with its year and serial number.

    What is not known stays open: it is shown with the machines that it is for.

    Raises: NotCoveredError, if there is no such machine, or the procedure does not cover it.
    """
    proof = manual.proof(procedure)
    if proof is None:
        raise NotCoveredError(f"there is no procedure {procedure} that can be followed")
    on, called = the_machine(manual, machine, year, serial)
    covered = proof.applies & on
    if not covered:
        raise NotCoveredError(f"{proof.procedure.title} does not cover {called}")
    return Job(called, Composer(manual, narrowed(proof, covered)).page())


def the_machine(manual: Proofs, machine: str, year: int | None, serial: int | None) -> tuple[Variants, str]:
    """The variants that are meant, and how they are called."""
    shop, universe = manual.shop, manual.resolver.universe
    if machine in shop.kept:
        kept = shop.kept[machine]
        model = shop.machines[kept.machine.id].name
        return universe.test("kept", (machine,)), kept.name or f"the workshop's No. {machine}, a {model}"
    if machine not in shop.machines:
        raise NotCoveredError(f"there is no machine {machine}")
    on, called = universe.machine(machine), shop.machines[machine].name
    for variant_axis, number in (("built", year), ("serial", serial)):
        if number is not None:
            inside, partly = universe.reach(variant_axis, Interval(number, number))
            on &= inside | partly
            called += f", {variant_axis} {number}"
    return on, called


def narrowed(proof: Proof, on: Variants) -> Proof:
    """The proof as it is on some machines alone."""
    lines = [
        line._replace(
            variants=line.variants & on,
            acts=tuple(act._replace(variants=act.variants & on) for act in line.acts if act.variants & on),
        )
        for line in proof.lines
        if line.variants & on
    ]
    return Proof(proof.procedure, on, lines, proof.faults)


def told(row: Row) -> tuple[str, tuple[str, ...]]:
    """One row in a line, and what stands under it."""
    words = f" (only: {row.only})" if row.only else ""
    if isinstance(row, StepRow):
        more = [f"{signal.word}: {signal.says}" for signal in row.signals]
        for act in row.acts:
            mark = f" [{act.mark}]" if act.mark else ""
            more.append(": ".join(part for part in (f"{act.name}{mark}", shown(act.figures)) if part))
        more.extend(f"right if: {test}" for test in row.tests)
        if row.measure:
            more.append(row.measure)
        return f"{row.number}. {row.says}{words}", tuple(more)
    if isinstance(row, PutBackRow):
        warned = [f"{signal.word}: {signal.says}" for signal in row.signals]
        figures = [text for text in map(shown, (row.figures, row.renew, row.ends)) if text]
        return f"{row.says}{words}", (*warned, *figures)
    if isinstance(row, HeadingRow):
        return f"{row.says}{words}", ()
    if isinstance(row, ConditionRow):
        does = row.how or f"{'Make sure' if row.opens else 'No longer needed'}: {row.condition}"
        return f"{does}{f': {row.link.title}' if row.link else ''}{words}", ()
    return f"{CALLS[row.part]}: {row.link.title}{words}", ()


def shown(figures: tuple[Figure, ...]) -> str:
    """Figures in a line."""
    return "; ".join(f"{each.text} ({each.only})" if each.only else each.text for each in figures)
