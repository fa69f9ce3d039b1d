"""Judges a whole menu: every house rule re-computed from the records and the plan alone.

The rules are those numbered in DEVELOPERS.md, 'What the rules mean, exactly'. One function
keeps one rule, and says each breach in a cook's words. Nothing here knows how a menu was found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pantrymeals.checking import batch_days, evenness, limits, nights, portions, proof, shelf, uses, variety
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household

Rule = Callable[[Household, MenuPlan], Iterator[str]]

RULES: tuple[Rule, ...] = (
    portions.every_day_has_its_meals,
    portions.portions_are_counted,
    portions.batches_feed_the_table,
    portions.dishes_stand_in_their_role,
    portions.every_role_is_filled_once,
    portions.open_roles_are_counted,
    uses.uses_are_the_dishs_own,
    uses.alternatives_are_named,
    uses.nobody_gets_what_they_must_not_eat,
    limits.products_are_in_their_time,
    limits.dishes_are_in_season,
    limits.dishes_have_their_weekday,
    limits.tins_can_be_carried,
    limits.feast_and_crew_dishes_wait,
    limits.hands_have_the_minutes,
    limits.no_dish_takes_too_long,
    limits.dishes_go_together,
    limits.leavings_are_there,
    shelf.shelf_is_never_overdrawn,
    shelf.sizes_are_on_the_shelf,
    shelf.openings_can_be_made,
    shelf.opened_is_enough,
    shelf.waste_is_told,
    variety.repeats_keep_their_distance,
    variety.not_at_two_meals_of_a_day,
    variety.at_most_in_seven_days,
    variety.not_on_days_running,
    variety.not_twice_in_a_meal,
    variety.not_twice_in_a_day,
    nights.at_least_in_seven_days,
    nights.fixed_nights_are_kept,
    nights.occasions_have_their_dish,
    batch_days.batch_days_have_their_time,
    batch_days.batch_days_take_their_own,
    batch_days.batch_products_may_be_taken,
    batch_days.batch_days_keep_the_hours,
    batch_days.batch_days_leave_the_meals_theirs,
    batch_days.jars_stand_empty,
    evenness.shares_are_even_shares,
    evenness.every_stored_product_used_has_its_share,
    proof.gap_is_as_stated,
    proof.pace_is_a_pace,
)


def all_names_are_known(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Every dish, product and size that the plan names is the household's."""
    meals = {roles.meal for roles in household.meals}
    for meal in plan.meals:
        if meal.meal not in meals:
            yield f"{at(meal)}: this household has no {meal.meal}"
    for meal, planned in planned_dishes(plan):
        if planned.dish not in household.dishes:
            yield f"{at(meal, planned)}: no such dish in the recipes"
        for use in planned.uses:
            if use.product not in household.products:
                yield f"{at(meal, planned)}: takes {use.product}, which is no product of this household"
    for opening in plan.openings:
        product = household.products.get(opening.product)
        if product is None or product.size(opening.size) is None:
            yield f"{day_words(opening.day)}: opens {opening.size} {opening.product}, which is not kept here"
    for name in {row.product for row in plan.shares} | {waste.product for waste in plan.waste}:
        if name not in household.products:
            yield f"{name}: no product of this household"
    yield from batch_days.unknown_names(household, plan)


def broken_rules(household: Household, plan: MenuPlan) -> list[str]:
    """Say what a menu gets wrong, knowing nothing of how it was found; empty when it keeps every rule.

    A plan that names what the household does not have cannot be judged further: then only
    those names are told.
    """
    strangers = sorted(all_names_are_known(household, plan))
    if strangers:
        return strangers
    return [message for rule in RULES for message in rule(household, plan)]
