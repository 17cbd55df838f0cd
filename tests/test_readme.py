"""README.md says what is so: its procedures are sound, its findings are printed, its commands are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from greaseproof.cli import cli
from greaseproof.manual import check
from greaseproof.report.text import findings_text
from greaseproof.starter import start

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")

#: Where a block belongs, said in its first line.
HOME = re.compile(r"# (\S+\.yaml)\n")


def blocks(kind: str) -> list[str]:
    """The fenced blocks of one kind, in order."""
    return re.findall(rf"^```{kind}\n(.*?)^```", README, re.MULTILINE | re.DOTALL)


def yaml_blocks() -> dict[str, str]:
    """File -> text, of each block of YAML: every one says in its first line where it belongs."""
    found = {}
    for text in blocks("yaml"):
        home = HOME.match(text)
        assert home is not None, text
        found[home[1]] = text
    return found


def procedures() -> dict[str, str]:
    """File -> text, of the blocks that are procedures."""
    return {file: text for file, text in yaml_blocks().items() if not file.startswith(".")}


@pytest.fixture
def started(tmp_path: Path) -> dict[str, str]:
    """File -> text, of the manual that `greaseproof start` writes, as it is seen from its folder."""
    start(tmp_path)
    paths = sorted((tmp_path / "procedures").rglob("*.yaml"))
    return {path.relative_to(tmp_path).as_posix(): path.read_text(encoding="utf-8") for path in paths}


def test_procedures_are_sound(started: dict[str, str]) -> None:
    """Its procedures, laid over a started manual, have no finding and are proven; the first has ten lines."""
    first = next(iter(procedures().values()))
    report = check(started | procedures())

    assert 10 == first.count("\n") - 1
    assert [] == report.findings
    assert set(procedures()) < set(report.manual.shop.procedure_files)


def test_findings_are_printed(started: dict[str, str]) -> None:
    """Without its line `first` the procedure has just the finding that is shown, in the same words."""
    file, text = next(iter(procedures().items()))
    without = re.sub(r"^first:.*\n", "", text, flags=re.MULTILINE)

    assert text != without
    assert blocks("text") == [findings_text(check(started | {file: without}).findings)]


def test_workflow_checks_the_manual() -> None:
    """The workflow is YAML with one job, whose last step is the check, worded for GitHub."""
    workflow = yaml.safe_load(yaml_blocks()[".github/workflows/check.yaml"])
    [job] = workflow["jobs"].values()

    assert "greaseproof check --format github" == job["steps"][-1]["run"]


def test_commands_are_there() -> None:
    """Every command that stands in a block of the shell is one, with the options that are shown."""
    shown = [
        line.split("#")[0].split()
        for block in [*blocks("sh"), *blocks("yaml")]
        for line in re.findall(r"(?:^|[/ ])greaseproof ([a-z]+.*)$", block, re.MULTILINE)
    ]

    assert len(shown) > 8
    for name, *words in shown:
        known = {option for parameter in cli.commands[name].params for option in parameter.opts}
        assert [] == [word for word in words if word.startswith("--") and word not in known]


def test_links_lead_somewhere() -> None:
    """Every link and picture within the repository is there."""
    linked = re.findall(r"\]\((?!https?:)([^)#]+)\)", README)

    assert "book/images/procedure.png" in linked
    assert [] == [path for path in linked if not (ROOT / path).is_file()]
