"""What a day and a meal can hold: places, minutes, pairs, and what is made from a leaving. Rules 6, 10, 12 and 13."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import Any

from msgspec.structs import replace

from pantrymeals.larder.table import hands_on_limit, longest_dish, weekday
from pantrymeals.menu.week.leavings import leavings_are_there
from pantrymeals.menu.week.model import MenuModel, Rule
from pantrymeals.menu.week.problem import Candidate, MenuProblem, candidates_by_table
from pantrymeals.menu.week.rules.rule import HouseholdAsked, HouseRule, Shown, day_of, on_day, weekday_of
from pantrymeals.records import MEALS, Household, RulesDuring


def every_role_filled_once(model: MenuModel) -> None:
    """Each role has one dish, or another dish of the meal covers it, or it is left open at a great price."""
    by_table = candidates_by_table(model.problem)
    for index, table in enumerate(model.problem.tables):
        for role in table.roles:
            terms = [(model.open[index, role], 1)]
            for i, c in by_table.get(index, ()):
                if c.role == role or role in c.dish.covers:
                    terms.append((model.cook[i], 1))
            model.constrain(Rule("role", role), terms, 1, 1)


def minutes_of_the_day(model: MenuModel) -> None:
    """Hands-on minutes of all dishes of a day stay within the weekday's; feast and crew days are free."""
    free = {model.problem.table_day[i] for i, t in enumerate(model.problem.tables) if t.kinds}
    by_day: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for i, c in enumerate(model.problem.candidates):
        by_day[c.day].append((model.cook[i], c.dish.hands_on_minutes))
    for index, table in enumerate(model.problem.tables):
        day = model.problem.table_day[index]
        limit = hands_on_limit(model.problem.household.rules, table.day)
        if limit is not None and day not in free and day in by_day:
            model.constrain(Rule("minutes", "", day), by_day.pop(day), hi=limit)


def minutes_of_the_meal(model: MenuModel) -> None:
    """Hands-on minutes of the dishes of a meal stay within that meal's; feast and crew days are free."""
    limits = model.problem.household.rules.meal_minutes
    for index, members in candidates_by_table(model.problem).items():
        table = model.problem.tables[index]
        limit = limits.get(table.meal, {}).get(weekday(table.day))
        if limit is not None and not table.kinds:
            rule = Rule("meal minutes", table.meal, model.problem.table_day[index])
            model.constrain(rule, [(model.cook[i], c.dish.hands_on_minutes) for i, c in members], hi=limit)


def no_dish_too_long(model: MenuModel) -> None:
    """No dish longer than the weekday's longest; of an ordinary question such dishes are left out beforehand."""
    for i, c in enumerate(model.problem.candidates):
        table = model.problem.tables[c.table]
        most = longest_dish(model.problem.household.rules, table.day)
        if most is not None and c.dish.minutes > most and not table.kinds:
            model.strike(model.cook[i], Rule("longest", "", c.day))


def unhappy_together(a: Candidate, b: Candidate) -> bool:
    """Whether one's ``not_with`` names the other or one of its tags."""
    return bool(
        b.dish.name in a.dish.not_with
        or a.dish.name in b.dish.not_with
        or a.dish.not_with & b.dish.tags
        or b.dish.not_with & a.dish.tags
    )


def sane_pairs(model: MenuModel) -> None:
    """Two dishes that do not go together do not share a meal."""
    for members in candidates_by_table(model.problem).values():
        if not any(c.dish.not_with for _, c in members):
            continue
        for i, a in members:
            clashing: dict[str, list[int]] = defaultdict(list)
            for j, b in members:
                if b.role != a.role and (a.dish.not_with or b.dish.not_with) and unhappy_together(a, b):
                    clashing[b.role].append(j)
            for role, others in clashing.items():
                if a.role < role:
                    cols = [(model.cook[i], 1), *((model.cook[j], 1) for j in others)]
                    model.constrain(Rule("together", "", a.day), cols, hi=1)


def _on_that_day(kitchen: HouseholdAsked, day: date, **minutes: Any) -> HouseholdAsked:
    """With other minutes on that one day of the year."""
    on = (day.month, day.day)
    only = RulesDuring("", on, on, **minutes)
    return kitchen.ruled(during=(*kitchen.household.rules.during, only))


def _hands(household: Household, problem: MenuProblem, rule: Rule) -> str:
    limit = hands_on_limit(household.rules, day_of(problem, rule.day))
    return f"{on_day(problem, rule.day)} has {limit} minutes of hands-on work"


def _more_minutes(kitchen: HouseholdAsked, shown: Shown, rule: Rule, by: int) -> tuple[HouseholdAsked, str]:
    rules, day = kitchen.household.rules, day_of(shown.problem, rule.day)
    changed = _on_that_day(kitchen, day, hands_on_minutes={weekday(day): (hands_on_limit(rules, day) or 0) + by})
    return changed, f"give {on_day(shown.problem, rule.day)} {by} more minutes of hands-on work"


def _meal_hands(household: Household, problem: MenuProblem, rule: Rule) -> str:
    (meal,) = [meal for meal in MEALS if meal == rule.what]
    limit = household.rules.meal_minutes[meal][weekday_of(problem, rule.day)]
    return f"{rule.what} on {on_day(problem, rule.day)} has {limit} minutes of hands-on work"


def _more_meal_minutes(kitchen: HouseholdAsked, shown: Shown, rule: Rule, by: int) -> tuple[HouseholdAsked, str]:
    limits, name = kitchen.household.rules.meal_minutes, weekday_of(shown.problem, rule.day)
    (meal,) = [meal for meal in MEALS if meal == rule.what]
    changed = kitchen.ruled(meal_minutes={**limits, meal: {**limits[meal], name: limits[meal][name] + by}})
    return changed, f"give {meal} on {on_day(shown.problem, rule.day)} {by} more minutes of hands-on work"


def _longest(household: Household, problem: MenuProblem, rule: Rule) -> str:
    limit = longest_dish(household.rules, day_of(problem, rule.day))
    return f"no dish takes longer than {limit} minutes on {on_day(problem, rule.day)}"


def _a_slow_dish(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    slow = max(shown.on(rule.day), key=lambda dish: dish.minutes)
    day = day_of(shown.problem, rule.day)
    said = f"let a dish take {slow.minutes} minutes on {on_day(shown.problem, rule.day)} ({slow.name})"
    return _on_that_day(kitchen, day, longest_minutes={weekday(day): slow.minutes}), said


def _side_by_side(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    there = shown.on(rule.day)
    odd = [(a, b) for a in there for b in there if a is not b and (b.name in a.not_with or a.not_with & b.tags)]
    pairs = " and ".join(f"{a.name} beside {b.name}" for a, b in odd[:2])
    freed = kitchen.cooking(*(replace(a, not_with=frozenset()) for a, _ in odd))
    return freed, f"put up with {pairs} on {on_day(shown.problem, rule.day)}"


ROLES_FILLED = HouseRule(
    "role",
    every_role_filled_once,
    twins=("every_role_is_filled_once", "open_roles_are_counted"),
    relax="a place that nothing fits is left open, and shown so",
)
LEAVINGS = HouseRule(
    "leaving",
    leavings_are_there,
    twins=("leavings_are_there",),
    relax="what was not cooked leaves nothing over",
    scarce=True,
)
MINUTES = HouseRule(
    "minutes",
    minutes_of_the_day,
    field="hands_on_minutes",
    twins=("hands_have_the_minutes",),
    said=_hands,
    relax=_more_minutes,
    unit_price=10,
)
MEAL_MINUTES = HouseRule(
    "meal minutes",
    minutes_of_the_meal,
    field="meal_minutes",
    twins=("meals_have_the_minutes",),
    said=_meal_hands,
    relax=_more_meal_minutes,
    unit_price=10,
)
LONGEST = HouseRule(
    "longest",
    no_dish_too_long,
    field="longest_minutes",
    twins=("dishes_fit_their_day",),
    said=_longest,
    relax=_a_slow_dish,
)
TOGETHER = HouseRule(
    "together",
    sane_pairs,
    twins=("dishes_go_together",),
    said=lambda _house, problem, rule: f"on {on_day(problem, rule.day)} dishes that do not go together are kept apart",
    relax=_side_by_side,
)
