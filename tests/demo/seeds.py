"""Single faults, to be seeded one at a time into the demo's texts.

An edit's `old` stands exactly once in its file: a changed demo breaks the seed, and somebody looks at it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["SEEDS", "Seed"]

STARTER, GENERATOR, BATTERY = (
    "electrical/starter.yaml",
    "electrical/generator.yaml",
    "electrical/battery.yaml",
)
ISOLATE, STOP = "electrical/isolate-battery.yaml", "electrical/stop-engine-starting.yaml"
BELT, COOLANT, PUMP = "cooling/fan-belt.yaml", "cooling/coolant.yaml", "cooling/water-pump.yaml"
RAISE = "access/raise-and-support.yaml"
PARTS, MACHINES, TOOLS, CONDITIONS = "parts.yaml", "machines.yaml", "tools.yaml", "conditions.yaml"

#: The masses that are left when one is taken out.
MASSES = (
    "machine:\n"
    "        plover: 430 kg\n"
    "        plover-orchard: 400 kg\n"
    "        plover-major: 540 kg\n"
    "        dunlin: 620 kg\n"
    "        whimbrel: 530 kg\n"
    "        fieldfare: 690 kg\n"
    "        fieldfare-long: 740 kg"
)


@dataclass(frozen=True, slots=True)
class Seed:
    """One fault: what is written where, and what `check` says of it.

    `where`: (file, text at the finding's place).
    `also`: the (rule, file) of what else is found, each with the same cause; nothing is found beside these.
    `depends_on_machine`: some machines that the procedure covers are not affected.
    `value`: (procedure, thing, key, value), of a finding about a value. The machines affected are those
    on which the thing is there and has this value, or none if that is empty.
    """

    name: str
    file: str
    old: str
    new: str
    rule: str
    where: tuple[str, str]
    depends_on_machine: bool = False
    value: tuple[str, str, str, str] | None = None
    also: tuple[tuple[str, str], ...] = ()

    def sown(self, files: Mapping[str, str]) -> dict[str, str]:
        """The files with the fault in them. Raises: ValueError, if it has no one place there."""
        found = files[self.file].count(self.old)
        if found != 1:
            raise ValueError(f"{self.name}: {self.file} has {self.old!r} {found} times")
        return {**files, self.file: files[self.file].replace(self.old, self.new)}


SEEDS = (
    Seed(
        "isolation-forgotten",
        STARTER,
        "first: [parking-brake-set, battery-isolated, raised-and-supported]",
        "first: [parking-brake-set, raised-and-supported]",
        "electrical-work-while-live",
        (STARTER, "main-cable"),
        also=(("electrical-work-while-live", STARTER),),
    ),
    Seed(
        "stands-forgotten",
        STARTER,
        "first: [parking-brake-set, battery-isolated, raised-and-supported]",
        "first: [parking-brake-set, battery-isolated]",
        "work-beneath-unsupported",
        (STARTER, "under"),
        also=(("work-beneath-unsupported", STARTER),) * 5,
    ),
    Seed(
        "earth-swapped",
        ISOLATE,
        "    disconnect: earth-lead\n",
        "    disconnect: [live-lead, earth-lead]\n",
        "earth-lead-not-first-off",
        (ISOLATE, "live-lead"),
        also=(
            ("undone-twice", BATTERY),
            ("earth-lead-not-last-on", ISOLATE),
        ),
    ),
    Seed(
        "earth-on-early",
        BATTERY,
        "    supplies: {washing-soda: 20 g}\n",
        "    supplies: {washing-soda: 20 g}\n    connect: second-earth-lead\n",
        "earth-lead-not-last-on",
        (BATTERY, "live-lead"),
        depends_on_machine=True,
        also=(("earth-lead-not-last-on", BATTERY),),
    ),
    Seed(
        "second-earth-by-year",
        ISOLATE,
        "    disconnect: second-earth-lead\n",
        "    disconnect: second-earth-lead\n    when: {built: 1960..}\n",
        "condition-cannot-be-opened",
        (BELT, "battery-isolated"),
        depends_on_machine=True,
        also=(
            ("condition-cannot-be-opened", PUMP),
            ("condition-cannot-be-opened", BATTERY),
            ("condition-cannot-be-opened", GENERATOR),
            ("condition-cannot-be-opened", STARTER),
            ("condition-cannot-be-opened", STOP),
        ),
    ),
    Seed(
        "fuel-stop-narrowed",
        STOP,
        "    when: {fuel: diesel}\n    set: {stop-control: stopped}\n",
        "    when: {fuel: diesel, body: van}\n    set: {stop-control: stopped}\n",
        "condition-cannot-be-opened",
        (BELT, "engine-cannot-start"),
        depends_on_machine=True,
        also=(
            ("condition-cannot-be-opened", PUMP),
            ("condition-cannot-be-opened", GENERATOR),
        ),
    ),
    Seed(
        "size-that-no-tool-fits",
        STARTER,
        "across_flats: {hardware: {unified: 9/16 in, metric: 17 mm}}",
        "across_flats: {hardware: {unified: 9/16 in, metric: 16 mm}}",
        "across-flats-without-tool",
        (STARTER, "mounting-bolts"),
        depends_on_machine=True,
        value=("starter", "mounting-bolts", "across_flats", "16 mm"),
    ),
    Seed(
        "held-by-one-more",
        PUMP,
        "held_by: [fan-bolts], covers: [pump-pulley, pump-bolts]",
        "held_by: [fan-bolts, pump-lower-bolts], covers: [pump-pulley, pump-bolts]",
        "removed-while-held",
        (PUMP, "fan"),
        depends_on_machine=True,
    ),
    Seed(
        "wire-left-on",
        STARTER,
        "    disconnect: trigger-wire\n",
        "",
        "removed-while-joined",
        (STARTER, "starter"),
        depends_on_machine=True,
    ),
    Seed(
        "screwdriver-lent",
        TOOLS,
        "screwdriver-cross-2: {kind: screwdriver, fits: cross 2}\n",
        "",
        "across-flats-without-tool",
        (STARTER, "shield-screws"),
        depends_on_machine=True,
        value=("starter", "shield-screws", "drive", "cross 2"),
    ),
    Seed(
        "gauges-lent",
        TOOLS,
        "feeler-gauges: {kind: feeler gauge}\n",
        "",
        "tool-not-in-store",
        (PUMP, "feeler-gauges"),
    ),
    Seed(
        "when-widened",
        PARTS,
        "when: {body: van, circulation: pump}",
        "when: {circulation: pump}",
        "worked-at-while-covered",
        (PUMP, "pump-lower-bolts"),
        depends_on_machine=True,
    ),
    Seed(
        "cover-added",
        PARTS,
        "    covers: [pump-lower-bolts]\n",
        "    covers: [pump-lower-bolts, top-hose]\n",
        "worked-at-while-covered",
        (PUMP, "top-hose"),
        depends_on_machine=True,
    ),
    Seed(
        "engine-never-stopped",
        BELT,
        "    do: Stop the engine.\n    ends: engine-running\n",
        "    do: Stop the engine.\n",
        "condition-never-ended",
        (BELT, "engine-running"),
    ),
    Seed(
        "thing-misspelt",
        STARTER,
        "    disconnect: trigger-wire\n",
        "    disconnect: triger-wire\n",
        "reference-to-nothing",
        (STARTER, "triger-wire"),
        also=(("removed-while-joined", STARTER),),
    ),
    Seed(
        "no-torque-for-late-years",
        STARTER,
        "torque: {hardware: {unified: 28..32 lbf·ft (38..43 N·m), metric: 45 N·m}}",
        "torque: {..1963: 28..32 lbf·ft (38..43 N·m), 1964..1970: 45 N·m}",
        "machine-that-nothing-fits",
        (STARTER, "{..1963: 28..32 lbf·ft (38..43 N·m), 1964..1970: 45 N·m}"),
        depends_on_machine=True,
        value=("starter", "mounting-bolts", "torque", ""),
    ),
    Seed(
        "belt-for-tractors-only",
        BELT,
        "purpose: To renew the belt",
        "applies: {body: tractor}\npurpose: To renew the belt",
        "called-beyond-its-machines",
        (GENERATOR, "fan-belt"),
        depends_on_machine=True,
    ),
    Seed(
        "calls-in-a-circle",
        BELT,
        "steps:\n  - id: guard-off\n",
        "steps:\n  - id: generator-off\n    call: generator\n  - id: guard-off\n",
        "call-goes-round",
        (BELT, "Remove and refit the fan belt"),
    ),
    Seed(
        "chocked-on-vans-only",
        RAISE,
        "    do: Chock both rear wheels, in front and behind.\n",
        "    do: Chock both rear wheels, in front and behind.\n    when: {body: van}\n",
        "needed-condition-missing",
        (RAISE, "wheels-chocked"),
        depends_on_machine=True,
    ),
    Seed(
        "guard-needed-while-off",
        BELT,
        "    remove: fan-belt\n    where: fan\n",
        "    remove: fan-belt\n    where: fan\n    needs: {fitted: [fan-guard]}\n",
        "part-not-in-place",
        (BELT, "{fitted: [fan-guard]}"),
        depends_on_machine=True,
    ),
    Seed(
        "topped-up-hot",
        COOLANT,
        "    first: [engine-cold]\n",
        "",
        "policy-condition-missing",
        (COOLANT, "radiator-cap"),
    ),
    Seed(
        "hand-at-a-live-fan",
        BELT,
        "one whole turn.\n    where: fan\n    first: [engine-cannot-start]\n",
        "one whole turn.\n    where: fan\n",
        "policy-condition-missing",
        (BELT, "fan"),
    ),
    Seed(
        "belt-twice",
        PUMP,
        "    call: fan-belt\n    when: {body: tractor}\n",
        "    call: fan-belt\n",
        "undone-twice",
        (PUMP, "fan-belt"),
        depends_on_machine=True,
        also=(("worked-at-while-covered", PUMP),),
    ),
    Seed(
        "bolts-undone-twice",
        STARTER,
        "    remove: starter\n",
        "    undo: mounting-bolts\n    remove: starter\n",
        "undone-twice",
        (STARTER, "mounting-bolts"),
    ),
    Seed(
        "cover-fitted-twice",
        GENERATOR,
        "    remove: battery-cover\n",
        "",
        "put-back-twice",
        (GENERATOR, "battery-cover"),
        depends_on_machine=True,
    ),
    Seed(
        "strap-left-off",
        GENERATOR,
        "    fit: battery-cover\n    tighten: cover-strap\n",
        "    fit: battery-cover\n",
        "never-restored",
        (GENERATOR, "cover-strap"),
        depends_on_machine=True,
    ),
    Seed(
        "engine-on-stands",
        RAISE,
        "nor a stand moves.\n",
        "nor a stand moves.\n    makes: engine-running\n    ends: engine-running\n",
        "conditions-clash",
        (RAISE, "engine-running"),
        also=(("conditions-clash", STARTER),),
    ),
    Seed(
        "paraffin-van",
        COOLANT,
        "when: {fuel: paraffin}",
        "when: {fuel: paraffin, body: van}",
        "when-never-holds",
        (COOLANT, "{fuel: paraffin, body: van}"),
    ),
    Seed(
        "list-lacks-a-tool",
        RAISE,
        "first: [parking-brake-set]\n",
        "first: [parking-brake-set]\ntools: [wheel-chocks, axle-wedges, trolley-jack, axle-stands]\n",
        "tool-used-and-undeclared",
        (RAISE, "hand-lamp"),
        also=(("tool-used-and-undeclared", RAISE),),
    ),
    Seed(
        "list-has-one-too-many",
        RAISE,
        "first: [parking-brake-set]\n",
        "first: [parking-brake-set]\n"
        "tools: [wheel-chocks, axle-wedges, trolley-jack, axle-stands, hand-lamp, lever-bar]\n",
        "tool-declared-and-unused",
        (RAISE, "lever-bar"),
    ),
    Seed(
        "two-things-of-one-name",
        PUMP,
        "fixings:\n",
        "fixings:\n  mounting-bolts: {thread: M8, across_flats: 13 mm, count: 2, torque: 24 N·m}\n",
        "one-thing-two-sizes",
        (STARTER, "3/8 UNC"),
    ),
    Seed(
        "allowed-in-vain",
        RAISE,
        "first: [parking-brake-set]\n",
        "first: [parking-brake-set]\nallow:\n  never-restored: The wedges are counted.\n",
        "allow-without-use",
        (RAISE, "never-restored: The wedges are counted."),
    ),
    Seed(
        "shield-held",
        STARTER,
        "  - id: take-off-the-shield\n    undo: shield-screws\n",
        "  - id: take-off-the-shield\n",
        "removed-while-held",
        (STARTER, "heat-shield"),
        depends_on_machine=True,
    ),
    Seed(
        "shield-stays",
        STARTER,
        "    undo: shield-screws\n    remove: heat-shield\n",
        "    undo: shield-screws\n",
        "worked-at-while-covered",
        (STARTER, "main-cable"),
        depends_on_machine=True,
    ),
    Seed(
        "kept-machine-of-no-model",
        MACHINES,
        '"3": {machine: plover,',
        '"3": {machine: plovr,',
        "reference-to-nothing",
        (MACHINES, "plovr"),
    ),
    Seed(
        "no-mass-for-a-model",
        RAISE,
        "        turnstone: 790 kg\n",
        "",
        "machine-that-nothing-fits",
        (
            RAISE,
            MASSES,
        ),
        depends_on_machine=True,
        value=("raise-and-support", "front-end", "mass", ""),
    ),
    Seed(
        "setting-misspelt",
        CONDITIONS,
        "      absent: {set: {stop-control: stopped}}",
        "      absent: {set: {stop-control: stoped}}",
        "reference-to-nothing",
        (CONDITIONS, "{stop-control: stoped}"),
        also=(
            ("condition-cannot-be-opened", BELT),
            ("condition-cannot-be-opened", PUMP),
            ("condition-cannot-be-opened", GENERATOR),
        ),
    ),
    Seed(
        "role-misspelt",
        CONDITIONS,
        "{off: {role: ignition-feed}}",
        "{off: {role: ignition-fed}}",
        "reference-to-nothing",
        (CONDITIONS, "ignition-fed"),
        also=(
            ("condition-cannot-be-opened", BELT),
            ("condition-cannot-be-opened", PUMP),
            ("condition-cannot-be-opened", GENERATOR),
        ),
    ),
    Seed(
        "serials-overlap",
        MACHINES,
        "{..35117: dynamo, 35118..: alternator}",
        "{..35118: dynamo, 35118..: alternator}",
        "ranges-overlap",
        (MACHINES, "35118.."),
    ),
    Seed(
        "serial-left-out",
        MACHINES,
        "{..35117: dynamo, 35118..: alternator}",
        "{..35117: dynamo, 35119..: alternator}",
        "machine-that-nothing-fits",
        (PARTS, "{charging: {dynamo: 8.2 kg, alternator: 5.6 kg}}"),
        depends_on_machine=True,
        value=("", "generator", "mass", ""),
    ),
    Seed(
        "year-left-out",
        MACHINES,
        "hardware: {..1963: unified, 1964..: metric}",
        "hardware: {..1963: unified, 1965..: metric}",
        "machine-that-nothing-fits",
        (MACHINES, "{..1963: unified, 1965..: metric}"),
        depends_on_machine=True,
        value=("starter", "mounting-bolts", "thread", ""),
    ),
    Seed(
        "opener-misspelt",
        CONDITIONS,
        "  opened_by: stop-engine-starting\n",
        "  opened_by: stop-engine\n",
        "reference-to-nothing",
        (CONDITIONS, "stop-engine"),
        also=(
            ("condition-cannot-be-opened", BELT),
            ("condition-cannot-be-opened", PUMP),
            ("condition-cannot-be-opened", GENERATOR),
        ),
    ),
    Seed(
        "lamp-wire-left-on",
        GENERATOR,
        "    disconnect: charge-lamp-wire\n",
        "",
        "removed-while-joined",
        (GENERATOR, "generator"),
        depends_on_machine=True,
    ),
    Seed(
        "left-in-gear",
        STARTER,
        "    set: {gear: neutral}\n",
        "    set: {gear: in gear}\n",
        "never-restored",
        (STARTER, "{gear: in gear}"),
    ),
    Seed(
        "value-misspelt",
        GENERATOR,
        "applies: {charging: [dynamo, alternator]}",
        "applies: {charging: [dynamo, alternater]}",
        "feature-value-unknown",
        (GENERATOR, "alternater"),
    ),
    Seed(
        "feature-misspelt",
        GENERATOR,
        "    when: {charging: dynamo}\n    measure: length of each brush\n",
        "    when: {chargng: dynamo}\n    measure: length of each brush\n",
        "feature-unknown",
        (GENERATOR, "chargng"),
    ),
    Seed(
        "key-twice",
        STARTER,
        "    keep: Run the nut back on to its stud.\n",
        "    keep: Run the nut back on to its stud.\n    where: under\n",
        "duplicate-key",
        (STARTER, "where"),
    ),
    Seed(
        "key-misspelt",
        STARTER,
        "    inspect: starter\n",
        "    inspct: starter\n",
        "key-unknown",
        (STARTER, "inspct"),
    ),
    Seed(
        "years-overlap",
        STARTER,
        "thread: {hardware: {unified: 3/8 UNC, metric: M10}}",
        "thread: {..1964: 3/8 UNC, 1964..: M10}",
        "ranges-overlap",
        (STARTER, "1964.."),
    ),
    Seed(
        "no-space-after-colon",
        STARTER,
        "    undo: mounting-bolts\n",
        "    undo:mounting-bolts\n",
        "missing-space-after-colon",
        (STARTER, "undo:mounting-bolts"),
    ),
    Seed(
        "tab",
        STARTER,
        "    undo: mounting-bolts\n",
        "\tundo: mounting-bolts\n",
        "tab-in-indentation",
        (STARTER, "\t"),
    ),
    Seed(
        "cut-by-hash",
        STARTER,
        "    do: Pull the blade off by its end, never by the wire.\n",
        "    do: Pull the blade off by its end, terminal #50, never by the wire.\n",
        "text-cut-by-hash",
        (STARTER, "Pull the blade off by its end, terminal #50, never by the wire."),
    ),
    Seed(
        "colon-in-sentence",
        COOLANT,
        "    do: Open the heater tap.\n",
        "    do: Open the heater tap: the lever on the bulkhead.\n",
        "colon-in-text",
        (COOLANT, "Open the heater tap: the lever on the bulkhead."),
    ),
    Seed(
        "unit-misspelt",
        STARTER,
        "    torque: 10 N·m\n",
        "    torque: 10 Nn\n",
        "quantity-unreadable",
        (STARTER, "10 Nn"),
    ),
    Seed(
        "thing-named-twice",
        STARTER,
        "  starter:\n    mass:",
        "  generator:\n    mass:",
        "thing-named-twice",
        (STARTER, "generator"),
    ),
    Seed(
        "indented-wrongly",
        STARTER,
        "    inspect: starter\n",
        "   inspect: starter\n",
        "indented-wrongly",
        (STARTER, "inspect: starter"),
    ),
    Seed(
        "neither-yes-nor-no",
        BELT,
        "safe_to_stop: yes",
        "safe_to_stop: maybe",
        "wrong-kind-of-value",
        (BELT, "maybe"),
    ),
    Seed(
        "star-in-front",
        STARTER,
        "    do: Pull the blade off by its end, never by the wire.",
        "    do: *Pull* the blade off by its end, never by the wire.",
        "alias",
        (STARTER, "*Pull* the blade off by its end, never by the wire."),
    ),
    Seed(
        "status-misspelt",
        STARTER,
        "status: issued",
        "status: isued",
        "word-unknown",
        (STARTER, "isued"),
    ),
    Seed(
        "tool-in-words",
        STARTER,
        "    tools: [extension-1-2]\n",
        "    tools: extension 1/2\n",
        "name-badly-formed",
        (STARTER, "extension 1/2"),
    ),
    Seed(
        "years-backwards",
        MACHINES,
        "built: 1962..1974",
        "built: 1974..1962",
        "range-backwards",
        (MACHINES, "1974..1962"),
    ),
    Seed(
        "build-misspelt",
        MACHINES,
        "      - body: tractor\n        cranking: handle\n",
        "      - body: tracter\n        cranking: handle\n",
        "feature-value-unknown",
        (MACHINES, "tracter"),
    ),
    Seed(
        "thread-wrong",
        STARTER,
        "thread: {hardware: {unified: 3/8 UNC, metric: M10}}",
        "thread: {hardware: {unified: 3/8 UNC, metric: M8}}",
        "across-flats-unlike-thread",
        (STARTER, "17 mm"),
        depends_on_machine=True,
        value=("starter", "mounting-bolts", "thread", "M8"),
    ),
    Seed(
        "allowed-without-a-rule",
        RAISE,
        "first: [parking-brake-set]\n",
        "first: [parking-brake-set]\nallow:\n  never-restord: The wedges are counted.\n",
        "allow-without-rule",
        (RAISE, "never-restord: The wedges are counted."),
    ),
    Seed(
        "no-title",
        STARTER,
        "title: Remove and refit the starter motor\n",
        "",
        "key-missing",
        (STARTER, "system"),
    ),
    Seed(
        "second-earth-swapped",
        ISOLATE,
        "    disconnect: second-earth-lead\n",
        "    disconnect: [second-live-lead, second-earth-lead]\n",
        "earth-lead-not-first-off",
        (ISOLATE, "second-live-lead"),
        depends_on_machine=True,
        also=(
            ("undone-twice", BATTERY),
            ("earth-lead-not-last-on", ISOLATE),
        ),
    ),
    Seed(
        "no-torque-wrench",
        TOOLS,
        "torque-wrench-20-110: {kind: torque wrench, square: 1/2 in, range: 20..110 N·m}\n",
        "",
        "tool-not-in-store",
        (COOLANT, "drain-plug"),
        depends_on_machine=True,
        value=("", "drain-plug", "torque", "25 N·m"),
        also=(
            ("tool-not-in-store", STARTER),
            ("tool-not-in-store", STARTER),
        ),
    ),
    Seed(
        "spanner-lent",
        TOOLS,
        "spanner-1-2: {kind: spanner, fits: 1/2 in, count: 2}\n",
        "",
        "across-flats-without-tool",
        (GENERATOR, "pivot-bolts"),
        depends_on_machine=True,
        value=("", "pivot-bolts", "nut", "1/2 in"),
        also=(("across-flats-without-tool", STARTER),),
    ),
    Seed(
        "socket-lent",
        TOOLS,
        "socket-17: {kind: socket, fits: 17 mm, square: 1/2 in}\n",
        "",
        "tool-not-in-store",
        (STARTER, "mounting-bolts"),
        depends_on_machine=True,
        value=("starter", "mounting-bolts", "torque", "45 N·m"),
    ),
    Seed(
        "generator-on",
        PUMP,
        "    call: generator\n    when: {body: van}\n",
        "    call: generator\n    when: {body: van, hardware: unified}\n",
        "worked-at-while-covered",
        (PUMP, "fan-bolts"),
        depends_on_machine=True,
        also=(("worked-at-while-covered", PUMP),),
    ),
    Seed(
        "output-wire-left-on",
        GENERATOR,
        "    disconnect: output-wire\n",
        "",
        "removed-while-joined",
        (GENERATOR, "generator"),
        depends_on_machine=True,
    ),
)
