"""Days as people write them in lists: 12/09/2025, 12.9.25, 12 Sep 2025, Sept 2025, 2025."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct

from pantrymeals.words import MONTHS

Order = Literal["days first", "months first"]

_MONTHS = {name.casefold(): n for n, name in enumerate(MONTHS, start=1)}
_MONTH_WORD = r"(?P<word>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_SOME_YEAR = r"(?P<year>(?:19|20)\d\d|\d\d)(?!\d)"
_WHOLE = re.compile(r"(?<!\d)(?P<year>(?:19|20)\d\d)[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})(?!\d)")
_THREE = re.compile(r"(?<![\d/.])(?P<one>\d{1,2})[-/.](?P<two>\d{1,2})[-/.](?P<year>(?:19|20)\d\d|\d\d)(?![\d/.])")
_WORDED = (
    re.compile(rf"(?<!\d)(?P<day>\d{{1,2}})(?:st|nd|rd|th)?[ .-]*{_MONTH_WORD}[ ,.'-]*{_SOME_YEAR}", re.I),
    re.compile(rf"\b{_MONTH_WORD} (?P<day>\d{{1,2}})(?:st|nd|rd|th)?,? +(?P<year>(?:19|20)\d\d)(?!\d)", re.I),
    re.compile(rf"\b{_MONTH_WORD}[ ,.'-]*{_SOME_YEAR}", re.I),
)  # fmt: skip
_TWO = re.compile(r"(?<![\d/.])(?P<month>\d{1,2})/(?P<year>(?:19|20)\d\d)(?![\d/.])")
_YEAR = re.compile(r"(?<![\d/.-])'?(?P<year>(?:19|20)\d\d)(?![\d/.-])(?! ?(ml|g|kg|l)\b)")


class Day(Struct, frozen=True):
    """A day found in a line. text: as written. day: 1 January where only the year is known, the 1st where the month is.

    unsure: it could be read with days or with months first.
    """

    text: str
    day: date
    year_only: bool = False
    month_only: bool = False
    unsure: bool = False

    @property
    def as_written(self) -> str:
        """As stock.csv has it."""
        return str(self.day.year) if self.year_only else self.day.isoformat()


def find_day(text: str, order: Order | None) -> Day | None:
    """The first day of a text; None where it has none, or none that there is."""
    if found := _WHOLE.search(text):
        return _made(found.group(), int(found["year"]), int(found["month"]), int(found["day"]))
    if found := _THREE.search(text):
        return _three(found, order)
    for shape in _WORDED:
        if found := shape.search(text):
            named = found.groupdict()
            month = next(n for name, n in _MONTHS.items() if name.startswith(named["word"].casefold()[:3]))
            day = named.get("day")
            return _made(found.group(), _year(named["year"]), month, int(day) if day else 1, month_only=not day)
    if found := _TWO.search(text):
        return _made(found.group(), int(found["year"]), int(found["month"]), 1, month_only=True)
    if found := _YEAR.search(text):
        return Day(found.group(), date(int(found["year"]), 1, 1), year_only=True)
    return None


def order_of(texts: Iterable[str]) -> tuple[Order | None, bool]:
    """(the order that the days of a list tell, whether it must be asked): 25/09/2025 has its day first.

    Where some days say one and some the other, neither is told; asked only where a day can be read both ways.
    """
    first, unsure = set[Order](), False
    for text in texts:
        if _WHOLE.search(text) or not (found := _THREE.search(text)):
            continue
        one, two = int(found["one"]), int(found["two"])
        if one > 12 >= two:
            first.add("days first")
        elif two > 12 >= one:
            first.add("months first")
        elif one != two:
            unsure = True
    told = next(iter(first)) if len(first) == 1 else None
    return told, unsure and told is None


def _three(found: re.Match[str], order: Order | None) -> Day | None:
    one, two, year = int(found["one"]), int(found["two"]), _year(found["year"])
    if one > 12:
        return _made(found.group(), year, two, one)
    if two > 12:
        return _made(found.group(), year, one, two)
    day, month = (two, one) if order == "months first" else (one, two)
    return _made(found.group(), year, month, day, unsure=order is None and one != two)


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _made(text: str, year: int, month: int, day: int, *, month_only: bool = False, unsure: bool = False) -> Day | None:
    try:
        return Day(text, date(year, month, day), month_only=month_only, unsure=unsure)
    except ValueError:
        return None
