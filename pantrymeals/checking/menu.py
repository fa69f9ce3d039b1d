"""Judges a whole menu: every house rule re-computed from the records and the plan alone.

The rules are those numbered in DEVELOPERS.md, 'What the rules mean, exactly'. One function
keeps one rule, and says each breach in a cook's words. Nothing here knows how a menu was found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pantrymeals.checking import (
    batch_days,
    cost,
    days_after,
    evenness,
    for_later,
    limits,
    nights,
    openings,
    pace,
    portions,
    proof,
    shelf,
    uses,
    variety,
)
from pantrymeals.checking.words import at, day_words, planned_dishes
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household

Rule = Callable[[Household, MenuPlan], Iterator[str]]

RULES: tuple[Rule, ...] = (
    *portions.RULES,
    *uses.RULES,
    *limits.RULES,
    *shelf.RULES,
    *openings.RULES,
    *variety.RULES,
    *nights.RULES,
    *batch_days.RULES,
    *evenness.RULES,
    *proof.RULES,
    *pace.RULES,
    *cost.RULES,
    *days_after.RULES,
    *for_later.RULES,
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
    for later in plan.for_later:
        product = household.products.get(later.product)
        if later.dish not in household.dishes or product is None or product.size(later.size) is None:
            yield f"{day_words(later.night)}: {later.size} {later.product} for {later.dish}, which is not kept here"
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
