"""A small manual for the tests of diagrams: all kinds of lines in one job. Its machines are invented."""

from __future__ import annotations

from typing import Final

from greaseproof.diagrams import Drawing, flow
from greaseproof.machines.resolve import Resolver
from greaseproof.proof import Prover
from greaseproof.reading.build import read_manual

__all__ = ["FILES", "drawn"]

FILES: Final = {
    "manual.yaml": "title: A shed\nsystems: [engine]\n",
    "machines.yaml": """
features:
  fuel: [petrol, diesel]
  body: [tractor, van]
machines:
  plover: {name: Plover, built: 1954..1961, has: {fuel: [petrol, diesel], body: tractor}}
  teal: {name: Teal, built: 1954..1961, has: {fuel: petrol, body: van}}
""",
    "conditions.yaml": """
engine-cold:
  opened: Let the engine stand until it is cold.
  ends: itself
cover-locked:
  opened: Lock the cover.
  closed: Unlock the cover.
  ends: must
battery-isolated: {says: the battery is isolated, opened_by: isolate, ends: must}
""",
    "engine/isolate.yaml": """
title: Isolate the battery
system: engine
steps:
  - do: Take the leads off.
    makes: battery-isolated
finally:
  - do: Put the leads on.
    ends: battery-isolated
""",
    "engine/belt.yaml": """
title: Remove and refit the belt
system: engine
parts: {belt: {}}
steps:
  - remove: belt
""",
    "engine/pump.yaml": """
title: Remove and refit the pump
system: engine
first: [engine-cold, battery-isolated]
parts:
  pump: {held_by: [pump-bolts, lower-bolts], mass: 9 kg}
fixings:
  pump-bolts: {thread: M8, across_flats: 13 mm, torque: 20 N·m}
  lower-bolts: {when: {body: van}, thread: M8, across_flats: 13 mm, torque: 20 N·m}
controls:
  tap: {settings: [open, shut], normally: shut, places: [left, right]}
steps:
  - call: belt
    when: {body: tractor}
  - heading: Open the taps
    caution: Hot water scalds. Let it cool.
    repeat: [left, right]
    steps:
      - do: Turn the tap. Wait for the hiss to end.
  - id: fuel
    do: Shut the fuel off.
    when: {fuel: diesel}
    danger: Fuel burns.
  - id: ignition
    do: Take the key out.
    when: {fuel: diesel}
  - id: undo
    lift: {load: pump, by: hand}
    undo: [pump-bolts, lower-bolts]
    warning: A pump that falls breaks toes.
    notice:
      say: The gauge is brittle.
      when: {fuel: petrol}
  - remove: pump
    first: [cover-locked]
  - set: {tap: open}
  - inspect: pump
finally:
  - test: Nothing drips.
""",
}


def drawn(columns: int = 1, id: str = "pump") -> Drawing:
    """The step diagram of a procedure of the shed."""
    shop, findings = read_manual(FILES)
    assert [] == findings
    resolver = Resolver(shop)
    return flow(Prover(shop, resolver).prove(shop.procedures[id]), resolver, columns=columns)


if __name__ == "__main__":
    import sys

    drawing = drawn()
    print(drawing.key)  # noqa: T201
    if sys.argv[1:] == ["svg"]:
        print(drawing.svg.decode())  # noqa: T201
    else:
        print(drawing.width, drawing.height, "matplotlib" in sys.modules)  # noqa: T201
