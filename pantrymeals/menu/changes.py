"""After life happens: the announced menu kept as far as it can be, and what changed told as a short list.

First the fewest announced meals that must change are found, with every rule kept and no place left
open that could be filled. Then only those meals are planned anew, by the menu's own points.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.errors import NoMenuFits, PantryError
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.menu import notes_for, with_notes
from pantrymeals.menu.reading import read_plan
from pantrymeals.menu.reasons import with_reasons
from pantrymeals.menu.request import ENOUGH_SECONDS, PATIENCE_SECONDS, MenuRequest, NobodyWatching, Watch
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import MenuModel
from pantrymeals.menu.week.pace import bands_at, common_pace
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.asked import announced_meals_kept
from pantrymeals.menu.week.rules.table import CONSTRAINTS, PROMISES
from pantrymeals.plans.menu import BegunUse, DayUse, MealChange, MenuPlan, PlannedMeal
from pantrymeals.records import ROLES, Household, MealName, Role
from pantrymeals.solving.cutting import piece
from pantrymeals.solving.filling import fill
from pantrymeals.solving.linear_model import Arrays, arrays
from pantrymeals.solving.solvers import Found, Linked, linear_relaxation, run_cp_sat, whole_menu

OPEN_WORTH = 20
"""A place left open weighs as much as so many changed meals: none is, while anything fits."""

FEWEST_PART = 0.6
"""Of the time: at most so much for finding the fewest changes."""


class Kept(Struct, frozen=True):
    """A menu that keeps what was announced. fewest: proven that no menu changes fewer meals."""

    plan: MenuPlan
    fewest: bool


def plan_keeping(household: Household, asked: MenuRequest, watch: Watch | None = None) -> Kept:
    """The menu for the days asked that changes the fewest meals of ``asked.keep``.

    Raises NoMenuFits when no menu keeps the rules and what was pinned.
    """
    watch = watch or NobodyWatching()
    begun = time.monotonic()
    problem = menu_problem(household, asked)
    watch.progress("the fewest changes", None, None, None)
    chosen, fewest = _fewest_changes(problem, asked.seconds * FEWEST_PART, watch)
    pace = common_pace(problem)
    promises = tuple(p for p in PROMISES if p is not announced_meals_kept)
    model = build(problem, bands_at(problem, pace), promises)
    linear = arrays(model.linear)
    watch.progress("the changed meals", None, None, None)
    left = max(1.0, asked.seconds - (time.monotonic() - begun))
    x = _anew(model, linear, chosen, left, watch)
    bound = linear_relaxation(linear).cost
    ended: Literal["proven", "stopped", "time"] = "proven" if fewest else "stopped" if watch.stopped() else "time"
    plan = read_plan(model, x, pace, bound, time.monotonic() - begun, ended, notes_for(problem))
    whole = with_reasons(household, with_lots(household, with_batch_days(household, plan)))
    return Kept(with_notes(household, whole), fewest)


def _kept_places(problem: MenuProblem) -> dict[int, dict[Role, str]]:
    """By table: the dish announced for each role."""
    out: dict[int, dict[Role, str]] = {}
    tables = {(t.day, t.meal): i for i, t in enumerate(problem.tables)}
    for day, meal, role, dish in problem.request.keep:
        if (day, meal) in tables:
            out.setdefault(tables[day, meal], {})[role] = dish  # type: ignore[index]
    return out


def _best(
    linear: Arrays, places: np.ndarray, dishes: np.ndarray, near: np.ndarray | None, asked: MenuRequest,
    seconds: float, gap: float, watch: Watch,
) -> Found:  # fmt: skip
    """The best found in the time, or until the cook has had enough; with no place open that anything fits.

    near: what it should be near to, where the search had no time to find any.
    """
    found, enough = Found(), Linked(threading.Event(), watch.stopped)
    run_cp_sat(linear, found, enough, seconds, asked.seed, gap, start=near, settings=whole_menu)
    if not found.settled:
        more = ENOUGH_SECONDS if watch.stopped() else PATIENCE_SECONDS
        fill(found, linear, places, dishes, near if found.x is None else found.x, more, asked.seed)
    return found


def _fewest_changes(problem: MenuProblem, seconds: float, watch: Watch) -> tuple[frozenset[int], bool]:
    """Candidates of unchanged meals in a menu that changes the fewest; and whether that is proven."""
    model = build(problem, {}, CONSTRAINTS)
    model.linear.cost = [0] * model.linear.width
    model.linear.fixed_cost = 0
    for col in model.open.values():
        model.linear.cost[col] = OPEN_WORTH
    kept = _kept_places(problem)
    index = {(c.table, c.role, c.dish.name): i for i, c in enumerate(problem.candidates)}
    changed: dict[int, int] = {}
    for table, dishes in kept.items():
        changed[table] = model.column(-1, cost=1)
        for role, dish in dishes.items():
            there = index.get((table, role, dish))
            terms = [(changed[table], 1)]
            if there is not None:
                terms.append((model.cook[there], 1))
            model.constrain("announced", terms, lo=1)
    linear = arrays(model.linear)
    announced = np.zeros(model.linear.width)
    announced[[model.cook[index[t, r, d]] for t in kept for r, d in kept[t].items() if (t, r, d) in index]] = 1
    found = _best(linear, model.places, model.dishes, announced, problem.request, seconds, 0.0, watch)
    if found.x is None:
        if found.infeasible:
            raise NoMenuFits("no menu keeps all the house rules and what was asked for")
        raise PantryError("no menu was found in time; allow more with --seconds")
    x = found.x
    same = {table for table, col in changed.items() if x[col] < 0.5}
    kept_dishes = {index[table, role, dish] for table in same for role, dish in kept[table].items()}
    return frozenset(kept_dishes), found.bound > found.cost - 0.5


def _anew(model: MenuModel, linear: Arrays, kept: frozenset[int], seconds: float, watch: Watch) -> np.ndarray:
    """The best menu by points in which the unchanged meals stand as announced."""
    problem = model.problem
    tables = {problem.candidates[i].table for i in kept}
    at = np.zeros(linear.lo.shape[0])
    free = np.ones(linear.lo.shape[0], bool)
    for i, candidate in enumerate(problem.candidates):
        if candidate.table in tables:
            free[model.cook[i]] = False
            at[model.cook[i]] = i in kept
    for (index, _), columns in model.option.items():
        if not free[model.cook[index]] and index not in kept:
            free[columns] = False
    part, keep = piece(linear, free, at)
    places, dishes = (np.flatnonzero(np.isin(keep, columns)) for columns in (model.places, model.dishes))
    found = _best(part, places, dishes, None, problem.request, seconds, problem.request.gap / 2, watch)
    if found.x is None:
        raise PantryError("the changed meals could not be planned in the time given; allow more with --seconds")
    at[keep] = found.x
    return at


def changed_meals(before: MenuPlan, after: MenuPlan) -> tuple[MealChange, ...]:
    """Every place of the later menu whose dish is another than in the earlier one, in order."""
    was = {(m.day, m.meal): _dishes(m) for m in before.meals}
    reasons: dict[tuple[date, MealName, Role], str] = {
        (m.day, m.meal, d.role): d.why for m in after.meals for d in m.dishes
    }
    out = []
    for meal in after.meals:
        old, new = was.get((meal.day, meal.meal), {}), _dishes(meal)
        for role in ROLES:
            if old.get(role, "") != new.get(role, ""):
                why = reasons.get((meal.day, meal.meal, role), "")
                out.append(MealChange(meal.day, meal.meal, role, old.get(role, ""), new.get(role, ""), why))
    return tuple(out)


def _dishes(meal: PlannedMeal) -> Mapping[Role, str]:
    return {d.role: d.dish for d in meal.dishes}


def more_batches(before: MenuPlan, after: MenuPlan) -> tuple[tuple[date, MealName, str, Fraction, Fraction], ...]:
    """Dishes that stay, made in more or fewer batches: (day, meal, dish, was, is)."""
    was = {(m.day, m.meal, d.dish): d.batches for m in before.meals for d in m.dishes}
    return tuple(
        (m.day, m.meal, d.dish, was[m.day, m.meal, d.dish], d.batches)
        for m in after.meals
        for d in m.dishes
        if was.get((m.day, m.meal, d.dish), d.batches) != d.batches
    )


def part_of(plan: MenuPlan, first: date, end: date) -> MenuPlan:
    """The days of a menu from first up to (not including) end; what it opened before them is then open already."""

    def within(uses: tuple[DayUse, ...]) -> tuple[DayUse, ...]:
        return tuple((day, amount) for day, amount in uses if first <= day < end)

    opened = [BegunUse(o.product, o.size, o.out, o.uses) for o in plan.openings if o.day < first]
    begun = [BegunUse(b.product, b.size, b.opened, within(b.uses)) for b in (*plan.begun, *opened)]
    return replace(
        plan,
        first=first,
        days=(end - first).days,
        meals=tuple(m for m in plan.meals if first <= m.day < end),
        openings=tuple(replace(o, uses=within(o.uses)) for o in plan.openings if first <= o.day < end),
        for_later=tuple(x for x in plan.for_later if first <= x.lifted < end),
        waste=tuple(w for w in plan.waste if first <= w.day < end),
        batch_work=tuple(b for b in plan.batch_work if first <= b.day < end),
        begun=tuple(b for b in begun if b.uses),
        fetched=tuple(f for f in plan.fetched if first <= f.day < end),
    )
