"""How long each of several weekly menus is."""

from __future__ import annotations

from datetime import date

from pantrymeals.actions.weeks import chapters

SATURDAY = date(2026, 1, 17)


def test_weeks_follow_from_the_first_day() -> None:
    assert chapters(SATURDAY, 4, "") == [7, 7, 7, 7]


def test_the_days_until_a_week_may_begin_are_a_menu_of_their_own() -> None:
    assert chapters(SATURDAY, 4, "Sun") == [2, 7, 7, 7, 7]
    assert chapters(SATURDAY, 2, "Sat") == [1, 7, 7]


def test_a_week_that_begins_rightly_has_no_days_before() -> None:
    assert chapters(SATURDAY, 1, "Fri") == [7]
