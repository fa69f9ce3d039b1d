"""How a month without the store ended."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.no_store.ending import ending
from pantrymeals.plans.no_store import Slip
from pantrymeals.records import Movement, NoStoreRules
from tests.kitchens import tiny

MONDAY = tiny.MONDAY


def household():  # type: ignore[no-untyped-def]
    return tiny.kitchen(
        products=[
            tiny.jar("Beans", price_usd=Fraction(2), must_last_to=tiny.day(60), reserve=tiny.qty("1 qt")),
            tiny.loose("Carrots", price_usd=Fraction(3, 2)),
            tiny.jar("Relish", sizes=("pt", "qt")),
        ],
        lots=[],
        dishes=[],
        no_store=NoStoreRules(usual_month_usd=Fraction(487)),
    )


def moved(day: date, product: str, count: str, reason: str = "pulled", size: str = "qt") -> Movement:
    return Movement(day, product, size, Fraction(count), reason)  # type: ignore[arg-type]


BOOK = (
    moved(date(2021, 9, 1), "Relish", "5", "put up", "pt"),
    moved(date(2025, 9, 1), "Beans", "4", "put up"),
    moved(date(2025, 9, 1), "Carrots", "9", "put up", "lb"),
    moved(date(2025, 12, 1), "Carrots", "-1", "eaten", "lb"),
    moved(tiny.day(1), "Beans", "-1"),
    moved(tiny.day(2), "Carrots", "-4", "eaten", "lb"),
    moved(tiny.day(3), "Beans", "-2"),
    moved(tiny.day(4), "Relish", "-1", "pulled", "qt"),
    moved(tiny.day(5), "Carrots", "-1", "compost", "lb"),
    moved(tiny.day(40), "Carrots", "-3", "eaten", "lb"),
)


def test_what_left_the_shelves_at_store_prices() -> None:
    ended = ending(household(), BOOK, (), MONDAY, 30, tiny.day(29))
    assert dict(ended.used) == {"Beans": 3, "Carrots": 4, "Relish": 2}
    assert ended.saved_usd == 3 * 2 + 4 * Fraction(3, 2)
    assert ended.unpriced == ("Relish",)


def test_a_shelf_is_empty_at_its_reserve_and_says_when() -> None:
    ended = ending(household(), BOOK, (), MONDAY, 30, tiny.day(29))
    assert [(e.product, e.day, e.count) for e in ended.emptied] == [("Beans", tiny.day(3), 4)]
    assert ended.more_of[0][0] == "Beans"


def test_a_shelf_that_was_filled_again_is_not_empty() -> None:
    book = (*BOOK, moved(tiny.day(6), "Beans", "7", "put up"))
    assert ending(household(), book, (), MONDAY, 30, tiny.day(29)).emptied == ()


def test_sitters_are_what_nobody_had_opened_for_two_years() -> None:
    ended = ending(household(), BOOK, (), MONDAY, 30, tiny.day(29))
    assert ended.sitters_opened == (("Relish", Fraction(2)),)


def test_days_with_a_slip_are_not_held_and_slips_outside_do_not_count() -> None:
    slips = (
        Slip(tiny.day(-1), "tea", Fraction(3)),
        Slip(tiny.day(4), "carrots", Fraction(2)),
        Slip(tiny.day(4), "lemons", Fraction(1)),
        Slip(tiny.day(12), "tea", Fraction(3)),
    )
    ended = ending(household(), BOOK, slips, MONDAY, 30, tiny.day(9))
    assert (ended.days_gone, ended.days_held) == (10, 9)
    assert ended.slips_usd == 3
    assert ("Carrots", f"bought on {tiny.day(4)}") in ended.more_of


def test_without_a_book_only_slips_are_told() -> None:
    ended = ending(replace(household()), (), (), MONDAY, 30, tiny.day(60))
    assert not ended.has_book
    assert (ended.days_gone, ended.days_held, ended.used) == (30, 30, ())
    assert round(ended.usual_usd) == 480  # 487 a month of 30.4 days
