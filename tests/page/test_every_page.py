"""Every page, looked over by a machine: accessible in light and dark, whole at 320 px, targets for a thumb."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.page.conftest import Served, serving
from tests.page.larders import demo_with_its_week, empty

PAGES = (
    "/", "/week", "/plan", "/pull", "/took", "/count", "/count/at?place=S1", "/put-up", "/products",
    "/product?name=Elderberry%20jelly", "/dishes", "/dish?name=Sunday%20roast%20chicken", "/log", "/no-store",
    "/part-jars", "/more", "/phones", "/no-such-page",
)  # fmt: skip
BOARDS = ("/eat-first", "/run-out", "/season", "/sitters")

TOO_SMALL = """() => {
  const inText = e => e.tagName === 'A' && e.closest('p:not(.name), .note, details li');
  const all = [...document.querySelectorAll('a, button, input:not([type=hidden]), select, summary')];
  const shown = all.filter(e => !e.closest('.skip') && e.getClientRects().length && !inText(e));
  const box = e => (e.type === 'checkbox' ? e.closest('label') : e).getBoundingClientRect();
  return shown.filter(e => box(e).height < 43.5 || box(e).width < 43.5)
    .map(e => `${box(e).width}x${box(e).height} ${e.outerHTML.slice(0, 90)}`);
}"""
"""What a thumb would miss: less than 44 px high or wide, links within a sentence apart (WCAG 2.2, 2.5.8)."""


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo's page by link, its boards worked out, and one search at each state."""
    with serving(demo_with_its_week(tmp_path_factory.mktemp("pages") / "demo"), by_link=True) as served:
        for board in BOARDS:
            served.searches.ask(board.removeprefix("/"))
        yield served


def let_in(browser: Browser, served: Served, width: int, height: int, scheme: str) -> Page:
    context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme, bypass_csp=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(60_000)
    if served.guard.by_link:
        page.goto(f"{served.at}/come-in/{served.guard.new_link('hand')}")
        page.wait_for_url(f"{served.at}/")
    return page


def violations(page: Page, rules: list[str] | None = None) -> list[str]:
    """What axe finds against WCAG 2.2 A and AA and its own best practice."""
    options = {"runOnly": {"type": "rule", "values": rules}} if rules else None
    found = Axe().run(page, options=options).response["violations"]
    return [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in found]


def wait_for_board(page: Page) -> None:
    expect(page.locator("#ahead .report")).to_be_visible(timeout=120_000)
    expect(page.locator("#ahead .working")).to_have_count(0, timeout=120_000)


def all_pages(page: Page, served: Served) -> Iterator[str]:
    """Every page in turn, as it stands when all is worked out."""
    for path in (*PAGES, *BOARDS):
        page.goto(served.at + path)
        if path in BOARDS:
            wait_for_board(page)
        yield path
    # pages that a form leads to
    page.goto(served.at + "/phones")
    page.get_by_role("button", name="A link for one more of us").click()
    yield "/phones, with a link"
    page.goto(served.at + "/")
    page.locator("summary", has_text="Change this dish").first.click()
    yield "/, with a dish to change"
    page.get_by_role("button", name="Another dish").first.click()
    expect(page.locator("#search .report")).to_be_visible(timeout=60_000)
    yield "/search, other dishes"


def test_axe_finds_nothing_light_or_dark_and_a_thumb_hits_at_320_px(worked_out: Served, browser: Browser) -> None:
    page = let_in(browser, worked_out, 390, 844, "light")
    found: dict[str, list[str]] = {}
    for path in all_pages(page, worked_out):
        told = violations(page)
        page.emulate_media(color_scheme="dark")
        told += violations(page, ["color-contrast"])  # in the dark the words are the same
        page.emulate_media(color_scheme="light")
        page.set_viewport_size({"width": 320, "height": 700})
        if (width := page.evaluate("document.documentElement.scrollWidth")) > 320:
            told.append(f"{width} px wide")
        told += page.evaluate(TOO_SMALL)[:3]
        page.set_viewport_size({"width": 390, "height": 844})
        if told:
            found[path] = told
    page.context.close()
    assert found == {}


def test_an_empty_larder_has_every_page(tmp_path: Path, browser: Browser) -> None:
    with serving(empty(tmp_path / "empty")) as served:
        page = let_in(browser, served, 390, 844, "light")
        statuses = {}
        for path in PAGES:
            answer = page.goto(served.at + path.replace("S1", "K"))
            assert answer is not None
            statuses[path] = answer.status
            assert page.evaluate("document.documentElement.scrollWidth") == 390
        page.goto(served.at + "/products")
        expect(page.get_by_text("products.csv has no product yet")).to_be_visible()
        page.goto(served.at + "/eat-first")
        expect(page.get_by_text("Nothing presses just now.")).to_be_visible(timeout=60_000)
        page.goto(served.at + "/season")
        expect(page.locator("#ahead .trouble")).to_contain_text("season.yaml has no harvest", timeout=60_000)
        page.context.close()
    names_nothing = {"/product?name=Elderberry%20jelly": 409, "/dish?name=Sunday%20roast%20chicken": 409}
    assert statuses == dict.fromkeys(PAGES, 200) | names_nothing | {"/no-such-page": 404}


def test_a_long_board_is_entered_by_its_chapters(worked_out: Served, browser: Browser) -> None:
    page = let_in(browser, worked_out, 390, 844, "light")
    page.goto(worked_out.at + "/run-out")
    wait_for_board(page)
    page.locator("summary", has_text="Chapters").click()
    page.locator(".chapters a", has_text="Short of the day").click()
    expect(page.get_by_role("heading", name="Short of the day")).to_be_in_viewport()
    assert page.locator("h2[id]").count() == page.locator(".chapters a").count() > 3
    page.context.close()


def test_keyboard_alone_ticks_a_row(worked_out: Served, browser: Browser) -> None:
    page = let_in(browser, worked_out, 1280, 800, "light")
    page.goto(worked_out.at + "/pull")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the page")).to_be_focused()
    page.keyboard.press("Enter")
    button = page.locator("button.tick[aria-pressed=false]").first
    for _ in range(8):
        page.keyboard.press("Tab")
        if button.evaluate("b => b === document.activeElement"):
            break
    held = button.get_attribute("id")
    page.keyboard.press("Enter")
    expect(page.locator(f"#{held}")).to_have_attribute("aria-pressed", "true", timeout=15_000)
    expect(page.locator(f"#{held}")).to_be_focused()
    page.context.close()


def test_of_what_is_held_no_day_is_told_on_which_it_goes(worked_out: Served, browser: Browser) -> None:
    """Nine held half-pints are there, and no meal takes one."""
    page = let_in(browser, worked_out, 390, 844, "light")
    page.goto(worked_out.at + "/run-out")
    wait_for_board(page)
    page.goto(worked_out.at + "/product?name=Elderberry%20jelly")
    expect(page.get_by_text("not to be eaten or counted")).to_be_visible()
    expect(page.get_by_text("last one goes")).to_have_count(0)
    page.goto(worked_out.at + "/product?name=Applesauce")
    expect(page.get_by_text("last one goes").first).to_be_visible()
    page.context.close()
