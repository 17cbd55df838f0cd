"""The step diagram as a drawing and as a file."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from time import process_time
from xml.etree import ElementTree

import pytest
from greaseproof.diagrams import Box, Drawing, Flow, Frame, Part, flow
from greaseproof.diagrams.lettering import BOLD, RANGES, REGULAR, TABLES, width, wrap
from greaseproof.diagrams.sheet import COLUMN, Point, Sheet, place

from .shed import drawn

SVG = "{http://www.w3.org/2000/svg}"


def in_another_process(seed: str, *arguments: str) -> list[str]:
    """What the shed prints about its drawing in a new process with this hash seed, line by line."""
    shed = Path(__file__).with_name("shed.py")
    done = subprocess.run(
        [sys.executable, shed, *arguments],
        capture_output=True,
        check=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8"},
    )
    return done.stdout.splitlines()


def test_the_drawing_is_the_same_in_every_process() -> None:
    """Byte for byte, whatever the hash seed; so is the key."""
    here = drawn()
    expected = [here.key, *here.svg.decode().splitlines(), ""]

    for seed in ("0", "1"):
        assert expected == in_another_process(seed, "svg")


def test_key_and_size_go_without_matplotlib() -> None:
    """A build that draws nothing does not pay for its import."""
    here = drawn()

    assert [here.key, f"{here.width} {here.height} False"] == in_another_process("0")


def test_the_key_follows_what_is_shown() -> None:
    """Equal for the same job; another for another text, another number of columns, another procedure."""
    here = drawn()
    other = Drawing(replace(here.shows, title="Remove and refit the oil pump"))

    assert drawn().key == here.key
    assert 4 == len({here.key, drawn(columns=2).key, drawn(id="belt").key, other.key})


def test_a_file_is_drawn_once(tmp_path: Path) -> None:
    """What lies under the key stays; nothing else is left in the folder."""
    here = drawn()

    path = here.draw(tmp_path / "drawings")

    assert tmp_path / "drawings" / f"{here.key}.svg" == path
    assert here.svg == path.read_bytes()
    path.write_bytes(b"drawn before")
    assert b"drawn before" == drawn().draw(path.parent).read_bytes()
    assert [path] == list(path.parent.iterdir())


@pytest.mark.parametrize("columns, expected", [(1, 328), (2, 684)])
def test_the_svg_stands_in_a_page_and_alone(columns: int, expected: int) -> None:
    """One well-formed element of the size it says, with a name and a text; its ink is the page's."""
    here = drawn(columns)

    root = ElementTree.fromstring(here.svg)

    assert f"{SVG}svg" == root.tag
    assert (str(expected), str(here.height)) == (root.get("width"), root.get("height"))
    assert f"0 0 {expected} {here.height}" == root.get("viewBox")
    assert expected == here.width
    names = {each.get("id"): each.text for each in root if each.get("id")}
    assert "Step diagram: Remove and refit the pump" == names[root.get("aria-labelledby")]
    assert here.alt == names[root.get("aria-describedby")]
    inks = set(re.findall(r"stroke: ([^;\"]+)", here.svg.decode()))
    assert {"currentColor"} == inks
    letters = [each.text for each in root.iter(f"{SVG}text")]
    assert [each.text for each in here.sheet.letters] == letters
    assert {"DANGER", "WARNING", "CAUTION", "NOTICE"} <= set(letters)


def test_other_than_one_or_two_columns_is_refused() -> None:
    """With the number that was asked for."""
    from greaseproof.machines.resolve import Resolver
    from greaseproof.proof import Prover
    from greaseproof.reading.build import read_manual

    from .shed import FILES

    shop, _ = read_manual(FILES)
    resolver = Resolver(shop)
    proof = Prover(shop, resolver).prove(shop.procedures["pump"])

    with pytest.raises(ValueError, match=r"^a step diagram has one or two columns, not 3$"):
        flow(proof, resolver, columns=3)


# ----------------------------------------------------------------------------------------------- what fits


def crowded() -> Flow:
    """A flow with what is hard to place: deep frames, long words, many signal words, three figures."""
    long = (
        "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft holds WWWWWWWWWWWWW"
    )
    row: Box | Frame = Box("off", long, 128, signals=("DANGER", "WARNING", "CAUTION", "NOTICE"))
    for depth in range(3):
        row = Frame("branch", f"Only machines built {depth} {long}", (row, Box("call", long)))
        row = Frame("group", long, (row, Box("on", long, puts_back=7)), ("DANGER", "CAUTION"))
    return Flow(long, (Part("steps", "Steps", (row,)),), ())


@pytest.mark.parametrize("shows", [drawn().shows, crowded()], ids=["shed", "crowded"])
@pytest.mark.parametrize("columns", [1, 2])
def test_letters_stay_in_their_room(shows: Flow, columns: int) -> None:
    """No line of text is wider than its place, every place is on the sheet, and no two overlap."""
    sheet = place(shows, columns)

    assert sheet.letters
    for each in sheet.letters:
        wide = width(each.text, each.size, each.bold)
        left = each.x - wide / 2 if each.middle else each.x
        assert wide <= each.room, each
        assert left >= 0, each
        assert left + wide <= sheet.width, each
        assert each.size <= each.y <= sheet.height, each
    areas = [
        (each.x, each.y - each.size * 0.7, each.x + width(each.text, each.size, each.bold), each.y)
        for each in sheet.letters
        if not each.middle
    ]
    for at, one in enumerate(areas):
        for other in areas[:at]:
            apart = one[0] >= other[2] or other[0] >= one[2] or one[1] >= other[3] or other[1] >= one[3]
            assert apart, (one, other)


def points(sheet: Sheet) -> Iterable[Point]:
    for lines in (sheet.thin, sheet.thick, sheet.dashed, sheet.filled):
        for line in lines:
            yield from line
    for x, y, radius in (*sheet.rings, *sheet.dashed_rings, *sheet.dots):
        yield from ((x - radius, y - radius), (x + radius, y + radius))


@pytest.mark.parametrize("columns", [1, 2])
def test_lines_stay_on_the_sheet(columns: int) -> None:
    """Nothing is drawn beyond the edges, so that nothing is cut off."""
    sheet = drawn(columns).sheet

    beyond = [(x, y) for x, y in points(sheet) if not (0 <= x <= sheet.width and 0 <= y <= sheet.height)]

    assert [] == beyond
    assert COLUMN * columns <= sheet.width


def test_the_second_column_makes_a_sheet_lower() -> None:
    """And the line of the work leads over to it."""
    one, two = drawn(1), drawn(2)

    assert two.height < one.height * 2 / 3
    assert any(line[0][0] < COLUMN < line[-1][0] for line in two.sheet.thick if len(line) > 4)


@pytest.mark.parametrize(
    "text, room, expected",
    [
        ("Undo shield screws; remove heat shield", 140, ["Undo shield screws;", "remove heat shield"]),
        ("Unterbrechergehäuse", 60, ["Unterbr", "echerge", "häuse"]),
        ("", 60, [""]),
    ],
)
def test_text_breaks_between_words(text: str, room: float, expected: list[str]) -> None:
    """And within one only where it is wider than the room."""
    assert expected == wrap(text, room, 14)


def test_widths_are_those_of_the_font() -> None:
    """Every width of the tables is the advance in the font files of matplotlib, in 1/2048 of the size."""
    from matplotlib import get_data_path
    from matplotlib.ft2font import FT2Font

    expected = []
    for name, table in zip(("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"), TABLES, strict=True):
        font = FT2Font(str(Path(get_data_path()) / "fonts" / "ttf" / name))
        font.set_size(2048, 72)
        expected.append({each: round(font.load_char(ord(each)).linearHoriAdvance / 65536) for each in table})

    assert expected == list(TABLES)
    assert sum(end - start for start, end in RANGES) == len(REGULAR.split()) == len(BOLD.split())


def test_thirty_boxes_are_drawn_in_a_blink() -> None:
    """Once matplotlib is there, at most 25 ms of processor time.

    About 3 ms were measured; a test must not be nervous.
    """
    rows = tuple(Box("off", f"Undo the {n} mounting bolts; remove the plate", n) for n in range(30))
    drawings = [Drawing(Flow(f"Job {at}", (Part("steps", "Steps", rows),), ())) for at in range(6)]
    assert drawings[0].svg
    start = process_time()

    for each in drawings[1:]:
        assert each.svg

    assert (process_time() - start) / 5 < 0.025
