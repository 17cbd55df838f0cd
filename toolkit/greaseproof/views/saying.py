"""How things, tools and quantities are called on paper."""

from __future__ import annotations

from typing import Any

from ..proof.items import Item
from ..reading.kinds import LOOK
from ..reading.model import Stages, Supply, Thing, Tool
from ..reading.quantity import Kind, Pair, Quantity, Range

__all__ = ["called", "item_called", "measured", "sentence", "supply_called", "tool_called", "torque_said"]

#: For each kind, its unit in a metric and in an imperial manual. Sizes of things are names, never converted.
UNITS = {
    Kind.TORQUE: ("N·m", "lbf·ft"),
    Kind.MASS: ("kg", "lb"),
    Kind.VOLUME: ("L", "UK pt"),
}


def called(thing: Thing | Supply) -> str:
    """A thing's own words, else its id read as words: `mounting bolts`."""
    return thing.name or thing.id.replace("-", " ")


def item_called(item: Item) -> str:
    """A thing, and where it is if there are several places."""
    return called(item.thing) if item.place is None else f"{called(item.thing)}, {item.place}"


def supply_called(supply: Supply) -> str:
    """A supply in words."""
    return called(supply)


def tool_called(tool: Tool) -> str:
    """A tool by its name, else by its kind and what it fits, else by its id: `spanner 17 mm`."""
    if tool.name:
        return tool.name
    if tool.fits:
        return f"{tool.kind} {', '.join(map(str, tool.fits))}"
    if tool.range is not None:
        return f"{tool.kind} {tool.range}"
    if tool.square:
        return f"{tool.kind} {', '.join(map(str, tool.square))}"
    return tool.id.replace("-", " ")


def measured(value: Any, order: str) -> str:
    """A quantity in the order of the manual's units, the other one in brackets; other values as they read.

    `order`: `metric first`, `imperial first`, `metric` or `imperial`.
    """
    if value is LOOK:
        return "look"
    if not isinstance(value, (Quantity, Range, Pair)) or value.kind not in UNITS:
        return str(value)
    metric, imperial = UNITS[value.kind]
    units = (imperial, metric) if order.startswith("imperial") else (metric, imperial)
    return value.show(*(units if order.endswith("first") else units[:1]))


def torque_said(torque: Any, order: str) -> str:
    """A tightness as it stands at the end of a line: `45 N·m (33 lbf·ft)`, `by hand`, or its stages."""
    if torque == "hand":
        return "by hand"
    if torque is LOOK:
        return "torque not known: look"
    if isinstance(torque, Stages):
        return ", then ".join(measured(stage, order) for stage in torque.stages)
    return measured(torque, order)


def sentence(text: str) -> str:
    """A text as a sentence: a capital in front, a full stop behind."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
