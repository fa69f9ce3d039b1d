"""Products as they are named in a sentence: 'early red potatoes', '18 heads of cabbage'."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.records import Product
from pantrymeals.units import as_words, unit_named

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""Our own names: the machine's language must not change a sentence."""

LONG_UNITS = {
    "qt": "quart", "pt": "pint", "hp": "half-pint", "half-gal": "half-gallon", "gal": "gallon",
    "lb": "pound", "oz": "ounce", "cup": "cup", "kg": "kilo", "l": "litre",
}  # fmt: skip

AFTER_THE_NAME = ("in ", "on ", "of ", "with ", "no ", "without ")
"""What follows a comma in a product's name and still follows it in speech: 'carrots in sand'."""

PIECES = ("bird", "piece", "each")
"""Sizes that are the thing itself: 'three whole chickens', not 'three birds of whole chicken'."""


def short_date(day: date) -> str:
    """'15 Feb'."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def spoken(product: Product) -> str:
    """'early red potatoes' for 'Potatoes, early red'; a name that only says its size loses it."""
    name = product.name[:1].lower() + product.name[1:]
    head, comma, tail = name.partition(", ")
    if not comma:
        return name
    if tail in {size.name for size in product.sizes} | {_plural(size.name) for size in product.sizes}:
        return head
    if tail.startswith(AFTER_THE_NAME):
        return f"{head}, {tail}" if tail.startswith("no ") else f"{head} {tail}"
    return f"{one(tail)} {head}"


def one(name: str) -> str:
    """'long keeper' of 'long keepers': before another noun, one stands for many."""
    return name[:-1] if name.endswith("s") and not name.endswith(("ss", "us")) else name


def verb(name: str, many: str) -> str:
    """'keep' for potatoes, 'keeps' for cabbage."""
    first = name.split(" in ")[0]
    return many if first.endswith("s") and not first.endswith(("ss", "us")) else many + "s"


def counted(product: Product, number: int) -> str:
    """'18 heads of cabbage', '19 tubs of beaten eggs', '54 quarts of green beans', '9 beef roasts'."""
    size, name = product.sizes[0].name, spoken(product)
    amount = as_words(Fraction(number))
    if size in PIECES:
        return f"{amount} {name if number == 1 or name.endswith(('s', 'squash')) else _plural(name)}"
    box = LONG_UNITS.get(size, size) if unit_named(size) is not None else _box(size)
    return f"{amount} {box if number == 1 else _plural(box)} of {name}"


def _box(size: str) -> str:
    """The container alone: 'tub' of '2-egg tub', 'pack' of 'pack of 6', 'head'."""
    return size.split(" of ")[0].split(" ")[-1]


def _plural(name: str) -> str:
    if name.endswith("f"):
        return name[:-1] + "ves"
    return name + ("es" if name.endswith(("s", "x", "ch", "sh")) else "s")
