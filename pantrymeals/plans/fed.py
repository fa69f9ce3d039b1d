"""What a menu puts on the plates, beside what is needed."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from pantrymeals.records import MealName


class MealFed(Struct, frozen=True):
    """What a meal gives each portion: whole kcal, and whole grams of protein. None: a dish of it has no figure.

    thin: whether it stays under its least.
    """

    day: date
    meal: MealName
    kcal: int | None
    protein_g: int | None
    thin: bool


class DayFed(Struct, frozen=True):
    """Energy of a day (kcal): what its meals are to give, what the menu and standing use give of it.

    outside: whether that is less or more than its band.
    """

    day: date
    need: int
    menu: int
    standing: int
    outside: bool


class Fed(Struct, frozen=True):
    """A menu's plates. protein: grams that its meals are to give, and what the menu and standing use give of them.

    unknown: dishes without a figure: their energy is taken at their part of the meal, their protein is not counted.
    """

    meals: tuple[MealFed, ...] = ()
    days: tuple[DayFed, ...] = ()
    protein: tuple[int, int, int] = (0, 0, 0)
    unknown: tuple[str, ...] = ()

    def thin(self, day: date, meal: MealName) -> bool:
        """Whether a meal stays under its least."""
        return any(one.thin for one in self.meals if (one.day, one.meal) == (day, meal))
