"""What the book remembers of what was eaten lately, and since when it knows."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.actions.larder import known_since, taken_since
from pantrymeals.book.lines import Line, LotFacts, NewEntry
from pantrymeals.book.writing import undo
from pantrymeals.records import PartJar, Taken
from pantrymeals.units import parse_amount
from tests.unit.book.kitchen import BEANS_1, SAUCE_24, SAUCE_25, TODAY, a_book, enter, on_shelf, pantry

HERE = pantry()
FIRST = date(2026, 1, 1)
QUART = parse_amount("1 qt").quantity


def gone(lot: LotFacts, count: int, reason: str) -> Line:
    return Line(lot, "N1", Fraction(-count), reason)  # type: ignore[arg-type]


def test_pulled_eaten_and_missing_at_a_count_were_eaten_and_nothing_else_was() -> None:
    book = a_book(on_shelf(SAUCE_24, 20), on_shelf(BEANS_1, 5))
    enter(book, [gone(SAUCE_24, 2, "pulled")])
    enter(book, [gone(SAUCE_24, 1, "eaten")])
    enter(book, [gone(SAUCE_24, 3, "counted")])
    enter(book, [gone(SAUCE_24, 4, "given"), gone(SAUCE_24, 1, "spoiled"), on_shelf(BEANS_1, 1)])
    assert taken_since(HERE, book, FIRST, ()) == (Taken(TODAY, "Applesauce", 6 * QUART),)
    assert taken_since(HERE, book, TODAY + timedelta(days=1), ()) == ()


def test_what_was_put_back_or_undone_was_not_eaten() -> None:
    book = a_book(on_shelf(SAUCE_24, 20))
    enter(book, [gone(SAUCE_24, 3, "pulled")])
    enter(book, [Line(SAUCE_24, "N1", Fraction(1), "pulled")])
    enter(book, [gone(SAUCE_24, 5, "eaten")])
    undo(book, NewEntry(TODAY, "undo"))
    assert taken_since(HERE, book, FIRST, ()) == (Taken(TODAY, "Applesauce", 2 * QUART),)


def test_what_is_left_of_a_jar_is_not_eaten_yet() -> None:
    book = a_book(on_shelf(SAUCE_24, 20))
    enter(book, [gone(SAUCE_24, 1, "pulled")])
    jar = PartJar("Applesauce", "qt", QUART / 4, TODAY)
    assert sum(t.amount for t in taken_since(HERE, book, FIRST, [jar])) == QUART * 3 / 4
    before = replace(jar, opened=FIRST - timedelta(days=1))
    assert sum(t.amount for t in taken_since(HERE, book, FIRST, [before])) == QUART


def test_it_knows_since_the_first_line_or_since_new_came() -> None:
    book = a_book(on_shelf(SAUCE_24, 20), on_shelf(BEANS_1, 5))
    assert known_since(HERE, book) == {"Applesauce": FIRST, "Green beans": FIRST}
    enter(book, [gone(SAUCE_24, 1, "eaten"), on_shelf(SAUCE_24, 1)])
    assert known_since(HERE, book)["Applesauce"] == FIRST
    enter(book, [Line(SAUCE_25, "N1", Fraction(7), "put up")])
    assert known_since(HERE, book) == {"Applesauce": TODAY, "Green beans": FIRST}
