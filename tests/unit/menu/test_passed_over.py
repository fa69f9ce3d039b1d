"""Evenness with a memory: what was passed over for weeks comes up (own arithmetic from the rule in DEVELOPERS.md)."""

from datetime import date
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.checking.evenness import behind
from pantrymeals.checking.menu import broken_rules
from pantrymeals.larder.evenness import band, lately, neglect, owed, with_memory, worth
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Taken
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, lot, part_jar, qty, rules, standing

HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("share", "even", "eaten", "step", "right"),
    [
        (HALF, 2, 0, 1, (1, 2)),  # two behind: one step is owed, never two: 1 1/2
        (HALF, HALF, 0, 1, (1, 1)),  # with this week it would lie a whole step behind
        (HALF, Fraction(49, 100), 0, 1, (0, 1)),  # not quite a step
        (Fraction(5, 2), 10, 10, 1, (2, 3)),  # even: the whole steps around its share
        (Fraction(5, 2), 10, Fraction(19, 2), 1, (3, 3)),  # half a jar behind: three this week
        (Fraction(5, 2), 10, Fraction(46, 5), 1, (3, 4)),  # four fifths behind: 3 3/10
        (Fraction(5, 2), 10, 12, 1, (0, 3)),  # two jars ahead: nothing is asked, its share may be eaten
        (Fraction(3, 2), 6, 0, 2, (2, 4)),  # two jars at a time: 3 1/2
        (HALF, 1, 9, 1, (0, 1)),  # a favourite keeps its share
    ],
)
def test_no_product_comes_to_lie_a_step_behind(share, even, eaten, step, right) -> None:
    behind_it = owed(((Fraction(even), Fraction(eaten)),), Fraction(1), step)
    assert band(Fraction(share), step, Fraction(0), behind_it) == right


def test_the_pace_counts_for_the_weeks_behind_too() -> None:
    assert owed(((Fraction(2), Fraction(0)),), HALF, 1) == 1
    assert owed(((Fraction(1), Fraction(0)),), HALF, 1) == HALF
    assert with_memory(HALF, HALF) == 1
    assert with_memory(HALF, Fraction(-3)) == with_memory(HALF, None) == HALF


def test_where_nothing_is_remembered_a_step_is_left_for_later_unless_it_is_soon_gone() -> None:
    share = Fraction(5, 2)
    assert band(share, 1, Fraction(0), None) == (1, 3)
    assert band(share, 1, Fraction(0), None, soon_gone=True) == (2, 3)
    assert band(share, 1, Fraction(0), Fraction(-2), soon_gone=True) == (2, 3)


def test_standing_use_above_share_and_debt_is_the_band_s_edge() -> None:
    """Of 1 and 1/2 owed, standing use takes two: nothing more is asked and nothing held against a menu."""
    assert band(Fraction(1), 1, Fraction(2), HALF) == (1, 2)
    assert band(Fraction(1), 1, Fraction(9, 5), Fraction(1)) == (2, 2)
    assert band(Fraction(7, 5), 1, Fraction(3, 2), Fraction(1, 20)) == (1, Fraction(3, 2))


def test_what_was_neglected_for_eight_weeks_weighs_up_to_twice_as_much() -> None:
    """Of four jars an even hand's: three eaten, a quarter neglected; none, all of it."""
    week = (Fraction(2), Fraction(2))
    for eaten, right in ((4, 0), (3, Fraction(1, 4)), (0, 1), (9, 0)):
        assert neglect((week, (Fraction(4), Fraction(eaten))), Fraction(1)) == right
    assert neglect((week, (Fraction(4), Fraction(1))), HALF) == HALF
    assert neglect((), Fraction(1)) == 0
    assert worth(Fraction(3), 1, Fraction(1, 4)) == Fraction(5, 4) / 4
    assert worth(Fraction(8), 1) == Fraction(1, 8)


def _home(count: int = 10, **changes):
    """Ten quarts that last to a day 42 days off, known for four weeks: an even hand had 28 of 70 days."""
    home = kitchen(
        products=[jar("Beans", must_last_to=day(42))], lots=[lot("Beans", count)], dishes=[dish("Soup", ["1 qt Beans"])]
    )
    return replace(home, known_since={"Beans": day(-28)}, **changes)


def test_an_even_hand_of_four_weeks_by_hand() -> None:
    """Of 10 + 5 1/2 quarts, 28 of 70 days: 6 1/5; with a part jar of half a quart 28/70 more of that."""
    home = _home(taken=(Taken(day(-28), "Beans", qty("1 qt")), Taken(day(-1), "Beans", qty("4 1/2 qt"))))
    assert lately(home)["Beans"] == ((qty("1 qt") * Fraction(62, 10), qty("5 1/2 qt")),) * 2
    assert behind(home, home.products["Beans"], Fraction(1)) == Fraction(7, 10)
    opened = replace(home, part_jars=(part_jar("Beans", "1/2 qt", day(-1)),))
    assert lately(opened)["Beans"][0][0] == qty("1 qt") * Fraction(64, 10)
    assert behind(opened, home.products["Beans"], Fraction(1)) == Fraction(9, 10)


def test_nothing_older_than_four_weeks_counts_and_nothing_from_before_new_came() -> None:
    old = (Taken(day(-29), "Beans", qty("1 qt")),)
    assert lately(_home(taken=old))["Beans"][0][1] == 0
    crop = replace(_home(taken=(Taken(day(-9), "Beans", qty("1 qt")),)), known_since={"Beans": day(-8)})
    assert lately(crop)["Beans"][0] == (qty("1 qt") * Fraction(80, 50), 0)
    assert behind(crop, crop.products["Beans"], Fraction(1)) == 1
    assert behind(crop, crop.products["Beans"], HALF) == Fraction(4, 5)


def test_the_worse_of_four_weeks_and_of_eight_is_owed() -> None:
    """What must last 336 days, two quarts at a time: so many are there, and so many were eaten so many days ago."""
    two = dish("Soup", ["2 qt Beans"])
    cases = (
        (14, -56, (), Fraction(2)),  # 2 of eight weeks, 14/13 of four
        (14, -28, (), Fraction(14, 13)),  # known for four
        (20, -56, ((-40, "2 qt"),), Fraction(20, 13)),  # lately nothing: 20/13, of eight 22/7 - 2
        (20, -56, ((-40, "1 qt"), (-3, "1 qt")), Fraction(8, 7)),  # eight weeks 22/7 - 2, four 21/13 - 1
        (14, -56, ((-3, "5 qt"),), Fraction(19, 7) - 5),  # ahead
    )
    for count, known, taken, right in cases:
        home = kitchen(products=[jar("Beans", must_last_to=day(336))], lots=[lot("Beans", count)], dishes=[two])
        eaten = tuple(Taken(day(n), "Beans", qty(much)) for n, much in taken)
        home = replace(home, known_since={"Beans": day(known)}, taken=eaten)
        windows = tuple((a / qty("1 qt"), b / qty("1 qt")) for a, b in lately(home)["Beans"])
        assert owed(windows, Fraction(1), 2) == behind(home, home.products["Beans"], Fraction(1)) == right


def test_without_a_word_on_what_was_eaten_there_is_no_memory() -> None:
    home = replace(_home(), known_since={})
    assert lately(home) == {}
    assert owed((), Fraction(1), 1) is behind(home, home.products["Beans"], Fraction(1)) is None


def test_the_morning_after_remembers_dishes_and_standing_use() -> None:
    home = kitchen(standing=[standing("Beans", "7 qt")], dishes=[dish("Soup", ["1 qt Beans"])])
    plan = plan_menu(home, MenuRequest(MONDAY, 1, seconds=5))
    after = household_after(home, plan)
    assert sum(t.amount for t in after.taken if t.product == "Beans") == qty("2 qt")
    assert {t.day for t in after.taken} == {MONDAY}
    assert after.known_since["Beans"] == MONDAY
    assert household_after(after, replace(plan, first=day(1))).known_since["Beans"] == MONDAY


def _weeks(home, number: int) -> list[date]:
    """The days on which the chutney came to table in so many weeks, each from what the one before left.

    Which dishes stood is forgotten: here the jars alone are remembered.
    """
    came = []
    for week in range(number):
        plan = plan_menu(home, MenuRequest(day(7 * week), 7, seconds=10, gap=0.0))
        assert broken_rules(home, plan) == []
        came += [m.day for m in plan.meals for d in m.dishes if d.dish == "Chutney pie"]
        home = replace(household_after(home, plan), recent=())
    return came


def _pantry():
    """Fifteen jars of chutney for a year, in a pie liked far less than all the rest."""
    return kitchen(
        products=[jar("Beans"), jar("Chutney")],
        lots=[lot("Beans", 400), lot("Chutney", 15)],
        dishes=[dish("Soup", ["1 qt Beans"], liking=3), dish("Chutney pie", ["1 qt Chutney"], liking=-4)],
        rules=rules(days_between={"main": 1}),
    )


def test_a_jar_whose_share_of_a_week_is_a_third_comes_up_within_five_weeks() -> None:
    came = _weeks(_pantry(), 6)
    assert 1 <= len(came) <= 2


def test_without_the_memory_it_never_would(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pantrymeals.menu.week.integer_stock.owed", lambda *_: None)
    monkeypatch.setattr("pantrymeals.menu.week.integer_stock.neglect", lambda *_: Fraction(0))
    monkeypatch.setattr("pantrymeals.checking.evenness.behind", lambda *_: None)
    monkeypatch.setattr("pantrymeals.checking.cost.passed_over", lambda *_: Fraction(0))
    assert _weeks(_pantry(), 6) == []
