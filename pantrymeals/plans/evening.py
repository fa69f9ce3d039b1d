"""Answers to what is asked of an evening: what can be cooked, what was eaten, what can be spared, what it was worth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import ChosenUse
from pantrymeals.records import Dish, MealName, Product, Role


@dataclass(frozen=True, slots=True)
class CanCook:
    """A dish that could be cooked today: what it takes, for how many batches, and who will not eat it.

    beside: what is noted for somebody at the table. places: by product, where the oldest of it stands.
    """

    role: Role
    dish: Dish
    batches: int
    uses: tuple[ChosenUse, ...]
    places: Mapping[str, str]
    beside: tuple[str, ...]
    refused: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Tonight:
    """What could be cooked for one meal of a day, within so many minutes, with nothing to thaw; the best liked first.

    portions: None where nobody eats that meal at home. minutes: None for any. waits: by reason, how many dishes
    could stand there and are not shown. quickest: the quickest of those that only take longer.
    """

    day: date
    meal: MealName
    portions: Fraction | None
    minutes: int | None
    roles: tuple[Role, ...]
    found: tuple[CanCook, ...]
    waits: Mapping[str, int]
    quickest: Dish | None


WEEKS_IN_A_YEAR = 52


@dataclass(frozen=True, slots=True)
class KindEaten:
    """One product: used in the last 52 weeks, in each full book year, and on hand; in containers of its first size."""

    product: Product
    used: Fraction
    by_year: Mapping[int, Fraction]
    on_hand: Fraction


@dataclass(frozen=True, slots=True)
class EatenByKind:
    """What is eaten in a year of all that some words speak of.

    weeks: of the last 52, how many the book tells of; 0: none, and ``used`` is what standing use states for a year.
    years: full book years, the newest first. totals: of each measure the sum of all kinds, as (number, unit).
    """

    said: str
    weeks: int
    years: tuple[int, ...]
    kinds: tuple[KindEaten, ...]
    totals: tuple[tuple[Fraction, str], ...]

    @property
    def since_words(self) -> str:
        """The head of the first column."""
        return f"{min(self.weeks, WEEKS_IN_A_YEAR)} weeks" if self.weeks else "stated"
