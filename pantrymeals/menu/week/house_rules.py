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
    MenuRows,
    Promise,
    candidates_by_table,
)
from pantrymeals.menu.week.problem import Candidate
from pantrymeals.records import Role

WEEK = 7
LONGEST_LEAVING_DAYS = 14


def every_role_filled_once(rows: MenuRows) -> None:
    """Each role has one dish, or another dish of the meal covers it, or it is left open at a great price."""
    by_table = candidates_by_table(rows.problem)
    for index, table in enumerate(rows.problem.tables):
        for role in table.roles:
            terms = [(rows.open[index, role], 1)]
            for i, c in by_table.get(index, ()):
                if c.role == role or role in c.dish.covers:
                    terms.append((rows.cook[i], 1))
            rows.sheet.row("every role filled once", terms, 1, 1)


EVERY_MEAL_ROLES: frozenset[Role] = frozenset({"bread", "fruit"})
"""Roles whose everyday dishes may stand at two meals of one day: nobody minds bread twice."""


def _repeat_gap(rows: MenuRows, candidate: Candidate) -> int:
    """Days from one cooking to the next; 0: it may come again on the same day."""
    gap = days_between(rows.problem.household, candidate.dish)
    return 0 if gap <= 1 and candidate.role in EVERY_MEAL_ROLES else gap


def days_between_repeats(rows: MenuRows) -> None:
    """A dish does not come again before its days are over, nor twice on one day; what was lately eaten counts."""
    by_dish: dict[str, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))
    gap_of: dict[str, int] = {}
    for i, c in enumerate(rows.problem.candidates):
        by_dish[c.dish.name][c.day].append(rows.cook[i])
        gap_of[c.dish.name] = _repeat_gap(rows, c)
    eaten: dict[str, list[int]] = defaultdict(list)
    for day, dish, _ in rows.problem.recent:
        eaten[dish].append(day)
    for name, days in by_dish.items():
        gap = gap_of[name]
        for past in eaten.get(name, ()):
            for day in range(past, past + gap):
                for col in days.get(day, ()):
                    rows.sheet.hi[col] = 0
        last: set[int] = set()
        for start in sorted(days):
            window = {col for d in range(start, start + gap) for col in days.get(d, ())}
            if len(window) > 1 and not window <= last:
                rows.sheet.row("days between repeats", [(c, 1) for c in sorted(window)], hi=1)
                last = window


def _by_day_with_tag(rows: MenuRows, tag: str, mains: bool = False) -> dict[int, list[int]]:
    out: dict[int, list[int]] = defaultdict(list)
    for i, c in enumerate(rows.problem.candidates):
        if tag in c.dish.tags and (c.role == "main" or not mains):
            out[c.day].append(rows.cook[i])
    return out


def at_most_in_seven_days(rows: MenuRows) -> None:
    """No more than so many dishes of a tag in any seven days running, lately eaten ones counted."""
    for tag, most in rows.problem.household.rules.at_most.items():
        by_day = _by_day_with_tag(rows, tag)
        past = [d for d, _, tags in rows.problem.recent if tag in tags]
        first_starts = range(1 - WEEK, max(1, rows.problem.days - WEEK + 1))
        for start in first_starts:
            cols = [c for d in range(max(0, start), start + WEEK) for c in by_day.get(d, ())]
            before = sum(start <= d for d in past)
            if start < 0 and not before:
                continue
            if len(cols) + before > most:
                rows.sheet.row(f"at most in seven days: {tag}", [(c, 1) for c in cols], hi=max(0, most - before))


def at_least_in_seven_days(rows: MenuRows) -> None:
    """At least so many mains of a tag in each full seven days from the first, where dishes and shelf allow."""
    for tag, least in rows.problem.household.rules.at_least.items():
        by_day = _by_day_with_tag(rows, tag, mains=True)
        for start in range(0, rows.problem.days - WEEK + 1, WEEK):
            week = [d for d in range(start, start + WEEK) if by_day.get(d)]
            cols = [(c, 1) for d in week for c in by_day[d]]
            if week:
                cols += rows.may_miss(start + WEEK - 1, f"{tag} in the week", min(least, len(week)))
                rows.sheet.row(f"at least in seven days: {tag}", cols, lo=min(least, len(week)))


def not_two_days_running(rows: MenuRows) -> None:
    """The mains of two days running do not share such a tag."""
    for tag in sorted(rows.problem.household.rules.not_running):
        by_day = _by_day_with_tag(rows, tag, mains=True)
        for d, _, tags in rows.problem.recent:
            if d == -1 and tag in tags and any(r[1] for r in rows.problem.recent):
                for i, c in enumerate(rows.problem.candidates):
                    if c.day == 0 and c.role == "main" and tag in c.dish.tags and _was_main(rows, d, tag):
                        rows.sheet.hi[rows.cook[i]] = 0
        for day in sorted(by_day):
            if by_day.get(day + 1):
                cols = by_day[day] + by_day[day + 1]
                rows.sheet.row(f"not two days running: {tag}", [(c, 1) for c in cols], hi=1)


def _was_main(rows: MenuRows, day: int, tag: str) -> bool:
    """Whether a main with the tag was eaten that day."""
    dishes = rows.problem.household.dishes
    return any(
        d == day and tag in tags and name in dishes and dishes[name].role == "main"
        for d, name, tags in rows.problem.recent
    )


def not_twice_in_a_meal(rows: MenuRows) -> None:
    """No tag of these twice among the dishes of one meal: no beans beside beans."""
    by_table = candidates_by_table(rows.problem)
    rules = rows.problem.household.rules
    for tag in sorted(rules.not_twice):
        for members in by_table.values():
            tagged = [(i, c) for i, c in members if tag in c.dish.tags]
            in_the_days_row = tag in rules.not_twice_a_day and all(c.dish.needs_left is None for _, c in tagged)
            if len({c.role for _, c in tagged}) > 1 and not in_the_days_row:
                rows.sheet.row(f"not twice in a meal: {tag}", [(rows.cook[i], 1) for i, _ in tagged], hi=1)


def not_twice_in_a_day(rows: MenuRows) -> None:
    """No tag of these twice among the dishes of one day, what is made from a leaving apart: no soup after soup."""
    for tag in sorted(rows.problem.household.rules.not_twice_a_day):
        by_day: dict[int, list[tuple[int, Candidate]]] = defaultdict(list)
        for i, c in enumerate(rows.problem.candidates):
            if tag in c.dish.tags and c.dish.needs_left is None:
                by_day[c.day].append((i, c))
        for tagged in by_day.values():
            if len({(c.table, c.role) for _, c in tagged}) > 1:
                rows.sheet.row(f"not twice in a day: {tag}", [(rows.cook[i], 1) for i, _ in tagged], hi=1)


def minutes_of_the_day(rows: MenuRows) -> None:
    """Hands-on minutes of all dishes of a day stay within the weekday's; feast and crew days are free."""
    limits = rows.problem.household.rules.hands_on_minutes
    free = {rows.problem.table_day[i] for i, t in enumerate(rows.problem.tables) if t.kinds}
    by_day: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for i, c in enumerate(rows.problem.candidates):
        by_day[c.day].append((rows.cook[i], c.dish.hands_on_minutes))
    for index, table in enumerate(rows.problem.tables):
        day = rows.problem.table_day[index]
        limit = limits.get(weekday(table.day))
        if limit is not None and day not in free and day in by_day:
            rows.sheet.row("minutes of the day", by_day.pop(day), hi=limit)


def _clash(a: Candidate, b: Candidate) -> bool:
    return bool(
        b.dish.name in a.dish.not_with
        or a.dish.name in b.dish.not_with
        or a.dish.not_with & b.dish.tags
        or b.dish.not_with & a.dish.tags
    )


def sane_pairs(rows: MenuRows) -> None:
    """Two dishes that do not go together do not share a meal."""
    for members in candidates_by_table(rows.problem).values():
        if not any(c.dish.not_with for _, c in members):
            continue
        for i, a in members:
            clashing: dict[str, list[int]] = defaultdict(list)
            for j, b in members:
                if i != j and b.role != a.role and _clash(a, b) and (a.dish.not_with or b.dish.not_with):
                    clashing[b.role].append(j)
            for role, others in clashing.items():
                if a.role < role or not all(_clash(b, a) for b in (rows.problem.candidates[j] for j in others)):
                    cols = [(rows.cook[i], 1), *((rows.cook[j], 1) for j in others)]
                    rows.sheet.row("pairs that go together", cols, hi=1)


def leavings_are_there(rows: MenuRows) -> None:
    """A dish made from a leaving follows a dish that leaves it, within its days; one use a cooking."""
    stretch = 1 + rows.problem.household.rules.stretch
    users: dict[str, list[tuple[int, int, Fraction]]] = defaultdict(list)
    for i, c in enumerate(rows.problem.candidates):
        if c.dish.needs_left is not None:
            users[c.dish.needs_left].append((i, c.day, rows.problem.tables[c.table].portions))
    for name, uses in users.items():
        feeds = max(portions for _, _, portions in uses)
        made: dict[int, list[tuple[int, int]]] = defaultdict(list)
        keeps = 1
        for i, c in enumerate(rows.problem.candidates):
            left = c.dish.leaves
            if left is not None and left.name == name:
                keeps = max(keeps, left.days)
                if left.portions * c.batches * stretch >= feeds:
                    made[c.day].append((rows.cook[i], left.days))
        _leaving_rows(rows, name, uses, made)


def _leaving_rows(
    rows: MenuRows, name: str, uses: list[tuple[int, int, Fraction]], made: dict[int, list[tuple[int, int]]]
) -> None:
    before: int | None = None
    used: dict[int, list[int]] = defaultdict(list)
    for i, day, _ in uses:
        used[day].append(rows.cook[i])
    for day in range(rows.problem.days):
        if before is None:
            for col in used.get(day, ()):
                rows.sheet.hi[col] = 0
        elif used.get(day):
            rows.sheet.row(f"left over: {name}", [(before, 1), *((c, -1) for c in used[day])], lo=0)
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
        after = rows.column(day, "", hi=len(recent), implied=True, reach=LONGEST_LEAVING_DAYS)
        terms = [(after, 1), *((c, -1) for c, _ in fresh), *((c, 1) for c in used.get(day, ()))]
        if before is not None:
            terms.append((before, -1))
        rows.sheet.row(f"left over: {name}", terms, hi=0)
        rows.sheet.row(f"left over: {name}", [(after, 1), *((c, -1) for c, _ in recent)], hi=0)
        before = after


def pinned_dishes(rows: MenuRows) -> None:
    """What someone asked for stands where they asked for it; a feast's own dish on its day."""
    problem = rows.problem
    for pin in problem.request.pinned:
        cols = [
            (rows.cook[i], 1)
            for i, c in enumerate(problem.candidates)
            if c.dish.name == pin.dish
            and problem.tables[c.table].day == pin.day
            and pin.meal in (None, problem.tables[c.table].meal)
        ]
        rows.sheet.row(f"pinned: {pin.dish}", cols, lo=1)
    for index, table in enumerate(problem.tables):
        for occasion in table.occasions:
            cols = [
                (rows.cook[i], 1)
                for i, c in enumerate(problem.candidates)
                if c.table == index and c.dish.name == occasion.dish
            ]
            if cols and table.meal in occasion.meals:
                what = f"{occasion.dish} for {occasion.name}"
                cols += rows.may_miss(problem.table_day[index], what, 1, FEAST_MISSED_POINTS)
                rows.sheet.row(f"the feast's own dish: {occasion.dish}", cols, lo=1)


def fixed_nights(rows: MenuRows) -> None:
    """On a long horizon a fixed night may be missed at a great price; within a week no other main is there at all."""
    of_table = candidates_by_table(rows.problem)
    for index, tag in rows.problem.nights:
        cols = [(rows.cook[i], 1) for i, c in of_table.get(index, ()) if c.role == "main" and tag in c.dish.tags]
        cols += rows.may_miss(rows.problem.table_day[index], f"'{tag}'", 1)
        rows.sheet.row("fixed night", [*cols, (rows.open[index, "main"], 1)], lo=1)


def partners_wished(rows: MenuRows) -> None:
    """A small price for a dish without one of those that it goes well with."""
    for members in candidates_by_table(rows.problem).values():
        for i, a in members:
            if not a.dish.goes_with:
                continue
            partners = [
                (rows.cook[j], -1)
                for j, b in members
                if j != i and b.role != a.role and (b.dish.name in a.dish.goes_with or b.dish.tags & a.dish.goes_with)
            ]
            if partners:
                alone = rows.column(a.day, "liking and effort", cost=PARTNER_POINTS * POINT, implied=True, reach=1)
                rows.sheet.row("goes well with", [(rows.cook[i], 1), (alone, -1), *partners], hi=0)


def announced_meals_kept(rows: MenuRows) -> None:
    """A price for each announced dish that is changed."""
    problem = rows.problem
    kept = {(day, meal, role): dish for day, meal, role, dish in problem.request.keep}
    if not kept:
        return
    price = problem.request.change_price * POINT
    for i, c in enumerate(problem.candidates):
        table = problem.tables[c.table]
        if kept.get((table.day, table.meal, c.role)) == c.dish.name:
            rows.sheet.cost[rows.cook[i]] -= price
            rows.sheet.fixed_cost += price


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
