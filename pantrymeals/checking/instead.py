"""Whether a dish could stand in another's place with all other meals as they are.

Beyond ten days a promise (a fixed night, a tag of the week, an occasion's dish) may be missed where keeping it
would need something changed elsewhere: months ahead the shelf cannot give every week what one week could have.
Where a dish could simply take the place, the promise is broken.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.checking.limits import unhappy_beside, why_not_planned
from pantrymeals.checking.portions import batches_for
from pantrymeals.checking.shelf import first_thawed, number_of, opened, stood, supplied, used
from pantrymeals.checking.table import (
    barring_marks,
    eaters_of,
    is_for,
    kinds_of,
    occasions_of,
    portions_of,
    roles_of,
    weekday_of,
)
from pantrymeals.checking.variety import Eaten, all_eaten, days_between
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
    replaced = {p.dish for p in there}
    number = number_of(plan, meal.day)
    return (
        _fits_the_day(household, plan, dish, meal, replaced)
        and _fits_the_weeks(household, plan, dish, meal.day, replaced)
        and shelf_gives(household, dish, meal.meal, meal.day, lambda of: spare(household, plan, of, number))
    )


def _must_stay(household: Household, meal: PlannedMeal, planned: PlannedDish, dish: Dish) -> bool:
    """Whether what stands there was asked for, keeps a promise that the other would not, or is needed later."""
    own = household.dishes[planned.dish]
    feasts = [o.dish for o in occasions_of(household, meal.day) if o.dish]
    night = household.rules.fixed.get(weekday_of(meal.day)) if meal.meal == "supper" and not feasts else None
    keeps_night = night is not None and night in own.tags and night not in dish.tags
    keeps_week = any(tag in own.tags and tag not in dish.tags for tag in household.rules.at_least)
    keeps = (keeps_night or keeps_week) and dish.name not in feasts
    return planned.pinned or own.name in feasts or keeps or own.leaves is not None


def _fits_the_day(household: Household, plan: MenuPlan, dish: Dish, meal: PlannedMeal, replaced: set[str]) -> bool:
    """The day's minutes, no tag twice in a meal or a day, pairs."""
    rules = household.rules
    of_day = [
        (m, household.dishes[p.dish])
        for m in plan.meals
        if m.day == meal.day
        for p in m.dishes
        if not (m is meal and p.dish in replaced)
    ]
    limit = rules.hands_on_minutes.get(weekday_of(meal.day))
    minutes = dish.hands_on_minutes + sum(other.hands_on_minutes for _, other in of_day)
    if limit is not None and minutes > limit and not kinds_of(household, meal.day):
        return False
    for where, other in of_day:
        shared = dish.tags & other.tags
        if other.name == dish.name or (shared & rules.not_twice_a_day and not other.needs_left):
            return False
        if where is meal and (shared & rules.not_twice or unhappy_beside(dish, other) or unhappy_beside(other, dish)):
            return False
    return True


def _fits_the_weeks(household: Household, plan: MenuPlan, dish: Dish, day: date, replaced: set[str]) -> bool:
    """Days between, tags of seven days, and not two days running, with what was eaten before and comes after."""
    rules = household.rules
    others = [e for e in all_eaten(household, plan) if not (e.day == day and e.planned and e.dish.name in replaced)]
    least = days_between(household, dish)
    if any(e.dish.name == dish.name and abs((e.day - day).days) < max(1, least) for e in others):
        return False
    near = [e for e in others if abs((e.day - day).days) == 1 and e.dish.role == "main"]
    if dish.role == "main" and any(e.dish.tags & dish.tags & rules.not_running for e in near):
        return False
    return all(_room_in_seven_days(others, tag, most, day) for tag, most in rules.at_most.items() if tag in dish.tags)


def _room_in_seven_days(others: list[Eaten], tag: str, most: int, day: date) -> bool:
    days = [e.day for e in others if tag in e.dish.tags]
    for back in range(7):
        first = day - timedelta(days=back)
        if sum(first <= d < first + timedelta(days=7) for d in days) >= most:
            return False
    return True


def shelf_gives(
    household: Household, dish: Dish, meal: MealName, day: date, there: Callable[[Product], Fraction]
) -> bool:
    """Whether each use of a dish, and of its noted alternatives, finds an option that may be eaten and is there.

    there: what there is of a product (base measure).
    """
    batches = batches_for(household, dish, portions_of(household, meal, day))
    table = eaters_of(household, meal, day)
    served = [note for note in dish.instead if any(is_for(note, person, day) for person in table)]
    wanted = [(use, batches) for use in dish.uses] + [(use, 1) for note in served for use in note.uses]
    barred = barring_marks(household, dish, meal, day).keys()
    taken: dict[str, Fraction] = {}
    for use, times in wanted:
        for option in use.options:
            product = household.products[option.product]
            total = taken.get(product.name, Fraction(0)) + option.amount * times
            may = not why_not_planned(household, product, day)
            may = may and not barred & {mark.casefold() for mark in product.contents}
            if may and total <= there(product):
                taken[product.name] = total
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
