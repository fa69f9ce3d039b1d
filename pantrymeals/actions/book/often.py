"""What somebody takes most often outside the menu: the first things to be offered for a stroke."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.units import as_words

MOST = 12
_SINCE_DAYS = 120
"""A season back: in March nobody reaches for what was eaten in July."""


class Often(Struct, frozen=True):
    """One product in its container, as a stroke says it: '1 hp Raspberry jam', and how many are there now."""

    words: str
    product: str
    one: str
    there: str


def one_of(size: str) -> str:
    """'one hp', 'one 2-egg tub'; 'one' of a thing that is counted."""
    return "one" if size == "each" else f"one {size}"


def often_taken(pantry: Pantry, book: Book) -> tuple[Often, ...]:
    """What was taken most often by single strokes, of whole containers on the shelf; the most often first."""
    there: dict[tuple[str, str], Fraction] = {}
    for here in book.on_hand():
        if here.state == "":
            key = (here.lot.product, here.lot.size)
            there[key] = there.get(key, Fraction(0)) + here.count
    found: list[Often] = []
    for name, size in book.strokes(pantry.today - timedelta(days=_SINCE_DAYS)):
        product, count = pantry.product(name), there.get((name, size), Fraction(0))
        if product is not None and product.whole and count >= 1:
            found.append(Often(f"1 {size} {product.name}", product.name, one_of(size), as_words(count)))
    return tuple(found[:MOST])
