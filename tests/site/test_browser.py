"""The demonstration in a browser, opened from a disk."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="there is no chromium here")

#: What sphinx-book-theme says on a page whose mode is left to the device; it is no fault.
THEME = "Got invalid theme mode: . Resetting to auto."

PAGES = (
    "index.html",
    "proof.html",
    "rules.html",
    "one-machine.html",
    "changelog.html",
    "procedures/index.html",
    "procedures/machines.html",
    "procedures/symptoms.html",
    "procedures/electrical/starter.html",
    "procedures/cooling/coolant.html",
    "search.html?q=starter",
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A browser without a window."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A page 360 px wide."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_from_a_disk(phone: Page, demo: Path, name: str) -> None:
    """Nothing goes wrong in the console, nothing is asked of a server, and nothing is wider than a phone."""
    errors: list[str] = []
    asked: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and message.text != THEME:
            errors.append(message.text)

    def watch(request: Request) -> None:
        if not request.url.startswith(("file:", "data:")):
            asked.append(request.url)

    phone.on("console", hear)
    phone.on("pageerror", lambda error: errors.append(str(error)))
    phone.on("request", watch)

    phone.goto(f"{demo.as_uri()}/{name}")

    assert ([], [], 360) == (errors, asked, phone.evaluate("document.documentElement.scrollWidth"))


def test_ticks_are_kept(phone: Page, demo: Path) -> None:
    """A tick outlives the page; each procedure keeps its own; one button clears them."""
    starter = f"{demo.as_uri()}/procedures/electrical/starter.html"
    tick, other = "[data-tick='main-cable-off']", "[data-tick='draw-it-out']"
    phone.goto(starter)
    assert phone.locator("[data-clear]").is_hidden()
    phone.locator("#main-cable-off .gp-do").click()

    phone.goto(f"{demo.as_uri()}/procedures/electrical/generator.html")
    elsewhere = phone.locator("[data-tick]:checked").count()
    phone.goto(starter)

    assert (True, False, 0) == (
        phone.locator(tick).is_checked(),
        phone.locator(other).is_checked(),
        elsewhere,
    )
    phone.locator("[data-clear]").click()
    phone.reload()
    assert not phone.locator(tick).is_checked()


def test_a_step_is_one_target_for_a_thumb(phone: Page, demo: Path) -> None:
    """Every line that can be ticked is at least 48 px high."""
    phone.goto(f"{demo.as_uri()}/procedures/cooling/water-pump.html")

    heights = phone.evaluate(
        "[...document.querySelectorAll('.gp-do')].map((e) => e.getBoundingClientRect().height)"
    )

    assert heights
    assert [] == [height for height in heights if height < 48]


def test_search_finds_a_procedure(phone: Page, demo: Path) -> None:
    """A word of a step, of a tool or of a size leads to the procedure, from a disk."""
    found = {}
    for words in ("heat shield", "feeler", "starter motor"):
        phone.goto(f"{demo.as_uri()}/search.html?q={words.replace(' ', '+')}")
        phone.wait_for_selector("ul.search li a")
        found[words] = [link.get_attribute("href") for link in phone.locator("ul.search li a").all()]

    starter, pump = "procedures/electrical/starter.html", "procedures/cooling/water-pump.html"
    assert any(starter in (href or "") for href in found["heat shield"])
    assert [pump] == [(href or "").split("?")[0].split("#")[0] for href in found["feeler"]]
    assert starter in (found["starter motor"][0] or "")


def test_ink_and_paper_by_night(browser: Browser, demo: Path) -> None:
    """The page follows the device.

    Text keeps at least 7:1 to its paper, by day and by night (WCAG 2.2, 1.4.6).
    """
    ratios = {}
    for scheme in ("light", "dark"):
        context = browser.new_context(color_scheme=scheme)  # type: ignore[arg-type]
        page = context.new_page()
        page.goto(f"{demo.as_uri()}/procedures/electrical/starter.html")
        ratios[scheme] = page.evaluate(CONTRAST)
        context.close()

    assert [] == [(scheme, pair) for scheme, pairs in ratios.items() for pair in pairs if pair[1] < 7]
    assert all(len(pairs) > 5 for pairs in ratios.values())


#: The contrast of each kind of text on the page to what lies behind it (WCAG 2.2, relative luminance).
CONTRAST = """
() => {
  const channel = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
  const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  const parts = (text) => text.match(/[\\d.]+/g).map(Number);
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = parts(getComputedStyle(at).backgroundColor);
      if (colour.length < 4 || colour[3] > 0) return colour;
    }
    return [255, 255, 255];
  };
  const kinds = [".gp h1", ".gp-says", ".gp-quiet", ".gp-only-words", ".gp-only-inline", ".gp dt", ".gp dd a",
    ".gp-danger .gp-word", ".gp-warning .gp-word", ".gp-caution .gp-word", ".gp-notice .gp-word",
    ".gp-says-signal"];
  return kinds.flatMap((kind) => {
    const element = document.querySelector(kind);
    if (!element) return [];
    const [a, b] = [light(parts(getComputedStyle(element).color)), light(behind(element))];
    return [[kind, (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)]];
  });
}
"""
