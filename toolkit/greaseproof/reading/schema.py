"""JSON Schema of a manual's files, for editors: draft-07, which the usual YAML language servers read.

Made from the declarations that the reader reads by, so the two agree on keys, on what must be there, and on
text, lists and mappings. Only the reader knows what has a grammar of its own (a quantity, a thread, a range
that runs backwards) and what depends on other files (the names of features, things and conditions).
"""

from __future__ import annotations

from typing import Any, Final

from .build import FILES
from .model import Procedure
from .reader import Kind
from .records import RecordKind

__all__ = ["KINDS", "SAYS", "schema"]

DRAFT: Final = "http://json-schema.org/draft-07/schema#"

#: Kind of file -> what is in it.
KINDS: Final[dict[str, Kind]] = {
    "procedure": RecordKind(Procedure),
    **{name.removesuffix(".yaml"): kind for name, kind in FILES.items()},
}

#: Kind of file -> what an author is told about the file.
SAYS: Final = {
    "procedure": "One job, from the first tool laid out to the last test, in a file of its own.",
    "manual": "What the manual is called and who answers for it.",
    "machines": "In what the machines differ, the machines, and the workshop's own among them.",
    "conditions": "States of a machine that steps need, make or end, and what they mean.",
    "policy": "Which steps need which conditions, and why.",
    "tools": "The tool store: what each tool fits, its range, its rating.",
    "supplies": "Consumables, spares and fluids: unit, pack, hazard, waste.",
    "parts": "Parts, fixings, connections, controls and fluids that several procedures share.",
}


def schema(kind: str) -> dict[str, Any]:
    """The schema of one kind of file, a key of `KINDS`.

    Raises: KeyError, if there is no such kind.
    """
    definitions: dict[str, Any] = {}
    whole = KINDS[kind].schema(definitions)
    if "$ref" in whole:
        name = whole["$ref"].rpartition("/")[2]
        definitions[name]["properties"]["$schema"] = {
            "type": "string",
            "title": "schema",
            "description": "Where an editor finds this schema.",
        }
        whole = {"allOf": [whole]}  # draft-07 passes over whatever stands beside a `$ref`
    return {
        "$schema": DRAFT,
        "title": kind,
        "description": SAYS[kind],
        **whole,
        "definitions": dict(sorted(definitions.items())),
    }
