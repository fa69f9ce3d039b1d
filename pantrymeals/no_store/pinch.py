"""What pinches in a rehearsal, and on which day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.forecast.words import so_much
from pantrymeals.larder.must_reach import deadline, must_reach, season_days
from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.larder.supply import fetched_by_day, standing_by_day, stands, supply_by_day
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.no_store import Pinch, StapleRow
from pantrymeals.plans.outlook import AtPace, ForecastRow
from pantrymeals.records import Household, Product
from pantrymeals.words import plural, short_date, times

ZERO = Fraction(0)
MOST_LATER = 8
"""Most products shown that are eaten out of a later month's share."""
OVER_SHARE = Fraction(11, 10)
"""So much more than an even hand's draw counts as eaten out of a later share; our choice."""
COMES_AGAIN = frozenset({"new crop", "order", "next batch"})
DAYS_TO_SPARE = 3
"""Just reaching: one container, or three days' use, is left; our choice."""
_UNTIL = {
    "new crop": "the new crop is",
    "keeps to": "it keeps to",
    "season ends": "its season ends",
    "order": "the next order is",
    "next batch": "the next batch is",
}


class Drawn(Struct, frozen=True):
    """What menu and standing use take of one product, day by day, and what is left (base measure).

    menu: on each day; standing, left: by the end of each.
    """

    product: Product
    menu: tuple[Fraction, ...]
    standing: tuple[Fraction, ...]
    left: tuple[Fraction, ...]

    @property
    def menu_total(self) -> Fraction:
        """All that the menu takes from the shelf."""
        return sum(self.menu, ZERO)

    @property
    def total(self) -> Fraction:
        """All that goes."""
        return self.menu_total + self.standing[-1]


def drawn(household: Household, plan: MenuPlan, product: Product) -> Drawn:
    """A product through the plan: containers as they are opened, loose goods as they are used."""
    menu = fetched_by_day(plan, product)
    supply = supply_by_day(household, product, on_shelf(household)[product.name], plan.first, plan.days)
    standing = standing_by_day(household, product, plan.first, plan.days, supply)
    left, so_far = [], ZERO
    for day in range(plan.days):
        so_far += menu[day]
        left.append(supply[day] - standing[day] - so_far)
    return Drawn(product, tuple(menu), tuple(standing), tuple(left))


def pinches(
    household: Household, plan: MenuPlan, staples: tuple[StapleRow, ...], ahead: tuple[ForecastRow, ...],
    lines: Mapping[str, Drawn],
) -> tuple[Pinch, ...]:  # fmt: skip
    """Everything that pinches in these days, by day; then what is eaten out of a later share.

    lines: every product through the plan.
    """
    end = plan.first + timedelta(days=plan.days)
    found: dict[str, Pinch] = {}
    for row in staples:
        if row.out is not None and row.out < end:
            found[row.product] = _goes_without(plan, row, lines[row.product])
    fresh = {a.product for a in household.arrivals if plan.first <= a.day < end}
    for name, line in lines.items():
        gone = _gone_on(household, line)
        if name not in found and name not in fresh and gone is not None and line.total > 0:
            found[name] = _used_up(household, plan, line, plan.first + timedelta(days=gone))
    for name, line in lines.items():
        if name not in found and (pinch := _just_reaches(household, plan, line, end)) is not None:
            found[name] = pinch
    now = sorted(found.values(), key=lambda p: (p.day, p.product))
    later = [
        pinch
        for row in ahead
        if row.product not in found
        and (pinch := _later_share(household, plan, lines[row.product], row.as_planned, end)) is not None
    ]
    later.sort(key=lambda p: (p.day, p.product))
    return (*now, *later[:MOST_LATER])


def _gone_on(household: Household, line: Drawn) -> int | None:
    """The day after which no more than a crumb is left of what there was; None when some is left."""
    product = line.product
    crumb = product.sizes[0].content
    if not product.whole:
        takes = [
            o.amount for d in household.dishes.values() for u in d.uses for o in u.options if o.product == product.name
        ]
        takes.append(stands(household, product.name).most() / 7)
        crumb = min((t for t in takes if t > 0), default=product.sizes[0].content)
    if line.left[-1] >= crumb:
        return None
    day = len(line.left) - 1
    while day > 0 and line.left[day - 1] < crumb:
        day -= 1
    return day if day > 0 or line.menu[0] > 0 else None


def _just_reaches(household: Household, plan: MenuPlan, line: Drawn, end: date) -> Pinch | None:
    """A product that comes again within these days, of which next to nothing is left the day before."""
    product, due = line.product, must_reach(line.product, plan.first)
    if product.deadline_kind not in COMES_AGAIN or due is None or not plan.first < due < end or not line.total:
        return None
    before = (due - plan.first).days - 1
    container = product.sizes[0].content
    left, gone = line.left[before] / container, line.standing[before] + sum(line.menu[: before + 1], ZERO)
    weekly = gone / container * 7 / (before + 1)
    if left > 1 and left > weekly * DAYS_TO_SPARE / 7:
        return None
    why = f"{so_much(product.sizes[0].name, left)} above the reserve the evening before"
    why = f"{why if left > 0 else 'None left the evening before'}; {_UNTIL[product.deadline_kind]} this day."
    return Pinch(product.name, due, "just reaches", weekly, ZERO, why, _what_plan_does(household, plan, product.name))


def _goes_without(plan: MenuPlan, row: StapleRow, line: Drawn) -> Pinch:
    """Standing use that finds too little: to the end, or until something comes in."""
    assert row.out is not None  # asked before
    without = len(row.without)
    to_the_end = without == (plan.first + timedelta(days=plan.days) - row.out).days
    menu = line.menu_total / line.product.sizes[0].content
    does = "Nothing on the menu takes it, so every bit goes to its standing use."
    if menu:
        does = "Standing use goes first; the menu takes only what that leaves."
    days = "the last day goes" if without == 1 else f"the last {without} days go"
    why = f"Its standing use finds too little from this day on: {days} without."
    if not to_the_end:
        last = "" if without == 1 else f", the last {short_date(row.without[-1])}"
        why = f"Its standing use finds too little on {plural(without, 'day')}, this the first{last}."
    return Pinch(row.product, row.out, "goes without", row.weekly, row.lacking, why, does)


def _used_up(household: Household, plan: MenuPlan, line: Drawn, day: date) -> Pinch:
    product = line.product
    weekly = line.total / product.sizes[0].content * 7 / max(1, (day - plan.first).days + 1)
    until = ""
    due = must_reach(product, plan.first)
    if due is not None and due > day:
        until = f"; {_UNTIL.get(product.deadline_kind, 'it must last to')} {short_date(due)}"
    last = "is opened" if product.whole else "goes"
    why = f"The last above the reserve {last} this day{until}."
    does = _what_plan_does(household, plan, product.name) + _stood(line)
    return Pinch(product.name, day, "used up", weekly, ZERO, why, does)


def _what_plan_does(household: Household, plan: MenuPlan, name: str) -> str:
    """How often it is cooked and last on which day, and what stands in for it."""
    dishes = [
        (meal.day, dish.dish)
        for meal in plan.meals
        for dish in meal.dishes
        if any(use.product == name for use in dish.uses)
    ]
    instead: dict[str, int] = {}
    for meal in plan.meals:
        for dish in meal.dishes:
            written = household.dishes.get(dish.dish)
            for use in written.uses if written else ():
                taken = {u.product for u in dish.uses}
                other = next((o.product for o in use.options[1:] if o.product in taken), None)
                if use.options[0].product == name and name not in taken and other is not None:
                    instead[other] = instead.get(other, 0) + 1
    said = "The menu does not take it."
    if dishes:
        last = max(dishes)
        said = f"The menu takes it {times(len(dishes))}, last on {short_date(last[0])} ({last[1]})."
    for other, count in sorted(instead.items()):
        said += f" {other} stands in for it {times(count)}."
    return said


def _later_share(household: Household, plan: MenuPlan, line: Drawn, row: AtPace, end: date) -> Pinch | None:
    """A product eaten faster than an even hand would, so that it ends before the day it must last to."""
    product, due = line.product, must_reach(line.product, plan.first)
    if row.mark not in ("short", "tight") or row.out is None or row.out < end or due is None or due <= end:
        return None
    had = line.left[-1] + line.total
    season = season_days(product, plan.first, deadline(product, plan.first))
    even = had * season_days(product, plan.first, end) / season if season else ZERO
    container = product.sizes[0].content
    if line.total <= max(even * OVER_SHARE, even + container / 2):
        return None
    weeks = round(row.gap_weeks)
    gap = f"{plural(weeks, 'week')} before" if weeks else "just before"
    size = product.sizes[0].name
    gone = line.total / container
    why = (
        f"{so_much(size, gone)} {'goes' if gone <= 1 else 'go'}, where an even hand would take "
        f"{so_much(size, even / container)}; at this pace it ends {gap} {short_date(due)}."
    )
    said = _what_plan_does(household, plan, product.name) + _stood(line)
    return Pinch(product.name, row.out, "later share", Fraction(row.weekly).limit_denominator(1000), ZERO, why, said)


def _stood(line: Drawn) -> str:
    """' Standing use takes 5.6 lb.', or nothing."""
    size = line.product.sizes[0]
    taken = line.standing[-1] / size.content
    return f" Standing use takes {so_much(size.name, taken)}." if taken else ""


def through(household: Household, plan: MenuPlan) -> Mapping[str, Drawn]:
    """Every product through the plan."""
    return {name: drawn(household, plan, product) for name, product in household.products.items()}


def taken(lines: Mapping[str, Drawn]) -> Mapping[str, Drawn]:
    """Those of which something goes."""
    return {name: line for name, line in lines.items() if line.total > 0}
