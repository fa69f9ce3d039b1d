"""Says when the last word on the shelves is old, and what to count first."""

from __future__ import annotations

from datetime import date

from pantrymeals.actions.with_book import Larder
from pantrymeals.forecast.count_first import count_first
from pantrymeals.words import listed, long_day, plural

OLD_DAYS = 14
"""A book without an entry, or a count, is old after so many days."""


def old_count(larder: Larder, calendar_day: date) -> str:
    """A sentence or two when nothing was entered or counted for more than a fortnight; '' when it is fresh.

    The book's last entry is held against the household's own today; a count without a book speaks for that
    day itself, and is held against ``calendar_day``.
    """
    household = larder.household
    last = max((line.day for line in larder.book), default=household.today)
    now = household.today if larder.book else calendar_day
    if (now - last).days <= OLD_DAYS:
        return ""
    what = "The book's last entry is of" if larder.book else "The count is of"
    said = f"{what} {long_day(last)} {last.year}, {plural((now - last).days, 'day')} ago."
    first = [
        f"{name} ({listed(places, 3)})" if places else name
        for name, places in count_first(household, larder.pace, last, now)
    ]
    return f"{said} Take a count, of what matters most first: {'; '.join(first)}." if first else f"{said} Take a count."
