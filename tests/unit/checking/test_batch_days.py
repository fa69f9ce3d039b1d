"""The checker on proposed batch days, on both sides of each edge."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from pantrymeals.plans.menu import BatchWork, ChosenUse, Opening
from pantrymeals.records import FreeHours, Household, Taken
from tests.kitchens.batch_larder import SATURDAY, batch, cellar, idle, pounds
from tests.kitchens.seasons import season_of
from tests.kitchens.tiny import arrival, cooked, day, dish, jar, kitchen, lot, menu, qty, supper, with_uses
from tests.unit.checking.sound import judged, with_shares

NAME = "Sauce the apples"


def sauced(number: int = SATURDAY, times: int = 1, lb: int = 10, **changes: Any) -> BatchWork:
    """The apples sauced on the day of that number."""
    return replace(BatchWork(day(number), NAME, times, "", (ChosenUse("Apples", pounds(lb)),)), **changes)


def told(household: Household, *works: BatchWork) -> list[str]:
    """What the checker says of idle days with those batch days."""
    return judged(household, replace(idle(household), batch_work=works))


def test_a_sound_batch_day_is_sound() -> None:
    assert told(cellar(), sauced(), sauced(times=1)) == []
    assert told(cellar(), sauced(times=2, lb=20)) == []


def test_a_stranger_is_named() -> None:
    unknown = "Sat 10 January, batch day Pickle: no such batch day in the recipes"
    assert told(cellar(), sauced(name="Pickle")) == [unknown]
    (said,) = told(cellar(), sauced(uses=(ChosenUse("Quinces", pounds(10)),)))
    assert "takes Quinces, which is no product of this household" in said


def test_outside_the_days_and_out_of_season_and_never() -> None:
    every_day = (FreeHours("Sat", 120), FreeHours("Mon", 120))
    assert "outside the menu's days" in " ".join(told(cellar(batch_hours=every_day), sauced(7)))
    assert "outside the menu's days" in " ".join(told(cellar(batch_hours=every_day), sauced(-2)))
    sauce = batch(NAME, ["10 lb Apples"], ["4 qt Sauce"], season=frozenset({2}))
    assert told(cellar(batches=[sauce]), sauced()) == [f"Sat 10 January, batch day {NAME}: out of its season"]
    assert "done 0 times" in told(cellar(), sauced(times=0, lb=0))[0]


def test_it_takes_its_own_as_often_as_it_is_done() -> None:
    assert "takes 9 lb Apples, not what it takes 1 times" in told(cellar(), sauced(lb=9))[0]
    assert "takes 10 lb Apples, not what it takes 2 times" in told(cellar(), sauced(times=2))[0]
    assert "takes nothing" in told(cellar(), sauced(uses=()))[0]


def test_hours_are_kept() -> None:
    assert told(cellar(batch_hours=(FreeHours("Sat", 60),)), sauced()) == []
    assert told(cellar(batch_hours=(FreeHours("Sat", 59),)), sauced()) == [
        f"Sat 10 January: 60 minutes of batch days ({NAME}), 59 are free"
    ]
    assert "120 minutes" in told(cellar(batch_hours=(FreeHours("Sat", 90),)), sauced(), sauced())[0]
    assert "0 are free" in told(cellar(batch_hours=()), sauced())[0]
    winter = (FreeHours("Sat", 120, (12, 1), (1, 31)),)
    assert told(cellar(batch_hours=winter), sauced()) == []
    assert "0 are free" in told(cellar(batch_hours=(FreeHours("Sat", 120, (2, 1), (12, 31)),)), sauced())[0]


def test_reserve_states_and_standing_use_are_not_taken() -> None:
    # 40 lb less 6 days of 5/7 lb: 35 5/7 lb by Saturday, and 35 by Sunday, above the reserve.
    assert told(cellar(apples={"reserve": pounds(25)}), sauced()) == []
    (said,) = told(cellar(apples={"reserve": pounds(26)}), sauced())
    assert said == (
        "Sat 10 January: 0.29 lb Apples more is taken by meals and batch days than shelf and arrivals hold "
        "above standing use and reserve"
    )
    assert told(cellar(lots=[lot("Apples", 10, "lb"), lot("Apples", 30, "lb", state="seed")]), sauced())


def test_arrivals_count_from_their_day() -> None:
    home = cellar(lots=[], standing=(), arrivals=(arrival("Apples", "10 lb", day(5)),))
    assert told(home, sauced()) == []
    assert told(replace(home, arrivals=(arrival("Apples", "10 lb", day(6)),)), sauced())


def test_meals_of_later_days_keep_theirs() -> None:
    home = cellar(dishes=[dish("Apple pot", ["31 lb Apples"])], standing=())
    meals = [supper(day(n), open_roles=("main",)) for n in range(6)]
    plan = with_shares(home, menu(home, [*meals, supper(day(6), cooked(home, "Apple pot"))]))
    assert judged(home, plan) == []
    (said,) = judged(home, replace(plan, batch_work=(sauced(),)))
    assert said.startswith("Sun 11 January: 1 lb Apples more is taken by meals and batch days")


def test_what_may_not_be_taken() -> None:
    assert "kept off the menus" in told(cellar(apples={"on_menus": False}), sauced())[0]
    assert told(cellar(apples={"must_last_to": day(5)}), sauced()) == []
    assert "kept to Fri 9 January" in told(cellar(apples={"must_last_to": day(4)}), sauced())[0]
    new = (arrival("Apples", "10 lb", day(4)),)
    assert told(cellar(apples={"must_last_to": day(4)}, arrivals=new), sauced()) == []


def _packs(**changes: Any) -> Household:
    berries = jar("Berries", sizes=("qt", "pt"), kind="freezer", thaw_days=2)
    return kitchen(
        products=[berries, jar("Jam", sizes=("hp",))],
        dishes=[dish("Fool", ["1 qt Berries"])],
        lots=[lot("Berries", 3), lot("Berries", 8, "pt")],
        batch_days={"Make jam": batch("Make jam", ["5/2 qt Berries"], ["5 hp Jam"])},
        batch_hours=(FreeHours("Sat", 120), FreeHours("Tue", 120)),
        **changes,
    )


def _jam(number: int, quarts: str = "3 qt") -> BatchWork:
    return BatchWork(day(number), "Make jam", 1, "", (ChosenUse("Berries", qty(quarts)),))


def test_packs_go_whole_thawed_and_of_the_first_size() -> None:
    home = _packs()
    assert told(home, _jam(5)) == []
    assert "takes 2 1/2 qt Berries" in told(home, _jam(5, "5/2 qt"))[0]
    assert "cannot be thawed by then" in told(home, _jam(1))[0]
    assert judged(replace(home, today=day(-1)), replace(idle(home), batch_work=(_jam(1),))) == []
    fewer = replace(home, lots=(lot("Berries", 2), lot("Berries", 8, "pt")))
    assert "1 qt Berries more is taken" in told(fewer, _jam(5))[0]
    meals = [supper(day(n), open_roles=("main",)) for n in range(6)]
    plan = menu(home, [*meals, supper(day(6), cooked(home, "Fool"))], [Opening(day(6), "Berries", "qt", 1)])
    plan = with_shares(home, with_uses(home, replace(plan, batch_work=(_jam(5),))))
    assert "1 qt Berries more is taken" in judged(home, plan)[0]


def test_jars_must_stand_empty() -> None:
    home = cellar(season=season_of({"jars": [{"size": "qt", "empties": "4"}, {"size": "pt", "empties": "0"}]}))
    assert told(home, sauced()) == []
    assert told(home, sauced(times=2, lb=20)) == ["batch days fill 8 qt jars, 4 stand empty"]
    assert told(replace(home, season=season_of({})), sauced(times=2, lb=20)) == []


def test_each_use_takes_one_of_its_options() -> None:
    sauce = batch(NAME, ["10 lb Apples or 12 lb Pears"], ["4 qt Sauce"])
    home = cellar(batches=[sauce])
    pears = replace(home.products["Apples"], name="Pears")
    home = replace(home, products={**home.products, "Pears": pears}, lots=(*home.lots, lot("Pears", 40, "lb")))
    assert told(home, sauced()) == []
    assert told(home, sauced(uses=(ChosenUse("Pears", pounds(12)),))) == []
    both = (ChosenUse("Apples", pounds(10)), ChosenUse("Pears", pounds(12)))
    assert "takes 10 lb Apples, 12 lb Pears" in told(home, sauced(uses=both))[0]
    halves = (ChosenUse("Apples", pounds(5)), ChosenUse("Apples", Fraction(pounds(5))))
    assert told(home, sauced(uses=halves)) == []


def test_what_is_in_glut_is_not_made_and_what_is_not_known_is_none() -> None:
    """45 quarts that must last 30 weeks, one eaten a week: 15 left. With 44 it is less than 33 in 100."""
    sauce = jar("Sauce", acid="high", must_last_to=day(210), deadline_kind="new crop")
    products = [cellar().products["Apples"], sauce]
    taken = (Taken(day(-1), "Sauce", qty("8 qt")),)
    for quarts, known, said in ((45, 56, True), (44, 56, False), (45, 27, False)):
        home = cellar(products=products, lots=[lot("Apples", 40, "lb", where="C"), lot("Sauce", quarts)])
        home = replace(home, taken=taken, known_since={"Sauce": day(-known)})
        assert ("of which there is more than will be eaten" in " ".join(told(home, sauced()))) == said
