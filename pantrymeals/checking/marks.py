"""The marks that a product brings to every dish of it: those written, and salt where its name tells of a cure or brine.

Written apart from what reads products.csv: a mark that the reader forgets is found here.
"""

from __future__ import annotations

from pantrymeals.records import Product

_SALTED = frozenset({
    "sausage", "sausages", "bacon", "ham", "hams", "salami", "chorizo", "jerky", "anchovy", "anchovies", "caper",
    "capers", "olive", "olives", "feta", "miso", "sauerkraut", "kraut", "kimchi", "dills", "salted",
})  # fmt: skip
_SALTED_PAIRS = (
    "soy sauce", "fish sauce", "dill cucumber", "dill pickle", "dilly beans", "corned beef", "corned pork", "in brine",
    "salt pork", "salt fish", "salt cod", "salt beef",
)  # fmt: skip
_PLAIN = ("unsalted", "salt free", "no salt", "no added salt", "low salt", "without salt", "less salt", "low sodium")


def marks_of(product: Product) -> frozenset[str]:
    """Marks of a product in small letters, 'salty' among them for what is cured or brined."""
    marks = frozenset(mark.casefold() for mark in product.contents)
    name = _spaced(product.name)
    both = f"{name} {_spaced(product.family)}"
    if any(f" {plain} " in f" {name} " for plain in _PLAIN):
        return marks
    salted = bool(_SALTED & set(both.split())) or any(f" {pair}" in f" {both}" for pair in _SALTED_PAIRS)
    return marks | {"salty"} if salted else marks


def _spaced(words: str) -> str:
    return " ".join("".join(c if c.isalpha() else " " for c in words.casefold()).split())
