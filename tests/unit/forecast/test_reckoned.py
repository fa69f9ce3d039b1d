"""The household as reckoned for a day months ahead: tiny larders by hand (own arithmetic), and the demo's July."""

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.actions.far_menu import household_for
from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu, menu_answer
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.forecast.forecast import BookPace, learn_paces
from pantrymeals.forecast.reckoned import reckoned
from pantrymeals.larder.on_hand import in_lots, put_up_about
from pantrymeals.menu.menu import FAR_AHEAD_DAYS
from pantrymeals.records import Household, Movement
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
)


def on(household: Household, number: int, pace: BookPace | None = None) -> Household:
    """The household so many days after the first Monday; without a book, an even hand."""
    return reckoned(household, day(number), pace or learn_paces(household, ()))


def there(household: Household, name: str, unit: str) -> Fraction:
    """What lies in lots, in that unit."""
    return in_lots(household, name) / qty(f"1 {unit}")


def carrots(**changes: Any) -> Household:
    """A hundred pounds in two lots, to last a hundred days: a pound a day, half of it standing use."""
    fields: dict[str, Any] = {
        "products": [loose("Carrots", must_last_to=day(100), deadline_kind="new crop")],
        "lots": [
            lot("Carrots", 60, "lb", put_up=date(2025, 10, 1), where="bin 2"),
            lot("Carrots", 40, "lb", put_up=date(2025, 9, 1), where="bin 1"),
        ],
        "dishes": [dish("Carrot stew", ["1/2 lb Carrots"])],
        "standing": (standing("Carrots", "7/2 lb"),),
    } | changes
    return kitchen(**fields)


def test_use_goes_from_the_oldest_lot_first() -> None:
    then = on(carrots(), 30)
    assert [(x.where, x.count) for x in then.lots] == [("bin 1", 10), ("bin 2", 60)]
    assert [(x.where, x.count) for x in on(carrots(), 45).lots] == [("bin 2", 55)]
    assert (then.today, then.reckoned_from) == (day(30), day(0))


def test_the_reserve_stays_on_the_newest_lot() -> None:
    home = carrots(standing=(standing("Carrots", "70 lb"),))
    product = replace(home.products["Carrots"], reserve=qty("5 lb"))
    then = on(replace(home, products={"Carrots": product}), 60)
    assert [(x.where, x.count) for x in then.lots] == [("bin 2", 5)]


def test_held_and_seed_lots_are_not_eaten() -> None:
    seed = lot("Carrots", 9, "lb", state="seed")
    then = on(carrots(lots=[lot("Carrots", 3, "lb"), seed]), 99)
    assert then.lots[-1] == seed
    assert there(then, "Carrots", "lb") < Fraction(1, 10)


def test_what_is_opened_whole_leaves_whole() -> None:
    # half a quart is open and good to day 2; 20 1/2 qt over forty days are 41/80 qt a day, 7 11/16 in fifteen,
    # of which the open one gives 1/2 on day 0: 7 3/16 are eight jars.
    beans = jar("Beans", opened_days=4, must_last_to=day(40), deadline_kind="new crop")
    home = kitchen(products=[beans], lots=[lot("Beans", 20)], part_jars=(part_jar("Beans", "1/2 qt", day(-1)),),
                   dishes=[dish("Bean soup", ["1 qt Beans"])])  # fmt: skip
    then = on(home, 15)
    assert [x.count for x in then.lots] == [12]
    assert then.part_jars == ()


def test_an_open_jar_without_a_clock_is_used_first_and_what_is_left_of_it_stays() -> None:
    honey = jar("Honey")
    home = kitchen(products=[honey], lots=[lot("Honey", 2)], part_jars=(part_jar("Honey", "1/2 qt", day(-9)),),
                   dishes=[], standing=(standing("Honey", "1/10 qt"),))  # fmt: skip
    then = on(home, 28)
    assert [x.count for x in then.lots] == [2]
    assert [p.left for p in then.part_jars] == [qty("1/10 qt")]
    assert on(replace(home, products={"Honey": replace(honey, opened_days=30)}), 28).part_jars == ()


def test_of_what_comes_again_and_again_only_the_last_coming_is_there() -> None:
    milk = loose("Milk", "gal", kind="fridge")
    home = kitchen(products=[milk], lots=[lot("Milk", "1/2", "gal", put_up=day(-1), where="K")], dishes=[],
                   standing=(standing("Milk", "1/2 gal"),),
                   arrivals=[arrival("Milk", "1 gal", day(n)) for n in (2, 9, 16, 23, 30, 37)])  # fmt: skip
    then = on(home, 30)
    assert [(x.put_up, x.count, x.where) for x in then.lots] == [(day(23), Fraction(1, 2), "K")]
    assert [a.day for a in then.arrivals] == [day(30), day(37)]


def test_what_stood_in_the_fridge_is_gone_where_nobody_wrote_how_long_it_keeps() -> None:
    milk = loose("Milk", "gal", kind="fridge")
    home = kitchen(products=[milk], lots=[lot("Milk", 3, "gal", put_up=day(-1))], dishes=[])
    assert on(home, 15).lots == ()
    keeps = replace(home, products={"Milk": replace(milk, keeps_months=Fraction(2))})
    assert there(on(keeps, 15), "Milk", "gal") == 3


def test_a_lot_past_the_households_own_keeping_is_gone() -> None:
    bread = jar("Bread", sizes=("loaf=1 each",), kind="freezer", keeps_months=Fraction(1))
    home = kitchen(products=[bread], lots=[lot("Bread", 4, "loaf", put_up=day(0))], dishes=[])
    assert [x.count for x in on(home, 30).lots] == [4]  # a month is 30 days here, that day counted
    assert on(home, 31).lots == ()


def test_what_is_fresh_is_gone_when_its_days_are_over() -> None:
    """Picked on the third day and good for four, by a house that eats none."""
    berries = loose("Berries", "lb", kind="cellar", fresh_days=4)
    home = kitchen(products=[berries], lots=[], dishes=[], arrivals=[arrival("Berries", "2 lb", day(3))])
    assert there(on(home, 6), "Berries", "lb") > 0
    assert on(home, 7).lots == ()


def test_what_must_be_eaten_by_a_day_is_gone_after_it_and_the_new_one_keeps_to_the_next() -> None:
    reds = loose("Early reds", must_last_to=day(10), deadline_kind="keeps to")
    home = kitchen(products=[reds], lots=[lot("Early reds", 20, "lb")], dishes=[])
    assert there(on(home, 10), "Early reds", "lb") == 20
    assert on(home, 11).lots == ()
    newer = on(replace(home, arrivals=(arrival("Early reds", "30 lb", day(20)),)), 25)
    assert [(x.put_up, x.count) for x in newer.lots] == [(day(20), 30)]
    assert newer.products["Early reds"].must_last_to == date(2027, 1, 15)


def test_a_new_crop_is_eaten_over_its_own_year() -> None:
    home = carrots(standing=(), arrivals=[arrival("Carrots", "365 lb", day(100))])
    assert there(on(home, 100), "Carrots", "lb") == 0
    assert there(on(home, 110), "Carrots", "lb") == 355


def test_the_books_pace_is_taken_where_the_book_tells_one() -> None:
    home = carrots(standing=())
    pace = learn_paces(home, [
        Movement(day(-364), "Carrots", "lb", Fraction(500), "put up"),
        *(Movement(day(-7 * n - 1), "Carrots", "lb", Fraction(-14, 10) * 10, "eaten") for n in range(52)),
    ])  # fmt: skip
    weekly = pace.rates.of["Carrots"]
    assert weekly.weekly == pytest.approx(14, rel=0.1)
    gone = 100 - float(there(on(home, 28, pace), "Carrots", "lb"))
    assert gone == pytest.approx(4 * 14, rel=0.15)


def test_a_near_menu_is_cooked_from_what_was_counted() -> None:
    home = carrots()
    pace = learn_paces(home, ())
    assert household_for(home, None, pace) is home
    assert household_for(home, day(FAR_AHEAD_DAYS), pace) is home
    assert household_for(home, day(FAR_AHEAD_DAYS + 1), pace).reckoned_from == day(0)


def test_the_announced_menu_is_eaten_on_its_days() -> None:
    home = carrots(standing=())
    stew = replace(cooked(home, "Carrot stew"), batches=1)
    told = menu(home, [supper(day(n), stew) for n in range(10)])  # half a pound on each of ten days
    pace = learn_paces(home, ())
    # then 95 lb over ninety days, to day 28: 18 days at 19/18
    assert there(household_for(home, day(28), pace, [told]), "Carrots", "lb") == 95 - 19


def test_planner_and_checker_work_on_the_reckoned_household_and_a_pack_may_thaw_before_it() -> None:
    roast = jar("Roast", sizes=("piece=1 each",), kind="freezer", thaw_days=3, opened_days=3)
    home = kitchen(products=[roast, loose("Carrots")], lots=[lot("Roast", 4, "piece", put_up=day(-9), where="F")],
                   dishes=[dish("Pot roast", ["1 each Roast"], days_between=9)])  # fmt: skip
    pace = learn_paces(home, ())
    far = household_for(home, day(40), pace)
    plan = make_menu(far, MenuAsked(days=1, first=day(40), seconds=2.0))
    sheet = lay_out(far, plan, pace=pace)
    assert [d.dish for m in plan.meals for d in m.dishes] == ["Pot roast"]
    assert plan.openings[0].lifted == day(37)
    assert sheet.broken == ()
    text = " ".join(menu_answer(sheet).text(colour=False).split())
    assert "Reckoned, not counted: the shelf of Saturday 14 February is the count of Monday 5 January" in text
    assert "The pull list comes when the day is near" in text
    assert sheet.pull.lines == ()
    answer = menu_answer(sheet).json
    assert answer is not None
    assert '"reckoned_from": "2026-01-05"' in answer()


@pytest.fixture(scope="module")
def july(demo_folder: Path) -> tuple[Household, Household]:
    """The demo as counted in January, and as reckoned for 1 July."""
    opened = open_with_book(demo_folder, None, date(2026, 1, 17))
    return opened.household, household_for(opened.household, date(2026, 7, 1), opened.pace)


def test_no_bread_or_milk_of_january_is_left_in_the_demos_july(july: tuple[Household, Household]) -> None:
    _, then = july
    fresh = [x for x in then.lots if x.product in ("Bread, loaves", "Milk", "Cream", "Eggs, fresh")]
    assert fresh
    assert min(x.put_up for x in fresh if x.put_up) >= date(2026, 6, 26)


def test_nothing_in_the_demos_july_is_past_the_households_own_keeping(july: tuple[Household, Household]) -> None:
    _, then = july
    for x in (x for x in then.lots if not x.state):
        months, made = then.products[x.product].keeps_months, put_up_about(x)
        if months is not None and made is not None:
            assert (date(2026, 7, 1) - made).days <= months * 31, x


def test_the_demos_july_has_no_more_potatoes_than_a_years_use_leaves(july: tuple[Household, Household]) -> None:
    now, then = july
    name = "Potatoes, main crop"
    there_now, left = (in_lots(home, name) / qty("1 lb") for home in (now, then))
    evenly = there_now * (date(2026, 7, 20) - date(2026, 7, 1)).days / (date(2026, 7, 20) - date(2026, 1, 17)).days
    assert left <= evenly
    assert [x.count for x in then.lots if x.product == name and x.state == "seed"] == [40]
    assert in_lots(then, "Potatoes, early red") == 0
