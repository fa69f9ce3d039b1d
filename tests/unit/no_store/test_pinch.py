"""What pinches, on which day."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.no_store.pinch import drawn, pinches, through
from pantrymeals.no_store.staples import staple_rows
from pantrymeals.plans.menu import Opening
from tests.kitchens import tiny
from tests.unit.reports import sheets
from tests.unit.reports.sheets import at


def test_standing_use_that_finds_too_little_goes_without() -> None:
    household = tiny.kitchen(
        products=[tiny.loose("Coffee"), tiny.jar("Beans")],
        lots=[tiny.lot("Coffee", 1, "lb"), tiny.lot("Beans", 9)],
        dishes=[tiny.dish("Bean pot", ["1 qt Beans"])],
        standing=(tiny.standing("Coffee", "1 lb"),),
    )
    plan = tiny.menu(
        household,
        [tiny.supper(tiny.day(n), tiny.cooked(household, "Bean pot")) for n in range(9)],
        [Opening(tiny.day(n), "Beans", "qt", 1) for n in range(9)],
    )
    found = pinches(household, plan, staple_rows(household, tiny.MONDAY, 9, 30), (), through(household, plan))
    assert [(p.product, p.kind, p.day) for p in found] == [
        ("Coffee", "goes without", tiny.day(7)),
        ("Beans", "used up", tiny.day(8)),
    ]
    assert found[0].lacking == Fraction(2, 7)
    assert "last 2 days go without" in found[0].why
    assert "9 times" in found[1].plan


def test_bread_that_waits_for_bake_day_goes_without_until_then_and_no_longer() -> None:
    """Seven loaves a week, none on the shelf, and four more on the third day: two days without, not nine."""
    household = tiny.kitchen(
        products=[tiny.loose("Bread"), tiny.jar("Beans")],
        lots=[tiny.lot("Beans", 9)],
        dishes=[tiny.dish("Bean pot", ["1 qt Beans"])],
        standing=(tiny.standing("Bread", "7 lb"),),
        arrivals=(tiny.arrival("Bread", "9 lb", tiny.day(2)),),
    )
    plan = tiny.menu(household, [tiny.supper(tiny.day(8), tiny.cooked(household, "Bean pot"))], [], days=9)
    (bread,) = (
        p
        for p in pinches(household, plan, staple_rows(household, tiny.MONDAY, 9, 30), (), through(household, plan))
        if p.product == "Bread"
    )
    assert (bread.kind, bread.day) == ("goes without", tiny.day(0))
    assert bread.why == "Its standing use finds too little on 2 days, this the first, the last 6 Jan."
    assert bread.lacking == 2


def test_bread_that_comes_in_as_fast_as_it_goes_lacks_on_its_first_days_alone() -> None:
    """Seven loaves a week and seven baked each week, from the third on: 29 days lack nothing."""
    household = tiny.kitchen(
        products=[tiny.loose("Bread"), tiny.jar("Beans")],
        lots=[tiny.lot("Beans", 9)],
        dishes=[tiny.dish("Bean pot", ["1 qt Beans"])],
        standing=(tiny.standing("Bread", "7 lb"),),
        arrivals=tuple(tiny.arrival("Bread", "7 lb", tiny.day(2 + 7 * n)) for n in range(5)),
    )
    plan = tiny.menu(household, [tiny.supper(tiny.day(8), tiny.cooked(household, "Bean pot"))], [], days=31)
    rows = staple_rows(household, tiny.MONDAY, 31, 60)
    (bread,) = (p for p in pinches(household, plan, rows, (), through(household, plan)) if p.product == "Bread")
    assert rows[0].without == (tiny.day(0), tiny.day(1))
    assert (bread.day, bread.lacking) == (tiny.day(0), 2)
    assert "2 days" in bread.why


def test_a_jar_left_is_no_pinch_and_the_reserve_is_not_left() -> None:
    def left(reserve: str) -> list[str]:
        household = tiny.kitchen(
            products=[tiny.jar("Beans", reserve=tiny.qty(reserve))],
            lots=[tiny.lot("Beans", 3)],
            dishes=[tiny.dish("Bean pot", ["1 qt Beans"])],
        )
        meals = [tiny.supper(tiny.day(n), tiny.cooked(household, "Bean pot")) for n in range(2)]
        plan = tiny.menu(household, meals, [Opening(tiny.day(n), "Beans", "qt", 1) for n in range(2)])
        return [p.product for p in pinches(household, plan, (), (), through(household, plan))]

    assert left("0 qt") == []
    assert left("1 qt") == ["Beans"]


def test_what_stands_in_is_told() -> None:
    household = tiny.kitchen(
        products=[tiny.jar("Sauce"), tiny.jar("Juice")],
        lots=[tiny.lot("Sauce", 1), tiny.lot("Juice", 5)],
        dishes=[tiny.dish("Pot", ["1 qt Sauce or 1 qt ~Juice".replace(" or 1 qt ~", " or ~1 qt ")])],
    )
    meals = [
        tiny.supper(tiny.day(0), tiny.cooked(household, "Pot")),
        tiny.supper(tiny.day(1), tiny.cooked(household, "Pot", options={0: 1})),
    ]
    openings = [Opening(tiny.day(0), "Sauce", "qt", 1), Opening(tiny.day(1), "Juice", "qt", 1)]
    plan = tiny.menu(household, meals, openings)
    (pinch,) = pinches(household, plan, (), (), through(household, plan))
    assert pinch.product == "Sauce"
    assert pinch.day == tiny.day(0)
    assert "Juice stands in for it once." in pinch.plan


def test_more_than_an_even_share_before_its_day_is_eaten_out_of_a_later_month() -> None:
    household = tiny.kitchen(
        products=[tiny.loose("Butter", must_last_to=tiny.day(100), deadline_kind="order")],
        lots=[tiny.lot("Butter", 10, "lb")],
        dishes=[tiny.dish("Pot", ["1/2 lb Butter"])],
    )
    meals = [tiny.supper(tiny.day(n), tiny.cooked(household, "Pot")) for n in range(10)]
    pace = replace(at(3.5, tiny.day(19), "short", ""), gap_weeks=11.4)
    row = sheets.row("Butter", 10.0, "lb", pace, tiny.day(100))
    plan = tiny.menu(household, meals)
    (pinch,) = pinches(household, plan, (), (row,), through(household, plan))
    assert (pinch.kind, pinch.day) == ("later share", tiny.day(19))
    assert "5 lb go, where an even hand would take 1" in pinch.why
    few = tiny.menu(household, [tiny.supper(tiny.day(n)) for n in range(9)] + [meals[9]])
    assert pinches(household, few, (), (row,), through(household, few)) == ()


def test_what_is_drawn_day_by_day() -> None:
    household = tiny.kitchen(standing=(tiny.standing("Beans", "1 qt"),))
    plan = tiny.menu(
        household,
        [tiny.supper(tiny.day(n), tiny.cooked(household, "Bean soup")) for n in (0, 8)],
        [Opening(tiny.day(n), "Beans", "qt", 1) for n in (0, 8)],
    )
    line = drawn(household, plan, household.products["Beans"])
    quart = tiny.qty("1 qt")
    assert line.left[0] == 6 * quart  # eight, less one cooked and one begun for standing use
    assert line.left[-1] == 4 * quart
    assert line.total == 4 * quart
