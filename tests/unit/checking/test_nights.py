"""Rules 8 and 9: fixed nights, tags wanted every week, an occasion's dish; and when they are waived."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.records import Occasion
from tests.kitchens.tiny import cooked, day, dish, jar, kitchen, loose, lot, meal_roles, person, rules, supper
from tests.unit.checking.sound import opens, told


def _home(flat=None, **changes):
    """A bin of carrots, two jars of sauce that thaw a day; Monday is for flat bread."""
    fields = {
        "products": [
            loose("Carrots"),
            loose("Turnips"),
            jar("Sauce", kind="freezer", thaw_days=0, contents=frozenset({"salty"})),
        ],
        "lots": [lot("Carrots", 99, "lb"), lot("Sauce", 2)],
        "dishes": [flat or dish("Flat", ["1 qt Sauce"], tags=["flat bread"]), dish("Plain", ["1 lb Carrots"])],
        "rules": rules(fixed={"Mon": "flat bread"}),
    }
    return kitchen(**(fields | changes))


MISSED = "Mon 5 January, supper, Plain: Monday is the night for 'flat bread', and Flat could be cooked"


def test_a_fixed_night_is_kept() -> None:
    home = _home()
    assert told(home, [supper(day(0), cooked(home, "Flat"))], [opens(0, "Sauce")]) == []
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == [MISSED]
    assert told(home, [supper(day(0), open_roles=("main",))]) == []


def test_another_night_is_free() -> None:
    home = _home(rules=rules(fixed={"Tue": "flat bread"}))
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == []


FLAT = {"tags": ["flat bread"]}
SLOW = dish("Flat", ["1 qt Sauce"], minutes=45, tags=["flat bread"])


@pytest.mark.parametrize(
    ("why", "changes"),
    [
        ("nothing on the shelf", {"lots": [lot("Carrots", 99, "lb")]}),
        ("held", {"lots": [lot("Carrots", 99, "lb"), lot("Sauce", 2, state="held")]}),
        ("not thawed", {"products": [loose("Carrots"), jar("Sauce", thaw_days=1)]}),
        ("barred", {"people": [person("Ann"), person("Edda", must_not=["salty"])]}),
        (
            "barred by a mark of its own",
            {
                "flat": dish("Flat", ["1 qt Sauce"], contents=["walnuts"], **FLAT),
                "people": [person("Ann"), person("Edda", must_not=["walnuts"])],
            },
        ),
        ("out of season", {"flat": dish("Flat", ["1 qt Sauce"], season=[7], **FLAT)}),
        ("kept for feasts", {"flat": dish("Flat", ["1 qt Sauce"], only_for="feast", **FLAT)}),
        ("another weekday's dish", {"flat": dish("Flat", ["1 qt Sauce"], weekdays=["Fri"], **FLAT)}),
        ("made from leavings", {"flat": dish("Flat", ["1 qt Sauce"], needs_left="bone", **FLAT)}),
        (
            "too soon again",
            {"flat": dish("Flat", ["1 qt Sauce"], days_between=7, **FLAT), "recent": ((day(-6), "Flat"),)},
        ),
        ("too long", {"flat": SLOW, "rules": rules(fixed={"Mon": "flat bread"}, longest_minutes={"Mon": 44})}),
        ("more than there is", {"flat": dish("Flat", ["3 qt Sauce"], **FLAT)}),
        ("no such dish", {"dishes": [dish("Plain", ["1 lb Carrots"])]}),
    ],
)
def test_a_fixed_night_is_waived_where_no_dish_can_keep_it(why: str, changes: dict) -> None:
    home = _home(**changes)
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == [], why


@pytest.mark.parametrize(("marks", "waived"), [(["tins"], True), ([], False)])
def test_a_fixed_night_is_waived_where_its_dish_cannot_be_carried(marks: list[str], waived: bool) -> None:
    home = _home(
        dish("Flat", ["1 qt Sauce"], not_for=marks, **FLAT),
        people=[person(name, lunch_tin_days=frozenset({"Mon"})) for name in ("Ann", "Ben")],
        meals=[meal_roles(eaters="tins")],
    )
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == ([] if waived else [MISSED])


@pytest.mark.parametrize(
    "changes",
    [
        {"flat": dish("Flat", ["1 lb Turnips or 2 qt Sauce"], **FLAT)},
        {"flat": dish("Flat", ["1 qt Sauce"], weekdays=["Mon"], **FLAT)},
        {"flat": dish("Flat", ["1 qt Sauce"], days_between=7, **FLAT), "recent": ((day(-7), "Flat"),)},
        {"flat": SLOW, "rules": rules(fixed={"Mon": "flat bread"}, longest_minutes={"Mon": 45})},
    ],
)
def test_and_not_waived_on_this_side_of_the_edge(changes: dict) -> None:
    home = _home(**changes)
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == [MISSED]


def test_what_earlier_days_took_is_gone_by_the_fixed_night() -> None:
    home = _home(
        dishes=[
            dish("Flat", ["1 qt Sauce"], tags=["flat bread"]),
            dish("Other", ["2 qt Sauce"]),
            dish("Plain", ["1 lb Carrots"]),
        ],
        rules=rules(fixed={"Tue": "flat bread"}),
    )
    took = [supper(day(0), cooked(home, "Other")), supper(day(1), cooked(home, "Plain"))]
    assert told(home, took, [opens(0, "Sauce", 2)]) == []
    spared = [supper(day(0), cooked(home, "Flat")), supper(day(1), cooked(home, "Plain"))]
    assert len(told(home, spared, [opens(0, "Sauce")])) == 1


def test_a_dish_asked_for_by_name_goes_before_the_fixed_night() -> None:
    feast = _home(occasions=(Occasion(day(0), day(0), "birthday", dish="Plain"),))
    assert told(feast, [supper(day(0), cooked(feast, "Plain"))]) == []
    home = _home()
    assert told(home, [supper(day(0), cooked(home, "Plain", pinned=True))]) == []


def test_an_occasions_dish_stands_at_its_meal_if_it_can() -> None:
    party = Occasion(day(0), day(0), "birthday", dish="Flat")
    home = _home(occasions=(party,), rules=rules())
    assert told(home, [supper(day(0), cooked(home, "Flat"))], [opens(0, "Sauce")]) == []
    assert told(home, [supper(day(0), cooked(home, "Plain"))]) == [
        "Mon 5 January, supper: birthday asks for Flat, which does not stand there"
    ]
    bare = replace(home, lots=home.lots[:1])
    assert told(bare, [supper(day(0), cooked(bare, "Plain"))]) == []


def _meatless(least: int, days_between: int = 0, season=()):
    return kitchen(
        lots=[lot("Carrots", 99, "lb"), lot("Beans", 99)],
        dishes=[
            dish("Greens", ["1 lb Carrots"], tags=["meatless"], days_between=days_between, season=season),
            dish("Plain", ["1 lb Carrots"]),
        ],
        rules=rules(at_least={"meatless": least}),
    )


def _suppers(home, *names: str):
    return [supper(day(n), cooked(home, name)) for n, name in enumerate(names)]


def test_at_least_so_many_in_each_full_seven_days() -> None:
    home = _meatless(2)
    good = ["Greens", "Greens", *["Plain"] * 5]
    assert told(home, _suppers(home, *good)) == []
    assert told(home, _suppers(home, "Greens", *["Plain"] * 6)) == [
        "Mon 5 January to Sun 11 January: 'meatless' 1 times among the mains, at least 2 asked, and Greens could stand "
        "at supper on Tue 6 January"
    ]
    assert told(home, _suppers(home, *["Plain"] * 6)) == []
    assert told(home, _suppers(home, *good, *["Plain"] * 6)) == []
    assert len(told(home, _suppers(home, *good, *["Plain"] * 7))) == 1


def test_at_least_is_missed_where_no_day_could_simply_have_it() -> None:
    for home, greens, good in (
        (_meatless(2, days_between=6), 1, False),
        (_meatless(2, days_between=7), 1, True),
        (_meatless(2, days_between=7), 0, False),
        (_meatless(1, season=[7]), 0, True),
    ):
        assert (told(home, _suppers(home, *["Greens"] * greens, *["Plain"] * (7 - greens))) == []) == good


def test_a_share_of_portions_reaches_the_shelf_in_whole_batches() -> None:
    """Six portions need two batches of a dish for four, which the two jars just give; eleven need three."""
    for portions, could in ((6, True), (11, False)):
        home = _home(people=[person("Crowd", portions)])
        said = told(home, [supper(day(0), cooked(home, "Plain", 2 if could else 3), portions=Fraction(portions))])
        assert said == ([MISSED] if could else [])
