"""Putting up, bringing in, moving, opening; holding back and letting go."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.actions.book.glass import came, came_back, counted, glass_rows, lids_on_hand
from pantrymeals.actions.book.hold import by_size, hold_lots, release_lots, rest_of_load, set_state, spoil, which_lots
from pantrymeals.actions.book.put import PutUp, bring_in, move, open_jars, put_up
from pantrymeals.actions.book.take import Wanted
from pantrymeals.actions.book.words import NotUnderstood, Said, understand
from pantrymeals.book.lines import GlassLine, Line, LotFacts
from pantrymeals.book.trouble import BookTrouble
from tests.unit.book.kitchen import (
    BEANS_1,
    BEANS_2,
    SAUCE_24,
    SAUCE_25,
    TODAY,
    a_book,
    counts,
    enter,
    failed_seals,
    on_shelf,
    pantry,
    sums_by_reason,
)

HERE = pantry()


def said(words: str) -> Said:
    return understand(HERE, words)


def test_a_lot_goes_where_the_product_stood_last_and_its_failed_jar_to_the_fridge() -> None:
    book = a_book(on_shelf(BEANS_1, 3, "S1"))
    lot = PutUp(said("13 qt green beans"), "2026-01-17", "load 9", "page 31", failed=1)
    enter(book, put_up(HERE, book, lot))
    assert counts(book)["2026-01-17", "load 9", "S1", ""] == 13
    assert list(failed_seals(book).values()) == [1]
    assert [(jar.part.note, jar.left) for jar in book.part_jars()] == [("did not seal", 1)]
    assert book.glass() == {("empties", "qt"): -14, ("lids", "regular"): -14}
    assert sums_by_reason(book)["Green beans", "qt", "put up"] == 13


def test_failed_jars_frozen_or_put_up_again_are_only_counted() -> None:
    book = a_book(on_shelf(BEANS_1, 3, "S1"))
    enter(book, put_up(HERE, book, PutUp(said("7 qt green beans"), "2026", failed=2, keep_failed=False, wide=True)))
    assert book.part_jars() == ()
    assert list(failed_seals(book).values()) == [2]
    assert book.glass()["lids", "wide"] == -9


def test_two_loads_with_one_label_are_one_lot() -> None:
    book = a_book(on_shelf(BEANS_1, 3, "S1"))
    enter(book, put_up(HERE, book, PutUp(said("7 qt green beans"), BEANS_1.put_up, "load 1", "page 31")))
    assert counts(book) == {("2025-08-12", "load 1", "S1", ""): 10}


def test_a_product_without_a_place_must_be_told_one() -> None:
    book = a_book()
    with pytest.raises(BookTrouble, match="has no place yet"):
        put_up(HERE, book, PutUp(said("7 qt green beans"), "2026-01-17"))
    enter(book, put_up(HERE, book, PutUp(said("7 qt green beans"), "2026-01-17", place="S1")))
    enter(book, [*move(HERE, book, Wanted(said("7 qt green beans"), "moved"), "K")])
    enter(book, spoil(HERE, book, Wanted(said("7 qt green beans"), "spoiled")))
    enter(book, put_up(HERE, book, PutUp(said("1 qt green beans"), "2026-01-17")))
    assert counts(book) == {("2026-01-17", "", "K", ""): 1}


def test_no_part_of_a_jar_is_put_up() -> None:
    with pytest.raises(NotUnderstood, match="comes in whole qt"):
        put_up(HERE, a_book(on_shelf(BEANS_1, 1)), PutUp(said("1 1/2 qt green beans"), "2026"))


def test_what_is_brought_in_is_a_lot_of_its_day() -> None:
    book = a_book(on_shelf(LotFacts("Butter", "lb", "2025-10-10"), 3, "K"))
    enter(book, bring_in(HERE, book, said("2 1/2 lb butter"), "bought", None))
    assert counts(book)["2026-01-17", "", "K", ""] == Fraction(5, 2)


def test_moving_carries_the_oldest_and_leaves_what_is_there_already() -> None:
    book = a_book(on_shelf(SAUCE_24, 2, "K"), on_shelf(SAUCE_24, 1), on_shelf(SAUCE_25, 5))
    enter(book, move(HERE, book, Wanted(said("3 qt applesauce"), "moved"), "K"))
    assert counts(book) == {
        ("2024", "", "K", ""): 3,
        ("2025-10-06", "6 Oct", "K", ""): 2,
        ("2025-10-06", "6 Oct", "N1", ""): 3,
    }
    with pytest.raises(BookTrouble, match="only 3 qt Applesauce to move"):
        move(HERE, book, Wanted(said("4 qt applesauce"), "moved"), "K")


def test_an_opened_jar_leaves_what_was_said() -> None:
    book = a_book(on_shelf(SAUCE_24, 2))
    enter(book, open_jars(HERE, book, Wanted(said("applesauce"), "pulled"), Fraction(1, 4)))
    enter(book, open_jars(HERE, book, Wanted(said("applesauce"), "pulled"), None))
    assert [(jar.part.opened, jar.left) for jar in book.part_jars()] == [(TODAY, Fraction(5, 4))]
    assert counts(book) == {}


def test_a_load_is_held_and_let_go_whole() -> None:
    book = a_book(on_shelf(BEANS_1, 5, "S1"), on_shelf(BEANS_1, 2, "K"), on_shelf(BEANS_2, 7, "S1"))
    enter(book, hold_lots(book, which_lots("load", "LOAD 1")))
    held = {("2025-08-12", "load 1", "K", "held"): 2, ("2025-08-12", "load 1", "S1", "held"): 5}
    assert counts(book) == held | {("2025-08-12", "load 2", "S1", ""): 7}
    assert hold_lots(book, which_lots("load", "load 1")) == []
    enter(book, release_lots(pantry(), book, which_lots("load", "load 1")))
    assert counts(book)["2025-08-12", "load 1", "S1", ""] == 5


def test_every_lot_of_one_source_is_held_where_it_is_or_carried_away() -> None:
    book = a_book(on_shelf(BEANS_1, 5, "S1"), on_shelf(SAUCE_24, 2), on_shelf(BEANS_2, 7, "S1"))
    enter(book, hold_lots(book, which_lots("source", "page 31"), to="D"))
    assert counts(book) == {
        ("2024", "", "N1", ""): 2,
        ("2025-08-12", "load 1", "D", "held"): 5,
        ("2025-08-12", "load 2", "S1", ""): 7,
    }


def test_which_lots_must_be_said() -> None:
    with pytest.raises(BookTrouble, match="say which source"):
        which_lots("source", " ")
    with pytest.raises(BookTrouble, match="no number of a lot"):
        which_lots("lot", "load 3")


def test_suspect_jars_are_off_the_shelf_and_the_load_is_found() -> None:
    book = a_book(on_shelf(BEANS_1, 5, "S1"), on_shelf(BEANS_1, 2, "K"), on_shelf(BEANS_2, 7, "S1"))
    number = next(h.number for h in book.on_hand() if h.lot.load == "load 1")
    lines = set_state(HERE, book, Wanted(said("1 qt green beans"), "moved", lot=number), "suspect")
    enter(book, lines)
    assert [(h.lot.load, h.place, h.count) for h in rest_of_load(book, lines)] == [
        ("load 1", "K", 1),
        ("load 1", "S1", 5),
    ]
    enter(book, spoil(HERE, book, Wanted(said("1 qt green beans"), "spoiled", lot=number)))
    left = counts(book)
    assert ("2025-08-12", "load 1", "K", "suspect") not in left, "the suspect one is the one that spoiled"
    assert (left["2025-08-12", "load 1", "K", ""], left["2025-08-12", "load 1", "S1", ""]) == (1, 5)


def test_suspect_goes_before_held_and_held_before_sound_and_two_suspect_lots_are_asked_about() -> None:
    book = a_book(on_shelf(BEANS_1, 2, "S1"), on_shelf(BEANS_1, 1, "S1", "held"), on_shelf(BEANS_2, 1, "S1", "suspect"))
    enter(book, spoil(HERE, book, Wanted(said("3 qt green beans"), "spoiled")))
    assert counts(book) == {("2025-08-12", "load 1", "S1", ""): 1}
    two = a_book(on_shelf(BEANS_1, 1, "S1", "suspect"), on_shelf(BEANS_2, 1, "S1", "suspect"))
    with pytest.raises(
        BookTrouble, match=r"more than one lot of Green beans is suspect; say which has spoiled[^:]*:\n  --lot 1: 1 qt"
    ):
        spoil(HERE, two, Wanted(said("1 qt green beans"), "spoiled"))
    enter(two, spoil(HERE, two, Wanted(said("2 qt green beans"), "spoiled")))
    assert counts(two) == {}


def test_what_is_left_of_a_load_is_told_by_its_sizes() -> None:
    pints, halves = LotFacts("Salsa", "pt", "2025-08-12", "1"), LotFacts("Salsa", "hp", "2025-08-12", "1")
    book = a_book(on_shelf(pints, 12), on_shelf(halves, 8))
    taken = [Line(pints, "N1", Fraction(-1), "spoiled")]
    enter(book, taken)
    assert by_size(rest_of_load(book, taken)) in ("11 pt and 8 hp", "8 hp and 11 pt")


def test_spoiled_jars_may_be_among_the_held() -> None:
    book = a_book(on_shelf(BEANS_1, 5, "S1", "held"))
    enter(book, spoil(HERE, book, Wanted(said("2 qt green beans"), "failed seal")))
    assert counts(book) == {("2025-08-12", "load 1", "S1", "held"): 3}
    with pytest.raises(BookTrouble, match="has 0 qt Green beans"):
        spoil(HERE, book, Wanted(said("4 qt green beans"), "failed seal"))


def test_glass_is_counted_and_comes_back() -> None:
    book = a_book(on_shelf(SAUCE_24, 3), on_shelf(SAUCE_25, 2, "N1", "held"), GlassLine("out", "qt", 4))
    enter(book, counted(book, "empties", "qt", 148))
    enter(book, counted(book, "empties", "qt", 140))
    enter(book, came_back("qt", 3))
    enter(book, came("lids", "wide", 120))
    quarts = next(row for row in glass_rows(HERE, book) if row.size == "qt")
    assert (quarts.full, quarts.empties, quarts.out, quarts.owned) == (5, 143, 1, 149)
    assert lids_on_hand(book) == (("regular", 0), ("wide", 120))
    with pytest.raises(BookTrouble, match="'gallon' is no kind of empties"):
        counted(book, "empties", "gallon", 3)
