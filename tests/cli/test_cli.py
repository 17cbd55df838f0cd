"""The command: what it prints, what it ends with, and that no nonsense brings a traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from greaseproof.cli import cli
from greaseproof.finding import Level
from greaseproof.reading.findings import PAGES
from greaseproof.reading.schema import KINDS, schema
from greaseproof.rules import all_rules
from greaseproof.starter import start

FAULTY = """\
title: Undo the plug
system: drive
fixings:
  plug: {when: {cranking: starter-motor}, thread: look, across_flats: 10 mm, torque: hand}
steps:
  - do: Undo the plug with the wrong key.
    undo: plug
  - do: Undo another one.
    undoo: plug
"""


@pytest.fixture
def manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A started manual, which is also the working directory."""
    start(tmp_path / "shed")
    monkeypatch.chdir(tmp_path / "shed")
    return tmp_path / "shed"


def run(*words: str) -> tuple[int, str]:
    """Exit code and everything printed."""
    result = CliRunner().invoke(cli, words)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, result.output


def in_process(*words: str, cwd: Path, env: dict[str, str] | None = None) -> tuple[int, str, str]:
    """Exit code, output and errors of the installed command."""
    code = "from greaseproof.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, *words], cwd=cwd, env=os.environ | (env or {}), capture_output=True,
        encoding="utf-8", check=False,
    )
    return done.returncode, done.stdout, done.stderr


def timeless(text: str) -> str:
    """The text with every time in seconds made the same."""
    return re.sub(r"\d+\.\d\d s\b", "0.00 s", text)


# --------------------------------------------------------------------------------------------------- check


def test_check_of_a_sound_manual(manual: Path) -> None:
    """No finding: what is not yet proven, the counts, exit code 0; from a folder within as well."""
    code, output = run("check")
    os.chdir("procedures/drive")
    inner = run("check")

    assert (0, "nothing found; 3 procedures, 5 variants; 0.00 s") == (code, timeless(output).splitlines()[-1])
    assert (0, timeless(output)) == (inner[0], timeless(inner[1]))


def test_check_of_a_faulty_manual(manual: Path) -> None:
    """The findings come first, exit code 1; paths are as seen from the working directory."""
    (manual / "procedures/drive/plug.yaml").write_text(FAULTY, encoding="utf-8")
    code, output = run("check", "plug")
    expected = """\
procedures/drive/plug.yaml:9:5: error: `undoo` is not a key of a step
    [key-unknown]
  mend: write `undo`
"""

    assert 1 == code
    assert output.startswith(expected)
    assert run("check", "drive-belt")[0] == run("check", "procedures/electrical")[0] == 0
    assert run("check", "procedures/drive")[0] == run("check", "procedures/drive/plug.yaml")[0] == 1


def test_check_as_json(manual: Path) -> None:
    """One JSON object on standard output, also where there are errors; `--output` writes it to a file."""
    (manual / "procedures/drive/plug.yaml").write_text(FAULTY, encoding="utf-8")
    code, output = run("check", "--format", "json")
    again = run("check", "--format", "json", "--output", "report.json")
    written = json.loads((manual / "report.json").read_text(encoding="utf-8"))
    data = json.loads(output)

    assert (1, 1) == (code, again[0])
    assert data | {"summary": 0} == written | {"summary": 0}
    assert data["summary"]["errors"] == sum(each["level"] == Level.ERROR for each in data["findings"]) > 0
    assert ["5 variants"] == re.findall(r"5 variants", again[1])
    assert 1 == again[1].count("\n")


def test_check_for_github(manual: Path) -> None:
    """Commands with paths from the working directory, and the counts last."""
    (manual / "procedures/drive/plug.yaml").write_text(FAULTY, encoding="utf-8")
    lines = run("check", "--format", "github")[1].splitlines()

    assert (
        "::error file=procedures/drive/plug.yaml,line=9,endLine=9,col=5,endColumn=9,title=key-unknown::"
        "`undoo` is not a key of a step%0Amend: write `undo`"
    ) in lines
    assert all(line.startswith(("::error ", "::warning ")) for line in lines[:-1])


def test_a_rule_that_fails_is_told(manual: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A rule that raises: the others still speak, exit code 2."""
    rule = all_rules()["reference-to-nothing"]

    def fails(*_: object) -> None:
        raise ZeroDivisionError("no tooth")

    broken = replace(rule, check=fails)
    monkeypatch.setattr("greaseproof.manual.all_rules", lambda: {rule.slug: broken})
    code, output = run("check")

    assert 2 == code
    assert "the rule reference-to-nothing failed:\n    ZeroDivisionError: no tooth [rule-crashed]" in output


# -------------------------------------------------------------------------------------- start, new, schema


def test_start_never_overwrites(tmp_path: Path) -> None:
    """A folder with anything in it, and a file, are refused and left as they are."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full/notes.txt").write_text("mine")
    (tmp_path / "file").write_text("mine")
    full, file = str(tmp_path / "full"), str(tmp_path / "file")
    expected = [
        (2, f"greaseproof: {full} is not empty; name an empty folder, or one that is not there yet\n"),
        (2, f"greaseproof: {file} is a file, or lies in one; name a folder that is not there yet\n"),
    ]

    assert expected == [run("start", full), run("start", file)]
    assert ["file", "full", "notes.txt"] == sorted(path.name for path in tmp_path.rglob("*"))


def test_new_makes_a_procedure_that_checks(manual: Path) -> None:
    """The pattern is sound as it stands, and a second one of that name is refused."""
    title = 'Renew the wheel: "left" # 2'
    made = run("new", "wheel", "--system", "drive", "--title", title)
    checked = run("check", "wheel")
    again = run("new", "wheel", "--system", "electrical")

    path = "procedures/drive/wheel.yaml"

    assert (0, (
        f"{path} is a pattern: write over each sentence that begins with `…`.\n"
        "Next: `greaseproof check wheel`.\n"
    )) == made
    assert 0 == checked[0]
    assert "nothing found; 1 procedure, 5 variants; 0.00 s" == timeless(checked[1]).splitlines()[-1]
    assert (2, f"greaseproof: there is a procedure `wheel` already: {path}\n") == again
    assert f"title: {json.dumps(title)}\n" in (manual / path).read_text(encoding="utf-8")


def test_new_refuses_names_that_are_taken_or_badly_formed(manual: Path) -> None:
    """A file of the manual, a page of the site, capitals and spaces: why not, and what to write instead."""
    about = "say what is done, or to what part"
    expected = [
        "`Brake Shoe` cannot be the name of a procedure: write `brake-shoe`",
        "`…` cannot be the name of a procedure: use small letters, digits and single hyphens",
        "`Drive` cannot be the name of a system: write `drive`",
        f"`tools` cannot be the name of a procedure: tools.yaml is one of the manual's own files; {about}",
        f"`search` cannot be the name of a procedure: a page of the site is called that; {about}",
    ]
    asked = {"Brake Shoe": "drive", "…": "drive", "shoe": "Drive", "tools": "drive", "search": "drive"}

    assert [(2, f"greaseproof: {says}\n") for says in expected] == [
        run("new", id, "--system", system) for id, system in asked.items()
    ]


def test_check_of_a_system(manual: Path) -> None:
    """The name of a system stands for its folder; a name that is nearly one is put right."""
    (manual / "procedures/drive/plug.yaml").write_text(FAULTY, encoding="utf-8")
    mend = "the nearest is `electrical`"

    assert run("check", "procedures/drive")[0] == run("check", "drive")[0] == 1
    assert "nothing found; 2 procedures" in run("check", "electrical")[1]
    assert (2, f"greaseproof: there is no file, folder, system or procedure electric; {mend}\n") == run(
        "check", "electric"
    )


def test_schema_is_printed_and_written(manual: Path) -> None:
    """One kind to standard output; all kinds into a folder; without either the list of kinds."""
    assert schema("tools") == json.loads(run("schema", "tools")[1])
    assert 0 == run("schema", "--write", "schemas")[0]
    assert {f"{kind}.json": schema(kind) for kind in KINDS} == {
        path.name: json.loads(path.read_text(encoding="utf-8")) for path in (manual / "schemas").iterdir()
    }
    assert list(KINDS) == re.findall(r"^(\w+) ", run("schema")[1], re.MULTILINE)


# -------------------------------------------------------------------------------------------------- explain


def test_explain_lists_every_rule() -> None:
    """Each rule stands in the list once, in at most 80 columns."""
    code, output = run("explain")

    assert 0 == code
    assert sorted(all_rules()) == sorted(re.findall(r"^  ([a-z-]+)$", output, re.MULTILINE))
    assert max(map(len, output.splitlines())) <= 80


def test_explain_finds_rules_by_a_word() -> None:
    """A word that is no rule lists those that have it in name or headline, whatever its capitals."""
    expected = """\
no rule is called `Calls-Itself`, but these have it in their name or headline

error:
  call-goes-round
    A procedure calls itself, or is called by one that it calls.

`greaseproof explain RULE` shows the page of a rule, or of any other finding.
"""

    assert (0, expected) == run("explain", "Calls-Itself")
    assert re.findall(r"^(?:[a-z ]+:|  [a-z-]+)$", run("explain", "given twice")[1], re.MULTILINE) == [
        "found before any rule looks:", "  duplicate-key",
    ]
    assert (2, "greaseproof: there is no rule `cal-goes-round`; the nearest is `call-goes-round`\n") == run(
        "explain", "cal-goes-round"
    )


@pytest.mark.parametrize("slug", all_rules())
def test_explain_shows_the_page(slug: str) -> None:
    """The whole page, below the rule's name and level; a finding's brackets may be pasted with it."""
    rule = all_rules()[slug]
    code, output = run("explain", f"[{slug}]")

    assert 0 == code
    assert output.startswith(f"{slug}: {rule.level}, ")
    assert output.endswith(rule.page.strip() + "\n")


@pytest.mark.parametrize("name", PAGES)
def test_explain_shows_what_no_rule_finds(name: str) -> None:
    code, output = run("explain", name)

    assert 0 == code
    assert f"{name}: found before any rule looks\n\n{PAGES[name]}" == output


# ---------------------------------------------------------------------------------------------------- build


def test_build_of_a_started_manual(manual: Path) -> None:
    """Not one warning; the site is where the last line says, with a page for each procedure, and drawings."""
    code, output = run("build", "--strict")
    site = manual / "book/_build/html"
    drawn = list(site.rglob("*.svg"))
    undrawn = run("build", "--strict", "--no-diagrams")

    assert (0, 0) == (code, undrawn[0])
    assert re.fullmatch(
        r"nothing found; 3 procedures, 5 variants; 0.00 s\nbuilding the site ...\n"
        r"\d+ pages in \d+\.\d s. Open book/_build/html/index.html\n", timeless(output),
    )
    assert {"drive-belt", "isolate-battery", "starter-motor"} <= {page.stem for page in site.rglob("*.html")}
    assert drawn


def test_build_stops_on_errors_unless_it_is_a_draft(manual: Path) -> None:
    """An error of what is issued: nothing is built, exit code 1. As a draft it is built in spite of that."""
    (manual / "procedures/drive/plug.yaml").write_text(f"status: issued\n{FAULTY}", encoding="utf-8")
    code, output = run("build", "--no-diagrams")
    stopped = (manual / "book/_build").exists()
    draft = run("build", "--draft", "--no-diagrams")

    assert (1, "not built: mend what stands above first") == (code, output.splitlines()[-1])
    assert not stopped
    assert 0 == draft[0]
    assert (manual / "book/_build/html/index.html").is_file()


def test_a_broken_draft_stops_only_a_strict_build(manual: Path) -> None:
    """What is wrong with a procedure that is not issued is told; its page is a notice."""
    (manual / "procedures/drive/plug.yaml").write_text(FAULTY, encoding="utf-8")
    strict = run("build", "--no-diagrams", "--strict")
    stopped = (manual / "book/_build").exists()
    code, output = run("build", "--no-diagrams")
    page = (manual / "book/_build/html/procedures/drive/plug.html").read_text(encoding="utf-8")

    assert (1, "not built: mend what stands above first") == (strict[0], strict[1].splitlines()[-1])
    assert not stopped
    assert 0 == code
    assert "procedures/drive/plug.yaml:9:5: error: `undoo` is not a key of a step" in output
    assert "so it is left out. Nobody may work from it." in page


def test_a_broken_callee_stops_what_is_issued(manual: Path) -> None:
    """A draft that cannot be read makes the issued procedure that calls it unproven: that is told."""
    torn = "title: Torn\nstatus: draft\nsteps: ["
    (manual / "procedures/drive/plug.yaml").write_text(torn, encoding="utf-8")
    (manual / "procedures/drive/caller.yaml").write_text(
        "title: Undo it all\nsystem: drive\nstatus: issued\nsteps:\n  - call: plug\n", encoding="utf-8"
    )
    code, output = run("build", "--no-diagrams")

    assert 1 == code
    assert (
        "procedures/drive/caller.yaml:1:8: caller is issued, but uses a procedure that cannot be proven"
        in output.splitlines()
    )


@pytest.mark.parametrize("name", ["_config.yml", "_toc.yml"])
def test_a_broken_file_of_the_book_is_told_in_plain_words(manual: Path, name: str) -> None:
    """The book's own files are no part of the manual, and yet a fault in them has its place and its mend."""
    with (manual / "book" / name).open("a", encoding="utf-8") as file:
        file.write("more: [one, two\n")

    code, output = run("build", "--no-diagrams")

    assert (1, "not built: mend what stands above first") == (code, output.splitlines()[-1])
    assert f"book/{name}:" in output
    assert "error: " in output
    assert "mend: " in output
    assert "Traceback" not in output
    assert not (manual / "book/_build").exists()


def test_a_warning_of_the_book_is_told(manual: Path) -> None:
    """What Sphinx says against a page is printed; with `--strict` it is an error."""
    with (manual / "book/index.md").open("a", encoding="utf-8") as page:
        page.write("\nSee [the other page](nowhere.md).\n")
    lenient = run("build", "--no-diagrams")
    strict = run("build", "--no-diagrams", "--strict")

    assert (0, 1) == (lenient[0], strict[0])
    assert "index.md" in lenient[1]
    assert "nowhere.md" in lenient[1]


# ------------------------------------------------------------------------------------------------- nonsense

BINARY = bytes(range(256)) * 40


@pytest.fixture
def nonsense(manual: Path) -> Path:
    """A manual with binary files, folders called like files, links to nothing, and deep nesting."""
    home = manual / "procedures"
    (home / "drive/binary.yaml").write_bytes(BINARY)
    (home / "drive/folder.yaml").mkdir()
    (home / "drive/link.yaml").symlink_to("nowhere")
    (home / "drive/deep.yaml").write_text("[" * 5000, encoding="utf-8")
    (home / "drive/null.yaml").write_bytes(b"\0")
    (home / "drive/empty.yaml").write_bytes(b"")
    (home / "drive/strange\udcff.yaml").write_text(FAULTY, encoding="utf-8")
    (manual / "file").write_bytes(BINARY)
    (manual / "empty").mkdir()
    return manual


@pytest.mark.parametrize("words", [
    ["start"], ["start", "file"], ["start", "file/below"], ["start", "procedures"], ["start", ""],
    ["new"], ["new", "Plug!", "--system", "drive"], ["new", "plug"], ["new", "plug", "--system", "engine"],
    ["new", "plug", "--system", "../drive"], ["new", "plug", "--system", "drive", "--title", " "],
    ["new", "binary", "--system", "drive"], ["new", "plug", "--system", "drive", "--manual", "file"],
    ["check", "--manual", "file"], ["check", "--manual", "nowhere"], ["check", "--manual", "empty"],
    ["check", "nowhere"], ["check", "file"], ["check", ".."], ["check", "/"],
    ["check", "--format", "xml"], ["check", "--output", "procedures"], ["check", "--output", "file/below"],
    ["explain", "nonsense"], ["explain", ""], ["explain", "removed-whil-held"],
    ["build", "--manual", "file"], ["build", "--manual", "empty"],
    ["schema", "recipes"], ["schema", "tool"], ["schema", "--write", "file"],
    ["schema", "--write", "file/below"],
    ["frobnicate"], ["check", "--frobnicate"], ["help", "frobnicate"],
])
def test_nonsense_is_refused_in_words(nonsense: Path, words: list[str]) -> None:
    """Exit code 2, something said, and no traceback."""
    before = sorted(nonsense.rglob("*"))
    code, output = run(*words)

    assert 2 == code
    assert output.strip()
    assert "Traceback" not in output
    assert before == sorted(nonsense.rglob("*"))


@pytest.mark.parametrize("words", [
    ["check"], ["check", "procedures/drive/binary.yaml"], ["check", "procedures/drive/folder.yaml"],
    ["check", "--format", "json"], ["check", "--format", "github"], ["build"],
])
def test_files_that_cannot_be_read_are_findings(nonsense: Path, words: list[str]) -> None:
    """Binary files, folders called like files and links to nothing are told as errors, exit code 1."""
    code, output = run(*words)

    assert 1 == code
    assert "error" in output
    assert "Traceback" not in output


def test_what_is_said_is_utf_8_whatever_the_locale(nonsense: Path) -> None:
    """With streams of ASCII, and a name that is not UTF-8, every word of the report is still printed."""
    ascii_only = {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    code, output, errors = in_process("check", cwd=nonsense, env=ascii_only)

    assert (1, "") == (code, errors)
    assert "procedures/drive/binary.yaml" in output


def test_a_fault_of_ours_is_told_in_words(manual: Path) -> None:
    """An exception that nobody foresaw gives two sentences and exit code 2."""
    (manual / "sitecustomize.py").write_text("import greaseproof.manual\ngreaseproof.manual.load = None\n")
    code, output, errors = in_process("check", cwd=manual, env={"PYTHONPATH": str(manual)})

    assert (2, "") == (code, output)
    assert errors.startswith("greaseproof: the toolkit failed: TypeError: ")
    assert "Traceback" not in errors


# ------------------------------------------------------------------------------------------------ start-up


def test_help_is_also_a_command() -> None:
    """`help` prints what `--help` does, of the whole or of one command."""
    assert (0, run("--help")[1]) == run("help")
    assert (0, run("schema", "--help")[1]) == run("help", "schema")


def test_help_imports_nothing_slow(tmp_path: Path) -> None:
    """`--help` loads neither the reader nor Sphinx nor Matplotlib."""
    code = (
        "import sys, greaseproof\nfrom greaseproof.cli import cli\n"
        "cli.main(['--help'], standalone_mode=False)\n"
        "slow = ('greaseproof', 'sphinx', 'matplotlib', 'yaml')\n"
        "print(sorted(name for name in sys.modules if name.startswith(slow)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True)

    assert "['greaseproof', 'greaseproof.cli']" == done.stdout.splitlines()[-1]


def test_the_package_has_its_public_names() -> None:
    """`load`, `check`, `Manual`, `Variants` and `Finding` come from the package itself; others do not."""
    import greaseproof
    from greaseproof.finding import Finding
    from greaseproof.machines.variants import Variants
    from greaseproof.manual import Manual, check, load

    assert (Finding, Manual, Variants) == (greaseproof.Finding, greaseproof.Manual, greaseproof.Variants)
    assert (check, load) == (greaseproof.check, greaseproof.load)
    assert set(greaseproof.__all__) <= set(dir(greaseproof))
    with pytest.raises(AttributeError, match="no attribute 'lode'"):
        greaseproof.lode  # noqa: B018
