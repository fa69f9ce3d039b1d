"""Rule 14 against figures worked by hand from the definition in the design of evenness (own arithmetic)."""

from datetime import date
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.evenness import even_share
from pantrymeals.plans.menu import ShareRow
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    cooked,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    menu,
    part_jar,
    qty,
    standing,
    supper,
    with_uses,
)
from tests.unit.checking.sound import judged, opens


def _quarts(home, days: int) -> Fraction:
    return even_share(home, home.products["Beans"], MONDAY, days) / qty("1 qt")


def _home(**changes):
    return kitchen(products=[jar("Beans", **changes)], lots=[lot("Beans", 10)], dishes=[dish("Soup", ["1 qt Beans"])])


def test_ten_jars_to_a_day_seventy_days_off_are_one_a_week() -> None:
    assert _quarts(_home(must_last_to=day(70)), 7) == 1


def test_the_reserve_and_held_lots_are_not_shared_out_and_part_jars_are() -> None:
    home = _home(must_last_to=day(70), reserve=qty("3 qt"))
    assert _quarts(home, 7) == Fraction(7, 10)
    home = replace(home, lots=(*home.lots, lot("Beans", 50, state="held")))
    assert _quarts(home, 7) == Fraction(7, 10)
    assert _quarts(replace(home, part_jars=(part_jar("Beans", "1/2 qt", day(-1)),)), 7) == Fraction(3, 4)


def test_without_a_deadline_ahead_a_year_is_taken() -> None:
    assert _quarts(_home(), 73) == 2
    assert _quarts(_home(must_last_to=MONDAY), 73) == 2


def test_only_months_in_which_it_is_eaten_count() -> None:
    """Eaten in January alone: 27 days from 5 January; a week is 7/27 of them, February nothing more."""
    home = _home(must_last_to=date(2026, 3, 1), eaten_in=frozenset({1}))
    assert _quarts(home, 7) == Fraction(70, 27)
    assert _quarts(home, 27) == _quarts(home, 50) == 10
    assert _quarts(_home(must_last_to=date(2026, 3, 1), eaten_in=frozenset({7})), 7) == 0


def test_past_its_deadline_the_whole_is_the_share_and_no_more() -> None:
    assert _quarts(_home(must_last_to=day(5)), 7) == 10


def test_what_comes_before_the_deadline_joins_and_the_new_crop_has_a_year_of_its_own() -> None:
    home = _home(must_last_to=day(70))
    before = replace(home, arrivals=(arrival("Beans", "10 qt", day(3)),))
    assert _quarts(before, 7) == 2
    beyond = replace(home, arrivals=(arrival("Beans", "10 qt", day(8)),))
    assert _quarts(beyond, 7) == 1
    crop = replace(home, arrivals=(arrival("Beans", "365 qt", day(70)),))
    assert _quarts(crop, 73) == 10 + 3


def _plan(**row):
    """One jar opened of ten that last seventy days, half pace: share 1/2, band 0 to 1, drawn 1."""
    home = replace(_home(must_last_to=day(70)), standing=(standing("Beans", "1 qt"),))
    meals = [supper(day(n), cooked(home, "Soup")) if n == 0 else supper(day(n), open_roles=("main",)) for n in range(7)]
    half = {"share": Fraction(1, 2), "low": Fraction(0), "high": Fraction(1), "drawn": Fraction(2), "off": Fraction(1)}
    shares = [ShareRow("Beans", **(half | row))]
    return home, with_uses(home, menu(home, meals, [opens(0, "Beans")], shares=shares, pace=Fraction(1, 2)))


def test_the_right_row_passes() -> None:
    assert judged(*_plan()) == []


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ({"share": Fraction(1)}, "Beans: share is 1/2 qt, the plan states 1"),
        ({"low": Fraction(1)}, "Beans: low is 0 qt, the plan states 1"),
        ({"high": Fraction(2)}, "Beans: high is 1 qt, the plan states 2"),
        ({"drawn": Fraction(1)}, "Beans: drawn is 2 qt, the plan states 1"),
        ({"off": Fraction(0)}, "Beans: off is 1 qt, the plan states 0"),
    ],
)
def test_each_wrong_figure_is_told(row: dict, message: str) -> None:
    assert judged(*_plan(**row)) == [message]


def test_a_product_used_off_the_shelf_has_one_row() -> None:
    home, plan = _plan()
    assert judged(home, replace(plan, shares=())) == ["Beans: the menu uses it, but no share is stated"]
    assert judged(home, replace(plan, shares=plan.shares * 2)) == ["Beans: has 2 rows of shares"]


def test_what_comes_fresh_and_has_no_day_to_last_to_needs_no_row() -> None:
    home = kitchen(
        products=[loose("Milk", "qt")],
        lots=[lot("Milk", 4)],
        dishes=[dish("Pudding", ["1 qt Milk"])],
        arrivals=(arrival("Milk", "1 qt", day(0)),),
    )
    assert judged(home, menu(home, [supper(day(0), cooked(home, "Pudding"))])) == []
