"""Plans a menu for a household's folder and gathers all that is shown beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import bans_meant, pin_meant
from pantrymeals.errors import NoMenuFits, PantryError
from pantrymeals.larder.table import occasions_on, those_at_home
from pantrymeals.larder.table import tables as tables_laid
from pantrymeals.menu.request import PATIENCE_SECONDS, MenuRequest, NobodyWatching, Watch
from pantrymeals.plans.menu import MenuPlan, PullList
from pantrymeals.records import Household, MealName
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.menu import write_menu
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.pull import write_pull_list, write_pull_list_to_come
from pantrymeals.reports.words import reckoned_words
from pantrymeals.units import as_words
from pantrymeals.words import listed, short_date, small_count

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from pantrymeals.actions.announced import Announced
    from pantrymeals.forecast.forecast import BookPace
    from pantrymeals.plans.outlook import Forecast

LONGEST_MENU_DAYS = 400


class MenuAsked(Struct, frozen=True):
    """What a cook asks for on the command line, before the household is known.

    first: None for the household's own day. seed: None for any good menu; a number for the same
    one on every run. seconds: None for what is usual for so many days. pins, bans: as typed.
    """

    days: int = 7
    first: date | None = None
    seed: int | None = None
    seconds: float | None = None
    pins: tuple[str, ...] = ()
    bans: tuple[str, ...] = ()


def usual_seconds(days: int) -> float:
    """How long a menu of so many days is searched for when nobody says: 5 for a week, 60 a month, 300 a year."""
    return 5.0 if days <= 10 else min(300.0, 2.0 * days, 84 + 0.6 * days)


def request_for(household: Household, asked: MenuAsked) -> MenuRequest:
    """What the planner is asked, with days and dishes understood.

    Raises PantryError when a day, a dish or a length makes no sense.
    """
    if not 1 <= asked.days <= LONGEST_MENU_DAYS:
        raise PantryError(f"a menu has 1 to {LONGEST_MENU_DAYS} days, not {asked.days}")
    if asked.seconds is not None and asked.seconds <= 0:
        raise PantryError(f"--seconds should be more than 0, not {asked.seconds:g}")
    first = asked.first or household.today
    if first < household.today:
        raise PantryError(
            f"the menu would begin on {first}, before the count of {household.today}; begin then or later"
        )
    return MenuRequest(
        first=first,
        days=asked.days,
        seed=1 if asked.seed is None else asked.seed,
        alike=asked.seed is not None,
        patience=PATIENCE_SECONDS if asked.seconds is None else 0.0,
        seconds=usual_seconds(asked.days) if asked.seconds is None else asked.seconds,
        pinned=tuple(pin_meant(household, text, first, asked.days) for text in asked.pins),
        banned=bans_meant(household, asked.bans),
    )


def make_menu(household: Household, asked: MenuAsked, watch: Watch | None = None) -> MenuPlan:
    """The menu that was asked for. Raises NoMenuFits, saying what clashes."""
    from pantrymeals.actions.clash import why_none
    from pantrymeals.menu.for_later import with_for_later
    from pantrymeals.menu.menu import plan_menu
    from pantrymeals.pull.pull import household_after

    request = request_for(household, asked)
    try:
        return with_for_later(household, household_after, plan_menu(household, request, watch))
    except NoMenuFits:
        raise NoMenuFits(why_none(household, request, watch or NobodyWatching())) from None


def lay_out(
    household: Household, plan: MenuPlan, asked: MenuAsked | None = None, *, pace: BookPace | None = None,
    watch: Watch | None = None, broken: tuple[str, ...] | None = None, forecast: Forecast | None = None,
) -> MenuSheet:  # fmt: skip
    """The plan gone over by the checker, with its pull list, the forecast and who is at table.

    asked: what it was made for; then a menu that is not whole also says what clashes. pace: how the table
    has been eating, by its book; None: there is no book. broken, forecast: what the checker has found, and the
    forecast with this plan, where that is known already.
    """
    from pantrymeals.actions.clash import clash_of
    from pantrymeals.checking.menu import broken_rules
    from pantrymeals.forecast.forecast import learn_paces
    from pantrymeals.forecast.foresee import foresee
    from pantrymeals.forecast.planned import unreachable
    from pantrymeals.pull.pull import pull_list

    watch = watch or NobodyWatching()
    sheet = MenuSheet(
        household=household,
        plan=plan,
        broken=tuple(map(str, broken_rules(household, plan))) if broken is None else broken,
        pull=PullList((), (), (), ()) if household.reckoned_from else pull_list(household, plan),
        forecast=forecast or foresee(household, pace or learn_paces(household, ()), plan),
        unreachable=tuple(unreachable(household)),
        reckoned_from=household.reckoned_from,
        clash=None if asked is None else clash_of(household, plan, request_for(household, asked), watch),
    )
    return with_the_table(sheet)


def with_cover(sheet: MenuSheet) -> MenuSheet:
    """The sheet headed by how long the food lasts, from the household's day on; a second or two for a large larder."""
    from pantrymeals.actions.food_tables import whole_larder

    return replace(sheet, cover=whole_larder(sheet.household))


def with_the_table(sheet: MenuSheet) -> MenuSheet:
    """The sheet with who eats, what they are fed and the trip: they follow from plan and pull list alone."""
    from pantrymeals.larder.fed import fed
    from pantrymeals.larder.left_over import left_over
    from pantrymeals.pull.trip import trip

    household, plan = sheet.household, sheet.plan
    days = [plan.first + timedelta(days=n) for n in range(plan.days)]
    return replace(
        sheet,
        at_table=at_tables(household, days),
        who_eats=who_eats(household, plan),
        at_home=at_home(household, plan),
        trip=trip(household, plan, sheet.pull),
        left_over=left_over(household, plan),
        fed=fed(household, plan),
    )


def announced_sheet(folder: Path, household: Household) -> tuple[Announced, MenuSheet]:
    """The announced menu as it was shown. Raises PantryError when none is."""
    from pantrymeals.actions.announced import current_or_say
    from pantrymeals.actions.stored_menu import announced_in, text_of
    from pantrymeals.reports.json.plan import read_menu_file, sheet_in

    found = current_or_say(folder, household.today)
    announced_in(found.file, household)  # refuses another household's
    return found, with_the_table(sheet_in(read_menu_file(text_of(found.file)), household))


def _menu_tables(sheet: MenuSheet) -> list[pd.DataFrame]:
    """The menu's tables, and where its shelf is reckoned one that says so."""
    of_menu = tables.menu(sheet.plan, sheet.pull, sheet.forecast, sheet.reckoned_from)
    return [*of_menu, *reckoned_table(sheet)]


def reckoned_table(sheet: MenuSheet) -> list[pd.DataFrame]:
    """A table that says from which count a menu's shelf is reckoned; none where it was counted."""
    from pantrymeals.tables.beside import said_beside

    reckoned = [reckoned_words(sheet.reckoned_from, sheet.plan.first)] if sheet.reckoned_from else []
    return said_beside(reckoned, "reckoned")


def menu_answer(sheet: MenuSheet, swaps: Sequence[str] = (), *, full: bool = False) -> Answer:
    """The menu on one sheet, or in full, and other dishes for the places named. Raises PantryError."""
    from pantrymeals.actions.swap import offers_for, write_offers
    from pantrymeals.reports.dates import menu_dates
    from pantrymeals.reports.json.plan import menu_json
    from pantrymeals.reports.pages.menu import menu_pdf
    from pantrymeals.reports.pictures.menus import evenness_picture
    from pantrymeals.reports.terminal.clash import write_clash

    offers = [offers_for(sheet.household, sheet.plan, place) for place in swaps]

    def write(paper: Paper) -> None:
        write_whole_menu(paper, sheet, full=full)
        write_clash(paper, sheet.clash)
        for found in offers:
            write_offers(paper, sheet.household, found)

    return Answer(
        write,
        lambda: menu_json(sheet),
        lambda: _menu_tables(sheet),
        lambda printing: menu_pdf(sheet, printing),
        lambda: evenness_picture(sheet.household, sheet.plan),
        lambda: menu_dates(sheet),
        broken=sheet.broken,
    )


def write_whole_menu(paper: Paper, sheet: MenuSheet, *, full: bool) -> None:
    """A menu as every command prints it: one sheet to hang up; in full each use and reason, each line to fetch too."""
    from pantrymeals.reports.terminal.one_sheet import write_sheet
    from pantrymeals.reports.terminal.run_out import write_pinches

    if not full:
        write_sheet(paper, sheet)
        return
    write_menu(paper, sheet)
    if sheet.reckoned_from:
        write_pull_list_to_come(paper, sheet.plan.first)
    else:
        write_pull_list(paper, sheet.household, sheet.pull)
    write_pinches(paper, sheet)


def schema_text() -> str:
    """The JSON schema of `menu --json`."""
    from pantrymeals.reports.json import plan

    return plan.schema_text()


def at_tables(household: Household, days: Sequence[date]) -> dict[date, str]:
    """Who is at table on each day; a run of days that brings and takes nobody (school holidays) on its first alone."""
    return {day: at_table(household, day, days[number - 1] if number else None) for number, day in enumerate(days)}


def at_table(household: Household, day: date, after: date | None = None) -> str:
    """'6 at table, company for 1: uncle Bram': who is at home, guests, and the day's occasions.

    Guests are portions, as a household counts them, so they are not added to the heads at home. after: the day before
    of the same menu: a run of days that had begun then and moves nobody is not said again.
    """
    occasions = occasions_on(household, day)
    runs = [o for o in occasions if o.first < o.last and not (o.weekdays or o.guests or o.away or o.kind or o.dish)]
    home = len(those_at_home(household, day))
    guests = sum((o.guests for o in occasions), Fraction(0))
    count = f"{home} at table" if home else "nobody at home"
    portions = " portions" if guests.denominator > 1 else ""
    company = f", company for {as_words(guests)}{portions}" if guests else ""
    names = listed(o.name for o in occasions if o.name and o not in runs)
    new = listed(f"{o.name}, to {short_date(o.last)}" for o in runs if o.name and (after is None or after < o.first))
    return f"{count}{company}{': ' if names else ''}{names}{'; ' if new else ''}{new}"


def who_eats(household: Household, plan: MenuPlan) -> Mapping[tuple[date, MealName], str]:
    """'three tins' of meals that are carried away; 'for Maren and Edda' of those that are not everybody's."""
    said: dict[tuple[date, MealName], str] = {}
    for table in tables_laid(household, plan.first, plan.days):
        names = [person.name for person in table.eaters]
        if table.tins:
            said[table.day, table.meal] = f"{small_count(len(names))} {'tin' if len(names) == 1 else 'tins'}"
        elif len(names) < len(those_at_home(household, table.day)):
            said[table.day, table.meal] = f"for {listed(names)}"
    return said


def at_home(household: Household, plan: MenuPlan) -> tuple[str, ...]:
    """Of each meal that goes out in tins, what those at home do: see to themselves, or that nothing is planned."""
    said: dict[tuple[MealName, bool], dict[str, None]] = {}
    for table in tables_laid(household, plan.first, plan.days):
        here = those_at_home(household, table.day)
        home = [person.name for person in here if person.portion and person not in table.eaters]
        if table.tins and home:
            meal = next(meal for meal in household.meals if meal.meal == table.meal)
            said.setdefault((table.meal, meal.see_to_themselves), {}).update(dict.fromkeys(home))
    return tuple(
        f"On tin days {listed(names)} see to their own {meal}."
        if themselves
        else f"On tin days no {meal} is planned for {listed(names)}; 'at_home: see to themselves' says it is theirs."
        for (meal, themselves), names in said.items()
    )
