"""Run-out of tiny larders, against days counted by hand (own arithmetic)."""

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.forecast.run_out_first import first_run_out, unreachable
from pantrymeals.plans.menu import Opening, RunOutRow, ShareRow
from pantrymeals.records import BatchDay, Household
from tests.kitchens.tiny import (
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
    use,
)


def _jam(jars: int, weekly: str, dishes=(), arrivals=(), part_jars=(), lots=None, **product) -> Household:
    return kitchen(
        products=[jar("Jam", **product)],
        lots=[lot("Jam", jars)] if lots is None else lots,
        dishes=dishes,
        standing=(standing("Jam", weekly),) if weekly else (),
        arrivals=arrivals,
        part_jars=part_jars,
    )


def _row(home: Household, plan=None) -> RunOutRow:
    [row] = first_run_out(home, plan)
    return row


NEW_CROP = {"deadline_kind": "new crop"}


def test_seven_jars_at_one_a_week_last_seven_weeks() -> None:
    row = _row(_jam(7, "1 qt", must_last_to=day(70), **NEW_CROP))
    assert (row.weekly, row.out, row.mark, row.gap_weeks) == (1, day(48), "short", 3.0)
    assert row.reason == "7 weeks at 1 qt a week; the new crop is 16 Mar, 3 weeks short"


@pytest.mark.parametrize(
    ("jars", "due", "mark"),
    [
        (5, 49, "tight"),  # two weeks without
        (4, 49, "short"),  # three weeks without
        (7, 49, "tight"),  # the last jar goes on the eve of the new crop
        (9, 49, "tight"),  # two jars over
        (10, 49, "reaches"),  # three over
        (11, 49, "glut"),  # 11 weeks for 7, four over
        (6, 28, "tight"),
        (7, 28, "reaches"),  # long cover, but no more than three over
        (8, 28, "glut"),
    ],
)
def test_marks_on_both_sides_of_their_edges(jars: int, due: int, mark: str) -> None:
    assert _row(_jam(jars, "1 qt", must_last_to=day(due), **NEW_CROP)).mark == mark


def test_one_jar_lacking_is_tight_however_slowly_it_goes() -> None:
    assert _row(_jam(9, "1/4 qt", must_last_to=day(7 * 40), **NEW_CROP)).mark == "tight"
    assert _row(_jam(8, "1/4 qt", must_last_to=day(7 * 40), **NEW_CROP)).mark == "short"


def test_reserve_held_lots_and_part_jars() -> None:
    home = _jam(
        0,
        "1 qt",
        lots=[lot("Jam", 5), lot("Jam", 9, state="held")],
        part_jars=(part_jar("Jam", "1/2 qt", day(-1)),),
        reserve=qty("2 qt"),
        must_last_to=day(700),
        opened_days=30,
    )
    row = _row(home)
    assert (row.on_hand, row.reserve, row.out) == (5, 2, day(24))
    gone = _jam(5, "1 qt", part_jars=(part_jar("Jam", "1/2 qt", day(-30)),), must_last_to=day(700), opened_days=30)
    assert _row(gone).out == day(34)


def test_what_comes_in_before_the_new_crop_counts_and_the_new_crop_does_not() -> None:
    order = arrival("Jam", "3 qt", day(10))
    crop = arrival("Jam", "50 qt", day(70))
    home = _jam(7, "1 qt", arrivals=(order, crop), must_last_to=day(70), **NEW_CROP)
    assert _row(home).out == day(69)
    assert _row(_jam(7, "1 qt", arrivals=(crop,), must_last_to=day(70), **NEW_CROP)).out == day(48)


def test_nothing_goes_out_of_season() -> None:
    """One a week in January and February alone: 27 + 28 days of 2026 take 55/7; the last goes in 2027."""
    home = kitchen(
        products=[jar("Soup base", must_last_to=date(2026, 12, 1))],
        lots=[lot("Soup base", 8)],
        dishes=[],
        standing=(standing("Soup base", "1 qt", [1, 2]),),
    )
    [row] = first_run_out(home)
    assert row.out == date(2027, 1, 1)


def test_a_dish_out_of_season_takes_nothing_either() -> None:
    soup = dish("Soup", ["1 qt Jam"], season=[1])
    home = _jam(50, "", dishes=[soup], must_last_to=day(365))
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(28)])
    row = _row(home, plan)
    assert row.weekly == 7
    assert row.out == date(2027, 1, 23)  # 27 days of January 2026, then 23 of January 2027


def test_a_menu_of_four_weeks_speaks_for_itself() -> None:
    home = _jam(100, "1 qt", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(365))
    meals = [supper(day(n), cooked(home, "Tart")) if n < 4 else supper(day(n), open_roles=("main",)) for n in range(28)]
    row = _row(home, menu(home, meals))
    assert row.weekly == 2
    assert "even" not in row.reason


def _week(home: Household, off: int, pace: Fraction = Fraction(1)):
    meals = [supper(day(0), cooked(home, "Tart"))] + [supper(day(n), open_roles=("main",)) for n in range(1, 7)]
    figures = [Fraction(n) for n in (0, 0, 1, 1, off)]
    return menu(home, meals, [Opening(day(0), "Jam", "qt", 1)], shares=[ShareRow("Jam", *figures)], pace=pace)


def test_in_a_short_menu_the_even_hands_pace_is_taken_within_the_band_and_the_mean_outside() -> None:
    """Ten jars to a day twenty weeks off are half a jar a week; the menu of one week takes one."""
    home = _jam(10, "", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140), **NEW_CROP)
    within, outside = _row(home, _week(home, 0)), _row(home, _week(home, 1))
    assert (within.weekly, within.mark) == (Fraction(1, 2), "reaches")
    assert within.reason == "20 weeks at an even pace of 0.5 qt a week; the new crop is 25 May"
    assert (outside.weekly, outside.mark) == (Fraction(3, 4), "short")
    assert _row(home, _week(home, 0, Fraction(1, 2))).weekly == Fraction(1, 4)


def test_standing_use_is_taken_out_of_the_even_hands_pace_once() -> None:
    home = _jam(10, "1/5 qt", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140))
    assert _row(home).weekly == Fraction(1, 2)
    more = _jam(10, "3/5 qt", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140))
    assert _row(more).weekly == Fraction(3, 5)


def test_held_off_the_menus_and_sitters() -> None:
    tart = dish("Tart", ["1 qt Jam"])
    for home, mark, reason in (
        (_jam(0, "", lots=[lot("Jam", 3, state="held")]), "held", "All of it is held: on no menu"),
        (_jam(3, "", dishes=[tart], on_menus=False), "not on menus", "Kept off the menus"),
        (_jam(3, ""), "sitter", "No dish and no standing use takes it"),
        (_jam(3, "", dishes=[tart]), "reaches", None),
        (_jam(3, "1 qt"), "reaches", None),
    ):
        row = _row(home)
        assert row.mark == mark
        assert reason in (None, row.reason)
        assert (row.out is None) == (mark != "reaches")


def test_jars_of_two_summers_ago_with_none_since_are_sitters() -> None:
    tart = [dish("Tart", ["1 qt Jam"])]
    old, newer = lot("Jam", 9, put_up=date(2023, 1, 1), year_only=True), lot("Jam", 1)
    row = _row(_jam(0, "", tart, lots=[old]))
    assert (row.mark, row.reason) == ("sitter", "9 qt put up over two years ago, and none in the last year")
    assert _row(_jam(0, "", tart, lots=[lot("Jam", 9, put_up=date(2024, 1, 7))])).mark != "sitter"
    assert _row(_jam(0, "", tart, lots=[old, newer], must_last_to=day(70))).mark == "glut"
    assert _row(_jam(0, "1 qt", tart, lots=[old], must_last_to=day(63))).mark == "tight"


def test_three_jars_over_a_year_old_beside_new_ones_are_a_glut() -> None:
    tart = [dish("Tart", ["1 qt Jam"])]
    for old, mark in ((3, "glut"), (2, "reaches")):
        lots = [lot("Jam", old, put_up=date(2024, 9, 1)), lot("Jam", 9)]
        row = _row(_jam(0, "", tart, lots=lots, must_last_to=day(70), **NEW_CROP))
        assert row.mark == mark
        assert ("3 qt are over a year old, with 9 put up since" in row.reason) == (mark == "glut")
    none_since = _row(_jam(0, "", tart, lots=lots[:1], must_last_to=day(70), **NEW_CROP))
    assert none_since.reason.endswith("none was put up in the last year")


def _roots(pounds: int, weekly: str, due: int) -> RunOutRow:
    home = kitchen(
        products=[loose("Parsnips", must_last_to=day(due), deadline_kind="keeps to")],
        lots=[lot("Parsnips", pounds, "lb")],
        dishes=[],
        standing=(standing("Parsnips", weekly),),
    )
    return _row(home)


@pytest.mark.parametrize(
    ("pounds", "due", "mark"),
    [(10, 70, "tight"), (11, 70, "tight"), (12, 70, "eat first"), (5, 42, "eat first"), (7, 43, "tight")],
)
def test_keepers_that_would_go_over_are_eaten_first(pounds: int, due: int, mark: str) -> None:
    assert _roots(pounds, "1 lb", due).mark == mark


def test_a_keeper_past_its_day_is_looked_over_and_one_that_is_gone_is_not_marked() -> None:
    past = _roots(10, "1 lb", -1)
    assert (past.mark, past.reason) == (
        "eat first",
        "It kept to 4 Jan: look it over, what is sound goes first",
    )
    assert _roots(0, "1 lb", 20).mark == "short"


def test_what_comes_in_as_it_goes_does_not_run_out() -> None:
    home = kitchen(
        products=[loose("Milk", "gal", kind="fridge")],
        lots=[],
        dishes=[],
        standing=(standing("Milk", "3 gal"),),
        arrivals=tuple(arrival("Milk", "1 gal", day(n)) for n in range(0, 28, 2)),
    )
    row = _row(home)
    assert (row.mark, row.out, row.reason) == (
        "reaches",
        None,
        "It comes in as it goes: about 3.5 gal a week",
    )


def test_what_no_dish_and_no_standing_use_reaches_is_named() -> None:
    products = [jar(name) for name in ("Used", "Standing", "Lonely", "Bones", "None left", "Elsewhere")]
    products += [jar("Gift", on_menus=False), jar("Winter", eaten_in=frozenset({1})), jar("Beside")]
    bones = BatchDay("Stock day", (use("1 qt Bones"),), (), 60)
    home = kitchen(
        products=products,
        lots=[lot(p.name, 1) for p in products if p.name != "None left"],
        dishes=[
            dish("Pot", ["1 qt Used or 1 qt Elsewhere"]),
            dish("Ices", ["1 qt Winter"], season=[7]),
            dish("Plate", ["1 qt Used"], instead=()),
            dish("Bowl", ["1 qt Beside"], season=[7]),
        ],
        standing=(standing("Standing", "1 qt"),),
        batch_days={"Stock day": bones},
    )
    assert dict(unreachable(home)) == {
        "Lonely": "no dish takes it",
        "Bones": "only the batch day 'Stock day' takes it",
        "Winter": "in the months it is eaten, Ices is out of season",
    }


def test_all_set_back_is_not_unreachable() -> None:
    home = _jam(2, "", reserve=qty("2 qt"))
    assert unreachable(home) == ()
    assert unreachable(_jam(3, "", reserve=qty("2 qt"))) == (("Jam", "no dish takes it"),)
