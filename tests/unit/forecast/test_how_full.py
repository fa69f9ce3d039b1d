"""48 hours for 'full' alone; what is opened frozen goes back frozen; low-acid jars go to nobody's animals."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from pantrymeals.forecast.freezer_off import fullness_of
from pantrymeals.forecast.keeping import KeepingRow, keeping_of
from pantrymeals.jar_doubts import low_acid_jar
from pantrymeals.larder.opened_life import goes_back_frozen
from pantrymeals.records import StorePlace
from tests.unit.book.kitchen import product


@pytest.mark.parametrize(
    ("note", "full"),
    [
        ("full", "full"), ("full of meat", "full"), ("half full", "half"), ("nearly full", "half"),
        ("three quarters full", "half"), ("a quarter full", "less"), ("never full", "less"), ("not full", "less"),
        ("nearly empty", "less"), ("less than half full", "less"), ("1/4 full", "less"), ("empty", "less"),
        ("chest, in the shed", ""), ("", ""), ("50 % full", "half"), ("10% full", "less"),
        ("100 per cent full", "full"), ("far from full", ""), ("one shelf full", ""), ("full in autumn", ""),
        ("often full", ""), ("full once a year", ""),
        ("chock-full", "full"), ("in the shed; full", "full"), ("full to the brim", "full"), ("always full", "full"),
        ("three-quarters full", "half"), ("seldom full", "less"), ("half empty", "less"), ("not nearly full", "less"),
    ],
)  # fmt: skip
def test_only_full_is_full(note: str, full: str) -> None:
    assert fullness_of(StorePlace("F1", "chest", "freezer", note=note)) == full


def test_an_opened_bag_goes_back_frozen_unless_it_thaws_or_has_a_short_clock() -> None:
    bag = product("Raspberries", "qt bag = 1 qt", kind="freezer", opened_days=60)
    assert goes_back_frozen(bag)
    assert not goes_back_frozen(replace(bag, thaw_days=1))
    assert not goes_back_frozen(replace(bag, opened_days=5))
    assert not goes_back_frozen(replace(bag, kind="jar"))


def test_the_careful_figure_counts_for_a_jar_and_between_two_rows() -> None:
    def row(high: float) -> KeepingRow:
        return KeepingRow("home-canned food, all", "jar", 12, high, "month", "", "published", False)

    jar = product("Green beans", keeps_months=18)
    found = keeping_of(jar, [row(18), row(12)])
    assert found is not None
    assert (found.high_months, found.source) == (12, "published")
    own = keeping_of(replace(jar, keeps_months=6), [row(12)])
    assert own is not None
    assert own.high_months == 6, "a household that is more careful is believed"


def test_hens_and_heap_have_one_rule() -> None:
    assert low_acid_jar(product("Beets, plain", acid="low"))
    assert low_acid_jar(product("Unlabelled, amber"))
    assert not low_acid_jar(product("Applesauce", acid="high"))
    assert not low_acid_jar(product("Beets, in sand", kind="cellar", acid="low"))
