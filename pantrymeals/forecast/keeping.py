"""How long things keep, by kind and store, from the published table; and who spoils whom."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from msgspec import Struct

from pantrymeals.records import Household, Product


class KeepingRow(Struct, frozen=True):
    """One published figure. low, high: months, or days where ``unit`` is 'day'; None: no figure given."""

    item: str
    stored: str
    low: float | None
    high: float | None
    unit: str
    note: str
    source: str
    from_memory: bool


class Keeping(Struct, frozen=True):
    """How long a product keeps at its best: published months and their source, or the household's own."""

    low_months: float
    high_months: float
    item: str
    source: str
    from_memory: bool = False


def keeping_rows(rows: Iterable[Mapping[str, str]]) -> tuple[KeepingRow, ...]:
    """The rows of ``keeping.csv``."""
    return tuple(
        KeepingRow(
            row["item"],
            row["class"],
            float(row["life_low"]) if row["life_low"] else None,
            float(row["life_high"]) if row["life_high"] else None,
            row["life_unit"],
            row["note"],
            row["source"],
            row["how_obtained"] == "from memory",
        )
        for row in rows
    )


_JAR = ("jar", "home-canned food, all")
_ITEMS: tuple[tuple[str, tuple[str, ...], tuple[str, str]], ...] = (
    # kind of store; words of the family or name; class and item of the table. The first that fits is taken.
    ("freezer", ("ground",), ("frozen", "ground meat")),
    ("freezer", ("sausage",), ("frozen", "sausage, raw")),
    ("freezer", ("bacon",), ("frozen", "bacon")),
    ("freezer", ("ham",), ("frozen", "cured or processed meat")),
    ("freezer", ("chop",), ("frozen", "chops")),
    ("freezer", ("stock", "broth", "bones"), ("frozen", "meat broth and gravy")),
    ("freezer", ("soup", "stew pot"), ("frozen", "soups and stews")),
    ("freezer", ("venison", "game"), ("frozen", "venison and wild game, uncooked")),
    ("freezer", ("whole chicken", "bird", "turkey"), ("frozen", "chicken or turkey, whole")),
    ("freezer", ("chicken", "turkey", "duck", "goose"), ("frozen", "chicken or turkey, pieces")),
    ("freezer", ("trout", "fish", "salmon", "perch"), ("frozen", "fish")),
    ("freezer", ("roast", "joint", "shoulder", "leg"), ("frozen", "beef, pork, lamb, veal roasts")),
    ("freezer", ("beef", "pork", "lamb", "veal"), ("frozen", "beef, pork, lamb, veal steaks")),
    ("freezer", ("butter",), ("frozen", "butter")),
    ("freezer", ("bread", "loaf", "loaves"), ("frozen", "bread, baked")),
    ("freezer", ("apple",), ("frozen", "apples, frozen")),
    (
        "freezer",
        (
            "pea", "broccoli", "greens", "chard", "kale", "zucchini", "pepper", "corn", "bean", "spinach",
            "rhubarb", "raspberry", "blackberry", "blueberry", "gooseberry", "strawberry", "cherry", "peach",
            "currant",
        ),
        ("frozen", "fruits and vegetables, home-frozen"),
    ),
    ("jar", ("applesauce", "apple pie", "apple slices"), ("jar", "canned apples, applesauce, apricots")),
    ("jar", (), _JAR),
    ("cellar", ("beet",), ("cellar crop", "beets")),
    ("cellar", ("cabbage",), ("cellar crop", "cabbage")),
    ("cellar", ("carrot",), ("cellar crop", "carrots")),
    ("cellar", ("garlic",), ("cellar crop", "garlic")),
    ("cellar", ("onion",), ("cellar crop", "onions")),
    ("cellar", ("parsnip",), ("cellar crop", "parsnips")),
    ("cellar", ("sweet potato",), ("cellar crop", "sweet potatoes")),
    ("cellar", ("potato",), ("cellar crop", "potatoes")),
    ("cellar", ("pumpkin",), ("cellar crop", "pumpkins")),
    ("cellar", ("rutabaga", "swede"), ("cellar crop", "rutabagas")),
    ("cellar", ("turnip",), ("cellar crop", "turnips")),
    ("cellar", ("celery", "celeriac"), ("cellar crop", "celery")),
    ("cellar", ("acorn", "thin-skinned"), ("cellar crop", "winter squash, acorn")),
    ("cellar", ("butternut",), ("cellar crop", "winter squash, butternut")),
    ("cellar", ("buttercup", "turban"), ("cellar crop", "winter squash, buttercup or turban")),
    ("cellar", ("blue keeper", "hubbard"), ("cellar crop", "winter squash, hubbard")),
    ("cellar", ("squash",), ("cellar crop", "winter squash, all kinds")),
    ("cellar", ("apple",), ("cellar crop", "apples, fall and winter kinds")),
    ("cellar", ("pear",), ("cellar crop", "pears")),
    ("dry", ("brown rice",), ("dry", "brown rice")),
    ("dry", ("rice",), ("dry, ordinary package", "white rice")),
    ("dry", ("noodle", "pasta"), ("dry", "rice and dried pasta")),
    ("dry", ("whole wheat", "buckwheat", "rye"), ("dry, ordinary package", "flour, whole wheat")),
    ("dry", ("flour",), ("dry, ordinary package", "flour, all-purpose")),
    ("dry", ("oats",), ("dry, ordinary package", "rolled oats")),
    ("dry", ("cornmeal",), ("dry, ordinary package", "cornmeal, whole-grain")),
    ("dry", ("barley",), ("dry", "barley")),
    ("dry", ("dry bean", "dry pea", "beans, dry", "split pea"), ("dry, ordinary package", "dry beans")),
    ("dry", ("sugar",), ("dry, ordinary package", "sugar, granulated")),
    ("dry", ("honey",), ("dry, ordinary package", "honey")),
)  # fmt: skip


def names_any(text: str, words: Iterable[str]) -> bool:
    """Whether a text names one of the words, in the singular or plural: 'goose' is not in 'gooseberries'."""
    return any(_word(word).search(text) for word in words)


@cache
def _word(word: str) -> re.Pattern[str]:
    ending = f"{re.escape(word[:-1])}(?:y|ies)" if word.endswith("y") else f"{re.escape(word)}(?:s|es)?"
    return re.compile(rf"\b{ending}\b")


def published_keeping(product: Product, rows: Sequence[KeepingRow]) -> Keeping | None:
    """The table's figure for a product by its store, family and name; None where it has none.

    Of several rows for one item the careful one is taken, read figures before remembered ones.
    """
    text = text_of(product)
    for kind, words, (stored, item) in _ITEMS:
        if product.kind == kind and (not words or names_any(text, words)):
            return _from_table(rows, stored, item)
    return None


def _from_table(rows: Sequence[KeepingRow], stored: str, item: str) -> Keeping | None:
    fitting = [r for r in rows if r.stored == stored and r.item == item and r.unit == "month" and r.low is not None]
    if not fitting:
        return None
    best = min(fitting, key=lambda r: (r.from_memory, r.high or r.low or 0))
    low = best.low or 0.0
    return Keeping(low, best.high or low, best.item, best.source, best.from_memory)


def keeping_of(product: Product, rows: Sequence[KeepingRow]) -> Keeping | None:
    """How long it keeps: what the household wrote down, else the published range.

    Of a jar put up at home the shorter of the two counts: past the published year it is over its best year.
    """
    if product.keeps_months is not None:
        months = float(product.keeps_months)
        published = published_keeping(product, rows) if product.kind == "jar" else None
        if published is not None and published.high_months < months:
            return published
        return Keeping(months, months, product.name, "the household's own figure (keeps_months)")
    return published_keeping(product, rows)


_GIVES_OFF = ("apple", "pear")
_SUFFERS = (
    "carrot", "cabbage", "onion", "potato", "beet", "parsnip", "rutabaga", "turnip", "leek", "squash", "celery",
    "celeriac",
)  # fmt: skip


class Neighbours(Struct, frozen=True):
    """Things in one place that do each other no good; number of the caution in the list of cautions."""

    where: str
    giver: str
    suffers: tuple[str, ...]
    caution: str


def bad_neighbours(household: Household) -> list[Neighbours]:
    """Apples or pears in one place with roots, cabbage or onions; onions in one place with potatoes."""
    by_place: dict[str, list[Product]] = {}
    for lot in household.lots:
        product = household.products[lot.product]
        if product.kind == "cellar" and lot.count > 0 and lot.where and product not in by_place.get(lot.where, []):
            by_place.setdefault(lot.where, []).append(product)
    out = []
    for where, products in by_place.items():
        out += _fruit_with_roots(where, products)
        onions = [p.name for p in products if names_any(text_of(p), ("onion",))]
        potatoes = [p.name for p in products if names_any(text_of(p), ("potato",))]
        if onions and potatoes:
            out.append(Neighbours(where, ", ".join(onions), tuple(potatoes), "onions and potatoes"))
    return out


def _fruit_with_roots(where: str, products: Sequence[Product]) -> list[Neighbours]:
    fruit = [p.name for p in products if names_any(text_of(p), _GIVES_OFF)]
    roots = tuple(p.name for p in products if names_any(text_of(p), _SUFFERS) and p.name not in fruit)
    return [Neighbours(where, ", ".join(fruit), roots, "C21")] if fruit and roots else []


def text_of(product: Product) -> str:
    """What words are looked for in: its family and its name."""
    return f"{product.family} {product.name}".lower()
