"""Fixed nights beyond ten days, nights whose dish was eaten too lately, what stands in a dish's way, and the path."""

from __future__ import annotations

import random
import threading
import time
from datetime import timedelta
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from pantrymeals.checking.menu import broken_rules
from pantrymeals.menu.long.long_table import LongTable
from pantrymeals.menu.long.rolling_horizon import RollingHorizon
from pantrymeals.menu.long.settling import settle
from pantrymeals.menu.long.target_path import TargetPath
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, NobodyWatching
from pantrymeals.menu.week.constraints import build
from pantrymeals.menu.week.model import Band, MenuModel
from pantrymeals.menu.week.pace import bands_at
from pantrymeals.menu.week.problem import MenuProblem, menu_problem
from pantrymeals.menu.week.rules.table import PROMISES
from pantrymeals.plans.menu import MenuPlan, NotSettled
from pantrymeals.records import Dish, Household, Occasion
from pantrymeals.reports.proof_words import not_settled_words
from tests.benchmarks.larders import larder, suppers_only
from tests.kitchens.tiny import MONDAY, day, dish, jar, kitchen, loose, lot, rules

FIRST_NIGHT, SECOND_NIGHT = 2, 9
"""The Wednesdays of a fortnight from a Monday."""


def flat(between: int | None = 14, name: str = "Flat", **changes: object) -> Dish:
    """A jar of sauce on flat bread: nobody would eat it but for the night."""
    fields: dict[str, object] = {"tags": ["flat bread"], "days_between": between, "liking": -2}
    return dish(name, ["1 qt Sauce"], **(fields | changes))  # type: ignore[arg-type]


def home(*dishes: Dish, sauce: int = 20, **changes: object) -> Household:
    """Wednesday is for flat bread; there is one dish of it, unless given, and one other main."""
    fields: dict[str, object] = {
        "products": [loose("Carrots"), jar("Sauce")],
        "lots": [lot("Carrots", 99, "lb"), lot("Sauce", sauce)],
        "dishes": [*(dishes or [flat()]), dish("Plain", ["1 lb Carrots"])],
        "rules": rules(fixed={"Wed": "flat bread"}),
    }
    return kitchen(**(fields | changes))  # type: ignore[arg-type]


def mains_on(problem: MenuProblem, number: int) -> set[str]:
    """Names of the dishes that could stand on a day."""
    return {c.dish.name for c in problem.candidates if c.day == number}


def eaten(plan: MenuPlan, number: int) -> list[str]:
    """What the plan has on a day."""
    return [p.dish for m in plan.meals if m.day == day(number) for p in m.dishes]


@pytest.mark.parametrize(("days", "both"), [(10, False), (11, True)])
def test_other_mains_stay_on_a_fixed_night_beyond_ten_days_only(days: int, both: bool) -> None:
    problem = menu_problem(home(), MenuRequest(MONDAY, days))
    for night in (FIRST_NIGHT, SECOND_NIGHT):
        assert mains_on(problem, night) == ({"Flat", "Plain"} if both else {"Flat"})
    assert problem.nights == (((FIRST_NIGHT, "flat bread"), (SECOND_NIGHT, "flat bread")) if both else ())
    assert problem.waived == ()


def test_a_long_menu_misses_the_night_that_its_dish_cannot_keep_and_says_so() -> None:
    house = home()
    plan = plan_menu(house, MenuRequest(MONDAY, 14, seconds=5))
    nights = {FIRST_NIGHT: "Wednesday 7 January", SECOND_NIGHT: "Wednesday 14 January"}
    missed = [night for night in nights if eaten(plan, night) == ["Plain"]]
    kept = [night for night in nights if eaten(plan, night) == ["Flat"]]
    assert len(missed) == len(kept) == 1
    assert plan.open_roles == 0
    assert plan.notes == (
        f"No 'flat bread' on {nights[missed[0]]}: nothing could stand there without taking from other days.",
    )
    assert broken_rules(house, plan) == []


def test_a_long_menu_keeps_every_night_that_its_dish_can_keep() -> None:
    house = home(flat(7))
    plan = plan_menu(house, MenuRequest(MONDAY, 14, seconds=5))
    assert eaten(plan, FIRST_NIGHT) == eaten(plan, SECOND_NIGHT) == ["Flat"]
    assert plan.notes == ()
    assert broken_rules(house, plan) == []


@pytest.mark.parametrize(("ago", "waived"), [(7, True), (13, True), (14, False)])
def test_a_night_is_waived_whose_dish_was_eaten_too_lately(ago: int, waived: bool) -> None:
    house = home(recent=((day(FIRST_NIGHT) - timedelta(days=ago), "Flat"),))
    assert menu_problem(house, MenuRequest(MONDAY, 7)).waived == (((FIRST_NIGHT, "flat bread"),) if waived else ())
    plan = plan_menu(house, MenuRequest(MONDAY, 7, seconds=5))
    assert eaten(plan, FIRST_NIGHT) == (["Plain"] if waived else ["Flat"])
    assert plan.open_roles == 0
    assert plan.notes == (("No 'flat bread' can be ready by Wednesday 7 January: planned without.",) if waived else ())
    assert broken_rules(house, plan) == []


@pytest.mark.parametrize(("between", "waived"), [(8, True), (7, False)])
def test_the_houses_own_days_between_count_where_the_dish_has_none(between: int, waived: bool) -> None:
    house = home(
        flat(None),
        recent=((day(FIRST_NIGHT - 7), "Flat"),),
        rules=rules(fixed={"Wed": "flat bread"}, days_between={"main": between}),
    )
    assert menu_problem(house, MenuRequest(MONDAY, 7)).waived == (((FIRST_NIGHT, "flat bread"),) if waived else ())


def test_another_dish_of_the_tag_keeps_the_night() -> None:
    house = home(flat(), flat(name="Rolls"), recent=((day(FIRST_NIGHT - 7), "Flat"),))
    problem = menu_problem(house, MenuRequest(MONDAY, 7))
    assert problem.waived == ()
    assert "Plain" not in mains_on(problem, FIRST_NIGHT)


def test_on_a_long_menu_only_the_nights_too_soon_are_waived() -> None:
    house = home(recent=((day(FIRST_NIGHT - 7), "Flat"),))
    problem = menu_problem(house, MenuRequest(MONDAY, 14))
    assert problem.waived == ((FIRST_NIGHT, "flat bread"),)
    assert problem.nights == ((SECOND_NIGHT, "flat bread"),)


# What stands in the way.


def blocking_days(house: Household, menu: dict[int, str], wanted: int) -> list[int] | None:
    """Days to cook anew so that a missed night of a fortnight is kept; Plain stands on all days not given."""
    problem = menu_problem(house, MenuRequest(MONDAY, 14))
    bands = bands_at(problem, Fraction(1))
    model = build(problem, bands, PROMISES)
    table = LongTable(model, bands, 1)
    x = np.zeros(table.x.shape[0])
    for number, c in enumerate(problem.candidates):
        x[model.cook[number]] = menu.get(c.day, "Plain") == c.dish.name
    missed = {promise.last: col for col, promise in model.missed.items()}
    for night, col in missed.items():
        tags = house.dishes[menu.get(night, "Plain")].tags
        x[col] = "flat bread" not in tags
    return table.blocking.days(missed[wanted], x, table.entries.sums(x), random.Random(1))


@pytest.mark.parametrize(("cooked_on", "days"), [(8, [2, 8]), (9, [2])])
def test_the_same_dish_within_its_days_stands_in_the_way(cooked_on: int, days: list[int]) -> None:
    """Its own day comes first."""
    assert blocking_days(home(flat(7)), {cooked_on: "Flat"}, FIRST_NIGHT) == days


def test_an_earlier_cooking_stands_in_the_way_too() -> None:
    assert blocking_days(home(), {FIRST_NIGHT: "Flat"}, SECOND_NIGHT) == [SECOND_NIGHT, FIRST_NIGHT]


@pytest.mark.parametrize(("jars", "days"), [(2, [2, 12]), (3, [2])])
def test_a_day_that_takes_the_last_of_it_stands_in_the_way(jars: int, days: list[int]) -> None:
    """With a jar for the dish and one over, nothing does."""
    assert blocking_days(home(flat(1), sauce=jars), {12: "Flat"}, FIRST_NIGHT) == days


def test_its_own_day_is_named_once_though_the_last_of_it_is_taken_there() -> None:
    house = home(flat(1), dish("Rich", ["1 qt Sauce"]), sauce=1)
    assert blocking_days(house, {FIRST_NIGHT: "Rich"}, FIRST_NIGHT) == [FIRST_NIGHT]


@pytest.mark.parametrize(("fried_on", "days"), [(8, [2, 8]), (9, [2])])
def test_another_dish_of_a_tag_of_seven_days_stands_in_the_way(fried_on: int, days: list[int]) -> None:
    house = home(
        flat(1, tags=["flat bread", "greasy"]),
        dish("Fried", ["1 lb Carrots"], tags=["greasy"]),
        rules=rules(fixed={"Wed": "flat bread"}, at_most={"greasy": 1}),
    )
    assert blocking_days(house, {fried_on: "Fried"}, FIRST_NIGHT) == days


def test_a_feasts_own_dish_is_looked_after_like_a_night() -> None:
    easter = Occasion(day(5), day(5), "Easter", kind="feast", dish="Flat")
    house = home(flat(7), occasions=(easter,), rules=rules())
    assert blocking_days(house, {8: "Flat"}, 5) == [5, 8]


def test_where_no_dish_can_fill_the_place_there_is_no_way() -> None:
    lately = home(flat(), flat(name="Rolls"), recent=((day(-1), "Flat"),))
    problem = menu_problem(lately, MenuRequest(MONDAY, 14))
    assert FIRST_NIGHT in dict(problem.nights)
    assert blocking_days(lately, {SECOND_NIGHT: "Rolls"}, FIRST_NIGHT) == [FIRST_NIGHT, SECOND_NIGHT]
    assert blocking_days(lately, {SECOND_NIGHT: "Rolls"}, SECOND_NIGHT) is None


# The path.

STRETCH = 14
DAYS = 30


@cache
def long_sheet() -> tuple[MenuModel, dict[int, Band]]:
    house = suppers_only(larder(1, 40, 40))
    problem = menu_problem(house, MenuRequest(house.today, DAYS))
    bands = bands_at(problem, Fraction(4, 5))
    return build(problem, bands, PROMISES), bands


def target_path() -> TargetPath:
    model, bands = long_sheet()
    return TargetPath(model.problem, bands)


def whole_draw(path: TargetPath) -> np.ndarray:
    """Grains of each product that the totals draw in all."""
    return np.array([sum(g * path.x[col] for _, col, g in draws) for draws in path.totals.draws])


def laid_draw(model: MenuModel, x: np.ndarray, before: int) -> np.ndarray:
    """Grains of each product that a laid menu draws before a day."""
    return np.array([sum(g * x[col] for d, col, g in draws if d < before) for draws in model.draws])


def test_by_the_last_day_the_course_has_drawn_what_its_totals_draw() -> None:
    path = target_path()
    assert path.totals.stretch_days == STRETCH
    assert whole_draw(path).sum() > 0
    assert path.drawn_by(DAYS) == pytest.approx(whole_draw(path))
    assert path.drawn_by(DAYS - 1).sum() < whole_draw(path).sum()


def test_what_an_even_hand_has_drawn_is_never_given_back() -> None:
    path = target_path()
    steered = [index for index, stock in enumerate(path.problem.stocks) if stock.averaged]
    by_day = np.array([path.drawn_by(number)[steered] for number in range(1, DAYS + 1)])
    assert (by_day[0] >= 0).all()
    assert by_day[-1].sum() > by_day[0].sum()
    assert (np.diff(by_day, axis=0) >= -1e-6).all()


def test_after_a_stretch_what_is_gone_is_what_was_laid() -> None:
    """Stretch after stretch; what is not laid yet is the totals' own affair."""
    model, bands = long_sheet()
    table = LongTable(model, bands, 1)
    RollingHorizon(table, target_path()).roll(
        time.monotonic() + 300, NobodyWatching(), threading.Event(), threading.Event()
    )
    assert table.holds(table.x)
    path = target_path()
    for stretch in (0, 1):
        end = (stretch + 1) * STRETCH
        laid = laid_draw(model, table.x, end)
        assert laid.sum() > 0
        assert path.drawn_by(end) != pytest.approx(laid)
        path.passed(stretch, model, table.x)
        assert path.gone[stretch + 1] == pytest.approx(laid, abs=1e-5)
        assert path.drawn_by(end) == pytest.approx(laid, abs=1e-5)
    assert path.drawn_by(DAYS) == pytest.approx(whole_draw(path))


@pytest.mark.parametrize(
    ("jars", "between", "scarce"), [(5, 1, True), (28, 1, False), (28, 7, True)], ids=["jars", "plenty", "times"]
)
def test_what_is_scarce_has_its_price(jars: int, between: int, scarce: bool) -> None:
    """A liked dish of too few jars, or of too few times that it may come again; the other main takes nothing scarce."""
    house = home(flat(between, liking=2), sauce=jars, rules=rules())
    problem = menu_problem(house, MenuRequest(MONDAY, 28))
    model = build(problem, {}, PROMISES)
    prices = TargetPath(problem, {}).prices(model)
    by_dish = {c.dish.name: float(prices[model.cook[number]]) for number, c in enumerate(problem.candidates)}
    assert by_dish["Plain"] == 0
    assert (by_dish["Flat"] > 0) is scarce


# What is open or missed, and whether that must be.


def test_what_is_open_is_filled_where_a_day_cooked_anew_can_and_is_else_proven() -> None:
    """Every day can be Plain; one Wednesday has its flat bread, which then forbids the other."""
    house = home()
    table = LongTable(*_fortnight(house), 1)
    left = settle(table, threading.Event())
    assert left == frozenset()
    assert not table.x[table.open_cols].any()
    missed = [promise.last for col, promise in table.model.missed.items() if table.x[col] > 0.5]
    assert missed in ([FIRST_NIGHT], [SECOND_NIGHT])
    assert table.holds(table.x)


def test_what_was_not_looked_at_is_not_settled() -> None:
    table = LongTable(*_fortnight(home()), 1)
    over = threading.Event()
    over.set()
    left = settle(table, over)
    assert left == frozenset(np.flatnonzero(table.must & (table.x > 0.5)).tolist())
    assert len(left) == 14 + 2


def _fortnight(house: Household) -> tuple[MenuModel, dict[int, Band]]:
    problem = menu_problem(house, MenuRequest(MONDAY, 14))
    bands = bands_at(problem, Fraction(1))
    return build(problem, bands, PROMISES), bands


def test_a_menu_stopped_at_once_says_what_it_has_not_looked_at_and_breaks_nothing() -> None:
    """Stopped as soon as it asks: what is laid by then stands, and of the rest nothing is claimed."""

    class AtOnce(NobodyWatching):
        def stopped(self) -> bool:
            return True

    house = suppers_only(larder(1, 40, 40))
    plan = plan_menu(house, MenuRequest(house.today, 60, seconds=60), AtOnce())
    assert plan.ended == "stopped"
    assert broken_rules(house, plan) == []
    unsaid = replace(plan, not_settled=())
    words = " ".join(not_settled_words(plan))
    assert bool(words) == bool(plan.not_settled)
    assert not_settled_words(unsaid) == ()


def test_the_checker_refutes_a_place_left_open_that_a_dish_could_fill_unless_it_is_not_settled() -> None:
    house = home(rules=rules())
    plan = plan_menu(house, MenuRequest(MONDAY, 14, seconds=5))
    meal = plan.meals[3]
    bare = replace(meal, dishes=(), open_roles=("main",))
    holes = replace(plan, meals=tuple(bare if m is meal else m for m in plan.meals), open_roles=1)
    open_is_wrong = "its main is left open, and Plain could stand there"
    assert any(open_is_wrong in said for said in broken_rules(house, holes))
    told = replace(holes, not_settled=(NotSettled(meal.day, meal.day, "main", meal.meal),))
    assert not any(open_is_wrong in said for said in broken_rules(house, told))
    elsewhere = replace(plan, not_settled=(NotSettled(meal.day, meal.day, "main", meal.meal),))
    assert any("is not left open" in said for said in broken_rules(house, elsewhere))


def test_the_checker_refutes_a_missed_night_unless_it_is_not_settled() -> None:
    house = home(flat(7))
    plan = plan_menu(house, MenuRequest(MONDAY, 14, seconds=5))
    night = next(m for m in plan.meals if m.day == day(FIRST_NIGHT))
    plain = next(p for m in plan.meals for p in m.dishes if p.dish == "Plain")
    missed = replace(plan, meals=tuple(replace(m, dishes=(plain,)) if m is night else m for m in plan.meals))
    wrong = "is the night for 'flat bread', and Flat could be cooked"
    assert any(wrong in said for said in broken_rules(house, missed))
    told = replace(missed, not_settled=(NotSettled(night.day, night.day, "flat bread"),))
    assert not any(wrong in said for said in broken_rules(house, told))
    assert not_settled_words(told)[0].startswith(
        "NOT SETTLED: the search ended before it was known whether 1 promise must be missed: 'flat bread' on Wed 7."
    )
