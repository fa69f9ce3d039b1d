"""Suppers that must use something marked."""

from __future__ import annotations

from pantrymeals.no_store.must_go import TAG, kept, must_go_weeks, surely_uses, with_must_go_rule
from tests.kitchens import tiny

MARKED = {"Kale": "glut"}


def kitchen():  # type: ignore[no-untyped-def]
    return tiny.kitchen(
        products=[tiny.jar("Kale"), tiny.jar("Beans")],
        lots=[tiny.lot("Kale", 9), tiny.lot("Beans", 9)],
        dishes=[
            tiny.dish("Kale pot", ["1 qt Kale"]),
            tiny.dish("Either pot", ["1 qt Beans or 1 qt Kale"]),
            tiny.dish("Bean pot", ["1 qt Beans"]),
            tiny.dish("Kale side", ["1 qt Kale"], role="side"),
        ],
    )


def test_only_what_takes_it_for_certain_counts() -> None:
    dishes = kitchen().dishes
    assert [n for n, d in dishes.items() if surely_uses(d, MARKED)] == ["Kale pot", "Kale side"]


def test_the_rule_is_of_mains_and_leaves_the_household_as_it_is() -> None:
    household = kitchen()
    ruled = with_must_go_rule(household, MARKED, 3)
    assert [n for n, d in ruled.dishes.items() if TAG in d.tags] == ["Kale pot"]
    assert ruled.rules.at_least == {TAG: 3}
    assert not household.rules.at_least
    assert all(TAG not in d.tags for d in household.dishes.values())


def test_suppers_are_counted_by_what_they_really_take() -> None:
    household = kitchen()
    names = ["Kale pot", "Bean pot", "Either pot", "Kale pot", "Bean pot", "Bean pot", "Bean pot", "Kale pot"]
    meals = [tiny.supper(tiny.day(n), tiny.cooked(household, name)) for n, name in enumerate(names)]
    meals[2] = tiny.supper(tiny.day(2), tiny.cooked(household, "Either pot", options={0: 1}))
    weeks = must_go_weeks(tiny.menu(household, meals), MARKED)
    assert [(w.days, [d for d, _ in w.suppers]) for w in weeks] == [
        (7, [tiny.day(0), tiny.day(2), tiny.day(3)]),
        (1, [tiny.day(7)]),
    ]
    assert kept(weeks, 3)
    assert not kept(weeks, 4)
