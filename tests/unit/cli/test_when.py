"""A time gone by, as it is said; days counted on a calendar by hand."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.actions.when import when_meant
from pantrymeals.errors import NotUnderstood
from pantrymeals.records import Household, Occasion
from tests.kitchens.tiny import kitchen

SATURDAY = date(2026, 1, 17)
FEASTS = (
    Occasion(date(2026, 4, 5), date(2026, 4, 5), "Easter dinner"),
    Occasion(date(2025, 11, 15), date(2025, 11, 15), "harvest supper"),
    Occasion(date(2026, 3, 7), date(2026, 3, 21), "sugaring crew", weekdays=frozenset({"Sat"})),
    Occasion(date(2026, 1, 17), date(2027, 2, 1), "aunt Ida", weekdays=frozenset({"Sun"})),
)


def home(today: date = SATURDAY, latitude: int = 44) -> Household:
    return kitchen(today=today, occasions=FEASTS, latitude=Fraction(latitude))


@pytest.mark.parametrize(
    ("said", "first", "last"),
    [
        ("last Easter", "2025-04-20", "2025-04-20"),
        ("Christmas Eve", "2025-12-24", "2025-12-24"),
        ("new year", "2026-01-01", "2026-01-01"),
        ("Harvest Supper", "2025-11-15", "2025-11-15"),
        ("sugaring", "2025-03-07", "2025-03-21"),
        ("this winter", "2025-12-01", "2026-01-17"),
        ("last winter", "2024-12-01", "2025-02-28"),
        ("last summer", "2025-06-01", "2025-08-31"),
        ("December", "2025-12-01", "2025-12-31"),
        ("last month", "2025-12-01", "2025-12-31"),
        ("this month", "2026-01-01", "2026-01-17"),
        ("last week", "2026-01-05", "2026-01-11"),
        ("yesterday", "2026-01-16", "2026-01-16"),
        ("Saturday", "2026-01-10", "2026-01-10"),
        ("fri", "2026-01-16", "2026-01-16"),
        ("2024-02", "2024-02-01", "2024-02-29"),
        ("2025", "2025-01-01", "2025-12-31"),
        ("2025-04-20", "2025-04-20", "2025-04-20"),
    ],
)
def test_what_is_said(said: str, first: str, last: str) -> None:
    found = when_meant(home(), said)
    assert (str(found.first), str(found.last)) == (first, last)


def test_south_of_the_equator_winter_is_in_june_and_after_easter_it_is_this_years() -> None:
    assert when_meant(home(latitude=-38), "last winter").first == date(2025, 6, 1)
    assert when_meant(home(date(2026, 4, 6)), "last Easter").first == date(2026, 4, 5)
    assert when_meant(home(date(2026, 4, 5)), "last Easter").first == date(2025, 4, 20)


@pytest.mark.parametrize("said", ["aunt Ida", "teatime", "", "2027-01-01", "2025-13", "su"])
def test_what_is_no_time_gone_by(said: str) -> None:
    with pytest.raises(NotUnderstood, match=r"no time that is known|not yet gone by"):
        when_meant(home(), said)
