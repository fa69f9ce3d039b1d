"""A month without the store, rehearsed from beginning to end.

When the first day lies ahead, the days until then are planned too, a week or so at a time, and the
household moves on through those menus: standing use is taken and what comes in joins, the store's orders too.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.forecast.cover import larder_cover
from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.foresee import foresee
from pantrymeals.larder.nutrition import Food, NeedTable
from pantrymeals.larder.plate import baked_at_home
from pantrymeals.menu.changes import part_of
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import PATIENCE_SECONDS, MenuRequest, NobodyWatching, Watch
from pantrymeals.no_store.allowed import Aim, ListWanted, smallest_list, what_standing_lacks
from pantrymeals.no_store.must_go import kept, must_go_marks, must_go_weeks, with_must_go_rule
from pantrymeals.no_store.nourish import GroupTables, nourishment
from pantrymeals.no_store.pinch import Drawn, pinches, taken, through
from pantrymeals.no_store.runs import LOOK_TO, longest_run
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.no_store.staples import staple_rows
from pantrymeals.no_store.store import allowed_products, kept_out, without_store
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.no_store import AllowedList, LongestRun, Money, Rehearsal, StapleRow
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household
from pantrymeals.words import short_span

PIECE_DAYS = 8
"""The days until the first are planned in pieces of so many at most: short ones close soon."""
PIECE_SECONDS, DAY_SECONDS, MOST_MENU_SECONDS, SEARCH_SECONDS = 6.0, 1.5, 75.0, 30.0
"""Usual time for such a piece, for each of the days, for all of them at most, and for runs and lists."""
RULED_PART = 0.5
"""Of the menu's time: for the same menu again with a rule for what must go."""
LEAST_SECONDS = 2.0
"""With less time than this left, the longest run is not looked for."""
SEARCH_CUT_SHORT = (
    "The machine was busy: the clock ended the search for the longest run and the lists before its work was done, so "
    "the same seed may say otherwise next time."
)
MONTH_DAYS = Fraction(1461, 48)
"""Days in a usual month: a year of 365 1/4 days, by twelve."""


class RehearsalAsked(Struct, frozen=True):
    """A rehearsal of ``days`` days from ``first``, within ``seconds`` in all; None: what is usual.

    told: the menus that are announced, in order of days, none reaching into the next. alike: by work and not by the
    clock, so that all of it is the same on every run for the same seed.
    """

    first: date
    days: int
    seed: int = 1
    seconds: float | None = None
    told: tuple[MenuPlan, ...] = ()
    alike: bool = False


class Times(Struct, frozen=True):
    """Seconds for each piece of the days until then, for the menu, for the menu again, and for the search."""

    piece: float
    menu: float
    ruled: float
    search: float


def times(today: date, asked: RehearsalAsked) -> Times:
    """The usual times, drawn out or pressed together to what was asked."""
    pieces = sum(isinstance(stretch, int) for stretch in _until_first(today, asked))
    menu = PIECE_SECONDS if asked.days <= PIECE_DAYS else min(MOST_MENU_SECONDS, DAY_SECONDS * asked.days)
    usual = pieces * PIECE_SECONDS + menu * (1 + RULED_PART) + SEARCH_SECONDS
    part = 1.0 if asked.seconds is None else asked.seconds / usual
    return Times(PIECE_SECONDS * part, menu * part, menu * RULED_PART * part, SEARCH_SECONDS * part)


def _pieces(days: int) -> list[int]:
    """Days cut into pieces as equal as can be."""
    if days <= 0:
        return []
    number = -(-days // PIECE_DAYS)
    return [days // number + (n < days % number) for n in range(number)]


def _until_first(today: date, asked: RehearsalAsked) -> list[int | MenuPlan]:
    """The days until the first, in turn: so many to be planned, or a menu that was announced for them."""
    out, day = list[int | MenuPlan](), today
    for plan in asked.told:
        if plan.first < asked.first:
            out += _pieces((plan.first - day).days)
            day = min(plan.last + timedelta(days=1), asked.first)
            out.append(part_of(plan, plan.first, day))
    return [*out, *_pieces((asked.first - day).days)]


class FoodTables(Struct, frozen=True):
    """The published tables that nutrition is counted by."""

    foods: Mapping[str, Food]
    needs: NeedTable
    groups: GroupTables


def until_then(
    household: Household, asked: RehearsalAsked, seconds: float, watch: Watch
) -> tuple[Household, tuple[MenuPlan, ...]]:
    """The household as it stands on the first day, and the menus of the days until then, those announced among them.

    seconds: for each piece that is planned. Batch days are left out of it: what the larder bears is asked as it stands,
    and a sauce made of apples that somebody still snacks on would read as apples to be bought.
    """
    plans = list[MenuPlan]()
    patience = PATIENCE_SECONDS if asked.seconds is None else 0.0
    for stretch in _until_first(household.today, asked):
        plan = stretch
        if isinstance(plan, int):
            request = MenuRequest(
                household.today, plan, asked.seed, seconds, batch_days=False, patience=patience, alike=asked.alike
            )
            plan = plan_menu(household, request, watch)
        plans.append(plan)
        household = household_after(household, plan)
    return household, tuple(plans)


def rehearse(
    household: Household, asked: RehearsalAsked, tables: FoodTables, pace: BookPace, watch: Watch | None = None
) -> Rehearsal:
    """The whole rehearsal. Raises PantryError when these days, or those until then, cannot be planned."""
    watch = watch or NobodyWatching()
    given = times(household.today, asked)
    there, before = until_then(household, asked, given.piece, watch)
    at_first = without_store(there, asked.first)
    usual = foresee(at_first, pace)
    marks = must_go_marks(usual)
    # Whatever no menu changes comes before it: after a Ctrl-C there is little left to do.
    allowed, words = allowed_products(household)
    staples = staple_rows(at_first, asked.first, asked.days, LOOK_TO)
    cover = larder_cover(at_first, tables.foods, tables.needs)
    plan, how = _menu(at_first, marks, asked, given, watch)
    search = SearchTime(given.search, asked.alike, watch.stopped)
    lines = through(at_first, plan)
    forecast = foresee(at_first, pace, plan, usual=usual)
    watch.progress("the longest run", None, None, None)
    known = 0 if plan.open_roles else asked.days
    lists = _lists(at_first, asked, staples, not plan.open_roles, search)
    longest = (
        longest_run(at_first, asked.first, known, search)
        if search.left() > LEAST_SECONDS and not watch.stopped()
        else LongestRun(known, None, known, stopped=True)
    )
    if search.cut_short:
        plan = replace(plan, notes=(*plan.notes, SEARCH_CUT_SHORT))
    return Rehearsal(
        household=at_first,
        plan=plan,
        before=before,
        announced=_announced_words(asked),
        allowed=allowed,
        plain_words=words,
        kept_out=kept_out(there, asked.first, asked.days),
        pinches=pinches(at_first, plan, staples, forecast.rows, lines),
        staples=staples,
        longest=longest,
        lists=lists,
        must_go=must_go_weeks(plan, marks),
        asked_must_go=household.no_store.must_go_suppers_week,
        must_go_asked=how,
        must_go_marks=marks,
        nourishment=nourishment(at_first, plan, taken(lines), tables.foods, tables.needs, tables.groups),
        money=_money(at_first, plan, taken(lines)),
        cover=cover,
        forecast=forecast,
    )


def _announced_words(asked: RehearsalAsked) -> tuple[str, ...]:
    """Which announced days are eaten as they stand, and which lie in the rehearsal and are planned anew."""
    last = asked.first + timedelta(days=asked.days - 1)
    said = []
    for plan in asked.told:
        if plan.first < asked.first:
            end = min(plan.last, asked.first - timedelta(days=1))
            said.append(f"Eaten as announced: {short_span(plan.first, end)}.")
        if plan.first <= last and plan.last >= asked.first:
            days = short_span(max(plan.first, asked.first), min(plan.last, last))
            said.append(f"Announced too, but planned anew here, for that menu may count on the store: {days}.")
    return tuple(said)


def _menu(
    household: Household, marks: Mapping[str, str], asked: RehearsalAsked, given: Times, watch: Watch
) -> tuple[MenuPlan, str]:
    """The menu, and how it keeps the suppers of what must go (see ``Rehearsal.must_go_asked``)."""
    want = household.no_store.must_go_suppers_week
    request = MenuRequest(asked.first, asked.days, asked.seed, given.menu, alike=asked.alike)
    plan = plan_menu(household, request, watch)
    if not want or kept(must_go_weeks(plan, marks), want):
        return plan, "by itself" if want else ""
    if plan.open_roles or watch.stopped():
        return plan, "not reached"
    again = replace(request, seconds=given.ruled)
    try:
        ruled = plan_menu(with_must_go_rule(household, marks, want), again, watch)
    except PantryError:
        return plan, "not reached"
    if ruled.open_roles > plan.open_roles or not kept(must_go_weeks(ruled, marks), want):
        return plan, "not reached"
    return ruled, "as a rule"


def _lists(
    household: Household, asked: RehearsalAsked, staples: tuple[StapleRow, ...], menu_known: bool, search: SearchTime
) -> tuple[AllowedList, ...]:
    standing = what_standing_lacks(staples)
    aims: tuple[Aim, ...] = ("fewest things", "least money")
    out = []
    for number, aim in enumerate(aims):
        # Half of what is left for both lists, the other half for the longest run.
        wanted = ListWanted(household, asked.first, asked.days, standing, menu_known, search.part(1 / 4, 1.0))
        out.append(smallest_list(wanted, aim))
        if number == 0 and out[0].reached and all(i.product in standing for i in out[0].items):
            # Only what standing use lacks, which every list must hold: no other list is cheaper.
            out.append(replace(out[0], aim="least money"))
            break
    return tuple(out)


def _money(household: Household, plan: MenuPlan, lines: Mapping[str, Drawn]) -> Money:
    """What such days usually cost, the purse, and what the shelves give at store prices.

    Home-baked bread counts as its flour.
    """
    rules = household.no_store
    _, baked = baked_at_home(household, plan.first, plan.last)
    eaten, unpriced = Fraction(0), []
    for name, line in lines.items():
        price = line.product.price_usd
        if name in baked:
            continue
        if price is None:
            unpriced.append(name)
        else:
            eaten += price * line.total / line.product.sizes[0].content
    return Money(
        usual=rules.usual_month_usd * plan.days / MONTH_DAYS,
        purse=rules.purse_usd_week * plan.days / 7,
        eaten_at_store_prices=eaten,
        unpriced=tuple(unpriced),
    )
