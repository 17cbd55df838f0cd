"""Workshop procedures, written once and proven for every machine they cover."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .finding import Finding
    from .machines.variants import Variants
    from .manual import Manual, check, load

__version__ = "0.1.0"
__all__ = ["Finding", "Manual", "Variants", "__version__", "check", "load"]

#: Public name -> its module, imported when somebody asks for it, so that the command starts quickly.
_HOMES = {
    "Finding": "finding",
    "Manual": "manual",
    "Variants": "machines.variants",
    "check": "manual",
    "load": "manual",
}


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{home}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})
