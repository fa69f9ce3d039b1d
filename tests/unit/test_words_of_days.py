"""Days and amounts as a cook says them, whatever language the machine speaks."""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.checking import words as checking_words
from pantrymeals.forecast.words import so_much, so_much_a_week
from pantrymeals.menu.reading import day_name

PACKAGE = Path(__file__).resolve().parents[2] / "pantrymeals"


def test_each_day_and_month_has_our_own_name() -> None:
    assert day_name(date(2026, 1, 18)) == "Sunday 18 January"
    assert checking_words.day_words(date(2026, 12, 31)) == "Thu 31 December"
    days = [date(2026, 1, 1) + timedelta(days=31 * n) for n in range(12)]
    assert [d.month for d in days] == list(range(1, 13))
    assert len({checking_words.month_words(d) for d in days}) == 12
    week = [date(2026, 1, 5) + timedelta(days=n) for n in range(7)]
    assert [checking_words.weekday_words(d) for d in week] == [day_name(d).split()[0] for d in week]


def test_no_name_of_a_day_or_month_is_asked_of_the_machine() -> None:
    """%A, %B and calendar.day_name speak the language that the machine is set to."""
    asked = re.compile(r"%[aAbBcxXpZ]\b|calendar\.(?:day|month)_(?:name|abbr)")
    found = [
        f"{path.name}: {line.strip()}"
        for path in PACKAGE.rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if asked.search(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    ("size", "count", "said"),
    [
        ("lb", "2.6", "2.6 lb"), ("qt", "13.4", "13 qt"),
        ("head", "2.4", "2 to 3 heads"), ("head", "1", "1 head"), ("head", "6", "6 heads"),
        ("head", "0.4", "less than one head"), ("loaf", "3", "3 loaves"),
        ("each", "1.2", "about 1"), ("each", "4.6", "4 to 5"), ("each", "0.5", "less than one"),
        ("qt bag", "3", "3 qt bags"), ("pack of 6", "2", "2 packs of 6"), ("bird", "11.6", "about 12 birds"),
        ("2-cup bag", "6", "six 2-cup bags"), ("2-cup bag", "1.1", "about one 2-cup bag"),
    ],
)  # fmt: skip
def test_so_much(size: str, count: str, said: str) -> None:
    assert so_much(size, Fraction(count)) == said


@pytest.mark.parametrize(
    ("size", "weekly", "said"),
    [
        ("qt", "0.7", "0.7 qt a week"), ("head", "2.4", "2 to 3 heads a week"), ("each", "1.2", "about 1 a week"),
        ("qt bag", "0.8", "about 1 qt bag a week"), ("qt bag", "0.7", "one qt bag every 10 days"),
        ("3-lb bag", "0.24", "one 3-lb bag every 4 weeks"), ("each", "0.5", "one every 2 weeks"),
    ],
)  # fmt: skip
def test_so_much_a_week(size: str, weekly: str, said: str) -> None:
    assert so_much_a_week(size, Fraction(weekly)) == said
