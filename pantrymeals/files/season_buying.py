"""What of season.yaml is bought or chosen: goods beside the crop, seed, and whose need counts where two differ."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from pantrymeals.files import values
from pantrymeals.files.amounts import amount_of
from pantrymeals.files.gathering import Wrong, shown
from pantrymeals.files.season_fields import ZERO, SeasonFields, in_either, number_in, number_of
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.season_facts import ChosenNeed, JarGood, SeedOrder
from pantrymeals.units import METRES_A_FOOT


def jar_goods(season: SeasonFields) -> Iterator[JarGood]:
    """'{of: Sugar, each: 1/2 lb, products: [Plum jam]}': what each jar takes beside the crop."""
    for fields in season.items("takes"):
        if not fields.need("of", "each", "products"):
            continue
        taken = season.named(fields.text("of"), lambda wrong, right, at=fields: at.say("of", wrong, right))  # type: ignore[misc]
        products = tuple(season.products(fields, "products"))
        if taken is None:
            continue
        each = fields.read("each", lambda text, of=taken: amount_of(of, text), ZERO)  # type: ignore[misc]
        if each and products:
            yield JarGood(taken.name, each, products)


def seed_orders(season: SeasonFields) -> Iterator[SeedOrder]:
    """'{crop: beans, sows_feet: 100, price: 4.50, by: 02-15}': what a packet sows, and when it is wanted."""
    for fields in season.items("seed"):
        crop = season.crop(fields, known_only=True)
        if not fields.has("sows_feet") and not fields.has("sows_metres"):
            fields.say("sows_feet", "it is not said how much row a packet sows", "write sows_feet: 100")
            continue
        feet = in_either(fields, "sows_feet", "sows_metres", METRES_A_FOOT)
        price = number_of(fields, "price") if fields.has("price") else None
        by = fields.read("by", values.yearly_day, None) if fields.has("by") else None
        if crop and feet:
            season.once("seed", crop, "crop", fields)
            yield SeedOrder(crop, feet, price, by)


def chosen_needs(season: SeasonFields) -> Iterator[ChosenNeed]:
    """'{product: Apple juice, by: menus}' or '{product: Kale, a_year: 12}': what the household counts with."""
    for fields in season.items("needs"):
        if not fields.need("product"):
            continue
        product = season.product(fields)
        if fields.has("by") == fields.has("a_year"):
            fields.say("product", "a need is by book, by menus, or so many a year", "write 'by: menus' or 'a_year: 12'")
            continue
        if product is None:
            continue
        season.once("needs", product.name, "product", fields)
        if fields.has("a_year"):
            yield ChosenNeed(product.name, "a year", number_of(fields, "a_year"))
        elif fields.text("by") == "book":
            yield ChosenNeed(product.name, "book")
        elif fields.text("by") == "menus":
            yield ChosenNeed(product.name, "menus")
        else:
            fields.say("by", f"{shown(fields.text('by'))} is nothing to count by", "write book or menus")


def each_gives(season: SeasonFields, fields: Fields, products: tuple[str, ...]) -> dict[str, Fraction]:
    """What one animal brings of each product of its harvest, in containers of the first size."""
    out: dict[str, Fraction] = {}
    for name, node in fields.pairs("each_gives", "{Sausage: 37, Liver: 4}"):
        place = name.place
        found = season.named(name.text, lambda wrong, right, place=place: season.gathering.say(place, wrong, right))  # type: ignore[misc]
        count = number_in(node, season.gathering)
        if found is not None and found.name not in products:
            right = f"add it to this harvest's products: [{', '.join([*products, found.name])}]"
            season.gathering.say(place, f"{found.name} is no product of this harvest", right)
        elif found is not None and count:
            out[found.name] = count
    return out


def lost_once_in(season: SeasonFields) -> tuple[int, int]:
    """One year in so many in which a freezer, and the garden, is lost; 0 where nothing is written."""
    fields = season.part("lost", ("freezer", "garden", "note"))
    freezer, garden = (fields.read(key, _years, 0) if fields.has(key) else 0 for key in ("freezer", "garden"))
    return freezer, garden


def _years(text: str) -> int:
    years = values.number(text)
    if years.denominator != 1 or years < 2:
        raise Wrong(f"{shown(text)} is no number of years", "write 20 for one year in twenty")
    return int(years)
