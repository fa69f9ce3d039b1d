"""A menu's tables: its meals, what each draws from the shelf, and the pull list."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from pantrymeals.plans.menu import (
    ChosenUse,
    MealChange,
    MenuPlan,
    PlannedDish,
    PlannedMeal,
    PullLine,
    PullList,
    SwapOffer,
)
from pantrymeals.plans.outlook import Forecast
from pantrymeals.records import WEEKDAYS, Household
from pantrymeals.tables.outlook import run_out
from pantrymeals.tables.shapes import Shape, frame_of
from pantrymeals.tables.stores import with_size

if TYPE_CHECKING:
    import pandas as pd

_Place = tuple[PlannedMeal, str, PlannedDish | None]
"""A role of a meal and the dish that fills it; None where it is left open."""

MEALS: Shape[_Place] = Shape(
    "meals",
    "a role of a meal, with its dish",
    "day, weekday, meal, occasion, eaters (portions), role, dish (nothing: left open), batches, besides, why",
    weekday=lambda r: WEEKDAYS[r[0].day.weekday()],
    eaters="portions",
    role=lambda r: r[1],
    dish=lambda r: r[2] and r[2].dish,
    batches=lambda r: r[2] and r[2].batches,
    besides=lambda r: r[2] and r[2].instead,
    why=lambda r: r[2] and r[2].why,
)

DRAWS: Shape[tuple[PlannedMeal, PlannedDish, ChosenUse, Household]] = Shape(
    "draws",
    "a product that a dish of the menu takes",
    "day, meal, dish, product, amount (containers), size, stand_in (yes: in another's place)",
    dish=lambda r: r[1].dish,
    product=lambda r: r[2].product,
    amount=lambda r: r[3].products[r[2].product].containers(r[2].amount),
    size=lambda r: r[3].products[r[2].product].sizes[0].name,
    stand_in=lambda r: r[2].stand_in,
)

PULL_LIST: Shape[PullLine] = Shape(
    "pull list",
    "something to bring up, in walking order",
    "fetch (day), place, kind, product, count (of the size), size, put_up, load, needed (day), dish, eat_by",
    place="where",
)

CHANGES: Shape[MealChange] = Shape(
    "changes", "a place of an announced menu whose dish is another", "day, meal, role, before, after, why"
)


OFFERS: Shape[SwapOffer] = Shape(
    "offers",
    "another dish for one place, everything else kept",
    """dish, nearer (products nearer to an even hand), further (products further from it), minutes (more or
    less), hands_on (minutes more or less), points (more or less), besides""",
    hands_on="hands_on_minutes",
)


def meals(plan: MenuPlan) -> pd.DataFrame:
    """Every role of every meal, in order, with its dish; roles left open too."""
    return MEALS.frame(_places(plan))


def draws(household: Household, plan: MenuPlan) -> pd.DataFrame:
    """What each dish takes, noted alternatives included, as it is used and not as jars are opened."""
    return DRAWS.frame((meal, dish, use, household) for meal in plan.meals for dish in meal.dishes for use in dish.uses)


def pull_list(pull: PullList) -> pd.DataFrame:
    """What to bring up, and on which day."""
    return PULL_LIST.frame(pull.lines)


def menu(
    plan: MenuPlan, pull: PullList, forecast: Forecast | None = None, reckoned_from: date | None = None
) -> tuple[pd.DataFrame, ...]:
    """The tables of a menu: its meals, its pull list, and when each product runs out, where that is foreseen."""
    foreseen = () if forecast is None else run_out(forecast, reckoned_from=reckoned_from)
    return meals(plan), pull_list(pull), *foreseen


def weeks(plans: Iterable[MenuPlan], after: Forecast, reckoned_from: date | None = None) -> tuple[pd.DataFrame, ...]:
    """The meals of several menus, one after another; and when each product runs out after them."""
    foreseen = run_out(after, reckoned_from=reckoned_from)
    return MEALS.frame(place for plan in plans for place in _places(plan)), *foreseen


def changes(found: Iterable[MealChange], plan: MenuPlan, pull: PullList) -> tuple[pd.DataFrame, ...]:
    """What changes in a menu that was announced, then the new menu's own tables."""
    return CHANGES.frame(found), *menu(plan, pull)


def offers(household: Household, found: Sequence[SwapOffer]) -> tuple[pd.DataFrame, ...]:
    """Other dishes for one place of a menu, the best first; and what more or less each would let go over."""
    over = (
        (offer.dish, product, household.products[product].containers(amount))
        for offer in found
        for product, amount in offer.waste
    )
    goes_over = frame_of("goes over", {"dish": "", "product": "", "goes_over": "containers more or less"}, over)
    return OFFERS.frame(found), with_size(goes_over, household)


def _places(plan: MenuPlan) -> Iterator[_Place]:
    for meal in plan.meals:
        for dish in meal.dishes:
            yield meal, dish.role, dish
        for role in meal.open_roles:
            yield meal, role, None
