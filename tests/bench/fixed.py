"""The files that are the same in each synthetic manual: stores, policy, shared things, openers."""

from __future__ import annotations

from importlib.resources import files

__all__ = ["BOOK", "FILES", "INVENTED", "OPENERS"]

INVENTED = "# Invented for measuring: no machine, maker, mass, size or torque in this file is real.\n"

#: Path in the manual -> text. Of features they mention `hardware` and `batteries`, which each manual has.
FILES = {
    "manual.yaml": """\
title: Netherfold Measuring Shed
language: en-GB
units: metric first
answers_for_it: Nobody, for it is invented
contact: "mailto:shed@example.org"
notice: Every machine and every figure here is invented. Never work from them.
systems: [access, electrical, cooling, engine, body]
""",
    "conditions.yaml": """\
oil-pressure-let-off:
  says: the oil is without pressure
  opened_by: let-off-oil-pressure
  ends: must
""",
    "policy.yaml": """\
- step: {where: fan}
  needs: [engine-cannot-start]
  because: An engine that turns draws fingers between the belt and its pulley.
  source: common practice, no source
- step: {disconnect: {kind: oil}}
  needs: [oil-pressure-let-off]
  because: Oil under pressure is driven beneath the skin.
  source: common practice, no source
""",
    "tools.yaml": """\
spanner-10: {kind: spanner, fits: 10 mm, count: 2}
spanner-13: {kind: spanner, fits: 13 mm, count: 2}
spanner-17: {kind: spanner, fits: 17 mm, count: 2}
spanner-7-16: {kind: spanner, fits: 7/16 in, count: 2}
spanner-1-2: {kind: spanner, fits: 1/2 in, count: 2}
spanner-9-16: {kind: spanner, fits: 9/16 in, count: 2}
socket-10: {kind: socket, fits: 10 mm, square: 3/8 in}
socket-13: {kind: socket, fits: 13 mm, square: 3/8 in}
socket-17: {kind: socket, fits: 17 mm, square: 1/2 in}
socket-7-16: {kind: socket, fits: 7/16 in, square: 3/8 in}
socket-1-2: {kind: socket, fits: 1/2 in, square: 3/8 in}
socket-9-16: {kind: socket, fits: 9/16 in, square: 1/2 in}
ratchet-3-8: {kind: ratchet, square: 3/8 in}
ratchet-1-2: {kind: ratchet, square: 1/2 in}
torque-wrench-5-25: {kind: torque wrench, square: 3/8 in, range: 5..25 N·m}
torque-wrench-20-110: {kind: torque wrench, square: 1/2 in, range: 20..110 N·m}
screwdriver-slot: {kind: screwdriver, fits: slot}
trolley-jack: {kind: jack, rated: 2000 kg}
axle-stands: {kind: stand, rated: 2000 kg, rated_for: pair}
wheel-chocks: {kind: chock, count: 4}
drain-tray: {kind: tray}
measuring-jug: {kind: jug}
funnel: {kind: funnel}
wire-brush: {kind: brush}
hand-lamp: {kind: lamp}
meter: {kind: meter}
rule: {kind: rule}
feeler-gauges: {kind: feeler gauge}
goggles: {kind: eye protection}
rubber-gloves: {kind: gloves}
""",
    "supplies.yaml": """\
spring-washer-m6: {unit: each, pack: 50}
spring-washer-m8: {unit: each, pack: 50}
spring-washer-m10: {unit: each, pack: 50}
spring-washer-1-4: {unit: each, pack: 50}
spring-washer-5-16: {unit: each, pack: 50}
spring-washer-3-8: {unit: each, pack: 50}
coolant: {unit: L, pack: 5 L, hazard: glycol, waste: closed container}
engine-oil: {unit: L, pack: 5 L, waste: waste oil drum}
wire-tags: {unit: each, pack: 50}
wire-ties: {unit: each, pack: 100}
chalk: {unit: each, pack: 12}
""",
    "parts.yaml": """\
parts:
  battery: {mass: 15 kg, joined_by: [earth-lead, live-lead]}
  second-battery: {when: {batteries: two}, mass: 15 kg, joined_by: [second-earth-lead, second-live-lead]}
  battery-lid: {fitted: look, covers: [earth-lead, live-lead], held_by: [lid-strap]}
  # A new washer beneath each bolt, of the size of its thread.
  washer-1-4: {when: {hardware: unified}, supply: spring-washer-1-4}
  washer-5-16: {when: {hardware: unified}, supply: spring-washer-5-16}
  washer-3-8: {when: {hardware: unified}, supply: spring-washer-3-8}
  washer-m6: {when: {hardware: metric}, supply: spring-washer-m6}
  washer-m8: {when: {hardware: metric}, supply: spring-washer-m8}
  washer-m10: {when: {hardware: metric}, supply: spring-washer-m10}
fixings:
  lid-strap: {with: battery-lid, kind: strap, count: 1, torque: hand}
  earth-clamp:
    thread: {hardware: {unified: 5/16 UNF, metric: M8}}
    across_flats: {hardware: {unified: 1/2 in, metric: 13 mm}}
    count: 1
    torque: 10 N·m
  live-clamp:
    thread: {hardware: {unified: 5/16 UNF, metric: M8}}
    across_flats: {hardware: {unified: 1/2 in, metric: 13 mm}}
    count: 1
    torque: 10 N·m
  second-earth-clamp:
    when: {batteries: two}
    thread: {hardware: {unified: 5/16 UNF, metric: M8}}
    across_flats: {hardware: {unified: 1/2 in, metric: 13 mm}}
    count: 1
    torque: 10 N·m
  second-live-clamp:
    when: {batteries: two}
    thread: {hardware: {unified: 5/16 UNF, metric: M8}}
    across_flats: {hardware: {unified: 1/2 in, metric: 13 mm}}
    count: 1
    torque: 10 N·m
connections:
  earth-lead: {kind: electrical, role: earth, mark: earth, fixing: earth-clamp}
  live-lead: {kind: electrical, role: live, mark: live, fixing: live-clamp}
  second-earth-lead:
    when: {batteries: two}
    kind: electrical
    role: earth
    mark: earth 2
    fixing: second-earth-clamp
  second-live-lead:
    when: {batteries: two}
    kind: electrical
    role: live
    mark: live 2
    fixing: second-live-clamp
controls:
  parking-brake: {settings: [set, released], normally: set}
  gear: {settings: [neutral, in gear], normally: neutral}
  stop-control: {settings: [running, stopped], normally: running}
  relief-cock: {settings: [closed, open], normally: closed}
""",
    "electrical/isolate-battery.yaml": """\
title: Isolate the battery
system: electrical
status: issued
purpose: To take the current off every wire before one is touched.
skill: Used to workshop tools.
time: {least: 5 min, likely: 10 min, most: 20 min}
first: [parking-brake-set]

steps:
  - do: Switch off the ignition, the lamps and everything else that takes current.
    why: A lead that carries current draws a spark as it comes off.
  - do: Take off rings and bracelets, and put on the goggles.
    tools: [goggles, rubber-gloves]
    caution: Battery acid burns eyes and skin. Wash a splash off at once with plenty of water.
  - undo: lid-strap
    remove: battery-lid
  - do: Follow each lead from the battery, and mark the one that is bolted to bare frame.
    mark: [earth-lead, second-earth-lead]
    supplies: {wire-tags: "2"}
    tools: [hand-lamp]
  - do: Take the earth lead off its post.
    disconnect: earth-lead
    warning: A spanner from the live post to the frame burns. Leave the live lead alone.
  - do: Take the earth lead off the second battery.
    disconnect: second-earth-lead
    warning: One battery keeps every wire live while its own earth lead is on. Take both leads off.
  - do: Brush the inside of each earth clamp until it is bright.
    clean: [earth-clamp, second-earth-clamp]
    tools: [wire-brush]
  - do: Switch the side lamps on, look at them, and switch them off again.
    test: The lamps stay dark.
    safe_to_stop: yes

finally:
  - do: Switch the side lamps on, look at them, and switch them off again.
    test: The lamps light at once, and stay steady.
""",
    "access/raise-and-support.yaml": """\
title: Raise the front of the machine and support it
system: access
status: issued
purpose: To make it safe to work beneath the front of the machine.
skill: Used to a trolley jack and axle stands.
time: {least: 10 min, likely: 15 min, most: 30 min}
first: [parking-brake-set, wheels-chocked]

steps:
  - do: See that the machine stands on level concrete.
    why: A jack sinks into earth or soft tarmac, and a stand leans over with it.
  - do: Raise the front at the middle of the axle until both stands will pass beneath the frame.
    needs: [wheels-chocked]
    tools: [trolley-jack, wheel-chocks]
    danger: A machine that falls from a jack kills. Keep every part of yourself out from beneath it.
  - do: Set one stand beneath each frame rail, and lower the machine until the stands carry it.
    makes: raised-and-supported
    tools: [axle-stands, hand-lamp]
    warning: A stand beneath a thin panel lets the machine drop. Use the marked pads on the frame.
  - do: Push firmly against the front of the machine from each side.
    test: Neither the machine nor a stand moves.
    safe_to_stop: yes

finally:
  - do: Raise the machine until both stands are free.
    tools: [trolley-jack]
    danger: A machine that falls from a jack kills. Keep every part of yourself out from beneath it.
  - do: Draw the stands out by their feet, and lower the machine slowly on to its wheels.
    ends: raised-and-supported
    warning: A foot under a wheel is crushed. Stand clear of both front wheels.
  - do: Look at the machine from the front.
    test: The machine stands level on all its wheels.
""",
    "electrical/stop-engine-starting.yaml": """\
title: Make sure that the engine cannot start
system: electrical
status: issued
purpose: To keep the engine still while hands are near the fan and its belt.
skill: Used to workshop tools.
time: {least: 5 min, likely: 10 min, most: 20 min}
first: [parking-brake-set, battery-isolated]

steps:
  - do: Pull the stop control out, and turn it to lock it.
    set: {stop-control: stopped}
    tip: Hang a card on the control that says who locked it.
  - do: Press the starter button.
    test: Nothing moves.

finally:
  - do: See that the stop control is fully home.
    test: The control stays home when it is let go.
""",
    "engine/let-off-oil-pressure.yaml": """\
title: Let the pressure off the oil
system: engine
status: issued
purpose: To open an oil pipe without a jet.
skill: Used to workshop tools.
time: {least: 5 min, likely: 10 min, most: 20 min}
first: [parking-brake-set]

steps:
  - do: Open the relief cock slowly, and wait until the hiss ends.
    set: {relief-cock: open}
    waiting: 2 min
    warning: Oil under pressure is driven beneath the skin. Keep your hands away from the cock's mouth.
  - do: Look at the pressure gauge.
    test: The needle stands at nought.

finally:
  - do: Look at the relief cock.
    test: It is dry.
""",
}

#: The procedures among them.
OPENERS = tuple(path for path in FILES if "/" in path)

#: The ordinary Jupyter Book beside it: path in the book -> text. Its settings are those of a new manual.
BOOK = {
    "_config.yml": (files("greaseproof.starter") / "manual/book/_config.yml").read_text(encoding="utf-8"),
    "_toc.yml": """\
format: jb-book
root: index
""",
    "index.md": """\
# Netherfold Measuring Shed

Invented for measuring: no machine, maker, mass, size or torque in this manual is real.
""",
}
