"""Batch days with an answer known by hand; each guard has a test that fails without it."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.batch_days.batch_days import with_batch_days
from pantrymeals.batch_days.facts import courses, free_minutes
from pantrymeals.checking.menu import broken_rules
from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.plans.menu import BatchWork, MenuPlan
from pantrymeals.plans.outlook import ForecastRow
from pantrymeals.pull.pull import household_after
from pantrymeals.records import FreeHours, Household, HouseRules, Size, Taken
from tests.kitchens.batch_larder import SATURDAY, batch, cellar, idle, pounds
from tests.kitchens.seasons import season_of
from tests.kitchens.tiny import arrival, cooked, day, dish, jar, loose, lot, menu, qty, standing, supper


def proposed(household: Household, days: int = 7) -> list[tuple[int, str, int]]:
    """(day, batch day, times) for idle days, after the checker has found nothing wrong."""
    plan = with_batch_days(household, idle(household, days))
    assert [x for x in broken_rules(household, plan) if "batch" in x] == []
    return [((w.day - plan.first).days, w.name, w.times) for w in plan.batch_work]


def _works(household: Household, days: int = 7) -> tuple[BatchWork, ...]:
    return with_batch_days(household, idle(household, days)).batch_work


def planned(home: Household, plan: MenuPlan) -> dict[str, ForecastRow]:
    return {row.product: row for row in foresee(home, learn_paces(home, ()), plan).rows}


def test_what_would_go_over_is_reckoned_by_hand() -> None:
    home = cellar()
    apples = courses(home, idle(home), ["Apples"])["Apples"]
    assert apples.spare == 40 - Fraction(5, 7) * 20
    assert [(p.day, p.amount) for p in apples.going_over] == [(day(20), apples.spare)]
    assert apples.unclaimed == apples.spare


def test_apples_that_would_go_over_are_sauced_on_the_free_day_as_often_as_hours_allow() -> None:
    # 25 5/7 lb would be left; two goes of an hour each take 20 lb on the one Saturday.
    assert proposed(cellar()) == [(SATURDAY, "Sauce the apples", 2)]
    assert _works(cellar())[0].why == "20 pounds of apples would be left on 25 Jan, past keeping"
    assert [(u.product, u.amount) for u in _works(cellar())[0].uses] == [("Apples", pounds(20))]


def test_no_more_goes_than_there_is_to_save() -> None:
    # A third go would take 4 2/7 lb from standing use.
    assert proposed(cellar(batch_hours=(FreeHours("Sat", 600),))) == [(SATURDAY, "Sauce the apples", 2)]


def test_no_batch_for_its_own_sake() -> None:
    assert proposed(cellar(standing=(standing("Apples", "14 lb"),))) == []
    assert proposed(cellar(apples={"must_last_to": None, "deadline_kind": ""})) == []


@pytest.mark.parametrize(("takes", "goes"), [(7, 1), (10, 0), (30, 0)])
def test_what_the_menus_would_have_eaten_has_a_price(takes: int, goes: int) -> None:
    # At nine tenths of the even pace, and with nothing cooked today, 4 of 40 lb are left: a tenth is saved.
    # Of 7 lb, 3 are taken from the menus (a half of 3/40, and an hour: worth it); of 10 lb more than half.
    sauce = batch("Sauce the apples", [f"{takes} lb Apples"], ["4 qt Sauce"])
    home = cellar(dishes=[dish("Apple pot", ["1 lb Apples"])], standing=(), batches=[sauce])
    home = replace(home, batch_hours=(FreeHours("Mon", 60),))
    plan = replace(idle(home, 1), pace=Fraction(9, 10))
    assert len(with_batch_days(home, plan).batch_work) == goes


@pytest.mark.parametrize("state", ["held", "seed", "promised", "suspect"])
def test_lots_with_a_state_are_left_alone(state: str) -> None:
    assert proposed(cellar(lots=[lot("Apples", 40, "lb", state=state)])) == []


def test_jars_that_are_held_do_not_count_in_their_size() -> None:
    home = jam()
    berries = replace(home.products["Berries"], sizes=(*home.products["Berries"].sizes, Size("pt bag", qty("1 pt"))))
    held, small = lot("Berries", 12, "qt bag", state="held"), lot("Berries", 24, "pt bag")
    home = replace(home, products={**home.products, "Berries": berries})
    assert proposed(replace(home, lots=(lot("Jam", 4, "hp"), held, small))) == []
    assert proposed(replace(home, lots=(lot("Jam", 4, "hp"), lot("Berries", 3, "qt bag"), small)))


def test_the_reserve_is_left_alone() -> None:
    assert proposed(cellar(apples={"reserve": pounds(20)})) == []
    assert proposed(cellar(apples={"reserve": pounds(15)})) == [(SATURDAY, "Sauce the apples", 1)]


def test_the_meals_come_first() -> None:
    home = cellar(dishes=[dish("Apple pot", ["12 lb Apples"])], standing=())
    suppers = [supper(day(n), open_roles=("main",)) for n in range(6)]
    twice = [supper(day(6), cooked(home, "Apple pot", 2)), supper(day(6), cooked(home, "Apple pot"), meal="lunch")]
    plan = with_batch_days(home, menu(home, [*suppers, *twice]))
    assert plan.batch_work == ()  # 36 lb go on Sunday; Saturday may not take 10 lb of the 40
    later = replace(home, arrivals=(arrival("Apples", "90 lb", day(10)),))
    plan = with_batch_days(later, menu(later, [*suppers, *twice]))
    assert plan.batch_work == ()  # nor where as much comes in the week after


def test_two_batch_days_do_not_take_the_same_apples() -> None:
    # Of 15 lb on Saturday only one can have its 10, though 90 more come in the week after.
    two = [batch(name, ["10 lb Apples"], ["4 qt Sauce"]) for name in ("Butter", "Sauce")]
    home = cellar(batches=two, lots=[lot("Apples", 15, "lb")], standing=())
    home = replace(home, arrivals=(arrival("Apples", "90 lb", day(10)),))
    assert len(proposed(home)) == 1


@pytest.mark.parametrize(("minutes", "goes"), [(120, 1), (180, 0)])
def test_an_hour_weighs_a_hundredth(minutes: int, goes: int) -> None:
    # One pound of forty is a fortieth: more than two hours, less than three.
    sauce = batch("Sauce the apples", ["1 lb Apples"], ["1 qt Sauce"], minutes)
    home = cellar(batches=[sauce], batch_hours=(FreeHours("Sat", minutes),))
    assert len(proposed(home)) == goes


def test_only_within_the_free_hours() -> None:
    assert proposed(cellar(batch_hours=(FreeHours("Sat", 59),))) == []
    assert proposed(cellar(batch_hours=(FreeHours("Wed", 60),))) == [(2, "Sauce the apples", 1)]
    assert proposed(cellar(batch_hours=(FreeHours("Sat", 60, (2, 1), (12, 31)),))) == []
    assert proposed(cellar(batch_hours=(FreeHours("Sat", 60, (12, 1), (1, 31)),)))


def test_without_such_hours_a_weekdays_longest_dish_stands_in() -> None:
    home = cellar(batch_hours=())
    assert proposed(home) == []
    home = replace(home, rules=HouseRules(longest_minutes={"Sun": 60}))
    assert free_minutes(home, day(6)) == 60
    assert free_minutes(home, day(5)) == 0
    assert proposed(home) == [(6, "Sauce the apples", 1)]


def test_only_in_its_season() -> None:
    sauce = batch("Sauce the apples", ["10 lb Apples"], ["4 qt Sauce"], season=frozenset({2}))
    assert proposed(cellar(batches=[sauce])) == []
    assert proposed(cellar(batches=[replace(sauce, season=frozenset({1}))]))


def test_not_after_the_day_it_keeps_to() -> None:
    home = cellar(apples={"must_last_to": day(3)})
    assert proposed(home) == []
    assert proposed(replace(home, batch_hours=(FreeHours("Thu", 120),))) == [(3, "Sauce the apples", 2)]
    over = cellar(apples={"must_last_to": day(-1)})
    assert proposed(over) == []


def test_not_after_the_day_it_keeps_to_even_for_a_gap() -> None:
    sauce = jar("Sauce", acid="high", must_last_to=day(70), deadline_kind="new crop")
    home = cellar(standing=(standing("Sauce", "1 qt"),))
    home = replace(home, products={**home.products, "Sauce": sauce})
    assert proposed(home) == [(SATURDAY, "Sauce the apples", 2)]
    over = replace(home.products["Apples"], must_last_to=day(4))
    assert proposed(replace(home, products={**home.products, "Apples": over})) == []


def test_what_one_saves_another_does_not_save_again() -> None:
    two = [batch(name, ["6 lb Apples"], ["1 qt Sauce"]) for name in ("Butter", "Sauce")]
    home = cellar(dishes=[dish("Apple pot", ["1 lb Apples"])], standing=(), batches=two)
    home = replace(home, batch_hours=(FreeHours("Mon", 120),))
    plan = with_batch_days(home, replace(idle(home, 1), pace=Fraction(9, 10)))
    assert [w.times for w in plan.batch_work] == [1]


def test_what_is_kept_off_the_menus_is_not_taken() -> None:
    assert proposed(cellar(apples={"on_menus": False})) == []


def test_only_as_many_jars_as_stand_empty() -> None:
    season = {"jars": [{"size": "qt", "empties": "7"}]}
    assert proposed(cellar(season=season_of(season))) == [(SATURDAY, "Sauce the apples", 1)]
    assert proposed(cellar(season=season_of({"jars": [{"size": "qt", "empties": "3"}]}))) == []


def test_what_can_wait_waits() -> None:
    far = {"must_last_to": day(SATURDAY + 92)}
    assert proposed(cellar(apples=far, standing=())) == []
    assert proposed(cellar(apples={"must_last_to": day(SATURDAY + 91)}, standing=()))


def test_a_last_chance_before_the_season_ends_does_not_wait() -> None:
    sauce = batch("Sauce the apples", ["10 lb Apples"], ["4 qt Sauce"], season=frozenset({1, 2}))
    home = cellar(apples={"must_last_to": day(200)}, standing=(), batches=[sauce])
    assert proposed(home) == [(SATURDAY, "Sauce the apples", 2)]


def test_racks_of_one_kind_are_eaten_in_each_others_place() -> None:
    # 34 lb would leave rack A 8 lb short of its day; rack B has 40 lb that nobody eats.
    sauce = batch("Sauce the apples", ["34 lb Apples"], ["14 qt Sauce"])
    home = cellar(batches=[sauce])
    assert proposed(home) == []
    rack_b = loose("Apples B", family="apples", must_last_to=day(100), deadline_kind="keeps to")
    both = replace(home, products={**home.products, "Apples B": rack_b}, lots=(*home.lots, lot("Apples B", 40, "lb")))
    assert proposed(both) == [(SATURDAY, "Sauce the apples", 1)]
    assert "apples B take their place" in _works(both)[0].why
    other = replace(both, products={**both.products, "Apples B": replace(rack_b, family="quinces")})
    assert proposed(other) == []


def jam(**changes: Any) -> Household:
    """Jam for 4 of 10 weeks; berries in the freezer that no dish takes, not near the end of their months."""
    products = [
        jar("Jam", sizes=("hp",), acid="high", must_last_to=day(70), deadline_kind="new crop"),
        jar("Berries", sizes=("qt bag=1 qt",), kind="freezer", must_last_to=day(80), deadline_kind="new crop"),
    ]
    fields = {
        "products": products,
        "lots": [lot("Jam", 4, "hp"), lot("Berries", 12, "qt bag")],
        "standing": (standing("Jam", "1 hp"),),
        "batches": [batch("Make jam", ["3 qt Berries"], ["5 hp Jam"])],
    }
    return cellar(**(fields | changes))


def test_a_gap_is_closed() -> None:
    # Six half-pints are missing: one go makes five; a second would make one that is wanted, for an hour.
    assert proposed(jam()) == [(SATURDAY, "Make jam", 2)]
    (work,) = _works(jam())
    assert work.why == "jam runs out about 2 Feb, 6 half-pints short of 16 Mar"
    assert [(u.product, u.amount) for u in work.uses] == [("Berries", 6 * Fraction("946.352946"))]


def test_no_gap_no_batch() -> None:
    assert proposed(jam(lots=[lot("Jam", 10, "hp"), lot("Berries", 12, "qt bag")])) == []


def test_what_standing_use_needs_is_not_taken_for_another_gap() -> None:
    # A quart a week until its day, 11 3/7 weeks, leaves less than three of the twelve.
    assert proposed(jam(standing=(standing("Jam", "1 hp"), standing("Berries", "1 qt")))) == []


def test_containers_that_are_opened_whole_go_whole() -> None:
    home = jam(batches=[batch("Make jam", ["5/2 qt Berries"], ["5 hp Jam"])])
    assert _works(home)[0].uses[0].amount == 6 * Fraction("946.352946")


def test_what_must_thaw_is_not_taken_before_it_can_be_thawed() -> None:
    home = jam(batch_hours=(FreeHours("Tue", 120),))
    assert proposed(home) == [(1, "Make jam", 2)]
    frozen = replace(home.products["Berries"], thaw_days=2)
    home = replace(home, products={**home.products, "Berries": frozen})
    assert proposed(home) == []
    yesterday, plan = replace(home, today=day(-1)), idle(home)
    assert [w.day for w in with_batch_days(yesterday, plan).batch_work] == [day(1)]


def test_packs_past_their_months_are_saved() -> None:
    old = lot("Berries", 3, "qt bag", put_up=date(2024, 7, 1))
    home = jam(standing=(), lots=[old])
    aged = replace(home.products["Berries"], keeps_months=Fraction(12))
    home = replace(home, products={**home.products, "Berries": aged})
    assert proposed(home) == [(SATURDAY, "Make jam", 1)]
    assert _works(home)[0].why == "3 bags of berries are past their best months"


def _beans(**changes: Any) -> Household:
    products = [
        jar("Canned beans", sizes=("pt",), acid="low", must_last_to=date(2026, 3, 1), deadline_kind="next batch"),
        loose("Dry beans", must_last_to=date(2026, 9, 1), deadline_kind="new crop"),
    ]
    season = frozenset({11, 12, 1, 2})
    fields = {
        "products": products,
        "lots": [lot("Canned beans", 20, "pt"), lot("Dry beans", 30, "lb")],
        "standing": (standing("Canned beans", "1 pt"),),
        "batches": [batch("Beans for the shelf", ["6 lb Dry beans"], ["16 pt Canned beans"], season=season)],
    }
    return cellar(**(fields | changes))


def test_the_next_batch_is_made_once_before_its_day_and_then_a_season_on() -> None:
    home = _beans(lots=[lot("Canned beans", 30, "pt"), lot("Dry beans", 30, "lb")])
    plan = with_batch_days(home, idle(home))
    assert [(w.day, w.times, w.why) for w in plan.batch_work] == [
        (day(SATURDAY), 1, "the next batch of canned beans is due by 1 Mar")
    ]
    after = household_after(home, plan)
    assert after.products["Canned beans"].must_last_to == date(2026, 11, 1)
    assert proposed_from(after) == []
    # With twenty pints to begin with, the last of 36 goes weeks before November: again, while the season lasts.
    fewer = household_after(_beans(), with_batch_days(_beans(), idle(_beans())))
    assert proposed_from(fewer) == ["Beans for the shelf"]


def test_the_batch_that_the_calendar_hoped_for_does_not_come_in_again() -> None:
    hoped = (arrival("Canned beans", "16 pt", date(2026, 3, 1)), arrival("Canned beans", "9 pt", date(2026, 10, 2)))
    home = _beans(arrivals=hoped)
    after = household_after(home, with_batch_days(home, idle(home)))
    assert [a.day for a in after.arrivals] == [date(2026, 10, 2)]
    assert after.products["Canned beans"].must_last_to == date(2026, 10, 2)
    rows = planned(home, with_batch_days(home, idle(home)))
    assert rows["Canned beans"].as_planned.reason.startswith("Must last to 2 October")
    assert rows["Canned beans"].as_planned.out == day(36 * 7 - 1)  # 36 pints at one a week
    plenty = replace(home, lots=(lot("Canned beans", 30, "pt"), lot("Dry beans", 30, "lb")))
    # Due in October, months after the season: nothing that this winter's last weeks are for.
    assert proposed_from(household_after(plenty, with_batch_days(plenty, idle(plenty)))) == []
    undone = household_after(home, idle(home))
    assert len(undone.arrivals) == 2
    whole_spring = with_batch_days(home, idle(home, 70))
    left = household_after(home, whole_spring).lots
    assert sum(x.count for x in left if x.product == "Canned beans") == 20 + 16 - 10


def proposed_from(household: Household) -> list[str]:
    """Batch days of the week from the household's own day."""
    meals = [supper(day(n, household.today), open_roles=("main",)) for n in range(7)]
    return [w.name for w in with_batch_days(household, menu(household, meals)).batch_work]


def test_of_equal_options_the_one_liked_best() -> None:
    sauce = batch("Sauce", ["10 lb Apples or 10 lb Pears"], ["4 qt Sauce"])
    home = cellar(batches=[sauce], batch_hours=(FreeHours("Sat", 60),))
    pears = replace(home.products["Apples"], name="Pears", family="pears")
    home = replace(home, products={**home.products, "Pears": pears}, lots=(*home.lots, lot("Pears", 40, "lb")))
    home = replace(home, standing=(*home.standing, standing("Pears", "5 lb")))
    assert [u.product for u in _works(home)[0].uses] == ["Apples"]
    gone = replace(home, lots=(lot("Pears", 40, "lb"),))
    assert [u.product for u in _works(gone)[0].uses] == ["Pears"]


def test_what_comes_in_may_be_taken_from_its_day_on() -> None:
    home = cellar(lots=[], standing=(), arrivals=(arrival("Apples", "40 lb", day(5)),))
    assert proposed(home) == [(SATURDAY, "Sauce the apples", 2)]
    home = replace(home, arrivals=(arrival("Apples", "40 lb", day(6)),))
    assert proposed(home) == []


def test_the_same_every_time() -> None:
    assert len({_works(cellar(), 28) for _ in range(3)}) == 1


def test_a_batch_day_is_found_after_the_days_of_meals_were_counted_in_the_same_run() -> None:
    """HiGHS refuses a model that asks another number of threads than the first did; then nothing was proposed."""
    script = (
        "from pantrymeals.forecast.cover import meal_days\n"
        "from tests.kitchens.batch_larder import cellar\n"
        "from tests.kitchens.tiny import kitchen\n"
        "from tests.unit.menu.test_batch_days import proposed\n"
        "assert meal_days(kitchen())[0]\n"
        "assert proposed(cellar())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=Path(__file__).parents[3], check=False
    )
    assert done.returncode == 0, done.stderr


def _sauce_in_hand(quarts: int, eaten: int, known: int = 56) -> Household:
    """Apples that would go over, and sauce that must last 210 days; of it so much was eaten in the days known."""
    products = [*cellar().products.values()]
    products = [
        replace(p, must_last_to=day(210), deadline_kind="new crop") if p.name == "Sauce" else p for p in products
    ]
    home = cellar(products=products, lots=[lot("Apples", 40, "lb", where="C"), lot("Sauce", quarts)])
    taken = (Taken(day(-1), "Sauce", qty(f"{eaten} qt")),)
    return replace(home, taken=taken, known_since={"Sauce": day(-known), "Apples": day(-3)})


@pytest.mark.parametrize(
    ("quarts", "eaten", "known", "made"),
    [
        (45, 8, 56, False),  # 30 of 45 go in 30 weeks: a third is left, and it lasts 15 weeks more
        (44, 8, 56, True),  # 14 of 44 are left, less than 33 in 100
        (45, 8, 27, True),  # not known for four weeks
        (45, 4, 28, False),  # known for four weeks: the same pace
        (5, 1, 56, True),  # five jars of which one is left are no glut
        (5, 0, 56, False),  # nobody has eaten any
    ],
)
def test_what_is_in_glut_is_not_made(quarts: int, eaten: int, known: int, made: bool) -> None:
    assert bool(proposed(_sauce_in_hand(quarts, eaten, known))) == made


def test_what_is_in_glut_is_made_beside_what_is_not() -> None:
    both = batch("Sauce and juice", ["10 lb Apples"], ["2 qt Sauce", "2 qt Juice"])
    home = _sauce_in_hand(45, 8)
    home = replace(home, products={**home.products, "Juice": jar("Juice")}, batch_days={both.name: both})
    assert bool(proposed(home))
