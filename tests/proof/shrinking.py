"""Makes a drawn manual smaller while whatever is wrong with it stays, so that a person can read it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from posixpath import basename
from typing import Any

import yaml
from greaseproof.reading.build import Shop, read_manual

__all__ = ["smaller"]

GROUPS = ("parts", "fixings", "connections", "controls", "fluids")


def smaller(files: dict[str, str], wrong: Callable[[Shop], bool]) -> dict[str, str]:
    """Leave out every entry without which the manual is still well-formed and `wrong`.

    A name that is used stays declared, and so does a place that is named.
    """
    manual = {path: yaml.safe_load(text) for path, text in files.items()}
    drawn = manual
    left_out = True
    while left_out:
        left_out = False
        for place in list(places(manual)):
            candidate = without(manual, place)
            if candidate == manual or not whole(candidate, drawn):
                continue
            shop, findings = read_manual(texts(candidate))
            if not findings and wrong(shop):
                manual, left_out = candidate, True
    return texts(manual)


def texts(manual: dict[str, Any]) -> dict[str, str]:
    return {path: yaml.safe_dump(value, sort_keys=False) for path, value in manual.items()}


def places(value: Any) -> Iterator[tuple[Any, ...]]:
    """The way to every entry, outer ones before those within them; of lists the last one first."""
    keys: list[Any] = list(value) if isinstance(value, dict) else []
    if isinstance(value, list):
        keys = list(reversed(range(len(value))))
    for key in keys:
        yield (key,)
        for rest in places(value[key]):
            yield (key, *rest)


def without(value: Any, place: tuple[Any, ...]) -> Any:
    """A copy without the entry there; the same if it is gone already."""
    key, *rest = place
    if isinstance(value, dict):
        if key not in value:
            return value
        inner = {key: without(value[key], tuple(rest))} if rest else {}
        return {k: inner.get(k, v) for k, v in value.items() if k != key or rest}
    if not isinstance(value, list) or key >= len(value):
        return value
    return [*value[:key], *([without(value[key], tuple(rest))] if rest else []), *value[key + 1 :]]


# ------------------------------------------------------------------------------------------------- names


def whole(manual: dict[str, Any], drawn: dict[str, Any]) -> bool:
    """Is every name and place that is still used still declared?"""
    for path, file in manual.items():
        declared, once = names(manual, path), names(drawn, path)
        for name, place in mentions(file):
            if name in once and name not in declared:
                return False
            if place in once.get(name, ()) and place not in declared[name]:
                return False
    return True


def names(manual: dict[str, Any], path: str) -> dict[str, list[str]]:
    """The names that a file may use: things, conditions, procedures; each with its places."""
    found: dict[str, list[str]] = {basename(p).removesuffix(".yaml"): [] for p in manual if "/" in p}
    files = [file for file in (manual.get("parts.yaml"), manual.get(path)) if isinstance(file, dict)]
    groups = [file.get(group, {}) for file in files for group in GROUPS]
    for entries in [manual.get("conditions.yaml", {}), *groups]:
        found |= {name: entry.get("places", []) for name, entry in entries.items()}
    return found


def mentions(value: Any) -> Iterator[tuple[str, str]]:
    """Every text in a file, alone, and with the text that stands behind it in a mapping."""
    if isinstance(value, dict):
        for key, below in value.items():
            yield str(key), below if isinstance(below, str) else ""
            yield from mentions(below)
    elif isinstance(value, list):
        for below in value:
            yield from mentions(below)
    elif isinstance(value, str):
        yield value, ""
