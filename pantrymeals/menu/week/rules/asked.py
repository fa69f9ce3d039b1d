"""What was asked for: pinned dishes, feasts, fixed nights, what is left out; and the wishes. Rules 6 and 9."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from pantrymeals.larder.table import own_of
from pantrymeals.menu.request import DAYS_IN_ONE_PIECE, Pin
from pantrymeals.menu.week.model import (
    FEAST_MISSED_POINTS,
    MISSED_POINTS,
    PARTNER_POINTS,
    POINT,
    MenuModel,
    Missed,
    Rule,
)
from pantrymeals.menu.week.problem import Candidate, MenuProblem, candidates_by_table, dishes_of_occasions, nights_asked
from pantrymeals.menu.week.rules.rule import HouseholdAsked, HouseRule, Shown, day_of, on_day
from pantrymeals.records import Household


def pinned_dishes(model: MenuModel) -> None:
    """What someone asked for stands where they asked for it."""
    problem = model.problem
    for pin in problem.request.pinned:
        cols = [
            (model.cook[i], 1)
            for i, c in enumerate(problem.candidates)
            if c.dish.name == pin.dish
            and problem.tables[c.table].day == pin.day
            and pin.meal in (None, problem.tables[c.table].meal)
        ]
        model.constrain(Rule("pinned", pin.dish, (pin.day - problem.request.first).days), cols, lo=1)


def feasts_own_dish(model: MenuModel) -> None:
    """A feast's own dish stands on its day."""
    problem = model.problem
    for day, occasion, its_tables in dishes_of_occasions(problem):
        cols = [
            (model.cook[i], 1)
            for i, c in enumerate(problem.candidates)
            if c.dish.name == occasion.dish and c.table in its_tables
        ]
        if cols:
            cols += model.may_miss(Missed(day, day, occasion.dish, f"for {occasion.name}"), 1, FEAST_MISSED_POINTS)
            model.constrain(Rule("feast", occasion.dish, day), cols, lo=1)
        elif problem.days > DAYS_IN_ONE_PIECE:
            model.linear.fixed_cost += FEAST_MISSED_POINTS * POINT


def fixed_nights(model: MenuModel) -> None:
    """A fixed night's main carries its tag: where other mains are there at all, which a week's question leaves out."""
    problem = model.problem
    hard = problem.days <= DAYS_IN_ONE_PIECE and not problem.request.promises_give_way
    waived = {day for day, _ in problem.waived}
    for index in () if model.giving_way else nights_asked(problem).keys() - dict(problem.nights).keys():
        if not hard or problem.table_day[index] in waived:
            # missed whatever stands there, unless nothing does
            model.linear.fixed_cost += MISSED_POINTS * POINT
            model.linear.cost[model.open[index, "main"]] -= MISSED_POINTS * POINT
    of_table = candidates_by_table(problem)
    for index, tag in problem.nights:
        day = model.problem.table_day[index]
        cols = [(model.cook[i], 1) for i, c in of_table.get(index, ()) if c.role == "main" and tag in c.dish.tags]
        cols += model.may_miss(Missed(day, day, tag), 1, short=not hard)
        model.constrain(Rule("fixed night", tag, day), [*cols, (model.open[index, "main"], 1)], lo=1)


def nights_after_can_be_kept(model: MenuModel) -> None:
    """No main is cooked (but to keep a promise itself) by which a fixed night after the last day could not be kept.

    Of the dishes that could keep it one at least is then not within its days between.
    """
    problem = model.problem
    asked = nights_asked(problem)
    for night in problem.nights_after:
        gaps = dict(night.gaps)
        near = [(i, c) for i, c in enumerate(problem.candidates) if night.day - c.day < gaps.get(c.dish.name, 0)]
        cols = [(model.cook[i], 1) for i, _ in near]
        for i, c in near:
            if not _keeps_a_promise(problem, c, asked):
                rule = Rule("night after", night.tag, night.day)
                model.constrain(rule, [(model.cook[i], 1), *cols], hi=len(gaps))


def _keeps_a_promise(problem: MenuProblem, c: Candidate, asked: Mapping[int, str]) -> bool:
    """Whether a main is asked for by a pin or an occasion, or is what its fixed night wants."""
    table = problem.tables[c.table]
    pinned = any(p.dish == c.dish.name and p.day == table.day for p in problem.request.pinned)
    return pinned or asked.get(c.table, "") in c.dish.tags or own_of(table.occasions, c.dish.name)


def left_out(model: MenuModel) -> None:
    """No dish that is left out; of an ordinary question these are left out beforehand."""
    for i, c in enumerate(model.problem.candidates):
        if c.dish.name in model.problem.request.banned:
            model.strike(model.cook[i], Rule("left out", c.dish.name))


def partners_wished(model: MenuModel) -> None:
    """A small price for a dish without one of those that it goes well with."""
    for members in candidates_by_table(model.problem).values():
        for i, a in members:
            if not a.dish.goes_with:
                continue
            partners = [
                (model.cook[j], -1)
                for j, b in members
                if j != i and b.role != a.role and (b.dish.name in a.dish.goes_with or b.dish.tags & a.dish.goes_with)
            ]
            if not partners:
                model.linear.cost[model.cook[i]] += PARTNER_POINTS * POINT
            else:
                alone = model.column(a.day, "liking and effort", cost=PARTNER_POINTS * POINT, implied=True, reach=1)
                model.constrain("goes well with", [(model.cook[i], 1), (alone, -1), *partners], hi=0)


def announced_meals_kept(model: MenuModel) -> None:
    """A price for each announced dish that is changed."""
    problem = model.problem
    kept = {(day, meal, role): dish for day, meal, role, dish in problem.request.keep}
    if not kept:
        return
    price = problem.request.change_price * POINT
    for i, c in enumerate(problem.candidates):
        table = problem.tables[c.table]
        if kept.get((table.day, table.meal, c.role)) == c.dish.name:
            model.linear.cost[model.cook[i]] -= price
            model.linear.fixed_cost += price


def _do_without(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    day = day_of(shown.problem, rule.day)
    pins = tuple(p for p in kitchen.request.pinned if (p.dish, p.day) != (rule.what, day))
    return kitchen.asking(pinned=pins), f"do without {rule.what} where you asked for it"


def _another_feast(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    day = day_of(shown.problem, rule.day)
    its = [o for o in kitchen.household.occasions if o.dish == rule.what and o.first <= day <= o.last]
    main = shown.main_on(rule.day, {meal for o in its for meal in o.meals})
    occasions = tuple(replace(o, dish=main) if o in its else o for o in kitchen.household.occasions)
    kept = f"with {main} instead of" if main else "without"
    said = f"keep the feast of {on_day(shown.problem, rule.day)} {kept} {rule.what}"
    return kitchen.having(occasions=occasions), said


def _another_main(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    """Another main on that one night: a dish asked for goes before the fixed night."""
    main = shown.main_on(rule.day)
    pin = Pin(day_of(shown.problem, rule.day), main, "supper")
    said = f"let {on_day(shown.problem, rule.day)} be something other than {rule.what}: {main} fits"
    return kitchen.asking(pinned=(*kitchen.request.pinned, pin)), said


def _after_all(kitchen: HouseholdAsked, _shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    return kitchen.asking(banned=kitchen.request.banned - {rule.what}), f"let {rule.what} stand after all"


def _feast(_household: Household, problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} is the dish of the feast on {on_day(problem, rule.day)}"


PINNED = HouseRule(
    "pinned",
    pinned_dishes,
    twins="a plan tells what it holds, not what was asked for",
    said=lambda _house, problem, rule: f"you asked for {rule.what} on {on_day(problem, rule.day)}",
    relax=_do_without,
)
FEAST = HouseRule("feast", feasts_own_dish, twins=("occasions_have_their_dish",), said=_feast, relax=_another_feast)
FIXED_NIGHT = HouseRule(
    "fixed night",
    fixed_nights,
    field="fixed",
    twins=("fixed_nights_are_kept",),
    said=lambda _house, problem, rule: f"{on_day(problem, rule.day)} is {rule.what}",
    relax=_another_main,
)
NIGHT_AFTER = HouseRule(
    "night after",
    nights_after_can_be_kept,
    twins=("fixed_nights_after_can_be_kept", "occasions_after_keep_their_dish"),
    relax="what is promised beyond the last day is next week's to let go",
)
LEFT_OUT = HouseRule(
    "left out",
    left_out,
    twins="a plan tells what it holds, not what was asked for",
    said=lambda _house, _problem, rule: f"you left out {rule.what}",
    relax=_after_all,
)
WISHES = (partners_wished, announced_meals_kept)
