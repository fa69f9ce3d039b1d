"""How long it takes to eat a sitter down, at a pace the table will bear: a small model of days and dishes.

House rules hold: days between two cookings of a dish, the weekday's minutes, fixed nights, months,
most of a tag in a week; and the thing itself comes to table at most once in so many days.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from msgspec import Struct

from pantrymeals.larder.table import batches, days_between, hands_on_limit, longest_dish, night_of, waits_in
from pantrymeals.records import WEEKDAYS, Dish, Household, Option
from pantrymeals.solving.solvers import cp_solver

PACE_DAYS = 7
GRUDGING_DAYS = 14
"""Least days from one dish with it to the next; and where no dish of it is better than put up with.
Common practice, no published source."""

HORIZON_DAYS = 364
MOST_DISHES = 4


class Clearing(Struct, frozen=True):
    """Dishes that would use a product up. days: (day, dish) in order. weeks: None if not within a year."""

    dishes: tuple[str, ...]
    days: tuple[tuple[date, str], ...]
    weeks: int | None
    proven: bool


def dishes_using(household: Household, product: str) -> list[tuple[Dish, Option]]:
    """Dishes with an option of that product: the better liked first, then the household's own."""
    found = []
    for dish in household.dishes.values():
        option = next((o for use in dish.uses for o in use.options if o.product == product), None)
        if option is not None and dish.needs_left is None:
            found.append((dish, option))
    return sorted(found, key=lambda d: (-d[0].liking, d[0].book != "household", d[0].name))


def portions_at_table(household: Household) -> Fraction:
    """Portions of everyone of the household together."""
    return sum((person.portion for person in household.people), Fraction(0))


def gap_days(household: Household, dish: Dish) -> int:
    """Least days between two cookings of a dish."""
    return max(1, days_between(household, dish))


def may_stand(household: Household, dish: Dish, day: date) -> bool:
    """Whether month, minutes and the fixed night leave room for a dish on a day."""
    weekday, rules = WEEKDAYS[day.weekday()], household.rules
    if (dish.season and day.month not in dish.season) or waits_in(rules, dish, day):
        return False
    if dish.only_for:
        return False
    hands, longest = hands_on_limit(rules, day), longest_dish(rules, day)
    if (hands is not None and dish.hands_on_minutes > hands) or (longest is not None and dish.minutes > longest):
        return False
    own = [
        rules.meal_minutes.get(m.meal, {}).get(weekday)
        for m in household.meals
        if dish.role in m.roles.get(weekday, ())
    ]
    if own and all(most is not None and dish.hands_on_minutes > most for most in own):
        return False
    fixed = night_of(rules, day)
    return dish.role != "main" or fixed is None or fixed in dish.tags


def tag_gap(rules_at_most: Mapping[str, int], dish: Dish) -> int:
    """Cookings of a dish that its tags allow in any seven days; 7 where no tag is limited."""
    return min((n for tag, n in rules_at_most.items() if tag in dish.tags), default=7)


def clear_down(
    household: Household, product: str, amount: Fraction, first: date, seed: int = 1, work: float = 5.0
) -> Clearing:
    """The soonest that ``amount`` (base measure) of a product can be eaten, from ``first`` on.

    The model chooses days for the four best liked dishes so that the last one comes soonest. work: of the solver,
    not by the clock, so that a busy machine has the same answer.
    """
    chosen = dishes_using(household, product)[:MOST_DISHES]
    names = tuple(dish.name for dish, _ in chosen)
    if not chosen or amount <= 0:
        return Clearing(names, (), 0 if amount <= 0 else None, True)
    portions = portions_at_table(household)
    each = [batches(household, dish, portions) * option.amount for dish, option in chosen]
    grudging = all(dish.liking < 0 for dish, _ in chosen)
    return _solve(household, [d for d, _ in chosen], each, amount, first, grudging, seed, work)


def _horizon(
    household: Household, dishes: Sequence[Dish], each: Sequence[Fraction], amount: Fraction, pace: int
) -> int:
    """Days to look over: as long as one dish alone would take, with a month for days that do not suit."""
    gaps = [max(pace, gap_days(household, dish)) for dish in dishes]
    alone = max(ceil(amount / e) * gap for e, gap in zip(each, gaps, strict=True))
    seasons = any(dish.season for dish in dishes)
    return HORIZON_DAYS if seasons else min(HORIZON_DAYS, 2 * alone + 28)


def _solve(
    household: Household, dishes: Sequence[Dish], each: Sequence[Fraction], amount: Fraction, first: date,
    grudging: bool, seed: int, work: float,
) -> Clearing:  # fmt: skip
    from ortools.sat.python import cp_model

    pace = GRUDGING_DAYS if grudging else PACE_DAYS
    horizon = _horizon(household, dishes, each, amount, pace)
    model = cp_model.CpModel()
    cook: dict[tuple[int, int], cp_model.IntVar] = {}
    for index, dish in enumerate(dishes):
        for offset in range(horizon):
            if may_stand(household, dish, first + timedelta(days=offset)):
                cook[index, offset] = model.new_bool_var("")
    for offset in range(horizon):
        model.add_at_most_one(v for (_, o), v in cook.items() if offset <= o < offset + pace)
    for index, dish in enumerate(dishes):
        gap = max(gap_days(household, dish), 7 if tag_gap(household.rules.at_most, dish) == 1 else 1)
        if gap <= pace:
            continue
        for offset in range(horizon):
            model.add_at_most_one(v for (i, o), v in cook.items() if i == index and offset <= o < offset + gap)
    needed = [round(e * 1000) for e in each]
    model.add(sum(v * needed[i] for (i, _), v in cook.items()) >= round(amount * 1000) - 1)
    last = model.new_int_var(0, horizon, "")
    for (_, offset), var in cook.items():
        model.add(last >= offset + 1).only_enforce_if(var)
    model.minimize(last * 1000 + sum(cook.values()))
    solver = cp_solver(seed, work=work)
    status = solver.solve(model)
    names = tuple(dish.name for dish in dishes)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Clearing(names, (), None, status == cp_model.INFEASIBLE)
    days = sorted((first + timedelta(days=o), dishes[i].name) for (i, o), v in cook.items() if solver.value(v))
    span = (days[-1][0] - first).days + 1 if days else 0
    return Clearing(names, tuple(days), ceil(span / 7), status == cp_model.OPTIMAL)
