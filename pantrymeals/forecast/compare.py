"""Before and after: what a what-if changes in days of food, gaps, dishes and planned meals."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from fractions import Fraction

from pantrymeals.forecast.ready_dishes import can_be_cooked
from pantrymeals.forecast.what_if import Changed
from pantrymeals.larder.on_hand import usable
from pantrymeals.plans.marks import Mark
from pantrymeals.plans.menu import MenuPlan, PlannedMeal
from pantrymeals.plans.outlook import Forecast, ForecastRow, GapChange, LarderCover, WhatIf
from pantrymeals.records import WEEKDAYS, Household

WORSE: Mapping[Mark, int] = {"short": 0, "tight": 1}
"""How bad a mark is for reaching the day; the others reach it."""
_SOONER_DAYS = 7


def compare(
    changed: Changed,
    before: tuple[Household, Forecast, LarderCover],
    after: tuple[Forecast, LarderCover],
    plan: MenuPlan | None = None,
) -> WhatIf:
    """What changes; ``before`` is the household as it is, ``after`` as foreseen under the what-ifs."""
    household, forecast, cover = before
    return WhatIf(
        said=changed.said,
        meal_days_before=cover.meal_days,
        meal_days_after=after[1].meal_days,
        energy_days_before=cover.energy_days,
        energy_days_after=after[1].energy_days,
        first_gaps=gaps(forecast, after[0], changed.banned),
        fallen=fallen_dishes(household, changed.household, changed.banned),
        fallen_meals=() if plan is None else fallen_meals(changed.household, plan, changed.banned),
    )


def gaps(before: Forecast, after: Forecast, banned: Collection[str] = ()) -> tuple[GapChange, ...]:
    """Products that come off worse: a worse mark, or short and gone a week sooner; soonest first."""
    was = {row.product: row for row in before.rows}
    out = []
    for row in after.rows:
        old = was.get(row.product)
        if old is not None and row.product not in banned and _is_worse(old, row):
            out.append(
                GapChange(row.product, old.leading().mark, row.leading().mark, old.leading().out, row.leading().out)
            )
    return tuple(sorted(out, key=lambda g: (g.out_after or date.max, g.product)))


def _is_worse(old: ForecastRow, new: ForecastRow) -> bool:
    if old.leading().mark == "eat first" and new.on_hand > 0:
        return False  # what would not have kept is eaten in time
    if old.on_hand > 0 and new.on_hand <= 0 and old.leading().mark not in ("sitter", "held", "not on menus"):
        return True
    if WORSE.get(new.leading().mark, 2) < WORSE.get(old.leading().mark, 2):
        return True
    was, now = old.leading().out, new.leading().out
    sooner = now is not None and (was is None or (was - now).days >= _SOONER_DAYS)
    return new.leading().mark == "short" and sooner


def fallen_dishes(before: Household, after: Household, banned: Collection[str]) -> tuple[str, ...]:
    """Dishes that could be cooked today and now cannot."""
    there, left = usable(before, before.today), usable(after, after.today)
    return tuple(
        name
        for name, dish in before.dishes.items()
        if can_be_cooked(before, dish, there)
        and (name in banned or not can_be_cooked(after, after.dishes[name], left, banned))
    )


def fallen_meals(household: Household, plan: MenuPlan, banned: Collection[str]) -> tuple[str, ...]:
    """Planned dishes that fall, day by day, when what is left is used in the order planned."""
    left = usable(household, household.today)
    arrivals = sorted(household.arrivals, key=lambda a: a.day)
    came, out = 0, []
    for meal in sorted(plan.meals, key=lambda m: m.day):
        while came < len(arrivals) and arrivals[came].day <= meal.day:
            if arrivals[came].day >= plan.first:
                left[arrivals[came].product] += arrivals[came].amount
            came += 1
        out += _fallen_in(meal, left, banned)
    return tuple(out)


def _fallen_in(meal: PlannedMeal, left: dict[str, Fraction], banned: Collection[str]) -> list[str]:
    out = []
    for planned in meal.dishes:
        lacking = any(use.product in banned or left[use.product] < use.amount for use in planned.uses)
        if planned.dish in banned or lacking:
            out.append(f"{WEEKDAYS[meal.day.weekday()]} {meal.day.day} {meal.meal}: {planned.dish}")
            continue
        for use in planned.uses:
            left[use.product] -= use.amount
    return out
