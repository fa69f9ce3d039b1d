"""Enough on the plate, worked out a second time from the plan and the records: see 'What a menu costs'."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from pantrymeals.checking import points
from pantrymeals.checking.shelf import ZERO, a_week_of
from pantrymeals.checking.table import eaters_of, kinds_of, portions_of, roles_of
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household

TO_BOIL_OUT = ("bone", "bones", "carcass")


def _set_by(dish: Dish) -> Fraction:
    """Portions of food (not bones) that a batch leaves for another day."""
    if dish.leaves and not dish.leaves.name.casefold().endswith(TO_BOIL_OUT):
        return dish.leaves.portions
    return ZERO


def _in_a_batch(household: Household, dish: Dish) -> Fraction | None:
    total = ZERO
    for use in dish.uses:
        liked_best = use.options[0]
        each = household.kcal.get(liked_best.product)
        if each is None:
            return None
        total += each * liked_best.amount
    return total


def _in_a_leaving(household: Household, name: str | None) -> Fraction | None:
    if not name or name.casefold().endswith(TO_BOIL_OUT):
        return ZERO
    givers = [d for d in household.dishes.values() if d.leaves and d.leaves.name == name and not d.needs_left]
    if not givers:
        return None
    giver = min(givers, key=lambda dish: dish.name)
    energy = _in_a_batch(household, giver)
    return None if energy is None else energy / (giver.serves + _set_by(giver))


def a_portion(household: Household, planned: PlannedDish, portions: Fraction) -> int | None:
    """Whole kcal of a portion of a planned dish; None: not known."""
    dish = household.dishes[planned.dish]
    own, left = _in_a_batch(household, dish), _in_a_leaving(household, dish.needs_left)
    if own is None or left is None:
        return None
    plates = max(portions, dish.serves * planned.batches) + _set_by(dish) * planned.batches
    return round(own * planned.batches / plates + left)


def to_give(household: Household, meal: PlannedMeal) -> int:
    """Whole kcal that a meal is to give a portion."""
    eaters = eaters_of(household, meal.meal, meal.day) or list(household.people)
    portions = sum((p.portion for p in eaters), ZERO)
    if not portions:
        return 0
    need = sum(household.needs_kcal.get(p.name, 0) for p in eaters)
    return round(Fraction(need) / portions * household.rules.enough.meals.get(meal.meal, ZERO))


def day_points(household: Household, meals: Sequence[PlannedMeal]) -> Fraction:
    """Points of one day: its meals under their least, and itself outside its band."""
    wanted, energy, total = 0, 0, ZERO
    for meal in meals:
        portions = portions_of(household, meal.meal, meal.day)
        ask = to_give(household, meal)
        least, in_all = round(ask * household.rules.enough.least), round(ask * portions)
        wanted += in_all
        on_plate = 0
        for planned in meal.dishes:
            each = a_portion(household, planned, portions)
            roles = len(roles_of(household, meal.meal, meal.day))
            on_plate += least if each is None else each
            energy += round(Fraction(in_all, roles)) if each is None else round(each * portions)
        if least:
            total += points.UNDER_ITS_LEAST * Fraction(max(0, least - on_plate), least)
    stands = ZERO
    families = {a.product: household.products[a.product].family.casefold() for a in household.arrivals}
    bakes = "bread" in families.values()
    for name in {use.product for use in household.standing}:
        if bakes and household.products[name].family.casefold() == "flour":
            continue
        stands += household.kcal.get(name, ZERO) * a_week_of(household, name, meals[0].day) / 7
    need = sum(household.needs_kcal.values())
    beside = round(stands * min(Fraction(1), Fraction(wanted, need))) if need else 0
    low = max(0, round(household.rules.enough.day_low * wanted) - beside)
    high = max(low, round(household.rules.enough.day_high * wanted) - beside)
    off = max(0, low - energy, ZERO if kinds_of(household, meals[0].day) else energy - high)
    return total + points.DAY_OFF * Fraction(off) / max(1, wanted)


def enough(household: Household, plan: MenuPlan) -> Fraction:
    """Meals under their least and days outside their band; nothing where no product has a figure."""
    days: dict[object, list[PlannedMeal]] = defaultdict(list)
    for meal in plan.meals:
        days[meal.day].append(meal)
    return sum((day_points(household, meals) for meals in days.values()), ZERO) if household.kcal else ZERO
