"""Single values: what is read, and what is said of what cannot be."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from pantrymeals.files import values
from pantrymeals.files.gathering import Wrong


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (values.number, "1 1/2", Fraction(3, 2)),
        (values.number, "1½", Fraction(3, 2)),
        (values.number, "0,5", Fraction(1, 2)),
        (values.number, "-2", Fraction(-2)),
        (values.zero_or_more, "0", Fraction(0)),
        (values.day, "2028-02-29", date(2028, 2, 29)),
        (values.day, "2026-1-7", date(2026, 1, 7)),
        (values.day_or_year, "2024", (date(2024, 1, 1), True)),
        (values.day_or_year, "2024-10-06", (date(2024, 10, 6), False)),
        (values.yearly_day, "05-25", (5, 25)),
        (values.months, "10-3", frozenset({10, 11, 12, 1, 2, 3})),
        (values.months, "1,2,12", frozenset({1, 2, 12})),
        (values.months, "4", frozenset({4})),
        (values.months, "6–9", frozenset({6, 7, 8, 9})),
        (values.weekdays, "Sun", ("Sun",)),
        (values.weekdays, "Mon-Fri", ("Mon", "Tue", "Wed", "Thu", "Fri")),
        (values.weekdays, "Sat-Mon", ("Mon", "Sat", "Sun")),
        (values.weekdays, "wednesday, Mondays", ("Mon", "Wed")),
        (values.yes_or_no, "Yes", True),
        (values.marks, "Tree  nut; honey;", frozenset({"tree nut", "honey"})),
        (values.names, "string beans;  Runner   Beans", ("string beans", "Runner Beans")),
        (values.days_between, "week", 7),
        (values.days_between, "day", 1),
        (values.days_between, "every 4 days", 4),
        (values.days_between, "2 weeks", 14),
    ],
)
def test_what_is_read(read: Callable[[str], Any], text: str, value: object) -> None:
    assert read(text) == value


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (values.number, "lots", "'lots' is not a number; write one such as 2, 1/2 or 0.5"),
        (values.number, "1/0", "'1/0' is not a number; write one such as 2, 1/2 or 0.5"),
        (values.number, "3 qt", "'3 qt' is not a number; write one such as 2, 1/2 or 0.5"),
        (values.number, "1,000", "'1,000' may be 1000 or a decimal; write 1000, or a point for the decimal"),
        (values.number, "9" * 30, f"'{'9' * 30}' is more than any larder holds; write a number up to a million"),
        (values.more_than_zero, "0", "0 is not more than 0; write a number more than 0"),
        (values.more_than_zero, "-3", "-3 is not more than 0; write a number more than 0"),
        (values.zero_or_more, "-1/2", "-1/2 is less than 0; write 0 or more"),
        (values.whole_number(1, 7), "1.5", "'1.5' will not do here; write a whole number from 1 to 7"),
        (values.whole_number(1, 7), "8", "'8' will not do here; write a whole number from 1 to 7"),
        (values.day, "2026-02-30", "there is no 2026-02-30; that month ends on 2026-02-28"),
        (values.day, "2026-13-01", "there is no 2026-13-01: a year has 12 months; write it year, month, day"),
        (values.day, "17/1/2026", "'17/1/2026' is not a day; write it year first, such as 2026-01-17"),
        (values.day, "2206-01-17", "the year 2206 is out of reach; write a year from 1900 to 2100"),
        (values.day_or_year, "2024-10", "'2024-10' lacks its day; write a day such as 2024-10-15, or the year alone"),
        (values.yearly_day, "02-30", "'02-30' is not a day of the year; write month and day, such as 05-25"),
        (values.months, "0-3", "'0' is not a month; write months as 1-4, 10-3 or 1,2,12"),
        (values.months, "4-Jan", "'Jan' is not a month; write months as 1-4, 10-3 or 1,2,12"),
        (
            values.weekdays,
            "Fryday",
            "'Fryday' is not a day of the week; the days are Mon, Tue, Wed, Thu, Fri, Sat, Sun",
        ),
        (values.yes_or_no, "perhaps", "'perhaps' is neither yes nor no; write yes or no"),
        (values.one_of(("low", "high", "")), "hihg", "'hihg' will not do here; did you mean 'high'?"),
        (values.one_of(("low", "high", "")), "sour", "'sour' will not do here; write one of: low, high"),
        (values.days_between, "often", "'often' does not say how often; write week, day, or a number such as 4 days"),
        (values.days_between, "0 days", "'0 days' does not say how often; write week, day, or a number such as 4 days"),
    ],
)
def test_what_is_said_of_a_wrong_value(read: Callable[[str], Any], text: str, message: str) -> None:
    with pytest.raises(Wrong) as caught:
        read(text)
    assert f"{caught.value.wrong}; {caught.value.right}" == message
