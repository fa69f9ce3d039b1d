"""Rules 7 and 8: repeats and tags, counted back over the first day."""

from fractions import Fraction

import pytest

from pantrymeals.records import Leaving
from tests.kitchens.tiny import cooked, day, dish, kitchen, loose, lot, meal_roles, rules, supper
from tests.unit.checking.sound import told


def _home(dishes=None, **changes):
    dishes = dishes or [dish(n, ["1 lb Carrots"], tags=t) for n, t in (("Red", ["tomato", "beef"]), ("Green", []))]
    return kitchen(products=[loose("Carrots")], lots=[lot("Carrots", 99, "lb")], dishes=dishes, **changes)


def _suppers(home, *names: str):
    return [
        supper(day(n), cooked(home, name)) if name else supper(day(n), open_roles=("main",))
        for n, name in enumerate(names)
    ]


@pytest.mark.parametrize(
    ("own", "house", "good"), [(3, None, True), (4, None, False), (None, 3, True), (None, 4, False), (3, 9, True)]
)
def test_monday_then_thursday_is_three_days(own: int | None, house: int | None, good: bool) -> None:
    home = _home([dish("Red", ["1 lb Carrots"], days_between=own)], rules=rules(days_between={"main": house or 0}))
    said = told(home, _suppers(home, "Red", "", "", "Red"))
    assert said == ([] if good else ["Thu 8 January: Red again 3 days after Mon 5 January; 4 are asked"])


def test_what_was_lately_eaten_counts_as_a_repeat() -> None:
    for back, good in ((-4, True), (-3, False)):
        home = _home([dish("Red", ["1 lb Carrots"], days_between=4)], recent=((day(back), "Red"), (day(-9), "Gone")))
        said = told(home, _suppers(home, "Red"))
        assert said == ([] if good else ["Mon 5 January: Red again 3 days after Fri 2 January; 4 are asked"])


def test_at_most_in_seven_days_running() -> None:
    home = _home(rules=rules(at_most={"tomato": 1}))
    assert told(home, _suppers(home, "Red", *["Green"] * 6, "Red")) == []
    assert told(home, _suppers(home, "Red", *["Green"] * 5, "Red")) == [
        "'tomato' 2 times in seven days, at most 1 asked: Red on Mon 5 January, Red on Sun 11 January"
    ]


def test_what_was_lately_eaten_counts_towards_at_most() -> None:
    for back, good in ((-7, True), (-6, False)):
        home = _home(rules=rules(at_most={"tomato": 1}), recent=((day(back), "Red"),))
        assert (told(home, _suppers(home, "Red")) == []) == good
    crowded = _home(rules=rules(at_most={"tomato": 1}), recent=((day(-2), "Red"), (day(-1), "Red")))
    assert told(crowded, _suppers(crowded, "Green")) == []


def test_mains_of_two_days_running_do_not_share_a_tag() -> None:
    home = _home(rules=rules(not_running=["beef"]))
    assert told(home, _suppers(home, "Red", "Green", "Red")) == []
    assert told(home, _suppers(home, "Red", "Red")) == ["Tue 6 January: Red is beef, as was Red the day before"]
    for back, good in ((-2, True), (-1, False)):
        home = _home(rules=rules(not_running=["beef"]), recent=((day(back), "Red"),))
        assert (told(home, _suppers(home, "Red")) == []) == good


def test_a_tag_not_twice_in_a_meal() -> None:
    def home(*tags: str):
        return _home(
            [dish("Pot", ["1 lb Carrots"], tags=["beans"]), dish("Plate", ["1 lb Carrots"], role="side", tags=tags)],
            rules=rules(not_twice=["beans"]),
            meals=[meal_roles(roles=["main", "side"])],
        )

    for tags, good in ((["corn"], True), (["beans", "corn"], False)):
        larder = home(*tags)
        said = told(larder, [supper(day(0), cooked(larder, "Pot"), cooked(larder, "Plate"))])
        assert said == ([] if good else ["Mon 5 January, supper: 'beans' twice in one meal: Pot, Plate"])


@pytest.mark.parametrize(
    ("role", "own", "good"), [("main", None, False), ("main", 1, False), ("bread", None, True), ("bread", 1, True)]
)
def test_a_dish_twice_on_one_day(role: str, own: int | None, good: bool) -> None:
    home = _home(
        [dish("Red", ["1 lb Carrots"], role=role, days_between=own)],
        meals=[meal_roles("lunch", [role]), meal_roles(roles=[role])],
    )
    meals = [supper(day(0), cooked(home, "Red"), meal=meal) for meal in ("lunch", "supper")]
    assert told(home, meals) == ([] if good else ["Mon 5 January: Red twice on one day, at lunch and supper"])


def test_a_tag_not_twice_in_a_day() -> None:
    def home(*tags: str, **changes):
        return _home(
            [
                dish("Flask", ["1 lb Carrots"], role="lunch", tags=tags, **changes),
                dish("Pot", ["1 lb Carrots"], tags=["soup"], leaves=Leaving("pot", Fraction(9), 2)),
            ],
            rules=rules(not_twice_a_day=["soup"]),
            meals=[meal_roles("lunch", ["lunch"]), meal_roles(roles=["main"])],
            recent=((day(-1), "Pot"),),
        )

    breach = ["Mon 5 January: 'soup' twice in one day: Flask, Pot"]
    for larder, said in ((home("corn"), []), (home("soup"), breach), (home("soup", needs_left="pot"), [])):
        meals = [supper(day(0), cooked(larder, "Flask"), meal="lunch"), supper(day(0), cooked(larder, "Pot"))]
        assert told(larder, meals) == said
