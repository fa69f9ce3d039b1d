"""What batch days say they make, held against the published yields of what goes into the jars."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from pantrymeals.errors import Mistake
from pantrymeals.jar_doubts import why_untested
from pantrymeals.records import BatchDay, Household, Option, Product
from pantrymeals.season.yields import Tables, raw_pounds
from pantrymeals.units import UNITS, as_words

MOST_OVER = Fraction(5, 4)
"""A kitchen's own figure may be a quarter over the table's best: common practice, no published source."""


def makes_too_much(household: Household, tables: Tables) -> Iterator[Mistake]:
    """A mistake, with its file and line, for each batch day that makes more than its goods can fill by the tables.

    Only what the tables speak of, from goods of its own family whose weight is known, is judged.
    """
    for batch in household.batch_days.values():
        for made in batch.makes:
            found = _too_much(household, tables, batch, made)
            if found:
                right = "mend what it uses or makes, by what your own batches gave"
                yield Mistake(batch.place, found, right)


def what_is_untested(household: Household) -> Iterator[Mistake]:
    """A mistake for each batch day that makes, and each day on which there comes in, what no process is tested for."""
    right = "freeze it instead, or write that it is bought (C4)"
    for batch in household.batch_days.values():
        for made in batch.makes:
            if why := why_untested(household.products[made.product]):
                yield Mistake(batch.place, f"{batch.name}: no tested process for {made.product} ({why})", right)
    for came in household.arrivals:
        if why := why_untested(household.products[came.product], came.note):
            yield Mistake(came.place, f"no tested process for {came.product} ({why})", right)


def _too_much(household: Household, tables: Tables, batch: BatchDay, made: Option) -> str:
    product = household.products[made.product]
    size = product.sizes[0]
    jars = made.amount / size.content
    one = raw_pounds(tables, tables.of(product), 1, size.name)
    pounds = _pounds_in(household, batch, product)
    if one is None or not pounds or pounds * MOST_OVER >= one.low * jars:
        return ""
    fill = as_words(Fraction(int(pounds / one.low * 10), 10))
    return (
        f"{batch.name} makes {as_words(jars)} {size.name} {product.name} of {as_words(Fraction(round(pounds)))} lb, "
        f"and the tables fill {fill} {size.name} of that ({one.source})"
    )


def _pounds_in(household: Household, batch: BatchDay, made: Product) -> Fraction:
    """Pounds of goods of the made product's family; nothing where the weight of one is not known."""
    grams = Fraction(0)
    for use in batch.uses:
        option = use.options[0]
        product = household.products[option.product]
        if product.family != made.family or not product.family:
            continue
        each = Fraction(1) if product.measure == "g" else product.grams_per_base
        if each is None:
            return Fraction(0)
        grams += option.amount * each
    return grams / UNITS["lb"][1]
