"""The dishes of a larder: which fit, which lack one product, and how often each was eaten."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pantrymeals.records import Dish


@dataclass(frozen=True, slots=True)
class DishBook:
    """fit: dishes whose products are all kept. one_away: by the one product that is missing, the dishes.

    farther: how many lack more than one. eaten: by dish, how often the book has it.
    """

    fit: tuple[Dish, ...]
    one_away: Mapping[str, tuple[str, ...]]
    farther: int
    eaten: Mapping[str, int]
