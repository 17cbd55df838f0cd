"""Building a book with its manual."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote, urldefrag

from greaseproof.site.manual import Book as Manual, book_of, handing_over

from .conftest import Book
from .test_html import Checker

#: How a page is marked that nobody may rely on.
DRAFT = "<b>DRAFT</b> Work from this page only beside somebody who knows the job."


def dead_links(root: Path) -> list[str]:
    """Links of pages to files or anchors that are not there. Addresses of other servers are left out."""
    pages = {
        path.resolve(): Checker(path.read_text("utf-8"))
        for path in root.rglob("*.html")
        if "_static" not in path.parts
    }
    dead = []
    for path, checked in pages.items():
        for href in checked.hrefs:
            if re.match(r"[a-z]+:", href) or path.name in ("search.html", "genindex.html"):
                continue
            target, anchor = urldefrag(href)
            file = (path.parent / unquote(target.split("?")[0])).resolve() if target else path
            if not file.exists() or (anchor and file in pages and anchor not in pages[file].ids):
                dead.append(f"{path.name}: {href}")
    return dead


def test_a_book_with_its_procedures(built: Book) -> None:
    """Pages stand at their addresses, others link to them by name, old names lead on, no link is dead."""
    assert [
        "genindex",
        "index",
        "other",
        "procedures/bench/clear-the-bench",
        "procedures/fuel/fuel-pump",
        "procedures/fuel/pump",
        "procedures/index",
        "procedures/machines",
        "procedures/symptoms",
        "search",
    ] == list(built.pages())
    index = built.page("index")
    assert 'href="procedures/fuel/pump.html"' in index
    assert "Remove and refit the fuel pump" in index
    assert 2 == index.count('href="procedures/bench/clear-the-bench.html"')
    assert '<meta http-equiv="refresh" content="0; url=pump.html">' in built.page("procedures/fuel/fuel-pump")
    assert [] == dead_links(built.out)


def test_the_demonstration_has_no_dead_links(demo: Path) -> None:
    """Every link and anchor of the demonstration's pages is there."""
    assert (demo / "procedures" / "electrical" / "starter.html").exists()
    assert [] == dead_links(demo)


def test_pages_ask_no_other_server_for_anything(demo: Path) -> None:
    """No page names a script, style, image or font of another origin."""
    loads = re.compile(
        r"<(?:script|img|iframe|source)[^>]*\ssrc=\"(?:https?:)?//|<link[^>]*href=\"(?:https?:)?//"
    )

    assert [] == [path.name for path in demo.rglob("*.html") if loads.search(path.read_text("utf-8"))]


def changed_between(before: dict[str, tuple[str, int]], after: dict[str, tuple[str, int]]) -> list[str]:
    """The pages that were written again."""
    return sorted(name for name in after if before.get(name) != after[name])


def test_nothing_changed_nothing_written(built: Book) -> None:
    """A second build writes no page at all."""
    before = built.pages()

    assert [] == changed_between(before, built.built().pages())


def test_one_step_changed(built: Book) -> None:
    """A changed sentence touches its own page, and those through which Sphinx goes in any case."""
    before = built.pages()

    after = built.change("fuel/pump.yaml", "Plug the pipe.", "Plug the pipe with a rag.").built().pages()

    assert ["genindex", "index", "procedures/fuel/pump", "search"] == changed_between(before, after)
    assert before["index"][0] == after["index"][0]
    assert "Plug the pipe with a rag." in after["procedures/fuel/pump"][0]


def test_a_title_changed(built: Book) -> None:
    """A changed title reaches its page, the pages that lead to it, and each procedure that calls for it."""
    before = built.pages()

    after = (
        built.change("bench/clear-the-bench.yaml", "title: Clear the bench", "title: Empty the bench")
        .built()
        .pages()
    )

    assert [
        "genindex",
        "index",
        "procedures/bench/clear-the-bench",
        "procedures/fuel/pump",
        "procedures/index",
        "procedures/machines",
        "search",
    ] == changed_between(before, after)
    assert "Empty the bench" in after["index"][0]
    assert not any("Clear the bench" in text for text, _ in after.values())


def test_a_shared_thing_changed(built: Book) -> None:
    """A changed size in parts.yaml touches the pages that show it, and no other procedure."""
    before = built.pages()

    after = built.change("parts.yaml", "diesel: 24 N·m", "diesel: 23 N·m").built().pages()

    assert ["genindex", "index", "procedures/fuel/pump", "search"] == changed_between(before, after)


def test_a_procedure_taken_away(built: Book) -> None:
    """Its page goes with it."""
    (built.manual / "fuel" / "pump.yaml").unlink()
    (built.book / "index.md").write_text("# Small shed\n\n```{toctree}\nother\n```\n", encoding="utf-8")

    assert not [name for name in built.built().pages() if "pump" in name]


def test_an_error_stops_the_build(book: Book) -> None:
    """An issued procedure with an error is not published: the finding is printed, and no page is written."""
    book.change("fuel/pump.yaml", "undo: pump-bolts", "undo: pump-bolt")

    done = book.build()

    assert 2 == done.returncode
    assert "procedures/fuel/pump.yaml:27:11: error:" in done.stderr
    assert (
        "The manual is not published. Mend this, or build it as a draft: greaseproof build --draft"
        in done.stderr
    )
    assert "Traceback" not in done.stderr
    assert not (book.out / "procedures").exists()


def test_a_draft_build_marks_what_is_wrong(book: Book) -> None:
    """Built as a draft, the page is there, and says that nobody may work from it and why.

    The others are not marked.
    """
    book.change(
        "fuel/pump.yaml", "first: [engine-cold, bench-clear]", "first: [bench-clear, bench-clear]\npeople: 2"
    )
    book.change("tools.yaml", "socket-1-2: {kind: socket, fits: 1/2 in, square: 3/8 in}\n", "")
    book.change("tools.yaml", "spanner-1-2: {kind: spanner, fits: 1/2 in, count: 2}\n", "")

    book.built(GREASEPROOF_DRAFT="1")

    assert f"{DRAFT} It has faults." in book.page("procedures/fuel/pump")
    assert "no tool of the store fits the 1/2 in" in book.page("procedures/fuel/pump").replace("&#x27;", "'")
    assert "<b>DRAFT</b>" not in book.page("procedures/bench/clear-the-bench")
    assert 1 == book.page("procedures/index").count('<b class="gp-state">DRAFT</b>')


def test_a_broken_draft_stops_nobody(book: Book) -> None:
    """A procedure that is not issued and has errors is left out with a notice.

    The issued ones are published.
    """
    (book.manual / "fuel" / "filter.yaml").write_text(
        "title: Clean the filter\nsystem: fuel\nstatus: draft\nsteps:\n  - undo: nothing-of-that-name\n",
        encoding="utf-8",
    )
    (book.manual / "fuel" / "torn.yaml").write_text("title: Torn\nstatus: draft\nsteps: [", encoding="utf-8")

    book.built()

    assert "It is a draft with an error, so it is left out. Nobody may work from it." in book.page(
        "procedures/fuel/filter"
    )
    assert "nothing-of-that-name" not in book.page("procedures/fuel/filter")
    assert 'id="drain-it"' in book.page("procedures/fuel/pump")


def test_a_sound_draft_is_marked(book: Book) -> None:
    """A procedure without fault that is not issued is never shown as one that is."""
    book.change("bench/clear-the-bench.yaml", "status: issued", "status: draft")

    book.built()

    assert f"{DRAFT} It is not issued." in book.page("procedures/bench/clear-the-bench")
    assert '<b class="gp-state">DRAFT</b>' in book.page("procedures/index")


def test_a_withdrawn_procedure_leaves_a_notice(book: Book) -> None:
    """Its address stays and says that it is withdrawn.

    Nothing of its steps is shown, and no list leads to it.
    """
    book.change("fuel/pump.yaml", "status: issued", "status: withdrawn")

    book.built()

    page = book.page("procedures/fuel/pump")
    assert "<b>WITHDRAWN</b> This procedure is withdrawn. Nobody may work from an earlier copy of it." in page
    assert "drain-it" not in page
    assert "fuel/pump.html" not in book.page("procedures/index")


def test_steps_within_a_page(book: Book) -> None:
    """The directive shows the steps with links that hold from where it stands.

    The page follows its procedure's changes.
    """
    (book.book / "other.md").write_text("# Other\n\n```{procedure} pump\n```\n", encoding="utf-8")
    before = book.built().page("other")

    after = book.change("fuel/pump.yaml", "Plug the pipe.", "Plug the pipe well.").built().page("other")

    assert '<div class="gp gp-embedded" data-procedure="pump">' in before
    assert "Keep: Plug the pipe.</p>" in before
    assert "Keep: Plug the pipe well.</p>" in after
    assert [] == dead_links(book.out)


def test_the_rules_are_listed(demo: Path) -> None:
    """The page of rules has a section for every rule there is."""
    from greaseproof.rules import all_rules

    shown = (demo / "rules.html").read_text(encoding="utf-8")

    assert all_rules()
    assert [] == [slug for slug in all_rules() if f'id="rule-{slug}"' not in shown]


def test_a_picture_is_copied(built: Book) -> None:
    """A picture of `photos` goes with the site.

    One that is not there is named; nothing else of that folder is copied.
    """
    assert "Picture: pump.png" in built.page("procedures/fuel/pump")
    photos = built.manual / "photos"
    photos.mkdir()
    for name in ("pump.png", "notes.txt"):
        (photos / name).write_bytes(b"not looked at")
    built.built()

    assert '<img src="../../_images/procedures/pump.png"' in built.page("procedures/fuel/pump")
    assert ["pump.png"] == [path.name for path in (built.out / "_images" / "procedures").iterdir()]


def test_what_was_kept_may_be_spoilt(built: Book) -> None:
    """A file of kept pages that is broken is as good as none."""
    (built.folder / "doctrees" / "greaseproof" / "pages.pickle").write_bytes(b"spoilt")

    built.change("fuel/pump.yaml", "Plug the pipe.", "Plug it.").built()

    assert "Keep: Plug it." in built.page("procedures/fuel/pump")


def test_a_spoilt_page_is_written_again(book: Book) -> None:
    """A page that no longer stands as it was written is mended with the next change of any procedure."""
    before = book.built().page("procedures/bench/clear-the-bench")
    file = book.out / "procedures" / "bench" / "clear-the-bench.html"
    file.write_text("spoilt", encoding="utf-8")

    book.change("fuel/pump.yaml", "Plug the pipe.", "Plug it.").built()

    assert before == book.page("procedures/bench/clear-the-bench")


def test_a_book_is_handed_over_for_its_own_folder_alone(book: Book) -> None:
    """A manual that was proven before is taken for the same folder and kind of build, and read anew else."""
    proven = Manual(book.manual, draft=False)

    with handing_over(proven):
        same = book_of(book.folder / "book" / ".." / "procedures", draft=False)
        others = (book_of(book.manual, draft=True), book_of(book.book, draft=False))
    after = book_of(book.manual, draft=False)

    assert proven is same
    assert proven not in (*others, after)
