"""The table's word: what each does to a dish, on both sides of its edges."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.larder.table_words import heeded, heeding
from pantrymeals.records import TableWord
from pantrymeals.reports.table_words import heard_words
from tests.kitchens.tiny import day, dish, kitchen


def words(*said: str) -> list[TableWord]:
    """'not again Ann' on the soup, day after day."""
    out = []
    for number, text in enumerate(said):
        word = next(w for w in ("not again", "again", "too much", "too little") if text.startswith(w))
        out.append(TableWord(day(number), "Soup", word, text[len(word) :].strip()))
    return out


@pytest.mark.parametrize(
    ("said", "liking"),
    [
        ([], 0),
        (["again"], 1),
        (["again", "again"], 1),  # of one person the latest counts
        (["again Ann", "again Ben"], 2),
        (["again Ann", "again Ben", "again Cy"], 2),
        (["not again"], -2),
        (["not again Ann", "again Ben", "again Cy"], 0),
        (["not again Ann", "again ann"], 1),
        (["too much"], 0),
    ],
)
def test_again_and_not_again_change_the_liking(said: list[str], liking: int) -> None:
    assert heeded(dish("Soup", serves=8), words(*said)).liking == liking


@pytest.mark.parametrize(
    ("said", "serves"),
    [
        (["too much"], 9),
        (["too little"], 7),
        (["too little", "too much"], 8),
        (["too much"] * 4, 12),
        (["too much"] * 9, 12),
        (["too little"] * 9, 4),
        (["again"], 8),
    ],
)
def test_too_much_and_too_little_change_how_many_it_feeds(said: list[str], serves: int) -> None:
    assert heeded(dish("Soup", serves=8), words(*said)).serves == serves


def test_of_one_meal_too_much_counts_once_however_many_say_so() -> None:
    said = [TableWord(day(0), "Soup", "too much", who) for who in ("Ann", "Ben", "phone", "phone")]
    assert heeded(dish("Soup", serves=8), said).serves == 9
    assert heeded(dish("Soup", serves=8), [*said, TableWord(day(1), "Soup", "too much", "Ann")]).serves == 10


def test_a_household_heeds_them_and_keeps_what_was_written() -> None:
    home = kitchen(dishes=[dish("Soup", liking=1), dish("Pie")])
    gone = TableWord(day(0), "No longer cooked", "again")
    heard = heeding(home, [*words("not again Ann", "too much"), gone])
    assert (heard.dishes["Soup"].liking, heard.dishes["Soup"].serves) == (-1, Fraction(9, 2))
    assert heard.dishes["Pie"] == home.dishes["Pie"]
    assert set(heard.heard) == {"Soup"}
    assert heard_words(heard.heard["Soup"], heard.dishes["Soup"]) == (
        "not again (Ann, 5 Jan), too much (6 Jan): liking -1, not 1 as written; counted as feeding 4 1/2, not 4"
    )
    assert heeding(home, []).dishes == home.dishes


def test_words_that_cancel_say_that_the_dish_stays_as_written() -> None:
    home = heeding(kitchen(dishes=[dish("Soup")]), words("too much", "too little"))
    assert heard_words(home.heard["Soup"], home.dishes["Soup"]).endswith("it stays as written")
