"""The pull list of tiny menus, and what they leave on the shelf."""

from datetime import date
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.cautions import CAUTIONS
from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.week.containers import opened_for
from pantrymeals.plans.menu import FromLot, Opening
from pantrymeals.pull.pull import household_after, pull_list
from pantrymeals.records import Ahead, Household, Lot, LotState, PartJar
from tests.kitchens.tiny import (
    arrival,
    cooked,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    part_jar,
    qty,
    standing,
    supper,
    told,
)
from tests.kitchens.tiny import menu as written


def menu(household: Household, *parts, **changes):
    return told(household, written(household, *parts, **changes))


def lots_left(household: Household, plan) -> tuple[tuple[Lot, ...], tuple[PartJar, ...]]:
    """What shelf and fridge hold once the menu is eaten."""
    after = household_after(household, plan)
    return after.lots, after.part_jars


BEFORE_OPENING, TO_THAW = CAUTIONS["C11"].words, CAUTIONS["C17"].words
ONCE_OPENED = f"{CAUTIONS['C15'].words[:-1]}; the last day stands beside each line."


def _beans(*lots: Lot, opened_days: int | None = 3, amount: str = "1 qt", **changes) -> Household:
    return kitchen(
        products=[jar("Beans", opened_days=opened_days)],
        lots=lots,
        dishes=[dish("Soup", [f"{amount} Beans"])],
        **changes,
    )


def _soups(home: Household, *days: int, jars: int = 1, openings: tuple[int, ...] | None = None):
    meals = [
        supper(day(n), cooked(home, "Soup")) if n in days else supper(day(n), open_roles=("main",))
        for n in range(max(days) + 1)
    ]
    return menu(home, meals, [Opening(day(n), "Beans", "qt", jars) for n in (days if openings is None else openings)])


def _taken(home: Household, plan) -> list[tuple[str, Fraction]]:
    return [(line.put_up, line.count) for line in pull_list(home, plan).lines]


def test_the_oldest_lot_goes_first_and_one_without_a_date_last() -> None:
    home = _beans(
        lot("Beans", 2, put_up=None),
        lot("Beans", 1, put_up=date(2025, 8, 1)),
        lot("Beans", 1, put_up=date(2024, 1, 1), year_only=True),
    )
    assert _taken(home, _soups(home, 0, 1, 2)) == [("2024", 1), ("1 Aug 2025", 1), ("no date", 1)]


def test_two_jars_are_taken_from_two_lots() -> None:
    home = _beans(lot("Beans", 1, put_up=date(2024, 5, 5)), lot("Beans", 5), amount="2 qt")
    assert _taken(home, _soups(home, 0, jars=2)) == [("5 May 2024", 1), ("1 Sep 2025", 1)]
    left, _ = lots_left(home, _soups(home, 0, jars=2))
    assert [(x.put_up, x.count) for x in left] == [(date(2025, 9, 1), 4)]


def test_held_lots_are_left_alone_and_the_reserve_stays_on_the_newest() -> None:
    home = _beans(
        lot("Beans", 1, put_up=date(2020, 1, 1), state="held"),
        lot("Beans", 2, put_up=date(2024, 5, 5)),
        lot("Beans", 2, put_up=date(2025, 5, 5)),
    )
    left, _ = lots_left(home, _soups(home, 0, 1))
    assert [(x.put_up.year, x.count, x.state) for x in left if x.put_up] == [(2020, 1, "held"), (2025, 2, "")]


@pytest.mark.parametrize("state", ["held", "promised", "seed", "suspect"])
def test_no_jar_of_a_lot_that_is_not_on_the_shelf_is_fetched(state: LotState) -> None:
    home = _beans(lot("Beans", 3, put_up=date(2020, 1, 1), state=state), lot("Beans", 3))
    assert _taken(home, _soups(home, 0, 1)) == [("1 Sep 2025", 1)] * 2
    loose_home = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 9, "lb", put_up=date(2020, 1, 1), state=state), lot("Carrots", 9, "lb")],
        dishes=[dish("Roast", ["1 lb Carrots"])],
    )
    assert _taken(loose_home, menu(loose_home, [supper(day(0), cooked(loose_home, "Roast"))])) == [("1 Sep 2025", 1)]


def test_of_two_part_jars_the_one_opened_first_is_used_first() -> None:
    """Told by the planner, as `opened_for` works it out, and so by the pull list."""
    parts = (part_jar("Beans", "1/2 qt", day(-1), where="C"), part_jar("Beans", "1/2 qt", day(-2), where="P"))
    for opened_days in (5, None):
        home = _beans(lot("Beans", 8), opened_days=opened_days, amount="1/2 qt", part_jars=parts)
        opened = opened_for(home, day(0), 2, {"Beans": {1: qty("1/2 qt")}}, {})
        assert [(b.opened, b.uses) for b in opened.begun] == [(day(-2), ((day(1), qty("1/2 qt")),))]
        plan = replace(menu(home, [supper(day(1), cooked(home, "Soup"))]), begun=opened.begun)
        assert [(x.kind, x.where, x.count) for x in pull_list(home, plan).lines] == [("part jar", "P", Fraction(1, 2))]


def test_a_plan_says_of_each_opening_its_lots_days_and_uses() -> None:
    """Two of three birds are lifted out for Wednesday, from two lots; the second is half eaten on Thursday."""
    home = kitchen(
        products=[jar("Bird", sizes=("bird=1 each",), kind="freezer", thaw_days=2, opened_days=2)],
        lots=[lot("Bird", 1, "bird", where="F", put_up=date(2025, 5, 1), load="7"), lot("Bird", 2, "bird", where="G")],
        dishes=[dish("Roast", ["3/2 each Bird"])],
    )
    each = qty("1 each")
    opened = opened_for(home, day(0), 4, {"Bird": {2: each * 3 / 2, 3: each / 4}}, {})
    plan = replace(written(home, [supper(day(3))]), openings=opened.openings)
    told_of = [(o.lot, o.count, o.day, o.lifted, o.eat_by, o.uses) for o in with_lots(home, plan).openings]
    first, second = FromLot("F", date(2025, 5, 1), False, "7"), FromLot("G", date(2025, 9, 1))
    assert told_of == [
        (first, 1, day(2), day(0), day(3), ((day(2), each),)),
        (second, 1, day(2), day(0), day(3), ((day(2), each / 2), (day(3), each / 4))),
    ]
    assert [(w.day, w.amount) for w in opened.waste] == [(day(3), each / 4)]


def test_places_come_in_walking_order_and_part_jars_before_all() -> None:
    home = kitchen(
        products=[jar("Beans", opened_days=9), jar("Broth", opened_days=9), loose("Carrots")],
        lots=[lot("Broth", 2, where="Shed"), lot("Carrots", 9, "lb", where="C"), lot("Beans", 2, where="P")],
        dishes=[dish("Pot", ["1 qt Broth", "1 lb Carrots", "3/2 qt Beans"])],
        part_jars=(part_jar("Beans", "1/2 qt", day(-1), where="C"),),
    )
    plan = menu(
        home,
        [supper(day(0), cooked(home, "Pot"))],
        [Opening(day(0), "Beans", "qt", 1), Opening(day(0), "Broth", "qt", 1)],
    )
    got = [(x.kind, x.where, x.product, x.count, x.eat_by) for x in pull_list(home, plan).lines]
    assert got == [
        ("part jar", "C", "Beans", Fraction(1, 2), day(7)),
        ("jar", "P", "Beans", 1, day(8)),
        ("loose", "C", "Carrots", 1, None),
        ("jar", "Shed", "Broth", 1, day(8)),
    ]


def test_what_is_dipped_into_is_summed_by_day_oldest_first() -> None:
    home = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 1, "lb"), lot("Carrots", 9, "lb", put_up=date(2025, 12, 1))],
        dishes=[dish("Roast", ["1 lb Carrots"]), dish("Slaw", ["1/2 lb Carrots"], role="side")],
    )
    plan = menu(home, [supper(day(0), cooked(home, "Roast"), cooked(home, "Slaw"))])
    [line] = pull_list(home, plan).lines
    assert (line.count, line.put_up, line.dish) == (Fraction(3, 2), "1 Sep 2025, then 1 Dec 2025", "Roast, Slaw")
    assert [x.count for x in lots_left(home, plan)[0]] == [Fraction(17, 2)]


def _bird(thaw: int = 2, at: int = 2):
    home = kitchen(
        products=[jar("Bird", sizes=("bird=1 each",), kind="freezer", thaw_days=thaw, opened_days=2)],
        lots=[lot("Bird", 3, "bird", where="F")],
        dishes=[dish("Roast bird", ["1 each Bird"])],
    )
    meals = [supper(day(n), open_roles=("main",)) for n in range(at)] + [supper(day(at), cooked(home, "Roast bird"))]
    return home, menu(home, meals, [Opening(day(at), "Bird", "bird", 1)])


def test_a_pack_is_lifted_out_its_thaw_days_before() -> None:
    home, plan = _bird()
    pull = pull_list(home, plan)
    [line] = pull.lines
    assert (line.kind, line.fetch, line.needed, line.eat_by) == ("lift out", day(0), day(2), day(3))
    assert pull.cautions == (ONCE_OPENED, TO_THAW)
    assert pull.empties == ()


def test_a_pack_that_is_not_used_up_is_a_part_jar_that_knows_when_it_was_lifted_out() -> None:
    home, plan = _bird(at=3)
    half = kitchen(
        products=list(home.products.values()), lots=home.lots, dishes=[dish("Roast bird", ["1/2 each Bird"])]
    )
    meals = [*plan.meals[:3], supper(day(3), cooked(half, "Roast bird"))]
    _, parts = lots_left(half, menu(half, meals, plan.openings))
    assert [(p.left, p.opened) for p in parts] == [(Fraction(1, 2), day(1))]


def test_steps_ahead_stand_on_their_day_and_late_ones_on_the_first() -> None:
    home = kitchen(dishes=[dish("Roast", ["1 lb Carrots"], ahead=(Ahead(1, "soak the beans"),))])
    plan = menu(home, [supper(day(0), cooked(home, "Roast")), supper(day(1), cooked(home, "Roast"))])
    assert [(a.day, a.what, a.dish_day) for a in pull_list(home, plan).ahead] == [
        (day(0), "soak the beans (was due 4 Jan: if it is not done, choose another dish)", day(0)),
        (day(0), "soak the beans", day(1)),
    ]


def test_empties_are_jars_that_are_emptied_or_gone_over() -> None:
    full, half = _beans(lot("Beans", 8)), _beans(lot("Beans", 8), amount="1/2 qt")
    assert pull_list(full, _soups(full, 0, 1)).empties == (("qt", 2),)
    assert pull_list(half, _soups(half, 0, openings=(0,))).empties == ()
    assert pull_list(half, _soups(half, 0, 2, openings=(0,))).empties == (("qt", 1),)
    gone = _soups(half, 0, 3)
    assert pull_list(half, gone).empties == (("qt", 1),)
    assert [p.opened for p in lots_left(half, gone)[1]] == [day(3)]


def test_a_jar_on_its_last_day_is_open_the_morning_after_and_a_day_later_gone() -> None:
    """Opened on Monday for three days: there on Wednesday morning, gone on Thursday."""
    half = _beans(lot("Beans", 8), amount="1/2 qt")
    for days, left in ((2, [(day(0), qty("1/2 qt"))]), (3, [])):
        plan = _soups(half, 0, openings=(0,))
        meals = [*plan.meals, *(supper(day(n), open_roles=("main",)) for n in range(1, days))]
        _, parts = lots_left(half, menu(half, meals, plan.openings))
        assert [(p.opened, p.left) for p in parts] == left


def test_cautions_stand_at_their_moments_only() -> None:
    clock, none = _beans(lot("Beans", 8)), _beans(lot("Beans", 8), opened_days=None)
    assert pull_list(clock, _soups(clock, 0)).cautions == (BEFORE_OPENING, ONCE_OPENED)
    assert pull_list(none, _soups(none, 0)).cautions == (BEFORE_OPENING,)
    bins = kitchen(dishes=[dish("Roast", ["1 lb Carrots"])])
    assert pull_list(bins, menu(bins, [supper(day(0), cooked(bins, "Roast"))])).cautions == ()


def test_cautions_promise_nothing() -> None:
    for words in (BEFORE_OPENING, ONCE_OPENED, TO_THAW):
        assert "\n" not in words
        for never in (" safe", "approved", "certified", "guaranteed", "still good"):
            assert never not in words.lower()


def test_standing_use_takes_just_what_it_eats_and_the_menu_whole_jars() -> None:
    home = _beans(lot("Beans", 8), standing=(standing("Beans", "7/10 qt"),))
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(7)], [Opening(day(0), "Beans", "qt", 7)])
    left, _ = lots_left(home, plan)
    assert [x.count for x in left] == [Fraction(3, 10)]


def test_standing_use_stops_at_the_reserve() -> None:
    home = kitchen(
        products=[jar("Beans"), loose("Carrots", reserve=qty("3 lb"))], standing=(standing("Carrots", "70 lb"),)
    )
    plan = menu(home, [supper(day(0), open_roles=("main",))])
    assert {x.product: x.count for x in lots_left(home, plan)[0]} == {"Beans": 8, "Carrots": 3}


def test_what_comes_in_is_on_the_shelf_afterwards_and_not_to_come_again() -> None:
    coming = (arrival("Carrots", "5 lb", day(0), "barter"), arrival("Carrots", "6 lb", day(1)))
    home = kitchen(arrivals=coming)
    after = household_after(home, menu(home, [supper(day(0), open_roles=("main",))]))
    assert [(x.count, x.put_up, x.where, x.note) for x in after.lots if x.product == "Carrots"] == [
        (4, date(2025, 9, 1), "C", ""),
        (5, day(0), "C", "barter"),
    ]
    assert after.arrivals == coming[1:]


def test_the_week_after_remembers_what_was_eaten_for_sixty_days() -> None:
    home = _beans(lot("Beans", 8), recent=((day(-59), "Soup"), (day(-60), "Soup"), (day(-1), "Soup")))
    after = household_after(home, _soups(home, 0))
    assert after.today == day(1)
    assert after.recent == ((day(-59), "Soup"), (day(-1), "Soup"), (day(0), "Soup"))
    assert [x.count for x in after.lots] == [7]


def test_a_part_jar_past_its_day_is_thrown_out_and_one_in_time_is_used_first() -> None:
    for opened, lines in ((-3, ["jar"]), (-2, ["part jar"])):
        home = _beans(lot("Beans", 8), amount="1/2 qt", part_jars=(part_jar("Beans", "1/2 qt", day(opened)),))
        plan = _soups(home, 0, openings=(0,) if lines == ["jar"] else ())
        assert [x.kind for x in pull_list(home, plan).lines] == lines
        assert len(lots_left(home, plan)[1]) == (1 if lines == ["jar"] else 0)
