"""How long standing use lasts."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import accumulate

from pantrymeals.no_store.staples import missed_by_day, staple_rows
from pantrymeals.reports.no_store_words import longest_whole
from tests.kitchens import tiny


def coffee(count: int, weekly: str = "0.6 lb", **changes):  # type: ignore[no-untyped-def]
    return tiny.kitchen(
        products=[tiny.loose("Coffee", **changes)],
        lots=[tiny.lot("Coffee", count, "lb")],
        dishes=[],
        standing=(tiny.standing("Coffee", weekly),),
    )


def test_three_pounds_at_six_tenths_a_week_hold_five_weeks() -> None:
    (row,) = staple_rows(coffee(3), tiny.MONDAY, 30, 100)
    assert (row.days, row.out) == (35, tiny.day(35))
    assert row.lacking == 0
    assert row.one_more_days == Fraction(35, 3)


def test_what_lacks_by_the_end_is_told() -> None:
    (row,) = staple_rows(coffee(3), tiny.MONDAY, 60, 100)
    assert row.lacking == Fraction(6, 70) * 60 - 3


def test_the_reserve_is_off_limits() -> None:
    (row,) = staple_rows(coffee(3, reserve=tiny.qty("1 lb")), tiny.MONDAY, 30, 100)
    assert row.days == 23  # 2 lb at 0.6 a week: 23 1/3 days


def test_jars_are_begun_whole() -> None:
    household = tiny.kitchen(
        products=[tiny.jar("Jam")], lots=[tiny.lot("Jam", 2)], dishes=[], standing=(tiny.standing("Jam", "1 qt"),)
    )
    (row,) = staple_rows(household, tiny.MONDAY, 21, 100)
    assert row.days == 14
    assert row.lacking == 1


def test_what_comes_in_carries_it_on() -> None:
    household = coffee(1)
    more = tiny.kitchen(
        products=household.products.values(),
        lots=household.lots,
        dishes=[],
        standing=household.standing,
        arrivals=tuple(tiny.arrival("Coffee", "1 lb", tiny.day(7 * n)) for n in range(30)),
    )
    (row,) = staple_rows(more, tiny.MONDAY, 30, 200)
    assert row.out is None
    assert row.one_more_days is None


def test_the_first_to_end_stands_first_and_no_use_is_no_row() -> None:
    household = tiny.kitchen(
        products=[tiny.loose("Sugar"), tiny.loose("Coffee"), tiny.loose("Salt")],
        lots=[tiny.lot("Sugar", 5, "lb"), tiny.lot("Coffee", 1, "lb"), tiny.lot("Salt", 1, "lb")],
        dishes=[],
        standing=(tiny.standing("Sugar", "1 lb"), tiny.standing("Coffee", "1 lb")),
    )
    assert [row.product for row in staple_rows(household, tiny.MONDAY, 30, 100)] == ["Coffee", "Sugar"]


def test_what_goes_missing_is_what_a_table_that_eats_day_by_day_misses() -> None:
    """Walked by hand: eat what is there of today's, and what was missed is gone."""
    rng = random.Random(4)
    for _ in range(200):
        wants = [Fraction(rng.randint(0, 4), 2) for _ in range(20)]
        comes = [Fraction(rng.choice((0, 0, 0, 1, 5))) for _ in range(20)]
        there, gone, missed = Fraction(0), Fraction(0), []
        for want, came in zip(wants, comes, strict=True):
            there += came
            eaten = min(want, there)
            there -= eaten
            gone += want - eaten
            missed.append(gone)
        assert missed_by_day(list(accumulate(wants)), list(accumulate(comes))) == missed


def test_the_longest_run_of_whole_days_is_counted_day_by_day() -> None:
    lacking = {tiny.day(n) for n in (0, 5, 6, 20)}
    assert longest_whole(tiny.MONDAY, 31, lacking) == (tiny.day(7), 13)
    assert longest_whole(tiny.MONDAY, 3, {tiny.day(n) for n in range(3)}) == (tiny.MONDAY, 0)
