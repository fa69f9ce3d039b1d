"""Evenness with a memory: what was passed over for weeks comes up (own arithmetic from the rule in DEVELOPERS.md)."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.checking.evenness import behind
from pantrymeals.checking.menu import broken_rules
from pantrymeals.larder.evenness import band, lately, passed_over, with_memory
from pantrymeals.larder.evenness import behind as behind_of
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Taken
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, lot, part_jar, qty, rules, standing

HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("share", "even", "eaten", "step", "right"),
    [
        (HALF, 2, 0, 1, HALF + 1),  # two behind: one step more, never two
        (HALF, 1, 0, 1, HALF + 1),  # a whole step behind
        (HALF, Fraction(99, 100), 0, 1, HALF),  # not quite a step
        (HALF, 2, Fraction(3, 2), 1, HALF),  # half a step behind
        (Fraction(1), 4, 0, 1, Fraction(1)),  # its share moves it by itself
        (Fraction(3, 2), 6, 0, 2, Fraction(7, 2)),  # two jars at a time
        (HALF, 1, 9, 1, HALF),  # a favourite keeps its share
    ],
)
def test_one_step_more_for_what_is_a_step_behind(share, even, eaten, step, right) -> None:
    assert with_memory(share, Fraction(1), Fraction(even) - eaten, step) == right


def test_the_pace_counts_for_the_weeks_behind_too() -> None:
    assert with_memory(HALF, HALF, behind_of(((Fraction(2), Fraction(0)),), HALF, 1), 1) == Fraction(1, 4) + 1
    assert with_memory(HALF, HALF, behind_of(((Fraction(1), Fraction(0)),), HALF, 1), 1) == Fraction(1, 4)


def test_what_is_a_step_behind_is_due_whatever_its_share() -> None:
    """A share of two and a half jars: from one jar on, from two where four weeks are a jar behind; never one more."""
    share = Fraction(5, 2)
    assert band(share, 1, Fraction(0), passed_over(Fraction(99, 100), 1)) == (1, 3)
    assert band(share, 1, Fraction(0), passed_over(Fraction(1), 1)) == (2, 3)
    assert with_memory(share, Fraction(1), Fraction(12), 1) == share


def _home(count: int = 10, **changes):
    """Ten quarts that last to a day 42 days off, known for four weeks: an even hand had 28 of 70 days."""
    home = kitchen(
        products=[jar("Beans", must_last_to=day(42))], lots=[lot("Beans", count)], dishes=[dish("Soup", ["1 qt Beans"])]
    )
    return replace(home, known_since={"Beans": day(-28)}, **changes)


def test_an_even_hand_of_four_weeks_by_hand() -> None:
    """Of 10 + 4 quarts, 28 of 70 days: 5.6; with a part jar of half a quart 28/70 more of that."""
    home = _home(taken=(Taken(day(-28), "Beans", qty("1 qt")), Taken(day(-1), "Beans", qty("3 qt"))))
    assert lately(home)["Beans"][0] == (qty("1 qt") * Fraction(56, 10), qty("4 qt"))
    assert behind(home, home.products["Beans"], Fraction(1)) == Fraction(16, 10)
    opened = replace(home, part_jars=(part_jar("Beans", "1/2 qt", day(-1)),))
    assert lately(opened)["Beans"][0][0] == qty("1 qt") * Fraction(58, 10)
    assert behind(opened, home.products["Beans"], Fraction(1)) == Fraction(18, 10)


def test_nothing_older_than_four_weeks_counts_and_nothing_from_before_new_came() -> None:
    old = (Taken(day(-29), "Beans", qty("1 qt")),)
    assert lately(_home(taken=old))["Beans"][0][1] == 0
    crop = replace(_home(taken=(Taken(day(-9), "Beans", qty("1 qt")),)), known_since={"Beans": day(-8)})
    assert lately(crop)["Beans"][0] == (qty("1 qt") * Fraction(80, 50), 0)
    assert behind(crop, crop.products["Beans"], Fraction(1)) == Fraction(8, 5)


def test_what_goes_by_less_than_a_step_in_four_weeks_is_looked_at_over_eight() -> None:
    """What must last 336 days, cooked two quarts at a time: so many are there, of none was eaten."""
    two = dish("Soup", ["2 qt Beans"])
    for count, known, right in ((14, -56, 2), (25, -56, Fraction(25, 7)), (26, -56, 2), (14, -28, Fraction(14, 13))):
        home = kitchen(products=[jar("Beans", must_last_to=day(336))], lots=[lot("Beans", count)], dishes=[two])
        home = replace(home, known_since={"Beans": day(known)})
        windows = tuple((a / qty("1 qt"), b / qty("1 qt")) for a, b in lately(home)["Beans"])
        assert behind_of(windows, Fraction(1), 2) == behind(home, home.products["Beans"], Fraction(1)) == right


def test_without_a_word_on_what_was_eaten_there_is_no_memory() -> None:
    home = replace(_home(), known_since={})
    assert lately(home) == {}
    assert behind(home, home.products["Beans"], Fraction(1)) == 0


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
    monkeypatch.setattr("pantrymeals.menu.week.integer_stock.with_memory", lambda share, pace, *_: share * pace)
    monkeypatch.setattr("pantrymeals.menu.week.integer_stock.passed_over", lambda *_: False)
    monkeypatch.setattr("pantrymeals.checking.evenness.behind", lambda *_: Fraction(0))
    assert _weeks(_pantry(), 6) == []
