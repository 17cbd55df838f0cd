"""What an author begins with is sound, and agrees with the schema."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from greaseproof.manual import load
from greaseproof.reading.build import FILES
from greaseproof.reading.kinds import made_well_formed
from greaseproof.reading.schema import schema
from greaseproof.rules.sentence_unfinished import UNFINISHED
from greaseproof.site.lists import LISTS
from greaseproof.starter import new_procedure, start, taken, write_new
from jsonschema import Draft7Validator


def test_started_manual_is_sound(tmp_path: Path) -> None:
    """Nothing is found in it, not even advice, and each of its procedures is proven."""
    start(tmp_path / "shed")
    manual = load(tmp_path / "shed/procedures")
    report = manual.report()

    assert [] == report.findings
    assert list(manual.shop.procedures) == [proof.procedure.id for proof in manual.proofs()]
    assert 2 == len(manual.shop.machines)


def test_every_file_of_a_manual_is_shown(tmp_path: Path) -> None:
    """A beginner sees one of each file, and each of them says what it is for."""
    start(tmp_path / "shed")
    home = tmp_path / "shed/procedures"

    assert set(FILES) == {path.name for path in home.glob("*.yaml")}
    assert [] == [path.name for path in home.glob("*.yaml") if not path.read_text("utf-8").startswith("# ")]


@pytest.mark.parametrize(
    "title", ["Renew the belt", "yes", "1954", 'A: "b" # c \\ d', "- x", "·", "a\tb", "{x}"]
)
def test_a_title_comes_back_as_given(title: str) -> None:
    """Whatever the title, the pattern is read with it, holds against the schema, and keeps its comments."""
    text = new_procedure("belt", title, "drive")
    data = yaml.load(text, yaml.BaseLoader)

    assert title == data["title"]
    assert "drive" == data["system"]
    assert Draft7Validator(schema("procedure")).is_valid(data)
    assert "TITLE" not in text
    assert "PART" not in text


def test_a_pattern_says_what_is_to_be_written(tmp_path: Path) -> None:
    """As a draft the pattern has no finding; once it is issued, every one of its sentences has one."""
    start(tmp_path / "shed")
    home = tmp_path / "shed/procedures"
    text = new_procedure("horn", None, "electrical")
    written = [line.split(":")[0].strip(" -") for line in text.splitlines() if f": {UNFINISHED} " in line]
    (home / "electrical/horn.yaml").write_text(text, encoding="utf-8")
    draft = load(home).report().findings
    (home / "electrical/horn.yaml").write_text(text.replace("draft ", "issued"), encoding="utf-8")
    issued = load(home).report().findings

    assert ["title", "purpose", "skill", "do", "# warning", "do", "do", "test"] == written
    assert [] == draft
    assert [f"`{key}` is still to be written" for key in written if key[0] != "#"] == [
        each.message for each in issued if each.rule == "sentence-unfinished"
    ]


def test_names_that_are_taken() -> None:
    """No procedure is called like a file of the manual, a page of the site's own, or a list of procedures."""
    files = {Path(name).stem for name in FILES}
    pages = {"index", "search", "genindex", "modindex"} | {name.split("/")[1] for name in LISTS}

    assert files | pages == {id for id in files | pages if taken(id) is not None}
    assert taken("horn") is None


@pytest.mark.parametrize(
    "name, expected",
    [("Brake Shoe", "brake-shoe"), ("_Driver's  seat_2", "drivers-seat-2"), ("Kühler", "kuhler"), ("…!", "")],
)
def test_a_badly_formed_name_is_put_right(name: str, expected: str) -> None:
    """Capitals, accents, spaces and signs become what a name may have; of signs alone nothing is left."""
    assert expected == made_well_formed(name)


def settings(config: Any, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], Any]:
    """Path of keys -> value, for every setting of a book that is no mapping."""
    if not isinstance(config, dict):
        return {path: config}
    found: dict[tuple[str, ...], Any] = {}
    for key, below in config.items():
        found |= settings(below, (*path, key))
    return found


def test_the_started_book_is_set_up_like_ours(tmp_path: Path) -> None:
    """All but title and author stands in the demonstration's book, which asks no other server for a thing."""
    start(tmp_path)
    top = Path(__file__).parents[2]
    ours, started = (
        settings(yaml.safe_load((home / "book/_config.yml").read_text("utf-8"))) for home in (top, tmp_path)
    )
    strange = {path for path, value in started.items() if path not in ours or ours[path] != value}

    assert {("title",), ("author",)} == strange


def test_a_file_is_never_written_over(tmp_path: Path) -> None:
    """A file that is there stays as it is."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"mine")

    with pytest.raises(FileExistsError):
        write_new(path, b"yours")
    assert b"mine" == path.read_bytes()


def test_a_start_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the fifth file cannot be written, the four before it are taken away again."""
    written: list[Path] = []

    def full(path: Path, content: bytes) -> None:
        if len(written) == 4:
            raise OSError(28, "No space left on device", str(path))
        write_new(path, content)
        written.append(path)

    monkeypatch.setattr("greaseproof.starter.write_new", full)

    with pytest.raises(OSError, match="No space left"):
        start(tmp_path / "shed")
    assert 4 == len(written)
    assert [] == [path for path in tmp_path.rglob("*") if path.is_file()]
