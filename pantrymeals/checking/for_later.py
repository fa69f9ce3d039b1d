"""Rule 17: what a plan lifts out for the suppers after its last day."""

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
from pantrymeals.records import Dish, Household

NIGHTS = 3


def it_thaws_for_a_promised_supper(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each comes out on a day of the plan, its thaw days before one of the next three suppers that ask for its dish."""
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
    """Why a dish is not one that its supper asks for, may have, and makes of so much."""
    own = {o.dish for o in occasions_of(household, x.night) if "supper" in o.meals} - {""}
    night = fixed_night(household, "supper", x.night)
    asked = dish.name in own or night in dish.tags
    mains = any(household.dishes[name].role == "main" for name in own if name in household.dishes)
    asked |= (x.night - plan.last).days == 1 and not night and not mains  # the day after, of which nothing is asked
    if dish.role != "main" or "main" not in roles_of(household, "supper", x.night) or not asked:
        return "is not what that supper asks for"
    if dish.needs_left or not fits_the_day(household, dish, "supper", x.night):
        return "may not stand there"
    if any(why_not_planned(household, household.products[x.product], x.night)):
        return f"may have no {x.product} then"
    eaten = [day for day, name in household.recent if name == dish.name and day < plan.first]
    eaten += [meal.day for meal, planned in planned_dishes(plan) if planned.dish == dish.name]
    if any((x.night - day).days < days_between(household, dish) for day in eaten):
        return "was eaten too lately"
    supper = PlannedMeal(x.night, "supper", portions_of(household, "supper", x.night), ())
    many = batches_for(household, dish, supper.portions)
    takes = [o.amount * many for use in dish.uses for o in use.options if o.product == x.product]
    beside = (use for note in alternatives_served(household, supper, dish) for use in note.uses)
    takes += [o.amount for use in beside for o in use.options if o.product == x.product]
    lifted = [other for other in plan.for_later if (other.product, other.night) == (x.product, x.night)]
    size = max((s.content for s in household.products[x.product].sizes), default=Fraction(1))
    if sum(other.count for other in lifted) > sum(ceil(amount / size) for amount in takes):
        return "takes less of it"
    return ""


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


RULES = (it_thaws_for_a_promised_supper, the_menu_leaves_it)
