"""The dishes of a larder: which fit, which lack one product, and how often each was eaten."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.records import BatchDay, Dish, Option


class DishBook(Struct, frozen=True):
    """fit: dishes whose products are all kept. one_away: by the one product that is missing, the dishes.

    farther: how many lack more than one. eaten: by dish, how often the book has it.
    """

    fit: tuple[Dish, ...]
    one_away: Mapping[str, tuple[str, ...]]
    farther: int
    eaten: Mapping[str, int]


class Taker(Struct, frozen=True):
    """A dish that may take one of the products asked after. option: the first such of it.

    why_not: why it cannot be cooked today; '' where it can. eaten: how often the book has it, and the last day.
    """

    dish: Dish
    option: Option
    why_not: str
    eaten: tuple[int, date] | None


class Takers(Struct, frozen=True):
    """What takes some products. said: in whose words. there: by product, what may be used (base measure)."""

    said: str
    there: Mapping[str, Fraction]
    dishes: tuple[Taker, ...]
    batch_days: tuple[BatchDay, ...]
