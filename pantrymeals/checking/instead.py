"""Whether a dish could stand in another's place with all other meals as they are.

Beyond ten days a promise (a fixed night, a tag of the week, an occasion's dish) may be missed where keeping it
would need something changed elsewhere: months ahead the shelf cannot give every week what one week could have.
Where a dish could simply take the place, the promise is broken.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.checking import limits, variety
from pantrymeals.checking.could_stand import uses_there
from pantrymeals.checking.limits import why_not_planned
from pantrymeals.checking.shelf import first_thawed, number_of, opened, stood, supplied, used
from pantrymeals.checking.table import fixed_night, occasions_of, roles_of
from pantrymeals.checking.variety import days_between
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household, MealName, Product


def could_take_a_place(household: Household, plan: MenuPlan, dish: Dish, meal: PlannedMeal) -> bool:
    """Whether this main could stand at that meal in the place of the one there, or in the open place.

    It could not where it would break a rule with what stays, take what another day needs, or leave open what
    the other covered; nor where the other was asked for, or keeps a promise itself.
    """
    there = [p for p in meal.dishes if p.role == dish.role]
    stays = [p for p in meal.dishes if p.role != dish.role]
    if any(p.dish == dish.name for p in meal.dishes) or any(_must_stay(household, meal, p, dish) for p in there):
        return False
    roles = set(roles_of(household, meal.meal, meal.day))
    filled = {p.role for p in stays} | {role for p in stays for role in household.dishes[p.dish].covers}
    covered = roles.intersection(*[household.dishes[p.dish].covers for p in there]) if there else set()
    if (covered - filled) - dish.covers or (dish.covers | {dish.role}) & roles & filled:
        return False
    number = number_of(plan, meal.day)
    return _breaks_nothing(household, plan, dish, meal) and shelf_gives(
        household, dish, meal.meal, meal.day, lambda of: spare(household, plan, of, number)
    )


def _must_stay(household: Household, meal: PlannedMeal, planned: PlannedDish, dish: Dish) -> bool:
    """Whether what stands there was asked for, keeps a promise that the other would not, or is needed later."""
    own = household.dishes[planned.dish]
    feasts = [o.dish for o in occasions_of(household, meal.day) if o.dish]
    night = fixed_night(household, meal.meal, meal.day)
    keeps_night = night is not None and night in own.tags and night not in dish.tags
    keeps_week = any(tag in own.tags and tag not in dish.tags for tag in household.rules.at_least)
    keeps = (keeps_night or keeps_week) and dish.name not in feasts
    return planned.pinned or own.name in feasts or keeps or own.leaves is not None


def _breaks_nothing(household: Household, plan: MenuPlan, dish: Dish, meal: PlannedMeal) -> bool:
    """Whether no rule of variety, minutes and pairs is broken with it that is not broken without it."""
    reach = timedelta(days=max(7, days_between(household, dish)))
    near = [m for m in plan.meals if abs(m.day - meal.day) <= reach]
    stays = tuple(p for p in meal.dishes if p.role != dish.role)
    there = replace(meal, dishes=(*stays, PlannedDish(dish.role, dish.name, Fraction(1), ())))
    beside = [there if m is meal else m for m in near]
    rules = (*limits.RULES, *variety.RULES)
    as_it_is, with_it = (
        {said for rule in rules for said in rule(household, replace(plan, meals=tuple(meals)))}
        for meals in (near, beside)
    )
    return with_it <= as_it_is


def shelf_gives(
    household: Household, dish: Dish, meal: MealName, day: date, there: Callable[[Product], Fraction]
) -> bool:
    """Whether each use of a dish, and of its noted alternatives, finds an option that may be eaten and is there.

    there: what there is of a product (base measure).
    """
    uses = [*dish.uses, *(use for note in dish.instead for use in note.uses)]
    named = {option.product for use in uses for option in use.options}
    away = {name for name in named if why_not_planned(household, household.products[name], day)}
    choices = uses_there(household, dish, meal, day, away)
    if choices is None:
        return False
    taken: dict[str, Fraction] = {}
    for choice in choices:
        for name, amount in choice:
            total = taken.get(name, Fraction(0)) + amount
            if total <= there(household.products[name]):
                taken[name] = total
                break
        else:
            return False
    return True


def spare(household: Household, plan: MenuPlan, product: Product, number: int) -> Fraction:
    """What could be taken on a day and still leave every later day its own (base measure); part jars apart."""
    takes = opened(plan, product) if product.whole else used(plan, product.name)
    held, standing = supplied(household, plan, product), stood(household, plan, product)
    if product.whole and number < first_thawed(household, plan, product):
        return Fraction(0)
    total, least = Fraction(0), None
    for day, amount in enumerate(takes):
        total += amount
        if day >= number:
            there = held[day] - standing[day] - total
            least = there if least is None else min(least, there)
    room = max(Fraction(0), least or Fraction(0))
    if not product.whole:
        return room
    container = product.sizes[0].content
    return room // container * container
