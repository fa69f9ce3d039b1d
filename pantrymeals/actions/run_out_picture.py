"""A product's run-out as a picture: where on a strip of two years its last one goes, and where its day lies."""

from __future__ import annotations

from datetime import date
from typing import Literal

from msgspec import Struct

from pantrymeals.plans.marks import Mark
from pantrymeals.plans.outlook import UNTOLD, AtPace, Forecast, ForecastRow
from pantrymeals.words import capital, day_and_year, near_day

STRIP_DAYS = 730
"""As far as futures are drawn."""


class RunOutPicture(Struct, frozen=True):
    """Places on the strip in thousandths, from today (0) to two years on (1000).

    early, middle, late: the last one goes, 10 of 100 times, half the time, 90 of 100 times. due: its day; None: none.
    words: the same in a sentence, for who cannot see it.
    """

    mark: Mark | Literal["too young to tell"]
    early: int
    middle: int
    late: int
    due: int | None
    words: str
    reason: str


def pictures(forecast: Forecast) -> dict[str, RunOutPicture]:
    """A picture of every product of a forecast, at the pace that leads."""
    return {row.product: _picture(row, row.leading(), forecast.today) for row in forecast.rows}


def _picture(row: ForecastRow, pace: AtPace, today: date) -> RunOutPicture:
    due = row.due()
    if row.untold():
        return RunOutPicture("too young to tell", 0, 0, 0, None, "", f"{UNTOLD} it goes.")
    return RunOutPicture(
        mark=pace.mark,
        early=_at(pace.out_early, today),
        middle=_at(pace.out, today),
        late=_at(pace.out_late, today),
        due=None if due is None else _at(due, today),
        words=_words(pace, due, today),
        reason=capital(pace.reason),
    )


def _at(day: date | None, today: date) -> int:
    """Thousandths of the strip; the end of it for what lasts longer."""
    return 1000 if day is None else min(1000, max(0, (day - today).days * 1000 // STRIP_DAYS))


def _words(pace: AtPace, due: date | None, today: date) -> str:
    if pace.out is None:
        goes = "It lasts more than two years"
    else:
        late = "later than two years" if pace.out_late is None else near_day(pace.out_late, today)
        early = near_day(pace.out_early, today) if pace.out_early else late
        between = f", most likely between {early} and {late}" if early != late else ""
        goes = f"The last one goes about {day_and_year(pace.out)}{between}"
    return f"{goes}; its day is {day_and_year(due)}." if due else f"{goes}."
