"""What a young book does not tell, what is carried over, and the book's sums, in whatever command they stand.

`test_every_two_commands.py` beside this compares what the commands print; here stand the cases that one command
alone tells, or whose figure is worked out anew.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.book.look import season_rows
from pantrymeals.actions.menu import lay_out
from pantrymeals.actions.no_store import make_no_store
from pantrymeals.actions.report import larder_report
from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.run_out_picture import pictures
from pantrymeals.actions.season import make_notes, question_of
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.forecast.spare import spare
from pantrymeals.no_store.must_go import must_go_marks
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.outlook import Forecast, ForecastRow
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from pantrymeals.reports.terminal.evening import write_spared
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.run_out import write_pinches
from pantrymeals.reports.terminal.run_out_forecast import write_forecast
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.sitters import sitters
from pantrymeals.tables.outlook import run_out as run_out_tables
from tests.kitchens.three_houses import HOUSES
from tests.kitchens.tiny import MONDAY, cooked, day, jar, lot, menu, supper

GOLDEN = Path(__file__).parents[2] / "golden" / "demo_week.json"


def week_of(larder: Larder) -> MenuPlan:
    home = larder.household
    name = next(iter(home.dishes))
    return menu(home, [supper(day(n), cooked(home, name)) if n < 2 else supper(day(n)) for n in range(7)])


@pytest.fixture(scope="module", params=[*HOUSES, "demo"])
def house(request: pytest.FixtureRequest, demo_folder: Path) -> tuple[Larder, MenuPlan]:
    if request.param == "demo":
        larder = open_with_book(demo_folder, None, MONDAY.replace(day=17))
        return larder, plan_in(read_menu_file(GOLDEN.read_text(encoding="utf-8")))
    larder = HOUSES[request.param]()
    return larder, week_of(larder)


def by_product(forecast: Forecast) -> dict[str, ForecastRow]:
    assert len({row.product for row in forecast.rows}) == len(forecast.rows)
    return {row.product: row for row in forecast.rows}


def answers(larder: Larder, plan: MenuPlan) -> Iterator[tuple[str, dict[str, ForecastRow]]]:
    """Every forecast that a command shows, those with the same menus first."""
    sheet = lay_out(larder.household, plan, pace=larder.pace)
    yield "menu", by_product(sheet.forecast)
    yield "run-out --menu", by_product(run_out(larder, Chance(), plan))
    yield "run-out", by_product(run_out(larder, Chance()))


def test_a_young_book_says_what_a_pace_rests_on_and_has_no_sitters_in_any_command(
    house: tuple[Larder, MenuPlan],
) -> None:
    larder, plan = house
    forecast = lay_out(larder.household, plan, pace=larder.pace).forecast
    for row in forecast.rows:
        assert (row.as_eaten is None) == (row.told_by in ((), ("standing use",)))
    alone = {row.told_by for row in forecast.rows} == {("the book",)}
    assert alone == (larder.household.name not in ("Couple", "Metric")), "a young book never speaks alone"
    told_young = any("Too young to tell what sits" in note for note in forecast.notes)
    assert told_young == (larder.household.name in ("Couple", "Metric"))
    asked = question_of(larder)
    notes = make_notes(asked, 2025)
    assert told_young == any("Too young to tell what sits" in line for line in notes.summary)
    if told_young:
        assert notes.sitters == ()
        assert all(row.kind != "sitter" for row in sitters(asked, 0.2))


def test_what_a_young_book_cannot_tell_is_called_so_on_every_sheet_and_must_not_go() -> None:
    """Nine pints that no dish takes, three weeks after the first count: nobody knows whether that is a glut."""
    home = HOUSES["couple"]().household
    pickles = {"Pickles": jar("Pickles", sizes=["pt"])}
    home = replace(home, products={**home.products, **pickles}, lots=(*home.lots, lot("Pickles", 9, "pt")))
    larder, plan = Larder(home, ()), week_of(Larder(home, ()))
    forecast = run_out(larder, Chance(paths=100))
    pinches = printed(lambda paper: write_pinches(paper, lay_out(home, plan, pace=larder.pace)))
    board = printed(lambda paper: write_forecast(paper, forecast))
    page = larder_report(larder, None, Chance(paths=100), season=False).decode()
    assert "TOO YOUNG TO TELL (1)\n" in board.upper()
    assert re.search(r"Too young to tell: Pickles\.", pinches)
    assert "Too young to tell: 1;" in page
    for sheet in (pinches, board, page):
        assert not re.search(r"Pickles[^.\n]*\bglut\b", sheet.split("When each product runs out")[0])
    (row,) = (row for row in run_out_tables(forecast)[0].to_dict("records") if row["product"] == "Pickles")
    assert (row["told_by"], row["as_eaten_mark"]) == ((), None)
    assert "Pickles" not in must_go_marks(forecast)
    assert (pictures(forecast)["Pickles"].mark, pictures(forecast)["Beans"].mark) == ("too young to tell", "glut")
    spared = spare(home, larder.pace, pickles["Pickles"], pickles["Pickles"].sizes[0], Fraction(3))
    assert spared.answer == "too young to tell"
    said = printed(lambda paper: write_spared(paper, spared))
    assert "Too young to tell. No book" in said
    assert "glut" not in said


def printed(write: Callable[[Paper], None]) -> str:
    paper = Paper()
    write(paper)
    return paper.text()


CARRIED = re.compile(r"; (\d+)[^;]* will be carried over")


def test_the_put_up_list_carries_over_what_run_out_leaves(house: tuple[Larder, MenuPlan]) -> None:
    larder, _ = house
    asked = question_of(larder)
    wanted, rows = put_up_list(asked), by_product(run_out(larder, Chance()))
    carried = {line.product: int(line.carried_over) for line in wanted.lines}
    carried |= {name: int(found[1]) for name, why in wanted.none if (found := CARRIED.search(why))}
    compared = 0
    for name, count in carried.items():
        row = rows.get(name)
        assert row is None or row.as_planned.mark != "held"
        harvest = asked.facts.harvest_of(name)
        if row is None or harvest is None or row.due() != row.must_last_to or row.must_last_to is None:
            continue
        if (row.must_last_to.month, row.must_last_to.day) != harvest.first:
            continue
        if row.as_eaten is None:  # standing use alone, 1/4 hp a week
            weeks = (row.must_last_to - larder.household.today).days / 7
            left = max(0.0, row.on_hand - {"Plum jam": 0.25}[name] * weeks)
        else:
            left = row.as_eaten.left
        assert count == round(left), name
        compared += 1
    assert wanted.by_the_book
    assert compared >= (20 if larder.household.name == "Tarrow" else 1)


def test_a_thing_is_to_be_gone_or_to_last_never_both(house: tuple[Larder, MenuPlan]) -> None:
    larder, plan = house
    for _, rows in answers(larder, plan):
        for name, row in rows.items():
            assert row.must_last_to is None or row.eat_by is None
            keeps = larder.household.products[name].deadline_kind == "keeps to"
            assert (row.eat_by is not None) == keeps
            for reason in (p.reason for p in (row.as_eaten, row.as_planned) if p):
                assert not (keeps and "Must last to" in reason)
                assert not (not keeps and "Eat by" in reason)


def test_season_notes_and_history_sum_the_book_alike(house: tuple[Larder, MenuPlan]) -> None:
    larder, _ = house
    asked = question_of(larder)
    compared = 0
    for year in sorted({record.year for record in asked.years if record.year >= 2023}):
        for row in make_notes(asked, year).rows:
            name = row.record.product
            own = [m for m in larder.book if m.product == name and m.day <= larder.household.today]
            told = [y for y in season_rows(larder.household.products[name], own) if y.year == year]
            for season in told:
                mine, theirs = (
                    (y.carried_in, y.put_up, y.given, y.lost, y.used, y.carried_out) for y in (season, row.record)
                )
                assert mine == theirs, (name, year)
                compared += 1
    assert compared >= 2


def test_onions_missing_at_the_count_were_not_eaten() -> None:
    larder = HOUSES["long"]()
    rows = season_rows(larder.household.products["Onions"], [m for m in larder.book if m.product == "Onions"])
    assert (rows[-1].lost, rows[-1].used) == (6, Fraction(38))


@pytest.mark.parametrize("name", HOUSES)
def test_a_rehearsal_reads_the_same_forecast(name: str) -> None:
    larder = HOUSES[name]()
    pace = larder.pace
    sheet = make_no_store(larder.household, None, 3, 1, 3.0, pace=pace)
    told = by_product(sheet.menu.forecast)
    for product, row in by_product(run_out(larder, Chance(), sheet.rehearsal.plan)).items():
        assert (row.as_eaten, row.must_last_to, row.eat_by) == (
            told[product].as_eaten, told[product].must_last_to, told[product].eat_by,
        )  # fmt: skip
    before = by_product(run_out(larder, Chance()))
    for product, mark in sheet.rehearsal.must_go_marks.items():
        row = before[product]
        assert mark in {pace.mark for pace in (row.as_eaten, row.as_planned) if pace}
    for pinch in sheet.rehearsal.pinches:
        if pinch.kind == "later share":
            assert pinch.day == told[pinch.product].as_planned.out
    assert sheet.rehearsal.household.today == larder.household.today + timedelta(0)
