"""conditions.yaml and policy.yaml: states of a machine, and which steps need them."""

from __future__ import annotations

from typing import Any, Final

from ..applies import Differing, DifferingKind
from ..kinds import ListOf, Many, MapOf, OneOf, Ref, RefKind
from ..nodes import Mapping, Scalar
from ..reader import Kind
from ..records import Record, RecordKind, key
from .values import CONDITION_REFS, SENTENCE, SETTINGS, THING_REFS, WAITING, WORDS, Sourced

ANYTHING: Final = ("any",)


class Selector(Record, called="what picks out things"):
    """Picks out things by what they are. All of its keys hold."""

    kind: tuple[str, ...] = key(Many(WORDS), "Their kind: `electrical`, `fuel`, `clip`.", default=())
    role: tuple[str, ...] = key(Many(WORDS), "Their role: `earth`, `live`.", default=())
    things: tuple[Ref, ...] = key(THING_REFS, "The things themselves, by name.", default=())


class SelectorKind(RecordKind):
    """A selector, or just the names of things, or `any`. Only a meaning may name places."""

    def __init__(self, names: Kind) -> None:
        super().__init__(Selector)
        self.names = names

    def read(self, node: Any, reader: Any) -> Selector | None:

        if isinstance(node, Mapping) and set(node.items) & set(Selector.KEYS):
            selector: Selector | None = super().read(node, reader)
            return selector
        built = Selector.__new__(Selector)
        built.node, built.file = Mapping({}, node.start, node.end), reader.file
        if isinstance(node, Scalar) and node.text in ANYTHING:
            return built
        things = self.names.read(node, reader)
        if things is None:
            return None
        built.things = things
        return built

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.names.schema(definitions), super().schema(definitions)]}


SELECTOR: Final = SelectorKind(Many(RefKind("a thing")))
MEANT: Final = SelectorKind(THING_REFS)


class Meaning(Record, called="what a condition means"):
    """What a condition says about things. All of its keys hold."""

    off: Selector | None = key(MEANT, "These are off, all that are there.")
    on: Selector | None = key(MEANT, "These are on, all that are there.")
    set: dict[str, str] = key(SETTINGS, "These controls are at these settings.", default={})


MEANING_KEYS = frozenset(Meaning.KEYS)


class Condition(Sourced, called="a condition"):
    """A state of the machine that steps need, make or end."""

    says: str | None = key(
        WORDS, "The condition in words, if its own name is not enough: `the battery is isolated`."
    )
    means: Differing | None = key(
        DifferingKind(RecordKind(Meaning), own_keys=MEANING_KEYS),
        "What it means for things: then it is a fact, not a claim.",
    )
    none: str | None = key(OneOf("holds"), "`holds`: it holds where nothing that it speaks of is there.")
    opened_by: Ref | None = key(RefKind("a procedure"), "The procedure that makes it hold.")
    opened: str | None = key(SENTENCE, "The sentence that makes it hold.")
    closed: str | None = key(SENTENCE, "The sentence that ends it, where a sentence opened it.")
    ends: str = key(
        OneOf("must", "stays", "itself"),
        "Whether it must be ended before the job is over, may stay, or ends by itself.",
        default="must",
        required=True,
    )
    against: tuple[Ref, ...] = key(
        CONDITION_REFS, "Conditions that must not hold together with it.", default=()
    )
    lost_by: tuple[Ref, ...] = key(CONDITION_REFS, "Conditions that end it when they begin.", default=())
    waiting: Any = key(WAITING, "How long it takes to come about.")
    places: tuple[str, ...] = key(
        Many(WORDS), "The places for each of which it holds or does not.", default=()
    )


class StepSelector(Record, called="what picks out steps"):
    """Picks out steps by what they do, and where. All of its keys hold."""

    slacken: Selector | None = key(SELECTOR, "Steps that slacken these, or tighten them again.")
    undo: Selector | None = key(SELECTOR, "Steps that undo these, or tighten them again.")
    disconnect: Selector | None = key(SELECTOR, "Steps that disconnect these, or connect them again.")
    remove: Selector | None = key(SELECTOR, "Steps that remove these, or fit them again.")
    drain: Selector | None = key(SELECTOR, "Steps that drain these, or fill them again.")
    where: str | None = key(WORDS, "Steps that are done there: `under`.")


class PolicyRow(Record, called="a row of the policy"):
    """Which steps need which conditions, and why."""

    step: StepSelector = key(RecordKind(StepSelector), "Which steps.", required=True)
    except_: Selector | None = key(SELECTOR, "Things that the row does not concern.", name="except")
    needs: tuple[Ref, ...] = key(
        CONDITION_REFS, "The conditions that these steps need.", default=(), required=True
    )
    because: str = key(SENTENCE, "What could happen otherwise.", default="", required=True)
    source: str = key(
        WORDS, "Who says so; `common practice, no source` if nobody does.", default="", required=True
    )


CONDITIONS_FILE: Final[Kind] = MapOf(RecordKind(Condition), "conditions")
POLICY_FILE: Final[Kind] = ListOf(RecordKind(PolicyRow), "a list of rows")
