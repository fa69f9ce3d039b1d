"""Rules 8 and 9: fixed nights, tags wanted every week, and dishes an occasion asks for.

These rules are waived where no dish can keep them, so the checker decides on its own
whether one could have been cooked: see ``could_be_cooked``. A menu may also go without where every dish that could keep
the promise would need something changed on other days: see ``instead.could_take_a_place``; of occasions one of
more than ten days.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from fractions import Fraction
from functools import cache

from msgspec.structs import replace

from pantrymeals.checking.could_stand import fits_the_day
from pantrymeals.checking.days_after import occasion_after
from pantrymeals.checking.instead import could_take_a_place, shelf_gives
from pantrymeals.checking.limits import hands_have_the_minutes, meals_have_the_minutes
from pantrymeals.checking.shelf import (
    ZERO,
    day_of,
    first_thawed,
    fresh_each_morning,
    number_of,
    opened,
    opened_life,
    part_jars,
    stood,
    supplied,
    used,
)
from pantrymeals.checking.table import fixed_night, occasions_of, portions_of, roles_of
from pantrymeals.checking.variety import all_eaten, days_between
from pantrymeals.checking.words import at, day_words
from pantrymeals.plans.menu import MenuPlan, NotSettled, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household, MealName
from pantrymeals.words import weekday_name

SHORT_DAYS = 10
"""Days up to which an occasion's dish stands wherever the shelf gives it."""


class Mornings:
    """What the plan leaves of each product on each morning (base measure)."""

    def __init__(self, household: Household, plan: MenuPlan) -> None:
        self.household = household
        self.plan = plan
        self.left = cache(self._left)

    def _left(self, name: str) -> list[Fraction]:
        """Still there on each morning: shelf and arrivals less standing use and all earlier days' use.

        A frozen pack counts only from the day by which it can have thawed.
        """
        household, plan, product = self.household, self.plan, self.household.products[name]
        if product.fresh_days is not None:
            return fresh_each_morning(household, plan, product)
        held, standing = supplied(household, plan, product), stood(household, plan, product)
        takes = opened(plan, product) if product.whole else used(plan, name)
        morning = opened_life(household, plan, product).morning if product.whole else None
        loose_part = ZERO
        if morning is None:
            loose_part = sum((left for _, _, left in part_jars(household, plan, product)), ZERO)
        thawed = first_thawed(household, plan, product)
        out, taken = [], ZERO
        for number in range(plan.days):
            closed = max(ZERO, held[number] - standing[number] - taken)
            if morning is None:
                out.append(closed + loose_part)
            else:
                out.append(morning[number] + (closed if number >= thawed else ZERO))
            taken += takes[number]
        return out


def could_be_cooked(mornings: Mornings, dish: Dish, meal: MealName, day: date) -> bool:
    """Whether a dish could truly have been cooked for that meal from what the plan left that morning.

    Generous to the plan: it could not where it is out of season, kept for other days or tables, too long,
    barred to someone at table, made from a leaving, still within its days of an earlier cooking,
    or where one of its uses finds no option on the shelf, in its months and thawed. What other
    dishes of that day take is not counted against it; what earlier days took is.
    """
    household, plan = mornings.household, mornings.plan
    alone = PlannedMeal(
        day, meal, portions_of(household, meal, day), (PlannedDish(dish.role, dish.name, Fraction(1), ()),)
    )
    if dish.needs_left or not fits_the_day(household, dish, meal, day):
        return False
    by_itself = replace(plan, meals=(alone,))
    if any(hands_have_the_minutes(household, by_itself)) or any(meals_have_the_minutes(household, by_itself)):
        return False
    least = days_between(household, dish)
    for eaten in all_eaten(household, plan):
        if eaten.dish.name == dish.name and 0 < (day - eaten.day).days < least:
            return False
    own = any(o.dish == dish.name for o in occasions_of(household, day))
    if not own and occasion_after(household, plan, dish, day) is not None:
        return False
    number = number_of(plan, day)
    return shelf_gives(household, dish, meal, day, lambda product: mornings.left(product.name)[number])


def could_keep(mornings: Mornings, dish: Dish, meal: PlannedMeal) -> bool:
    """Whether a dish could have kept a promise at that meal; beyond ten days only with all else as it is."""
    household, plan = mornings.household, mornings.plan
    return could_be_cooked(mornings, dish, meal.meal, meal.day) and (
        plan.days <= SHORT_DAYS or could_take_a_place(household, plan, dish, meal)
    )


def is_not_settled(plan: MenuPlan, what: str, first: date, last: date) -> bool:
    """Whether a menu says of a promise of these days that time was up before it was settled."""
    return any(one.meal is None and (one.what, one.first, one.until) == (what, first, last) for one in plan.not_settled)


def fixed_nights_are_kept(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The supper's main carries the weekday's tag, unless no dish with it could be cooked.

    A main left open breaks nothing here; a dish that an occasion or the cook asked for by name
    goes before the fixed night.
    """
    mornings = Mornings(household, plan)
    for meal in plan.meals:
        tag = fixed_night(household, meal.meal, meal.day)
        for planned in meal.dishes if tag else ():
            own = household.dishes[planned.dish]
            if planned.role != "main" or planned.pinned or tag in own.tags:
                continue
            if is_not_settled(plan, tag or "", meal.day, meal.day):
                continue
            could = [
                dish.name
                for dish in household.dishes.values()
                if dish.role == "main"
                and tag in dish.tags
                and could_be_cooked(mornings, dish, meal.meal, meal.day)
                and could_take_a_place(household, plan, dish, meal)
            ]
            if could:
                yield (
                    f"{at(meal, planned)}: {weekday_name(meal.day)} is the night for '{tag}', and "
                    f"{' or '.join(sorted(could))} could be cooked"
                )


def _dishes_that_could(mornings: Mornings, tag: str, days: Iterable[date]) -> Iterator[tuple[PlannedMeal, Dish]]:
    """Meals of a week and mains of a tag that could take the place of what stands there."""
    household, plan = mornings.household, mornings.plan
    wanted = [d for d in household.dishes.values() if d.role == "main" and tag in d.tags]
    within = set(days)
    for meal in plan.meals:
        has_it = any(p.role == "main" and tag in household.dishes[p.dish].tags for p in meal.dishes)
        if meal.day in within and not has_it and "main" in roles_of(household, meal.meal, meal.day):
            for dish in wanted:
                if could_take_a_place(household, plan, dish, meal) and could_be_cooked(
                    mornings, dish, meal.meal, meal.day
                ):
                    yield meal, dish


def at_least_in_seven_days(household: Household, plan: MenuPlan) -> Iterator[str]:
    """In each full seven days from the first so many mains carry the tag, or no dish with it could take a place."""
    mornings = Mornings(household, plan)
    for tag, least in sorted(household.rules.at_least.items()):
        for start in range(0, plan.days - 6, 7):
            days = [day_of(plan, start + number) for number in range(7)]
            have = sum(
                planned.role == "main" and tag in household.dishes[planned.dish].tags
                for meal in plan.meals
                if meal.day in days
                for planned in meal.dishes
            )
            if is_not_settled(plan, tag, days[0], days[-1]):
                continue
            if have < least:
                for meal, dish in _dishes_that_could(mornings, tag, days):
                    yield (
                        f"{day_words(days[0])} to {day_words(days[-1])}: '{tag}' {have} times among the mains, "
                        f"at least {least} asked, and {dish.name} could stand at {meal.meal} on {day_words(meal.day)}"
                    )
                    break


def occasions_have_their_dish(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish that an occasion names stands at one of its meals that day, if it could be cooked."""
    mornings = Mornings(household, plan)
    for number in range(plan.days):
        day = plan.first + timedelta(days=number)
        for occasion in occasions_of(household, day):
            dish = household.dishes.get(occasion.dish)
            meals = [m for m in plan.meals if m.day == day and m.meal in occasion.meals]
            fitting = [m for m in meals if dish and dish.role in roles_of(household, m.meal, day)]
            if dish is None or not fitting or any(p.dish == dish.name for m in meals for p in m.dishes):
                continue
            if is_not_settled(plan, dish.name, day, day):
                continue
            if any(could_keep(mornings, dish, m) for m in fitting):
                yield f"{at(fitting[0])}: {occasion.name} asks for {dish.name}, which does not stand there"


def open_places_must_be(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Beyond ten days no dish could simply stand at a place left open, unless the menu says that it is not settled."""
    mornings = Mornings(household, plan)
    for meal in plan.meals if plan.days > SHORT_DAYS else ():
        for role in meal.open_roles:
            if NotSettled(meal.day, meal.day, role, meal.meal) in plan.not_settled:
                continue
            for dish in household.dishes.values():
                if dish.role == role and could_keep(mornings, dish, meal):
                    yield f"{at(meal)}: its {role} is left open, and {dish.name} could stand there"
                    break


def not_settled_is_left_open(household: Household, plan: MenuPlan) -> Iterator[str]:  # noqa: ARG001
    """Nothing is not settled of a short menu that is proven, and of places only those left open."""
    if plan.not_settled and plan.days <= SHORT_DAYS and plan.ended == "proven":
        yield f"{plan.not_settled[0].what}: not settled, in a menu of no more than ten days that is proven"
    left = {(meal.day, meal.meal, role) for meal in plan.meals for role in meal.open_roles}
    for one in plan.not_settled:
        if one.meal is not None and (one.first, one.meal, one.what) not in left:
            yield f"{day_words(one.first)}, {one.meal}: {one.what} is said not to be settled, and is not left open"


RULES = (
    at_least_in_seven_days,
    fixed_nights_are_kept,
    occasions_have_their_dish,
    open_places_must_be,
    not_settled_is_left_open,
)
