"""Days, counts, lists and products as a cook says them, whatever language the machine speaks."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals import words
from pantrymeals.forecast.words import so_much
from pantrymeals.records import Product, Size
from pantrymeals.season.words import counted as season_counted
from pantrymeals.words import counted, letters_explained, spoken, the_house, verb

PACKAGE = Path(__file__).resolve().parents[2] / "pantrymeals"


def test_days_are_named_in_full_and_short() -> None:
    saturday = date(2026, 1, 17)
    assert words.long_day(saturday) == "Saturday 17 January"
    assert words.short_day(saturday) == "Sat 17 Jan"


def test_a_day_of_another_year_says_its_year() -> None:
    today = date(2026, 1, 17)
    assert words.near_day(date(2026, 12, 31), today) == "31 Dec"
    assert words.near_day(date(2027, 1, 1), today) == "1 Jan 2027"


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2026, 1, 17), date(2026, 1, 17), "Saturday 17 January 2026"),
        (date(2026, 1, 17), date(2026, 1, 23), "Saturday 17 to Friday 23 January 2026"),
        (date(2026, 1, 31), date(2026, 2, 6), "Saturday 31 January to Friday 6 February 2026"),
        (date(2025, 12, 29), date(2026, 1, 4), "Monday 29 December 2025 to Sunday 4 January 2026"),
    ],
)
def test_a_span_names_month_and_year_once_where_shared(first: date, last: date, said: str) -> None:
    assert words.span(first, last) == said


@pytest.mark.parametrize(
    ("names", "said"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_lists_end_with_and(names: list[str], said: str) -> None:
    assert words.listed(names) == said


def test_a_long_list_says_how_many_more() -> None:
    assert words.listed("abcd", 4) == "a, b, c and d"
    assert words.listed("abcde", 4) == "a, b, c, d and 1 more"


def test_a_sentence_has_a_capital_and_one_stop() -> None:
    assert words.sentence("moves the buckwheat") == "Moves the buckwheat."
    assert words.sentence("Done.") == "Done."
    assert words.sentence("  ") == ""


def test_two_are_joined_by_or_where_one_is_meant() -> None:
    assert words.either(["a", "b", "c"]) == "a, b or c"


def test_each_day_and_month_has_our_own_name() -> None:
    """Against ISO 8601's order: Monday is the first day of the week, January the first month."""
    months = [words.month_name(date(2026, n, 1))[:3].upper() for n in range(1, 13)]
    assert "".join(months) == "JANFEBMARAPRMAYJUNJULAUGSEPOCTNOVDEC"
    week = [words.weekday_name(date.fromisocalendar(2026, 2, n)) for n in range(1, 8)]
    assert week == ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
    assert words.short_date(date(2026, 12, 1)) == "1 Dec"
    assert words.day_of_month(date(2026, 1, 18)) == "Sun 18"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("jar", "jars"), ("loaf", "loaves"), ("bunch", "bunches"), ("box", "boxes"), ("glass", "glasses"),
        ("berry", "berries"), ("turkey", "turkeys"), ("qt bag", "qt bags"), ("pack of 6", "packs of 6"),
        ("half-gallon", "half-gallons"), ("dish", "dishes"),
    ],
)  # fmt: skip
def test_more_than_one_of_a_thing(name: str, said: str) -> None:
    assert words.many(name) == said
    assert words.plural(1, name) == f"1 {name}"
    assert words.plural(2, name) == f"2 {said}"
    assert words.plural(0, name) == f"0 {said}"


@pytest.mark.parametrize(
    ("count", "size", "said"),
    [
        ("77", "qt", "77 quarts"), ("1", "pt", "1 pint"), ("1/2", "qt", "1/2 quart"), ("12", "lb", "12 lb"),
        ("3", "kg", "3 kg"), ("12", "qt bag", "12 qt bags"), ("2", "pack of 6", "2 x pack of 6"),
        ("9", "2-egg tub", "9 x 2-egg tub"), ("3", "each", "3 pieces"), ("2", "loaf", "2 loaves"),
        ("5", "bunch", "5 bunches"),
    ],
)  # fmt: skip
def test_what_a_season_counts(count: str, size: str, said: str) -> None:
    assert season_counted(Fraction(count), size) == said


def test_no_name_of_a_day_or_month_is_asked_of_the_machine() -> None:
    """%A, %B and calendar.day_name speak the language that the machine is set to."""
    asked = re.compile(r"%[aAbBcxXpZ]\b|calendar\.(?:day|month)_(?:name|abbr)")
    found = [
        f"{path.name}: {line.strip()}"
        for path in PACKAGE.rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if asked.search(line)
    ]
    assert found == ['draw.py: MONTH_AND_YEAR = "%b %Y"'], "the pictures' own, which Vega names in English"


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


def product(name: str, size: str = "qt") -> Product:
    return Product(name=name, family="", kind="jar", measure="each", sizes=(Size(size, Fraction(1)),))


@pytest.mark.parametrize(
    ("name", "size", "said"),
    [
        ("Cabbage", "head", "cabbage"),
        ("Potatoes, early red", "lb", "early red potatoes"),
        ("Carrots, in sand", "lb", "carrots in sand"),
        ("Basil paste, no nuts", "hp tub", "basil paste, no nuts"),
        ("Bread, loaves", "loaf", "bread"),
        ("Apples, long keepers", "lb", "long keeper apples"),
    ],
)
def test_a_turned_name_is_turned_back(name: str, size: str, said: str) -> None:
    assert spoken(product(name, size)) == said


@pytest.mark.parametrize(
    ("name", "size", "number", "said"),
    [
        ("Cabbage", "head", 18, "18 heads of cabbage"),
        ("Cabbage", "head", 1, "1 head of cabbage"),
        ("Eggs, beaten", "2-egg tub", 19, "19 tubs of beaten eggs"),
        ("Green beans", "qt", 54, "54 quarts of green beans"),
        ("Pork chops", "pack of 6", 3, "3 packs of pork chops"),
        ("Squash, buttercup", "each", 9, "9 buttercup squash"),
        ("Whole chicken", "bird", 4, "4 whole chickens"),
        ("Bread, loaves", "loaf", 2, "2 loaves of bread"),
    ],
)
def test_containers_are_counted_in_whole_words(name: str, size: str, number: int, said: str) -> None:
    assert counted(product(name, size), number) == said


@pytest.mark.parametrize(
    ("name", "said"), [("cabbage", "keeps"), ("leeks", "keep"), ("watercress", "keeps"), ("carrots in sand", "keep")]
)
def test_many_keep_and_one_keeps(name: str, said: str) -> None:
    assert verb(name, "keep") == said


def test_a_household_with_an_article_in_its_name_has_one() -> None:
    assert f"the menu at {the_house('the hut')} table" == "the menu at the hut table"
    assert the_house("Tarrow") == "the Tarrow"


def test_letters_of_jars_are_explained_where_they_stand() -> None:
    assert letters_explained(["qt", "pt bag = 1 pt", "hp"]) == "qt: quart; pt: pint; hp: half-pint"
    assert letters_explained(["500 ml jar", "kg", "lb"]) == ""
