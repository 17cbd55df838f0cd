"""A name that nothing has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ..finding import Level, Span
from ..proof import Proofs
from ..reading.build import Shop, walk_steps
from ..reading.kinds import Ref
from ..reading.model import (
    Condition,
    Connection,
    Control,
    Fitted,
    Fixing,
    Fluid,
    Part,
    PolicyRow,
    Procedure,
    Selector,
    Step,
    Thing,
)
from ..reading.reader import nearest, one_of
from ..reading.records import Record
from . import Found, rule

#: What each key of a step may name.
OF_STEPS: Mapping[str, tuple[str, ...]] = {
    "slacken": ("fixing",),
    "undo": ("fixing",),
    "tighten": ("fixing",),
    "disconnect": ("connection",),
    "connect": ("connection",),
    "remove": ("part",),
    "fit": ("part",),
    "drain": ("fluid",),
    "fill": ("fluid",),
    "top_up": ("fluid",),
    "disturbs": ("part", "fixing", "connection", "fluid"),
    "mark": ("thing",),
    "record": ("thing",),
    "inspect": ("thing",),
    "measure": ("thing",),
    "clean": ("thing",),
    "renew": ("supply", "part", "fixing", "fluid"),
    "makes": ("condition",),
    "ends": ("condition",),
    "first": ("condition",),
    "call": ("procedure",),
    "go_to": ("procedure",),
    "if_not": ("procedure",),
    "close": ("condition", "procedure"),
}

#: What each key of a thing may name.
OF_THINGS: Mapping[str, tuple[str, ...]] = {
    "with_": ("thing",),
    "held_by": ("fixing",),
    "joined_by": ("connection",),
    "covers": ("thing",),
    "fixing": ("fixing",),
    "along": ("fixing",),
    "renew": ("supply", "part", "fixing"),
    "supply": ("supply",),
}

CLASSES: tuple[tuple[str, type[Thing]], ...] = (
    ("part", Part),
    ("fixing", Fixing),
    ("connection", Connection),
    ("control", Control),
    ("fluid", Fluid),
)


@rule(level=Level.ERROR, reads="manual", since="0.1")
def reference_to_nothing(proofs: Proofs) -> Iterator[Found]:
    """A name is used that nothing has, or that belongs to something of another kind.

    The step that uses it does nothing in the proof, and the reader is sent to look for what is not there. The
    same goes for a place that a thing does not have, and for a setting that a control does not have. Source:
    house rule.

    ## Bad
    ```yaml
    fixings:
      drain-plug: {thread: M12, across_flats: 19 mm, count: 1, torque: 40 N·m}
    steps:
      - undo: drian-plug                         # expect: reference-to-nothing
      - remove: drain-plug                       # expect: reference-to-nothing
      - set: {gear: first}                       # expect: reference-to-nothing
    ```
    ```text
    engine/bad.yaml:4:11: error: no fixing is called `drian-plug`
        [reference-to-nothing]
      mend: write `drain-plug`

    engine/bad.yaml:5:13: error: no part is called `drain-plug`; it is a fixing
        [reference-to-nothing]
      mend: name a part here

    engine/bad.yaml:6:10: error: no setting of `gear` is called `first`
        [reference-to-nothing]
      mend: write `neutral` or `in gear`
    ```
    ## Good
    ```yaml
    steps:
      - undo: drain-plug
      - set: {gear: in gear}
    ```
    """
    for found in strange_names(proofs):
        # Where a file could not be read in full, names may be declared in what is missing.
        unread = found.at.file in proofs.shop.broken or proofs.shop.catalogue_broken
        if not unread or (found.mend or "").startswith("write "):
            yield found


def strange_names(proofs: Proofs) -> Iterator[Found]:
    """Every name that nothing of its kind has."""
    names = Names(proofs.shop)
    for procedure in proofs.shop.procedures.values():
        yield from names.of_procedure(procedure)
    for thing in proofs.shop.things.values():
        yield from names.of_thing(thing, None)
    for condition in proofs.shop.conditions.values():
        if not condition.file.startswith("(shipped)"):
            yield from names.of_condition(condition)
    for row in proofs.shop.policy:
        if not row.file.startswith("(shipped)"):
            yield from names.of_policy(row)
    for kept in proofs.shop.kept.values():
        if kept.machine.id not in proofs.shop.machines:
            yield names.nothing(
                kept.place(kept.machine.node), kept.machine.id, ("machine",), proofs.shop.machines
            )


class Names:
    """All names of a shop, asked about references."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop

    def of_procedure(self, procedure: Procedure) -> Iterator[Found]:
        info = self.shop.info
        if info is not None and info.systems and procedure.system and procedure.system not in info.systems:
            found = self.nothing(procedure.span("system"), procedure.system, ("system",), info.systems)
            found.procedure = procedure.id
            yield found
        for found in self.refs(procedure, "first", procedure.first, ("condition",), procedure):
            found.procedure = procedure.id
            yield found
        for found in self.needs(procedure, procedure.needs, procedure):
            found.procedure = procedure.id
            yield found
        for thing in procedure.own.values():
            for found in self.of_thing(thing, procedure):
                found.procedure = procedure.id
                yield found
        for step in walk_steps(procedure):
            for found in self.of_step(step, procedure):
                found.procedure, found.step = procedure.id, step
                yield found

    def of_step(self, step: Step, procedure: Procedure) -> Iterator[Found]:
        for key, value in vars(step).items():
            wanted = OF_STEPS.get(key)
            if wanted is None:
                continue
            refs = value if isinstance(value, tuple) else (value,)
            yield from self.refs(step, key, [ref for ref in refs if isinstance(ref, Ref)], wanted, procedure)
        yield from self.needs(step, step.needs, procedure)
        yield from self.settings(step, "set", step.set, procedure)
        if step.lift is not None:
            yield from self.refs(step.lift, "load", [step.lift.load], ("part",), procedure)
        for name in step.supplies:
            if name not in self.shop.supplies:
                yield self.nothing(step.span("supplies"), name, ("supply",), self.shop.supplies)

    def needs(self, record: Record, needs: Iterable[Any], procedure: Procedure) -> Iterator[Found]:
        for need in needs:
            if isinstance(need, Fitted):
                yield from self.refs(need, "fitted", need.fitted, ("part",), procedure)
            elif isinstance(need, Ref):
                yield from self.refs(record, "needs", [need], ("condition",), procedure)

    def of_thing(self, thing: Thing, procedure: Procedure | None) -> Iterator[Found]:
        for key, wanted in OF_THINGS.items():
            value = thing.__dict__.get(key)
            if value is not None:
                yield from self.refs(
                    thing, key, value if isinstance(value, tuple) else (value,), wanted, procedure
                )
        if isinstance(thing, Connection):
            yield from self.refs(thing, "at", thing.at.values(), ("fixing",), procedure)
            for name in thing.at:
                if not isinstance(self.shop.thing(procedure, name), Part):
                    yield self.nothing(thing.span("at"), name, ("part",), self.known("part", procedure))
        if isinstance(thing, Control) and thing.normally is not None and thing.normally not in thing.settings:
            yield self.nothing(thing.span("normally"), thing.normally, ("setting",), thing.settings)

    def of_condition(self, condition: Condition) -> Iterator[Found]:
        if condition.opened_by is not None:
            yield from self.refs(condition, "opened_by", [condition.opened_by], ("procedure",), None)
        yield from self.refs(condition, "against", condition.against, ("condition",), None)
        yield from self.refs(condition, "lost_by", condition.lost_by, ("condition",), None)
        for case in condition.means.cases if condition.means else ():
            for selector in (case.value.off, case.value.on):
                yield from self.selected(selector)
            yield from self.settings(case.value, "set", case.value.set, None)

    def of_policy(self, row: PolicyRow) -> Iterator[Found]:
        yield from self.refs(row, "needs", row.needs, ("condition",), None)
        for selector in (row.except_, *(getattr(row.step, key, None) for key in type(row.step).KEYS)):
            if isinstance(selector, Selector):
                yield from self.selected(selector)

    def selected(self, selector: Selector | None) -> Iterator[Found]:
        if selector is not None:
            yield from self.refs(selector, "things", selector.things, ("thing",), None)
            for key, words in (("kind", selector.kind), ("role", selector.role)):
                known = {word for thing in self.every_thing() if (word := getattr(thing, key, None))}
                for word in words:
                    near = nearest(word, known) if word not in known else None
                    if near:  # else it is meant for things that are not there yet
                        wrong = f"no thing has the {key} `{word}`"
                        yield Found(at=selector.span(key), wrong=wrong, mend=f"write `{near}`")

    def every_thing(self) -> Iterator[Thing]:
        """Shared things, and those of procedures."""
        yield from self.shop.things.values()
        for procedure in self.shop.procedures.values():
            yield from procedure.own.values()

    def settings(
        self, record: Record, key: str, settings: Mapping[str, str], procedure: Procedure | None
    ) -> Iterator[Found]:
        """Controls with their settings."""
        for name, setting in settings.items():
            control = self.shop.thing(procedure, name)
            if not isinstance(control, Control):
                yield self.nothing(record.span(key), name, ("control",), self.known("control", procedure))
            elif setting not in control.settings:
                yield self.nothing(record.span(key), setting, (f"setting of `{name}`",), control.settings)

    def refs(
        self,
        record: Record,
        key: str,
        refs: Iterable[Ref],
        wanted: tuple[str, ...],
        procedure: Procedure | None,
    ) -> Iterator[Found]:
        """References that name nothing of the kinds wanted, or a place that it does not have."""
        for ref in refs:
            named = next(
                (what for kind in wanted if (what := self.find(kind, ref.id, procedure)) is not None), None
            )
            if named is None:
                known = [name for kind in wanted for name in self.known(kind, procedure)]
                yield self.nothing(
                    record.place(ref.node), ref.id, wanted, known, self.kind_of(ref.id, procedure)
                )
            elif ref.place is not None and ref.place not in getattr(named, "places", ()):
                yield self.nothing(
                    record.place(ref.node), ref.place, (f"place of `{ref.id}`",), getattr(named, "places", ())
                )

    def find(self, kind: str, name: str, procedure: Procedure | None) -> object | None:
        """What is called so, if it is of this kind."""
        thing = self.shop.thing(procedure, name)
        if kind == "thing":
            return thing
        for called, cls in CLASSES:
            if kind == called:
                return thing if isinstance(thing, cls) else None
        return self.catalogue(kind).get(name)

    def catalogue(self, kind: str) -> Mapping[str, object]:
        """The catalogue of things of a kind that only the shop has."""
        shop = self.shop
        catalogues: dict[str, Mapping[str, object]] = {
            "condition": shop.conditions,
            "procedure": shop.procedures,
            "tool": shop.tools,
            "supply": shop.supplies,
        }
        return catalogues[kind]

    def known(self, kind: str, procedure: Procedure | None) -> list[str]:
        """All names of a kind that can be used there."""
        things = {**self.shop.things, **(procedure.own if procedure else {})}
        if kind == "thing":
            return list(things)
        for called, cls in CLASSES:
            if kind == called:
                return [name for name, thing in things.items() if isinstance(thing, cls)]
        return list(self.catalogue(kind))

    def kind_of(self, name: str, procedure: Procedure | None) -> str | None:
        """What something of that name is, if there is any."""
        thing = self.shop.thing(procedure, name)
        for called, cls in CLASSES:
            if isinstance(thing, cls):
                return called
        return next(
            (kind for kind in ("condition", "procedure", "tool", "supply") if name in self.catalogue(kind)),
            None,
        )

    @staticmethod
    def nothing(
        at: Span, name: str, wanted: tuple[str, ...], known: Iterable[str], other: str | None = None
    ) -> Found:
        """The finding for one name."""
        what = " or ".join(wanted)
        listed = list(known)
        near = nearest(name, listed)
        if near:
            mend = f"write `{near}`"
        elif 0 < len(listed) <= 6:
            mend = f"write {one_of(listed)}"
        else:
            mend = f"name a {what} here" if other else f"declare a {what} of that name, or mend the name"
        wrong = f"no {what} is called `{name}`"
        return Found(at=at, wrong=f"{wrong}; it is a {other}" if other else wrong, mend=mend)
