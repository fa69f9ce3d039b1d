"""A part jar that a pulled menu will leave: its clock does not run yet, and no list says that it is open."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.actions.book.look import part_rows
from pantrymeals.actions.book.plan import PullAsked, pull_of_plan
from pantrymeals.actions.book.say import told
from pantrymeals.book.lines import LotFacts
from pantrymeals.plans.menu import ChosenUse, Opening, PlannedDish, PlannedMeal
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.reports.terminal.book_tables import write_part_jars
from pantrymeals.reports.terminal.paper import Paper
from tests.unit.book.kitchen import SAUCE_24, TODAY, a_book, enter, on_shelf, pantry

LATER = TODAY + timedelta(days=5)
BIRD = LotFacts("Whole chicken", "bird", "2025-09-20")


def shown(book: object, today: date) -> list[str]:
    paper = Paper()
    write_part_jars(paper, part_rows(pantry(today=today), book), today)  # type: ignore[arg-type]
    return [" ".join(line.split()) for line in paper.text().splitlines() if line.strip("-= ")]


def test_what_a_menu_will_open_is_told_apart_until_that_day() -> None:
    book = a_book(on_shelf(SAUCE_24, 3))
    half = ChosenUse("Applesauce", _half_a_quart())
    dish = PlannedDish("main", "Pudding", Fraction(1), (half,))
    opening = Opening(LATER, "Applesauce", "qt", 1, uses=((LATER, _half_a_quart()),))
    menu = MenuToPull(TODAY, 7, (PlannedMeal(LATER, "supper", Fraction(6), (dish,)),), (opening,))
    lines = pull_of_plan(pantry(), book, menu, PullAsked(menu.last)).lines
    assert "  + part jar: 1/2 qt Applesauce, to be opened 22 Jan" in told(lines, TODAY)
    enter(book, lines)
    assert shown(book, TODAY) == [
        "PART JARS", "None open.", "PULLED, AND STILL TO BE OPENED",
        "Product Left To be opened Clock runs to Goes to", "Applesauce 1/2 qt 22 Jan 2026 28 Jan 2026 Fridge",
        "Left: what the menu's dishes will leave. The clock starts when the jar is", "opened, or the pack lifted out.",
    ]  # fmt: skip
    assert shown(book, LATER) == [
        "PART JARS", "Product Left Opened Clock runs to Where", "Applesauce 1/2 qt 22 Jan 2026 28 Jan 2026 Fridge",
    ]  # fmt: skip


def _half_a_quart() -> Fraction:
    product = pantry().product("Applesauce")
    assert product is not None
    return product.sizes[0].content / 2
