"""Variety: how often a dish or a tag may come, and how often it should. Rules 7 and 8."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from itertools import pairwise

from msgspec.structs import replace

from pantrymeals.larder.table import days_between, occasions_on, own_of
from pantrymeals.menu.week.model import MISSED_POINTS, POINT, MenuModel, Missed, Rule
from pantrymeals.menu.week.problem import Candidate, MenuProblem, candidates_by_table
from pantrymeals.menu.week.rules.rule import Constrain, HouseholdAsked, HouseRule, Shown, on_day
from pantrymeals.records import Household, Role
from pantrymeals.words import plural, times

WEEK = 7

EVERY_MEAL_ROLES: frozenset[Role] = frozenset({"bread", "fruit"})
"""Roles whose everyday dishes may stand at two meals of one day: nobody minds bread twice."""


def _repeat_gap(model: MenuModel, candidate: Candidate) -> int:
    """Days from one cooking to the next; 0: it may come again on the same day."""
    gap = days_between(model.problem.household, candidate.dish)
    return 0 if gap <= 1 and candidate.role in EVERY_MEAL_ROLES else gap


def days_between_repeats(model: MenuModel) -> None:
    """A dish does not come again before its days are over, nor twice on one day; what was lately eaten counts."""
    by_dish: dict[str, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))
    gap_of: dict[str, int] = {}
    for i, c in enumerate(model.problem.candidates):
        by_dish[c.dish.name][c.day].append(model.cook[i])
        gap_of[c.dish.name] = _repeat_gap(model, c)
    eaten: dict[str, list[int]] = defaultdict(list)
    for day, dish, _ in model.problem.recent:
        eaten[dish].append(day)
    for name, days in by_dish.items():
        gap, rule = gap_of[name], Rule("repeats", name)
        for past in eaten.get(name, ()):
            for day in range(past, past + gap):
                for col in days.get(day, ()):
                    model.strike(col, rule)
        last: set[int] = set()
        for start in sorted(days):
            window = {col for d in range(start, start + gap) for col in days.get(d, ())}
            if len(window) > 1 and not window <= last:
                model.constrain(rule, [(c, 1) for c in sorted(window)], hi=1)
                last = window


def _mains_by_day(model: MenuModel, tag: str, *, own: bool = True) -> dict[int, list[int]]:
    """The mains of a tag by day. own: whether occasions' own dishes count."""
    out: dict[int, list[int]] = defaultdict(list)
    for i, c in enumerate(model.problem.candidates):
        if tag in c.dish.tags and c.role == "main" and (own or not _is_own(model, c)):
            out[c.day].append(model.cook[i])
    return out


def _is_own(model: MenuModel, candidate: Candidate) -> bool:
    """Whether an occasion of its day asks for that dish."""
    return own_of(model.problem.tables[candidate.table].occasions, candidate.dish.name)


def at_most_in_seven_days(model: MenuModel) -> None:
    """No more than so many dishes of a tag in any seven days running, lately eaten ones counted, occasions' own not."""
    problem = model.problem
    for tag, most in problem.household.rules.at_most.items():
        by_day: dict[int, list[int]] = defaultdict(list)
        for i, c in enumerate(problem.candidates):
            if tag in c.dish.tags and not _is_own(model, c):
                by_day[c.day].append(model.cook[i])
        past = [
            d
            for d, name, tags in problem.recent
            if tag in tags
            and not own_of(occasions_on(problem.household, problem.request.first + timedelta(days=d)), name)
        ]
        first_starts = range(1 - WEEK, max(1, model.problem.days - WEEK + 1))
        for start in first_starts:
            cols = [c for d in range(max(0, start), start + WEEK) for c in by_day.get(d, ())]
            before = sum(start <= d for d in past)
            if start < 0 and not before:
                continue
            if len(cols) + before > most:
                model.constrain(Rule("at most", tag), [(c, 1) for c in cols], hi=max(0, most - before))


def at_least_in_seven_days(model: MenuModel) -> None:
    """At least so many mains of a tag in each full seven days from the first, where dishes and shelf allow."""
    for tag, least in model.problem.household.rules.at_least.items():
        by_day = _mains_by_day(model, tag)
        for start in range(0, model.problem.days - WEEK + 1, WEEK):
            week = [d for d in range(start, start + WEEK) if by_day.get(d)]
            model.linear.fixed_cost += (least - min(least, len(week))) * MISSED_POINTS * POINT
            if week:
                asked = min(least, len(week))
                cols = [(c, 1) for d in week for c in by_day[d]]
                gives_way = model.problem.request.promises_give_way
                cols += model.may_miss(Missed(start, start + WEEK - 1, tag), asked, short=gives_way)
                model.constrain(Rule("at least", tag, start), cols, lo=asked)


def not_two_days_running(model: MenuModel) -> None:
    """The mains of two days running do not share such a tag; an occasion's own dish on its day is not counted."""
    household, before = model.problem.household, model.problem.request.first - timedelta(days=1)
    eaten = [name for d, name, _ in model.problem.recent if d == -1 and name in household.dishes]
    yesterday = [household.dishes[name] for name in eaten if not own_of(occasions_on(household, before), name)]
    for tag in sorted(household.rules.not_running):
        by_day, rule = _mains_by_day(model, tag, own=False), Rule("not running", tag)
        if any(dish.role == "main" and tag in dish.tags for dish in yesterday):
            for col in by_day.get(0, ()):
                model.strike(col, rule)
        for day in sorted(by_day):
            if by_day.get(day + 1):
                model.constrain(rule, [(c, 1) for c in by_day[day] + by_day[day + 1]], hi=1)


def not_twice_in_a_meal(model: MenuModel) -> None:
    """No tag of these twice among the dishes of one meal: no beans beside beans."""
    by_table = candidates_by_table(model.problem)
    rules = model.problem.household.rules
    for tag in sorted(rules.not_twice):
        for members in by_table.values():
            tagged = [(i, c) for i, c in members if tag in c.dish.tags]
            in_the_days_row = tag in rules.not_twice_a_day and all(c.dish.needs_left is None for _, c in tagged)
            if len({c.role for _, c in tagged}) > 1 and not in_the_days_row:
                model.constrain(Rule("not twice", tag), [(model.cook[i], 1) for i, _ in tagged], hi=1)


def not_twice_in_a_day(model: MenuModel) -> None:
    """No tag of these twice among the dishes of one day, what is made from a leaving apart: no soup after soup."""
    for tag in sorted(model.problem.household.rules.not_twice_a_day):
        by_day: dict[int, list[tuple[int, Candidate]]] = defaultdict(list)
        for i, c in enumerate(model.problem.candidates):
            if tag in c.dish.tags and c.dish.needs_left is None:
                by_day[c.day].append((i, c))
        for tagged in by_day.values():
            if len({(c.table, c.role) for _, c in tagged}) > 1:
                model.constrain(Rule("not twice a day", tag), [(model.cook[i], 1) for i, _ in tagged], hi=1)


def _waits(household: Household, problem: MenuProblem, rule: Rule) -> str:
    past = [d for d, dish, _ in problem.recent if dish == rule.what]
    last = f" (it was on {on_day(problem, max(past))})" if past else ""
    gap = days_between(household, household.dishes[rule.what])
    return f"{rule.what} waits {plural(gap, 'day')} before it comes again{last}"


def _sooner(kitchen: HouseholdAsked, shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
    """The dish again after as few days as the menu found needs."""
    dish = kitchen.household.dishes[rule.what]
    usual = days_between(kitchen.household, dish)
    days = [c.day for c in shown.chosen if c.dish.name == rule.what]
    days += [d for d, name, _ in shown.problem.recent if name == rule.what]
    gap = min((b - a for a, b in pairwise(sorted(days))), default=usual)
    after = f"come again after {plural(gap, 'day')} instead of {usual}" if gap else "come twice on one day"
    return kitchen.cooking(replace(dish, days_between=gap)), f"let {rule.what} {after}"


def _comes_at_most(household: Household, _problem: MenuProblem, rule: Rule) -> str:
    most = household.rules.at_most[rule.what]
    how_often = f"comes at most {times(most)} in any seven days" if most else "does not come at all"
    return f"{rule.what} {how_often}"


def _more_of_it(kitchen: HouseholdAsked, _shown: Shown, rule: Rule, by: int) -> tuple[HouseholdAsked, str]:
    at_most = kitchen.household.rules.at_most
    most = at_most[rule.what]
    more = "one more dish" if by == 1 else f"{by} more dishes"
    said = f"allow {more} with {rule.what} in seven days: {most + by} instead of {most}"
    return kitchen.ruled(at_most={**at_most, rule.what: most + by}), said


def _comes_at_least(household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} comes at least {times(household.rules.at_least[rule.what])} in each week"


def _less_of_it(kitchen: HouseholdAsked, _shown: Shown, rule: Rule, by: int) -> tuple[HouseholdAsked, str]:
    at_least = kitchen.household.rules.at_least
    fewer = "one main fewer" if by == 1 else f"{by} mains fewer"
    less = {**at_least, rule.what: max(0, at_least[rule.what] - by)}
    return kitchen.ruled(at_least=less), f"be content with {fewer} of {rule.what} that week"


def _once_listed(field: str, constrain: Constrain, twin: str, kept: str, relaxed: str) -> HouseRule:
    """A rule of the tags on one of the household's lists: one that gives way is taken off it.

    kept, relaxed: 'does not come twice in one day', 'twice in one day'.
    """

    def relax(kitchen: HouseholdAsked, _shown: Shown, rule: Rule, _by: int) -> tuple[HouseholdAsked, str]:
        left = getattr(kitchen.household.rules, field) - {rule.what}
        return kitchen.ruled(**{field: left}), f"let {rule.what} come {relaxed}, this once"

    return HouseRule(
        constrain=constrain,
        kind=field.replace("_", " "),
        field=field,
        twins=(twin,),
        said=lambda _house, _problem, rule: f"{rule.what} {kept}",
        relax=relax,
    )


REPEATS = HouseRule(
    "repeats",
    days_between_repeats,
    field="days_between",
    twins=("repeats_keep_their_distance", "not_at_two_meals_of_a_day"),
    said=_waits,
    relax=_sooner,
    scarce=True,
)
AT_MOST = HouseRule(
    "at most",
    at_most_in_seven_days,
    field="at_most",
    twins=("at_most_in_seven_days",),
    said=_comes_at_most,
    relax=_more_of_it,
    unit_price=1000,
)
AT_LEAST = HouseRule(
    "at least",
    at_least_in_seven_days,
    field="at_least",
    twins=("at_least_in_seven_days",),
    said=_comes_at_least,
    relax=_less_of_it,
    unit_price=1000,
    by_week=True,
)
VARIETY = (
    REPEATS,
    AT_MOST,
    AT_LEAST,
    _once_listed(
        "not_running",
        not_two_days_running,
        "not_on_days_running",
        "is not the main of two days running",
        "two days running",
    ),
    _once_listed(
        "not_twice", not_twice_in_a_meal, "not_twice_in_a_meal", "does not come twice in one meal", "twice in one meal"
    ),
    _once_listed(
        "not_twice_a_day",
        not_twice_in_a_day,
        "not_twice_in_a_day",
        "does not come twice in one day",
        "twice in one day",
    ),
)
