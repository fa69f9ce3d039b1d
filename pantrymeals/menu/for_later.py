"""What is lifted out at a menu's end for the days after it: a joint for Sunday thaws from Thursday on.

A menu that ends on Friday knows nothing of Sunday, and the next one begins too late to thaw for it. So the three days
after are laid from what the menu leaves, by the same rules, best liked and longest not eaten. Of that only what must
come out before the last day is over is kept: for the mains of suppers that keep a promise (a fixed night, an occasion's
own dish), and for the day after, where a place of these days would stand open without: in July the shelves are bare,
and the freezer is not. The three together: the loaf of the one supper that needs no thawing may be tomorrow's lunch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from msgspec.structs import replace

from pantrymeals.larder.table import Table, earliest_day, fixed_night
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.reading import read_plan
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.problem import Candidate, MenuProblem, menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.plans.menu import ForLater, MenuPlan
from pantrymeals.records import Household
from pantrymeals.solving.lanes import by_work
from pantrymeals.solving.linear_model import arrays

PART_OF_THE_PRICE = {"open roles": 1.0, "liking and effort": 1.0, "waste": 0.1}
"""What counts of each wish. What else is cooked then is not known: a jar left half, a side that fills, an even hand."""
DAYS_AFTER = 3
"""So many days beyond the last are looked at: the longest that a joint thaws, as a rule."""
LIFTED_POINTS = 1000
"""What a dish of the day after costs that wants thawing: less than an open place, more than any liking."""
WORK_SECONDS = 1.0
"""Work for these few meals; they are proven best in a tenth of it."""


def with_for_later(household: Household, after: Callable[[Household, MenuPlan], Household], plan: MenuPlan) -> MenuPlan:
    """The plan, with what comes out in its days for the meals after it.

    after: gives the household of the morning after a plan.
    """
    if not any(product.thaw_days for product in household.products.values()):
        return plan
    problem = _days_after(household, after(household, plan), plan)
    found = tuple(_lifted(plan, problem))
    told = with_lots(household, replace(plan, for_later=found)) if found else plan
    return replace(told, for_later=tuple(x for x in told.for_later if _there(x)))


def _asks(household: Household, table: Table) -> Callable[[str], bool] | None:
    """Whether a main is what a supper asks for; None where it asks for nothing."""
    dishes, tag = household.dishes, fixed_night(household, table.meal, table.day)
    own = {o.dish for o in table.occasions if table.meal in o.meals and o.dish in dishes}
    if not tag and not any(dishes[name].role == "main" for name in own):
        return None
    return lambda name: name in own or tag in dishes[name].tags


def _days_after(household: Household, morning: Household, plan: MenuPlan) -> MenuProblem:
    """The question of the days after. What has to thaw for the first has its price there, but for a promised main."""
    first = plan.last + timedelta(days=1)
    kitchen = replace(morning, reckoned_from=household.reckoned_from or earliest_day(household, plan.first))
    request = MenuRequest(first, DAYS_AFTER, seed=plan.seed)
    problem = menu_problem(kitchen, request)
    unthought = menu_problem(replace(kitchen, reckoned_from=first), request)  # as if nobody had thought of it before
    as_it_is = {(c.table, c.role, c.dish.name): c for c in unthought.candidates}

    def priced(c: Candidate) -> Candidate:
        asks = _asks(household, problem.tables[c.table]) if c.role == "main" else None
        if c.day or (asks and asks(c.dish.name)):
            return c
        return as_it_is.get((c.table, c.role, c.dish.name)) or replace(c, points=c.points + LIFTED_POINTS)

    return replace(problem, candidates=tuple(map(priced, problem.candidates)))


def _best(problem: MenuProblem) -> MenuPlan | None:
    """The best of menus for those days; None where none was found."""
    model = build(problem, {}, PROMISES)
    for wish, columns in model.parts.items():
        for col in columns:
            model.linear.cost[col] *= PART_OF_THE_PRICE.get(wish, 0)
    found = by_work(arrays(model.linear), WORK_SECONDS, problem.request.seed, 0.0, lambda _: False).found
    return None if found.x is None else read_plan(model, found.x, Fraction(1), max(found.bound, 0.0), 0.0, "work")


def _lifted(plan: MenuPlan, problem: MenuProblem) -> Iterator[ForLater]:
    """What those days' meals open that has to come out before the plan's last day is over.

    Nothing for a main that is not what its supper asks for: that stands where what is asked for could not.
    """
    found = _best(problem)
    if found is None:
        return
    takes: dict[tuple[date, str], list[tuple[str, Fraction]]] = {}
    for meal in found.meals:
        table = next(t for t in problem.tables if (t.day, t.meal) == (meal.day, meal.meal))
        asks = _asks(problem.household, table)
        for dish in meal.dishes:
            if asks(dish.dish) if asks and dish.role == "main" else meal.day == problem.request.first:
                for use in dish.uses:
                    takes.setdefault((meal.day, use.product), []).append((dish.dish, use.amount))
    for o in found.openings:
        if o.lifted is None or not plan.first <= o.lifted <= plan.last:
            continue
        left, size = o.count, problem.household.products[o.product].content(o.size)
        for name, amount in takes.get((o.day, o.product), ()):
            count = min(left, ceil(amount / size))
            left -= count
            if count:
                yield ForLater(o.lifted, o.day, name, o.product, o.size, count, o.eat_by)


def _there(later: ForLater) -> bool:
    """Whether it is on the shelf on the day it comes out: what comes in only later cannot thaw by then."""
    return later.lot is not None and (later.lot.put_up is None or later.lot.put_up <= later.lifted)
