"""Energy on the plate, read for a second model from the numbered lines alone ('What a menu costs')."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.records import Dish, Household
from tests.kitchens import own_rules as rule

ZERO = Fraction(0)


def _family(home: Household, name: str) -> str:
    return home.products[name].family.casefold()


def _bread_comes_in(home: Household) -> bool:
    return any(_family(home, arrival.product) == "bread" for arrival in home.arrivals)


def _bones(name: str) -> bool:
    return name.casefold().endswith(("bone", "bones", "carcass"))


def _batch(home: Household, dish: Dish) -> Fraction | None:
    first = [use.options[0] for use in dish.uses]
    if any(o.product not in home.kcal for o in first):
        return None
    return sum((o.amount * home.kcal[o.product] for o in first), ZERO)


def _beside(dish: Dish) -> Fraction:
    return ZERO if dish.leaves is None or _bones(dish.leaves.name) else dish.leaves.portions


def plate(home: Household, dish: Dish, portions: Fraction) -> int | None:
    """Whole kcal of a portion where so many eat; None: a figure is missing."""
    batches = rule.batches_of(home, dish, portions)
    energy, extra = _batch(home, dish), ZERO
    if dish.needs_left and not _bones(dish.needs_left):
        sources = [
            d for d in home.dishes.values() if d.leaves and d.leaves.name == dish.needs_left and not d.needs_left
        ]
        source = min(sources, key=lambda d: d.name, default=None)
        whole = None if source is None else _batch(home, source)
        if source is None or whole is None:
            return None
        extra = whole / (source.serves + _beside(source))
    if energy is None:
        return None
    return round(energy * batches / (max(portions, dish.serves * batches) + _beside(dish) * batches) + extra)


def asked(home: Household, meal: str, on) -> int:  # type: ignore[no-untyped-def]
    """Whole kcal that a meal is to give a portion."""
    eaters = rule.eaters_of(home, meal, on) or list(home.people)
    portions = sum((p.portion for p in eaters), ZERO)
    need = sum(home.needs_kcal.get(p.name, 0) for p in eaters)
    return round(home.rules.enough.meals[meal] * need / portions) if portions else 0


def standing(home: Household, on, in_all: int) -> int:  # type: ignore[no-untyped-def]
    """Whole kcal of a day's standing use that belong to meals which are to give so much."""
    need = sum(home.needs_kcal.values())
    eaten = [s for s in home.standing if not (_family(home, s.product) == "flour" and _bread_comes_in(home))]
    week = sum((rule.stands_on(s, on) * home.kcal.get(s.product, ZERO) for s in eaten), ZERO)
    return round(week / 7 * min(Fraction(1), Fraction(in_all, need))) if need else 0
