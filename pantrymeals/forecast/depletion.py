"""How fast each product goes, day by day.

One pace for each product, and no chance in it (the book's own history and its odds are in
``forecast``). The pace is standing use by month, and what the menu takes:

- a menu of four weeks or more speaks for itself: what it takes, by the week;
- a shorter one is too little to go by, since whole jars fall on one week and not on the next. Where
  its draw lies within its even band, the even hand's pace is taken: stock above the reserve, spread
  over its season to the day it must last to, times the menu's common pace; where the draw lies
  outside the band, the mean of the two;
- a product that no menu here takes but some dish reaches goes at the even hand's pace, and says so;
- what comes in fresh as it is eaten, and has no day to last to, goes as it is planned.

Nothing goes in months in which the product is not eaten or no dish that takes it is in season.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.must_reach import deadline, must_reach, season_days
from pantrymeals.larder.on_hand import amount_in, put_up_about
from pantrymeals.larder.supply import stands, used_by_day
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, Product

ZERO = Fraction(0)
LONG_MENU_DAYS = 28
WALK_DAYS = 730
YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast a product goes, in containers of its first size.

    standing: a week, by month (index 0 = January). menu: a week in ``months``.
    even: whether the menu part is the even hand's and not planned.
    """

    standing: tuple[Fraction, ...]
    menu: Fraction
    months: frozenset[int]
    even: bool

    def weekly(self, day: date) -> Fraction:
        """Containers a week at the pace of a day's month."""
        return self.standing[day.month - 1] + (self.menu if day.month in self.months else ZERO)


@dataclass(frozen=True, slots=True)
class Ages:
    """Containers on the shelf (lots with a date) by age: put up in the last year, before it, before two."""

    new: Fraction
    old: Fraction
    oldest: Fraction


@dataclass(frozen=True, slots=True)
class Going:
    """How a stock goes at a pace.

    out: the day the last one above the reserve goes, None beyond two years. left: containers over at
    the deadline. lacking: containers missing up to it. cover_weeks: to the end of ``out``, or two years.
    """

    out: date | None
    left: Fraction
    lacking: Fraction
    cover_weeks: Fraction


@dataclass(frozen=True, slots=True)
class Stores:
    """What is the same for every product: household, menu, first day, and what an even hand averages."""

    household: Household
    plan: MenuPlan | None
    first: date
    averaged: frozenset[str]


def dishes_reaching(household: Household) -> dict[str, list[Dish]]:
    """The dishes that may take each product, by any option or noted alternative."""
    reach: dict[str, list[Dish]] = {}
    for dish in household.dishes.values():
        uses = [*dish.uses, *(use for note in dish.instead for use in note.uses)]
        for name in {option.product for use in uses for option in use.options}:
            reach.setdefault(name, []).append(dish)
    return reach


def months_reached(product: Product, dishes: Iterable[Dish]) -> frozenset[int]:
    """Months in which the product is eaten and some dish that takes it is in season."""
    eaten = product.eaten_in or frozenset(range(1, 13))
    seasons = (dish.season or frozenset(range(1, 13)) for dish in dishes)
    return eaten & frozenset().union(*seasons) if product.on_menus else frozenset()


def _even_menu_pace(
    product: Product, in_hand: Fraction, standing: tuple[Fraction, ...], first: date, pace: Fraction
) -> Fraction:
    """Containers a week that are left for the menu when an even hand draws the stock to its deadline."""
    until = deadline(product, first)
    season = season_days(product, first, until)
    if not season:
        return ZERO
    stands = sum((standing[(first + timedelta(d)).month - 1] for d in range((until - first).days)), ZERO) / 7
    return max(ZERO, (pace * in_hand - stands) * 7 / season)


def pace_of(stores: Stores, product: Product, in_hand: Fraction, months: frozenset[int]) -> Pace:
    """How fast a product goes: see the module's first lines."""
    plan, first = stores.plan, stores.first
    standing = tuple(amount / product.sizes[0].content for amount in stands(stores.household, product.name))
    planned = _planned_weekly(plan, product)
    long_menu = plan is not None and plan.days >= LONG_MENU_DAYS
    if not months or product.name not in stores.averaged or (planned and long_menu):
        return Pace(standing, planned, months, False)
    even = _even_menu_pace(product, in_hand, standing, first, plan.pace if plan else Fraction(1))
    row = next((r for r in plan.shares if r.product == product.name), None) if plan else None
    if planned and row is not None and row.off:
        return Pace(standing, (planned + even) / 2, months, False)
    return Pace(standing, even, months, True)


def _planned_weekly(plan: MenuPlan | None, product: Product) -> Fraction:
    """Containers a week that the menu takes."""
    if plan is None or not plan.days:
        return ZERO
    return sum(used_by_day(plan, product.name), ZERO) / product.sizes[0].content * 7 / plan.days


def go_down(household: Household, product: Product, in_hand: Fraction, pace: Pace, first: date) -> Going:
    """Day by day from the first: what comes in joins, but for the new crop on the deadline and later."""
    due = must_reach(product, first)
    container = product.sizes[0].content
    coming: dict[date, Fraction] = {}
    for a in household.arrivals:
        if a.product == product.name and a.day >= first and (due is None or a.day < due):
            coming[a.day] = coming.get(a.day, ZERO) + a.amount / container
    daily = [pace.weekly(date(2025, month, 1)) / 7 for month in range(1, 13)]
    left, lacking, at_due = in_hand, ZERO, in_hand
    out: date | None = None
    for number in range(WALK_DAYS):
        day = first + timedelta(days=number)
        if day == due:
            at_due = left
        left += coming.get(day, ZERO)
        need = daily[day.month - 1]
        if need and need >= left and out is None:
            out = day
        if need > left and due is not None and day < due:
            lacking += need - left
        left = max(ZERO, left - need)
        if out is not None and (due is None or day >= due):
            break
    cover = Fraction((out - first).days + 1 if out else WALK_DAYS, 7)
    return Going(out, at_due if due else left, lacking, cover)


def ages_of(household: Household, product: Product, today: date) -> Ages:
    """How much of what is on the shelf was put up when (containers of the first size)."""
    new = old = oldest = ZERO
    for lot in household.lots:
        day = put_up_about(lot)
        if lot.product != product.name or lot.state or day is None:
            continue
        count = amount_in(product, lot) / product.sizes[0].content
        new += count if day > today - YEAR else ZERO
        old += count if day <= today - YEAR else ZERO
        oldest += count if day <= today - 2 * YEAR else ZERO
    return Ages(new, old, oldest)
