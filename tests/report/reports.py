"""A report made by hand, with one finding of each kind, for all renderings."""

from greaseproof.finding import Finding, ForVariants, Level, Related, Span
from greaseproof.manual import Manual, Report, Unproven

STARTER = "procedures/electrical/starter.yaml"
EMPTY = Manual.read({})

ERROR = Finding(
    "reached-while-live", Level.ERROR, Span(STARTER, 52, 17, 52, 27),
    "the trigger wire is disconnected while the battery is not isolated",
    "starter", "disconnect-trigger-wire",
    ForVariants("a Plover Major, serial 35118 or later", 3, 8, "machines with alternator charging"),
    (
        Related(Span(STARTER, 9, 1, 9, 6), "makes sure of the battery on a Plover only"),
        Related(None, "the policy asks for it"),
    ),
    "add `battery-isolated` to `first`, after `raised-and-supported`",
)
WARNING = Finding(
    "torque-unusual", Level.WARNING, Span("procedures/parts.yaml", 7, 3, 9, 12),
    "100% more than the table gives: 90 N·m",
    variants=ForVariants("a Teal", 1, 4, "Teal"),
)
ADVICE = Finding(
    "title-without-verb", Level.ADVICE, Span("procedures/cooling/a,b.yaml", 1, 8, 1, 8),
    "the title does not begin with a verb",
    "a,b", variants=ForVariants("a Teal", 4, 4, "every machine"), mend="write `Remove the fan belt`",
)
UNPROVEN = [
    Unproven("a,b", Span("procedures/cooling/a,b.yaml", 1, 1, 1, 2), "a,b", "its file cannot be read"),
    Unproven("torque", Span("procedures/parts.yaml", 4, 1, 4, 7), None, "no proof looks at it"),
    Unproven("torque", Span("procedures/parts.yaml", 8, 1, 8, 7), None, "no proof looks at it"),
    Unproven("torque", Span(STARTER, 3, 1, 3, 7), "starter", "no proof looks at it"),
    Unproven("lift", Span(STARTER, 4, 1, 4, 5), "starter", "no proof looks at it"),
]
COUNTS = {
    "procedures": 2, "machines": 3, "variants": 8, "rules": 5, "errors": 1, "warnings": 1, "advice": 1,
    "seconds": 0.25,
}
FULL = Report(EMPTY, [ERROR, WARNING, ADVICE], UNPROVEN, COUNTS)
NONE = {"procedures": 1, "variants": 1, "errors": 0, "warnings": 0, "advice": 0}
CLEAN = Report(EMPTY, [], [], COUNTS | NONE)
