"""Single values as people write them: numbers, days, months, weekdays, marks.

Every reader here takes one text and raises Wrong, saying what would be right.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from typing import TypeVar

from pantrymeals.files.gathering import Wrong, fold, nearest, shown
from pantrymeals.records import WEEKDAYS, WEEKDAYS_IN_FULL
from pantrymeals.units import as_words, take_number

T = TypeVar("T", bound=str)
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.ASCII)
_YEAR = re.compile(r"(?:19|20)\d\d", re.ASCII)
_DAYS_BETWEEN = re.compile(r"(\d{1,4}) (day|week)s?")
_YEARLY = re.compile(r"(\d{1,2})-(\d{1,2})", re.ASCII)
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2}(,\d{3})+", re.ASCII)
_LONG_DASHES = str.maketrans("–—−", "---")
_MOST = 1_000_000


def number(text: str) -> Fraction:
    """Any number, exact: '2', '1 1/2', '0.5', '0,5'."""
    if "," in text and _THOUSANDS.fullmatch(text):
        plain = text.replace(",", "")
        raise Wrong(f"'{text}' may be {plain} or a decimal", f"write {plain}, or a point for the decimal")
    taken = take_number(text)
    if taken is None or taken[1]:
        raise Wrong(f"{shown(text)} is not a number", "write one such as 2, 1/2 or 0.5")
    if abs(taken[0]) > _MOST:
        raise Wrong(f"{shown(text)} is more than any larder holds", "write a number up to a million")
    return taken[0]


def more_than_zero(text: str) -> Fraction:
    """A number above nothing."""
    value = number(text)
    if value <= 0:
        raise Wrong(f"{as_words(value)} is not more than 0", "write a number more than 0")
    return value


def zero_or_more(text: str) -> Fraction:
    """A number not below nothing."""
    value = number(text)
    if value < 0:
        raise Wrong(f"{as_words(value)} is less than 0", "write 0 or more")
    return value


def whole_number(least: int, most: int) -> Callable[[str], int]:
    """A reader of whole numbers from least to most."""

    def read(text: str) -> int:
        value = number(text)
        if value.denominator != 1 or not least <= value <= most:
            raise Wrong(f"{shown(text)} will not do here", f"write a whole number from {least} to {most}")
        return int(value)

    return read


def day(text: str) -> date:
    """A day: '2026-01-17'."""
    found = _DAY.fullmatch(text.translate(_LONG_DASHES))
    if not found:
        raise Wrong(f"{shown(text)} is not a day", "write it year first, such as 2026-01-17")
    year, month, dom = (int(part) for part in found.groups())
    if not 1900 <= year <= 2100:
        raise Wrong(f"the year {year} is out of reach", "write a year from 1900 to 2100")
    if not 1 <= month <= 12:
        raise Wrong(f"there is no {text}: a year has 12 months", "write it year, month, day")
    last = calendar.monthrange(year, month)[1]
    if not 1 <= dom <= last:
        raise Wrong(f"there is no {text}", f"that month ends on {year}-{month:02}-{last}")
    return date(year, month, dom)


def day_or_year(text: str) -> tuple[date, bool]:
    """(the day, False), or (1 January of the year, True) for a year alone."""
    if _YEAR.fullmatch(text):
        return date(int(text), 1, 1), True
    if re.fullmatch(r"\d{4}-\d{1,2}", text):
        raise Wrong(f"{shown(text)} lacks its day", f"write a day such as {text}-15, or the year alone")
    return day(text), False


def yearly_day(text: str) -> tuple[int, int]:
    """(month, day) of '05-25'."""
    found = _YEARLY.fullmatch(text.translate(_LONG_DASHES))
    month, dom = (int(part) for part in found.groups()) if found else (0, 0)
    if not 1 <= month <= 12 or not 1 <= dom <= calendar.monthrange(2024, month)[1]:
        raise Wrong(f"{shown(text)} is not a day of the year", "write month and day, such as 05-25")
    return month, dom


def is_yearly(text: str) -> bool:
    """Whether a text is meant as a day of every year: '05-25', not '2026-05-25'."""
    return bool(_YEARLY.fullmatch(text.translate(_LONG_DASHES)))


def months(text: str) -> frozenset[int]:
    """Months from '1-4', '10-3' (over the new year) or '1,2,12'; empty means all."""
    return frozenset(m for part in _parts(text) for m in _span(part, _month, 12, 1))


def _month(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:4]) <= 12:
        raise Wrong(f"{shown(text)} is not a month", "write months as 1-4, 10-3 or 1,2,12")
    return int(text)


def weekdays(text: str) -> tuple[str, ...]:
    """Days of the week, Monday first, from 'Sun', 'Mon-Fri' or 'Mon, Wed'."""
    chosen = {d for part in _parts(text) for d in _span(part, _weekday, 7, 0)}
    if not chosen:
        raise Wrong("no day of the week is named", "write days such as Sun or Mon-Fri")
    return tuple(name for i, name in enumerate(WEEKDAYS) if i in chosen)


def _weekday(text: str) -> int:
    name = fold(text).rstrip(".")
    for index, full in enumerate(map(fold, WEEKDAYS_IN_FULL)):
        if len(name) >= 3 and full.startswith(name.removesuffix("s") if len(name) > 6 else name):
            return index
    raise Wrong(f"{shown(text)} is not a day of the week", f"the days are {', '.join(WEEKDAYS)}")


def _parts(text: str) -> list[str]:
    return [p.strip() for p in re.split(r"[,;]", text.translate(_LONG_DASHES)) if p.strip()]


def _span(part: str, read: Callable[[str], int], around: int, first: int) -> list[int]:
    """All of 'a-b', going round the year or the week where b comes before a."""
    ends = [read(end.strip()) for end in part.split("-", 1)]
    length = (ends[-1] - ends[0]) % around
    return [(ends[0] - first + step) % around + first for step in range(length + 1)]


def yes_or_no(text: str) -> bool:
    """True for 'yes'."""
    word = fold(text)
    if word in ("yes", "y", "true"):
        return True
    if word in ("no", "n", "false"):
        return False
    raise Wrong(f"{shown(text)} is neither yes nor no", "write yes or no")


def days_between(text: str) -> int:
    """Days from one time to the next: 'week' 7, 'day' 1, '4 days', '2 weeks'; raises Wrong."""
    word = fold(text).removeprefix("every ")
    found = _DAYS_BETWEEN.fullmatch(f"1 {word}" if word in ("day", "week") else word)
    days = int(found[1]) * (7 if found[2] == "week" else 1) if found else 0
    if not days:
        raise Wrong(f"{shown(text)} does not say how often", "write week, day, or a number such as 4 days")
    return days


def one_of(words: Sequence[T]) -> Callable[[str], T]:
    """A reader of one word of a list; the blank word is the list's own affair."""

    def read(text: str) -> T:
        for word in words:
            if fold(word) == fold(text):
                return word
        near = nearest(text, [w for w in words if w])
        named = ", ".join(w for w in words if w)
        raise Wrong(f"{shown(text)} will not do here", f"did you mean '{near}'?" if near else f"write one of: {named}")

    return read


def names(text: str) -> tuple[str, ...]:
    """Names separated by semicolons, as written."""
    return tuple(" ".join(p.split()) for p in text.split(";") if p.strip())


def marks(text: str) -> frozenset[str]:
    """Marks or tags separated by semicolons, in small letters as they are matched."""
    return frozenset(fold(p) for p in text.split(";") if p.strip())
