"""Jar shelves and freezers by place, as they stand once the crops are in: where one would have to hold too much."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from pantrymeals.forecast.sitters import in_house
from pantrymeals.plans.season import FittedSeason, PutUpLine, ShelfPlace
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion, first_content
from pantrymeals.season.kitchen_work import litres_of


def shelf_places(asked: SeasonQuestion, lines: Iterable[PutUpLine], fitted: FittedSeason) -> tuple[ShelfPlace, ...]:
    """Each place with jar rows, then each freezer, in the file's order. A product stands where its newest lot does.

    Of what is put up: what is carried over, its reserve and the new ones; of all else, what is in the house now. A
    freezer has beside that whatever fills it today.
    """
    listed = {line.product: line for line in lines}
    taken: dict[str, Fraction] = defaultdict(Fraction)
    for product in asked.household.products.values():
        width = asked.facts.jar_width_mm.get(product.sizes[0].name)
        if product.kind == "jar" and width:
            stands = _stands(asked, product, listed.get(product.name), fitted)
            taken[_place_of(asked, product)] += stands * width / 1000
    shelves = [
        ShelfPlace(place, mm / 1000, taken[place]) for place, mm in asked.facts.shelf_mm_at.items() if mm and place
    ]
    return (*shelves, *_freezers(asked, listed, fitted))


def _freezers(asked: SeasonQuestion, listed: Mapping[str, PutUpLine], fitted: FittedSeason) -> Iterator[ShelfPlace]:
    """Each freezer in litres; and what is to be frozen of which nothing says where, unless there is one alone."""
    places = [freezer.place for freezer in asked.facts.freezers]
    more: dict[str, Fraction] = defaultdict(Fraction)
    for product in asked.household.products.values():
        if product.kind == "freezer" and product.name in listed:
            place = places[0] if len(places) == 1 else _place_of(asked, product)
            stands = _stands(asked, product, listed[product.name], fitted) - in_house(asked.household, product.name)
            more[place if place in places else ""] += stands * litres_of(product)
    for freezer in asked.facts.freezers:
        yield ShelfPlace(freezer.place, freezer.litres, freezer.full + more[freezer.place], "litres", freezer.name)
    if places and more[""] > 0:
        yield ShelfPlace("", Fraction(0), more[""], "litres")


def _stands(asked: SeasonQuestion, product: Product, line: PutUpLine | None, fitted: FittedSeason) -> Fraction:
    """Containers that stand there then."""
    if line is None:
        return in_house(asked.household, product.name)
    new = fitted.loads.get(line.product, line.loads) * line.load
    return line.carried_over + product.reserve / first_content(product) + new


def _place_of(asked: SeasonQuestion, product: Product) -> str:
    """Where most of its newest sound lot stands; '' where none does."""
    lots = [lot for lot in asked.household.lots if lot.product == product.name and not lot.state]
    newest = max((lot.put_up.toordinal() if lot.put_up else 0 for lot in lots), default=0)
    ours = [lot for lot in lots if (lot.put_up.toordinal() if lot.put_up else 0) == newest]
    return max(ours, key=lambda lot: lot.count).where if ours else ""
