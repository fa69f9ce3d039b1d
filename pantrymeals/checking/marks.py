"""The marks that a product brings to every dish of it: those written, and those that a plain name tells.

Written apart from what reads products.csv, and narrower: a mark that the reader forgets is found here. Salt is told by
a cure or brine; the rest where a name is nothing but the food itself and how it is kept.
"""

from __future__ import annotations

from pantrymeals.records import Dish, Household, Product

_SALTED = frozenset({
    "sausage", "sausages", "bacon", "ham", "hams", "salami", "chorizo", "jerky", "anchovy", "anchovies", "caper",
    "capers", "olive", "olives", "feta", "miso", "sauerkraut", "kraut", "kimchi", "dills", "salted",
})  # fmt: skip
_SALTED_PAIRS = (
    "soy sauce", "fish sauce", "dill cucumber", "dill pickle", "dilly beans", "corned beef", "corned pork", "in brine",
    "salt pork", "salt fish", "salt cod", "salt beef",
)  # fmt: skip
_PLAIN = ("unsalted", "salt free", "no salt", "no added salt", "low salt", "without salt", "less salt", "low sodium")

_FOODS = {
    "milk": {"milk", "buttermilk", "butter", "cream", "cheese", "yogurt", "ghee", "ricotta", "feta", "whey"},
    "egg": {"egg", "eggs", "mayonnaise"},
    "wheat": {"wheat", "flour", "bread", "noodles", "pasta", "macaroni", "couscous", "semolina"},
    "tree nut": {"walnuts", "almonds", "hazelnuts", "pecans", "cashews", "pistachios"},
    "peanut": {"peanut", "peanuts"},
    "fish": {"fish", "trout", "salmon", "tuna", "cod", "herring", "anchovies", "sardines", "mackerel"},
    "shellfish": {"shrimp", "shrimps", "prawns", "crab", "lobster", "clams", "oysters", "mussels"},
    "soy": {"soy", "tofu", "miso"},
    "sesame": {"sesame", "tahini"},
    "honey": {"honey"},
    "pork": {"pork", "bacon", "ham", "lard"},
}
_AS_KEPT = frozenset({
    "frozen", "fresh", "canned", "dried", "dry", "whole", "half", "beaten", "raw", "cooked", "smoked", "black", "white",
    "strong", "plain", "soft", "hard", "grated", "goat", "sheep", "cow", "hen", "sour", "sliced", "ground", "in",
    "broth", "loaves", "chops", "shoulder", "chunks", "pieces", "fillets",
})  # fmt: skip


def marks_of_dish(household: Household, dish: Dish, before: frozenset[str] = frozenset()) -> dict[str, str]:
    """A dish's own marks, and those of whatever it is made from the leavings of, each with the dish that has it."""
    marks = {mark.casefold(): dish.name for mark in dish.contents}
    for maker in household.dishes.values():
        left = maker.leaves.name if maker.leaves else None
        if dish.needs_left is None or left != dish.needs_left or maker.name in before:
            continue
        takes = {option.product for use in maker.uses for option in use.options}
        of_maker = marks_of_dish(household, maker, before | {dish.name, maker.name})
        for mark in (*of_maker, *(m for name in takes for m in marks_of(household.products[name]))):
            marks.setdefault(mark, f"what {maker.name} leaves")
    return marks


def marks_of(product: Product) -> frozenset[str]:
    """Marks of a product in small letters, with those of plain names, and 'salty' for what is cured or brined."""
    marks = frozenset(mark.casefold() for mark in product.contents)
    name = _spaced(product.name)
    both = f"{name} {_spaced(product.family)}"
    words = set(name.split())
    marks |= {mark for mark, food in _FOODS.items() if words & food and words <= food | _AS_KEPT}
    if any(f" {plain} " in f" {name} " for plain in _PLAIN):
        return marks
    salted = bool(_SALTED & set(both.replace("olive oil", "oil").replace("oil olive", "oil").split())) or any(
        f" {pair}" in f" {both}" for pair in _SALTED_PAIRS
    )
    return marks | {"salty"} if salted else marks


def _spaced(words: str) -> str:
    return " ".join("".join(c if c.isalpha() else " " for c in words.casefold()).split())
