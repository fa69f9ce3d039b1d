"""What was eaten in the weeks before: how often a dish stood, what the same day had last week, and what was left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.records import Dish, Household

MEMORY_DAYS = 56
MOST_TIMES = 4
WEEK = timedelta(days=7)


def main_thing(household: Household, dish: Dish) -> str:
    """The family of the first product that a dish names: venison, chicken, beans; nothing where it names none."""
    return household.products[dish.uses[0].options[0].product].family if dish.uses else ""


class Left(Struct, frozen=True):
    """One cooking that leaves something: its day, portions, days it keeps, and its column (None: eaten before)."""

    day: int
    feeds: Fraction
    keeps: int
    column: int | None

    def serves(self, day: int, portions: Fraction) -> bool:
        """Whether it is still good, and enough, for a meal."""
        return 1 <= day - self.day <= self.keeps and self.feeds >= portions


class Lately:
    """The eight weeks before a menu's first day, as the household remembers them."""

    def __init__(self, household: Household, first: date) -> None:
        self._household = household
        eaten = [(d, n) for d, n in household.recent if first - timedelta(days=MEMORY_DAYS) <= d < first]
        self._times = Counter(name for _, name in eaten)
        dishes = ((day, household.dishes[name]) for day, name in eaten if name in household.dishes)
        self._mains = {(day, main_thing(household, dish)) for day, dish in dishes if dish.role == "main"}

    def times(self, dish: Dish) -> int:
        """How often a dish stood; what stands every other week or oftener is no newer for standing oftener."""
        return min(self._times[dish.name], MOST_TIMES)

    def same_again(self, dish: Dish, day: date) -> bool:
        """Whether it is a main of the same main thing as a main of that weekday a week before."""
        thing = main_thing(self._household, dish)
        return dish.role == "main" and bool(thing) and (day - WEEK, thing) in self._mains


def left_lately(household: Household, recent: Iterable[tuple[int, str]], name: str) -> list[Left]:
    """What was left before the first day, one batch a cooking, less what was made from it (the oldest first).

    recent: (day counted from the first, so negative; dish).
    """
    dishes = household.dishes
    stretch = 1 + household.rules.stretch
    found: list[Left] = []
    for day, eaten in sorted(recent, key=lambda one: one[0]):
        dish = dishes.get(eaten)
        if dish is not None and dish.needs_left == name:
            spent = next((one for one in found if 1 <= day - one.day <= one.keeps), None)
            found = [one for one in found if one is not spent]
        if dish is not None and dish.leaves is not None and dish.leaves.name == name:
            found.append(Left(day, dish.leaves.portions * stretch, dish.leaves.days, None))
    return found
