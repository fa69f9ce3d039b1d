"""How a product is put up in this kitchen: its way, its load, kitchen hours, and the freezer room that it takes."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion, first_content
from pantrymeals.season.loads import JARS_A_LOAD
from pantrymeals.season_facts import Canner

Way = Literal["canner", "freezer", "other"]

POUNDS_AT_ONCE = 5
"""What is weighed in pounds is planned in steps of so many."""

LITRES_A_KG = Fraction(3, 2)
"""Freezer room of a kilogram of meat or bread, packed. Common practice, no published source."""


def way_of(product: Product) -> Way:
    """How it is kept: jars go through a canner, packs into the freezer, the rest into bin or sack."""
    if product.kind == "jar":
        return "canner"
    return "freezer" if product.kind == "freezer" else "other"


def canner_of(asked: SeasonQuestion, product: Product) -> Canner | None:
    """The household's canner for that product: low-acid food goes in the pressure canner only."""
    if product.kind != "jar":
        return None
    kind = "pressure" if product.acid in {"low", ""} else "boiling"
    return next((c for c in asked.facts.canners if c.kind == kind), None)


def load_of(asked: SeasonQuestion, product: Product) -> int:
    """Containers to a load of it: by the household's canner, else the ordinary; a batch of freezer packs."""
    if product.kind == "jar":
        size, canner = product.sizes[0].name, canner_of(asked, product)
        if canner is not None and size in canner.holds:
            return canner.holds[size]
        return JARS_A_LOAD.get(size, JARS_A_LOAD["qt"])
    if frozen_here(product):
        return asked.facts.freeze_batch
    if product.sizes[0].name == "lb":
        return POUNDS_AT_ONCE
    return 1


_ANIMALS = (
    "bacon", "beef", "bird", "chicken", "deer", "duck", "fish", "game", "goat meat", "goose", "ham", "hen", "hog",
    "lamb", "liver", "mutton", "pig", "pork", "poultry", "rabbit", "sausage", "trout", "turkey", "veal", "venison",
)  # fmt: skip
"""How the families of what is wrapped where it is cut begin."""


def frozen_here(product: Product) -> bool:
    """Whether it is made ready for the freezer in the kitchen, batch by batch: meat and fish are wrapped where cut."""
    return product.kind == "freezer" and (product.measure == "ml" or not product.family.startswith(_ANIMALS))


def dried_here(product: Product) -> bool:
    """Whether it is dried in the kitchen, by its name: 'Dried apples'. Beans dry on the plant."""
    return product.kind == "dry" and any(word in {"dried", "dehydrated"} for word in product.name.casefold().split())


def hours_of(asked: SeasonQuestion, product: Product) -> tuple[Fraction, Fraction]:
    """Kitchen hours of a day's first load and each next: canning, freezing and drying."""
    canner = canner_of(asked, product)
    if canner is not None:
        return canner.first_load_hours, canner.next_load_hours
    if product.kind == "jar":
        return Fraction(2), Fraction(3, 2)  # common practice, no published source
    if frozen_here(product):
        return asked.facts.freeze_hours, asked.facts.freeze_hours
    if dried_here(product):
        each = asked.facts.dry_hours / asked.facts.dry_batch  # a dryer is filled with whatever there is
        return each, each
    return Fraction(0), Fraction(0)


def litres_of(product: Product) -> Fraction:
    """Freezer litres of one container of the first size."""
    content = first_content(product)
    if product.measure == "ml":
        return content / 1000
    grams = content if product.measure == "g" else content * (product.grams_per_base or Fraction(500))
    return grams / 1000 * LITRES_A_KG
