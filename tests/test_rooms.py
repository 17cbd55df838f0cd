"""The rooms of the package: data runs one way, so a room imports only from rooms above it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

PACKAGE = Path(__file__).parents[1] / "toolkit" / "greaseproof"

#: The rooms from the top down; those in one row know nothing of each other. `__init__` is the package itself.
ROOMS: tuple[tuple[str, ...], ...] = (
    ("finding",),
    ("reading",),
    ("machines",),
    ("standards",),
    ("proof",),
    ("views",),
    ("rules",),
    ("manual",),
    ("__init__",),
    ("report", "starter", "intake"),
    ("diagrams",),
    ("site", "print", "notebook"),
    ("cli",),
    ("__main__",),
)
ROW = {room: row for row, rooms in enumerate(ROOMS) for room in rooms}

#: Standards know nothing of procedures: of what stands above them they may use only this.
STANDARDS_MAY_USE = ("finding", "reading.quantity", "reading.sizes")

#: The one room that may import a library from outside.
KEPT_IN = {
    "click": "cli",
    "docutils": "site",
    "jupyter_book": "site",
    "matplotlib": "diagrams",
    "myst_nb": "site",
    "myst_parser": "site",
    "sphinx": "site",
}

#: Libraries that are slow to import: only inside the function that draws.
LAZY = ("matplotlib",)


class Import(NamedTuple):
    line: int
    #: Dotted name in full, `greaseproof.reading.quantity`.
    target: str
    #: Whether it runs when the module is imported.
    at_once: bool


def name_of(path: Path, package: Path) -> str:
    """The dotted name of a module below the package: `reading.nodes`, `rules` for rules/__init__.py."""
    parts = path.relative_to(package).with_suffix("").parts
    return ".".join(parts[:-1] if len(parts) > 1 and parts[-1] == "__init__" else parts)


def package_of(path: Path, package: Path) -> list[str]:
    """The dotted package that a module's relative imports start from."""
    return ["greaseproof", *path.relative_to(package).parent.parts]


def modules(package: Path) -> dict[str, Path]:
    return {name_of(path, package): path for path in sorted(package.rglob("*.py"))}


def is_for_types_only(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) in ("TYPE_CHECKING", "typing.TYPE_CHECKING")


def imports(path: Path, package: Path, known: dict[str, Path]) -> Iterator[Import]:
    """Every import line of a module, inside functions and for types as well."""

    def targets(node: ast.Import | ast.ImportFrom) -> Iterator[str]:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
            return
        start = package_of(path, package)
        base = start[: len(start) - node.level + 1] if node.level else []
        source = ".".join([*base, *([node.module] if node.module else [])])
        for alias in node.names:
            inner = f"{source}.{alias.name}"
            is_module = inner.removeprefix("greaseproof.") in known
            yield inner if is_module else source

    def walk(node: ast.AST, at_once: bool) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import | ast.ImportFrom):
                yield from (Import(child.lineno, target, at_once) for target in dict.fromkeys(targets(child)))
            lazy = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            for_types = isinstance(child, ast.stmt) and is_for_types_only(child)
            yield from walk(child, at_once and not lazy and not for_types)

    yield from walk(ast.parse(path.read_text(encoding="utf-8"), str(path)), at_once=True)


def fault(module: str, wanted: Import) -> str | None:
    """What is wrong with one import line, or None."""
    room = module.partition(".")[0]
    top, _, inner = wanted.target.partition(".")
    if top != "greaseproof":
        keeper = KEPT_IN.get(top)
        if keeper is not None and room != keeper:
            return f"imports {top}, which belongs in {keeper}"
        if top in LAZY and wanted.at_once:
            return f"imports {top} before anything is drawn"
        return None
    other = inner.partition(".")[0] or "__init__"
    if other not in ROW:
        return f"imports greaseproof.{other}, which is not a room"
    if room == other:
        return None
    if ROW[other] >= ROW[room]:
        return f"imports {inner or 'greaseproof'}, which is not above it"
    if room == "standards" and inner not in STANDARDS_MAY_USE:
        return f"imports {inner}, but standards know nothing of procedures"
    return None


def faults(package: Path) -> list[str]:
    """One line for every module in no known room and for every import that breaks the order."""
    known = modules(package)
    found = []
    for module, path in known.items():
        if module.partition(".")[0] not in ROW:
            found.append(f"{module} stands in no known room")
            continue
        for wanted in imports(path, package, known):
            wrong = fault(module, wanted)
            if wrong is not None:
                found.append(f"{module}:{wanted.line} {wrong}")
    return found


def test_each_room_imports_only_from_rooms_above_it() -> None:
    """The package has modules and imports between its rooms, and none of them breaks the order."""
    known = modules(PACKAGE)
    between_rooms = [
        wanted
        for module, path in known.items()
        for wanted in imports(path, PACKAGE, known)
        if wanted.target.startswith("greaseproof.")
        and wanted.target.split(".")[1] != module.partition(".")[0]
    ]

    assert known
    assert between_rooms
    assert [] == faults(PACKAGE)


def test_an_import_that_breaks_the_order_is_found(tmp_path: Path) -> None:
    """Each way of breaking the order is told by module and line; the lawful lines beside them are not."""
    package = tmp_path / "greaseproof"
    texts = {
        "__init__.py": "from .manual import load\n",
        "attic.py": "",
        "cli.py": "import click, greaseproof\nfrom greaseproof import site\nimport greaseproof.attic\n",
        "diagrams/__init__.py": "def draw():\n    from matplotlib import figure\n",
        "diagrams/wiring.py": (
            "from typing import TYPE_CHECKING\nimport matplotlib.pyplot\n"
            "if TYPE_CHECKING:\n    from matplotlib.figure import Figure\n"
        ),
        "finding.py": "import dataclasses\nfrom . import reading\n",
        "manual.py": "from greaseproof.rules import registry\nimport sphinx.errors\n",
        "notebook.py": "def show():\n    from .site import search\n",
        "proof/walk.py": "from ..machines import variants\nfrom ..views.kit import kit\n",
        "reading/__init__.py": "from .quantity import Torque\nfrom ..finding import Span\n",
        "reading/quantity.py": "",
        "rules/__init__.py": "from greaseproof import Manual\n",
        "site/__init__.py": "from sphinx.application import Sphinx\nfrom ..cli import main\n",
        "standards/torques.py": (
            "from ..reading.quantity import Torque\nfrom ..reading import nodes\nfrom ..finding import Span\n"
        ),
    }
    for name, text in texts.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    expected = [
        "attic stands in no known room",
        "cli:3 imports greaseproof.attic, which is not a room",
        "diagrams.wiring:2 imports matplotlib before anything is drawn",
        "finding:2 imports reading, which is not above it",
        "manual:2 imports sphinx, which belongs in site",
        "notebook:2 imports site, which is not above it",
        "proof.walk:2 imports views.kit, which is not above it",
        "rules:1 imports greaseproof, which is not above it",
        "site:2 imports cli, which is not above it",
        "standards.torques:2 imports reading, but standards know nothing of procedures",
    ]

    actual = faults(package)

    assert expected == actual
