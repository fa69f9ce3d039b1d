"""Another dish for one place of a menu: the best few, and what each would do.

Everything else stays: the other dishes and the products they take. Only what is opened, and what goes
over, is worked out anew, so that each trial is a small piece of the menu's own model.
"""

from __future__ import annotations

import time
from datetime import date
from fractions import Fraction

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.menu.reading import read_plan
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import POINT, MenuModel
from pantrymeals.menu.week.pace import bands_at
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal, SwapOffer
from pantrymeals.records import Household, MealName, Role
from pantrymeals.solving.cutting import HAIR, piece
from pantrymeals.solving.linear_model import Arrays, arrays, hopeless_rows
from pantrymeals.solving.solvers import solved
from pantrymeals.words import long_day

TRIAL_SECONDS = 0.5
ALL_SECONDS = 10.0


class NothingThere(PantryError):
    """The place named has no dish in this menu, or the menu does not fit this larder."""


class Standing(Struct):
    """A menu laid on its model. at: its columns; cooked: candidates by (table, role)."""

    model: MenuModel
    linear: Arrays
    at: np.ndarray
    cooked: dict[tuple[int, Role], int]
    frozen: np.ndarray


def swap_offers(
    household: Household, plan: MenuPlan, day: date, meal: MealName, role: Role, number: int = 5
) -> tuple[SwapOffer, ...]:
    """The best few other dishes for a place, with everything else kept and every rule respected.

    Raises NothingThere when the place has no dish, or the menu does not fit this larder.
    """
    place = _place(plan, day, meal, role)
    standing = _laid(household, plan, place)
    table = _table(standing.model.problem, place)
    now = _tried(standing, table, role, standing.cooked[table, role])
    if now is None:
        raise NothingThere("this menu does not keep the rules of this larder any more: plan anew first")
    until = time.monotonic() + ALL_SECONDS
    found: list[tuple[float, int, np.ndarray]] = []
    for index, candidate in enumerate(standing.model.problem.candidates):
        if (candidate.table, candidate.role) != (table, role) or index == standing.cooked[table, role]:
            continue
        if time.monotonic() < until:
            x = _tried(standing, table, role, index)
            if x is not None and _missed(standing, x) <= _missed(standing, now):
                found.append((_cost(standing, x), index, x))
    found.sort(key=lambda offer: (offer[0], offer[1]))
    before = _read(standing, now, plan)
    return tuple(
        _offer(household, before, _read(standing, x, plan), place, cost - _cost(standing, now))
        for cost, _, x in found[:number]
    )


class MenuPlace(Struct, frozen=True):
    """A dish's place in a menu."""

    meal: PlannedMeal
    dish: PlannedDish


def _place(plan: MenuPlan, day: date, meal: MealName, role: Role) -> MenuPlace:
    for planned in plan.meals:
        if (planned.day, planned.meal) == (day, meal):
            for dish in planned.dishes:
                if dish.role == role:
                    return MenuPlace(planned, dish)
            if role in planned.covered_roles:
                raise NothingThere(f"the {role} of {long_day(day)} comes with the {meal}'s other dish")
    raise NothingThere(f"this menu has no {role} at {meal} on {long_day(day)}")


def _table(problem: MenuProblem, place: MenuPlace) -> int:
    return next(i for i, t in enumerate(problem.tables) if (t.day, t.meal) == (place.meal.day, place.meal.meal))


def _laid(household: Household, plan: MenuPlan, place: MenuPlace) -> Standing:
    """The menu on the model of its own question."""
    pins = tuple(
        Pin(meal.day, dish.dish, meal.meal)
        for meal in plan.meals
        for dish in meal.dishes
        if dish.pinned and dish is not place.dish
    )
    gave_way = (
        dict(plan.parts).get("missed", 0) > 0
    )  # a night or a week's tag: laid with it kept, the menu would not fit
    asked = MenuRequest(plan.first, plan.days, seed=plan.seed, pinned=pins, promises_give_way=gave_way)
    problem = menu_problem(household, asked)
    model = build(problem, bands_at(problem, plan.pace), PROMISES)
    linear = arrays(model.linear)
    number = {(c.table, c.dish.name): i for i, c in enumerate(problem.candidates)}
    tables = {(t.day, t.meal): i for i, t in enumerate(problem.tables)}
    standing = Standing(model, linear, np.zeros(linear.lo.shape[0]), {}, np.zeros(linear.lo.shape[0], bool))
    standing.frozen[model.cook] = True
    standing.frozen[list(model.open.values())] = True
    for meal in plan.meals:
        for dish in meal.dishes:
            table = tables.get((meal.day, meal.meal), -1)
            index = number.get((table, dish.dish))
            if index is None:
                raise NothingThere(f"{dish.dish} on {long_day(meal.day)} cannot be cooked from this larder any more")
            standing.cooked[table, dish.role] = index
            standing.at[model.cook[index]] = 1
            _keep_options(standing, index, dish)
        for role in meal.open_roles:
            standing.at[model.open[tables[meal.day, meal.meal], role]] = 1
    return standing


def _keep_options(standing: Standing, index: int, dish: PlannedDish) -> None:
    """Of a dish's choices, only products that the menu takes stay allowed."""
    taken = {use.product for use in dish.uses}
    problem = standing.model.problem
    for number, choice in enumerate(problem.candidates[index].choices):
        columns = standing.model.option[index, number]
        kept = [problem.stocks[draw.product].name in taken for draw in choice]
        if any(kept):
            for column, keep in zip(columns, kept, strict=True):
                standing.linear.hi[column] = min(standing.linear.hi[column], keep)


def _tried(standing: Standing, table: int, role: Role, index: int) -> np.ndarray | None:
    """The columns with this dish in the place; None when some rule forbids it.

    Roles that either dish covers are filled anew, since one more or one fewer dish is needed there.
    """
    model, at = standing.model, standing.at.copy()
    old = standing.cooked[table, role]
    candidates = model.problem.candidates
    at[model.cook[old]] = 0
    at[model.cook[index]] = 1
    frozen = standing.frozen.copy()
    covers = candidates[old].dish.covers ^ candidates[index].dish.covers
    for i, c in enumerate(candidates):
        if c.table == table and c.role in covers:
            frozen[model.cook[i]] = False
    free = ~frozen
    _close_idle_options(standing, at, free)
    linear = standing.linear
    frozen_so = replace(linear, lo=np.where(free, linear.lo, at), hi=np.where(free, linear.hi, at))
    if (at > linear.hi + HAIR)[~free].any() or hopeless_rows(frozen_so).size:
        return None
    part, keep = piece(linear, free, at)
    found = solved(part, TRIAL_SECONDS)
    if found.x is None:
        return None
    at[keep] = found.x
    return at


def _close_idle_options(standing: Standing, at: np.ndarray, free: np.ndarray) -> None:
    """Choices of dishes that are surely not cooked need no thought."""
    model = standing.model
    for (index, _), columns in model.option.items():
        col = model.cook[index]
        if not free[col] and at[col] < 0.5:
            free[columns] = False


def _missed(standing: Standing, x: np.ndarray) -> float:
    """How many promises a menu misses."""
    return float(sum(x[col] for col in standing.model.missed))


def _cost(standing: Standing, x: np.ndarray) -> float:
    return float(standing.linear.cost @ x)


def _read(standing: Standing, x: np.ndarray, plan: MenuPlan) -> MenuPlan:
    return read_plan(standing.model, x, plan.pace, 0.0, 0.0, plan.ended)


def _offer(household: Household, before: MenuPlan, after: MenuPlan, place: MenuPlace, cost: float) -> SwapOffer:
    was = _meal_of(before, place)
    now = _meal_of(after, place)
    dish = next(d.dish for d in now.dishes if d.role == place.dish.role)
    off_before = {row.product: row.off for row in before.shares}
    moved = {row.product: row.off - off_before.get(row.product, Fraction(0)) for row in after.shares}
    return SwapOffer(
        dish=dish,
        nearer=tuple(sorted((p for p, by in moved.items() if by < 0), key=lambda p: moved[p])),
        further=tuple(sorted((p for p, by in moved.items() if by > 0), key=lambda p: -moved[p])),
        waste=_more_waste(before, after),
        minutes=_minutes(household, now) - _minutes(household, was),
        hands_on_minutes=_hands_on(household, now) - _hands_on(household, was),
        points=cost / POINT,
        besides=_besides(was, now, place.dish.role),
    )


def _meal_of(plan: MenuPlan, place: MenuPlace) -> PlannedMeal:
    return next(m for m in plan.meals if (m.day, m.meal) == (place.meal.day, place.meal.meal))


def _minutes(household: Household, meal: PlannedMeal) -> int:
    """The longest dish of the meal, which is when it can be on the table."""
    return max(household.dishes[d.dish].minutes for d in meal.dishes)


def _hands_on(household: Household, meal: PlannedMeal) -> int:
    return sum(household.dishes[d.dish].hands_on_minutes for d in meal.dishes)


def _besides(was: PlannedMeal, now: PlannedMeal, role: Role) -> tuple[str, ...]:
    """'no side is needed', 'with Warm kraut as side'."""
    before = {d.role: d.dish for d in was.dishes if d.role != role}
    after = {d.role: d.dish for d in now.dishes if d.role != role}
    said = [f"no {r} of its own is needed" for r in before if r not in after]
    said += [f"with {name} as {r}" for r, name in after.items() if before.get(r) != name]
    return tuple(said)


def _more_waste(before: MenuPlan, after: MenuPlan) -> tuple[tuple[str, Fraction], ...]:
    """What more (or less) goes over, by product."""
    total: dict[str, Fraction] = {}
    for sign, plan in ((-1, before), (1, after)):
        for waste in plan.waste:
            total[waste.product] = total.get(waste.product, Fraction(0)) + sign * waste.amount
    return tuple(sorted((name, amount) for name, amount in total.items() if amount))
