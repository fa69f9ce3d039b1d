"""The pull list walked row by row: all ticks together are the whole pull, and each is its own."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec import Struct

from pantrymeals.actions.book.enter import take_back
from pantrymeals.actions.book.pantry import Pantry, pantry_book, read_pantry
from pantrymeals.actions.book.walk import PullWalk, WalkLine, the_rest, tick, walk
from pantrymeals.actions.larder import as_written
from pantrymeals.actions.menu import announced_sheet
from pantrymeals.actions.stored_menu import menu_to_pull_in
from pantrymeals.book.book import Book
from pantrymeals.plans.menu import ChosenUse, MenuPlan, Opening, PlannedDish, PlannedMeal, PullLine, PullList
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.reports.sheet import MenuSheet
from tests.page.larders import demo_with_its_week

SATURDAY, SUNDAY = date(2026, 1, 17), date(2026, 1, 18)


class Week(Struct):
    """The demo's stored week, and its book, open."""

    pantry: Pantry
    book: Book
    sheet: MenuSheet
    menu: MenuToPull

    def walked(self) -> PullWalk:
        return walk(self.book, self.sheet.plan, self.sheet.pull)

    def shelf(self) -> dict[tuple[str, str, str], Fraction]:
        """By product, label and state: what is on hand, and what is open; of what comes in by itself (bread, milk)
        nothing, since which loaf the book lacks is the one that is ticked last."""
        comes_in = self.pantry.comes_in(SATURDAY, self.menu.last)
        out: dict[tuple[str, str, str], Fraction] = {}
        for here in self.book.on_hand():
            key = (here.lot.product, f"{here.lot.put_up} {here.lot.load}", here.state)
            out[key] = out.get(key, Fraction(0)) + here.count
        for jar in self.book.part_jars():
            key = (jar.part.product, f"open {jar.part.opened}", jar.part.size)
            out[key] = out.get(key, Fraction(0)) + jar.left
        return {key: count for key, count in out.items() if key[0] not in comes_in}


@pytest.fixture
def week(tmp_path: Path) -> Iterator[Week]:
    folder = demo_with_its_week(tmp_path / "demo")
    household = as_written(folder, None, SATURDAY)
    found, sheet = announced_sheet(folder, household)
    pantry = read_pantry(folder, None, SATURDAY)
    with pantry_book(pantry) as book:
        yield Week(pantry, book, sheet, menu_to_pull_in(found.file))


def lines(walked: PullWalk) -> list[WalkLine]:
    return [line for stop in walked.stops for line in stop.lines]


def test_all_ticks_in_any_order_and_the_rest_are_the_whole_pull(week: Week) -> None:
    before = week.shelf()
    the_rest(week.pantry, week.book, week.menu, week.menu.last, "whole")
    at_once, served = week.shelf(), set(week.book.served(SATURDAY))
    take_back(week.pantry, week.book, "undo", None)
    assert week.shelf() == before != at_once

    ticks = list(week.walked().ticks.values())
    random.Random(4).shuffle(ticks)
    for number, each in enumerate(ticks):
        assert week.walked().done == number
        tick(week.pantry, week.book, week.menu, each, week.menu.last, each.number)
    assert week.shelf() == at_once
    assert not week.walked().closed
    the_rest(week.pantry, week.book, week.menu, week.menu.last, "close")
    assert week.shelf() == at_once
    assert week.walked().closed
    assert set(week.book.served(SATURDAY)) == served


def test_a_tick_is_entered_once_and_taken_back_alone(week: Week) -> None:
    before, row = week.shelf(), next(line for line in lines(week.walked()) if line.tick and not line.elsewhere)
    assert row.tick is not None
    for _ in range(3):
        tick(week.pantry, week.book, week.menu, row.tick, week.menu.last, "once")
    up = next(line for line in lines(week.walked()) if line.tick == row.tick)
    assert (up.done, up.alone, week.walked().done) == (True, True, 1)
    take_back(week.pantry, week.book, "undo", up.entry)
    assert week.shelf() == before
    assert week.walked().done == 0


def test_a_row_of_the_whole_pull_is_not_taken_back_by_itself(week: Week) -> None:
    the_rest(week.pantry, week.book, week.menu, week.menu.last, "whole")
    rows = [line for line in lines(week.walked()) if line.tick]
    assert all(line.done and not line.alone for line in rows)
    assert len({line.entry for line in rows}) == 1


def test_goods_of_a_batch_day_have_no_tick(week: Week) -> None:
    names = {work.name for work in week.sheet.plan.batch_work}
    rows = [line for line in lines(week.walked()) if any(name in use for name in names for use in line.uses)]
    assert rows
    assert all(line.tick is None for line in rows)


def _small(*fetched: PullLine) -> tuple[MenuPlan, PullList]:
    uses = (ChosenUse("Peas", Fraction(2)),)
    meals = tuple(
        PlannedMeal(day, "supper", Fraction(2), (PlannedDish("main", "Pea soup", Fraction(1), uses),))
        for day in (SATURDAY, SUNDAY)
    )
    openings = (
        Opening(SATURDAY, "Peas", "pt", 2, uses=((SATURDAY, Fraction(2)),)),
        Opening(SUNDAY, "Peas", "pt", 2, uses=((SUNDAY, Fraction(2)),)),
    )
    plan = MenuPlan(
        SATURDAY, 2, meals, openings, (), (), (), Fraction(1), 0.0, 0.0, 0.0, 0.0, 0, "work", 0,
    )  # fmt: skip
    return plan, PullList(fetched, (), (), ())


def _jar(where: str, day: date, count: int, put_up: str) -> PullLine:
    return PullLine(day, where, "jar", "Peas", "pt", Fraction(count), put_up, day, "Pea soup")


def test_days_from_two_lots_are_two_ticks_and_a_day_of_two_lots_is_one(week: Week) -> None:
    apart = walk(week.book, *_small(_jar("K", SATURDAY, 2, "2024"), _jar("N1", SUNDAY, 2, "2025")))
    assert [sorted(t.days) for t in apart.ticks.values()] == [[SATURDAY], [SUNDAY]]
    assert [line.elsewhere for line in lines(apart)] == ["", ""]

    shared = walk(
        week.book,
        *_small(_jar("K", SATURDAY, 1, "2024"), _jar("N1", SATURDAY, 1, "2025"), _jar("N1", SUNDAY, 2, "2025")),
    )
    assert [sorted(t.days) for t in shared.ticks.values()] == [[SATURDAY, SUNDAY]]
    assert [line.elsewhere for line in lines(shared)] == ["N1", ""]
