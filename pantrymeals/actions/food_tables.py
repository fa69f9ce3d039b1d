"""The published tables of foods, needs and keeping that come with the program, and how long a larder lasts by them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from pantrymeals.larder.nutrition import Food, NeedTable, food_table, need_table
from pantrymeals.packaged import rows

if TYPE_CHECKING:
    from pantrymeals.forecast.keeping import KeepingRow
    from pantrymeals.plans.outlook import LarderCover
    from pantrymeals.records import Household


@cache
def foods() -> Mapping[str, Food]:
    """Energy and protein of foods, by NDB number."""
    return food_table(rows("foods.csv"))


@cache
def needs() -> NeedTable:
    """Energy and protein needs by sex, age and activity."""
    return need_table(rows("energy_need.csv"))


@cache
def keeping() -> tuple[KeepingRow, ...]:
    """How long things keep, each with its source."""
    from pantrymeals.forecast.keeping import keeping_rows

    return keeping_rows(rows("keeping.csv"))


@cache
def per_person_plans() -> Mapping[str, Fraction]:
    """Quarts a year that a published plan puts up for one person, by family."""
    return {row["family"]: Fraction(row["quarts_a_person"]) for row in rows("put_up_plans.csv")}


def whole_larder(household: Household, banned: frozenset[str] = frozenset()) -> LarderCover:
    """How long the whole larder feeds the household, and which products limit it."""
    from pantrymeals.forecast.cover import larder_cover

    return larder_cover(household, foods(), needs(), banned)
