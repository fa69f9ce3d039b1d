"""What of a menu is still to be pulled: nothing is brought up, or written down, twice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.book.book import Book
from pantrymeals.book.lines import LEFT_OUT, PULLED
from pantrymeals.plans.menu import BegunUse, DayUse, MenuPlan, PlannedMeal
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.words import short_span

_DayOf = tuple[date, str]
"""A day, and a product used on it."""


Menu = TypeVar("Menu", MenuToPull, MenuPlan)


class ToPull(Struct, Generic[Menu], frozen=True):
    """A menu without what was pulled before, and the days on which all or part of it was."""

    plan: Menu
    again: tuple[date, ...]

    def up_from(self, first: date) -> tuple[date | None, str]:
        """The last of those days from ``first`` on, before which nothing is planned anew; and all of them in words."""
        days = [day for day in self.again if day >= first]
        return (days[-1], short_span(days[0], days[-1])) if days else (None, "")


def still_to_pull(book: Book, plan: Menu, products: frozenset[str]) -> ToPull[Menu]:
    """The menu without the dishes, uses and openings that the book has pulled already.

    A dish is known by its day and meal; so of a menu that was changed since, what is new is pulled. What was left
    out of a pull is pulled when it is among ``products``, those asked for by name. A container opened by an
    earlier pull is a part jar now, and later uses are taken from that.
    """
    before = book.pulled(plan.first, plan.last)
    meals, again = [], set()
    for meal in plan.meals:
        left = _dishes_left(meal, before, products)
        meals.append(left)
        if left != meal:
            again.add(meal.day)
    part = _part_left(plan.meals, meals)
    openings, begun = [], [b for one in plan.begun if (b := replace(one, uses=_left(one.uses, part, one.product))).uses]
    for opening in plan.openings:
        uses = _left(opening.uses, part, opening.product)
        if part.get((opening.day, opening.product), 1) == 1:
            openings.append(replace(opening, uses=uses))
        elif uses:
            begun.append(BegunUse(opening.product, opening.size, opening.out, uses))
    later = tuple(x for x in plan.for_later if (x.lifted, PULLED, x.product) not in before)
    again |= {x.lifted for x in plan.for_later if x not in later}
    todo = replace(plan, meals=tuple(meals), openings=tuple(openings), begun=_together(begun), for_later=later)
    parts = ((f, 1 if f.work else part.get((f.day, f.product), 1)) for f in todo.fetched)
    todo = replace(todo, fetched=tuple(replace(f, count=f.count * left) for f, left in parts if left))
    return ToPull(todo, tuple(sorted(again)))


def _dishes_left(meal: PlannedMeal, before: frozenset[tuple[date, str, str]], products: frozenset[str]) -> PlannedMeal:
    dishes = []
    for dish in meal.dishes:
        served = (meal.day, meal.meal, dish.dish) in before
        uses = tuple(
            use
            for use in dish.uses
            if (meal.day, PULLED, use.product) not in before
            and (not served or (use.product in products and (meal.day, LEFT_OUT, use.product) in before))
        )
        if not served or uses:
            dishes.append(replace(dish, uses=uses))
    return replace(meal, dishes=tuple(dishes))


def _part_left(all_meals: Iterable[PlannedMeal], left: Iterable[PlannedMeal]) -> Mapping[_DayOf, Fraction]:
    """Of what each day takes of a product, the part that is still to be pulled: 1 where nothing was."""
    wanted, still = _by_day(all_meals), _by_day(left)
    return {key: still.get(key, Fraction(0)) / amount for key, amount in wanted.items() if amount}


def _by_day(meals: Iterable[PlannedMeal]) -> dict[_DayOf, Fraction]:
    out: dict[_DayOf, Fraction] = {}
    for meal in meals:
        for dish in meal.dishes:
            for use in dish.uses:
                out[meal.day, use.product] = out.get((meal.day, use.product), Fraction(0)) + use.amount
    return out


def _left(uses: tuple[DayUse, ...], part: Mapping[_DayOf, Fraction], product: str) -> tuple[DayUse, ...]:
    cut = ((day, amount * part.get((day, product), Fraction(1))) for day, amount in uses)
    return tuple((day, amount) for day, amount in cut if amount)


def _together(begun: list[BegunUse]) -> tuple[BegunUse, ...]:
    """Part jars of one product, size and day as one, as the book keeps them."""
    out: dict[tuple[str, str, date], BegunUse] = {}
    for one in begun:
        key = (one.product, one.size, one.opened)
        out[key] = replace(one, uses=(*out[key].uses, *one.uses)) if key in out else one
    return tuple(out.values())
