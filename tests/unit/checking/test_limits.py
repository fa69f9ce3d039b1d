"""Rules 3, 10, 12 and 13: seasons, minutes, pairing and leavings."""

from datetime import date

import pytest
from msgspec.structs import replace

from pantrymeals.records import Leaving, Occasion
from tests.kitchens.tiny import arrival, cooked, day, dish, kitchen, loose, lot, meal_roles, person, rules, supper
from tests.unit.checking.sound import told


def _carrots(**changes):
    return kitchen(
        products=[loose("Carrots", **changes)],
        lots=[lot("Carrots", 99, "lb")],
        dishes=[dish("Roast", ["1 lb Carrots"])],
    )


def test_a_product_off_the_menus_is_never_planned() -> None:
    home = _carrots(on_menus=False)
    assert told(home, [supper(day(0), cooked(home, "Roast"))]) == [
        "Mon 5 January, supper, Roast: Carrots is kept off all menus"
    ]


def test_a_product_is_eaten_in_its_months_only() -> None:
    january, july = _carrots(eaten_in=frozenset({1})), _carrots(eaten_in=frozenset({7}))
    assert told(january, [supper(day(0), cooked(january, "Roast"))]) == []
    assert told(july, [supper(day(0), cooked(july, "Roast"))]) == [
        "Mon 5 January, supper, Roast: Carrots is not eaten in January"
    ]


def test_what_keeps_to_a_day_is_planned_on_it_but_not_after_unless_new_has_come() -> None:
    home = _carrots(deadline_kind="keeps to", must_last_to=day(1))
    roasts = [supper(day(n), cooked(home, "Roast")) for n in range(2)]
    assert told(home, roasts) == []
    after = [*roasts, supper(day(2), cooked(home, "Roast"))]
    assert told(home, after) == ["Wed 7 January, supper, Roast: Carrots keeps to Tue 6 January"]
    fresh = replace(home, arrivals=(arrival("Carrots", "5 lb", day(2)),))
    assert told(fresh, after) == []
    other = _carrots(deadline_kind="new crop", must_last_to=day(1))
    assert told(other, after) == []


def test_a_dish_stands_in_its_season() -> None:
    for months, good in (([12, 1], True), ([6, 7], False)):
        home = kitchen(dishes=[dish("Roast", ["1 lb Carrots"], season=months)])
        said = told(home, [supper(day(0), cooked(home, "Roast"))])
        assert said == ([] if good else ["Mon 5 January, supper, Roast: not a dish for January"])


@pytest.mark.parametrize(
    ("kept_for", "kind", "good"),
    [("feast", "feast", True), ("crew", "crew", True), ("feast", "crew", False), ("feast", "", False)],
)
def test_feast_and_crew_dishes_stand_on_their_days(kept_for: str, kind: str, good: bool) -> None:
    home = kitchen(
        dishes=[dish("Ham", ["1 lb Carrots"], only_for=kept_for)],
        occasions=(Occasion(day(0), day(0), "party", kind=kind),),
    )
    said = told(home, [supper(day(0), cooked(home, "Ham"))])
    assert said == ([] if good else [f"Mon 5 January, supper, Ham: kept for a {kept_for} day, which this is not"])


@pytest.mark.parametrize(("weekdays", "good"), [((), True), (("Mon", "Wed"), True), (("Wed", "Sun"), False)])
def test_a_dish_of_certain_weekdays(weekdays: tuple[str, ...], good: bool) -> None:
    home = kitchen(dishes=[dish("Roast", ["1 lb Carrots"], weekdays=weekdays)])
    said = told(home, [supper(day(0), cooked(home, "Roast"))])
    assert said == ([] if good else ["Mon 5 January, supper, Roast: a dish for Wed, Sun only"])


@pytest.mark.parametrize(
    ("eaters", "marked", "good"), [("tins", True, False), ("tins", False, True), ("all", True, True)]
)
def test_what_cannot_be_carried_is_in_no_lunch_tin(eaters: str, marked: bool, good: bool) -> None:
    home = kitchen(
        dishes=[dish("Fry", ["1 lb Carrots"], role="lunch", not_for=["tins"] if marked else [])],
        people=[person(n, lunch_tin_days=frozenset({"Mon"})) for n in ("Ann", "Ben")],
        meals=[meal_roles("lunch", ["lunch"], eaters)],
    )
    said = told(home, [supper(day(0), cooked(home, "Fry"), meal="lunch")])
    assert said == ([] if good else ["Mon 5 January, lunch, Fry: goes out in lunch tins, and cannot be carried"])


def _minutes(hands_on: int = 99, longest: int = 99, kind: str = "none", supper: int = 99):
    occasions = () if kind == "none" else (Occasion(day(0), day(0), "party", kind=kind),)
    return kitchen(
        dishes=[
            dish("Roast", ["1 lb Carrots"], minutes=60, hands_on_minutes=20),
            dish("Slaw", ["1 lb Carrots"], role="side", minutes=10, hands_on_minutes=10),
        ],
        meals=[meal_roles(roles=["main", "side"])],
        rules=rules(
            hands_on_minutes={"Mon": hands_on},
            longest_minutes={"Mon": longest},
            meal_minutes={"supper": {"Mon": supper}},
        ),
        occasions=occasions,
    )


@pytest.mark.parametrize(
    ("home", "message"),
    [
        (_minutes(hands_on=30), None),
        (_minutes(hands_on=29), "Mon 5 January: 30 minutes of hands-on work, 29 are there"),
        (_minutes(longest=60), None),
        (_minutes(longest=59), "Mon 5 January, supper, Roast: takes 60 minutes, the longest for Mondays is 59"),
        (_minutes(supper=30), None),
        (_minutes(supper=29), "Mon 5 January, supper: 30 minutes of hands-on work, 29 are there"),
        (_minutes(hands_on=1, longest=1, supper=1, kind="feast"), None),
        (_minutes(hands_on=1, kind=""), "Mon 5 January: 30 minutes of hands-on work, 1 are there"),
    ],
)
def test_the_days_minutes(home, message: str | None) -> None:
    said = told(home, [supper(day(0), cooked(home, "Roast"), cooked(home, "Slaw"))])
    assert said == ([message] if message else [])


@pytest.mark.parametrize(("not_with", "good"), [([], True), (["potato"], True), (["raw"], False), (["slaw"], False)])
def test_pairs(not_with: list[str], good: bool) -> None:
    for refusing, other in ((True, False), (False, True)):
        home = kitchen(
            dishes=[
                dish("Roast", ["1 lb Carrots"], tags=["raw"], not_with=not_with if refusing else []),
                dish(
                    "Slaw",
                    ["1 lb Carrots"],
                    role="side",
                    tags=["raw"],
                    not_with=[n.replace("slaw", "Roast") for n in not_with] if other else [],
                ),
            ],
            meals=[meal_roles(roles=["main", "side"])],
        )
        said = told(home, [supper(day(0), cooked(home, "Roast"), cooked(home, "Slaw"))])
        assert said == ([] if good else ["Mon 5 January, supper: Roast and Slaw are not to stand together"])


def _loaf(feeds: int = 2, days: int = 2, **changes):
    return kitchen(
        dishes=[
            dish("Loaf", ["1/2 lb Carrots"], leaves=Leaving("cold loaf", feeds, days)),
            dish("Cold plate", [], needs_left="cold loaf"),
        ],
        people=[person("Ann", 5)],
        **changes,
    )


def _week(home, *names: str):
    return [
        supper(day(n), cooked(home, name), portions=5) if name else supper(day(n), portions=5, open_roles=("main",))
        for n, name in enumerate(names)
    ]


def test_a_leaving_is_there_from_the_next_day_for_its_days() -> None:
    home = _loaf(feeds=4)
    assert told(home, _week(home, "Loaf", "Cold plate")) == []
    assert told(home, _week(home, "Loaf", "", "Cold plate")) == []
    assert told(home, _week(home, "Loaf", "", "", "Cold plate")) == [
        "Thu 8 January, supper, Cold plate: no cold loaf is left from the days before"
    ]
    assert told(home, _week(home, "Cold plate")) == [
        "Mon 5 January, supper, Cold plate: no cold loaf is left from the days before"
    ]


def test_a_leaving_is_not_there_on_the_day_it_is_cooked() -> None:
    """The loaf of Monday's lunch is not left over before the day is out."""
    home = _loaf(feeds=4, meals=[meal_roles("lunch"), meal_roles()])
    lunch = supper(day(0), cooked(home, "Loaf"), portions=5, meal="lunch")
    assert told(home, [lunch, supper(day(0), cooked(home, "Cold plate"), portions=5)]) == [
        "Mon 5 January, supper, Cold plate: no cold loaf is left from the days before"
    ]


def test_one_use_a_cooking() -> None:
    home = _loaf(feeds=4)
    assert told(home, _week(home, "Loaf", "Cold plate", "Cold plate")) == [
        "Wed 7 January, supper, Cold plate: the cold loaf is used already"
    ]
    assert told(home, _week(home, "Loaf", "Loaf", "Cold plate", "Cold plate")) == []


def test_a_leaving_feeds_its_portions_and_a_quarter_more() -> None:
    assert told(_loaf(4), _week(_loaf(4), "Loaf", "Cold plate")) == []
    assert told(_loaf(3), _week(_loaf(3), "Loaf", "Cold plate")) == [
        "Tue 6 January, supper, Cold plate: 5 portions, cold loaf is left for 3 3/4"
    ]


def test_what_was_eaten_yesterday_leaves_too() -> None:
    home = _loaf(4, recent=((date(2026, 1, 4), "Loaf"),))
    assert told(home, _week(home, "Cold plate")) == []
