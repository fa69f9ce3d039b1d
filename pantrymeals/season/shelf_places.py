"""Jar shelves by place, as they stand once the crops are in: where a place would have to hold more than its row."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

from pantrymeals.forecast.sitters import in_house
from pantrymeals.plans.season import FittedSeason, PutUpLine, ShelfPlace
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion, first_content


def shelf_places(asked: SeasonQuestion, lines: Iterable[PutUpLine], fitted: FittedSeason) -> tuple[ShelfPlace, ...]:
    """Each place with jar rows, in the file's order. A product's jars stand where its newest lot does.

    Of what is put up: what is carried over, its reserve and the new ones; of all else, what is in the house now.
    """
    listed = {line.product: line for line in lines if line.way == "canner"}
    taken: dict[str, Fraction] = defaultdict(Fraction)
    for product in asked.household.products.values():
        width = asked.facts.jar_width_mm.get(product.sizes[0].name)
        if product.kind != "jar" or not width:
            continue
        line = listed.get(product.name)
        if line is None:
            stands = in_house(asked.household, product.name)
        else:
            new = fitted.loads.get(line.product, line.loads) * line.load
            stands = line.carried_over + product.reserve / first_content(product) + new
        taken[_place_of(asked, product)] += stands * width / 1000
    return tuple(
        ShelfPlace(place, mm / 1000, taken[place]) for place, mm in asked.facts.shelf_mm_at.items() if mm and place
    )


def _place_of(asked: SeasonQuestion, product: Product) -> str:
    """Where most of its newest sound lot stands; '' where none does."""
    lots = [lot for lot in asked.household.lots if lot.product == product.name and not lot.state]
    newest = max((lot.put_up.toordinal() if lot.put_up else 0 for lot in lots), default=0)
    ours = [lot for lot in lots if (lot.put_up.toordinal() if lot.put_up else 0) == newest]
    return max(ours, key=lambda lot: lot.count).where if ours else ""
