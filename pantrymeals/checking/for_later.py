"""Rule 17: what a plan lifts out for the meals after its last day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from math import ceil

from pantrymeals.checking.could_stand import fits_the_day
from pantrymeals.checking.limits import why_not_planned
from pantrymeals.checking.portions import batches_for
from pantrymeals.checking.shelf import ZERO, number_of, opened, stood, supplied
from pantrymeals.checking.table import fixed_night, occasions_of, portions_of, roles_of
from pantrymeals.checking.uses import alternatives_served
from pantrymeals.checking.variety import days_between
from pantrymeals.checking.words import day_words, planned_dishes, so_much
from pantrymeals.plans.menu import ForLater, MenuPlan, PlannedMeal
from pantrymeals.records import MEALS, Dish, Household, MealName

NIGHTS = 3


def it_thaws_for_a_meal_that_may_have_it(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each comes out on a day of the plan, its thaw days before its dish may stand on one of the next three."""
    for x in plan.for_later:
        product, dish = household.products[x.product], household.dishes[x.dish]
        what = f"{day_words(x.lifted)}: {x.size} {x.product} for {day_words(x.night)}"
        if not product.thaw_days or x.night - x.lifted != timedelta(days=product.thaw_days):
            yield f"{what}: it thaws {product.thaw_days} days"
        if not plan.first <= x.lifted <= plan.last:
            yield f"{what}: that is no day of the menu"
        if not 0 < (x.night - plan.last).days <= NIGHTS:
            yield f"{what}: that is none of the {NIGHTS} days after the last"
        last = x.night + timedelta(days=product.opened_days - 1) if product.opened_days else None
        if x.eat_by != last:
            yield f"{what}: it is eaten up to {day_words(last) if last else 'no day'}"
        if why := _not_the_dish(household, plan, x, dish):
            yield f"{what}: {x.dish} {why}"


def _not_the_dish(household: Household, plan: MenuPlan, x: ForLater, dish: Dish) -> str:
    """Why a dish is not one that a meal of its day asks for, may have, and makes of so much; '' where it is."""
    said = [_not_at(household, plan, x, dish, m) for m in MEALS if dish.role in roles_of(household, m, x.night)]
    return min(said, key=len, default="is not what that supper asks for")


def _not_at(household: Household, plan: MenuPlan, x: ForLater, dish: Dish, meal: MealName) -> str:
    own = {o.dish for o in occasions_of(household, x.night) if meal in o.meals} - {""}
    night = fixed_night(household, meal, x.night)
    asked = dish.role == "main" and (dish.name in own or night in dish.tags)
    mains = any(household.dishes[name].role == "main" for name in own if name in household.dishes)
    nothing_asked = dish.role != "main" or not (night or mains)
    if not asked and not (nothing_asked and (x.night - plan.last).days == 1):  # any place of the day after
        return "is not what that supper asks for"
    if dish.needs_left or not fits_the_day(household, dish, meal, x.night):
        return "may not stand there"
    if any(why_not_planned(household, household.products[x.product], x.night)):
        return f"may have no {x.product} then"
    eaten = [day for day, name in household.recent if name == dish.name and day < plan.first]
    eaten += [meal.day for meal, planned in planned_dishes(plan) if planned.dish == dish.name]
    if any((x.night - day).days < days_between(household, dish) for day in eaten):
        return "was eaten too lately"
    lifted = [y for y in plan.for_later if (y.product, y.night, y.dish) == (x.product, x.night, x.dish)]
    size = max((s.content for s in household.products[x.product].sizes), default=Fraction(1))
    takes = _amounts_taken(household, x, dish, meal)
    return "takes less of it" if sum(y.count for y in lifted) > sum(ceil(one / size) for one in takes) else ""


def _amounts_taken(household: Household, x: ForLater, dish: Dish, meal: MealName) -> list[Fraction]:
    """What each use of a dish at a meal, and of what is served beside it, may take of the product (base measure)."""
    table = PlannedMeal(x.night, meal, portions_of(household, meal, x.night), ())
    many = batches_for(household, dish, table.portions)
    takes = [o.amount * many for use in dish.uses for o in use.options if o.product == x.product]
    beside = (use for note in alternatives_served(household, table, dish) for use in note.uses)
    return takes + [o.amount for use in beside for o in use.options if o.product == x.product]


def the_menu_leaves_it(household: Household, plan: MenuPlan) -> Iterator[str]:
    """With all that the menu opens, its batch days and standing use, there is so much when its days are over."""
    for name in sorted({x.product for x in plan.for_later}):
        product = household.products[name]
        taken = sum(opened(plan, product), ZERO)
        taken += sum((use.amount for work in plan.batch_work for use in work.uses if use.product == name), ZERO)
        content = {size.name: size.content for size in product.sizes}
        lifted = sum((x.count * content.get(x.size, ZERO) for x in plan.for_later if x.product == name), ZERO)
        by_then = max(number_of(plan, x.lifted) for x in plan.for_later if x.product == name)
        there = supplied(household, plan, product)[min(by_then, plan.days - 1)] - stood(household, plan, product)[-1]
        if taken + lifted > there:
            left, out = so_much(product, max(ZERO, there - taken)), so_much(product, lifted)
            yield f"{out} is lifted out for the days after, {left} is left"


RULES = (it_thaws_for_a_meal_that_may_have_it, the_menu_leaves_it)
