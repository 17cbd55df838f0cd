"""Holds the walk, which follows all machines at once, against the interpreter, which follows one."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice

from greaseproof.machines.universe import Variant
from greaseproof.proof import Proofs
from greaseproof.reading.build import Shop, read_manual
from proof.interpreter import OneMachine, covers, machines, run

__all__ = ["DisagreementError", "as_variant", "disagreements", "draws"]

Fault = tuple[str, tuple[str, ...], str, str]


class DisagreementError(AssertionError):
    """The walk and the interpreter say different things of one procedure on one machine."""


def as_variant(shop: Shop, machine: OneMachine) -> Variant:
    """One machine as the walk's universe knows it."""
    kept = shop.kept.get(machine.id)
    model = kept.machine.id if kept is not None else machine.id
    looks = {f"{owner}/{id}" if owner else id: there for (owner, id), there in machine.there.items()}
    return Variant(model, machine.id if kept is not None else None, machine.axes, machine.features, looks)


def disagreements(shop: Shop, proofs: Proofs, on: Iterable[OneMachine]) -> Iterator[str]:
    """What the two say differently, in words, for every procedure that can be proven."""
    for machine in on:
        variant = as_variant(shop, machine)
        for proof in proofs.proofs():
            id = proof.procedure.id
            if covers(shop, id, machine) != (variant in proof.applies):
                yield f"{id} on {variant}: covered by the interpreter {covers(shop, id, machine)}"
                continue
            if variant not in proof.applies:
                continue
            walked = {(f.kind, f.path, f.subject, f.other) for f in proof.faults if variant in f.variants}
            run_through = {(f.kind, tuple(f.path), f.subject, f.other) for f in run(shop, id, machine)}
            for fault in sorted(walked - run_through):
                yield f"{id} on {variant}: only the walk finds {fault}"
            for fault in sorted(run_through - walked):
                yield f"{id} on {variant}: only the interpreter finds {fault}"


def draw(seed: int, several: int = 8) -> tuple[Mapping[str, str], list[str]]:
    """One random manual, and what the two say differently on several of its machines."""
    from proof.random_manuals import random_manual

    rng = random.Random(seed)
    files = random_manual(rng)
    shop, findings = read_manual(files)
    if findings:
        return files, [f"reading: {finding}" for finding in findings]
    return files, list(disagreements(shop, Proofs(shop), islice(machines(shop, rng), several)))


def draws(seeds: Iterable[int], several: int = 8) -> None:
    """Draw manuals. Raises: DisagreementError, with the seed, what differs, and the manual itself."""
    for seed in seeds:
        files, differing = draw(seed, several)
        if differing:
            texts = "\n".join(f"--- {name}\n{text}" for name, text in files.items())
            raise DisagreementError("\n".join([f"seed {seed}", *differing[:20], texts]))
