"""What speaks for a batch day: what will not be eaten in time, what will be short, what may be taken.

All amounts are containers of a product's first size. Days of the plan go as planned; later days go at
the pace of the run-out table (``forecast.planned``). So what is said here agrees with what that table shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from itertools import accumulate
from math import floor, inf

from msgspec import Struct

from pantrymeals.forecast.marks import Facts, Thresholds, is_glut
from pantrymeals.forecast.planned import Menus, PlannedPace
from pantrymeals.forecast.shelf import shelf_of
from pantrymeals.larder.batch_days_done import in_season
from pantrymeals.larder.evenness import LOOK_BACK_DAYS, SLOW_BACK_DAYS, eaten_since, kept_alike
from pantrymeals.larder.must_reach import deadline, season_days
from pantrymeals.larder.on_hand import amount_in, of_size, on_shelf, put_up_about
from pantrymeals.larder.supply import fetched_by_day, standing_by_day, supply_by_day, used_by_day
from pantrymeals.larder.table import longest_dish
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import WEEKDAYS, Household, Product, in_span

ZERO = Fraction(0)
MONTH_DAYS = Fraction(1461, 48)
"""Days in a usual month: a year of 365 1/4 days, by twelve."""
FARTHEST_DAYS = 730
SOON_DAYS = 91
"""What can wait longer than these thirteen weeks waits."""


class Portion(Struct, frozen=True):
    """So many containers that go over, or are missing, on a day."""

    day: date
    amount: Fraction


class StockCourse(Struct, frozen=True):
    """How one product goes from the plan's first day to the day it must last to.

    stock: above the reserve, part jars and what comes in until then counted. need: what is wanted of it
    until then. free: for each day of the plan, what a batch day may have taken by its end so that no
    later day of the plan wants. unclaimed: what menu (planned days) and standing use (until its day)
    leave. spare: what is over on its day. going_over, lacking: by day, the soonest first. next_batch:
    whether a batch day makes the batch that it must last to.
    """

    product: Product
    due: date
    stock: Fraction
    need: Fraction
    free: tuple[Fraction, ...]
    unclaimed: Fraction
    spare: Fraction
    going_over: tuple[Portion, ...]
    lacking: tuple[Portion, ...]
    next_batch: bool = False


def free_minutes(household: Household, day: date) -> int:
    """Minutes free for batch days on a day, beside the daily cooking.

    As ``batch_hours`` say: the most of the rows for that weekday and time of year, none where no row
    speaks of it. Where the household has written no such hours at all, a weekday's longest dish stands
    in for them (common practice, no published source); no batch day where that is not written either.
    """
    name, when = WEEKDAYS[day.weekday()], (day.month, day.day)
    if not household.batch_hours:
        return longest_dish(household.rules, day) or 0
    rows = (h for h in household.batch_hours if h.weekday == name)
    return max((h.minutes for h in rows if in_span(when, h.first, h.last)), default=0)


def courses(household: Household, plan: MenuPlan, names: Iterable[str]) -> dict[str, StockCourse]:
    """How each named product goes."""
    menus, shelf = Menus(household, plan), on_shelf(household)
    return {name: _course(menus, plan, household.products[name], shelf[name]) for name in sorted(set(names))}


def _course(menus: Menus, plan: MenuPlan, product: Product, shelf: Fraction) -> StockCourse:
    household, pace = menus.household, menus.pace(product.name)
    in_hand = shelf_of(household, product.name).to_use
    due = min(deadline(product, plan.first), plan.first + timedelta(days=FARTHEST_DAYS))
    has_day = product.must_last_to is not None
    coming = _coming(household, product, plan.first, due)
    standing, wanted = _wanted(plan, pace, due)
    left, eaten, lacking = in_hand, [], []
    for number, need in enumerate(wanted):
        left += coming.get(number, ZERO)
        eaten.append(min(left, need))
        if need > left and has_day:
            lacking.append(Portion(plan.first + timedelta(days=number), need - left))
        left -= eaten[-1]
    stock = in_hand + sum(coming.values(), ZERO)
    lack = sum((p.amount for p in lacking), ZERO)
    following = _next_batch(household, product, due, pace) if has_day else ZERO
    if following:
        lacking.append(Portion(due, following))
    return StockCourse(
        product=product,
        due=due,
        stock=stock,
        need=sum(eaten, ZERO) + lack + following,
        free=free_by_day(household, plan, product, shelf),
        unclaimed=max(ZERO, stock - standing - sum(used_by_day(plan, product.name)) / product.sizes[0].content),
        spare=left,
        going_over=_going_over(household, product, plan.first, due, left, eaten, shelf),
        lacking=tuple(lacking),
        next_batch=bool(following),
    )


def _coming(household: Household, product: Product, first: date, due: date) -> dict[int, Fraction]:
    """What comes in before its day, by day of the plan."""
    out: dict[int, Fraction] = {}
    for a in household.arrivals:
        if a.product == product.name and first <= a.day < due:
            number = (a.day - first).days
            out[number] = out.get(number, ZERO) + a.amount / product.sizes[0].content
    return out


def _wanted(plan: MenuPlan, pace: PlannedPace, due: date) -> tuple[Fraction, list[Fraction]]:
    """What standing use wants in all until its day, and what is wanted by menu and standing use each day."""
    days = [plan.first + timedelta(days=number) for number in range((due - plan.first).days)]
    return pace.standing.between(plan.first, due), [pace.daily(day) for day in days]


def _next_batch(household: Household, product: Product, due: date, pace: PlannedPace) -> Fraction:
    """What is missing from its day on unless its next batch is made: a year's use, at most the greatest batch.

    Only a batch day whose season is open within the thirteen weeks before that day makes it: what is due in
    autumn is not a winter's work.
    """
    if product.deadline_kind != "next batch":
        return ZERO
    before = [due - timedelta(days=number) for number in range(SOON_DAYS + 1)]
    made = [
        option.amount
        for batch in household.batch_days.values()
        if any(in_season(batch, day) for day in before)
        for option in batch.makes
        if option.product == product.name
    ]
    year = (sum(pace.standing.by_month(), ZERO) + pace.later * len(pace.months)) * 365 / 7 / 12
    return min(year, max(made, default=ZERO) / product.sizes[0].content)


def in_glut(household: Household, course: StockCourse) -> bool:
    """Whether there is more of it than will be eaten by its day, at the pace at which it was eaten lately.

    Lately: eight weeks. Not said where it is not known for four of them what was eaten.
    """
    today, product = household.today, course.product
    begin = max(today - timedelta(days=SLOW_BACK_DAYS), min(household.known_since.values(), default=today))
    days = season_days(product, begin, today)
    if (today - begin).days < LOOK_BACK_DAYS or not days:
        return False
    daily = eaten_since(household, product.name, begin) / product.sizes[0].content / days
    left = max(ZERO, course.stock - daily * season_days(product, today, course.due))
    cover = float(course.stock / daily / 7) if daily else inf
    due = course.due if product.must_last_to is not None else None
    there = float(course.stock)
    facts = Facts(there, there, None, float(left), 0.0, None, due, cover)
    return is_glut(facts, today, Thresholds())


def free_by_day(household: Household, plan: MenuPlan, product: Product, shelf: Fraction) -> tuple[Fraction, ...]:
    """What may have been taken by the end of each day of the plan, so that no day of it wants.

    shelf: above the reserve (base measure). Standing use and what the menu draws come first, as in the
    planner; part jars are not counted. Of what is opened whole, whole containers of the first size.
    """
    size = product.sizes[0]
    supply = supply_by_day(household, product, shelf, plan.first, plan.days)
    standing = standing_by_day(household, product, plan.first, plan.days, supply)
    first_size = of_size(household, product, size.name) * size.content
    drawn = list(accumulate(fetched_by_day(plan, product)))
    drawn_of_size = list(accumulate(fetched_by_day(plan, product, size.name)))
    out, least = [], None
    for number in reversed(range(plan.days)):
        left = supply[number] - standing[number] - drawn[number]
        if product.whole:
            there = first_size + supply[number] - shelf - standing[number] - drawn_of_size[number]
            left = Fraction(floor(min(left, there) / size.content)) * size.content
        least = left if least is None else min(least, left)
        out.append(max(ZERO, least) / size.content)
    return tuple(reversed(out))


def _going_over(
    household: Household,
    product: Product,
    first: date,
    due: date,
    spare: Fraction,
    eaten: list[Fraction],
    shelf: Fraction,
) -> tuple[Portion, ...]:
    """What will not be eaten while it keeps, by the day it goes over.

    Of a keeper ('keeps to'), what is left on its day. Of other things that do not stand in jars, what is
    left of each lot when its own months are over, the oldest eaten first; of them, a day may be past.
    """
    if product.deadline_kind == "keeps to":
        return (Portion(due, spare),) if spare > 0 and due == product.must_last_to else ()
    if product.kind == "jar" or product.keeps_months is None:
        return ()
    ends: list[tuple[date, Fraction]] = []
    for lot in household.lots:
        put_up = put_up_about(lot)
        if lot.product == product.name and lot.state == "" and put_up is not None:
            end = put_up + timedelta(days=round(product.keeps_months * MONTH_DAYS))
            ends.append((end, amount_in(product, lot) / product.sizes[0].content))
    most, held, lost, out = shelf / product.sizes[0].content, ZERO, ZERO, []
    for end, count in sorted(ends):
        held += count
        if end <= due:
            gone = sum(eaten[: max(0, (end - first).days)], ZERO)
            now = min(most, max(lost, held - gone))
            if now > lost:
                out.append(Portion(end, now - lost))
            lost = now
    return tuple(out)


def of_a_kind(household: Household, names: Iterable[str]) -> Mapping[str, frozenset[str]]:
    """By product: those eaten in its place when it is gone, itself among them.

    Keepers of the cellar of one family, counted in one unit: apples of rack B when rack A is empty.
    """
    out = {}
    for name in names:
        product = household.products[name]
        alike = {name}
        if not product.whole:
            products = household.products.values()
            alike |= {other.name for other in products if not other.whole and kept_alike(product, other)}
        out[name] = frozenset(alike)
    return out
