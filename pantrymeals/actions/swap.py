"""Offers other dishes for one place of a menu."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from pantrymeals import tables
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.asking import plate_meant
from pantrymeals.plans.menu import MenuPlan, SwapOffer
from pantrymeals.records import Household, MealName, Role
from pantrymeals.reports.terminal.paper import Paper


class Offers(Struct, frozen=True):
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


def swap_answer(household: Household, found: Offers) -> Answer:
    """Other dishes for a place, and what each would do."""
    return Answer(
        lambda paper: write_offers(paper, household, found), tables=lambda: tables.offers(household, found.offers)
    )


def write_offers(paper: Paper, household: Household, found: Offers) -> None:
    """The offers for one place, on paper."""
    from pantrymeals.reports.terminal.swaps import write_swaps

    write_swaps(paper, household, (found.day, found.meal, found.role, found.dish), found.offers)
