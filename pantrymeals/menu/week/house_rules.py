"""The household's rules of the table, each one a promise that adds its rows.

What each means exactly is written in DEVELOPERS.md; the checker reads the same lines.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

from pantrymeals.larder.table import days_between, weekday
from pantrymeals.menu.week.constraints import (
    FEAST_MISSED_POINTS,
    PARTNER_POINTS,
    POINT,
    MenuModel,
    Promise,
    candidates_by_table,
)
from pantrymeals.menu.week.problem import Candidate
from pantrymeals.records import Role

WEEK = 7
LONGEST_LEAVING_DAYS = 14


def every_role_filled_once(model: MenuModel) -> None:
    """Each role has one dish, or another dish of the meal covers it, or it is left open at a great price."""
    by_table = candidates_by_table(model.problem)
    for index, table in enumerate(model.problem.tables):
        for role in table.roles:
            terms = [(model.open[index, role], 1)]
            for i, c in by_table.get(index, ()):
                if c.role == role or role in c.dish.covers:
                    terms.append((model.cook[i], 1))
            model.constrain("every role filled once", terms, 1, 1)


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
        gap = gap_of[name]
        for past in eaten.get(name, ()):
            for day in range(past, past + gap):
                for col in days.get(day, ()):
                    model.linear.hi[col] = 0
        last: set[int] = set()
        for start in sorted(days):
            window = {col for d in range(start, start + gap) for col in days.get(d, ())}
            if len(window) > 1 and not window <= last:
                model.constrain("days between repeats", [(c, 1) for c in sorted(window)], hi=1)
                last = window


def _by_day_with_tag(model: MenuModel, tag: str, mains: bool = False) -> dict[int, list[int]]:
    out: dict[int, list[int]] = defaultdict(list)
    for i, c in enumerate(model.problem.candidates):
        if tag in c.dish.tags and (c.role == "main" or not mains):
            out[c.day].append(model.cook[i])
    return out


def at_most_in_seven_days(model: MenuModel) -> None:
    """No more than so many dishes of a tag in any seven days running, lately eaten ones counted."""
    for tag, most in model.problem.household.rules.at_most.items():
        by_day = _by_day_with_tag(model, tag)
        past = [d for d, _, tags in model.problem.recent if tag in tags]
        first_starts = range(1 - WEEK, max(1, model.problem.days - WEEK + 1))
        for start in first_starts:
            cols = [c for d in range(max(0, start), start + WEEK) for c in by_day.get(d, ())]
            before = sum(start <= d for d in past)
            if start < 0 and not before:
                continue
            if len(cols) + before > most:
                model.constrain(f"at most in seven days: {tag}", [(c, 1) for c in cols], hi=max(0, most - before))


def at_least_in_seven_days(model: MenuModel) -> None:
    """At least so many mains of a tag in each full seven days from the first, where dishes and shelf allow."""
    for tag, least in model.problem.household.rules.at_least.items():
        by_day = _by_day_with_tag(model, tag, mains=True)
        for start in range(0, model.problem.days - WEEK + 1, WEEK):
            week = [d for d in range(start, start + WEEK) if by_day.get(d)]
            cols = [(c, 1) for d in week for c in by_day[d]]
            if week:
                cols += model.may_miss(start + WEEK - 1, f"{tag} in the week", min(least, len(week)))
                model.constrain(f"at least in seven days: {tag}", cols, lo=min(least, len(week)))


def not_two_days_running(model: MenuModel) -> None:
    """The mains of two days running do not share such a tag."""
    for tag in sorted(model.problem.household.rules.not_running):
        by_day = _by_day_with_tag(model, tag, mains=True)
        for d, _, tags in model.problem.recent:
            if d == -1 and tag in tags and any(r[1] for r in model.problem.recent):
                for i, c in enumerate(model.problem.candidates):
                    if c.day == 0 and c.role == "main" and tag in c.dish.tags and _was_main(model, d, tag):
                        model.linear.hi[model.cook[i]] = 0
        for day in sorted(by_day):
            if by_day.get(day + 1):
                cols = by_day[day] + by_day[day + 1]
                model.constrain(f"not two days running: {tag}", [(c, 1) for c in cols], hi=1)


def _was_main(model: MenuModel, day: int, tag: str) -> bool:
    """Whether a main with the tag was eaten that day."""
    dishes = model.problem.household.dishes
    return any(
        d == day and tag in tags and name in dishes and dishes[name].role == "main"
        for d, name, tags in model.problem.recent
    )


def not_twice_in_a_meal(model: MenuModel) -> None:
    """No tag of these twice among the dishes of one meal: no beans beside beans."""
    by_table = candidates_by_table(model.problem)
    rules = model.problem.household.rules
    for tag in sorted(rules.not_twice):
        for members in by_table.values():
            tagged = [(i, c) for i, c in members if tag in c.dish.tags]
            in_the_days_row = tag in rules.not_twice_a_day and all(c.dish.needs_left is None for _, c in tagged)
            if len({c.role for _, c in tagged}) > 1 and not in_the_days_row:
                model.constrain(f"not twice in a meal: {tag}", [(model.cook[i], 1) for i, _ in tagged], hi=1)


def not_twice_in_a_day(model: MenuModel) -> None:
    """No tag of these twice among the dishes of one day, what is made from a leaving apart: no soup after soup."""
    for tag in sorted(model.problem.household.rules.not_twice_a_day):
        by_day: dict[int, list[tuple[int, Candidate]]] = defaultdict(list)
        for i, c in enumerate(model.problem.candidates):
            if tag in c.dish.tags and c.dish.needs_left is None:
                by_day[c.day].append((i, c))
        for tagged in by_day.values():
            if len({(c.table, c.role) for _, c in tagged}) > 1:
                model.constrain(f"not twice in a day: {tag}", [(model.cook[i], 1) for i, _ in tagged], hi=1)


def minutes_of_the_day(model: MenuModel) -> None:
    """Hands-on minutes of all dishes of a day stay within the weekday's; feast and crew days are free."""
    limits = model.problem.household.rules.hands_on_minutes
    free = {model.problem.table_day[i] for i, t in enumerate(model.problem.tables) if t.kinds}
    by_day: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for i, c in enumerate(model.problem.candidates):
        by_day[c.day].append((model.cook[i], c.dish.hands_on_minutes))
    for index, table in enumerate(model.problem.tables):
        day = model.problem.table_day[index]
        limit = limits.get(weekday(table.day))
        if limit is not None and day not in free and day in by_day:
            model.constrain("minutes of the day", by_day.pop(day), hi=limit)


def _clash(a: Candidate, b: Candidate) -> bool:
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
                if i != j and b.role != a.role and _clash(a, b) and (a.dish.not_with or b.dish.not_with):
                    clashing[b.role].append(j)
            for role, others in clashing.items():
                if a.role < role or not all(_clash(b, a) for b in (model.problem.candidates[j] for j in others)):
                    cols = [(model.cook[i], 1), *((model.cook[j], 1) for j in others)]
                    model.constrain("pairs that go together", cols, hi=1)


def leavings_are_there(model: MenuModel) -> None:
    """A dish made from a leaving follows a dish that leaves it, within its days; one use a cooking."""
    stretch = 1 + model.problem.household.rules.stretch
    users: dict[str, list[tuple[int, int, Fraction]]] = defaultdict(list)
    for i, c in enumerate(model.problem.candidates):
        if c.dish.needs_left is not None:
            users[c.dish.needs_left].append((i, c.day, model.problem.tables[c.table].portions))
    for name, uses in users.items():
        feeds = max(portions for _, _, portions in uses)
        made: dict[int, list[tuple[int, int]]] = defaultdict(list)
        keeps = 1
        for i, c in enumerate(model.problem.candidates):
            left = c.dish.leaves
            if left is not None and left.name == name:
                keeps = max(keeps, left.days)
                if left.portions * c.batches * stretch >= feeds:
                    made[c.day].append((model.cook[i], left.days))
        _leaving_rows(model, name, uses, made)


def _leaving_rows(
    model: MenuModel, name: str, uses: list[tuple[int, int, Fraction]], made: dict[int, list[tuple[int, int]]]
) -> None:
    before: int | None = None
    used: dict[int, list[int]] = defaultdict(list)
    for i, day, _ in uses:
        used[day].append(model.cook[i])
    for day in range(model.problem.days):
        if before is None:
            for col in used.get(day, ()):
                model.linear.hi[col] = 0
        elif used.get(day):
            model.constrain(f"left over: {name}", [(before, 1), *((c, -1) for c in used[day])], lo=0)
        fresh = [(c, days) for c, days in made.get(day, ())]
        recent = [
            (c, 1)
            for d in range(max(0, day - LONGEST_LEAVING_DAYS), day + 1)
            for c, days in made.get(d, ())
            if d + days > day
        ]
        if not recent:
            before = None
            continue
        after = model.column(day, "", hi=len(recent), implied=True, reach=LONGEST_LEAVING_DAYS)
        terms = [(after, 1), *((c, -1) for c, _ in fresh), *((c, 1) for c in used.get(day, ()))]
        if before is not None:
            terms.append((before, -1))
        model.constrain(f"left over: {name}", terms, hi=0)
        model.constrain(f"left over: {name}", [(after, 1), *((c, -1) for c, _ in recent)], hi=0)
        before = after


def pinned_dishes(model: MenuModel) -> None:
    """What someone asked for stands where they asked for it; a feast's own dish on its day."""
    problem = model.problem
    for pin in problem.request.pinned:
        cols = [
            (model.cook[i], 1)
            for i, c in enumerate(problem.candidates)
            if c.dish.name == pin.dish
            and problem.tables[c.table].day == pin.day
            and pin.meal in (None, problem.tables[c.table].meal)
        ]
        model.constrain(f"pinned: {pin.dish}", cols, lo=1)
    for index, table in enumerate(problem.tables):
        for occasion in table.occasions:
            cols = [
                (model.cook[i], 1)
                for i, c in enumerate(problem.candidates)
                if c.table == index and c.dish.name == occasion.dish
            ]
            if cols and table.meal in occasion.meals:
                what = f"{occasion.dish} for {occasion.name}"
                cols += model.may_miss(problem.table_day[index], what, 1, FEAST_MISSED_POINTS)
                model.constrain(f"the feast's own dish: {occasion.dish}", cols, lo=1)


def fixed_nights(model: MenuModel) -> None:
    """On a long horizon a fixed night may be missed at a great price; within a week no other main is there at all."""
    of_table = candidates_by_table(model.problem)
    for index, tag in model.problem.nights:
        cols = [(model.cook[i], 1) for i, c in of_table.get(index, ()) if c.role == "main" and tag in c.dish.tags]
        cols += model.may_miss(model.problem.table_day[index], f"'{tag}'", 1)
        model.constrain("fixed night", [*cols, (model.open[index, "main"], 1)], lo=1)


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
            if partners:
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


PROMISES: tuple[Promise, ...] = (
    every_role_filled_once,
    days_between_repeats,
    at_most_in_seven_days,
    at_least_in_seven_days,
    not_two_days_running,
    not_twice_in_a_meal,
    not_twice_in_a_day,
    minutes_of_the_day,
    sane_pairs,
    leavings_are_there,
    pinned_dishes,
    fixed_nights,
    partners_wished,
    announced_meals_kept,
)
