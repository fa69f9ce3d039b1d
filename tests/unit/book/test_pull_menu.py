"""Pulling a menu: whole jars once each, part jars as the menu leaves them, and the dishes it serves."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.actions.book.look import part_rows
from pantrymeals.actions.book.plan import PullAsked, pull_of_plan
from pantrymeals.actions.book.words import understand
from pantrymeals.book.book import Book
from pantrymeals.book.lines import LotFacts, NewEntry, PartFacts, PartLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import undo
from pantrymeals.plans.menu import BatchWork, BegunUse, ChosenUse, Fetched, FromLot, Opening, PlannedDish, PlannedMeal
from pantrymeals.reports.json.plan_pull import MenuToPull
from pantrymeals.units import parse_amount
from tests.unit.book.kitchen import BEANS_1, FLOUR, SAUCE_24, TODAY, a_book, counts, enter, on_shelf, pantry

HERE = pantry()
TOM = LotFacts("Tomatoes, crushed", "qt", "2025-09-02")
BIRD = LotFacts("Whole chicken", "bird", "2025-09-20")
EGGS = LotFacts("Eggs, beaten", "2-egg tub", "2025-06-20")


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def cooked(number: int, dish: str, *uses: tuple[str, str]) -> PlannedMeal:
    chosen = tuple(ChosenUse(name, parse_amount(amount).quantity) for amount, name in uses)
    return PlannedMeal(day(number), "supper", Fraction(6), (PlannedDish("main", dish, Fraction(1), chosen),))


def menu(meals: tuple[PlannedMeal, ...], *openings: Opening, begun: tuple[BegunUse, ...] = ()) -> MenuToPull:
    return MenuToPull(day(0), 7, meals, openings, begun)


def opens(number: int, product: str, size: str, *uses: tuple[int, str], lifted: int | None = None) -> Opening:
    """One container, and what the dishes of those days take of it."""
    return Opening(
        day(number), product, size, 1, None if lifted is None else day(lifted), None,
        tuple((day(n), parse_amount(amount).quantity) for n, amount in uses),
    )  # fmt: skip


WEEK = menu(
    (
        cooked(0, "Bean pot", ("1 qt", "Green beans"), ("1/2 lb", "Bread flour")),
        cooked(1, "Porridge", ("1/2 qt", "Applesauce")),
        cooked(3, "Stew", ("1 qt", "Tomatoes, crushed"), ("2 lb", "Bread flour")),
        cooked(5, "Pudding", ("3/4 qt", "Applesauce")),
    ),
    opens(0, "Green beans", "qt", (0, "1 qt")),
    opens(1, "Applesauce", "qt", (1, "1/2 qt"), (5, "1/2 qt")),
    opens(3, "Tomatoes, crushed", "qt", (3, "1 qt")),
    opens(5, "Applesauce", "qt", (5, "1/4 qt")),
)
ALL = PullAsked(day(6))


def a_larder() -> Book:
    return a_book(
        on_shelf(BEANS_1, 5, "S1"), on_shelf(SAUCE_24, 3), on_shelf(TOM, 4, "S1"), on_shelf(FLOUR, 60, "D"),
        on_shelf(LotFacts("Tomato sauce", "pt", "2025"), 3, "S1"),
    )  # fmt: skip


def on_hand(book: Book) -> dict[str, Fraction]:
    return {here.lot.product: here.count for here in book.on_hand()}


def test_a_whole_week() -> None:
    book = a_larder()
    enter(book, pull_of_plan(HERE, book, WEEK, ALL).lines)
    assert on_hand(book) == {
        "Green beans": 4, "Applesauce": 1, "Tomatoes, crushed": 3, "Bread flour": Fraction("57.5"),
        "Tomato sauce": 3,
    }  # fmt: skip
    # opened on day 1: half used then, half on day 5 (within its seven days); the second gives a quarter
    assert [(jar.part.product, jar.part.opened, jar.left) for jar in book.part_jars()] == [
        ("Applesauce", day(5), Fraction(3, 4))
    ]
    assert book.glass() == {("empties", "qt"): 3}
    assert book.served() == (
        (day(0), "Bean pot"), (day(1), "Porridge"), (day(3), "Stew"), (day(5), "Pudding"),
    )  # fmt: skip


def test_part_of_it_by_day_and_by_product() -> None:
    book = a_larder()
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(2))).lines)
    assert on_hand(book) == {
        "Green beans": 4, "Applesauce": 2, "Tomatoes, crushed": 4, "Bread flour": Fraction("59.5"),
        "Tomato sauce": 3,
    }  # fmt: skip
    assert [jar.left for jar in book.part_jars()] == [Fraction(1, 2)]
    other = a_larder()
    enter(other, pull_of_plan(HERE, other, WEEK, PullAsked(day(6), frozenset({"Green beans"}))).lines)
    assert on_hand(other)["Green beans"] == 4
    assert on_hand(other)["Bread flour"] == 60
    assert other.served() == (), "part of a list serves no dish"
    last = a_larder()
    enter(last, pull_of_plan(HERE, last, WEEK, PullAsked(day(6), without=frozenset({"Green beans"}))).lines)
    assert on_hand(last)["Green beans"] == 5
    assert on_hand(last)["Tomatoes, crushed"] == 3


def test_something_else_instead() -> None:
    book = a_larder()
    swap = (understand(HERE, "1 qt crushed tom"), understand(HERE, "2 pt tomato sauce"))
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(6), swaps=(swap,))).lines)
    assert on_hand(book)["Tomatoes, crushed"] == 4
    assert on_hand(book)["Tomato sauce"] == 1
    notes = {m.note for m in book.movements("Tomato sauce") if m.reason == "pulled"}
    assert notes == {"instead of 1 qt Tomatoes, crushed"}


def test_half_a_jar_instead_leaves_the_other_half() -> None:
    book = a_larder()
    swap = (understand(HERE, "1/2 qt crushed tom"), understand(HERE, "1 pt tomato sauce"))
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(6), swaps=(swap,))).lines)
    assert on_hand(book)["Tomatoes, crushed"] == 3
    assert ("Tomatoes, crushed", Fraction(1, 2)) in [(j.part.product, j.left) for j in book.part_jars()]


def test_a_swap_for_what_the_menu_does_not_take_is_refused() -> None:
    book = a_larder()
    eggs = (understand(HERE, "1 2-egg tub eggs"), understand(HERE, "1 pt tomato sauce"))
    with pytest.raises(BookTrouble, match="the menu takes no Eggs, beaten"):
        pull_of_plan(HERE, book, WEEK, PullAsked(day(6), swaps=(eggs,)))
    much = (understand(HERE, "3 qt crushed tom"), understand(HERE, "1 pt tomato sauce"))
    with pytest.raises(BookTrouble, match="does not take that much Tomatoes"):
        pull_of_plan(HERE, book, WEEK, PullAsked(day(6), swaps=(much,)))


def test_a_swap_may_not_take_the_menus_own_jars() -> None:
    book = a_book(on_shelf(BEANS_1, 1, "S1"), on_shelf(SAUCE_24, 3), on_shelf(TOM, 4, "S1"), on_shelf(FLOUR, 60, "D"))
    swap = (understand(HERE, "1 qt crushed tom"), understand(HERE, "1 qt green beans"))
    with pytest.raises(BookTrouble, match="the book has 0 qt Green beans"):
        pull_of_plan(HERE, book, WEEK, PullAsked(day(6), swaps=(swap,)))


def test_everything_short_is_named_at_once_and_nothing_is_pulled() -> None:
    book = a_book(on_shelf(SAUCE_24, 1), on_shelf(FLOUR, 1, "D"), on_shelf(TOM, 1, "S1"))
    with pytest.raises(BookTrouble) as caught:
        pull_of_plan(HERE, book, WEEK, ALL)
    assert [line.split(",")[0] for line in str(caught.value).splitlines()] == [
        "the book has 0 qt Applesauce",
        "the book has 1 lb Bread flour",
        "the book has 0 qt Green beans",
        "nothing was pulled; leave some out (--without) or take something else (--instead)",
    ]


def test_what_comes_in_by_itself_is_not_missed() -> None:
    milk = menu((cooked(2, "Custard", ("1 gal", "Milk")),))
    pulled = pull_of_plan(HERE, a_larder(), milk, PullAsked(day(6), coming_in=frozenset({"Milk"})))
    assert pulled.as_it_comes == ["1 gal Milk"]


def test_a_part_jar_is_used_before_a_fresh_one() -> None:
    book = a_larder()
    jar = PartFacts("Applesauce", "qt", day(-2), "Fridge")
    enter(book, [PartLine(jar, Fraction(1, 2), "counted")])
    plan = menu(
        (cooked(1, "Porridge", ("1/2 qt", "Applesauce")), cooked(2, "Pudding", ("1/4 qt", "Applesauce"))),
        opens(2, "Applesauce", "qt", (2, "1/4 qt")),
        begun=(BegunUse("Applesauce", "qt", day(-2), ((day(1), parse_amount("1/2 qt").quantity),)),),
    )
    enter(book, pull_of_plan(HERE, book, plan, ALL).lines)
    assert [(j.part.opened, j.left) for j in book.part_jars()] == [(day(2), Fraction(3, 4))]
    assert book.glass() == {("empties", "qt"): 1}


def test_a_pack_begins_its_clock_when_it_is_lifted_out() -> None:
    book = a_book(on_shelf(BIRD, 2, "D"), on_shelf(EGGS, 3, "D"))
    plan = menu(
        (cooked(4, "Roast", ("1/2 each", "Whole chicken")), cooked(1, "Cakes", ("1 each", "Eggs, beaten"))),
        opens(4, "Whole chicken", "bird", (4, "1/2 each"), lifted=2),
        opens(1, "Eggs, beaten", "2-egg tub", (1, "1 each"), lifted=0),
    )
    enter(book, pull_of_plan(HERE, book, plan, ALL).lines)
    assert [(j.part.product, j.part.opened, j.left) for j in book.part_jars()] == [
        ("Eggs, beaten", day(0), Fraction(1, 2)),
        ("Whole chicken", day(2), Fraction(1, 2)),
    ]


def test_undoing_a_pull_brings_every_sum_back() -> None:
    from pantrymeals.book.lines import NewEntry
    from pantrymeals.book.writing import undo

    book = a_larder()
    before = (counts(book), book.part_jars(), book.served())
    enter(book, pull_of_plan(HERE, book, WEEK, ALL).lines)
    undo(book, NewEntry(TODAY, "undo"))
    assert (counts(book), book.part_jars(), book.served()) == before


def test_a_pack_pulled_late_keeps_the_last_day_that_the_menu_reckoned_with() -> None:
    """The menu lifted the bird out two days before it was ready; that it is written down later does not add a day."""
    roast = cooked(0, "Roast", ("1/2 each", "Whole chicken"))
    plan = menu((roast,), opens(0, "Whole chicken", "bird", (0, "1/2 each"), lifted=-2))
    book = a_book(on_shelf(BIRD, 1, "D"))
    enter(book, pull_of_plan(HERE, book, plan, ALL).lines)
    [left] = book.part_jars()
    bird = HERE.product("Whole chicken")
    assert bird is not None
    assert bird.opened_days is not None
    assert left.part.opened == day(-2)
    [row] = part_rows(HERE, book)
    assert row.eat_by == day(bird.opened_days - 1)


def test_a_part_jar_that_is_not_there_is_told_and_nothing_is_pulled() -> None:
    """Before, what the menu took of a jar that somebody had finished was passed over without a word."""
    porridge = cooked(1, "Porridge", ("1/2 qt", "Applesauce"))
    begun = BegunUse("Applesauce", "qt", day(-2), ((day(1), parse_amount("1/2 qt").quantity),))
    book = a_larder()
    enter(book, [PartLine(PartFacts("Applesauce", "qt", day(-2), "Fridge"), Fraction(1, 4), "counted")])
    with pytest.raises(BookTrouble, match="the menu takes 1/4 qt more of the Applesauce opened 15 Jan than is left"):
        pull_of_plan(HERE, book, menu((porridge,), begun=(begun,)), ALL)


def test_the_lot_that_the_list_names_is_pulled_and_else_the_oldest_one_without_a_date_last() -> None:
    undated = LotFacts("Green beans", "qt")
    soup = cooked(0, "Soup", ("1 qt", "Green beans"))
    for named, gone in ((None, "2024"), (FromLot("K", None), ""), (FromLot("S1", date(2025, 9, 1)), "2025-09-01")):
        book = a_book(
            on_shelf(undated, 1, "K"), on_shelf(LotFacts("Green beans", "qt", "2025-09-01"), 1, "S1"),
            on_shelf(LotFacts("Green beans", "qt", "2024"), 1, "N1"),
        )  # fmt: skip
        plan = menu((soup,), replace(opens(0, "Green beans", "qt", (0, "1 qt")), lot=named))
        enter(book, pull_of_plan(HERE, book, plan, ALL).lines)
        assert {"", "2024", "2025-09-01"} - {here.lot.put_up for here in book.on_hand()} == {gone}


def test_loose_goods_are_taken_from_the_lots_that_the_list_fetches_them_from() -> None:
    """The list said the new sack, since usual use finishes the old one, and the book took the old one."""
    new = LotFacts("Bread flour", "lb", "2025-10-10")
    old, fresh = FromLot("D", date(2025, 5, 15)), FromLot("D", date(2025, 10, 10))

    def got(number: int, count: str, lot: FromLot | None, work: str = "") -> Fetched:
        return Fetched(day(number), "Bread flour", "lb", Fraction(count), lot, work)

    bread = menu((cooked(0, "Bread", ("1 lb", "Bread flour")), cooked(2, "Rolls", ("3/2 lb", "Bread flour"))))
    for fetched, asked, left in (
        ((got(0, "1", old), got(2, "1/2", old), got(2, "1", fresh)), ALL, ("1/2", "4")),
        ((got(0, "1", fresh), got(2, "3/2", fresh)), ALL, ("2", "5/2")),
        ((got(0, "1", fresh), got(2, "3/2", fresh)), PullAsked(day(6), days=frozenset({day(2)})), ("2", "7/2")),
        ((got(0, "1", fresh), got(2, "3/2", old, "Baking day")), ALL, ("1/2", "4")),  # none named for the rolls: oldest
        ((), ALL, ("0", "9/2")),
    ):
        book = a_book(on_shelf(FLOUR, 2, "D"), on_shelf(new, 5, "D"))
        enter(book, pull_of_plan(HERE, book, replace(bread, fetched=fetched), asked).lines)
        there = {here.lot.put_up: here.count for here in book.on_hand()}
        assert (there.get("2025-05-15", 0), there["2025-10-10"]) == tuple(map(Fraction, left)), fetched
    book = a_book(on_shelf(FLOUR, 2, "D"), on_shelf(new, 5, "D"))
    one_lot = replace(bread, fetched=(got(0, "1", fresh), got(2, "3/2", fresh)))
    for asked in (PullAsked(day(0)), ALL):
        enter(book, pull_of_plan(HERE, book, one_lot, asked).lines)
    assert {here.lot.put_up: here.count for here in book.on_hand()} == {"2025-05-15": 2, "2025-10-10": Fraction(5, 2)}


def test_a_day_that_is_pulled_is_not_pulled_again() -> None:
    book = a_larder()
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(2))).lines)
    left = on_hand(book)
    again = pull_of_plan(HERE, book, WEEK, PullAsked(day(2)))
    assert (again.lines, again.again) == ([], (day(0), day(1)))
    rest = pull_of_plan(HERE, book, WEEK, ALL)
    assert rest.again == (day(0), day(1))
    enter(book, rest.lines)
    whole = a_larder()
    enter(whole, pull_of_plan(HERE, whole, WEEK, ALL).lines)
    assert left != on_hand(book) == on_hand(whole), "in two goes it comes to the same as in one"
    assert book.served() == whole.served()


def test_what_was_pulled_by_itself_or_left_out_is_known_when_the_rest_is_pulled() -> None:
    book = a_larder()
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(6), frozenset({"Green beans"}))).lines)
    enter(book, pull_of_plan(HERE, book, WEEK, PullAsked(day(6), without=frozenset({"Bread flour"}))).lines)
    assert on_hand(book)["Green beans"] == 4, "not a second jar"
    assert on_hand(book)["Bread flour"] == 60
    assert pull_of_plan(HERE, book, WEEK, ALL).lines == []
    flour = PullAsked(day(6), frozenset({"Bread flour"}))
    enter(book, pull_of_plan(HERE, book, WEEK, flour).lines)
    assert on_hand(book)["Bread flour"] == Fraction("57.5")
    assert pull_of_plan(HERE, book, WEEK, flour).lines == []


def test_a_pull_taken_back_may_be_pulled_again() -> None:
    book = a_larder()
    number = enter(book, pull_of_plan(HERE, book, WEEK, ALL).lines)
    undo(book, NewEntry(TODAY, "undo"), number)
    assert pull_of_plan(HERE, book, WEEK, ALL).again == ()


def test_of_a_menu_that_was_changed_only_what_is_new_is_pulled() -> None:
    book = a_larder()
    enter(book, pull_of_plan(HERE, book, WEEK, ALL).lines)
    changed = menu(
        (*WEEK.meals[:2], cooked(3, "Pottage", ("1 qt", "Green beans")), WEEK.meals[3]),
        WEEK.openings[0], WEEK.openings[1], opens(3, "Green beans", "qt", (3, "1 qt")), WEEK.openings[3],
    )  # fmt: skip
    before = on_hand(book)
    enter(book, pull_of_plan(HERE, book, changed, ALL).lines)
    assert on_hand(book) == {**before, "Green beans": before["Green beans"] - 1}


def test_of_what_comes_in_the_part_that_is_there_is_taken() -> None:
    plan = menu(
        (cooked(0, "Omelette", ("6 each", "Eggs, beaten"), ("1 lb", "Bread flour")),),
        Opening(day(0), "Eggs, beaten", "2-egg tub", 3, None, None, ((day(0), Fraction(6)),)),
    )
    book = a_book(on_shelf(EGGS, 2), on_shelf(FLOUR, "1/4", "D"))
    coming = PullAsked(day(6), coming_in=frozenset({"Eggs, beaten", "Bread flour"}))
    pulled = pull_of_plan(HERE, book, plan, coming)
    enter(book, pulled.lines)
    assert on_hand(book) == {}
    assert pulled.as_it_comes == ["3/4 lb Bread flour", "1 x 2-egg tub Eggs, beaten"]


def test_a_menu_of_another_household_or_with_what_is_not_kept_is_refused() -> None:
    here = replace(HERE, name="Ferrow")
    book = a_larder()
    assert pull_of_plan(here, book, replace(WEEK, household="ferrow"), ALL).lines
    with pytest.raises(BookTrouble, match="made for the household 'Tarrow', and this is Ferrow's larder"):
        pull_of_plan(here, book, replace(WEEK, household="Tarrow"), ALL)
    odd = menu((cooked(0, "Stew", ("1 each", "Dodo")),))
    with pytest.raises(BookTrouble, match=r"takes what is not in products\.csv: 'Dodo'"):
        pull_of_plan(here, book, odd, ALL)


def test_the_goods_of_batch_days_stay_for_make_over_and_are_named() -> None:
    work = BatchWork(day(2), "Sauce day", 1, "", (ChosenUse("Bread flour", parse_amount("6 lb").quantity),))
    pulled = pull_of_plan(HERE, a_larder(), replace(menu(()), batch_work=(work,)), ALL)
    assert pulled.lines == []
    assert pulled.for_batch_days == ("6 lb Bread flour for Sauce day (Mon 19 Jan)",)
