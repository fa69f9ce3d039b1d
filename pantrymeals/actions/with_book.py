"""A household with its book, and the menu that counts: what every question about the future begins from."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.actions.book.pantry import has_book, pantry_book
from pantrymeals.actions.larder import as_written, movements_in, pantry_of, told_by
from pantrymeals.errors import PantryError
from pantrymeals.larder.must_reach import with_crops_that_are_in
from pantrymeals.words import day_and_year

if TYPE_CHECKING:
    from datetime import date

    from pantrymeals.forecast.forecast import BookPace
    from pantrymeals.larder.at_table import AtTable
    from pantrymeals.plans.menu import MenuPlan
    from pantrymeals.records import Household, Movement


class Larder(Struct, frozen=True, dict=True):
    """A household and its book, read once. failed: jars that the book has as not sealed."""

    household: Household
    book: tuple[Movement, ...]
    failed: int = 0

    def to_come(self, plan: MenuPlan | None) -> MenuPlan | None:
        """What of a menu is still to come, on the household's day; None where there is none, or all is past."""
        if plan is None:
            return None
        from pantrymeals.actions.announced import to_come

        return to_come(self.household, plan)

    @cached_property
    def at_table(self) -> AtTable:
        """What dishes and published plans would have this table take."""
        from pantrymeals.actions import food_tables
        from pantrymeals.larder.at_table import AtTable

        return AtTable(self.household, food_tables.per_person_plans())

    @cached_property
    def pace(self) -> BookPace:
        """What the book tells of this table's pace, learnt once; a young one's beside published plans and the
        announced menus."""
        from pantrymeals.forecast.forecast import learn_paces, with_menus

        pace = learn_paces(self.household, self.book, self.at_table)
        if pace.young and self.household.folder:
            from pantrymeals.actions.announced import still_to_come

            for _, plan in still_to_come(Path(self.household.folder), self.household):
                pace = with_menus(pace, plan, self.household)
        return pace


def open_with_book(folder: Path, today: date | None, calendar_day: date) -> Larder:
    """The household of a folder and every line of its book. Raises PantryError."""
    household = as_written(folder, today, calendar_day)
    if not has_book(folder):
        return Larder(with_crops_that_are_in(household), ())
    pantry = pantry_of(folder, household)
    with pantry_book(pantry, reading=True) as book:
        return Larder(told_by(pantry, book, household), movements_in(pantry, book), book.failed_seals())


def ahead_in(file: Path, household: Household) -> MenuPlan:
    """The days to come of the menu that a file holds. Raises PantryError where it holds none of this household's, or
    one that is over."""
    from pantrymeals.actions.announced import to_come
    from pantrymeals.actions.stored_menu import announced_in

    found = announced_in(file, household)
    ahead = to_come(household, found)
    if ahead is None:
        raise PantryError(f"the menu in {file} ended on {day_and_year(found.last)}: nothing of it is to come")
    return ahead


def menu_counted(folder: Path, household: Household, file: Path | None, without: bool) -> tuple[str, MenuPlan | None]:
    """The menu whose draws count while it runs, in words and itself: a file's, else the announced one's days to come.

    without: none at all. Raises PantryError for a file that holds no menu of this household's, or one that is over.
    """
    from pantrymeals.actions.announced import still_to_come, without_what_is_pulled

    if file is not None:
        return f"the menu in {file}", without_what_is_pulled(folder, household, ahead_in(file, household)).plan
    found = () if without else still_to_come(folder, household)
    return (found[0][0].words, found[0][1]) if found else ("", None)
