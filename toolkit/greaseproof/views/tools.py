"""Which tools a procedure needs, for which machines, and which of the store will do."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from enum import StrEnum
from typing import Any, Final, NamedTuple

from ..machines.variants import Variants
from ..proof import Proofs
from ..proof.outcome import Act, Line
from ..reading.build import Shop, walk_steps
from ..reading.kinds import LOOK
from ..reading.model import Connection, Fixing, Procedure, Stages, Step, Thing, Tool
from ..reading.quantity import Kind, Pair, Quantity, Range
from ..reading.sizes import Drive, Recess
from .saying import tool_called, torque_said

__all__ = ["Joint", "ToolNeed", "Use", "fits", "fixings_of", "needs", "reaches", "unmet", "whole_needs"]

#: Tools with a square that stand between what turns and what fits; alone they turn nothing. Trade words.
BETWEEN: Final = ("extension", "universal joint", "adapter")

#: Actions that loosen, and those that tighten again. `disturbs` does both in one step.
LOOSENS: Final = frozenset({"slacken", "undo", "disconnect", "disturbs"})
TIGHTENS: Final = frozenset({"tighten", "connect", "disturbs"})


class Use(StrEnum):
    """What a tool is wanted for."""

    TURN = "turn"
    HOLD = "hold"
    TORQUE = "torque"
    ANGLE = "angle"
    NAMED = "named"


class ToolNeed(NamedTuple):
    """Something that one step asks of the tool store, on `variants`.

    `tools` are the ways of doing it with what the store has, each a set of tools that together do; none:
    nothing fits. `item` is the fixing; None for a tool that the step names itself. `size` is what is turned
    or held, the torque or the angle; None for a tool that is named.
    """

    what: str
    step: Step
    item: Thing | None
    variants: Variants
    tools: tuple[tuple[Tool, ...], ...]
    use: Use
    size: Any = None
    procedure: Procedure | None = None


class Joint(NamedTuple):
    """A fixing with the variants on which it is dealt with."""

    fixing: Fixing
    variants: Variants


def needs(manual: Proofs, procedure: Procedure) -> list[ToolNeed]:
    """What the procedure's own lines ask of the store, in the order of the work.

    One entry for each size of each fixing of a step, over all lines in which it is turned.

    What procedures that it calls or that open its conditions need is theirs: see `whole_needs`.
    Empty where the procedure could not be followed.
    """
    known: list[ToolNeed] | None = manual.views.get(("tools", procedure.id))
    if known is None:
        known = manual.views["tools", procedure.id] = worked_out(manual, procedure)
    return known


def unmet(manual: Proofs, procedure: Procedure) -> list[ToolNeed]:
    """Those of `needs` that nothing in the store meets. Quick where there are none."""
    store = store_of(manual)
    fixings = [*manual.shop.things.values(), *procedure.own.values()]
    if all(store.serves(thing, manual) for thing in fixings if isinstance(thing, Fixing)) and all(
        name in manual.shop.tools for step in walk_steps(procedure) for name in named_tools(step)
    ):
        return []
    return [need for need in needs(manual, procedure) if not need.tools]


def store_of(manual: Proofs) -> Store:
    """The manual's tool store, made once."""
    store: Store | None = manual.views.get("store")
    if store is None:
        store = manual.views["store"] = Store(manual.shop)
    return store


def named_tools(step: Step) -> list[str]:
    """The tools that a step names itself."""
    named = [ref.id for ref in step.tools]
    if step.lift is not None:
        named.extend(ref.id for ref in (step.lift.with_, step.lift.sling) if ref is not None)
    return named


def worked_out(manual: Proofs, procedure: Procedure) -> list[ToolNeed]:
    proof = manual.proof(procedure.id)
    if proof is None:
        return []
    store = store_of(manual)
    found: dict[tuple[Any, ...], ToolNeed] = {}
    for line in proof.lines:
        if line.step is None or line.kind in ("open", "close", "round"):
            continue
        for need in of_line(manual, procedure, line, store):
            key = (need.use, need.what, need.step.name, need.item, need.tools)
            known = found.get(key)
            if known is None:
                found[key] = need
            elif not need.variants <= known.variants:
                found[key] = known._replace(variants=known.variants | need.variants)
    return list(found.values())


def whole_needs(manual: Proofs, procedure: Procedure) -> list[ToolNeed]:
    """`needs` of the whole job: with what it calls and what opens its conditions, where those are done."""
    proof = manual.proof(procedure.id)
    if proof is None:
        return []
    found = [need for need in needs(manual, procedure) if need.variants]
    for callee, variants in reached(manual, procedure, proof.applies).items():
        for need in needs(manual, manual.shop.procedures[callee]):
            on = need.variants & variants
            if on:
                found.append(need._replace(variants=on))
    return found


def reached(manual: Proofs, procedure: Procedure, within: Variants) -> dict[str, Variants]:
    """The procedures that a job leads through, other than itself, with the variants on which it does."""
    known: dict[str, Variants] | None = manual.views.get(("reached", procedure.id, within))
    if known is not None:
        return known
    found: dict[str, Variants] = {}
    manual.views["reached", procedure.id, within] = found
    waiting = [(procedure.id, within)]
    while waiting:
        name, on = waiting.pop()
        proof = manual.proof(name)
        for line in proof.lines if proof is not None else ():
            if line.procedure is None or line.procedure.id == procedure.id:
                continue
            new = on & line.variants - found.get(line.procedure.id, manual.resolver.none)
            if new:
                found[line.procedure.id] = found.get(line.procedure.id, manual.resolver.none) | new
                waiting.append((line.procedure.id, new))
    return found


def of_line(manual: Proofs, procedure: Procedure, line: Line, store: Store) -> Iterator[ToolNeed]:
    """What one line of the job asks for."""
    step = line.step
    assert step is not None
    for act in line.acts:
        for joint in joints(manual, act):
            yield from of_joint(manual, procedure, line, step, act.action, joint, store)
    if line.part == "refit":
        return
    for name in named_tools(step):
        tool = manual.shop.tools.get(name)
        ways = () if tool is None else ((tool,),)
        what = name.replace("-", " ") if tool is None else tool_called(tool)
        yield ToolNeed(what, step, None, line.variants, ways, Use.NAMED, None, procedure)


def joints(manual: Proofs, act: Act) -> Iterator[Joint]:
    """The fixings that an action turns, each with its variants."""
    for fixing in fixings_of(manual.shop, act.item.thing):
        on = act.variants & manual.resolver.there(fixing)
        if on:
            yield Joint(fixing, on)


def fixings_of(shop: Shop, thing: Thing) -> list[Fixing]:
    """The thing itself, or the fixings that hold a connection."""
    if isinstance(thing, Fixing):
        return [thing]
    if not isinstance(thing, Connection):
        return []
    owner = shop.procedures.get(thing.owner)
    refs = [*([thing.fixing] if thing.fixing else []), *thing.at.values(), *thing.along]
    fixings = [shop.thing(owner, ref.id) for ref in refs]
    return list(dict.fromkeys(fixing for fixing in fixings if isinstance(fixing, Fixing)))


def of_joint(
    manual: Proofs, procedure: Procedure, line: Line, step: Step, action: str, joint: Joint, store: Store
) -> Iterator[ToolNeed]:
    """What one fixing asks for: something to turn it, something to hold it, and a torque wrench.

    What is put back was undone before, and what turns and holds it was asked for then.
    """
    part = line.part
    fixing, cases = joint.fixing, manual.resolver.cases
    turned = [*cases(fixing.across_flats), *cases(fixing.drive)]

    def need(use: Use, what: str, size: Any, on: Variants, ways: Iterable[tuple[Tool, ...]]) -> ToolNeed:
        return ToolNeed(what, step, fixing, on, tuple(ways), use, size, procedure)

    for size in turned:
        on = joint.variants & size.variants
        if not on or size.value is LOOK:
            continue
        if part != "refit" and (action in LOOSENS or action in TIGHTENS):
            what = f"{turner(size.value)} {size.value}"
            yield need(Use.TURN, what, size.value, on, store.turning(size.value))
        for held in cases(fixing.nut) if part != "refit" else ():
            both = on & held.variants
            if both and held.value is not LOOK:
                ways = store.holding(held.value, size.value)
                yield need(Use.HOLD, f"second {turner(held.value)} {held.value}", held.value, both, ways)
    if action not in TIGHTENS or step.to == "hand":
        return
    for torque in cases(fixing.torque):
        on = joint.variants & torque.variants
        if not on or torque.value is LOOK or torque.value == "hand":
            continue
        steps = torque.value.stages if isinstance(torque.value, Stages) else (torque.value,)
        wanted = [one for one in steps if one.kind is Kind.TORQUE]
        left = on
        for size in turned:
            sized = on & size.variants
            if sized and wanted and size.value is not LOOK:
                left -= sized
                what = f"torque wrench for {torque_said(torque.value, 'metric')}"
                yield need(Use.TORQUE, what, torque.value, sized, store.tightening(wanted, size.value))
        if left and wanted:
            what = f"torque wrench for {torque_said(torque.value, 'metric')}"
            yield need(Use.TORQUE, what, torque.value, left, store.tightening(wanted, None))
        for angle in steps:
            if angle.kind is Kind.ANGLE:
                yield need(Use.ANGLE, "angle gauge", angle, on, store.of_kind("angle gauge"))


def turner(size: Any) -> str:
    """What a size is turned with, in words."""
    if isinstance(size, Drive):
        return "key" if size.recess in (Recess.HEX, Recess.STAR, Recess.SQUARE) else "screwdriver"
    return "spanner"


def fits(tool: Tool, size: Any) -> bool:
    """Does this tool fit that hexagon or recess? A slot without a width takes any driver."""
    return any(same_size(one, size) for one in tool.fits)


def same_size(one: Any, other: Any) -> bool:
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return one.si == other.si
    if isinstance(one, Drive) and isinstance(other, Drive) and one.recess is other.recess:
        if isinstance(one.size, Quantity) and isinstance(other.size, Quantity):
            return one.size.si == other.size.si
        return one.size == other.size or (one.recess is Recess.SLOT and None in (one.size, other.size))
    return bool(one == other)


class Store:
    """The tool store of a shop, asked for the ways of doing something."""

    def __init__(self, shop: Shop) -> None:
        self.tools = list(shop.tools.values())
        #: Answers that were given before: (question, what was asked) -> ways.
        self._known: dict[Hashable, list[tuple[Tool, ...]]] = {}
        self._served: dict[str, bool] = {}
        self.wrenches = [tool for tool in self.tools if tool.range is not None]
        self.handles = [
            tool
            for tool in self.tools
            if tool.square and not tool.fits and tool.range is None and tool.kind not in BETWEEN
        ]

    def once(self, asked: Hashable, answer: Callable[[], list[tuple[Tool, ...]]]) -> list[tuple[Tool, ...]]:
        """An answer, worked out when it is first asked for."""
        known = self._known.get(asked)
        if known is None:
            known = self._known[asked] = answer()
        return known

    def serves(self, fixing: Fixing, manual: Proofs) -> bool:
        """Is there a way of everything that a fixing may ask for, whatever goes with whatever?

        No means no more than perhaps not: sizes that never meet on one machine are taken together here.
        """
        known = self._served.get(fixing.subject)
        if known is None:
            known = self._served[fixing.subject] = all(self._all_ways(fixing, manual))
        return known

    def _all_ways(self, fixing: Fixing, manual: Proofs) -> Iterator[list[tuple[Tool, ...]]]:
        cases = manual.resolver.cases
        sizes = [
            case.value
            for case in (*cases(fixing.across_flats), *cases(fixing.drive))
            if case.value is not LOOK
        ]
        for size in sizes:
            yield self.turning(size)
            for held in cases(fixing.nut):
                if held.value is not LOOK:
                    yield self.holding(held.value, size)
        for torque in cases(fixing.torque):
            if torque.value is LOOK or torque.value == "hand":
                continue
            steps = torque.value.stages if isinstance(torque.value, Stages) else (torque.value,)
            wanted = [one for one in steps if one.kind is Kind.TORQUE]
            for size in (*sizes, None) if wanted else ():
                yield self.tightening(wanted, size)
            if any(one.kind is Kind.ANGLE for one in steps):
                yield self.of_kind("angle gauge")

    def turning(self, size: Any) -> list[tuple[Tool, ...]]:
        """The ways of turning it: a tool that fits alone, or with something that turns its square."""
        return self.once(("turning", size), lambda: self._turning(size))

    def _turning(self, size: Any) -> list[tuple[Tool, ...]]:
        ways: list[tuple[Tool, ...]] = []
        for tool in self.tools:
            if fits(tool, size):
                if tool.square:
                    ways.extend((tool, handle) for handle in self.handles if share_square(tool, handle))
                else:
                    ways.append((tool,))
        return ways

    def holding(self, held: Any, turned: Any) -> list[tuple[Tool, ...]]:
        """The ways of holding one size still while the other is turned: no tool can do both at once."""
        return self.once(("holding", held, turned), lambda: self._holding(held, turned))

    def _holding(self, held: Any, turned: Any) -> list[tuple[Tool, ...]]:
        turning = self.turning(turned)
        if not turning:
            return self.turning(held)
        return [way for way in self.turning(held) if any(enough([*way, *other]) for other in turning)]

    def tightening(self, torques: list[Any], size: Any) -> list[tuple[Tool, ...]]:
        """The ways of tightening it to all of these torques: a wrench that reaches each, and what fits.

        `size` None: nobody knows what it takes, so only the wrench counts. Two wrenches may share the stages.
        """
        return self.once(("tightening", tuple(torques), size), lambda: self._tightening(torques, size))

    def _tightening(self, torques: list[Any], size: Any) -> list[tuple[Tool, ...]]:
        chosen: list[tuple[Tool, ...]] = []
        for wrench in self.wrenches:
            if all(reaches(wrench, torque) for torque in torques):
                chosen.extend(self.with_socket((wrench,), size))
        if not chosen and len(torques) > 1:
            each = [next((w for w in self.wrenches if reaches(w, torque)), None) for torque in torques]
            if None not in each:
                chosen.extend(self.with_socket(tuple(dict.fromkeys(w for w in each if w is not None)), size))
        return chosen

    def with_socket(self, wrenches: tuple[Tool, ...], size: Any) -> Iterator[tuple[Tool, ...]]:
        """These wrenches, each with a tool that fits the size and shares its square."""
        if size is None or any(wrench.fits and fits(wrench, size) for wrench in wrenches):
            yield wrenches
            return
        way = list(wrenches)
        for wrench in wrenches:
            fitting = (tool for tool in self.tools if tool.square and fits(tool, size))
            socket = next((tool for tool in fitting if share_square(tool, wrench)), None)
            if socket is None:
                return
            if socket not in way:
                way.append(socket)
        yield tuple(way)

    def of_kind(self, kind: str) -> list[tuple[Tool, ...]]:
        return [(tool,) for tool in self.tools if tool.kind == kind]


def share_square(one: Tool, other: Tool) -> bool:
    """Do the two go together?"""
    return any(a.si == b.si for a in one.square for b in other.square)


def reaches(wrench: Tool, torque: Quantity | Range | Pair) -> bool:
    """Can the wrench be set to this torque, or somewhere within it if it is a range?"""
    return wrench.range is not None and (
        wrench.range.low.si <= torque.high.si and torque.low.si <= wrench.range.high.si
    )


def enough(tools: list[Tool]) -> bool:
    """Are there as many of each as are used at once?"""
    return all(tools.count(tool) <= tool.count for tool in tools)
