"""What is lifted out at a menu's end for the suppers after it: a joint for Sunday thaws from Thursday on.

A menu that ends on Friday knows nothing of Sunday, and the next one begins too late to thaw for it. So the suppers of
the next days that keep a promise (a fixed night, an occasion's own dish) are planned from what the menu leaves, their
mains alone, by the same rules, best liked and longest not eaten; of that only what must come out before the last day is
over is kept. So is the next day's supper, where nothing could be cooked for it that needs no thawing: in July the
shelves are bare, and the freezer is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.table import Table, fixed_night, occasions_on, tables, weekday
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.reading import read_plan
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.plans.menu import ForLater, MenuPlan
from pantrymeals.records import Household, MealRoles
from pantrymeals.solving.lanes import by_work
from pantrymeals.solving.linear_model import arrays

PART_OF_THE_PRICE = {"open roles": 1.0, "liking and effort": 1.0, "waste": 0.1}
"""What counts of each wish. What else is cooked then is not known: a jar left half, a side that fills, an even hand."""
DAYS_AFTER = 3
"""So many days beyond the last are looked at: the longest that a joint thaws, as a rule."""
WORK_SECONDS = 1.0
"""Work for these few mains; they are proven best in a tenth of it."""


def with_for_later(household: Household, after: Callable[[Household, MenuPlan], Household], plan: MenuPlan) -> MenuPlan:
    """The plan, with what comes out in its days for the suppers after it.

    after: gives the household of the morning after a plan.
    """
    nights = promised_nights(household, plan.last)
    supper = _unpromised_supper(household, plan.last + timedelta(days=1), nights)
    if not nights and not supper:
        return plan
    morning = after(household, plan)
    bare = supper if supper and _is_bare(morning, plan, supper) else ()
    if not nights and not bare:
        return plan
    lifted = _lifted(plan, _mains(household, morning, plan, (*bare, *nights)))
    no_choice = {table.day for table in bare}
    found = tuple(x for x in lifted if x.night in no_choice or _is_promised(household, x))
    told = with_lots(household, replace(plan, for_later=found)) if found else plan
    return replace(told, for_later=tuple(x for x in told.for_later if _there(x)))


def promised_nights(household: Household, last: date) -> tuple[Table, ...]:
    """The suppers soon after a last day whose main a fixed night or an occasion asks for."""
    dishes = household.dishes
    return tuple(
        table
        for table in tables(household, last + timedelta(days=1), DAYS_AFTER)
        if table.meal == "supper" and "main" in table.roles
        if fixed_night(household, table.meal, table.day)
        or any(o.dish in dishes and dishes[o.dish].role == "main" and table.meal in o.meals for o in table.occasions)
    )


def _unpromised_supper(household: Household, day: date, nights: tuple[Table, ...]) -> tuple[Table, ...]:
    """The supper of a day for which nothing is promised, where something of the house has to thaw at all."""
    if not any(p.thaw_days for p in household.products.values()) or any(table.day == day for table in nights):
        return ()
    return tuple(t for t in tables(household, day, 1) if t.meal == "supper" and "main" in t.roles)


def _is_bare(morning: Household, plan: MenuPlan, supper: tuple[Table, ...]) -> bool:
    """Whether no main could be cooked for the supper of the day after that needs no thawing."""
    left = replace(morning, reckoned_from=plan.last + timedelta(days=1))  # as if nobody had thought of it before
    mains = _mains(left, left, plan, supper, days=1)
    return mains is not None and mains.open_roles > 0


def _mains(
    household: Household, after: Household, plan: MenuPlan, nights: tuple[Table, ...], days: int = DAYS_AFTER
) -> MenuPlan | None:
    """Those suppers' mains, as the best of menus that lay nothing else; None where none was found."""
    of_week = {weekday(table.day) for table in nights}
    suppers = next(roles for roles in household.meals if roles.meal == "supper")
    kitchen = replace(
        after,
        meals=(MealRoles("supper", dict.fromkeys(of_week, ("main",)), suppers.eaters),),
        reckoned_from=household.reckoned_from or min(household.today, plan.first),
    )
    request = MenuRequest(plan.last + timedelta(days=1), days, seed=plan.seed)
    problem = menu_problem(kitchen, request)
    model = build(problem, {}, PROMISES)
    for wish, columns in model.parts.items():
        for col in columns:
            model.linear.cost[col] *= PART_OF_THE_PRICE.get(wish, 0)
    found = by_work(arrays(model.linear), WORK_SECONDS, plan.seed, 0.0, lambda _: False).found
    return None if found.x is None else read_plan(model, found.x, Fraction(1), max(found.bound, 0.0), 0.0, "work")


def _lifted(plan: MenuPlan, mains: MenuPlan | None) -> Iterator[ForLater]:
    """What these mains open that has to come out before the plan's last day is over."""
    if mains is None:
        return
    takes = {(m.day, use.product): d.dish for m in mains.meals for d in m.dishes for use in d.uses}
    for o in mains.openings:
        dish = takes.get((o.day, o.product))
        if dish and o.lifted is not None and plan.first <= o.lifted <= plan.last:
            yield ForLater(o.lifted, o.day, dish, o.product, o.size, o.count, o.eat_by)


def _is_promised(household: Household, later: ForLater) -> bool:
    """Whether its dish is what the supper asks for: where none could be, another main stands there."""
    own = {o.dish for o in occasions_on(household, later.night) if "supper" in o.meals}
    return later.dish in own or fixed_night(household, "supper", later.night) in household.dishes[later.dish].tags


def _there(later: ForLater) -> bool:
    """Whether it is on the shelf on the day it comes out: what comes in only later cannot thaw by then."""
    return later.lot is not None and (later.lot.put_up is None or later.lot.put_up <= later.lifted)
