"""The words of synthetic manuals: invented machines, and enough of the trade's words that texts differ."""

from __future__ import annotations

#: Names of models, and what is put behind them when there are more machines than names.
MODELS = (
    "Avocet", "Bittern", "Chough", "Dotterel", "Egret", "Firecrest", "Goldeneye", "Hobby", "Ibis", "Jackdaw",
    "Kittiwake", "Lapwing", "Merlin", "Nuthatch", "Ouzel", "Pipit", "Quail", "Redpoll", "Siskin", "Teal",
    "Wheatear", "Yaffle",
)  # fmt: skip
RANGES = ("", "Major", "Orchard", "Long", "Light", "Forest", "Hill", "Market")

#: Features that machines have one way or the other: name, its two values, how to tell.
SETTLED = (
    ("charging", "dynamo", "alternator", "A dynamo is long and plain. An alternator is short and slotted."),
    ("circulation", "pump", "thermosiphon", "With a pump, a hose runs to the fan's spindle from below."),
    ("final-drive", "straight", "dropped", "A dropped drive has a second housing at each end of the axle."),
    ("bulkhead", "pressed", "welded", "A pressed bulkhead has ribs and no seams."),
)

#: Options that are open on every machine.
OPTIONS = (
    ("batteries", "one", "two"), ("cab", "open", "closed"), ("seat", "pan", "sprung"),
    ("lighting", "single", "double"), ("heating", "heated", "unheated"), ("air-cleaner", "oil-bath", "paper"),
    ("silencer", "upright", "underslung"), ("drawbar", "fixed", "swinging"), ("belt-pulley", "side", "rear"),
    ("hydraulics", "internal", "tapped"), ("wiring", "braided", "sheathed"), ("gauges", "separate", "panel"),
    ("mudguards", "flat", "shell"), ("grille", "slatted", "mesh"), ("bonnet", "hinged", "lift-off"),
    ("toolbox", "left", "right"), ("breather", "open", "piped"), ("oil-filter", "element", "cartridge"),
    ("dash", "wooden", "steel"), ("horn", "bulb", "electric"), ("weights", "slab", "segment"),
    ("linkage", "short", "long"), ("governor", "weights", "vacuum"), ("ballast", "water", "iron"),
    ("shutter", "roller", "vane"), ("meter", "hours", "revolutions"), ("guarding", "partial", "full"),
    ("selector", "gate", "column"), ("throttle", "hand", "pedal"), ("cooler", "finned", "coiled"),
)  # fmt: skip

#: When these are used up: NAME-fitting is made of a place and a thing.
OPTION_PLACES = ("front", "rear", "upper", "lower", "inner", "outer", "left", "right")
OPTION_THINGS = (
    "bracket", "panel", "hose", "clip", "plate", "stay", "shroud", "duct", "cable", "rail", "lid", "vent",
)  # fmt: skip
OPTION_VALUES = (
    ("round", "square"), ("steel", "brass"), ("bolted", "clipped"), ("narrow", "wide"), ("plain", "ribbed"),
)  # fmt: skip

#: What procedures take off: nothing of fuel, brakes, steering, wheels or lifting.
UNITS = (
    "oil cooler", "valve block", "filter housing", "governor housing", "regulator", "blower",
    "manifold shield", "thermostat housing", "gauge panel", "relay box", "junction box", "lamp housing",
    "horn", "wiper motor", "heater matrix", "fan motor", "linkage bracket", "cross shaft", "selector housing",
    "breather pipe", "dipstick tube", "sump plate", "timing case", "rocker box", "tachometer drive",
    "hour meter", "seat frame", "bonnet stay", "grille", "side panel", "mudguard", "step plate", "toolbox",
    "exhaust bracket", "air cleaner", "silencer bracket", "shaft guard", "belt tensioner", "idler pulley",
    "dust shield", "sediment trap", "spool valve", "radiator shell", "expansion tank", "header tank",
    "switch panel", "fuse box", "wiring channel", "ammeter", "sender unit", "starter relay", "shutter frame",
    "duct elbow", "noise shield", "inspection door", "pulley guard", "throttle bracket", "cable drum",
    "sight glass", "vent cap",
)  # fmt: skip
WHICH = (
    "front", "rear", "left", "right", "upper", "lower", "inner", "outer", "main", "second", "side", "centre",
    "auxiliary", "forward", "long", "short", "hinged", "fixed", "small", "large",
)  # fmt: skip

COVERS = (
    "cover plate", "splash shield", "access panel", "dust cap", "trim panel", "closing plate", "heat shield",
)  # fmt: skip
INNER = (
    "gasket carrier", "spacer plate", "inner bracket", "damper block", "strainer", "baffle plate",
    "distance ring",
)  # fmt: skip
PAIRED = ("stay", "clamp bar", "retaining plate", "hinge leaf", "support leg", "guide rail")
CONTROLS = ("isolating cock", "bleed screw", "by-pass tap", "vent tap", "locking lever", "shut-off flap")
ADJUSTERS = ("adjusting link", "sliding bracket", "tension stay", "slotted arm")

#: Connections by what they carry.
CONNECTIONS = {
    "electrical": ("feed wire", "return wire", "sender wire", "lamp wire", "relay wire", "bonding strap"),
    "coolant": ("upper hose", "lower hose", "by-pass hose", "heater hose"),
    "oil": ("pressure pipe", "return pipe", "drain pipe", "gauge pipe"),
    "air": ("intake duct", "vent pipe", "vacuum pipe"),
    "control": ("control rod", "control cable", "stop cable"),
}
#: What the connections of each system carry.
CARRIED = {
    "electrical": ("electrical", "electrical", "control"),
    "cooling": ("coolant", "coolant", "electrical"),
    "engine": ("oil", "air", "electrical"),
    "body": ("control", "air", "electrical"),
}
FLUIDS = {"oil": "engine-oil", "coolant": "coolant"}

#: Where two alike things are.
PAIRS = (("left", "right"), ("front", "rear"), ("upper", "lower"))

SYMPTOMS = (
    "It leaks when the engine is warm.", "It rattles at a fast idle.", "It sticks in cold weather.",
    "It squeals under load.", "It runs hotter than its neighbour.", "It shows cracks around its bolts.",
    "It moves when it is pushed by hand.", "It fails now and then on rough ground.",
    "It smells of burnt varnish.", "It drips on to the frame overnight.",
)  # fmt: skip
PURPOSES = (
    "To renew it, or to reach what lies behind it.", "To look for the cause of a leak.",
    "To clean what gathers behind it.", "To stop a rattle before it breaks a bracket.",
    "To free it after a winter in the yard.",
)  # fmt: skip
SKILLS = (
    "Used to workshop tools.", "Used to working beneath a supported machine.",
    "Has done the job once beside somebody else.", "Used to reading a torque wrench.",
)  # fmt: skip

#: What can happen, and how to avoid it: one of each is joined to a sentence pair.
DANGERS = (
    "A part that slips crushes fingers against the frame.", "A sharp edge cuts through a sleeve.",
    "A spring under load flies out and blinds.", "A hot pipe burns through a glove.",
    "A dropped part breaks toes.", "A loose sleeve is caught and drawn in.",
    "Trapped pressure sprays oil beneath the skin.", "Rust flakes fall into the eyes.",
)  # fmt: skip
CARES = (
    "Hold it before the last bolt is out.", "Wear gloves until it lies on the bench.",
    "Keep your face out of its way.", "Wait until it has cooled.", "Stand to one side of it.",
    "Roll up your sleeves first.", "Wear goggles until it is clean.", "Keep one hand beneath it.",
)  # fmt: skip
DAMAGES = (
    "A twisted pipe cracks at its flare. Hold the union still.",
    "A dropped washer stops the oil way. Count them all.",
    "A lever against this face marks it, and it leaks. Use your hands.",
    "A kinked wire breaks inside. Lay it in a wide curve.",
    "Dirt in the open end scores the bore. Plug it at once.", "A forced thread strips. Start it by hand.",
    "A hammered edge no longer seals. Tap it with wood.", "A stretched gasket leaks. Fit a new one.",
)  # fmt: skip
WHYS = (
    "It hangs on these until the last one is out.", "What is left behind hardens, and blocks the passage.",
    "A clean face shows a crack at once.", "It seats itself only when it is free to move.",
    "The mark tells later how it stood.", "A worn edge wears out its new neighbour.",
    "The shorter bolt does not reach from the other side.", "Grit between the faces lets it tilt.",
    "It cannot be reached once the next part is in.",
)  # fmt: skip
TIPS = (
    "A drop of thin oil the day before saves an hour.",
    "A magnet on a wire finds what falls into the channel.",
    "A photograph of the wires helps more than memory.", "A length of hose over the stud guides it back.",
    "A strip of card keeps the clips in their order.", "A second lamp from below shows the hidden bolt.",
)  # fmt: skip
KEEPS = (
    "Put them back in their own holes.", "Lay them out on a card in their order.",
    "Keep them in a tin with the cover.", "Run the nut back on to its stud.",
    "Tie them to the part with a wire.", "Stand them in a block with holes.",
)  # fmt: skip
#: How a part is looked at and cleaned; its name is put in.
LOOKS = (
    "Look for cracks around each hole of the {}.",
    "Feel for wear along the edges of the {}.",
    "Look for a bright rub mark on the {}.",
    "Look for oil at the seam of the {}.",
    "Look at the {} from all sides.",
    "Feel for play in the {} with two fingers.",
    "Look for rust beneath the paint of the {}.",
    "Look for chafing where the {} bends.",
)
CLEANS = (
    "Brush the face of the {} until it is bright.",
    "Wipe the old grease out of the {}.",
    "Scrape the rest of the seal off the {}.",
    "Brush the dirt out of the {}.",
    "Wipe the {} until a clean cloth stays clean.",
)
#: What is measured, the least and the most, the tool.
MEASURES = (
    ("gap beneath the lip", "0.4 mm", "0.8 mm", "feeler-gauges"),
    ("length of the spring", "38 mm", "41 mm", "rule"), ("height of the stud", "22 mm", "25 mm", "rule"),
    ("thickness of the pad", "4 mm", "9 mm", "rule"),
    ("voltage at the terminal", "11.8 V", "12.9 V", "meter"),
    ("play at the end of the lever", "2 mm", "6 mm", "rule"),
    ("gap between the faces", "0.2 mm", "0.5 mm", "feeler-gauges"),
    ("depth of the groove", "3 mm", "5 mm", "rule"),
)  # fmt: skip
SMALL_JOBS = (
    ("Push a clean cloth into the open end.", None), ("Lay a board across the frame to kneel on.", None),
    ("Tie the loose ends back to the rail.", "wire-ties"),
    ("Spread a sheet beneath to catch what falls.", None), ("Shine the lamp in from the side.", None),
    ("Mark which way round it stands with chalk.", "chalk"),
    ("Push the rubber boot back along the wire.", None), ("Turn the edge of the mat out of the way.", None),
    ("Free the clip at the end with a thumb.", None), ("Blow the dust out of the corner.", None),
    ("Ease it from side to side until it is loose.", None), ("Fold the harness back over the wing.", None),
)  # fmt: skip
TESTS = (
    "Nothing moves when it is pushed by hand.", "Everything is dry after five minutes.",
    "It moves freely from end to end.", "It is silent when the frame is struck.",
    "The lamp lights at once, and stays steady.", "It stays where it is put.",
)  # fmt: skip
TRIES = (
    "Push against it from each side.", "Wipe it dry, wait, and look at it.",
    "Move the lever through its whole travel.", "Strike the frame beside it with a fist.",
    "Switch it on, look at it, and switch it off again.", "Let go of it slowly.",
)  # fmt: skip

#: Bolts by size: thread, across flats and torque on unified machines, and on metric ones; the new washers.
#: Across flats after ASME B18.2.1 and, for M10, the older DIN practice (17 mm); all torques are invented.
BOLTS = {
    "small": (("1/4 UNF", "7/16 in", "9 N·m"), ("M6", "10 mm", "9 N·m"), "washer-1-4, washer-m6"),
    "medium": (("5/16 UNF", "1/2 in", "22 N·m"), ("M8", "13 mm", "22 N·m"), "washer-5-16, washer-m8"),
    "large": (("3/8 UNF", "9/16 in", "42 N·m"), ("M10", "17 mm", "45 N·m"), "washer-3-8, washer-m10"),
}
