"""Rules 1 and 6: who is fed, in how many batches, and every role filled once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from math import ceil

from pantrymeals.checking.table import portions_of, roles_of
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan, PlannedMeal
from pantrymeals.records import Dish, Household, Product
from pantrymeals.units import as_words


def batches_for(household: Household, dish: Dish, portions: Fraction) -> Fraction:
    """The fewest batches that feed so many portions, each stretched as far as the house allows.

    A step is half a batch, and below a whole one also a third, unless containers were then cut too fine.
    Whole ones where the dish says so or leaves something.
    """
    feeds = dish.serves * (1 + household.rules.stretch)
    steps = [Fraction(n, 2) for n in range(1, 2 * ceil(portions / feeds) + 1)] + [Fraction(1, 3), Fraction(2, 3)]
    for many in sorted(steps):
        if many * feeds >= portions and (many.denominator == 1 or _may_be_parted(household, dish, many)):
            return many
    return Fraction(max(1, ceil(portions / feeds)))


def _may_be_parted(household: Household, dish: Dish, many: Fraction) -> bool:
    """What is taken whole, and packs that thaw, are cut no finer than the recipe does; the rest to quarters at most."""
    if dish.whole_batches or (dish.leaves and not dish.leaves.over):
        return False
    some_whole = False
    for option in (o for use in dish.uses for o in use.options):
        product = household.products[option.product]
        if not product.whole and product.measure != "each":
            continue
        own = _cut(product, option.amount)
        finest = own if own == 1 or product.thaw_days > 0 else max(4, own)
        if _cut(product, many * option.amount) > finest:
            return False
        some_whole |= own == 1
    return many.denominator == 2 or some_whole


def _cut(product: Product, amount: Fraction) -> int:
    """Into how many parts a container (of the size that suits best), or a loose piece, is cut for an amount."""
    if not product.whole:
        return amount.denominator
    return min((amount / size.content).denominator for size in product.sizes)


def every_day_has_its_meals(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Meals lie within the plan's days, none twice; a meal that is planned at all is planned every day."""
    seen = Counter((meal.day, meal.meal) for meal in plan.meals)
    last = plan.last
    for (day, name), times in sorted(seen.items()):
        if times > 1:
            yield f"{day_words(day)}, {name}: planned {times} times"
        if not plan.first <= day <= last:
            span = f"{day_words(plan.first)} to {day_words(last)}"
            yield f"{day_words(day)}, {name}: lies outside the menu's days, {span}"
    for name in sorted({meal.meal for meal in plan.meals}):
        for number in range(plan.days):
            day = plan.first + timedelta(days=number)
            if roles_of(household, name, day) and (day, name) not in seen:
                yield f"{day_words(day)}, {name}: not planned"


def portions_are_counted(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A meal's portions are those of its eaters who are not away, and of its guests."""
    for meal in plan.meals:
        right = portions_of(household, meal.meal, meal.day)
        if meal.portions != right:
            yield f"{at(meal)}: planned for {as_words(meal.portions)} portions, {as_words(right)} sit down"


def batches_feed_the_table(household: Household, plan: MenuPlan) -> Iterator[str]:
    """As many batches as the portions need, and no more."""
    for meal, planned in planned_dishes(plan):
        dish = household.dishes[planned.dish]
        portions = portions_of(household, meal.meal, meal.day)
        right = batches_for(household, dish, portions)
        if planned.batches != right:
            yield (
                f"{at(meal, planned)}: cooked {as_words(planned.batches)} times, "
                f"{as_words(portions)} portions need {as_words(right)} (it serves {as_words(dish.serves)})"
            )


def _covered(household: Household, meal: PlannedMeal) -> set[str]:
    return {role for planned in meal.dishes for role in household.dishes[planned.dish].covers}


def every_role_is_filled_once(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each role has exactly one dish, or is covered by another dish of the meal, or is listed as open."""
    for meal in plan.meals:
        roles = roles_of(household, meal.meal, meal.day)
        filled = Counter(planned.role for planned in meal.dishes)
        covered = _covered(household, meal)
        for role, wanted in Counter(roles).items():
            left_open = role in meal.open_roles
            if role in covered:
                if filled[role]:
                    yield f"{at(meal)}: the {role} is covered by another dish, yet one stands in it"
                elif left_open:
                    yield f"{at(meal)}: the {role} is covered by another dish, yet called open"
                elif role not in meal.covered_roles:
                    yield f"{at(meal)}: the {role} is covered by another dish, yet not listed so"
            elif role in meal.covered_roles:
                yield f"{at(meal)}: the {role} is called covered, but no dish there covers it"
            elif left_open and filled[role]:
                yield f"{at(meal)}: the {role} is called open, yet a dish stands in it"
            elif not left_open and filled[role] != wanted:
                yield f"{at(meal)}: the {role} has {filled[role] or 'no'} dishes, not {wanted}"
        yield from _roles_not_of_the_meal(meal, set(roles))


def _roles_not_of_the_meal(meal: PlannedMeal, roles: set[str]) -> Iterator[str]:
    for planned in meal.dishes:
        if planned.role not in roles:
            yield f"{at(meal, planned)}: this meal has no {planned.role} to fill"
    for role in [*meal.open_roles, *meal.covered_roles]:
        if role not in roles:
            yield f"{at(meal)}: lists a {role}, which this meal does not have"


def dishes_stand_in_their_role(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A dish fills the role it is written for, and stands only once in a meal."""
    for meal, planned in planned_dishes(plan):
        own = household.dishes[planned.dish].role
        if planned.role != own:
            yield f"{at(meal, planned)}: stands as {planned.role}, but is a {own}"
    for meal in plan.meals:
        for name, times in Counter(planned.dish for planned in meal.dishes).items():
            if times > 1:
                yield f"{at(meal)}: {name} stands {times} times"


def open_roles_are_counted(household: Household, plan: MenuPlan) -> Iterator[str]:  # noqa: ARG001
    """The number of open roles that the plan states is the number its meals list."""
    listed = sum(len(meal.open_roles) for meal in plan.meals)
    if plan.open_roles != listed:
        yield f"the plan states {plan.open_roles} open roles, its meals list {listed}"


RULES = (
    every_day_has_its_meals,
    portions_are_counted,
    batches_feed_the_table,
    dishes_stand_in_their_role,
    every_role_is_filled_once,
    open_roles_are_counted,
)
