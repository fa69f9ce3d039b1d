"""Book years from movements, and the need that speaks from them."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.larder.book_history import Entry, book_year_of, merged_years, product_lines, years_of
from pantrymeals.plans.book import BookYear
from pantrymeals.records import Movement, Reason
from pantrymeals.season.history import (
    LEAST_SPREAD,
    USUAL_SPREAD,
    late_opened,
    need_from_history,
    pooled_spread,
    weeks_on_shelf,
)
from tests.kitchens.tiny import jar

F = Fraction


def line(day: str, count: int, reason: Reason, lot: int = 1, product: str = "Applesauce") -> Movement:
    return Movement(date.fromisoformat(day), product, "qt", F(count), reason, lot)


def lines(book: list[Movement], **product: object) -> tuple[Entry, ...]:
    return product_lines(jar("Applesauce", **product), book)


def years(book: list[Movement], today: date, **product: object) -> list[BookYear]:
    found = lines(book, **product)
    return years_of("Applesauce", found, found[0].day, today)


def full(product: str, year: int, used: int, over: int = 0) -> BookYear:
    return BookYear(product, year, F(0), F(used + over), F(0), F(0), F(used), F(over))


@pytest.mark.parametrize(("day", "year"), [("2026-04-30", 2025), ("2026-05-01", 2026), ("2026-01-17", 2025)])
def test_a_book_year_opens_on_the_first_of_may(day, year):
    assert book_year_of(date.fromisoformat(day)) == year


def test_book_years_split_what_came_and_went_by_reason():
    book = [
        line("2024-05-01", 9, "counted"),
        line("2024-10-06", 40, "put up"),
        line("2024-11-01", -10, "pulled"),
        line("2024-12-01", -3, "given"),
        line("2025-02-01", -1, "spoiled"),
        line("2025-03-01", -2, "counted"),
        line("2025-06-01", -5, "eaten"),
    ]
    first, second = years(book, date(2026, 1, 17))
    assert (first.carried_in, first.put_up, first.given, first.lost) == (9, 40, 3, 1)
    assert first.used == 12, "a count that finds two fewer is use that nobody wrote down"
    assert first.carried_out == 33
    assert first.full
    assert (second.carried_in, second.used, second.full) == (33, 5, False)


def test_a_book_that_opens_late_has_no_full_first_year():
    found = years([line("2024-09-01", 9, "counted"), line("2025-01-02", -2, "pulled")], date(2026, 5, 2))
    assert [(y.year, y.full) for y in found] == [(2024, False), (2025, True), (2026, False)]


def test_what_a_count_finds_is_of_the_season_before_it():
    book = [
        line("2024-05-01", 9, "counted"),
        line("2025-05-01", -2, "counted"),
        line("2025-07-01", -5, "eaten"),
        line("2026-01-17", 2, "counted"),
    ]
    first, second = years(book, date(2026, 1, 17))
    assert (first.used, second.carried_in) == (2, 7), "the stocktaking of 1 May speaks of the season just over"
    assert (second.used, second.carried_out) == (3, 4), "two found behind the stock were not eaten after all"


def test_in_the_cellar_what_a_count_finds_missing_went_bad_and_is_no_need():
    book = [line("2025-08-25", 95, "put up"), line("2025-10-01", -43, "eaten"), line("2026-01-17", -12, "counted")]
    [cellar] = years(book, date(2026, 1, 17), kind="cellar")
    [jars] = years(book, date(2026, 1, 17))
    assert (cellar.used, cellar.lost, cellar.carried_out) == (43, 12, 40)
    assert (jars.used, jars.lost, jars.carried_out) == (55, 0, 40)


def test_other_sizes_count_in_the_first():
    product = jar("Applesauce", sizes=["qt", "pt"])
    [found] = product_lines(product, [Movement(date(2025, 1, 1), "Applesauce", "pt", F(3), "put up")])
    assert found.amount == F(3, 2)


def test_weeks_on_the_shelf_leave_out_the_empty_ones():
    book = lines([line("2025-05-01", 2, "counted"), line("2025-05-15", -2, "pulled"), line("2025-06-12", 4, "put up")])
    assert weeks_on_shelf(book, date(2025, 5, 1), date(2025, 6, 26)) == 4


def test_need_is_the_mean_of_the_last_three_full_years():
    years = [full("Applesauce", y, used) for y, used in ((2020, 99), (2021, 70), (2022, 80), (2023, 75))]
    need = need_from_history(years, 0.1, part_year=F(30))
    assert (need.a_year, need.basis, need.years) == (75, "full book years", (70, 80, 75))


def test_a_year_that_goes_faster_than_any_before_is_weighed_in():
    years = [full("Juice", 2023, 17, over=2), full("Juice", 2024, 16, over=4)]
    faster = need_from_history(years, 0.1, part_year=F(28))
    assert faster.a_year == 22
    assert "28" in faster.note
    assert need_from_history(years, 0.1, part_year=F(17)).a_year == F(33, 2)
    assert need_from_history(years, 0.1, part_year=F(3)).a_year == F(33, 2), "short years are no sign"


def test_a_year_that_ran_dry_says_that_more_may_be_wanted():
    assert "2023" in need_from_history([full("Jam", 2023, 30)], 0.1).note
    assert need_from_history([full("Jam", 2023, 30, over=2)], 0.1).note == ""


@pytest.mark.parametrize(
    ("signs", "basis"),
    [
        ((F(4), F(1), F(2)), "this book year"),
        ((None, F(1), F(2)), "standing use"),
        ((None, F(0), F(2)), "servings"),
        ((), "none"),
    ],
)
def test_without_full_years_the_next_best_sign_is_taken(signs, basis):
    assert need_from_history([], 0.1, *signs).basis == basis


def test_spread_is_pooled_by_degrees_of_freedom():
    # 58 and 55: mean 56.5, squared deviations 2 x 1.5^2, one degree of freedom
    assert pooled_spread([full("T", 2023, 58), full("T", 2024, 55)]) == LEAST_SPREAD
    wide = pooled_spread([full("T", 2023, 40), full("T", 2024, 60)])
    assert wide == pytest.approx((200 / 50**2) ** 0.5)
    assert pooled_spread([full("T", 2023, 40)]) == USUAL_SPREAD


def test_the_books_own_full_year_goes_before_what_was_written():
    written = BookYear("T", 2024, F(0), F(1), F(0), F(0), F(1), F(0))
    book = full("T", 2024, 5)
    assert merged_years([book], [written]) == (book,)
    partly = BookYear("T", 2024, F(0), F(9), F(0), F(0), F(9), F(0), full=False)
    assert merged_years([partly], [written]) == (written,)


def test_late_opened_needs_five_jars_of_known_lots():
    book = [line("2024-09-01", 10, "put up"), line("2025-08-01", -4, "pulled"), line("2024-12-01", -1, "pulled")]
    assert late_opened(lines(book)) == 0.8
    assert late_opened(lines([*book[:1], line("2025-08-01", -4, "pulled")])) is None
