"""Understands a time gone by as it is said: 'last Easter', 'Christmas Eve', 'this winter', 'December', '2025-11-27'."""

from __future__ import annotations

import calendar
from datetime import date, timedelta

from dateutil.easter import easter
from msgspec import Struct

from pantrymeals.book.names import every_kind
from pantrymeals.errors import NotUnderstood
from pantrymeals.larder.table import occasions_on
from pantrymeals.records import FIRST_DAY, WEEKDAYS_IN_FULL, Household, Occasion
from pantrymeals.words import MONTHS, day_and_year, fold

_SEASONS = {"winter": 12, "spring": 3, "summer": 6, "autumn": 9, "fall": 9}
"""The month in which each begins, north of the equator, and lasts for three."""
_FIXED = {"christmas": (12, 25), "christmas day": (12, 25), "christmas eve": (12, 24), "new year": (1, 1)}
_SAYS = (
    "say a day ('2025-04-20', 'Sunday'), a month, a season ('this winter') or an occasion of the calendar ('Easter')"
)

_LETTERS_TO_BE_SURE = 3
_ONE_VISIT = timedelta(days=60)
"""What the calendar has for longer is no one occasion."""


class Days(Struct, frozen=True):
    """Days gone by, both counted. note: how the words were taken, where that is not plain."""

    first: date
    last: date
    note: str = ""


def when_meant(household: Household, text: str) -> Days:
    """The last such time up to today; with 'last' before a season, the one before that which runs.

    Raises NotUnderstood where it is no time, or is all still to come.
    """
    today, plain = household.today, fold(text)
    bare = plain.removeprefix("this ").removeprefix("last ")
    found = (
        _written(plain)
        or _near(bare, plain, today)
        or _month_or_season(household, bare, before=plain.startswith("last "))
        or _occasion(household, bare)
    )
    if found is None:
        raise NotUnderstood(f"'{text}' is no time that is known; {_SAYS}")
    if not FIRST_DAY <= found.first <= today:
        raise NotUnderstood(f"'{text}' is not yet gone by; today is {day_and_year(today)}")
    return Days(found.first, min(found.last, today), found.note)


def _written(plain: str) -> Days | None:
    """'2025-04-20', '2025-04' or '2025'."""
    for shape, days in (("{}", None), ("{}-01", "month"), ("{}-01-01", "year")):
        try:
            first = date.fromisoformat(shape.format(plain))
        except ValueError:
            continue
        if days is None:
            return Days(first, first)
        if days == "month":
            return _whole_months(first, 1)
        return Days(first, first.replace(month=12, day=31))
    return None


def _near(bare: str, plain: str, today: date) -> Days | None:
    """'today', 'yesterday', 'last week' (Monday to Sunday), or the last day of that name before today."""
    monday = today - timedelta(days=today.weekday())
    if plain in ("today", "yesterday"):
        day = today - timedelta(days=plain == "yesterday")
        return Days(day, day)
    if bare == "week":
        first = monday - timedelta(weeks=plain.startswith("last"))
        return Days(first, first + timedelta(days=6))
    if bare == "month":
        first = today.replace(day=1)
        return _whole_months((first - timedelta(days=1)).replace(day=1) if plain.startswith("last") else first, 1)
    named = [
        n for n, name in enumerate(WEEKDAYS_IN_FULL) if len(bare) >= _LETTERS_TO_BE_SURE and fold(name).startswith(bare)
    ]
    if len(named) == 1:
        day = today - timedelta(days=(today.weekday() - named[0]) % 7 or 7)
        return Days(day, day)
    return None


def _month_or_season(household: Household, bare: str, *, before: bool) -> Days | None:
    today = household.today
    month, months = next((n for n, name in enumerate(MONTHS, 1) if fold(name) == bare), None), 1
    if bare in _SEASONS:
        month, months = _SEASONS[bare], 3
        if household.latitude is not None and household.latitude < 0:
            month = (month + 5) % 12 + 1
    if month is None:
        return None
    first = date(today.year if month <= today.month else today.year - 1, month, 1)
    found = _whole_months(first, months)
    if before and found.last >= today:
        found = _whole_months(first.replace(year=first.year - 1), months)
    return found


def _whole_months(first: date, months: int) -> Days:
    year, month = divmod(first.year * 12 + first.month - 1 + months - 1, 12)
    return Days(first, date(year, month + 1, calendar.monthrange(year, month + 1)[1]))


def _occasion(household: Household, bare: str) -> Days | None:
    """The last day of an occasion of the calendar so called, of Easter, or of a feast that has its date."""
    today = household.today
    if len(bare) < _LETTERS_TO_BE_SURE:
        return None
    called = every_kind(bare, dict.fromkeys((o.name for o in household.occasions), ()))
    past = [day for o in household.occasions if o.name in called for day in _days_before(household, o, today)]
    if past:
        day = max(past)
        return Days(day, day, f"{' and '.join(dict.fromkeys(o.name for o in occasions_on(household, day)))}")
    if "easter" in bare:
        day = max(d for d in (_easter(today.year - 1), _easter(today.year)) if d < today)
        return Days(day, day, "Easter Sunday")
    if bare in _FIXED:
        day = max(d for n in (0, 1) if (d := date(today.year - n, *_FIXED[bare])) < today)
        return Days(day, day)
    coming = [o for o in household.occasions if o.name in called and o.first >= today and o.last - o.first < _ONE_VISIT]
    if coming:
        o = min(coming, key=lambda each: each.first)
        first = _a_year_before(o.first, today)
        note = f"{o.name} stands in the calendar for {day_and_year(o.first)}; taken as those days before"
        return Days(first, first + (o.last - o.first), note)
    return None


def _easter(year: int) -> date:
    found: date = easter(year)  # type: ignore[no-untyped-call]
    return found


def _days_before(household: Household, occasion: Occasion, today: date) -> list[date]:
    """The last day before today on which it fell; [] for one that is still to come."""
    last = min(occasion.last, today - timedelta(days=1))
    back = (last - timedelta(days=n) for n in range(min(7, max(0, (last - occasion.first).days + 1))))
    return [day for day in back if occasion in occasions_on(household, day)][:1]


def _a_year_before(day: date, today: date) -> date:
    """The same day of the year, the last time before today; 29 February as the 28th."""
    while day >= today:
        day = day.replace(year=day.year - 1, day=28 if (day.month, day.day) == (2, 29) else day.day)
    return day
