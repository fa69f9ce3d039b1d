"""A count without a sheet: what is typed beside each line, and what else stands there."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.actions.book.count import NotOnSheet, counted_by_hand, differences, sheet_lines
from pantrymeals.actions.book.often import often_taken, one_of
from pantrymeals.book.lines import Line, NewEntry
from pantrymeals.book.writing import undo
from pantrymeals.errors import PantryError
from tests.unit.book.kitchen import BEANS_1, FLOUR, SAUCE_24, SAUCE_25, TODAY, a_book, enter, on_shelf, pantry

HERE = pantry()


def test_only_what_was_typed_is_counted() -> None:
    book = a_book(on_shelf(SAUCE_24, 3, "K"), on_shelf(SAUCE_25, 5, "K"), on_shelf(BEANS_1, 4, "S1"))
    lines = sheet_lines(HERE, book, "K")
    counted = counted_by_hand(HERE, lines, {0: " 2 "})
    assert [(d.lot, d.book, d.shelf) for d in differences(book, counted)] == [(SAUCE_24, Fraction(3), Fraction(2))]


def test_what_else_stands_there_is_found() -> None:
    book = a_book(on_shelf(SAUCE_24, 3, "K"))
    counted = counted_by_hand(
        HERE, sheet_lines(HERE, book, "K"), {}, [NotOnSheet("2 qt green beans", "K", "2025-08-01")]
    )
    [found] = differences(book, counted)
    assert (found.lot.product, found.lot.put_up, found.place, found.book, found.shelf) == (
        "Green beans", "2025-08-01", "K", 0, 2,
    )  # fmt: skip


@pytest.mark.parametrize(("words", "put_up", "refused"), [
    ("2 qt applesauce", "", True), ("2 qt applesauce", "2024", True), ("2 qt applesauce", "2023", False),
    ("2 qt green beans", "", False),
])  # fmt: skip
def test_something_else_that_has_a_line_of_its_own_is_counted_there(words: str, put_up: str, refused: bool) -> None:
    """'2 qt applesauce' beside the line of 3 would have made 2 of them: a cook who finds two more means five."""
    book = a_book(on_shelf(SAUCE_24, 3, "K"), on_shelf(BEANS_1, 5, "S1"))
    lines = sheet_lines(HERE, book, "K")
    found = [NotOnSheet(words, "K", put_up)]
    if refused:
        with pytest.raises(PantryError, match="has its own line here, where the book has 3 qt: write there"):
            counted_by_hand(HERE, (), {}, found, lines)
        return
    [difference] = differences(book, counted_by_hand(HERE, (), {}, found, lines))
    assert (difference.book, difference.shelf) == (0, 2)


@pytest.mark.parametrize(
    ("shelf", "says"),
    [({0: "some"}, "is not a count"), ({0: "1/2"}, "counted in whole qt"), ({}, "no number was written")],
)
def test_what_is_no_count_is_said(shelf: dict[int, str], says: str) -> None:
    book = a_book(on_shelf(SAUCE_24, 3, "K"))
    with pytest.raises(PantryError, match=says):
        counted_by_hand(HERE, sheet_lines(HERE, book, "K"), shelf)


def test_what_is_taken_often_is_whole_there_and_not_undone() -> None:
    book = a_book(on_shelf(SAUCE_24, 3, "K"), on_shelf(BEANS_1, 2, "S1"), on_shelf(FLOUR, 50, "D"))
    for lot, place, times in ((SAUCE_24, "K", 2), (BEANS_1, "S1", 1), (FLOUR, "D", 5)):
        for _ in range(times):
            enter(book, [Line(lot, place, Fraction(-1), "eaten")])
    assert [x.words for x in often_taken(HERE, book)] == ["1 qt Applesauce", "1 qt Green beans"]
    assert (often_taken(HERE, book)[0].one, often_taken(HERE, book)[0].there) == ("one qt", "1")
    assert (one_of("each"), one_of("2-egg tub")) == ("one", "one 2-egg tub")
    undo(book, NewEntry(TODAY, "undo"))  # the flour
    enter(book, [Line(BEANS_1, "S1", Fraction(-1), "eaten")])  # the last of them
    assert [x.words for x in often_taken(HERE, book)] == ["1 qt Applesauce"]
