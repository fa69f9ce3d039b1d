"""Tables of what is asked once: a list as understood, a product's figures, dishes that fit, what takes a thing."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from pantrymeals.records import BatchDay, Dish, Household, Product
from pantrymeals.tables.shapes import Shape

if TYPE_CHECKING:
    import pandas as pd

    from pantrymeals.plans.dishes import DishBook, Taker, Takers
    from pantrymeals.plans.evening import CanCook, EatenByKind, EatenDay, EatenThen, KindEaten, Spared, Tonight, Worth
    from pantrymeals.plans.explained import Explained, Figure
    from pantrymeals.plans.first_count import FirstCount, LeftOut, Question, Understood
    from pantrymeals.plans.menu import ChosenUse
    from pantrymeals.plans.outlook import ForecastRow

UNDERSTOOD: Shape[Understood] = Shape(
    "first count",
    "a line that counts",
    "line (of the list), written, product, kind, size, count (of the size), put_up, place, load, source, note, guessed",
    line="number",
    guessed="guesses",
)

OPEN_LINES: Shape[Question | LeftOut] = Shape(
    "first count open lines",
    "a line that does not count, or not yet",
    "line (of the list), written, question, choices, left_out_for",
    line="number",
    question=lambda n: getattr(n, "asked", None),
    choices=lambda n: getattr(n, "choices", None),
    left_out_for=lambda n: getattr(n, "why", None),
)

FIGURES: Shape[tuple[Figure, Explained]] = Shape(
    "figures", "a figure of the product", "product, column, figure, source", product=lambda r: r[1].name, figure="said"
)

DISHES: Shape[tuple[Dish, DishBook]] = Shape(
    "dishes",
    "a dish that fits this larder",
    "dish, role, minutes (minutes), hands_on (minutes), eaten (times)",
    dish="name",
    hands_on="hands_on_minutes",
    eaten=lambda r: r[1].eaten.get(r[0].name, 0),
)

ONE_AWAY: Shape[tuple[str, str]] = Shape(
    "dishes one product away", "a dish that lacks one product", "dish, lacks", dish=lambda r: r[0], lacks=lambda r: r[1]
)

TAKERS: Shape[Taker] = Shape(
    "takers",
    "a dish that takes it",
    "dish, role, product, not_today_for, eaten (times), last_eaten",
    dish="dish.name",
    role="dish.role",
    product="option.product",
    not_today_for=lambda t: t.why_not or None,
    eaten=lambda t: t.eaten[0] if t.eaten else 0,
    last_eaten=lambda t: t.eaten[1] if t.eaten else None,
)

BATCH_DAYS: Shape[BatchDay] = Shape(
    "batch days that take it", "a batch day that takes it", "batch_day", batch_day="name"
)

CAN_COOK: Shape[tuple[CanCook, ChosenUse | None, Product | None]] = Shape(
    "tonight",
    "something that a dish that can be cooked today takes",
    "dish, role, minutes (minutes), hands_on (minutes), batches, product, amount (containers), size, place",
    dish="dish.name",
    minutes="dish.minutes",
    hands_on="dish.hands_on_minutes",
    product=lambda r: r[1] and r[1].product,
    amount=lambda r: r[2].containers(r[1].amount) if r[1] and r[2] else None,
    size=lambda r: r[2] and r[2].sizes[0].name,
    place=lambda r: r[0].places.get(r[1].product) if r[1] else None,
)

KINDS: Shape[KindEaten] = Shape(
    "every kind",
    "a product of the kinds asked after",
    "product, used (containers in the last 52 weeks, or in a year as stated), on_hand (containers), size",
    product="product.name",
    size=lambda k: k.product.sizes[0].name,
)

EATEN: Shape[tuple[EatenDay, str, str, tuple[str, ...]]] = Shape(
    "eaten",
    "a dish that the book has as eaten",
    "day, meal, dish, said, occasions",
    meal=lambda r: r[1],
    dish=lambda r: r[2],
    said=lambda r: r[3],
)

LEFT_THE_SHELF: Shape[tuple[str, Fraction]] = Shape(
    "left the shelf",
    "a product that left the shelf for the table where no dish is written down",
    "product, count (containers)",
    product=lambda r: r[0],
    count=lambda r: r[1],
)

SPARED: Shape[tuple[Spared, str, ForecastRow]] = Shape(
    "spared",
    "the forecast as it is, or with so many fewer",
    "product, size, fewer (of the size), most (of the size), answer, forecast, runs_out, mark",
    product="product.name",
    size="size.name",
    fewer="count",
    forecast=lambda r: r[1],
    runs_out=lambda r: r[2].leading().out,
    mark=lambda r: r[2].leading().mark,
)

WORTH: Shape[tuple[str, Fraction]] = Shape(
    "worth", "what was eaten, by how it came", "came, worth (money)", came=lambda r: r[0], worth=lambda r: r[1]
)

DEAREST: Shape[tuple[str, Fraction]] = Shape(
    "worth most",
    "a product that would have cost most",
    "product, worth (money)",
    product=lambda r: r[0],
    worth=lambda r: r[1],
)


def first_count(counted: FirstCount) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The lines that count; those that are asked about or left out."""
    return UNDERSTOOD.frame(counted.lines), OPEN_LINES.frame((*counted.questions, *counted.left_out))


def figures(explained: Explained) -> tuple[pd.DataFrame]:
    """The figures of one product, each with who says so."""
    return (FIGURES.frame((figure, explained) for figure in explained.figures),)


def dishes(book: DishBook) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The dishes that fit; those that lack one product."""
    away = ((dish, product) for product, names in book.one_away.items() for dish in names)
    return DISHES.frame((dish, book) for dish in book.fit), ONE_AWAY.frame(away)


def takers(found: Takers) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The dishes that take some products; the batch days that do."""
    return TAKERS.frame(found.dishes), BATCH_DAYS.frame(found.batch_days)


def can_cook(household: Household, found: Tonight) -> tuple[pd.DataFrame]:
    """What each dish that can be cooked today takes."""
    uses = ((each, use) for each in found.found for use in each.uses or (None,))
    return (CAN_COOK.frame((each, use, household.products[use.product] if use else None) for each, use in uses),)


def every_kind(found: EatenByKind) -> tuple[pd.DataFrame]:
    """What is eaten in a year of every kind of a thing."""
    return (KINDS.frame(found.kinds),)


def eaten(found: EatenThen) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The dishes of a time gone by; what left the shelf where none is written down."""
    rows = ((day, meal, dish, said) for day in found.days for meal, dishes in day.meals for dish, said in dishes)
    return EATEN.frame(rows), LEFT_THE_SHELF.frame(found.left)


def spared(found: Spared) -> tuple[pd.DataFrame]:
    """The forecast of a product as it is, and with so many fewer where so many are there."""
    rows = (("as it is", found.before), ("with fewer", found.after))
    return (SPARED.frame((found, name, row) for name, row in rows if row is not None),)


def worth(found: Worth) -> tuple[pd.DataFrame, pd.DataFrame]:
    """What was eaten at store prices, by how it came; and the dearest products."""
    return WORTH.frame(found.worth_usd.items()), DEAREST.frame(found.dearest)
