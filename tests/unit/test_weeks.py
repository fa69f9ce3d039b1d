"""How long each of several weekly menus is."""

from __future__ import annotations

from datetime import date

import pytest

from pantrymeals.actions import weeks
from pantrymeals.actions.weeks import chapters
from pantrymeals.errors import NoMenuFits
from pantrymeals.reports.pages.weeks import weeks_text
from tests.kitchens import tiny

SATURDAY = date(2026, 1, 17)


def test_weeks_follow_from_the_first_day() -> None:
    assert chapters(SATURDAY, 4, "") == [7, 7, 7, 7]


def test_the_days_until_a_week_may_begin_are_a_menu_of_their_own() -> None:
    assert chapters(SATURDAY, 4, "Sun") == [2, 7, 7, 7, 7]
    assert chapters(SATURDAY, 2, "Sat") == [1, 7, 7]


def test_a_week_that_begins_rightly_has_no_days_before() -> None:
    assert chapters(SATURDAY, 1, "Fri") == [7]


def test_a_week_that_cannot_be_planned_ends_them_and_those_before_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    home = tiny.kitchen()
    makes, said = weeks.make_menu, ["", "No menu fits:\ntwo rules clash."]

    def one_alone(*asked, **more):
        if why := said.pop(0):
            raise NoMenuFits(why)
        return makes(*asked, **more)

    monkeypatch.setattr(weeks, "make_menu", one_alone)
    done = weeks.make_weeks(home, 3, None, 2.0)
    assert [sheet.plan.first for sheet in done.weeks] == [home.today]
    text = weeks_text(done)
    assert "# One week at" in text
    assert "**No week from Monday 12 January on: No menu fits: two rules clash.**" in text
    said[:] = ["No menu fits."]
    with pytest.raises(NoMenuFits):
        weeks.make_weeks(home, 3, None, 2.0)


def test_weeks_may_begin_later_than_the_count() -> None:
    done = weeks.make_weeks(tiny.kitchen(), 1, None, 2.0, first=tiny.day(3))
    assert (done.weeks[0].plan.first, done.weeks[0].broken, done.ended) == (tiny.day(3), (), "")
    assert done.after.today == tiny.day(10)
