"""The demo manual: its texts, its machines, and what happens to one of them."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

from greaseproof.finding import Span
from greaseproof.machines.universe import Variant
from greaseproof.machines.variants import Variants
from greaseproof.manual import Manual
from greaseproof.reading.applies import AXES
from greaseproof.reading.build import Shop
from proof.interpreter import OneMachine, to_look_for, variants, within

FOLDER = Path(__file__).parents[2] / "procedures"


@cache
def texts() -> Mapping[str, str]:
    """File -> text, with files named as seen from the demo's folder."""
    files = sorted(FOLDER.rglob("*.yaml"))
    return {path.relative_to(FOLDER).as_posix(): path.read_text(encoding="utf-8") for path in files}


@cache
def demo() -> Manual:
    """The demo as it is."""
    return Manual.read(texts())


def text_at(files: Mapping[str, str], span: Span) -> str:
    """The text that a span covers."""
    lines = files[span.file].splitlines(keepends=True)[span.line - 1 : span.end_line]
    last = len(lines) - 1
    return "".join(
        line[span.column - 1 if at == 0 else 0 : span.end_column - 1 if at == last else None]
        for at, line in enumerate(lines)
    )


@cache
def kinds_of_machine() -> tuple[OneMachine, ...]:
    """The interpreter's machines of the demo, one of all those that nothing written in the demo tells apart.

    What is written asks for stretches of an axis, never for a number; two machines that are in the same
    stretches and are fitted alike are alike in everything.
    """
    shop = demo().shop
    alike: dict[Hashable, OneMachine] = {}
    for machine in variants(shop):
        in_stretches = tuple(
            axis in machine.axes and within(machine.axes[axis], stretch)
            for axis in AXES
            for stretch in sorted(shop.stretches.get(axis, ()), key=str)
        )
        alike.setdefault((machine.id, tuple(machine.features.items()), in_stretches), machine)
    return tuple(alike.values())


def with_looks(machine: OneMachine, manual: Manual, procedure: str) -> Iterator[OneMachine]:
    """A machine with everything that may be absent there and not there.

    A thing of a procedure that this one does not use is of no account to it; there, only the machine with it.
    """
    used = {"", *manual.with_used(procedure)}
    looks = to_look_for(manual.shop)
    choices = [(True, False) if owner in used else (True,) for owner, _ in looks]
    for there in product(*choices):
        yield replace(machine, there=dict(zip(looks, there, strict=True)))


def as_machine(shop: Shop, variant: Variant) -> OneMachine:
    """A variant of the walk's universe as the interpreter knows it; what it says nothing of is there."""
    looks = {f"{owner}/{id}" if owner else id: (owner, id) for owner, id in to_look_for(shop)}
    there = {key: bool(variant.looks.get(subject, True)) for subject, key in looks.items()}
    return OneMachine(variant.kept or variant.machine, dict(variant.axes), dict(variant.values), there)


def machines_of(manual: Manual, of: Variants) -> Iterator[OneMachine]:
    """The machines of a set, as the interpreter knows them."""
    for variant in manual.resolver.universe.variants_of(of):
        yield as_machine(manual.shop, variant)
