"""Offers other dishes for one place of a menu."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pantrymeals.actions.asking import plate_meant
from pantrymeals.plans.menu import MenuPlan, SwapOffer
from pantrymeals.records import Household, MealName, Role


@dataclass(frozen=True, slots=True)
class Offers:
    """What could stand in one place instead of ``dish``."""

    day: date
    meal: MealName
    role: Role
    dish: str
    offers: tuple[SwapOffer, ...]


def offers_for(household: Household, plan: MenuPlan, place: str, number: int = 5) -> Offers:
    """The best other dishes for a place written as 'Tue supper main'.

    Raises PantryError when the place is not understood or has no dish.
    """
    from pantrymeals.menu.swaps import swap_offers

    day, meal, role = plate_meant(place, plan.first, plan.days)
    offers = swap_offers(household, plan, day, meal, role, number)
    dish = next(d.dish for m in plan.meals if (m.day, m.meal) == (day, meal) for d in m.dishes if d.role == role)
    return Offers(day, meal, role, dish, offers)
