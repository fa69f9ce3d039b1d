"""What was eaten in the weeks before: how often a dish stood, and what last week's table had on the same day."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from pantrymeals.records import Dish, Household

MEMORY_DAYS = 56
MOST_TIMES = 4
WEEK = timedelta(days=7)


def main_thing(household: Household, dish: Dish) -> str:
    """The family of the first product that a dish names: venison, chicken, beans; nothing where it names none."""
    return household.products[dish.uses[0].options[0].product].family if dish.uses else ""


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
