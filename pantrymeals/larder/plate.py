"""What is on a plate: the energy or protein of a dish for each eater, and what a meal and a day are to give."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.supply import stands
from pantrymeals.larder.table import Table
from pantrymeals.records import Dish, Household

BARE = ("bone", "bones", "carcass")
"""What is left so is to be boiled out: it takes nothing from the plate."""


def batch_holds(dish: Dish, in_one: Mapping[str, Fraction]) -> Fraction | None:
    """What one batch holds by the options written first; None where one of them has no figure.

    in_one: of each product, what one base measure holds.
    """
    firsts = [use.options[0] for use in dish.uses]
    if any(option.product not in in_one for option in firsts):
        return None
    return sum((option.amount * in_one[option.product] for option in firsts), Fraction(0))


def _left(dish: Dish) -> Fraction:
    """Portions that one batch leaves for later."""
    if dish.leaves is None or dish.leaves.name.casefold().endswith(BARE):
        return Fraction(0)
    return dish.leaves.portions


def _of_the_leaving(household: Household, name: str, in_one: Mapping[str, Fraction]) -> Fraction | None:
    """What a portion of a leaving holds: as much as a portion of the dish that leaves it, the first by name."""
    if name.casefold().endswith(BARE):
        return Fraction(0)
    for dish in sorted(household.dishes.values(), key=lambda dish: dish.name):
        if dish.leaves is not None and dish.leaves.name == name and dish.needs_left is None:
            held = batch_holds(dish, in_one)
            return None if held is None else held / (dish.serves + _left(dish))
    return None


def portion_holds(
    household: Household, dish: Dish, batches: Fraction, portions: Fraction, in_one: Mapping[str, Fraction]
) -> Fraction | None:
    """What a portion holds where so many batches feed so many; None where it is not known."""
    held = batch_holds(dish, in_one)
    beside = _of_the_leaving(household, dish.needs_left, in_one) if dish.needs_left else Fraction(0)
    if held is None or beside is None:
        return None
    return held * batches / (max(portions, dish.serves * batches) + _left(dish) * batches) + beside


def portion_kcal(household: Household, dish: Dish, batches: Fraction, portions: Fraction) -> int | None:
    """Energy of a portion in whole kcal; None where it is not known."""
    energy = portion_holds(household, dish, batches, portions, household.kcal)
    return None if energy is None else round(energy)


def meal_part(household: Household, table: Table, needs: Mapping[str, int]) -> int:
    """What a meal is to give each portion: its part of what its eaters need in a day; 0: not known."""
    eaters = table.eaters or household.people
    portions = sum((person.portion for person in eaters), Fraction(0))
    part = household.rules.enough.meals.get(table.meal, Fraction(0))
    return round(sum(needs.get(p.name, 0) for p in eaters) * part / portions) if portions else 0


def baked_at_home(
    household: Household, first: date = date.min, last: date = date.max
) -> tuple[frozenset[str], frozenset[str]]:
    """(flour that has standing use, bread that comes in on these days): one food, of which one is to be counted.

    Neither, where the other is missing: flour without bread is eaten as it is, and bread without flour is bought.
    """

    def of(family: str, names: Iterable[str]) -> frozenset[str]:
        return frozenset(n for n in names if household.products[n].family.casefold() == family)

    flour = of("flour", (use.product for use in household.standing))
    bread = of("bread", (a.product for a in household.arrivals if first <= a.day <= last))
    return (flour, bread) if flour and bread else (frozenset(), frozenset())


def standing_holds(household: Household, day: date, in_one: Mapping[str, Fraction]) -> Fraction:
    """What goes in a day outside the menu holds; flour is eaten as the bread that is baked of it."""
    flour, _ = baked_at_home(household)
    return sum(
        (stands(household, name).on(day) / 7 * in_one[name]
         for name in {use.product for use in household.standing} - flour if name in in_one),
        Fraction(0),
    )  # fmt: skip


def standing_part(
    household: Household, day: date, asked: int, in_one: Mapping[str, Fraction], needs: Mapping[str, int]
) -> int:
    """The part of a day's standing use that belongs to meals which are to give so much together."""
    need = sum(needs.values())
    return round(standing_holds(household, day, in_one) * min(Fraction(1), Fraction(asked, need))) if need else 0


class TableAsked(Struct, frozen=True):
    """What is asked of a table (whole kcal): each portion of the meal, at least so much a portion, the meal in all."""

    portion: int
    least: int
    in_all: int


class DayAsked(Struct, frozen=True):
    """Between which energies the dishes of a day are right, standing use taken off; and what the day is to give."""

    low: int
    high: int | None
    in_all: int


def asked_of(household: Household, table: Table) -> TableAsked:
    """What a table is to give."""
    portion = meal_part(household, table, household.needs_kcal)
    return TableAsked(portion, round(portion * household.rules.enough.least), round(portion * table.portions))


def asked_of_day(household: Household, tables: Sequence[Table]) -> DayAsked:
    """What the tables of one day are to give together; feast and crew days have no upper edge."""
    enough = household.rules.enough
    in_all = sum(asked_of(household, table).in_all for table in tables)
    stands = standing_part(household, tables[0].day, in_all, household.kcal, household.needs_kcal)
    low = max(0, round(enough.day_low * in_all) - stands)
    free = any(table.kinds for table in tables)
    return DayAsked(low, None if free else max(low, round(enough.day_high * in_all) - stands), in_all)


def gives(household: Household, table: Table, dish: Dish, batches: Fraction) -> tuple[int, int]:
    """What a dish gives a portion, towards the meal's least, and in all, towards the day's (whole kcal).

    One whose energy is not known is taken to give its meal's least, and its role's part of what the meal is to give.
    """
    asked = asked_of(household, table)
    energy = portion_kcal(household, dish, batches, table.portions)
    if energy is None:
        return asked.least, round(Fraction(asked.in_all, len(table.roles)))
    return energy, round(energy * table.portions)
