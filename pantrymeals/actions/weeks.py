"""Several weeks, each planned from what the week before left on the shelf."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from pantrymeals import tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu
from pantrymeals.errors import PantryError
from pantrymeals.menu.request import Watch
from pantrymeals.records import WEEKDAYS, Household
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet

if TYPE_CHECKING:
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
) -> WeeksSheet:
    """``number`` weekly menus, one after another; the cook's 'enough' ends them early.

    ends: the weekday on which each ends ('Sun'); the days until the first begins are a menu of their own.
    Raises NoMenuFits when one of them cannot be planned.
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
    for days in chapters(household.today, number, ends):
        plan = make_menu(household, MenuAsked(days=days, seed=seed, seconds=seconds), watch)
        sheets.append(lay_out(household, plan, pace=pace))
        household = household_after(household, plan)
        if watch is not None and watch.stopped():
            break
    return WeeksSheet(tuple(sheets), foresee(household, pace))


def weeks_answer(done: WeeksSheet, *, full: bool = False) -> Answer:
    """The weeks as one document; in full with what each dish takes."""
    text = weeks_text(done, full=full)
    return Answer(
        text,
        tables=lambda: tables.weeks((sheet.plan for sheet in done.weeks), done.after),
        page=lambda printing: "".join([*(f"{said}\n\n" for said in printing.beside), text]).encode(),
        broken=tuple(fault for sheet in done.weeks for fault in sheet.broken),
    )
