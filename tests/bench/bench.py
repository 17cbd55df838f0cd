"""What reading, checking and building a synthetic manual cost, in CPU seconds and against composing its YAML.

    python tests/bench/bench.py [--procedures 1000 --machines 30 --options 25] [--build]

All is measured in one run, so that a slow or busy machine slows all of it alike. CPU seconds are those of the
process, user and system, its children included. The check and the build are the commands themselves, cold. A
benchmark, not a test: whether a target is met is printed, and the exit code is 0.
"""

from __future__ import annotations

import argparse
import gc
import hashlib
import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

if __name__ == "__main__":
    sys.path[0] = str(Path(__file__).resolve().parents[1])  # in place of this folder

from bench.generate import generate
from greaseproof.manual import Manual, gather
from greaseproof.reading.build import read_manual, without_collecting

__all__ = ["main"]

#: The most that each may cost, as a multiple of composing the same texts.
TARGETS = {"reading": 1.3, "check": 6.0, "build": 20.0}

#: How often what is short is measured; the best counts.
REPEATS = 3


#: The command that is installed beside this Python.
COMMAND = str(Path(sys.executable).with_name("greaseproof"))


@dataclass(frozen=True)
class Cost:
    """One line of the table: what was measured, its CPU seconds, and whether there is a target for it."""

    name: str
    seconds: float
    indented: bool = False


def main(arguments: Sequence[str] | None = None) -> None:
    """Generate a manual, measure, and print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--procedures", type=int, default=1000)
    parser.add_argument("--machines", type=int, default=30)
    parser.add_argument("--options", type=int, default=25, help="features that every machine has either way")
    parser.add_argument(
        "--restricted", type=int, metavar="J", help="each procedure applies to J machines only"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--build", action="store_true", help="measure the build of the site, too")
    parser.add_argument("--check-only", type=Path, metavar="DIR", help=argparse.SUPPRESS)
    given = parser.parse_args(arguments)
    if given.check_only is not None:
        sys.stdout.write(json.dumps(check_in_parts(given.check_only)))
        return
    try:
        files = generate(given.procedures, given.machines, given.options, given.seed, given.restricted)
    except ValueError as error:
        parser.error(str(error))
    with tempfile.TemporaryDirectory() as folder:
        write(files, Path(folder))
        sys.stdout.write(f"corpus {fingerprint(files)}: {described(files)}\n")
        costs: list[Cost] = []
        try:
            costs += measured(files, Path(folder), build=given.build)  # a failure leaves what came before it
        except RuntimeError as error:
            sys.stdout.write(f"not all could be measured: {error}\n")
        show(costs)


def write(files: Mapping[str, str], folder: Path) -> None:
    """Write all files of a manual and its book."""
    for path, text in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")


def manual_texts(files: Mapping[str, str]) -> dict[str, str]:
    """The files of the manual, those of its book left out."""
    return {path: text for path, text in files.items() if path.startswith("procedures/")}


def fingerprint(files: Mapping[str, str]) -> str:
    """The beginning of a hash of all paths and texts of the manual: equal for equal corpora."""
    whole = hashlib.sha256()
    for path, text in sorted(manual_texts(files).items()):
        whole.update(f"{path}\0{text}\0".encode())
    return whole.hexdigest()[:16]


def described(files: Mapping[str, str]) -> str:
    """How much there is to read."""
    texts = manual_texts(files).values()
    lines = sum(text.count("\n") for text in texts)
    return f"{len(texts)} files, {lines} lines, {sum(len(text.encode()) for text in texts)} bytes of YAML"


# ------------------------------------------------------------------------------------------------- measuring


def measured(files: Mapping[str, str], folder: Path, *, build: bool) -> Iterator[Cost]:
    """Each cost in turn."""
    texts = manual_texts(files)
    yield Cost("compose", best(lambda: compose(texts)))
    yield Cost("reading", best(lambda: read_manual(texts)))
    yield from checked(folder)
    if build:
        yield from built(folder)


def best(work: Callable[[], object]) -> float:
    """CPU seconds of one piece of work, the best of several times."""
    seconds = []
    for _ in range(REPEATS):
        gc.collect()
        with without_collecting():
            began = time.process_time()
            made = work()
            seconds.append(time.process_time() - began)
            del made
    return min(seconds)


def compose(texts: Mapping[str, str]) -> list[object]:
    """The nodes that the library's own C parser and composer make of the texts."""
    return [yaml.compose(text, Loader=yaml.CSafeLoader) for text in texts.values()]


#: Settings that would make every process compile the toolkit anew, as no installation does.
UNUSUAL = ("PYTHONDONTWRITEBYTECODE",)


def run(command: Sequence[str], folder: Path, **environment: str) -> tuple[float, str]:
    """CPU seconds of a fresh process and its children, and what it printed.

    Raises: RuntimeError if it fails.
    """
    inherited = {name: value for name, value in os.environ.items() if name not in UNUSUAL}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    ended = subprocess.run(
        command, cwd=folder, env={**inherited, **environment}, capture_output=True, text=True, check=False
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if ended.returncode:
        raise RuntimeError(
            f"{' '.join(command)} ended with {ended.returncode}:\n{ended.stdout}{ended.stderr}"
        )
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, ended.stdout


def checked(folder: Path) -> Iterator[Cost]:
    """The whole cold check as a command; and its parts, as a second process sees them from within.

    The best of several: each is a process of its own, and nothing is kept from one to the next but the
    bytecode that every installation has.
    """
    run([COMMAND, "explain"], folder)  # compiles all of it once
    seconds = min(run([COMMAND, "check", "procedures"], folder)[0] for _ in range(REPEATS))
    yield Cost("check", seconds)
    _, output = run([sys.executable, str(Path(__file__).resolve()), "--check-only", "procedures"], folder)
    parts: dict[str, float] = json.loads(output)
    for name, part in parts.items():
        yield Cost(name, part, indented=True)
    yield Cost("beginning and ending", seconds - sum(parts.values()), indented=True)


def check_in_parts(folder: Path) -> dict[str, float]:
    """CPU seconds of the parts of a check, in this process.

    Raises: RuntimeError if there are findings; a corpus that is not clean measures something else.
    """
    parts: dict[str, float] = {}
    began = time.process_time()

    def part(name: str) -> None:
        nonlocal began
        now = time.process_time()
        parts[name], began = now - began, now

    with without_collecting():
        files, findings = gather(folder)
        shop, more = read_manual(files)
        part("files and reading")
        manual = Manual(shop, [*findings, *more])
        part("universe")
        for id in shop.procedures:
            manual.proof(id)
        part("proof")
        report = manual.report()
        part("rules and report")
    if report.findings:
        raise RuntimeError(f"the corpus is not clean: {report.findings[0]}")
    return parts


def built(folder: Path) -> Iterator[Cost]:
    """The cold build of the site with its proof, without diagrams; and what drawing them adds."""
    command = [COMMAND, "build"]
    plain, _ = run([*command, "--no-diagrams"], folder)
    yield Cost("build", plain)
    shutil.rmtree(folder / "book" / "_build")
    drawn, _ = run(command, folder)
    yield Cost("diagrams", drawn - plain)


# ----------------------------------------------------------------------------------------------------- table


def show(costs: Sequence[Cost]) -> None:
    """Print the table: CPU seconds, their ratio to composing, the target and whether it is met."""
    unit = costs[0].seconds
    sys.stdout.write(f"{'':30}{'CPU s':>9}{'ratio':>9}{'target':>9}\n")
    for cost in costs:
        name = f"  {cost.name}" if cost.indented else cost.name
        ratio = cost.seconds / unit
        target = None if cost.indented else TARGETS.get(cost.name)
        verdict = "" if target is None else f"{target:9.1f}  {'met' if ratio <= target else 'NOT MET'}"
        sys.stdout.write(f"{name:30}{cost.seconds:9.2f}{ratio:9.2f}{verdict}\n")


if __name__ == "__main__":
    main()
