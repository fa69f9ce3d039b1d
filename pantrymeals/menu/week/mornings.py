"""Mornings that are not all alike: breakfasts of one base beyond a few in seven days. See 'What a menu costs'."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction

from pantrymeals.larder.table import Table
from pantrymeals.menu.week.model import POINT, MenuModel
from pantrymeals.plans.menu import PlannedMeal
from pantrymeals.records import Household

BASES = ("oats", "bread", "toast", "potato", "beans", "corn")
"""Tags of what a breakfast is made of."""
OF_ONE_BASE = 3
"""Breakfasts of a base in seven days at which nobody minds."""
SAME_MORNING_POINTS = 300
WEEK = 7


def mornings(model: MenuModel) -> None:
    """A price for each breakfast of a base beyond these, in each seven days from the first."""
    of_base: dict[tuple[int, str], list[int]] = defaultdict(list)
    places: dict[tuple[int, str], set[int]] = defaultdict(set)
    for col, c in zip(model.cook, model.problem.candidates, strict=True):
        if c.role == "breakfast":
            for base in c.dish.tags.intersection(BASES):
                of_base[c.day // WEEK, base].append(col)
                places[c.day // WEEK, base].add(c.table)
    for (week, base), cols in sorted(of_base.items()):
        most = len(places[week, base]) - OF_ONE_BASE
        if most > 0:
            last = min(model.problem.days, (week + 1) * WEEK) - 1
            price = SAME_MORNING_POINTS * POINT
            over = model.column(last, "mornings", hi=most, cost=price, implied=True, reach=WEEK)
            model.constrain("mornings", [(over, -1), *((col, 1) for col in cols)], hi=OF_ONE_BASE)


def alike_mornings(household: Household, tables: Sequence[Table], meals: Mapping[Table, PlannedMeal]) -> Fraction:
    """Points for breakfasts of one base beyond these."""
    many: Counter[tuple[int, str]] = Counter()
    for table in tables:
        week = (table.day - tables[0].day).days // WEEK
        for planned in meals[table].dishes:
            if planned.role == "breakfast":
                many.update((week, base) for base in household.dishes[planned.dish].tags.intersection(BASES))
    return Fraction(SAME_MORNING_POINTS * sum(max(0, n - OF_ONE_BASE) for n in many.values()))
