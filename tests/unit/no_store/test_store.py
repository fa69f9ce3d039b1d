"""What comes from a store, and what a household without one still gets."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from pantrymeals.no_store.store import allowed_products, kept_out, with_more, without_store
from pantrymeals.records import NoStoreRules
from tests.kitchens import tiny


def kept_out_with(note):
    return kept_out(tiny.kitchen(arrivals=[tiny.arrival("Beans", "1 qt", tiny.MONDAY, note)]), tiny.MONDAY, 1)


@pytest.mark.parametrize("note", ["co-op order", "barter and co-op", "bought", "the May ORDER", "from the shop"])
def test_what_is_bought_comes_from_a_store(note: str) -> None:
    assert kept_out_with(note)


@pytest.mark.parametrize("note", ["", "by barter", "new crop, hoped for", "hens back in lay", "stored in sand"])
def test_what_farm_and_neighbours_bring_does_not(note: str) -> None:
    assert not kept_out_with(note)


def test_only_store_goods_of_these_days_stay_out() -> None:
    arrivals = (
        tiny.arrival("Beans", "1 qt", tiny.day(-1), "order"),
        tiny.arrival("Beans", "2 qt", tiny.day(0), "order"),
        tiny.arrival("Carrots", "1 lb", tiny.day(0), "by barter"),
        tiny.arrival("Beans", "3 qt", tiny.day(40), "order"),
    )
    household = tiny.kitchen(arrivals=arrivals)
    left = without_store(household, tiny.MONDAY).arrivals
    assert left == (arrivals[0], arrivals[2])
    assert kept_out(household, tiny.MONDAY, 30) == (arrivals[1],)


def test_an_allowed_product_comes_in_though_it_is_bought() -> None:
    household = tiny.kitchen(
        products=[tiny.jar("Beans", also_called=("pole beans",)), tiny.loose("Carrots")],
        arrivals=(tiny.arrival("Beans", "2 qt", tiny.MONDAY, "order"),),
        no_store=NoStoreRules(allowed=("Pole  Beans", "yeast", "anything Odo needs")),
    )
    assert allowed_products(household) == (("Beans",), ("yeast", "anything Odo needs"))
    assert without_store(household, tiny.MONDAY).arrivals == household.arrivals
    stern = replace(household, no_store=NoStoreRules())
    assert without_store(stern, tiny.MONDAY).arrivals == ()


def test_one_more_is_one_of_the_first_size() -> None:
    household = with_more(tiny.kitchen(), "Beans", 2, tiny.MONDAY)
    assert household.arrivals[-1].amount == tiny.qty("2 qt")
