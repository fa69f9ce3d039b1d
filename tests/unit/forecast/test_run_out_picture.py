"""Where a product's last one, and its day, lie on a strip of two years."""

from __future__ import annotations

from datetime import date, timedelta

from pantrymeals.actions.run_out_picture import pictures
from pantrymeals.plans.outlook import AtPace, Forecast, ForecastRow

TODAY = date(2026, 1, 17)


def after(days: int) -> date:
    return TODAY + timedelta(days=days)


def picture(early: date | None, middle: date | None, late: date | None, due: date | None) -> object:
    pace = AtPace(1.0, middle, early, late, 0.5, 0.0, 0.0, 0.0, 0.0, None, "tight", "a jar or two.")
    row = ForecastRow("Peas", "pt", 10.0, 0.0, 0.0, 0.0, due, None, "new crop", None, pace, pace)
    return pictures(Forecast("Hall", TODAY, (row,), 100, 1, 0, 20, 0.0))["Peas"]


def test_half_of_two_years_is_the_middle_and_beyond_them_the_end() -> None:
    found = picture(after(73), after(365), None, after(730))
    assert (found.early, found.middle, found.late, found.due) == (100, 500, 1000, 1000)  # type: ignore[attr-defined]
    assert "17 Jan 2027" in found.words  # type: ignore[attr-defined]
    assert "later than two years" in found.words  # type: ignore[attr-defined]


def test_what_has_gone_by_is_at_the_beginning_and_what_lasts_is_said_to() -> None:
    found = picture(None, None, None, after(-5))
    assert (found.middle, found.due) == (1000, 0)  # type: ignore[attr-defined]
    assert found.words.startswith("It lasts more than two years")  # type: ignore[attr-defined]
