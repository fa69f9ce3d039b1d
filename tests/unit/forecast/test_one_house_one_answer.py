"""No product has two marks, two days or two sums in any two commands, but for the two labelled paces.

What each command answers is read from its own records and compared product by product; nothing here reckons.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.book.look import season_rows
from pantrymeals.actions.menu import lay_out
from pantrymeals.actions.no_store import make_no_store
from pantrymeals.actions.run_out import Chance, Larder, eat_first_answer, how_we_eat, open_with_book, run_out
from pantrymeals.actions.season import make_notes, question_of
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.outlook import Forecast, ForecastRow
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.sitters import sitters
from tests.kitchens.three_houses import HOUSES
from tests.kitchens.tiny import MONDAY, cooked, day, menu, supper

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
    sheet = lay_out(larder.household, plan, pace=how_we_eat(larder))
    yield "menu", by_product(sheet.forecast)
    yield "run-out --menu", by_product(run_out(larder, Chance(), plan))
    yield "run-out", by_product(run_out(larder, Chance()))


def test_menu_and_run_out_give_one_answer_at_each_pace(house: tuple[Larder, MenuPlan]) -> None:
    (_, in_menu), (_, with_menu), (_, alone) = answers(*house)
    assert in_menu == with_menu
    assert len(alone) >= len(house[0].household.lots) / 8
    for name, row in alone.items():
        told = in_menu[name]
        assert replace(row, as_planned=told.as_planned) == told, "only the menus' own column may differ"


def test_a_young_book_says_what_a_pace_rests_on_and_has_no_sitters_in_any_command(
    house: tuple[Larder, MenuPlan],
) -> None:
    larder, plan = house
    forecast = lay_out(larder.household, plan, pace=how_we_eat(larder)).forecast
    for row in forecast.rows:
        assert (row.as_eaten is None) == (row.told_by in ((), ("standing use",)))
    alone = {row.told_by for row in forecast.rows} == {("the book",)}
    assert alone == (larder.household.name not in ("Couple", "Metric")), "a young book never speaks alone"
    told_young = any("Too young to tell what sits" in note for note in forecast.notes)
    assert told_young == (larder.household.name in ("Couple", "Metric"))
    asked = question_of(larder.household, larder.book)
    notes = make_notes(asked, 2025)
    assert told_young == any("Too young to tell what sits" in line for line in notes.summary)
    if told_young:
        assert notes.sitters == ()
        assert all(row.kind != "sitter" for row in sitters(asked, 0.2))


def test_sitters_are_the_same_everywhere(house: tuple[Larder, MenuPlan]) -> None:
    larder, plan = house
    asked = question_of(larder.household, larder.book)
    listed = {row.product for row in sitters(asked, 0.2) if row.kind == "sitter"}
    noted = set(make_notes(asked, 2025).sitters)
    for command, rows in answers(larder, plan):
        marked = {
            name
            for name, row in rows.items()
            for pace in (row.as_eaten, row.as_planned)
            if pace and pace.mark == "sitter"
        }
        both = {name for name, row in rows.items() if row.as_planned.mark == "sitter"}
        hidden = {name for name, row in rows.items() if row.as_planned.mark in ("held", "not on menus")}
        assert marked == both, command
        assert marked == listed - hidden, command
        assert marked == noted - hidden, command
    assert larder.household.name in ("Couple", "Metric") or listed


def test_sitters_and_run_out_say_held_of_the_same_things_and_count_alike(house: tuple[Larder, MenuPlan]) -> None:
    larder, _ = house
    told = {row.product: row for row in sitters(question_of(larder.household, larder.book), 0.2)}
    rows = by_product(run_out(larder, Chance()))
    held = {name for name, row in rows.items() if row.as_planned.mark == "held"}
    assert held - {n for n, p in larder.household.products.items() if not p.on_menus} == {
        name for name, row in told.items() if row.kind == "held"
    }
    for name, row in told.items():
        assert row.on_hand == rows[name].on_hand + rows[name].elsewhere, name


CARRIED = re.compile(r"; (\d+)[^;]* will be carried over")


def test_the_put_up_list_carries_over_what_run_out_leaves(house: tuple[Larder, MenuPlan]) -> None:
    larder, _ = house
    asked = question_of(larder.household, larder.book)
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


def test_eat_first_names_what_is_marked_so_with_its_day(house: tuple[Larder, MenuPlan]) -> None:
    larder, _ = house
    told = json.loads(eat_first_answer(larder, Chance()).json())["eat_first"]["must_go"]
    listed = {found["product"]: found for found in told if found["kind"] == "keeper"}
    rows = by_product(run_out(larder, Chance()))
    marked = {n for n, r in rows.items() for pace in (r.as_eaten, r.as_planned) if pace and pace.mark == "eat first"}
    assert set(listed) == marked
    for name, found in listed.items():
        assert (found["eat_by"], rows[name].must_last_to) == (str(rows[name].eat_by), None)
        assert found["amount"] == pytest.approx(rows[name].on_hand - rows[name].reserve, abs=1e-3)


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
    asked = question_of(larder.household, larder.book)
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
    pace = how_we_eat(larder)
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
