"""Several weeks, each planned from what the week before left on the shelf."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from pantrymeals import tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu, reckoned_table
from pantrymeals.errors import PantryError
from pantrymeals.menu.request import Watch
from pantrymeals.records import WEEKDAYS, Household
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet
from pantrymeals.words import long_day

if TYPE_CHECKING:
    import pandas as pd

    from pantrymeals.forecast.forecast import BookPace

MOST_WEEKS = 52
WEEK_DAYS = 7


def chapters(first: date, number: int, ends: str) -> list[int]:
    """How many days each menu has: ``number`` times seven, after the few days until one may begin.

    ends: the weekday on which each ends. A joint takes three days to thaw, so a week that ends with
    its roast can lift the roast out itself; one that begins the day before cannot.
    """
    before = (WEEKDAYS.index(ends) - first.weekday() + 1) % WEEK_DAYS if ends else 0
    return [before] * (before > 0) + [WEEK_DAYS] * number


def make_weeks(
    household: Household,
    number: int,
    seed: int | None,
    seconds: float,
    watch: Watch | None = None,
    ends: str = "",
    pace: BookPace | None = None,
    first: date | None = None,
) -> WeeksSheet:
    """``number`` weekly menus, one after another from ``first``; the cook's 'enough' ends them early.

    first: None for the household's own day.

    ends: the weekday on which each ends ('Sun'); the days until the first begins are a menu of their own.
    Raises PantryError when the first is not planned (NoMenuFits: none fits); a later one ends them, and says why.
    """
    from pantrymeals.forecast.forecast import learn_paces
    from pantrymeals.forecast.foresee import foresee
    from pantrymeals.pull.pull import household_after

    if not 1 <= number <= MOST_WEEKS:
        raise PantryError(f"--weeks should be 1 to {MOST_WEEKS}, not {number}")
    ends = ends[:3].capitalize()
    if ends and ends not in WEEKDAYS:
        raise PantryError(f"--ends should be a weekday ({', '.join(WEEKDAYS)}), not {ends}")
    pace = pace or learn_paces(household, ())
    sheets: list[MenuSheet] = []
    ended = ""
    lengths = chapters(first or household.today, number, ends)
    for days in lengths:
        try:
            plan = make_menu(household, MenuAsked(days=days, first=first, seed=seed, seconds=seconds), watch)
        except PantryError as none:
            if not sheets:
                raise
            ended = f"No week from {long_day(household.today)} on: {' '.join(str(none).split())}"
            break
        sheets.append(lay_out(household, plan, pace=pace))
        household, first = household_after(household, plan), None
        if watch is not None and watch.stopped() and len(sheets) < len(lengths):
            ended = f"You stopped it: no week from {long_day(household.today)} on."
            break
    return WeeksSheet(tuple(sheets), foresee(household, pace), ended)


def weeks_answer(done: WeeksSheet, *, full: bool = False) -> Answer:
    """The weeks as one document; in full with what each dish takes."""
    text = weeks_text(done, full=full)
    return Answer(
        text,
        tables=lambda: _tables(done),
        page=lambda printing: "".join([*(f"{said}\n\n" for said in printing.beside), text]).encode(),
        broken=tuple(fault for sheet in done.weeks for fault in sheet.broken),
    )


def _tables(done: WeeksSheet) -> list[pd.DataFrame]:
    first = done.weeks[0]
    of_weeks = tables.weeks((sheet.plan for sheet in done.weeks), done.after, first.reckoned_from)
    return [*of_weeks, *reckoned_table(first)]
