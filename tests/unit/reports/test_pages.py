"""The printed menu: real pages, the same bytes each time, names never taken for markup."""

from __future__ import annotations

from dataclasses import replace

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.reports.pages.menu import menu_pdf, page_data
from pantrymeals.reports.sheet import MenuSheet
from tests.unit.reports.sheets import small_sheet


def renamed(sheet: MenuSheet, name: str) -> MenuSheet:
    return replace(sheet, household=replace(sheet.household, name=name))


def test_the_same_sheet_gives_the_same_pdf() -> None:
    first = menu_pdf(small_sheet())
    assert first.startswith(b"%PDF-")
    assert menu_pdf(small_sheet()) == first
    assert menu_pdf(renamed(small_sheet(), "Other")) != first


def test_names_are_data_and_never_markup() -> None:
    hostile = '#panic() *x* $ [ ] \\ @y <z> "'
    assert menu_pdf(renamed(small_sheet(), hostile)).startswith(b"%PDF-")


def test_a4_and_letter_differ() -> None:
    assert menu_pdf(small_sheet(), "a4") != menu_pdf(small_sheet(), "us-letter")


def test_pages_carry_every_dish_every_line_and_the_standing_caution() -> None:
    sheet = small_sheet()
    data = str(page_data(sheet))
    for meal in sheet.plan.meals:
        for dish in meal.dishes:
            assert dish.dish in data
    for line in sheet.pull.lines:
        assert line.product in data
    assert STANDING_LINE in data
    assert "soak the beans" in data


def test_faults_are_printed_too() -> None:
    assert page_data(small_sheet(broken=("a fault",)))["faults"] == ["a fault"]
