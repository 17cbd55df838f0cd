"""A machine whose feature is given for a part of its years or numbers only."""

from __future__ import annotations

from collections.abc import Iterator

from ..finding import Level
from ..machines import ABSENT, Variants
from ..proof import Proofs
from ..reading.applies import Differing
from ..reading.model import Machine
from . import Found, rule


@rule(level=Level.ERROR, reads="manual", since="0.1")
def feature_without_value(proofs: Proofs) -> Iterator[Found]:
    """What a machine has is given by years or numbers, and some at which it was made are left out.

    There the feature counts as absent, and every step for one of its values passes that machine by. Where
    it is absent indeed, write so. Source: house rule.

    ## Bad
    ```yaml
    # machines.yaml
    machines:
      plover: {name: Plover, built: 1954..1961, has: {charging: dynamo, fuel: petrol}}
      plover-major:
        name: Plover Major
        built: 1962..1974
        has:
          charging: {..1966: dynamo, 1968..: alternator}   # expect: feature-without-value
          fuel: [petrol, diesel]
    ```
    ```text
    machines.yaml:8:17: error: `charging` of `plover-major` is left unsaid for some
        of its years or numbers [feature-without-value]
      for: a Plover Major, built 1967 (2 of 6 variants: machines built 1967)
      mend: add a case for these, with `absent` where they have none
    ```
    ## Good
    ```yaml
    # machines.yaml
    machines:
      plover: {name: Plover, built: 1954..1961, has: {charging: dynamo, fuel: petrol}}
      plover-major:
        name: Plover Major
        built: 1962..1974
        has:
          charging: {..1967: dynamo, 1968..: alternator}
          fuel: [petrol, diesel]
    ```
    """
    for machine in proofs.shop.machines.values():
        as_built = proofs.resolver.universe.machine(machine.id)
        as_built &= proofs.resolver.universe.test("kept", (ABSENT,))
        for build in machine.has:
            for feature, value in build.items():
                yield from left_out(machine, as_built, feature, value, proofs)


def left_out(
    machine: Machine, as_built: Variants, feature: str, value: Differing, proofs: Proofs
) -> Iterator[Found]:
    """Where the cases of a feature leave something out."""
    bare = as_built
    for case in proofs.resolver.cases(value):
        bare -= case.variants
    if bare:
        yield Found(
            at=machine.place(value.node),
            variants=bare,
            within=as_built,
            wrong=f"`{feature}` of `{machine.id}` is left unsaid for some of its years or numbers",
            mend="add a case for these, with `absent` where they have none",
        )
