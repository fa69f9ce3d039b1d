"""What is on a plate: the energy that a dish gives each eater, and what a meal and a day are to give."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.larder.supply import stands
from pantrymeals.larder.table import Table
from pantrymeals.records import Dish, Household

BARE = ("bone", "bones", "carcass")
"""What is left so is to be boiled out: it takes nothing from the plate."""


def batch_kcal(household: Household, dish: Dish) -> Fraction | None:
    """Energy of one batch by the options written first; None where one of them has no figure."""
    firsts = [use.options[0] for use in dish.uses]
    if any(option.product not in household.kcal for option in firsts):
        return None
    return sum((option.amount * household.kcal[option.product] for option in firsts), Fraction(0))


def _left(dish: Dish) -> Fraction:
    """Portions that one batch leaves for later."""
    if dish.leaves is None or dish.leaves.name.casefold().endswith(BARE):
        return Fraction(0)
    return dish.leaves.portions


def _of_the_leaving(household: Household, name: str) -> Fraction | None:
    """Energy of a portion of a leaving: as much as a portion of the dish that leaves it, the first by name."""
    if name.casefold().endswith(BARE):
        return Fraction(0)
    for dish in sorted(household.dishes.values(), key=lambda dish: dish.name):
        if dish.leaves is not None and dish.leaves.name == name and dish.needs_left is None:
            energy = batch_kcal(household, dish)
            return None if energy is None else energy / (dish.serves + _left(dish))
    return None


def portion_kcal(household: Household, dish: Dish, batches: Fraction, portions: Fraction) -> int | None:
    """Energy of a portion in whole kcal, where so many batches feed so many; None where it is not known."""
    energy = batch_kcal(household, dish)
    beside = _of_the_leaving(household, dish.needs_left) if dish.needs_left else Fraction(0)
    if energy is None or beside is None:
        return None
    return round(energy * batches / (max(portions, dish.serves * batches) + _left(dish) * batches) + beside)


def meal_kcal(household: Household, table: Table) -> int:
    """What a meal is to give each portion: its part of what its eaters need in a day; 0: not known."""
    eaters = table.eaters or household.people
    portions = sum((person.portion for person in eaters), Fraction(0))
    part = household.rules.enough.meals.get(table.meal, Fraction(0))
    return round(sum(household.needs_kcal.get(p.name, 0) for p in eaters) * part / portions) if portions else 0


def standing_kcal(household: Household, day: date) -> Fraction:
    """Energy of what goes in a day outside the menu."""
    return sum(
        (stands(household, name)[day.month - 1] / 7 * household.kcal[name]
         for name in {use.product for use in household.standing} if name in household.kcal),
        Fraction(0),
    )  # fmt: skip


def standing_part(household: Household, day: date, asked: int) -> int:
    """The part of a day's standing use that belongs to meals which are to give so much together (whole kcal)."""
    need = sum(household.needs_kcal.values())
    return round(standing_kcal(household, day) * min(Fraction(1), Fraction(asked, need))) if need else 0
