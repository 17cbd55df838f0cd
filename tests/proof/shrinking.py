"""Makes a drawn manual smaller while whatever is wrong with it stays, so that a person can read it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import yaml
from greaseproof.reading.build import Shop, read_manual

__all__ = ["smaller"]


def smaller(files: dict[str, str], wrong: Callable[[Shop], bool]) -> dict[str, str]:
    """Leave out every entry without which the manual is still well-formed and `wrong`."""
    manual = {path: yaml.safe_load(text) for path, text in files.items()}
    left_out = True
    while left_out:
        left_out = False
        for place in list(places(manual)):
            candidate = without(manual, place)
            if candidate != manual and stays(candidate, wrong):
                manual, left_out = candidate, True
    return texts(manual)


def texts(manual: dict[str, Any]) -> dict[str, str]:
    return {path: yaml.safe_dump(value, sort_keys=False) for path, value in manual.items()}


def stays(manual: dict[str, Any], wrong: Callable[[Shop], bool]) -> bool:
    """Is the manual well-formed, and still wrong?"""
    shop, findings = read_manual(texts(manual))
    if findings:
        return False
    try:
        return wrong(shop)
    except LookupError:  # a name is used that was left out
        return False


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
