"""The HTML of a page: well formed, escaped, its links in place."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from greaseproof.manual import Manual
from greaseproof.site.html import Writer, css_text
from greaseproof.views import page

SMALL = Path(__file__).parents[1] / "views" / "small"

#: Elements that have no end (WHATWG HTML, 13.1.2).
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

HOSTILE = "<script>alert(1)</script>\"'&</style><img src=x onerror=alert(2)>"


class Checker(HTMLParser):
    """Reads HTML and notes what is not well formed, and every id and address in it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []
        self.ids: list[str] = []
        self.hrefs: list[str] = []
        self.tags: list[str] = []
        self.feed(text)
        self.close()
        self.faults.extend(f"<{tag}> is never closed" for tag in self.open)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.tags.append(tag)
        self.ids.extend(value or "" for name, value in attrs if name == "id")
        self.hrefs.extend(value or "" for name, value in attrs if name == "href")
        self.faults.extend(f"{name} on <{tag}>" for name in given if name.startswith("on"))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-1:] or 'nothing'}")
        else:
            self.open.pop()


def body(files: dict[str, str | bytes], id: str) -> str:
    made = page(Manual.read(files), id)
    assert made is not None
    return Writer().page(made)


def small_files() -> dict[str, str | bytes]:
    return {
        path.relative_to(SMALL).as_posix(): path.read_text("utf-8") for path in sorted(SMALL.rglob("*.yaml"))
    }


@pytest.mark.parametrize("id", ["pump", "clear-the-bench"])
def test_a_page_is_well_formed(id: str) -> None:
    """Every element is closed where it should be, ids are unique, and links within the page have targets."""
    checked = Checker(body(small_files(), id))

    assert [] == checked.faults
    assert len(checked.ids) == len(set(checked.ids))
    within = [href[1:] for href in checked.hrefs if href.startswith("#")]
    assert within
    assert [] == [target for target in within if target not in checked.ids]


@pytest.mark.parametrize(
    "path,old",
    [
        ("manual.yaml", "All of it is invented."),
        ("manual.yaml", "Small shed"),
        ("manual.yaml", "The small shed's keeper"),
        ("machines.yaml", "name: Wren"),
        ("parts.yaml", "mark: A"),
        ("parts.yaml", "end: push-on"),
        ("parts.yaml", "from: measured"),
        ("conditions.yaml", "the bench is clear"),
        ("conditions.yaml", "Let the engine stand until it is cold."),
        ("supplies.yaml", "closed can"),
        ("bench/clear-the-bench.yaml", "Clear the bench"),
        ("fuel/pump.yaml", "Remove and refit the fuel pump"),
        ("fuel/pump.yaml", "To renew the pump."),
        ("fuel/pump.yaml", "No fuel comes."),
        ("fuel/pump.yaml", "Used to spanners."),
        ("fuel/pump.yaml", "Fuel burns. Put out every flame."),
        ("fuel/pump.yaml", "Pull the pipe off by its end."),
        ("fuel/pump.yaml", "A pipe that is bent leaks."),
        ("fuel/pump.yaml", "Plug the pipe."),
        ("fuel/pump.yaml", "10 ml"),
        ("fuel/pump.yaml", "bonnet"),
        ("fuel/pump.yaml", "It is heavy."),
        ("fuel/pump.yaml", "No fuel drips."),
    ],
)
def test_nothing_of_an_author_becomes_markup(path: str, old: str) -> None:
    """Whatever stands in a text of the manual is shown as text.

    No element, attribute or style comes of it.
    """
    files = small_files()
    before = Checker(body(files, "pump"))
    text = str(files[path])
    assert old in text
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    new = (
        f"name: {quoted}"
        if old.startswith("name: ")
        else re.sub(r"^(\w+: )?.*$", lambda m: (m[1] or "") + quoted, old)
    )
    files[path] = text.replace(old, new, 1)

    after_text = body(files, "pump")
    after = Checker(after_text)

    assert [] == after.faults
    assert sorted(before.tags) == sorted(after.tags)
    assert "<script" not in after_text
    assert "alert(1)" in after_text or path == "manual.yaml"


def test_a_contact_that_is_a_script_is_no_link() -> None:
    """Only mail and web addresses become links."""
    files = small_files()
    files["manual.yaml"] = str(files["manual.yaml"]).replace(
        "mailto:keeper@example.org", "javascript:alert(1)"
    )

    assert "javascript:" not in body(files, "pump")


def test_text_in_a_style_sheet_cannot_end_it() -> None:
    """Everything but plain letters, figures and spaces is written as an escape of CSS."""
    assert r'"a\3c \2f style\3e b\22 "' == css_text('a</style>b"')


def test_torques_at_the_end_and_renewals_in_bold() -> None:
    """What differs stands under the machines' words, a torque at the line's end, what is new in bold."""
    shown = body(small_files(), "pump")

    assert (
        '<li class="gp-differs"><p class="gp-only-words">Only: built 1964 or later</p><span class="gp-pair">'
        '<span>2&nbsp;× M8 · 13&nbsp;mm · <b class="gp-new">2&nbsp;new spring washers M8</b></span>'
        "</span></li>"
    ) in shown
    assert '<span class="gp-end">24&nbsp;N·m (18&nbsp;lbf·ft)</span>' in shown


def test_the_alert_symbol_stands_with_words_about_injury_only() -> None:
    """DANGER, WARNING and CAUTION carry the triangle, NOTICE does not (ANSI Z535.6, from memory)."""
    shown = body(small_files(), "pump")
    panels = dict.fromkeys(re.findall(r'<p class="gp-word">(<svg.*?</svg>)?<span>(\w+)</span></p>', shown))

    assert {"DANGER": True, "CAUTION": True, "NOTICE": False} == {word: bool(alert) for alert, word in panels}
