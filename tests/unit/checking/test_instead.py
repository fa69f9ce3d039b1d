"""Menus of more than ten days: a missed promise is a fault where a dish could simply have taken the place."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pantrymeals.checking.instead import spare
from pantrymeals.plans.menu import Opening, PlannedMeal
from pantrymeals.records import Dish, Household, Leaving, Occasion
from tests.kitchens.tiny import (
    arrival,
    cooked,
    day,
    dish,
    instead,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    menu,
    qty,
    rules,
    standing,
    supper,
)
from tests.unit.checking.sound import told

NIGHT, LATER = 2, 9
"""The two Wednesdays of a fortnight from a Monday: on the first the promise is missed, on the second Flat stands."""

WEDNESDAY = {"Wed": "flat bread"}
MISSED = ["Wed 7 January, supper, Plain: Wednesday is the night for 'flat bread', and Flat could be cooked"]


def flat(*uses: str, tags: tuple[str, ...] = (), **changes: object) -> Dish:
    """The dish that could keep the promise: a quart of sauce unless given."""
    return dish("Flat", uses or ["1 qt Sauce"], tags=["flat bread", *tags], **changes)  # type: ignore[arg-type]


def plain(name: str = "Plain", **changes: object) -> Dish:
    """A main of a pound of carrots."""
    return dish(name, ["1 lb Carrots"], **changes)  # type: ignore[arg-type]


def side(name: str = "Slaw", **changes: object) -> Dish:
    """A side of a pound of turnips."""
    return dish(name, ["1 lb Turnips"], "side", **changes)  # type: ignore[arg-type]


def home(*dishes: Dish, sauce: int = 9, **changes: object) -> Household:
    """Carrots and turnips for anything, so many quarts of sauce; a main and a side each evening."""
    fields: dict[str, object] = {
        "products": [loose("Carrots"), loose("Turnips"), jar("Sauce")],
        "lots": [lot("Carrots", 99, "lb"), lot("Turnips", 99, "lb"), lot("Sauce", sauce)],
        "dishes": {d.name: d for d in (flat(), plain(), side(), *dishes)}.values(),
        "meals": [meal_roles(roles=("main", "side"))],
        "rules": rules(fixed=WEDNESDAY),
    }
    return kitchen(**(fields | changes))  # type: ignore[arg-type]


def jars_for(meals: list[PlannedMeal]) -> list[Opening]:
    """The quarts of sauce that these meals use, opened on their day."""
    use = [(m.day, sum(u.amount for p in m.dishes for u in p.uses if u.product == "Sauce")) for m in meals]
    return [Opening(when, "Sauce", "qt", int(amount / qty("1 qt"))) for when, amount in use if amount]


def said(
    household: Household,
    others: dict[int, tuple[str, ...]] | None = None,
    days: int = 14,
    besides: tuple[PlannedMeal, ...] = (),
    pinned: bool = False,
) -> list[str]:
    """What is said of Plain and Slaw each evening, Flat on the later night, and what else is given by day.

    besides: other meals of those days. pinned: the night's main was asked for.
    """
    eaten = dict.fromkeys(range(days), ("Plain", "Slaw")) | {LATER: ("Flat", "Slaw")} | (others or {})
    meals = list(besides)
    for number, names in eaten.items():
        planned = []
        for name in names:
            own = household.dishes[name]
            asked = pinned and number == NIGHT and own.role == "main"
            planned.append(cooked(household, name, instead=range(len(own.instead)), pinned=asked))
        covered = tuple(role for name in names for role in household.dishes[name].covers)
        missing = ("main",) if all(p.role != "main" for p in planned) else ()
        meals.append(supper(day(number), *planned, covered_roles=covered, open_roles=missing))
    meals.sort(key=lambda m: (m.day, m.meal))
    return told(household, meals, jars_for(meals))


def test_a_fixed_night_that_a_dish_could_simply_keep_is_missed() -> None:
    assert said(home()) == MISSED
    assert said(home(), {NIGHT: ("Flat", "Slaw")}) == []


@pytest.mark.parametrize("days", [10, 11])
@pytest.mark.parametrize(("sauce", "missed"), [(1, False), (2, True)])
def test_what_a_later_night_needs_is_not_taken_for_this_one(days: int, sauce: int, missed: bool) -> None:
    assert said(home(sauce=sauce), days=days) == (MISSED if missed else [])


# The dish, and what is there of it.


@pytest.mark.parametrize(("days_between", "free"), [(8, True), (7, False)])
def test_it_may_not_come_again_within_its_days_later(days_between: int, free: bool) -> None:
    assert said(home(flat(days_between=days_between))) == ([] if free else MISSED)


@pytest.mark.parametrize(("jars", "free"), [(1, True), (2, False)])
def test_what_a_later_day_needs_is_not_taken(jars: int, free: bool) -> None:
    assert said(home(sauce=jars)) == ([] if free else MISSED)


@pytest.mark.parametrize(("jars", "free"), [(3, True), (4, False)])
def test_two_uses_of_one_product_are_needed_together(jars: int, free: bool) -> None:
    assert said(home(flat("1 qt Sauce", "1 qt Sauce"), sauce=jars)) == ([] if free else MISSED)


@pytest.mark.parametrize(("jars", "free"), [(5, True), (6, False)])
def test_what_its_noted_alternative_takes_must_be_left_too(jars: int, free: bool) -> None:
    noted = flat(instead=(instead("Ann", "a bowl of sauce", ["2 qt Sauce"]),))
    assert said(home(noted, sauce=jars)) == ([] if free else MISSED)


@pytest.mark.parametrize(("other", "free"), [("1 lb Leeks", True), ("1 lb Turnips", False)])
def test_another_of_its_options_will_do(other: str, free: bool) -> None:
    products = [loose("Carrots"), loose("Turnips"), loose("Leeks"), jar("Sauce")]
    assert said(home(flat(f"1 qt Sauce or {other}"), sauce=1, products=products)) == ([] if free else MISSED)


@pytest.mark.parametrize(("mouths", "free"), [(6, True), (5, False)])
def test_more_mouths_need_more_batches_of_it(mouths: int, free: bool) -> None:
    """Four portions stretch to five; six need two batches, and beside the later night's jar there is one."""
    visit = Occasion(day(NIGHT), day(NIGHT), "visit", guests=Fraction(mouths - 2))
    full = home(sauce=2, occasions=(visit,))
    batches = 2 if mouths > 5 else 1
    meals = [supper(day(n), cooked(full, "Plain"), cooked(full, "Slaw")) for n in range(14)]
    meals[LATER] = supper(day(LATER), cooked(full, "Flat"), cooked(full, "Slaw"))
    meals[NIGHT] = supper(day(NIGHT), cooked(full, "Plain", batches), cooked(full, "Slaw", batches), portions=mouths)
    assert told(full, meals, jars_for(meals)) == ([] if free else MISSED)


# The day.


@pytest.mark.parametrize(("minutes", "free"), [(26, True), (25, False)])
def test_the_days_minutes_are_not_exceeded(minutes: int, free: bool) -> None:
    """Of forty minutes the side takes fifteen; on the later night there is one that takes none."""
    busy = home(
        flat(hands_on_minutes=minutes),
        side("Pickle", hands_on_minutes=0),
        rules=rules(fixed=WEDNESDAY, hands_on_minutes={"Wed": 40}),
    )
    assert said(busy, {LATER: ("Flat", "Pickle")}) == ([] if free else MISSED)


def test_on_a_crew_day_minutes_are_free() -> None:
    busy = home(
        flat(hands_on_minutes=26),
        side("Pickle", hands_on_minutes=0),
        rules=rules(fixed=WEDNESDAY, hands_on_minutes={"Wed": 40}),
        occasions=(Occasion(day(NIGHT), day(NIGHT), "threshers", kind="crew"),),
    )
    assert said(busy, {LATER: ("Flat", "Pickle")}) == MISSED


@pytest.mark.parametrize(("tag", "free"), [("cabbage", True), ("roots", False)])
@pytest.mark.parametrize("rule", ["not_twice", "not_twice_a_day"])
def test_a_tag_does_not_stand_twice_in_the_meal(rule: str, tag: str, free: bool) -> None:
    house = rules(fixed=WEDNESDAY, **{rule: ["cabbage"]})
    cabbage = home(flat(tags=("cabbage",)), side("Kraut", tags=[tag]), rules=house)
    assert said(cabbage, {NIGHT: ("Plain", "Kraut")}) == ([] if free else MISSED)


LUNCH = meal_roles("lunch", roles=("lunch",))
BONE = Leaving("bone", Fraction(4), 5)


@pytest.mark.parametrize(
    ("rule", "left", "free"),
    [("not_twice_a_day", None, True), ("not_twice", None, False), ("not_twice_a_day", "bone", False)],
)
def test_a_tag_does_not_stand_twice_in_the_day_but_for_leavings(rule: str, left: str | None, free: bool) -> None:
    """The joint of the day before the menu has left a bone for a soup at the night's noon."""
    soupy = home(
        flat(tags=("soup",)),
        dish("Broth", ["1 lb Turnips"], "lunch", tags=["soup"], needs_left=left),
        dish("Bite", ["1 lb Turnips"], "lunch"),
        plain("Joint", leaves=BONE),
        meals=[LUNCH, meal_roles(roles=("main", "side"))],
        rules=rules(fixed=WEDNESDAY, **{rule: ["soup"]}),
        recent=((day(-1), "Joint"),),
    )
    noons = tuple(supper(day(n), cooked(soupy, "Broth" if n == NIGHT else "Bite"), meal="lunch") for n in range(14))
    assert said(soupy, besides=noons) == ([] if free else MISSED)


@pytest.mark.parametrize("whose", ["its own", "the side's"])
@pytest.mark.parametrize(("refused", "free"), [(True, True), (False, False)])
def test_what_does_not_go_together_does_not_stand_together(whose: str, refused: bool, free: bool) -> None:
    """One by its name, the other by a tag; on the later night another side stands."""
    own = ["Kraut"] if refused and whose == "its own" else ["Peas"]
    sides = ["flat bread"] if refused and whose == "the side's" else ["fish"]
    apart = home(flat(not_with=own), side("Kraut", not_with=sides))
    assert said(apart, {NIGHT: ("Plain", "Kraut")}) == ([] if free else MISSED)


# The days around.


@pytest.mark.parametrize(("greasy", "free"), [(LATER - 1, True), (LATER, False)])
def test_at_most_in_seven_days_is_kept_with_later_days(greasy: int, free: bool) -> None:
    """On the later night other flat bread stands, that may not come so soon; the day before it is greasy, or it is."""
    rolls = plain("Rolls", tags=["flat bread", "greasy"] if greasy == LATER else ["flat bread"], days_between=8)
    fat = home(
        flat(tags=("greasy",)),
        rolls,
        plain("Fried", tags=["greasy"]),
        rules=rules(fixed=WEDNESDAY, at_most={"greasy": 1}),
    )
    before = "Fried" if greasy == LATER - 1 else "Plain"
    assert said(fat, {LATER - 1: (before, "Slaw"), LATER: ("Rolls", "Slaw")}) == ([] if free else MISSED)


@pytest.mark.parametrize(("lately", "free"), [(-4, True), (-5, False)])
def test_at_most_in_seven_days_is_kept_with_what_was_lately_eaten(lately: int, free: bool) -> None:
    fat = home(
        flat(tags=("greasy",)),
        plain("Fried", tags=["greasy"]),
        rules=rules(fixed=WEDNESDAY, at_most={"greasy": 1}),
        recent=((day(lately), "Fried"),),
    )
    assert said(fat) == ([] if free else MISSED)


@pytest.mark.parametrize(
    ("number", "free"), [(NIGHT - 2, False), (NIGHT - 1, True), (NIGHT + 1, True), (NIGHT + 2, False)]
)
def test_not_two_days_running_with_the_mains_of_the_days_beside(number: int, free: bool) -> None:
    cheesy = home(
        flat(tags=("cheese",)), plain("Bake", tags=["cheese"]), rules=rules(fixed=WEDNESDAY, not_running=["cheese"])
    )
    assert said(cheesy, {number: ("Bake", "Slaw")}) == ([] if free else MISSED)


# What stands there. A tag of the week, that only a Wednesday could give.

NONE_IN_THE_WEEK = [
    "Mon 5 January to Sun 11 January: 'flat bread' 0 times among the mains, at least 1 asked, "
    "and Flat could stand at supper on Wed 7 January"
]


def week(*dishes: Dish, own: Dish | None = None, also: dict[str, object] | None = None, **changes: object) -> Household:
    """A household that wants flat bread once a week, and has a dish of it for Wednesdays."""
    wanted = own or flat(weekdays=["Wed"])
    house = rules(**({"at_least": {"flat bread": 1}} | (also or {})))
    return home(wanted, *dishes, rules=house, **changes)


def test_a_tag_of_the_week_that_a_dish_could_simply_give_is_missed() -> None:
    assert said(week()) == NONE_IN_THE_WEEK
    assert said(week(), {NIGHT: ("Flat", "Slaw")}) == []
    assert said(week(sauce=1)) == []


def test_it_could_stand_in_an_open_place() -> None:
    left_open = "Wed 7 January, supper: its main is left open, and {} could stand there"
    assert said(week(), {NIGHT: ("Slaw",)}) == [*NONE_IN_THE_WEEK, left_open.format("Flat")]
    assert said(week(sauce=1), {NIGHT: ("Slaw",)}) == [left_open.format("Plain")]


@pytest.mark.parametrize("pinned", [True, False])
def test_what_was_asked_for_by_name_stays(pinned: bool) -> None:
    assert said(week(), pinned=pinned) == ([] if pinned else NONE_IN_THE_WEEK)


@pytest.mark.parametrize("asked", ["Plain", ""])
def test_an_occasions_own_dish_stays(asked: str) -> None:
    birthday = Occasion(day(NIGHT), day(NIGHT), "birthday", dish=asked)
    assert said(week(occasions=(birthday,))) == ([] if asked else NONE_IN_THE_WEEK)


BROTH_EVERY_WEDNESDAY = {NIGHT: ("Broth", "Slaw"), LATER: ("Both", "Slaw")}
BOTH = plain("Both", tags=["soup", "flat bread"], weekdays=["Wed"], days_between=8)


@pytest.mark.parametrize(
    "also", [{"fixed": {"Wed": "soup"}}, {"at_least": {"flat bread": 1, "soup": 1}}], ids=["night", "week"]
)
@pytest.mark.parametrize(("tags", "free"), [((), True), (("soup",), False)])
def test_what_keeps_a_promise_of_its_own_stays_unless_the_other_keeps_it_too(
    also: dict[str, object], tags: tuple[str, ...], free: bool
) -> None:
    soupy = week(plain("Broth", tags=["soup"]), BOTH, own=flat(tags=tags, weekdays=["Wed"]), also=also)
    assert said(soupy, BROTH_EVERY_WEDNESDAY) == ([] if free else NONE_IN_THE_WEEK)


@pytest.mark.parametrize(("leaving", "free"), [(BONE, True), (None, False)])
def test_what_leaves_something_for_later_stays(leaving: Leaving | None, free: bool) -> None:
    assert said(week(plain("Joint", leaves=leaving)), {NIGHT: ("Joint", "Slaw")}) == ([] if free else NONE_IN_THE_WEEK)


@pytest.mark.parametrize(("covers", "free"), [((), True), (("side",), False)])
def test_a_side_that_was_covered_stays_covered(covers: tuple[str, ...], free: bool) -> None:
    stew = week(plain("Stew", covers=["side"]), own=flat(weekdays=["Wed"], covers=covers))
    later = {LATER: ("Flat",) if covers else ("Flat", "Slaw")}
    assert said(stew, {NIGHT: ("Stew",)} | later) == ([] if free else NONE_IN_THE_WEEK)


@pytest.mark.parametrize(("covers", "free"), [(("side",), True), ((), False)])
def test_a_side_that_stands_is_not_covered_again(covers: tuple[str, ...], free: bool) -> None:
    pot = week(own=flat(weekdays=["Wed"], covers=covers))
    assert said(pot, {LATER: ("Flat",) if covers else ("Flat", "Slaw")}) == ([] if free else NONE_IN_THE_WEEK)


# An occasion's dish.


@pytest.mark.parametrize(("jars", "days", "missed"), [(2, 14, True), (1, 14, False), (1, 10, True)])
def test_an_occasions_dish_is_missed_where_it_could_simply_stand(jars: int, days: int, missed: bool) -> None:
    birthday = Occasion(day(NIGHT), day(NIGHT), "birthday", dish="Flat")
    party = home(sauce=jars, rules=rules(), occasions=(birthday,))
    assert said(party, days=days) == (
        ["Wed 7 January, supper: birthday asks for Flat, which does not stand there"] if missed else []
    )


@pytest.mark.parametrize("fixed", [{"Wed": "soup"}, {}])
def test_an_occasions_dish_goes_before_the_fixed_night(fixed: dict[str, str]) -> None:
    birthday = Occasion(day(NIGHT), day(NIGHT), "birthday", dish="Flat")
    broth = plain("Broth", tags=["soup"], weekdays=["Wed"], days_between=1)
    party = home(broth, rules=rules(fixed=fixed), occasions=(birthday,))
    assert said(party, {NIGHT: ("Broth", "Slaw"), LATER: ("Broth", "Slaw")}) == [
        "Wed 7 January, supper: birthday asks for Flat, which does not stand there"
    ]


@pytest.mark.parametrize(("weekdays", "missed"), [(["Wed"], False), (["Wed", "Thu"], True)])
def test_a_place_that_has_the_tag_already_gains_nothing(weekdays: list[str], missed: bool) -> None:
    crust = plain("Crust", tags=["flat bread"], weekdays=["Wed"])
    twice = week(crust, own=flat(weekdays=weekdays, days_between=2), also={"at_least": {"flat bread": 2}})
    heard = said(twice, {NIGHT: ("Crust", "Slaw")})
    assert [line[-16:] for line in heard] == (["on Thu 8 January"] if missed else [])


# What is to spare on a day.


@pytest.mark.parametrize(("number", "pounds"), [(0, 2), (5, 2), (6, 2), (7, 12)])
def test_to_spare_is_what_every_later_day_can_do_without(number: int, pounds: int) -> None:
    """Of four pounds one goes on the first day and one on the sixth; on the eighth ten come."""
    house = kitchen(lots=[lot("Carrots", 4, "lb")], dishes=[plain()], arrivals=(arrival("Carrots", "10 lb", day(7)),))
    plan = menu(house, [supper(day(n), cooked(house, "Plain")) for n in (0, 5)], days=14)
    assert spare(house, plan, house.products["Carrots"], number) == qty(f"{pounds} lb")


@pytest.mark.parametrize(("sizes", "quarts"), [(["qt"], 5), (["jug=3 qt", "qt"], 3)])
def test_standing_use_is_not_to_spare_and_a_begun_container_is_none(sizes: list[str], quarts: int) -> None:
    """Of ten quarts two and a half a week take five in a fortnight.

    In jugs of three standing use takes two of them, and of the four quarts over one jug can be taken.
    """
    beans = jar("Beans", sizes=sizes)
    house = kitchen(products=[beans], lots=[lot("Beans", 10)], dishes=[], standing=(standing("Beans", "2 1/2 qt"),))
    plan = menu(house, [supper(day(0))], days=14)
    assert spare(house, plan, house.products["Beans"], 0) == qty(f"{quarts} qt")


@pytest.mark.parametrize(("number", "packs"), [(2, 0), (3, 5)])
def test_a_frozen_pack_is_to_spare_once_it_can_have_thawed(number: int, packs: int) -> None:
    house = kitchen(products=[jar("Beans", thaw_days=3)], lots=[lot("Beans", 5)], dishes=[])
    plan = menu(house, [supper(day(0))], days=14)
    assert spare(house, plan, house.products["Beans"], number) == qty(f"{packs} qt")
