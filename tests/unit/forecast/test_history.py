"""The book read as weeks."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest

from pantrymeals.forecast.history import History, read_history
from pantrymeals.larder.book_history import lines_of, weeks_known
from pantrymeals.records import Movement, Product, Reason
from tests.kitchens.tiny import jar, loose

UNTIL = date(2026, 1, 17)


def line(weeks_ago: float, count: str, reason: Reason, product: str = "Beans", size: str = "qt") -> Movement:
    return Movement(UNTIL - timedelta(days=round(7 * weeks_ago)), product, size, Fraction(count), reason)


def read(*book: Movement, product: Product | None = None) -> History:
    products = {p.name: p for p in [product or jar("Beans", sizes=["qt", "pt"])]}
    return read_history(products, lines_of(products, book), UNTIL)


def test_weeks_end_the_day_before_and_count_in_first_size_containers() -> None:
    found = read(line(10, "20", "put up"), line(1, "-2", "eaten"), line(0.5, "-2", "pulled", size="pt"))
    assert found.weeks == 10
    assert list(found.used[0, -3:]) == [0, 0, 3]
    assert found.on_hand["Beans"] == 17


def test_what_comes_on_the_day_itself_is_not_yet_known() -> None:
    assert read(line(4, "9", "put up"), line(0, "-1", "eaten")).used.sum() == 0


def test_losses_are_kept_apart_from_use() -> None:
    found = read(line(4, "9", "put up"), line(2, "-1", "failed seal"), line(1, "-1", "eaten"))
    assert (found.lost.sum(), found.used.sum()) == (1, 1)
    assert found.loss_go["Beans"] == 1


def test_given_and_bartered_are_neither() -> None:
    found = read(line(4, "9", "put up"), line(2, "-3", "given"), line(2, "-1", "bartered"))
    assert (found.lost.sum(), found.used.sum(), found.on_hand["Beans"]) == (0, 0, 5)


def test_what_a_count_finds_missing_was_eaten_over_the_weeks_before() -> None:
    found = read(line(8, "12", "counted"), line(1, "-4", "counted"))
    assert found.used.sum() == pytest.approx(4)
    assert found.used[0].max() < 1


def test_in_the_cellar_what_is_missing_went_bad() -> None:
    bin_ = loose("Beans")
    found = read(line(8, "12", "counted", size="lb"), line(1, "-4", "counted", size="lb"), product=bin_)
    assert (found.used.sum(), found.lost.sum()) == (0, pytest.approx(4))


def test_what_a_count_finds_too_many_takes_use_back() -> None:
    found = read(line(8, "12", "put up"), line(3, "-4", "eaten"), line(1, "1", "counted"))
    assert found.used.sum() < 4


def test_an_empty_shelf_says_nothing_of_the_pace() -> None:
    found = read(line(10, "2", "put up"), line(8, "-2", "eaten"), line(3, "5", "put up"))
    assert list(found.open_to_use[0]) == [0.5, 1, 0.5, 0, 0, 0, 0, 0.5, 1, 1]


def test_a_book_that_never_said_what_was_there_hides_no_weeks() -> None:
    found = read(line(6, "-1", "eaten"), line(2, "-1", "eaten"))
    assert found.open_to_use.sum() == 6


def test_a_usual_go_weighs_large_ones() -> None:
    found = read(line(6, "20", "put up"), line(3, "-1", "eaten"), line(2, "-3", "eaten"))
    assert found.go["Beans"] == pytest.approx(10 / 4)


def test_no_book_no_weeks() -> None:
    products = {"Beans": jar("Beans")}
    assert weeks_known(lines_of(products, ()), UNTIL) == 0
    assert read().used.shape == (1, 0)


def test_a_book_caught_up_with_after_a_silence_did_not_burst() -> None:
    weekly = [line(w, "-1", "eaten") for w in range(60, 20, -1)]
    silent = [line(8 - n / 7, "-1", "eaten") for n in range(12)]
    found = read(line(61, "90", "put up"), *weekly, *silent)
    assert found.used.sum() == 52
    assert found.used[0].max() <= 1.01
    assert (found.used[0, 41:54] > 0).all()


def test_a_large_batch_of_what_goes_seldom_stays_one() -> None:
    found = read(line(41, "90", "put up"), line(40, "-1", "eaten"), line(8, "-6", "eaten"))
    assert found.used[0].max() == 6


def test_what_came_in_a_week_is_known_after_a_year() -> None:
    long = read(line(104, "52", "put up"), line(50, "52", "put up"), line(3, "-1", "eaten"))
    assert long.a_week_in["Beans"] == pytest.approx(1)
    assert read(line(20, "52", "put up")).a_week_in == {}
