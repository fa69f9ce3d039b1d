"""Enough on the plate: a least for each meal, a band for each day. See 'What a menu costs' in DEVELOPERS.md."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction

from pantrymeals.larder.plate import asked_of, asked_of_day, gives
from pantrymeals.larder.table import Table
from pantrymeals.menu.week.model import POINT, MenuModel
from pantrymeals.plans.menu import PlannedMeal
from pantrymeals.records import Household

UNDER_POINTS = 4000
DAY_POINTS = 20000


def _by_day(tables: Sequence[Table]) -> dict[int, list[int]]:
    days: dict[int, list[int]] = defaultdict(list)
    for index, table in enumerate(tables):
        days[(table.day - tables[0].day).days].append(index)
    return days


def enough_on_the_plate(model: MenuModel) -> None:
    """A price for each meal under its least, and for each day outside its band."""
    problem = model.problem
    household = problem.household
    if not household.kcal or not problem.tables:
        return
    terms: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    seen: dict[tuple[str, Fraction, int], tuple[int, int]] = {}
    alike: dict[object, int] = {}
    kinds = [
        alike.setdefault((table.meal, table.portions, table.eaters, table.roles), index)
        for index, table in enumerate(problem.tables)
    ]
    for number, c in enumerate(problem.candidates):
        key = (c.dish.name, c.batches, kinds[c.table])
        if key not in seen:
            seen[key] = gives(household, problem.tables[c.table], c.dish, c.batches)
        terms[c.table].append((model.cook[number], *seen[key]))
    for indices in _by_day(problem.tables).values():
        day = problem.table_day[indices[0]]
        for index in indices:
            least = asked_of(household, problem.tables[index]).least
            if least and terms[index]:
                under = model.column(day, "enough", hi=least, cost=UNDER_POINTS * POINT / least, implied=True, reach=1)
                model.constrain("enough", [(under, 1), *((col, each) for col, each, _ in terms[index])], lo=least)
        asked = asked_of_day(household, [problem.tables[i] for i in indices])
        price = DAY_POINTS * POINT / max(1, asked.in_all)
        day_terms = [(col, energy) for i in indices for col, _, energy in terms[i]]
        most = sum(
            max((energy for _, _, energy in terms[i]), default=0) * len(problem.tables[i].roles) for i in indices
        )
        if asked.low:
            short = model.column(day, "enough", hi=asked.low, cost=price, implied=True, reach=1)
            model.constrain("enough", [(short, 1), *day_terms], lo=asked.low)
        if asked.high is not None and most > asked.high and asked.in_all:
            over = model.column(day, "enough", hi=most - asked.high, cost=price, implied=True, reach=1)
            model.constrain("enough", [(over, 1), *((col, -energy) for col, energy in day_terms)], lo=-asked.high)


def enough(household: Household, tables: Sequence[Table], meals: Mapping[Table, PlannedMeal]) -> Fraction:
    """Points for meals under their least and days outside their band."""
    if not household.kcal or not tables:
        return Fraction(0)
    total = Fraction(0)
    for indices in _by_day(tables).values():
        energy = 0
        for table in (tables[i] for i in indices):
            given = [gives(household, table, household.dishes[p.dish], p.batches) for p in meals[table].dishes]
            least = asked_of(household, table).least
            if least:
                total += Fraction(UNDER_POINTS * max(0, least - sum(each for each, _ in given)), least)
            energy += sum(in_all for _, in_all in given)
        asked = asked_of_day(household, [tables[i] for i in indices])
        off = max(0, asked.low - energy, 0 if asked.high is None else energy - asked.high)
        total += Fraction(DAY_POINTS * off, max(1, asked.in_all))
    return total
