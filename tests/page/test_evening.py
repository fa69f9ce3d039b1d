"""A Saturday evening with the phone in one hand, as a household has it; and the same where things go wrong."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from pantrymeals.actions.book.walk import Tick, walk
from tests.page.conftest import Served, form_of, serving
from tests.page.larders import demo_with_its_week, metric

PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone that comes to the page for the first time."""
    context = browser.new_context(**PHONE)
    context.set_default_timeout(20_000)
    yield context
    context.close()


def on_hand(served: Served, product: str) -> Fraction:
    """What the book has on the shelf of a product, whatever its sizes."""
    with served.kitchen.book(reading=True) as (_, book):
        return sum((here.count for here in book.on_hand(product) if here.state == ""), Fraction(0))


def last_command(served: Served) -> str:
    with served.kitchen.book(reading=True) as (_, book):
        return book.entries(1)[0].command


def on_the_list(served: Served) -> list[Tick]:
    """Rows whose product is loose or on the shelf in plenty, so that a tick takes some of it."""
    told = served.kitchen.told()
    assert told is not None
    with served.kitchen.book(reading=True) as (pantry, book):
        found = walk(book, told.sheet.plan, told.sheet.pull)
        comes_in = pantry.comes_in(told.announced.first, told.announced.last)
    places = [line for stop in found.stops if stop.kind == "place" for line in stop.lines]
    return [line.tick for line in places if line.tick and not line.elsewhere and line.tick.product not in comes_in]


def supper(served: Served) -> str:
    """Tonight's main dish."""
    told = served.kitchen.told()
    assert told is not None
    plan = told.sheet.plan
    return next(
        d.dish for m in plan.meals if (m.day, m.meal) == (plan.first, "supper") for d in m.dishes if d.role == "main"
    )


def row(page: Page, tick: Tick) -> Any:
    return page.locator(f"#t{tick.number}")


def up(page: Page) -> int:
    """How many rows the page says are up."""
    found = re.search(r"(\d+) of \d+ up", page.locator("#pull .lead").first.inner_text())
    assert found is not None
    return int(found[1])


def test_saturday_evening(demo_page: Served, phone: BrowserContext) -> None:
    page, tonight = phone.new_page(), supper(demo_page)
    one, other, *_ = on_the_list(demo_page)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda m: faults.append(m.text) if m.type == "error" else None)

    # tonight's supper, the pull list and 'someone took one' are each one tap away
    page.goto(demo_page.at + "/more")
    nav = page.get_by_role("navigation")
    nav.get_by_role("link", name="Supper").tap()
    expect(page.get_by_role("heading", name="Tonight")).to_be_visible()
    expect(page.locator(".supper .name").first).to_have_text(tonight)
    page.locator(".supper .name a").first.tap()
    expect(page.get_by_role("heading", name="How it is cooked")).to_be_visible()

    # the walk: two rows are ticked, one by mistake, which is taken back
    nav.get_by_role("link", name="Pull list").tap()
    before = on_hand(demo_page, one.product)
    row(page, one).tap()
    expect(row(page, one)).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#pull .lead").first).to_contain_text("1 of")
    assert on_hand(demo_page, one.product) < before
    row(page, other).tap()
    expect(row(page, other)).to_have_attribute("aria-pressed", "true")
    row(page, other).tap()
    expect(row(page, other)).to_have_attribute("aria-pressed", "false")
    assert last_command(demo_page).startswith("undo ")

    # someone took one: a tap; and in words
    jars = on_hand(demo_page, "Applesauce")
    nav.get_by_role("link", name="Took one").tap()
    page.get_by_label("What was taken?").fill("2 qt applesauce")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("Entered, no.")
    assert on_hand(demo_page, "Applesauce") == jars - 2
    page.get_by_role("button", name="Take it back").tap()
    expect(page.locator("#said")).to_contain_text("Taken back")
    assert on_hand(demo_page, "Applesauce") == jars

    # the count of one shelf
    page.goto(demo_page.at + "/count/at?place=S1")
    field = page.get_by_role("textbox").first
    label = page.locator("li.counted b").first.inner_text()
    counted = on_hand(demo_page, label)
    page.get_by_role("button", name=f"one less {label}").first.tap()
    assert field.input_value() != ""
    page.get_by_role("button", name="Enter and stay").tap()
    expect(page.locator("#said")).to_contain_text("1 difference")
    assert on_hand(demo_page, label) == counted - 1

    # a load put up
    page.goto(demo_page.at + "/put-up")
    page.get_by_label("How many sealed").fill("4 pt green beans, small")
    page.get_by_label("Which tested recipe").fill("county sheet 2024")
    page.get_by_label("Jars that did not seal").fill("1")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("1 pt did not seal")

    # the rest is up too
    page.goto(demo_page.at + "/pull")
    page.get_by_role("button", name="The rest is up too").tap()
    expect(page.get_by_text("The list is closed")).to_be_visible()
    with demo_page.kitchen.book(reading=True) as (_, book):
        assert any(dish == tonight for _, dish in book.served())

    # and the table's word
    page.goto(demo_page.at + "/")
    page.get_by_label("Of which dish").select_option(tonight)
    page.get_by_role("button", name="Too little").tap()
    expect(page.locator("#said")).to_contain_text(f"said too little {tonight}")
    assert tonight in demo_page.kitchen.household().heard
    assert faults == []


def test_ticks_wait_while_the_wifi_is_away(demo_page: Served, phone: BrowserContext) -> None:
    page = phone.new_page()
    one, other, third, *_ = on_the_list(demo_page)
    page.goto(demo_page.at + "/pull")
    before = demo_page.kitchen.newest()
    phone.set_offline(True)
    row(page, one).tap()
    row(page, other).tap()
    row(page, third).tap()
    row(page, third).tap()  # tapped again while it waits: never mind
    expect(page.locator("#waiting")).to_contain_text("2 ticks and strokes wait for the wifi")
    assert demo_page.kitchen.newest() == before
    page.close()  # the page is lost, too

    phone.set_offline(False)
    again = phone.new_page()
    again.goto(demo_page.at + "/pull")
    expect(row(again, one)).to_have_attribute("aria-pressed", "true")
    expect(row(again, other)).to_have_attribute("aria-pressed", "true")
    expect(row(again, third)).to_have_attribute("aria-pressed", "false")
    assert demo_page.kitchen.newest() == before + 2
    assert again.evaluate("localStorage.getItem('larder-waiting')") == "[]"


def test_an_answer_that_is_lost_is_entered_once(demo_page: Served, phone: BrowserContext) -> None:
    """The wifi goes between the entry and its answer: the tick is sent again, and counts once."""
    page, [one, *_] = phone.new_page(), on_the_list(demo_page)
    page.goto(demo_page.at + "/pull")
    before, sent = demo_page.kitchen.newest(), []

    def lose_the_answer(route: Any) -> None:
        sent.append(route.request.post_data)
        if len(sent) == 1:
            route.fetch()
            route.abort()
        else:
            route.continue_()

    page.route("**/pull/tick", lose_the_answer)
    row(page, one).tap()
    expect(page.locator("#waiting")).to_contain_text("waits for the wifi")
    expect(row(page, one)).to_have_attribute("aria-pressed", "true")
    assert len(sent) >= 2
    assert len({re.search("key=([0-9a-f]+)", body)[1] for body in sent}) == 1  # type: ignore[index]
    assert demo_page.kitchen.newest() == before + 1


def offered(page: str) -> list[date]:
    """The days that the form to plan anew with offers."""
    form = page.partition('name="heads_day"')[2].partition("</select>")[0]
    return [date.fromisoformat(day) for day in re.findall(r'value="(\d{4}-\d\d-\d\d)"', form)]


def test_a_day_that_is_up_is_planned_anew_once_its_ticks_are_taken_back(demo_page: Served) -> None:
    told = demo_page.kitchen.told()
    assert told is not None
    first, one = told.announced.first, on_the_list(demo_page)[0]
    week = [first + timedelta(days=n) for n in range(7)]
    with demo_page.client() as client:
        assert offered(client.get("/plan").text) == week
        client.post("/pull/tick", data=form_of(client, key="a", row=one.number))
        assert offered(client.get("/plan").text) == [day for day in week if day not in one.days]
        client.post("/pull/untick", data=form_of(client, key="b", row=one.number))
        assert offered(client.get("/plan").text) == week
        client.post("/pull/rest", data=form_of(client, key="c"))
        nothing_left = client.get("/plan").text
        assert "up already by the book: Sat 17 Jan to Fri 23 Jan. All on these days stays as announced" in nothing_left
        assert offered(nothing_left) == []
        assert 'href="/log"' in nothing_left
        client.post("/undo", data=form_of(client, key="d", entry=demo_page.kitchen.newest(), back="/log"))
        assert offered(client.get("/plan").text) == week


def test_two_phones_see_each_others_ticks(demo_page: Served, browser: Browser) -> None:
    contexts = [browser.new_context(**PHONE) for _ in range(2)]
    hers, his = (context.new_page() for context in contexts)
    one, other, *_ = on_the_list(demo_page)
    hers.goto(demo_page.at + "/pull")
    his.goto(demo_page.at + "/pull")
    row(hers, one).tap()
    expect(row(hers, one)).to_have_attribute("aria-pressed", "true")
    expect(row(his, one)).to_have_attribute("aria-pressed", "true", timeout=9_000)
    before = on_hand(demo_page, one.product)
    # both tick the same row in the same breath: it is taken once
    row(his, other).tap()
    row(hers, other).tap()
    expect(row(hers, other)).to_have_attribute("aria-pressed", "true", timeout=9_000)
    expect(row(his, other)).to_have_attribute("aria-pressed", "true", timeout=9_000)
    with demo_page.kitchen.book(reading=True) as (_, book):
        commands = [e.command for e in book.entries() if e.command.startswith(f"pull --only {other.product} ")]
    assert len(commands) == 1
    assert on_hand(demo_page, one.product) == before
    for context in contexts:
        context.close()


def test_what_the_command_line_enters_is_seen(demo_page: Served, phone: BrowserContext) -> None:
    from typer.testing import CliRunner

    from pantrymeals.cli.main import app

    page, [one, *_] = phone.new_page(), on_the_list(demo_page)
    page.goto(demo_page.at + "/pull")
    done = CliRunner().invoke(app, ["pull", "--only", one.product, "--larder", str(demo_page.folder)])
    assert done.exit_code == 0, done.output
    expect(row(page, one)).to_have_attribute("aria-pressed", "true", timeout=9_000)


def test_without_script_all_works(demo_page: Served, browser: Browser) -> None:
    context = browser.new_context(**PHONE, java_script_enabled=False)
    page, [one, *_] = context.new_page(), on_the_list(demo_page)
    page.goto(demo_page.at + "/pull")
    row(page, one).tap()
    expect(page.locator("#said")).to_contain_text("Entered, no.")
    expect(row(page, one)).to_have_attribute("aria-pressed", "true")
    row(page, one).tap()
    expect(page.locator("#said")).to_contain_text("Taken back")
    page.get_by_role("link", name="Took one").tap()
    page.get_by_label("What was taken?").fill("jelly")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.get_by_role("heading", name="Which?")).to_be_visible()
    page.get_by_role("button", name="Blackcurrant jelly").tap()
    expect(page.locator("#said")).to_contain_text("Blackcurrant jelly")
    page.goto(demo_page.at + "/count/at?place=S1")
    page.get_by_role("textbox").first.fill("0")
    page.get_by_role("button", name="Enter and stay").tap()
    expect(page.locator("#said")).to_contain_text("1 difference")
    context.close()


def test_a_replan_while_ticking_is_offered_and_not_swapped_in(demo_page: Served, phone: BrowserContext) -> None:
    page = phone.new_page()
    announced = sorted((demo_page.folder / "announced").iterdir())
    page.goto(demo_page.at + "/plan")
    page.get_by_label("Day").first.select_option("2026-01-22")
    page.get_by_label("Heads in all").fill("9")
    page.get_by_label("Seconds to search").fill("5")
    page.get_by_role("button", name="Plan anew").tap()
    expect(page.get_by_text("Working on it")).to_be_visible()

    ticking, rows = phone.new_page(), on_the_list(demo_page)
    one = next(tick for tick in rows if max(tick.days) == date(2026, 1, 17))  # days that are up are not planned anew
    ticking.goto(demo_page.at + "/pull")
    began = time.monotonic()
    row(ticking, one).tap()
    expect(row(ticking, one)).to_have_attribute("aria-pressed", "true")
    assert time.monotonic() - began < 10  # the search holds nothing up

    page.get_by_role("button", name="Enough: the best so far").tap()
    expect(page.get_by_text("9 are at supper on Thursday 22 January")).to_be_visible(timeout=90_000)
    assert sorted((demo_page.folder / "announced").iterdir()) == announced
    # what was ticked meanwhile may be in it: it is planned again rather than announced
    expect(page.get_by_text("Something was entered since this menu was planned")).to_be_visible()
    expect(page.get_by_role("button", name="Announce this menu")).to_have_count(0)


def test_a_metric_household(tmp_path: Path, phone: BrowserContext) -> None:
    """No book yet, litres and kilos: a menu planned, announced and pulled with thumbs alone."""
    with serving(metric(tmp_path / "metric")) as served:
        page = phone.new_page()
        page.goto(served.at + "/")
        page.get_by_label("Plan how many days?").fill("2")
        page.get_by_role("button", name="Plan a menu").tap()
        page.get_by_role("button", name="Announce this menu").tap(timeout=90_000)
        expect(page.locator("#said")).to_contain_text("Announced")
        page.get_by_role("link", name="Pull list").tap()
        text = page.locator("#pull").inner_text()
        assert not re.search(r"\b(qt|pt|lb|oz|cup)\b", text)
        assert re.search(r"\d (kg|g|l|ml)\b", text)
        first = page.locator("button.tick").first
        first.tap()
        expect(page.locator("button.tick").first).to_have_attribute("aria-pressed", "true")
        assert up(page) == 1
        page.get_by_role("link", name="Took one").tap()
        page.get_by_label("What was taken?").fill("1/2 kg lemons")
        page.get_by_role("button", name="Write it down").tap()
        expect(page.locator("#said")).to_contain_text("kg Lemons")


def test_a_search_stops_and_its_process_ends(tmp_path: Path) -> None:
    with serving(demo_with_its_week(tmp_path / "demo")) as served:
        search = served.searches.ask("season")
        while search.state == "waiting":
            time.sleep(0.05)
        served.searches.stop(search)
        until = time.monotonic() + 20
        while not search.over and time.monotonic() < until:
            time.sleep(0.05)
        assert search.state == "stopped"
