"""What is wrong with a manual stays while everything else is left out."""

from __future__ import annotations

from textwrap import dedent

from greaseproof.reading.build import Shop

from .interpreter import all_machines, run
from .shrinking import smaller

MANUAL = {
    "manual.yaml": "{title: The shed, systems: [engine]}",
    "machines.yaml": "machines: {plover: {name: Plover, built: 1954, serial: 1..3}}",
    "parts.yaml": dedent("""
        parts: {lid: {held_by: [bolts, clips]}}
        fixings: {bolts: {}, clips: {places: [left, right]}}
    """),
    "conditions.yaml": "lit: {opened: Light, ends: must}",
    "engine/job.yaml": dedent("""
        title: Lift the lid
        system: engine
        first: lit
        steps:
          - {id: look, inspect: lid}
          - {id: lift, steps: [{id: loosen, undo: bolts}, {id: off, remove: lid}], needs: lit}
        finally:
          - {id: try, do: Try}
    """),
}

SMALL = {
    "manual.yaml": "title: The shed\n",
    "machines.yaml": "machines:\n  plover:\n    name: Plover\n    built: 1954\n",
    "parts.yaml": "parts:\n  lid:\n    held_by:\n    - clips\nfixings:\n  clips: {}\n",
    "engine/job.yaml": "title: Lift the lid\nsystem: engine\nsteps:\n- id: lift\n  steps:\n  - remove: lid\n",
}


def held_in_a_group(shop: Shop) -> bool:
    """Is something held, in a step of the group `lift`?"""
    return "job" in shop.procedures and any(
        fault.kind == "held" and "lift" in fault.path
        for machine in all_machines(shop, "job") for fault in run(shop, "job", machine)
    )


def test_a_manual_shrinks_to_what_is_wrong_with_it() -> None:
    """Of all this there stay the lid and one fixing, one step in its group, and what every manual needs."""
    small = smaller(MANUAL, held_in_a_group)

    assert SMALL == small
