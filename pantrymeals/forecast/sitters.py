"""What sits: put up, and not eaten season after season. The one rule, asked by marks, `sitters`, notes and menus."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction

from pantrymeals.larder.on_hand import all_held, in_lots
from pantrymeals.larder.supply import stands
from pantrymeals.plans.book import BookYear
from pantrymeals.records import Household

TOO_FEW = 4
"""Fewer containers than this are a corner of a shelf, not a sitter."""
LEAST_WEEKS = 26
"""Half a book year: before that nothing is called a sitter."""
TOO_YOUNG = "Too young to tell what sits: that takes half a book year."


def put_up_here(household: Household) -> frozenset[str]:
    """Products with a day, a harvest or a written year of putting up of their own: a gift has none."""
    days = {name for name, product in household.products.items() if product.must_last_to is not None}
    harvests = {name for harvest in household.season.harvests for name in harvest.products}
    return frozenset(days | harvests | {year.product for year in household.season.years if year.put_up > 0})


def too_young_to_tell(years: Iterable[BookYear]) -> bool:
    """Whether no product has been in the book for half of a running book year."""
    return not any(year.weeks >= LEAST_WEEKS for year in years if not year.full)


def is_sitter(household: Household, running: BookYear | None, ours: Collection[str]) -> bool:
    """None used in half a book year or more; or one at most, none made, and no dish of ours takes it.

    running: a product's book year that is not over. ours: ``put_up_here``. What is all held is held, and nothing else.
    """
    if running is None or running.product not in ours or running.weeks < LEAST_WEEKS:
        return False
    name = running.product
    if in_house(household, name) < TOO_FEW or all_held(household, name):
        return False
    if running.used == 0:
        return running.carried_in > 0
    return running.used <= 1 and running.put_up == 0 and not reached_by_own(household, name)


def reached_by_own(household: Household, name: str) -> bool:
    """Some dish of the household's own book, or its standing use, takes the product."""
    if stands(household, name):
        return True
    own = (dish for dish in household.dishes.values() if dish.book == "household" and dish.needs_left is None)
    return any(option.product == name for dish in own for use in dish.uses for option in use.options)


def in_house(household: Household, name: str) -> Fraction:
    """Containers (first size) in every lot but the promised and the seed, held ones too."""
    return in_lots(household, name, {"", "held", "suspect"}) / household.products[name].sizes[0].content
