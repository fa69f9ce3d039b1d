"""Rehearses a month without the store for a household's folder, and tells how such a month ended."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import tables
from pantrymeals.actions import food_tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.larder import book_movements, load_larder
from pantrymeals.actions.menu import lay_out, write_whole_menu
from pantrymeals.actions.slips import money_of, price_meant, read_slips, write_slip
from pantrymeals.errors import PantryError
from pantrymeals.menu.request import Watch
from pantrymeals.packaged import rows
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.no_store import Ending, Rehearsal, Slip
from pantrymeals.records import Household
from pantrymeals.reports.json.no_store import ending_json, no_store_json
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.no_store import write_no_store
from pantrymeals.reports.terminal.no_store_ending import write_ending
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import fold, priced, short_day

if TYPE_CHECKING:
    from pantrymeals.forecast.forecast import BookPace

LONGEST_DAYS = 366


class UntilThen(Struct, frozen=True):
    """A menu of the days until the first, the household that it is cooked in, and what the checker finds in it."""

    household: Household
    plan: MenuPlan
    broken: tuple[str, ...]


class NoStoreSheet(Struct, frozen=True):
    """A rehearsal, its menu as a sheet gone over by the checker, and the menus of the days until then.

    pace: how the table has been eating.
    """

    rehearsal: Rehearsal
    menu: MenuSheet
    before: tuple[UntilThen, ...]
    pace: BookPace

    @property
    def broken(self) -> tuple[str, ...]:
        """What the checker finds, in all menus."""
        return (*(fault for one in self.before for fault in one.broken), *self.menu.broken)

    def laid_before(self) -> tuple[MenuSheet, ...]:
        """The menus of the days until then as sheets, each with its forecast: only JSON has them whole."""
        return tuple(lay_out(one.household, one.plan, pace=self.pace, broken=one.broken) for one in self.before)


def make_no_store(
    household: Household, first: date | None, days: int, seed: int, seconds: float | None, watch: Watch | None = None,
    announced: Sequence[MenuPlan] = (), pace: BookPace | None = None, *, alike: bool = False,
) -> NoStoreSheet:  # fmt: skip
    """A rehearsal of so many days. announced: what is still to come of the announced menus: the days until then that
    they have are eaten as announced. pace: how the table has been eating, by its book; None: there is no book. alike:
    the same menus on every run, by work.

    Raises PantryError when the days make no sense, NoMenuFits when no menu fits.
    """
    from pantrymeals.checking.menu import broken_rules
    from pantrymeals.forecast.forecast import learn_paces
    from pantrymeals.no_store.nourish import group_tables
    from pantrymeals.no_store.rehearse import FoodTables, RehearsalAsked, rehearse
    from pantrymeals.pull.pull import household_after

    day = first or household.today
    if not 1 <= days <= LONGEST_DAYS:
        raise PantryError(f"a rehearsal has 1 to {LONGEST_DAYS} days, not {days}")
    if seconds is not None and seconds <= 0:
        raise PantryError(f"--seconds should be more than 0, not {seconds:g}")
    if day < household.today:
        raise PantryError(
            f"the rehearsal would begin on {day}, before the count of {household.today}; begin then or later"
        )
    if (day - household.today).days > LONGEST_DAYS:
        raise PantryError(f"{day} is more than a year ahead of the count of {household.today}")
    pace = pace or learn_paces(household, ())
    groups = group_tables(rows("food_pattern.csv"), rows("food_groups.csv"))
    figures = FoodTables(food_tables.foods(), food_tables.needs(), groups)
    wish = RehearsalAsked(day, days, seed, seconds, tuple(announced), alike)
    found = rehearse(household, wish, figures, pace, watch)
    before, there = [], household
    for plan in found.before:
        told = any(menu.first <= plan.first <= menu.last for menu in announced)
        faults = () if told else tuple(map(str, broken_rules(there, plan)))  # it was judged when it was announced
        before.append(UntilThen(there, plan, faults))
        there = household_after(there, plan)
    menu = lay_out(found.household, found.plan, pace=pace, forecast=found.forecast)
    return NoStoreSheet(found, menu, tuple(before), pace)


def end_no_store(
    folder: Path, first: date, days: int, today: date | None, calendar_day: date
) -> tuple[Household, Ending]:
    """The household, and how its month from ``first`` ended or stands. Raises PantryError."""
    from pantrymeals.no_store.ending import ending

    household = load_larder(folder, today, calendar_day)
    household = replace(household, today=today or household.today)
    if not 1 <= days <= LONGEST_DAYS:
        raise PantryError(f"a month without the store has 1 to {LONGEST_DAYS} days, not {days}")
    if household.today < first:
        raise PantryError(f"on {household.today} the month from {first} has not begun; give --today")
    book = book_movements(folder, household)
    return household, ending(household, book, read_slips(folder), first, days, household.today)


def no_store_answer(sheet: NoStoreSheet, *, whole_menu: bool = False, full: bool = False) -> Answer:
    """A rehearsal as it is shown; every meal and the pull list too, where the whole menu is asked for."""
    from pantrymeals.reports.pages.no_store import no_store_pdf

    found, menu = sheet.rehearsal, sheet.menu

    def write(paper: Paper) -> None:
        write_no_store(paper, found, menu, sheet.broken)
        if whole_menu:
            paper.blank()
            write_whole_menu(paper, menu, full=full)

    return Answer(
        write,
        lambda: no_store_json(found, menu, sheet.laid_before()),
        lambda: tables.no_store(found, menu.pull),
        lambda printing: no_store_pdf(found, sheet.broken, printing),
        broken=sheet.broken,
    )


def end_answer(folder: Path, first: date, days: int, today: date | None, calendar_day: date) -> Answer:
    """How the days without the store ended. Raises PantryError."""
    household, ended = end_no_store(folder, first, days, today, calendar_day)
    return Answer(
        lambda paper: write_ending(paper, ended, household),
        lambda: ending_json(ended),
        lambda: tables.no_store_end(household, ended),
    )


def bought(folder: Path, day: date, what: str, price: str) -> str:
    """Write down something bought outside the rules; what was written, and where. Raises PantryError."""
    slip = Slip(day, what, price_meant(price))
    again = _written_before(folder, slip)
    path = write_slip(folder, slip)
    said = f"Written in {path.name}: {short_day(slip.day)}, {what}, {priced(slip.price_usd, money_of(folder))}."
    return said + (" It stands there once more; if it was bought once, take one line out." if again else "")


def _written_before(folder: Path, slip: Slip) -> bool:
    """Whether the same was written down that day; no where the file has a mistake, which whatever reads it says."""
    try:
        before = read_slips(folder)
    except PantryError:
        return False
    return any((s.day, fold(s.what), s.price_usd) == (slip.day, fold(slip.what), slip.price_usd) for s in before)
