"""Tiny larders if their menus are followed, against days counted by hand (own arithmetic)."""

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.forecast.planned import unreachable
from pantrymeals.plans.menu import MenuPlan, Opening, ShareRow
from pantrymeals.plans.outlook import AtPace, ForecastRow
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


def rows(home: Household, plan: MenuPlan | None = None) -> list[ForecastRow]:
    return list(foresee(home, learn_paces(home, ()), plan).rows)


def _row(home: Household, plan: MenuPlan | None = None) -> AtPace:
    [row] = rows(home, plan)
    return row.as_planned


NEW_CROP = {"deadline_kind": "new crop"}


def test_seven_jars_at_one_a_week_last_seven_weeks() -> None:
    row = _row(_jam(7, "1 qt", must_last_to=day(70), **NEW_CROP))
    assert (row.weekly, row.out, row.mark, row.gap_weeks) == (1, day(48), "short", 3.0)
    assert (row.chance, row.left, row.out_early, row.out_late) == (0, 0, row.out, row.out)
    assert row.reason == "Must last to 16 March: the last one goes 22 February, 3 weeks before."


@pytest.mark.parametrize(
    ("jars", "due", "mark"),
    [
        (5, 49, "tight"),  # two weeks without
        (4, 49, "short"),  # three weeks without
        (7, 49, "tight"),  # the last jar goes on the eve of the new crop
        (9, 49, "tight"),  # two jars over
        (10, 49, "reaches"),  # three over
        (21, 49, "reaches"),  # 14 more weeks
        (22, 49, "glut"),  # 15 more weeks, and 15 over
        (6, 28, "tight"),
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
    [row] = rows(home)
    assert (row.on_hand, row.reserve, row.part, row.elsewhere) == (5, 2, 0.5, 9)
    assert row.as_planned.out == day(24)
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
    assert _row(home).out == date(2027, 1, 1)


def test_a_dish_out_of_season_takes_nothing_either() -> None:
    """28 jars go in January; the even hand has 11 days of its season left, 3 of January and 8 of the next."""
    soup = dish("Soup", ["1 qt Jam"], season=[1])
    home = _jam(50, "", dishes=[soup], must_last_to=day(368))
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(24)])
    row = _row(home, plan)
    assert (row.out, row.left) == (date(2027, 1, 7), 0)
    assert rows(home, plan)[0].must_last_to == date(2027, 1, 8)


def _week(home: Household, pace: Fraction = Fraction(1)) -> MenuPlan:
    meals = [supper(day(0), cooked(home, "Tart"))] + [supper(day(n), open_roles=("main",)) for n in range(1, 7)]
    figures = [Fraction(n) for n in (0, 0, 1, 1, 0)]
    return menu(home, meals, [Opening(day(0), "Jam", "qt", 1)], shares=[ShareRow("Jam", *figures)], pace=pace)


def test_the_menus_draw_on_their_days_and_an_even_hand_brings_what_they_leave_to_its_day() -> None:
    home = _jam(10, "", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140), **NEW_CROP)
    row = _row(home, _week(home))
    assert (row.weekly, row.mark, row.out, row.left) == (Fraction(1, 2), "reaches", day(139), 0)
    assert row.reason == "Must last to 25 May: an even hand brings it there."
    half = _row(home, _week(home, Fraction(1, 2)))
    assert half.left == 4.5, "at half the pace half of the nine jars is left"


def test_a_menu_that_takes_too_much_is_seen() -> None:
    tart = dish("Tart", ["1 qt Jam"])
    home = _jam(5, "1/4 qt", dishes=[tart], must_last_to=day(140), **NEW_CROP)
    plan = menu(home, [supper(day(n), cooked(home, "Tart")) for n in range(4)])
    row = _row(home, plan)
    assert row.mark == "short"
    assert row.out == day(27), "four cooked in four days, the fifth at a quarter a week"


def test_what_comes_in_as_the_menus_take_it_goes_on_so() -> None:
    home = kitchen(
        products=[loose("Milk", "gal", kind="fridge")],
        lots=[lot("Milk", 1, "gal")],
        dishes=[dish("Porridge", ["1 gal Milk"])],
        arrivals=tuple(arrival("Milk", "1 gal", day(7 * n)) for n in range(3)),
    )
    plan = menu(home, [supper(day(0), cooked(home, "Porridge")), *(supper(day(n)) for n in range(1, 7))])
    assert _row(home, plan).weekly == 1


def test_standing_use_is_taken_out_of_the_even_hands_pace_once() -> None:
    home = _jam(10, "1/5 qt", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140))
    assert _row(home).weekly == Fraction(1, 2)
    more = _jam(10, "3/5 qt", dishes=[dish("Tart", ["1 qt Jam"])], must_last_to=day(140))
    assert _row(more).weekly == 0.6


def test_held_off_the_menus_and_what_nothing_takes() -> None:
    tart = dish("Tart", ["1 qt Jam"])
    for home, mark, reason in (
        (_jam(0, "", lots=[lot("Jam", 3, state="held")]), "held", "Held: not to be eaten"),
        (_jam(3, "", dishes=[tart], on_menus=False), "not on menus", "Kept off the menus"),
        (_jam(3, ""), "glut", "No dish and no standing use takes it."),
        (_jam(3, "", dishes=[tart]), "reaches", "No day is set that it must last to"),
        (_jam(3, "1 qt"), "reaches", "No day is set that it must last to; the last one goes 25 January."),
    ):
        row = _row(home)
        assert row.mark == mark
        assert row.reason.startswith(reason)


def test_without_half_a_book_year_nothing_is_a_sitter_and_that_is_said() -> None:
    old = lot("Jam", 9, put_up=date(2023, 1, 1), year_only=True)
    home = _jam(0, "", [dish("Tart", ["1 qt Jam"])], lots=[old], must_last_to=day(100))
    found = foresee(home, learn_paces(home, ()))
    assert "sitter" not in found.rows[0].marks()
    assert "Too young to tell what sits: that takes half a book year." in found.notes


def _roots(pounds: int, weekly: str, due: int) -> AtPace:
    home = kitchen(
        products=[loose("Parsnips", must_last_to=day(due), deadline_kind="keeps to")],
        lots=[lot("Parsnips", pounds, "lb")],
        dishes=[],
        standing=(standing("Parsnips", weekly),),
    )
    return _row(home)


@pytest.mark.parametrize(
    ("pounds", "due", "mark"),
    [(10, 70, "tight"), (11, 70, "tight"), (12, 70, "eat first"), (3, 21, "eat first"), (3, 22, "tight")],
)
def test_keepers_that_would_go_over_are_eaten_first(pounds: int, due: int, mark: str) -> None:
    assert _roots(pounds, "1 lb", due).mark == mark


def test_a_keeper_past_its_day_is_looked_over_and_one_that_is_gone_is_not_marked() -> None:
    past = _roots(10, "1 lb", -1)
    assert (past.mark, past.reason) == ("eat first", "It kept to 4 January: look it over, what is sound goes first.")
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
    assert (row.mark, row.reason) == ("reaches", "Comes in week by week.")


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


def test_a_keeper_put_up_since_its_day_keeps_till_it_comes_round() -> None:
    def eat_by(put_up: date) -> date | None:
        home = kitchen(
            products=[loose("Parsnips", must_last_to=date(2025, 4, 20), deadline_kind="keeps to")],
            lots=[lot("Parsnips", 9, "lb", put_up=put_up)],
            dishes=[],
            standing=(standing("Parsnips", "1 lb"),),
        )
        [row] = rows(home)
        assert row.must_last_to is None
        return row.eat_by

    assert eat_by(date(2025, 4, 19)) == date(2025, 4, 20)
    assert eat_by(date(2025, 4, 20)) == date(2026, 4, 20)


def test_all_set_back_is_not_unreachable() -> None:
    home = _jam(2, "", reserve=qty("2 qt"))
    assert unreachable(home) == ()
    assert unreachable(_jam(3, "", reserve=qty("2 qt"))) == (("Jam", "no dish takes it"),)
