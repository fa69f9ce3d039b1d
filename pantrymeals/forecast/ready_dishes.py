"""Which dishes can be cooked from what is there, and which of them use what must go."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.larder.must_reach import may_be_planned
from pantrymeals.larder.on_hand import covered, usable
from pantrymeals.larder.table import barred_marks, waits_in
from pantrymeals.records import Dish, Household, Option
from pantrymeals.words import listed

if TYPE_CHECKING:
    from pantrymeals.plans.menu import ChosenUse

MOST_DISHES = 2


def chosen_options(
    household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str] = ()
) -> tuple[ChosenUse, ...] | None:
    """One option of each use, so that the shelf covers one batch of them all; None when it does not."""
    return covered(([(o, o.amount) for o in use.options if _may(household, o, banned)] for use in dish.uses), there)


def _may(household: Household, option: Option, banned: Collection[str]) -> bool:
    product = household.products[option.product]
    return option.product not in banned and may_be_planned(household, product, household.today)


def can_be_cooked(
    household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str] = ()
) -> bool:
    """Whether one batch can be cooked today: season, shelf, and not one that is made from a leaving."""
    return bool(dish.uses) and not why_not_now(household, dish, there, banned)


def why_not_now(household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str] = ()) -> str:
    """Why one batch cannot be cooked today; '' where it can."""
    if dish.season and household.today.month not in dish.season:
        return "not in its months"
    if when := waits_in(household.rules, dish, household.today):
        return f"not in these days: {when}"
    if dish.needs_left is not None:
        return f"made from what is left: {dish.needs_left}"
    if chosen_options(household, dish, there, banned) is not None:
        return ""
    return f"for want of {_lacking(household, dish, there, banned)}"


def _lacking(household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str]) -> str:
    """What the uses would take first that find none of their options; where each by itself finds one: more of it."""
    alone = [use for use in dish.uses if chosen_options(household, replace(dish, uses=(use,)), there, banned) is None]
    first = dict.fromkeys(use.options[0].product for use in alone or dish.uses)
    return listed(first if alone else (f"more {name}" for name in first), 3)


def not_for(household: Household, dish: Dish, options: Collection[ChosenUse | Option]) -> list[str]:
    """The people a dish is not for, who have no noted alternative: 'Linnet (tree nut)'."""
    marks = dish.contents.union(*(household.products[option.product].contents for option in options))
    found = [(p.name, marks & barred_marks(dish, (p,), household.today)) for p in household.people]
    return [f"{name} ({', '.join(sorted(barred))})" for name, barred in found if barred]


def dishes_for(household: Household, products: Collection[str]) -> dict[str, tuple[str, ...]]:
    """For each product, up to two dishes that use it and can be cooked today; those that use most first."""
    there = usable(household, household.today)
    ranked = []
    for dish in household.dishes.values():
        if dish.only_for or not can_be_cooked(household, dish, there):
            continue
        options = chosen_options(household, dish, there) or ()
        taken = {o.product for o in options} & set(products)
        barred = not_for(household, dish, options)
        if taken:
            ranked.append((len(barred), -len(taken), -dish.liking, dish.minutes, dish.name, taken, barred))
    out: dict[str, tuple[str, ...]] = {}
    for *_, name, taken, barred in sorted(ranked, key=lambda r: r[:5]):
        words = name + (f" (not for {', '.join(barred)})" if barred else "")
        for product in taken:
            if len(out.get(product, ())) < MOST_DISHES:
                out[product] = (*out.get(product, ()), words)
    return out
