"""Rules 2 and 11: what a planned dish takes, and that nobody is served what they must not eat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from pantrymeals.checking.marks import marks_of, marks_of_dish
from pantrymeals.checking.table import barring_marks, eaters_of, is_for, marks_against
from pantrymeals.checking.words import at, list_of, planned_dishes
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.records import Dish, Household, Instead

Choice = tuple[str, Fraction]
"""A product and how much of it (base measure)."""


class ChosenOptions(Struct, frozen=True):
    """Which product each use of a dish, and each use of its alternatives, must have taken."""

    dish: tuple[str, ...]
    instead: tuple[tuple[Instead, str], ...]


def alternatives_served(household: Household, meal: PlannedMeal, dish: Dish) -> list[Instead]:
    """The noted alternatives that are served: someone each is for eats this meal."""
    table = eaters_of(household, meal.meal, meal.day)
    return [note for note in dish.instead if any(is_for(note, person, meal.day) for person in table)]


def _fit(asked: Sequence[Sequence[Choice]], left: Mapping[str, Fraction]) -> tuple[str, ...] | None:
    """One product for each asked use so that all of ``left`` is taken exactly; None when none fits."""
    if not asked:
        return None if any(left.values()) else ()
    for product, amount in asked[0]:
        if left.get(product, Fraction(0)) >= amount:
            rest = _fit(asked[1:], {**left, product: left[product] - amount})
            if rest is not None:
                return (product, *rest)
    return None


def _totals(planned: PlannedDish) -> dict[str, Fraction]:
    totals: dict[str, Fraction] = {}
    for use in planned.uses:
        totals[use.product] = totals.get(use.product, Fraction(0)) + use.amount
    return totals


def taken_by(household: Household, meal: PlannedMeal, planned: PlannedDish) -> ChosenOptions | None:
    """Which option each use took, worked out from the plan's totals alone; None when no choice gives them."""
    dish = household.dishes[planned.dish]
    asked = [[(o.product, o.amount * planned.batches) for o in use.options] for use in dish.uses]
    beside = [(note, use) for note in alternatives_served(household, meal, dish) for use in note.uses]
    asked += [[(o.product, o.amount) for o in use.options] for _, use in beside]
    products = _fit(asked, _totals(planned))
    if products is None:
        return None
    own = len(dish.uses)
    notes = tuple((note, product) for (note, _), product in zip(beside, products[own:], strict=True))
    return ChosenOptions(products[:own], notes)


def uses_are_the_dishs_own(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each use takes exactly one of its options for all batches; each alternative takes its own once."""
    for meal, planned in planned_dishes(plan):
        if taken_by(household, meal, planned) is not None:
            continue
        dish = household.dishes[planned.dish]
        served = alternatives_served(household, meal, dish)
        written = [" or ".join(o.as_written for o in use.options) for use in dish.uses]
        beside = [f"{n.what} for {n.whom}" for n in served]
        yield (
            f"{at(meal, planned)}: takes {list_of(household, _totals(planned))}; "
            f"{planned.batches} x ({'; '.join(written) or 'nothing'})"
            + (f" with {'; '.join(beside)}" if beside else "")
            + " is what it should take, one of each choice"
        )


def alternatives_are_named(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Someone who must not or will not eat the dish is told what is served instead."""
    for meal, planned in planned_dishes(plan):
        for note in alternatives_served(household, meal, household.dishes[planned.dish]):
            if not any(note.what in said for said in planned.instead):
                yield f"{at(meal, planned)}: does not say that {note.whom} has {note.what}"


def nobody_gets_what_they_must_not_eat(household: Household, plan: MenuPlan) -> Iterator[str]:
    """A mark of the dish or of a product it took bars it, unless an alternative is noted."""
    for meal, planned in planned_dishes(plan):
        dish = household.dishes[planned.dish]
        barred = barring_marks(household, dish, meal.meal, meal.day)
        taken = taken_by(household, meal, planned)
        products = set(taken.dish) if taken else {use.product for use in planned.uses}
        has = marks_of_dish(household, dish)
        for name in sorted(products):
            has |= dict.fromkeys(marks_of(household.products[name]), name)
        for mark in sorted(has.keys() & barred.keys()):
            yield f"{at(meal, planned)}: {has[mark]} has {mark}: not for {barred[mark]}"
        yield from _alternatives_suit(household, meal, planned, taken)


def _alternatives_suit(
    household: Household, meal: PlannedMeal, planned: PlannedDish, taken: ChosenOptions | None
) -> Iterator[str]:
    for note, product in taken.instead if taken else ():
        marks = marks_of(household.products[product])
        for person in eaters_of(household, meal.meal, meal.day):
            bad = marks & marks_against(person, meal.day) if is_for(note, person, meal.day) else set()
            for mark in sorted(bad):
                yield f"{at(meal, planned)}: {note.what} has {mark}: not for {person.name}"


RULES = (uses_are_the_dishs_own, alternatives_are_named, nobody_gets_what_they_must_not_eat)
