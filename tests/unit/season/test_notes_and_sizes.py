"""The notes of a year, and the jar size that leaves no half jars."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.errors import PantryError
from pantrymeals.records import Dish, Option, Use
from pantrymeals.season.jar_sizes import left_over, size_advice
from pantrymeals.season.notes import season_notes
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.units import UNITS

F = Fraction
PT, QT = UNITS["pt"][1], UNITS["qt"][1]


def notes(asked, a_household, a_product, book_year, *years, name="Applesauce"):
    data = {
        "harvest": [{"crop": "apples", "from": "09-10", "to": "10-25", "products": [name]}],
        "history": [book_year(name, *y) for y in years],
    }
    return season_notes(asked(a_household(a_product(name), season=data)), 2024)


def test_the_list_of_that_spring_is_judged_by_what_was_eaten(asked, a_household, a_product, book_year):
    found = notes(asked, a_household, a_product, book_year, (2023, 4, 88, 76, 5), (2024, 11, 84, 80, 6))
    (row,) = found.rows
    assert row.listed == 70  # 76 used, 11 carried over: 65, ten loads of seven
    assert row.verdict == "9 quarts over; the list said 70, and would have been 5 quarts short"
    assert not found.running


def test_a_first_year_has_no_list_to_judge(asked, a_household, a_product, book_year):
    (row,) = notes(asked, a_household, a_product, book_year, (2024, 0, 20, 20)).rows
    assert row.listed is None
    assert row.verdict == "went to the last"


def test_not_one_opened_is_said(asked, a_household, a_product, book_year):
    found = notes(asked, a_household, a_product, book_year, (2023, 0, 9, 0), (2024, 9, 0, 0))
    assert found.rows[0].verdict.startswith("not one used")
    assert found.summary[0] == "Not one opened of: Applesauce."


def test_a_year_that_is_not_in_the_book(asked, a_household, a_product):
    with pytest.raises(PantryError, match="the book has no years yet"):
        season_notes(asked(a_household(a_product("Applesauce"))), 2001)


@pytest.mark.parametrize(("amount", "size", "left"), [(2, 2, 0), (1, 2, 1), (5, 2, 1), (3, 1, 0)])
def test_what_stays_in_the_last_jar(amount, size, left):
    assert left_over(F(amount), F(size)) == left


def dish(name, amount, **more):
    return Dish(name, "lunch", F(4), (Use((Option("Salsa", amount, ""),)),), **more)


def advice(asked, a_household, a_product, size, *dishes, product="Salsa"):
    home = a_household(a_product(product, size, acid="acidified"), dishes=dishes)
    return size_advice(asked(home))


def test_half_a_pint_a_time_asks_for_half_pints(asked, a_household, a_product):
    (found,) = advice(asked, a_household, a_product, "pt", dish("Bean cakes", PT / 2))
    assert (found.now, found.better, found.left_better) == ("pt", "hp", 0)
    assert found.why == "Bean cakes takes 1/2 pint and leaves 1/2 of a jar; the half-pint leaves nothing"


@pytest.mark.parametrize(
    ("counted", "better", "said"), [(("pt", "hp"), "hp", False), (("pt",), "hp", True), ((), "hp", False)]
)
def test_a_size_that_the_house_counts_none_of_is_said_to_be_so(asked, a_household, a_product, counted, better, said):
    jars = [{"size": size, "empties": "20"} for size in counted]
    home = a_household(
        a_product("Salsa", "pt", acid="acidified"), dishes=(dish("Bean cakes", PT / 2),), season={"jars": jars}
    )
    (found,) = size_advice(asked(home))
    assert found.better == better
    assert ("counts no half-pint jars of yours" in found.why) == said


def test_a_size_of_ones_own_goes_before_one_that_would_leave_less(asked, a_household, a_product):
    """Of half a pint a half-pint would leave nothing and a pint half of itself; the house has pints and quarts."""
    jars = [{"size": size, "empties": "20"} for size in ("qt", "pt")]
    home = a_household(
        a_product("Salsa", "qt", acid="acidified"), dishes=(dish("Cakes", PT / 2),), season={"jars": jars}
    )
    (found,) = size_advice(asked(home))
    assert (found.better, found.left_better) == ("pt", F(1, 2))


def test_gifts_are_part_of_that_springs_need(asked, a_household, a_product, book_year):
    """76 eaten and 12 given are 88; eleven are carried over, so 77: eleven loads of seven."""
    (row,) = notes(asked, a_household, a_product, book_year, (2023, 4, 100, 76, 12), (2024, 11, 84, 80, 6)).rows
    assert row.listed == 77


def test_whole_jars_ask_for_no_other_size(asked, a_household, a_product):
    assert advice(asked, a_household, a_product, "pt", dish("Stew", PT)) == ()


def test_never_a_larger_jar_than_was_tested(asked, a_household, a_product):
    # two pints at once would suit a quart, but salsa was tested in pints only
    assert advice(asked, a_household, a_product, "pt", dish("Crowd", 2 * PT)) == ()


def test_the_starter_books_dishes_do_not_change_our_jars(asked, a_household, a_product):
    assert advice(asked, a_household, a_product, "pt", dish("Cakes", PT / 2, book="starter")) == ()


def test_the_changes_stand_first_by_what_they_are_worth_and_are_those_of_todays_list(
    asked, a_household, a_product, book_year
):
    data = {
        "harvest": [
            {"crop": "apples", "from": "09-10", "to": "10-25", "products": ["Applesauce", "Apple butter", "Cider"]}
        ],
        "history": [
            book_year("Applesauce", 2024, 0, 10, 10), book_year("Apple butter", 2024, 0, 40, 3),
            book_year("Cider", 2024, 0, 14, 14),
        ],
    }  # fmt: skip
    question = asked(a_household(*(a_product(name) for name in ("Applesauce", "Apple butter", "Cider")), season=data))
    made, found = put_up_list(question), season_notes(question, 2024)
    now = {line.product: line.loads * line.load for line in made.lines} | {name: 0 for name, _ in made.none}
    by_hand = {"Applesauce": abs(now["Applesauce"] - 10), "Apple butter": abs(now["Apple butter"] - 40),
               "Cider": abs(now["Cider"] - 14)}  # fmt: skip
    changed = [name for name, _ in found.changes]
    assert changed == sorted((n for n, jars in by_hand.items() if jars), key=lambda n: (-by_hand[n], n))
    assert changed[0] == "Apple butter"
    for name, said in found.changes:
        assert f"says {now[name] or 'none'}" in said


def test_short_ones_are_counted_and_no_line_says_none_short_beside_them(asked, a_household, a_product, book_year):
    found = notes(asked, a_household, a_product, book_year, (2023, 4, 88, 76, 5), (2024, 11, 84, 80, 6))
    short = sum("short" in row.verdict for row in found.rows)
    assert short == 1
    assert found.summary[-1].endswith("0 further over, and 1 short.")
