"""How each product goes if these menus are followed, exactly: the menus' draws on their days, then an even hand.

Standing use goes on all the while. Without menus the even hand draws from today: it brings what is in hand above
the reserve to the product's day, at the menus' common pace. What comes in week by week goes on as the menus take
it. Nothing goes in months in which the product is not eaten or no dish that takes it is in season. All amounts
are containers of a product's first size.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.forecast.shelf import belongs_to_next_crop, shelf_of
from pantrymeals.forecast.words import so_much
from pantrymeals.larder.batch_days_done import made_by, with_batches_done, works_within
from pantrymeals.larder.evenness import averaged
from pantrymeals.larder.must_reach import deadline, its_day
from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.larder.supply import stands
from pantrymeals.records import Dish, Household, Product, StandingUse
from pantrymeals.words import short_date

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan

ZERO = Fraction(0)
WALK_DAYS = 728
"""Two years of whole weeks."""


class PlannedPace(Struct, frozen=True):
    """What is wanted of one product each day.

    standing: outside the menus. drawn: by the menus, each day from ``first``. later: a week
    after them, in ``months``. even: whether that is the even hand's. more: by week from ``today``, how many
    times as much as usual; () for always as usual.
    """

    today: date
    standing: StandingUse
    first: date
    drawn: tuple[Fraction, ...]
    later: Fraction
    months: frozenset[int]
    even: bool
    more: tuple[Fraction, ...] = ()

    @property
    def ends(self) -> date:
        """The day after the menus."""
        return self.first + timedelta(days=len(self.drawn))

    def daily(self, day: date) -> Fraction:
        """Containers wanted on a day."""
        want = self.standing.on(day) / 7
        if day >= self.ends:
            want += self.later / 7 if day.month in self.months else ZERO
        elif day >= self.first:
            want += self.drawn[(day - self.first).days]
        week = (day - self.today).days // 7
        return want * self.more[week] if 0 <= week < len(self.more) else want

    def takes(self) -> bool:
        """Whether anything takes it at all."""
        return bool(self.standing) or any(self.drawn) or bool(self.months and self.later)


class Going(Struct, frozen=True):
    """How a stock goes at a pace.

    out: the day the last one above the reserve goes, None beyond two years. left: containers over on its day
    (or after two years). lacking: containers missing up to it. weekly: the mean to its day, or over a year.
    until_out: the mean to the day on which the last one goes, or over two years (none there: as ``weekly``).
    """

    out: date | None
    left: Fraction
    lacking: Fraction
    weekly: Fraction
    until_out: Fraction


class Run(Struct, frozen=True):
    """Days from ``day`` on over which ``daily`` containers are wanted each day, and what was there before the first."""

    day: date
    left: Fraction
    daily: Fraction


class Menus:
    """What is the same for every product: the household with the menus' batch days done, and its dishes' reach."""

    def __init__(self, household: Household, plan: MenuPlan | None, more: Sequence[float] = ()) -> None:
        self.household = with_batches_done(household, plan) if plan else household
        self.plan = plan
        self.first = plan.first if plan else household.today
        self.even = averaged(self.household, self.first, plan.days if plan else 7)
        self.reach = dishes_reaching(self.household)
        self.more = tuple(map(Fraction, more)) if any(x != 1 for x in more) else ()
        self.batch_words = batch_notes(household, plan) if plan else {}
        self._drawn = _drawn(self.household, plan)

    def pace(self, name: str) -> PlannedPace:
        """What is wanted of a product: see the module's first lines."""
        product, household = self.household.products[name], self.household
        months = months_reached(product, self.reach.get(name, ()))
        days = self.plan.days if self.plan else 0
        drawn = self._drawn.get(name, (ZERO,) * days)
        standing = standing_of(household, product)
        alone = PlannedPace(household.today, standing, self.first, drawn, ZERO, months, False, self.more)
        if not months:
            return alone
        if name not in self.even and any(drawn):
            weekly = sum(drawn, ZERO) * 7 / days
            return replace(alone, later=weekly)
        return replace(alone, later=self._even_hand(product, alone), even=True)

    def _even_hand(self, product: Product, alone: PlannedPace) -> Fraction:
        """Containers a week that are left for the dishes when an even hand draws what the menus leave to its day."""
        left = go_down(self.household, product, alone, alone.ends).left
        until = deadline(product, alone.ends)
        season = sum(days for month, days in _days_by_month(alone.ends, until) if month in alone.months)
        if not season:
            return ZERO
        standing = alone.standing.between(alone.ends, until)
        common = self.plan.pace if self.plan else Fraction(1)
        return max(ZERO, (common * left - standing) * 7 / season)


def go_down(
    household: Household, product: Product, pace: PlannedPace, stop: date | None = None, runs: list[Run] | None = None
) -> Going:
    """From today, what comes in joining, but for the next crop; to ``stop`` or for two years.

    The days are walked in runs over which the same is wanted each day; runs: they are put down there.
    """
    today = household.today
    due = stop or its_day(household, product)
    due = due if due and due > today else None
    coming = _coming(household, product)
    end = stop or today + timedelta(days=WALK_DAYS)
    mean_to = due or today + timedelta(days=364)
    left, at_due = shelf_of(household, product.name).to_use, None
    lacking = wanted = all_wanted = ZERO
    out, until_out = None if left else today, None
    for day, after in pairwise(_breaks(pace, today, end, {*coming, mean_to})):
        if day == due:
            at_due = left
        left += coming.get(day, ZERO)
        daily = pace.daily(day)
        if runs is not None:
            runs.append(Run(day, left, daily))
        run = daily * (after - day).days
        if daily and out is None and run >= left:
            out = day + timedelta(days=max(0, ceil(left / daily) - 1))
            until_out = (all_wanted + left) * 7 / ((day - today).days + left / daily)
        lacking += max(ZERO, run - left) if due is None or day < due else ZERO
        wanted += run if day < mean_to else ZERO
        all_wanted += run
        left = max(ZERO, left - run)
    weeks = Fraction((mean_to - today).days, 7)
    weekly = wanted / weeks
    if out is None and end > today:
        until_out = all_wanted * 7 / (end - today).days
    over = left if at_due is None else at_due
    return Going(out, over, lacking if due else ZERO, weekly, weekly if until_out is None else until_out)


def _coming(household: Household, product: Product) -> Mapping[date, Fraction]:
    """What comes in by day, but for the next crop, order or batch."""
    out: dict[date, Fraction] = {}
    for a in household.arrivals:
        ours = a.product == product.name and a.day >= household.today
        if ours and not belongs_to_next_crop(household, a.product, a.day):
            out[a.day] = out.get(a.day, ZERO) + a.amount / product.sizes[0].content
    return out


def at_a_rate(household: Household, product: Product, weekly: Fraction, day: date) -> Going:
    """How what is in hand goes up to a day, if so many containers a week go in the months in which it is eaten."""
    months = product.eaten_in or frozenset(range(1, 13))
    going = StandingUse(product.name, tuple(weekly if month in months else ZERO for month in range(1, 13)))
    pace = PlannedPace(household.today, going, household.today, (), ZERO, frozenset(), even=False)
    return go_down(household, product, pace, day)


def _breaks(pace: PlannedPace, first: date, end: date, others: Collection[date]) -> list[date]:
    """The days from first to end on which what is wanted, or what is there, may change."""
    days = {first, end, *others, *(pace.first + timedelta(days=n) for n in range(len(pace.drawn) + 1))}
    days |= {first + timedelta(weeks=n) for n in range(len(pace.more))}
    month = first
    while month < end:
        month = (month.replace(day=1) + timedelta(days=32)).replace(day=1)
        days.add(month)
    if pace.standing.within:
        each = (first + timedelta(days=n) for n in range((end - first).days))
        days |= {after for day, after in pairwise(each) if pace.standing.on(day) != pace.standing.on(after)}
    return sorted(day for day in days if first <= day <= end)


def _days_by_month(first: date, end: date) -> list[tuple[int, int]]:
    """(month, days) of the span from first up to end."""
    out, day = [], first
    while day < end:
        after = min(end, (day.replace(day=1) + timedelta(days=32)).replace(day=1))
        out.append((day.month, (after - day).days))
        day = after
    return out


def _drawn(household: Household, plan: MenuPlan | None) -> dict[str, tuple[Fraction, ...]]:
    """What the menus' dishes take of each product on each of their days."""
    out: dict[str, list[Fraction]] = {}
    for meal in plan.meals if plan else ():
        for use in (use for dish in meal.dishes for use in dish.uses):
            days = out.setdefault(use.product, [ZERO] * plan.days if plan else [])
            days[(meal.day - plan.first).days if plan else 0] += (
                use.amount / household.products[use.product].sizes[0].content
            )
    return {name: tuple(days) for name, days in out.items()}


def dishes_reaching(household: Household) -> dict[str, list[Dish]]:
    """The dishes that may take each product, by any option or noted alternative."""
    reach: dict[str, list[Dish]] = {}
    for dish in household.dishes.values():
        uses = [*dish.uses, *(use for note in dish.instead for use in note.uses)]
        for name in {option.product for use in uses for option in use.options}:
            reach.setdefault(name, []).append(dish)
    return reach


def months_reached(product: Product, dishes: Collection[Dish]) -> frozenset[int]:
    """Months in which the product is eaten and some dish that takes it is in season."""
    eaten = product.eaten_in or frozenset(range(1, 13))
    seasons = (dish.season or frozenset(range(1, 13)) for dish in dishes)
    return eaten & frozenset().union(*seasons) if product.on_menus else frozenset()


def standing_of(household: Household, product: Product) -> StandingUse:
    """Containers a week that standing use takes."""
    return stands(household, product.name).times(1 / product.sizes[0].content)


def batch_notes(household: Household, plan: MenuPlan) -> dict[str, list[str]]:
    """By product: '40 pounds of mid-season apples less for the batch day of 17 Jan', or more from it."""
    out: dict[str, list[str]] = {}
    for work, batch in works_within(household, plan):
        taken = {use.product: use.amount / household.products[use.product].sizes[0].content for use in work.uses}
        made = {name: count * work.times for name, count in made_by(household, batch).items()}
        for amounts, words in ((taken, "less for"), (made, "more from")):
            for name, count in amounts.items():
                unit = household.products[name].sizes[0].name
                said = f"{so_much(unit, count)} {words} the batch day of {short_date(work.day)}"
                out.setdefault(name, []).append(said)
    return out


def unreachable(household: Household) -> tuple[tuple[str, str], ...]:
    """Products in store above their reserve that no dish and no standing use takes in any month, and why."""
    shelf, reach = on_shelf(household), dishes_reaching(household)
    out = []
    for name, product in household.products.items():
        if not product.on_menus or shelf[name] <= 0 or standing_of(household, product):
            continue
        dishes = reach.get(name, [])
        if months_reached(product, dishes):
            continue
        if dishes:
            names = ", ".join(sorted(dish.name for dish in dishes))
            out.append((name, f"in the months it is eaten, {names} is out of season"))
        else:
            work = sorted(
                b.name for b in household.batch_days.values()
                if any(o.product == name for use in b.uses for o in use.options)
            )  # fmt: skip
            out.append((name, f"only the batch day '{work[0]}' takes it" if work else "no dish takes it"))
    return tuple(out)
