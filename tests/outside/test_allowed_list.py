"""The smallest allowed list against brute force: every list of products, every handful of containers, tried.

Source of the truth: ``larder_by_hand``, which tries every menu of a tiny kitchen.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from itertools import product as every
from math import ceil

import pytest

from pantrymeals.no_store.allowed import ListWanted, smallest_list, what_standing_lacks
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.no_store.staples import staple_rows
from pantrymeals.records import Household
from tests.kitchens import tiny
from tests.outside.larder_by_hand import longest_by_trying, random_kitchen, standing_lacks, with_bought

DAYS = 5
FEW_DAYS = 3
MOST_BOUGHT = 2 * FEW_DAYS
"""No dish takes more than two containers of one product."""


def asked(household: Household, days: int, by_work: bool = False) -> ListWanted:
    rows = staple_rows(household, tiny.MONDAY, days, days)
    return ListWanted(household, tiny.MONDAY, days, what_standing_lacks(rows), False, SearchTime(30.0, by_work=by_work))


def lacks(household: Household, days: int) -> dict[str, int]:
    """Containers that standing use lacks, by hand."""
    out = {}
    for name, product in household.products.items():
        short = standing_lacks(household, days, name)
        if short:
            out[name] = ceil(short / product.sizes[0].content)
    return out


def fewest_by_trying(household: Household) -> int | None:
    """How few things do, letting each in freely."""
    needed = set(lacks(household, DAYS))
    for size in range(len(household.products) + 1):
        for chosen in combinations(household.products, size):
            if needed <= set(chosen) and longest_by_trying(household, DAYS, chosen) == DAYS:
                return size
    return None


def least_money_by_trying(household: Household) -> Fraction | None:
    """How little money does, whole containers bought on the first day; cheapest tried first."""
    base = lacks(household, FEW_DAYS)
    names = list(household.products)
    prices = [household.products[name].price_usd or Fraction(0) for name in names]
    baskets = [
        (sum((price * count for price, count in zip(prices, counts, strict=True)), Fraction(0)), counts)
        for counts in every(range(MOST_BOUGHT + 1), repeat=len(names))
    ]
    for cost, counts in sorted(baskets):
        bought = dict(zip(names, counts, strict=True))
        enough = all(bought[name] >= count for name, count in base.items())
        if enough and longest_by_trying(with_bought(household, bought), FEW_DAYS) == FEW_DAYS:
            return cost
    return None


@pytest.mark.parametrize("seed", range(100, 112))
def test_fewest_things_are_as_few_as_brute_force_finds(seed: int) -> None:
    household = random_kitchen(seed)
    found = smallest_list(asked(household, DAYS, seed % 2 == 1), "fewest things")
    truth = fewest_by_trying(household)
    assert (len(found.items) if found.reached else None) == truth
    assert found.proven


@pytest.mark.parametrize("seed", range(100, 108))
def test_least_money_is_as_little_as_brute_force_finds(seed: int) -> None:
    household = random_kitchen(seed)
    found = smallest_list(asked(household, FEW_DAYS, seed % 2 == 1), "least money")
    truth = least_money_by_trying(household)
    assert (found.cost_usd if found.reached else None) == truth


@pytest.mark.parametrize("seed", range(100, 110))
def test_what_is_on_the_list_does_reach_the_days(seed: int) -> None:
    household = random_kitchen(seed)
    for aim in ("fewest things", "least money"):
        found = smallest_list(asked(household, DAYS, seed % 2 == 1), aim)  # type: ignore[arg-type]
        if found.reached:
            bought = {item.product: int(item.count) for item in found.items}
            assert longest_by_trying(with_bought(household, bought), DAYS) == DAYS
