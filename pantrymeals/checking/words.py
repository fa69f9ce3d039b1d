"""How the checker speaks: days, meals and amounts in a cook's words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import WEEKDAYS, Household, Product
from pantrymeals.units import as_words
from pantrymeals.words import month_name


def day_words(day: date) -> str:
    """'Mon 5 January'."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {month_name(day)}"


def at(meal: PlannedMeal, dish: PlannedDish | None = None) -> str:
    """'Mon 5 January, supper' or 'Mon 5 January, supper, Bean soup'."""
    where = f"{day_words(meal.day)}, {meal.meal}"
    return f"{where}, {dish.dish}" if dish else where


def containers(product: Product, amount: Fraction) -> Fraction:
    """A base-measure amount in containers of the product's first size."""
    return amount / product.sizes[0].content


def so_much(product: Product, amount: Fraction) -> str:
    """'1 1/2 qt Beans'."""
    return f"{as_words(containers(product, amount))} {product.sizes[0].name} {product.name}"


def list_of(household: Household, amounts: Mapping[str, Fraction]) -> str:
    """'1 qt Beans, 1/2 lb Carrots', or 'nothing'."""
    return ", ".join(so_much(household.products[p], a) for p, a in sorted(amounts.items())) or "nothing"


def planned_dishes(plan: MenuPlan) -> Iterable[tuple[PlannedMeal, PlannedDish]]:
    """Every planned dish with its meal, in order of day."""
    for meal in sorted(plan.meals, key=lambda m: m.day):
        for dish in meal.dishes:
            yield meal, dish
