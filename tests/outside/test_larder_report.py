"""The larder as one page: no script, nothing fetched, by axe within WCAG 2.2 AA, usable by keyboard and on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from msgspec.structs import replace
from playwright.sync_api import Browser, Page

from pantrymeals.actions.report import larder_report
from pantrymeals.actions.run_out import Chance
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.cautions import STANDING_LINE
from tests.kitchens.tiny import kitchen

TODAY = date(2026, 1, 17)
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


class Seen(HTMLParser):
    """The tags and words of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words += data


@pytest.fixture(scope="module")
def larder(demo_folder: Path) -> Larder:
    return open_with_book(demo_folder, TODAY, TODAY)


@pytest.fixture(scope="module")
def made(larder: Larder) -> bytes:
    return larder_report(larder, None, Chance(paths=400), season=False)


@pytest.fixture(scope="module")
def opened(made: bytes, browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    file = tmp_path_factory.mktemp("report") / "larder.html"
    file.write_bytes(made)
    page = browser.new_page(viewport={"width": 900, "height": 900}, bypass_csp=True)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    yield page
    page.close()


def test_axe_finds_nothing(opened: Page) -> None:
    found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": RULES}})
    assert found.violations_count == 0, found.generate_report()


def test_a_narrow_screen_scrolls_pictures_and_not_tables_or_the_page(opened: Page) -> None:
    """WCAG 2.2, 1.4.10 (reflow): 320 CSS pixels. A row stands there as its cells, each after its column's head."""
    opened.set_viewport_size({"width": 320, "height": 700})
    assert opened.evaluate("document.documentElement.scrollWidth") == 320
    wider = "e => [...document.querySelectorAll(e)].filter(one => one.scrollWidth > one.clientWidth).length"
    assert opened.evaluate(wider, ".wide:has(table)") == 0
    assert opened.evaluate(wider, ".wide:has(img)") > 0
    assert opened.locator("caption").first.evaluate("e => e.clientHeight") < 60  # not a word a line
    head = "e => getComputedStyle(e, '::before').content"
    assert "On hand" in opened.locator("td").first.evaluate(head)
    found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": RULES}})
    assert found.violations_count == 0, found.generate_report()
    opened.set_viewport_size({"width": 900, "height": 900})


def test_what_is_held_is_told_with_its_jars(opened: Page) -> None:
    """demo/stock.csv holds nine half-pints of elderberry jelly; none of them is for a meal."""
    row = opened.locator("tr", has=opened.locator("th", has_text="Elderberry jelly")).first
    assert row.locator("td").first.inner_text() == "9 hp"
    assert row.locator("td").nth(2).inner_text() == "held"


def test_by_keyboard_the_first_stop_leads_past_the_chapters(opened: Page) -> None:
    opened.evaluate("window.scrollTo(0, 0)")
    opened.keyboard.press("Tab")
    assert opened.evaluate("document.activeElement.textContent") == "Straight to the larder"
    opened.keyboard.press("Enter")
    assert opened.evaluate("document.activeElement.id") == "content"


def test_nothing_runs_and_nothing_is_fetched(made: bytes) -> None:
    text = made.decode("utf-8")
    seen = Seen(text)
    assert not {"script", "link", "iframe", "object", "form"} & {tag for tag, _ in seen.tags}
    assert not [name for _, attrs in seen.tags for name in attrs if name.startswith("on")]
    assert all(
        (attrs["src"] or "").startswith("data:image/svg+xml;base64,") for _, attrs in seen.tags if "src" in attrs
    )
    assert all((attrs["href"] or "").startswith("#") for _, attrs in seen.tags if "href" in attrs)
    assert not re.search(r"https?://", text)


def test_every_picture_says_what_it_shows_and_every_product_is_told(made: bytes, larder: Larder) -> None:
    seen = Seen(made.decode("utf-8"))
    pictures = [attrs for tag, attrs in seen.tags if tag == "img"]
    assert len(pictures) >= 5
    assert all(len(attrs["alt"] or "") > 30 for attrs in pictures)
    for lot in larder.household.lots:
        if not lot.state:
            assert lot.product in seen.words
    assert STANDING_LINE in " ".join(seen.words.split())
    assert "from the book up to entry" in seen.words


def test_an_empty_house_and_names_like_markup_break_no_page() -> None:
    empty = Larder(replace(kitchen(), name="<b>Käse & Ærø</b>"), ())
    made = larder_report(empty, None, Chance(paths=100))
    assert larder_report(empty, None, Chance(paths=100)) == made
    seen = Seen(made.decode("utf-8"))
    assert "<b>Käse & Ærø</b>" in seen.words
    assert not [tag for tag, _ in seen.tags if tag == "b"]
