"""Reading YAML: nodes with exact places, and the traps of YAML told in plain words."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from greaseproof.finding import Finding, Level, Related, Span
from greaseproof.reading.nodes import (
    LOSES_CONTENT,
    MAX_BYTES,
    MAX_DEPTH,
    Mapping,
    Node,
    Scalar,
    Sequence,
    read,
    span,
)
from hypothesis import given, strategies as st

TRAPS = re.findall(
    r"^## ([^\n]+)\n\n```yaml\n(.*?)```\n\n```text\n(.*?)```\n\n```json\n(.*?)```$",
    Path(__file__).with_name("traps.md").read_text("utf-8"),
    re.M | re.S,
)

#: What the reader takes for the end of a line.
BREAK = re.compile(r"\r\n|\r|\n")

#: Pieces of which broken files are made.
PIECES = st.sampled_from(
    [
        *":#-[]{}\"'\\&*!|>%@`,?\t\n ",
        ": ",
        " #",
        "- ",
        "\n  ",
        "<<: ",
        "---\n",
        "...\n",
        "\r\n",
        "\r",
        "\u2028",
        "\ufeff",
        "\x00",
        "\ue000",
        "\ud800",
        "🔩",
        "do: ",
        "? ",
        "Undo bolt",
        '"nut"',
        "torque:45",
        "key: value\n",
    ]
)


def content(node: Node | None) -> Any:
    """The texts, lists and mappings without their places."""
    if node is None or isinstance(node, Scalar):
        return node and node.text
    if isinstance(node, Sequence):
        return [content(item) for item in node.items]
    return {name: content(value) for name, (_, value) in node.items.items()}


def place(where: Span | None) -> str:
    assert where is not None
    return f"{where.line}:{where.column}-{where.end_line}:{where.end_column}"


def told(findings: list[Finding]) -> str:
    """Findings in full: place, level, message, rule, related places, mend."""
    lines = []
    for finding in findings:
        lines.append(f"{place(finding.span)} {finding.level}: {finding.message} [{finding.rule}]")
        lines += [f"  because: {place(related.span)} {related.says}" for related in finding.because]
        lines.append(f"  mend: {finding.mend}")
    return "\n".join(lines) or "nothing"


def scalars(node: Node) -> Iterator[Scalar]:
    """All keys and values."""
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from scalars(item)
    else:
        for key, value in node.items.values():
            yield key
            yield from scalars(value)


def collections(node: Node) -> Iterator[Node]:
    """All nodes that are no texts."""
    if isinstance(node, Sequence):
        yield node
        for item in node.items:
            yield from collections(item)
    elif isinstance(node, Mapping):
        yield node
        for _, value in node.items.values():
            yield from collections(value)


def check_inside(where: Span, lines: list[str]) -> None:
    assert 1 <= where.line <= where.end_line <= len(lines)
    assert 1 <= where.column <= len(lines[where.line - 1]) + 1
    assert 1 <= where.end_column <= len(lines[where.end_line - 1]) + 1
    assert (where.line, where.column) <= (where.end_line, where.end_column)


def check(text: str) -> list[Finding]:
    """Read, and hold what comes back against the text: every place inside, plain texts as written."""
    root, findings = read(text, "a.yaml")
    lines = BREAK.split(text.removeprefix("\ufeff"))
    for finding in findings:
        check_inside(finding.span, lines)
        assert len(BREAK.split(finding.message)) == 1
        for related in finding.because:
            assert related.span is not None
            check_inside(related.span, lines)
    if root is None:
        assert findings
        return findings
    exact = not LOSES_CONTENT & {finding.rule for finding in findings} and not any(
        finding.rule == "control-character" for finding in findings
    )
    for node in [*scalars(root), *collections(root)]:
        check_inside(span(node, "a.yaml"), lines)
        if exact and isinstance(node, Scalar) and node.plain and node.start.line == node.end.line:
            assert node.text == lines[node.start.line][node.start.column : node.end.column]
    return findings


# --- traps ---


def test_traps_are_there() -> None:
    """The file of traps has been found and taken apart whole."""
    headings = re.findall(r"^## ", Path(__file__).with_name("traps.md").read_text("utf-8"), re.M)

    assert len(headings) == len(TRAPS)
    assert len(TRAPS) > 20


@pytest.mark.parametrize("heading, text, findings, nodes", TRAPS, ids=[trap[0] for trap in TRAPS])
def test_trap(heading: str, text: str, findings: str, nodes: str) -> None:
    """An example gives exactly the findings and the content that stand below it."""
    root, found = read(text.removesuffix("\n"), "a.yaml")

    assert heading
    assert findings.removesuffix("\n") == told(found)
    assert json.loads(nodes) == content(root)
    assert all(finding.level is Level.ERROR and finding.span.file == "a.yaml" for finding in found)
    check(text)


def test_whole_finding() -> None:
    """A finding carries file, level, place, words, related place and mend, and nothing else."""
    _, findings = read("count: 2\ncount: 4\n", "parts.yaml")

    assert [
        Finding(
            rule="duplicate-key",
            level=Level.ERROR,
            span=Span("parts.yaml", 2, 1, 2, 6),
            message="`count` is given twice in the same place",
            because=(Related(Span("parts.yaml", 1, 1, 1, 6), "gives it first"),),
            mend="keep one `count:` and delete or rename the other",
        )
    ] == findings


@pytest.mark.parametrize(
    "text, findings, nodes",
    [
        (
            "a:\n\tb: 13 mm\n\tc: [x]\nd: e\nf:\n\tg: h\n",
            (
                "2:1-3:2 error: lines 2 to 3 are indented with tabs [tab-in-indentation]\n"
                "  mend: type spaces instead of tabs, two for each level\n"
                "6:1-6:2 error: line 6 is indented with tabs [tab-in-indentation]\n"
                "  mend: type spaces instead of tabs, two for each level"
            ),
            {"a": {"b": "13 mm", "c": ["x"]}, "d": "e", "f": {"g": "h"}},
        ),
        (
            "a:\n    b: 13 mm\n\tc: 17 mm\nd: e\n",
            (
                "3:1-3:2 error: line 3 is indented with tabs [tab-in-indentation]\n"
                "  mend: type spaces instead of tabs, two for each level"
            ),
            {"a": {"b": "13 mm"}, "d": "e"},
        ),
        ("a:\tb # c\nd: [e,\n\tf]\n\t\n", "nothing", {"a": "b", "d": ["e", "f"]}),
        (
            "a: x\x00y\x07\nb: \x00\nc: \ud800x\n",
            (
                "1:5-1:6 error: an invisible character (U+0000) stands in the text, here and in 1 more "
                "places [control-character]\n"
                "  because: 2:1-2:5 has the same character\n"
                "  mend: delete it and type the text around it again\n"
                "1:7-1:8 error: an invisible character (U+0007) stands in the text [control-character]\n"
                "  mend: delete it and type the text around it again\n"
                "3:4-3:5 error: half of a character stands in the text [control-character]\n"
                "  mend: delete it and type the text around it again"
            ),
            {"a": "x y", "b": "", "c": "x"},
        ),
        (
            "a: b\u2028c\nd: e\ufefff\n",
            (
                "1:5-1:6 error: an invisible character (U+2028) stands in the text [control-character]\n"
                "  mend: delete it and type the text around it again\n"
                "2:5-2:6 error: an invisible character (U+FEFF) stands in the text [control-character]\n"
                "  mend: delete it and type the text around it again"
            ),
            {"a": "b c", "d": "e f"},
        ),
        (
            b"a: 13 mm\n# na\xc3\xafve\nb: caf\xe9s\nc: \xff\n",
            (
                "3:7-3:8 error: the file is not saved as UTF-8: line 3 has a byte that is no "
                "character [not-utf-8]\n"
                "  mend: save the file in your editor with the encoding UTF-8"
            ),
            {"a": "13 mm", "b": "caf\ufffds", "c": "\ufffd"},
        ),
        (
            "a: b".encode("utf-16"),
            (
                "1:1-1:1 error: the file is saved as UTF-16, not as UTF-8 [not-utf-8]\n"
                "  mend: save the file in your editor with the encoding UTF-8"
            ),
            {"a": "b"},
        ),
        (b"\xef\xbb\xbfa: b\n", "nothing", {"a": "b"}),
        ("\ufeffa: b\r\nc: d\r\n", "nothing", {"a": "b", "c": "d"}),
        *(
            (
                text,
                (
                    "1:1-1:1 error: the file is empty [empty-file]\n"
                    "  mend: write its content, or delete the file"
                ),
                None,
            )
            for text in ("", " \n\n", "# only a comment\n", "---\n", b"", b"\xef\xbb\xbf", "\t\n")
        ),
    ],
)
def test_characters(text: str | bytes, findings: str, nodes: Any) -> None:
    """Tabs, invisible characters, wrong encodings and empty files are told; what harms nobody is not."""
    root, found = read(text, "a.yaml")

    assert findings == told(found)
    assert nodes == content(root)


def test_all_faults_in_one_run() -> None:
    """Faults of which the parser would tell only the first are all told, in the order of the file."""
    text = (
        "do: Tighten: 45 N·m\n"
        "needs: [bolts, nuts\n"
        "tip: *Note\n"
        "why: Undo bolt #3.\n"
        "count: 2\n"
        "torque:45\n"
        "count: 4\n"
        "when:\n"
        "\tfuel: diesel\n"
        "last: {say: Lift it.}\n"
    )
    _, findings = read(text, "a.yaml")

    assert [
        (1, "colon-in-text"),
        (2, "bracket-not-closed"),
        (3, "alias"),
        (4, "text-cut-by-hash"),
        (6, "missing-space-after-colon"),
        (7, "duplicate-key"),
        (9, "tab-in-indentation"),
        (10, "prose-in-brackets"),
    ] == [(finding.span.line, finding.rule) for finding in findings]


# --- bounds ---


@pytest.mark.parametrize(
    "text", ["[" * 50_000, "- " * 25_000, "{a: " * 17_000, "".join(" " * n + "a:\n" for n in range(300))]
)
def test_nested_too_deep(text: str) -> None:
    """What stands more than 100 levels deep is refused, once, whatever it is made of."""
    root, findings = read(text, "a.yaml")

    assert root is None
    assert ["entries stand in each other more than 100 levels deep"] == [each.message for each in findings]
    assert ["nested-too-deep"] == [each.rule for each in findings]


def test_nested_deep() -> None:
    """A hundred levels can be read."""
    root, findings = read("[" * MAX_DEPTH + "]" * MAX_DEPTH, "a.yaml")

    assert [] == findings
    assert MAX_DEPTH == sum(1 for _ in collections(root or Scalar()))


@pytest.mark.parametrize(
    "text", ["#" * (MAX_BYTES + 1), b"#" * (MAX_BYTES + 1), "é" * (MAX_BYTES // 2 + 1), "[" * (MAX_BYTES + 1)]
)
def test_file_too_large(text: str | bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file over 4 MB, counted in bytes, is refused before anything is parsed."""
    monkeypatch.setattr("greaseproof.reading.nodes.events", lambda _: pytest.fail("parsed"))

    assert (
        None,
        [
            Finding(
                "file-too-large",
                Level.ERROR,
                Span("a.yaml", 1, 1, 1, 1),
                "the file has more than 4 MB and is not read",
                mend="split it into several files",
            )
        ],
    ) == read(text, "a.yaml")


def test_file_large_enough() -> None:
    """A file of 4 MB is read."""
    root, findings = read("a: b\n" + "#" * (MAX_BYTES - 5), "a.yaml")

    assert {"a": "b"} == content(root)
    assert [] == findings


@pytest.mark.parametrize(
    "piece",
    [
        "[,",
        "-\n",
        "\t",
        "a:\n\tb\n",
        " ",
        "a b #",
        " #",
        "a bc #x\n",
        "a: ",
        "a: b: c\n",
        "a: b\n",
        '"',
        'a: "\n',
        "\\",
        "*",
        "- *a b\n",
        "- &a b\n",
        "- !a b\n",
        "? ",
        "? a\n",
        "---\n",
        "...\n",
        "%a\n",
        "]",
        "🔩",
        "\x00",
        "\x01\x02",
        "a: |\n",
        "a: > b\n",
        "x ",
        "abc\n",
        "a: 1\nb\n",
        "a: [b\n",
        "a: {b: c: d}\n",
        "\n",
        "\r",
        "<<: *a\n",
        "- torque:45\n",
        "a:\n",
        "Undo the bolts, then lift it, ",
    ],
)
@pytest.mark.parametrize("frame", ["{}", "k: [{}]", "k: Undo bolt{}#x"])
def test_hostile_files(piece: str, frame: str) -> None:
    """50 kB made to be slow are read within seconds, and every place that is told is inside the file."""
    text = frame.format(piece * (50_000 // len(piece)))
    begin = time.process_time()
    check(text)

    assert time.process_time() - begin < 10


def test_reading_stops() -> None:
    """A file with faults on every line is given up after some of them, and says so."""
    root, findings = read("a: b: c\nd: [e\n" * 500, "a.yaml")

    assert root is None
    assert "reading-stopped" == findings[-1].rule
    assert "reading stops here: there may be more faults below" == findings[-1].message
    assert 100 < len(findings) < 110


# --- nodes ---


@pytest.mark.parametrize(
    "written",
    ["0510210600", "12:30", "on", "no", "1.10", "~", "null", "2024-01-02", "1e3", "0x1F", ".5", "=", "-5"],
)
def test_text_stays_text(written: str) -> None:
    """What other readers of YAML turn into numbers, times or truth values is what was typed."""
    root, findings = read(f"a: {written}\n{written}: b\nc: [{written}]", "a.yaml")

    assert {"a": written, written: "b", "c": [written]} == content(root)
    assert [] == findings


def test_places() -> None:
    """Every key and value has its place; ends are tight, and columns count characters."""
    text = (
        "tool: {fits: 13 mm, count: 2}   # 🔩\n"
        "🔩🔩: 🔩 x  # comment\n"
        "steps:\n"
        "  - do: Undo the\n"
        "      bolts.\n"
        "\n"
        "  - tip: |\n"
        "      Dry.\n"
        "\n"
        "\n"
        "# a comment\n"
        "note: >-\n"
        "  Wet.   \n"
        "\n"
        "say: \"It's\n"
        '  dry."  # comment\n'
        "none:\n"
        "list: [a,\n"
        "  b ]  \n"
        "\n"
    )
    root, findings = read(text, "a.yaml")
    assert isinstance(root, Mapping)
    found = {
        name: (place(span(key, "a")), place(span(value, "a"))) for name, (key, value) in root.items.items()
    }

    assert [] == findings
    assert {
        "tool": ("1:1-1:5", "1:7-1:30"),
        "🔩🔩": ("2:1-2:3", "2:5-2:8"),
        "steps": ("3:1-3:6", "4:3-8:11"),
        "note": ("12:1-12:5", "12:7-13:7"),
        "say": ("15:1-15:4", "15:6-16:8"),
        "none": ("17:1-17:5", "17:6-17:6"),
        "list": ("18:1-18:5", "18:7-19:6"),
    } == found
    assert "1:1-19:6" == place(span(root, "a"))
    steps = root.items["steps"][1]
    assert isinstance(steps, Sequence)
    assert ["4:5-5:13", "7:5-8:11"] == [place(span(step, "a")) for step in steps.items]
    first = steps.items[0]
    assert isinstance(first, Mapping)
    assert "Undo the bolts." == content(first.items["do"][1])
    assert "4:9-5:13" == place(span(first.items["do"][1], "a"))


def test_quotes_are_known() -> None:
    """A text says whether it stood without quotes; a missing value is a plain text of no length."""
    root, _ = read("plain: a\nsingle: 'a'\ndouble: \"a\"\nblock: |\n  a\n'key': a\nnone:\n", "a.yaml")
    assert isinstance(root, Mapping)
    plain = {
        name: (key.plain, isinstance(value, Scalar) and value.plain)
        for name, (key, value) in root.items.items()
    }

    assert {
        "plain": (True, True),
        "single": (True, False),
        "double": (True, False),
        "block": (True, False),
        "key": (False, True),
        "none": (True, True),
    } == plain
    assert "" == content(root.items["none"][1])


# --- laws ---


@given(st.lists(PIECES, max_size=40).map("".join))
def test_broken_files(text: str) -> None:
    """Whatever the pieces of YAML are put together to, nothing raises and every place is inside the file."""
    check(text)


@given(st.text(), st.text())
def test_any_text(key: str, value: str) -> None:
    """No text raises, alone or as a key or value."""
    check(value)
    check(f"{key}: {value}")


@given(st.binary())
def test_any_bytes(data: bytes) -> None:
    """No bytes raise, and bytes that give no nodes give a finding."""
    root, findings = read(data, "a.yaml")

    assert root is not None or findings


VALUES = st.recursive(
    st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@given(st.dictionaries(st.text(), VALUES, min_size=1), st.sampled_from(['"', "'"]), st.booleans())
def test_round_trip(value: Any, style: str, flow: bool) -> None:
    """What is written with quotes comes back unchanged, and without a finding."""
    text = yaml.safe_dump(value, default_style=style, default_flow_style=flow, sort_keys=False)
    root, findings = read(text, "a.yaml")

    assert value == content(root)
    assert [] == findings
    check(text)
