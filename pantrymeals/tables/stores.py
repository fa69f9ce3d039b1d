"""A household's own tables: what it keeps, its lots, what is on hand, and what its book says came and went.

Counts are exact Fractions. 'containers' are containers of the product's first size (pounds, heads ... for loose
goods), which stands in the column ``size`` beside them unless a table has another there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from pantrymeals.larder.book_history import lines_of
from pantrymeals.larder.on_hand import on_shelf
from pantrymeals.plans.book import BookYear, ShelfDay
from pantrymeals.records import Household, Lot, Movement, Product
from pantrymeals.tables.shapes import Shape, frame_of

if TYPE_CHECKING:
    import pandas as pd

CONTAINERS = "containers"


PRODUCTS: Shape[Product] = Shape(
    "products",
    "a product",
    """product, family, kind, acid, size, content (ml, g or pieces in one of the size), measure, sizes, whole
    (yes: opened whole), opened_days (days), thaw_days (days), keeps_months (months), must_last_to, eat_by,
    deadline, reserve (containers), price (money a container), on_menus (yes: planned), note""",
    product="name",
    size=lambda p: p.sizes[0].name,
    content=lambda p: p.sizes[0].content,
    sizes=lambda p: tuple(size.name for size in p.sizes),
    must_last_to=lambda p: None if p.deadline_kind == "keeps to" else p.must_last_to,
    eat_by=lambda p: p.must_last_to if p.deadline_kind == "keeps to" else None,
    deadline="deadline_kind",
    reserve=lambda p: p.containers(p.reserve),
    price="price_usd",
)


LOTS: Shape[tuple[Lot, Product]] = Shape(
    "lots",
    "a lot at one place",
    "product, size, count (of the size), in_first_size (containers), put_up, place, load, source, state, note",
    in_first_size=lambda r: _in_first_size(r[1], r[0].size, r[0].count),
    put_up=lambda r: str(r[0].put_up.year) if r[0].put_up and r[0].year_only else r[0].put_up,
    place="where",
    source="tested_source",
)

MOVEMENTS: Shape[tuple[Movement, Product]] = Shape(
    "movements",
    "a line of the book",
    """day, product, size, count (of the size, + in, - out), in_first_size (containers, + in, - out), reason, lot
    (its number in the book), place, note""",
    in_first_size=lambda r: _in_first_size(r[1], r[0].size, r[0].count),
    lot=lambda r: r[0].lot or None,
    place="where",
)

SEASONS: Shape[BookYear] = Shape(
    "seasons",
    "a product in one book year",
    """product, season (year it began), carried_in (containers), put_up (containers), given (containers), lost
    (containers), used (containers), carried_out (containers), full (yes: the whole year), weeks (that the
    figures speak for)""",
    season="year",
)

ON_HAND = {
    "product": "",
    "size": "",
    "on_the_shelf": CONTAINERS,
    "reserve": "containers of those on the shelf",
    "to_plan": "containers on the shelf above the reserve",
    "held": CONTAINERS,
    "suspect": CONTAINERS,
    "promised": CONTAINERS,
    "seed": CONTAINERS,
    "part_jars": CONTAINERS,
}
"""What is on hand by product: the columns and units of ``on_hand``."""

USE_BY_WEEK = {"week": "its Monday", "product": "", "size": "", "used": CONTAINERS, "lost": CONTAINERS}
"""What the book says went, by week: the columns and units of ``use_by_week``."""


def with_size(frame: pd.DataFrame, household: Household) -> pd.DataFrame:
    """A table of counts with each product's first size, in which they are, as a column after the product."""
    sizes = {name: product.sizes[0].name for name, product in household.products.items()}
    after = list(frame.columns).index("product") + 1
    frame.insert(after, "size", frame["product"].map(sizes).astype(object))
    units = list(frame.attrs["units"].items())
    frame.attrs["units"] = dict([*units[:after], ("size", ""), *units[after:]])
    return frame


def products(household: Household) -> pd.DataFrame:
    """Every product of products.csv, in its order."""
    return PRODUCTS.frame(household.products.values())


def lots(household: Household) -> pd.DataFrame:
    """Every lot, held and promised ones too."""
    return LOTS.frame((lot, household.products[lot.product]) for lot in household.lots)


def movements(household: Household, book: Iterable[Movement]) -> pd.DataFrame:
    """Every line of the book that still counts; those of products no longer kept are left out."""
    return MOVEMENTS.frame(_known(household, book))


def seasons(years: Iterable[BookYear]) -> pd.DataFrame:
    """Every product's book years: carried in + put up - given - lost - used = carried out."""
    return SEASONS.frame(years)


def on_hand(household: Household) -> pd.DataFrame:
    """What there is of every product, by the state of its lots; what part jars hold beside it."""
    by_state = _sums(lots(household), "product", "state")
    above_reserve = on_shelf(household)
    rows = []
    for name, product in household.products.items():
        part = sum((jar.left for jar in household.part_jars if jar.product == name), Fraction(0))
        states = [by_state.get((name, state), Fraction(0)) for state in ("held", "suspect", "promised", "seed")]
        free, above = by_state.get((name, ""), Fraction(0)), product.containers(above_reserve[name])
        rows.append(
            [name, product.sizes[0].name, free, free - above, above, *states, product.containers(part)]
        )  # fmt: skip
    return frame_of("on hand", ON_HAND, rows)


SHELF: Shape[ShelfDay] = Shape(
    "shelf",
    "a day on which the book says that something came or went",
    "day, there (containers, at its end), came (containers put up, brought in or bought)",
)


def shelf(days: Iterable[ShelfDay]) -> pd.DataFrame:
    """What stood on the shelf through the years of the book."""
    return SHELF.frame(days)


def use_by_week(household: Household, book: Iterable[Movement]) -> pd.DataFrame:
    """What the book says was used and lost of every product, week by week; weeks without either are left out.

    As ``larder.book_history`` reads it: what a count finds missing was used, or lost, in the week of the count.
    """
    lines = frame_of(
        "lines",
        ("week", "product", "sort", "in_first_size"),
        (
            (line.day - timedelta(days=line.day.weekday()), name, line.sort, -line.amount)
            for name, own in lines_of(household.products, book).items()
            for line in own
            if line.sort in ("used", "lost")
        ),
    )
    taken = _sums(lines, "week", "product", "sort")
    zero = Fraction(0)
    rows = [
        (
            week,
            name,
            household.products[name].sizes[0].name,
            *(taken.get((week, name, s), zero) for s in ("used", "lost")),
        )
        for week, name in sorted({(week, name) for week, name, _ in taken})
    ]
    return frame_of("used by week", USE_BY_WEEK, (row for row in rows if row[3] or row[4]))


def _sums(frame: pd.DataFrame, *by: str) -> dict[tuple[Any, ...], Fraction]:
    """The exact sum of ``in_first_size`` for each combination of some other columns."""
    groups = frame.groupby(list(by), sort=False)["in_first_size"]
    return {key: sum(counts, Fraction(0)) for key, counts in groups}


def _in_first_size(product: Product, size: str, count: Fraction) -> Fraction:
    """So many of one size in containers of the first; a size no longer kept counts as the first."""
    return product.containers(count * product.content(size))


def _known(household: Household, book: Iterable[Movement]) -> Iterator[tuple[Movement, Product]]:
    for line in book:
        product = household.products.get(line.product)
        if product is not None:
            yield line, product
