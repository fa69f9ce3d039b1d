"""The shelf as it would be if what was brought up for days to come were put back: other days are planned around it."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

from msgspec import Struct

from pantrymeals.actions.announced import without_what_is_pulled
from pantrymeals.actions.book.pantry import pantry_book
from pantrymeals.actions.book.pulled_before import ToPull, still_to_pull
from pantrymeals.actions.larder import pantry_of, shelf_by
from pantrymeals.book.book import Book
from pantrymeals.book.lines import LEFT_OUT, PULLED, NewEntry
from pantrymeals.book.writing import undo
from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import MEALS, Household
from pantrymeals.words import listed, short_day, short_span


class ToPlan(Struct, frozen=True):
    """A household to plan a menu anew in: what of the menu is bound by pulls, and the days kept as announced.

    kept: days whose jars wait, all or some of them, with a day before them that is free; they are on its shelf again.
    """

    household: Household
    pulled: ToPull[MenuPlan]
    kept: tuple[date, ...] = ()

    def stay(self, days: Sequence[date], today: date) -> tuple[frozenset[date], str]:
        """Those of a menu's days that stay as announced, being up or before one that is; and in words."""
        last, _ = self.pulled.up_from(today)
        found = frozenset(d for d in days if d in self.kept or (last is not None and d <= last))
        run = [day for day in days if day in found]
        whole = run and (run[-1] - run[0]).days == len(run) - 1
        return found, short_span(run[0], run[-1]) if whole else listed(short_day(day) for day in run)


def around_what_is_up(folder: Path, household: Household, plan: MenuPlan, first: date | None = None) -> ToPlan:
    """What to plan a menu anew with, from ``first`` on (None: today).

    Where a day is up and one before it is not, that one can be planned: the jars are on the shelf again in a copy of
    the book, for their own dishes. Where they cannot be (a pull of days before ``first`` too, or a jar that has gone
    since), the days up to the last that is up stay bound.
    """
    bound = ToPlan(household, without_what_is_pulled(folder, household, plan))
    begin = max(first or household.today, plan.first, household.today)
    up = tuple(day for day in bound.pulled.again if day >= begin)
    if not up or all(begin + timedelta(days=n) in up for n in range((up[-1] - begin).days)):
        return bound
    pantry = pantry_of(folder, household)
    with pantry_book(pantry, reading=True) as book:
        days = _days_pulled(book, plan)
        later = sorted((entry for entry, of in days.items() if max(of) >= begin), reverse=True)
        if any(min(days[entry]) < begin for entry in later):
            return bound
        copy = sqlite3.connect(":memory:", isolation_level=None)
        try:
            book.db.backup(copy)
            back = Book(copy, book.path)
            for entry in later:
                undo(back, NewEntry(household.today, "as if it were put back"), entry)
            if any(max(of) >= begin for of in _days_pulled(back, plan).values()):
                return bound
            return ToPlan(shelf_by(pantry, back, household), still_to_pull(back, plan, frozenset()), up)
        except PantryError:
            return bound
        finally:
            copy.close()


def _days_pulled(book: Book, plan: MenuPlan) -> Mapping[int, set[date]]:
    """The entries that pulled anything of a menu, each with the days that it was for."""
    meals = {*MEALS, PULLED, LEFT_OUT}
    days: dict[int, set[date]] = defaultdict(set)
    for (day, meal, _), entry in book.pulled_by(plan.first, plan.last).items():
        if meal in meals:  # the book keeps other words on days too
            days[entry].add(day)
    return days
