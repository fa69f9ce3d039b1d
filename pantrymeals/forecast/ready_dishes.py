"""Which dishes can be cooked from what is there, and which of them use what must go."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from pantrymeals.larder.must_reach import may_be_planned
from pantrymeals.larder.on_hand import usable
from pantrymeals.larder.table import barred_marks, waits_in
from pantrymeals.records import Dish, Household, Option

MOST_DISHES = 2


def chosen_options(
    household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str] = ()
) -> tuple[Option, ...] | None:
    """The first option of each use that the shelf covers for one batch; None when some use has none."""
    chosen = []
    for use in dish.uses:
        option = next((o for o in use.options if _covered(household, o, there, banned)), None)
        if option is None:
            return None
        chosen.append(option)
    return tuple(chosen)


def _covered(household: Household, option: Option, there: Mapping[str, Fraction], banned: Collection[str]) -> bool:
    may = may_be_planned(household, household.products[option.product], household.today)
    return may and option.product not in banned and there[option.product] >= option.amount


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
    return "" if chosen_options(household, dish, there, banned) is not None else "too little is there"


def not_for(household: Household, dish: Dish, options: Collection[Option]) -> list[str]:
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
