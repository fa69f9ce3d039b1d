"""Taking: the oldest first, whole jars, part jars before a fresh one, and what becomes of the glass."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest

from pantrymeals.actions.book.take import Wanted, take
from pantrymeals.actions.book.words import Said, understand
from pantrymeals.book.lines import AnyLine, GlassLine, Line, PartFacts, PartLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.records import Reason
from tests.unit.book.kitchen import (
    BEANS_1,
    BEANS_2,
    FLOUR,
    SAUCE_24,
    SAUCE_25,
    TODAY,
    a_book,
    counts,
    enter,
    on_shelf,
    pantry,
)

HERE = pantry()


def said(words: str) -> Said:
    return understand(HERE, words)


def jars(lines: list[AnyLine]) -> list[tuple[str, str, Fraction]]:
    return [(x.lot.put_up, x.place, x.count) for x in lines if isinstance(x, Line)]


def test_the_oldest_goes_first_then_in_walking_order() -> None:
    book = a_book(
        on_shelf(SAUCE_25, 5), on_shelf(SAUCE_25, 2, "K"), on_shelf(SAUCE_24, 3), on_shelf(SAUCE_24, 9, "N1", "held")
    )
    lines = take(HERE, book, Wanted(said("6 qt applesauce"), "pulled"))
    assert jars(lines) == [("2024", "N1", -3), ("2025-10-06", "K", -2), ("2025-10-06", "N1", -1)]
    assert lines[-1] == GlassLine("empties", "qt", 6)


def test_only_from_the_lot_or_place_that_was_named() -> None:
    book = a_book(on_shelf(SAUCE_24, 3), on_shelf(SAUCE_25, 5), on_shelf(SAUCE_25, 2, "K"))
    number = next(h.number for h in book.on_hand() if h.place == "K")
    assert jars(take(HERE, book, Wanted(said("3 qt applesauce"), "pulled", lot=number))) == [
        ("2025-10-06", "K", -2),
        ("2025-10-06", "N1", -1),
    ]
    assert jars(take(HERE, book, Wanted(said("2 qt applesauce"), "pulled", place="K"))) == [("2025-10-06", "K", -2)]
    with pytest.raises(BookTrouble, match="the book has 2 qt Applesauce at K"):
        take(HERE, book, Wanted(said("3 qt applesauce"), "pulled", place="K"))


def test_too_little_says_what_there_is_besides() -> None:
    book = a_book(on_shelf(SAUCE_24, 3), on_shelf(SAUCE_25, 5, "N1", "held"))
    with pytest.raises(BookTrouble, match=r"has 3 qt Applesauce \(besides 5 qt held\), not 4\. If the shelf"):
        take(HERE, book, Wanted(said("4 qt applesauce"), "pulled"))


@pytest.mark.parametrize(
    ("reason", "glass"),
    [
        ("eaten", [GlassLine("empties", "qt", 2)]),
        ("to the hens", [GlassLine("empties", "qt", 2)]),
        ("given", [GlassLine("out", "qt", 2)]),
        ("bartered", [GlassLine("out", "qt", 2)]),
        ("spoiled", []),
        ("failed seal", []),
    ],
)
def test_what_becomes_of_the_glass(reason: Reason, glass: list[GlassLine]) -> None:
    book = a_book(on_shelf(SAUCE_24, 3))
    lines = take(HERE, book, Wanted(said("2 qt applesauce"), reason))
    assert [line for line in lines if isinstance(line, GlassLine)] == glass


def test_loose_goods_leave_exactly_what_is_said() -> None:
    book = a_book(on_shelf(FLOUR, "60", "D"))
    enter(book, take(HERE, book, Wanted(said("8 1/2 lb flour"), "eaten")))
    enter(book, take(HERE, book, Wanted(said("1/3 lb flour"), "eaten")))
    assert counts(book) == {("2025-05-15", "", "D", ""): Fraction(60) - Fraction(17, 2) - Fraction(1, 3)}


def test_less_than_a_jar_comes_from_the_part_jar_first() -> None:
    jar = PartFacts("Applesauce", "qt", TODAY - timedelta(days=1), "Fridge")
    book = a_book(on_shelf(SAUCE_24, 3), PartLine(jar, Fraction(1, 2), "counted"))
    assert take(HERE, book, Wanted(said("1/4 qt applesauce"), "eaten")) == [PartLine(jar, Fraction(-1, 4), "eaten")]
    lines = take(HERE, book, Wanted(said("1/2 qt applesauce"), "eaten"))
    assert lines == [PartLine(jar, Fraction(-1, 2), "eaten"), GlassLine("empties", "qt", 1)]


def test_then_a_fresh_one_is_opened_and_what_is_left_of_it_stays() -> None:
    jar = PartFacts("Applesauce", "qt", TODAY - timedelta(days=1), "Fridge")
    book = a_book(on_shelf(SAUCE_24, 3), PartLine(jar, Fraction(1, 4), "counted"))
    enter(book, take(HERE, book, Wanted(said("1/2 qt applesauce"), "eaten")))
    assert counts(book) == {("2024", "", "N1", ""): 2}
    fresh = PartFacts("Applesauce", "qt", TODAY, "Fridge")
    assert [(j.part, j.left) for j in book.part_jars()] == [(fresh, Fraction(3, 4))]
    assert book.glass() == {("empties", "qt"): 1}


def test_two_and_a_half_jars_never_take_one_jar_twice() -> None:
    book = a_book(on_shelf(SAUCE_24, 2), on_shelf(SAUCE_25, 1))
    enter(book, take(HERE, book, Wanted(said("2 1/2 qt applesauce"), "eaten")))
    assert counts(book) == {}
    assert [j.left for j in book.part_jars()] == [Fraction(1, 2)]
    with pytest.raises(BookTrouble, match="has 0 qt"):
        take(HERE, a_book(on_shelf(SAUCE_24, 2)), Wanted(said("2 1/2 qt applesauce"), "eaten"))


def test_only_lots_with_a_source_are_for_giving() -> None:
    book = a_book(on_shelf(BEANS_2, 7, "S1"), on_shelf(BEANS_1, 3, "S1"))
    assert [
        x.lot.load
        for x in take(HERE, book, Wanted(said("3 qt green beans"), "given", sourced=True))
        if isinstance(x, Line)
    ] == ["load 1"]
    with pytest.raises(BookTrouble, match="with a tested source written down"):
        take(HERE, book, Wanted(said("4 qt green beans"), "given", sourced=True))


def test_today_is_the_pantrys_day() -> None:
    other = pantry(today=date(2026, 2, 1))
    book = a_book(on_shelf(SAUCE_24, 2))
    lines = take(other, book, Wanted(said("1/2 qt applesauce"), "eaten"))
    assert next(x for x in lines if isinstance(x, PartLine)).part.opened == date(2026, 2, 1)


@pytest.mark.parametrize("parts", [3, 7, 11, 13, 17, 23, 49])
def test_so_many_parts_of_a_pound_are_one_pound(parts: int) -> None:
    """A share that is no whole number of the book's parts is rounded; the roundings never add up to a shortage."""
    book = a_book(on_shelf(FLOUR, 1, "D"))
    for number in range(parts):
        assert counts(book), f"gone after {number} of {parts}"
        enter(book, take(HERE, book, Wanted(said(f"1/{parts} lb flour"), "eaten")))
    assert counts(book) == {}
    with pytest.raises(BookTrouble, match="has 0 lb Bread flour"):
        take(HERE, book, Wanted(said("1/100 lb flour"), "eaten"))


def test_a_lot_of_another_product_or_of_none_is_said_to_be_so() -> None:
    book = a_book(on_shelf(SAUCE_24, 5), on_shelf(BEANS_1, 7))
    sauce, beans = (book.on_hand(name)[0].number for name in ("Applesauce", "Green beans"))
    wrong = (
        rf"lot {beans} is no lot of qt Applesauce: it is Green beans, in qt; of qt Applesauce the book has lot {sauce}"
    )
    with pytest.raises(BookTrouble, match=wrong):
        take(HERE, book, Wanted(said("1 qt applesauce"), "eaten", lot=beans))
    with pytest.raises(BookTrouble, match="lot 99 is no lot of qt Applesauce: there is no such lot in the book"):
        take(HERE, book, Wanted(said("1 qt applesauce"), "eaten", lot=99))
    with pytest.raises(BookTrouble, match=f"the book has 5 qt Applesauce in lot {sauce}, not 6"):
        take(HERE, book, Wanted(said("6 qt applesauce"), "eaten", lot=sauce))
