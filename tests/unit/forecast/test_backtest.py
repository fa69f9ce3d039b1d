"""The forecast tested on the past of three households whose manner is known."""

from __future__ import annotations

from datetime import date

import pytest

from pantrymeals.forecast.backtest import Guess, back_test, held, held_evenly, month_ends
from pantrymeals.larder.book_history import lines_of
from tests.unit.forecast.made_up_years import MANNERS, TODAY, made_up


@pytest.mark.parametrize("manner", MANNERS)
@pytest.mark.parametrize("seed", [1, 2])
def test_the_80_per_cent_range_holds_and_the_plain_average_is_beaten(manner: str, seed: int) -> None:
    known = made_up(manner, seed)
    test = back_test(known.household, known.book, ahead=13, paths=1000)
    assert test.cases > 500
    assert 0.70 <= test.held <= 0.90
    assert 0.70 <= test.held_evenly <= 0.90
    assert test.pinball < 0.8 * test.plain_pinball
    assert len(test.months) > 20
    assert test.below + test.above == pytest.approx(1 - test.held, abs=0.01)


def test_month_ends_leave_room_before_and_after() -> None:
    known = made_up("steady", products=4)
    ends = month_ends(lines_of(known.household.products, known.book), TODAY, 13)
    assert ends[0] == date(2023, 11, 1)
    assert ends[-1] == date(2025, 10, 1)


def test_a_short_book_cannot_be_tested() -> None:
    known = made_up("steady", products=4)
    recent = [m for m in known.book if m.day > date(2025, 8, 1)]
    assert back_test(known.household, recent).cases == 0


def test_counts_on_the_edge_count_by_their_part_inside() -> None:
    edge = Guess("Jam", low=0, middle=0, high=1, inside=0.4, plain=0, came=1)
    out = Guess("Jam", low=0, middle=0, high=1, inside=0.0, plain=0, came=2)
    assert held([edge, out]) == 0.5
    assert held_evenly([edge, out]) == pytest.approx(0.2)
