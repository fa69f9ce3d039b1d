"""Standing use on some days of the year: what goes by the day, and what checker, planner and forecast make of it."""

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.larder.supply import going_by_day, stands
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest
from pantrymeals.records import StandingUse
from tests.kitchens.tiny import cooked, day, dish, kitchen, loose, lot, qty, standing, supper
from tests.unit.checking.sound import told

HOLIDAYS = ((6, 20), (9, 1))
OVER_NEW_YEAR = ((12, 20), (1, 6))
LB = qty("1 lb")


def beside(use: StandingUse, *, on: str) -> Fraction:
    return use.on(date.fromisoformat(on)) / LB


def test_both_days_count_and_the_days_around_them_do_not() -> None:
    use = standing("Carrots", "7 lb", within=HOLIDAYS)
    assert [beside(use, on=f"2026-{on}") for on in ("06-19", "06-20", "09-01", "09-02")] == [0, 7, 7, 0]
    winter = standing("Carrots", "7 lb", within=OVER_NEW_YEAR)
    assert [beside(winter, on=f"2026-{on}") for on in ("12-19", "12-20", "01-06", "01-07")] == [0, 7, 7, 0]


def test_rows_of_one_product_add_up_day_by_day() -> None:
    home = kitchen(
        products=[loose("Carrots")],
        standing=(standing("Carrots", "1 lb", [1]), standing("Carrots", "7 lb", within=OVER_NEW_YEAR)),
    )
    use = stands(home, "Carrots")
    assert [beside(use, on=on) for on in ("2026-01-06", "2026-01-07", "2026-02-01", "2026-12-31")] == [8, 1, 0, 7]
    going = going_by_day(home, home.products["Carrots"], date(2026, 1, 5), 4)
    assert [of / LB for of in going] == [Fraction(8, 7), Fraction(16, 7), Fraction(17, 7), Fraction(18, 7)]


def test_a_month_is_told_by_its_mean_and_the_year_by_its_days() -> None:
    use = standing("Carrots", "7 lb", within=HOLIDAYS)
    months = [of / LB for of in use.by_month()]
    assert months == [0, 0, 0, 0, 0, Fraction(11 * 7, 30), 7, 7, Fraction(7, 30), 0, 0, 0]
    assert use.between(date(2026, 1, 1), date(2027, 1, 1)) / LB == 11 + 31 + 31 + 1
    assert use.between(date(2026, 6, 20), date(2026, 6, 20)) == 0


@pytest.mark.parametrize(("last", "roasts"), [((1, 6), 0), ((1, 5), 1)])
def test_the_checker_and_the_planner_know_the_last_day(last: tuple[int, int], roasts: int) -> None:
    """Two pounds; one goes by itself on Monday 5 January, and on the 6th where that is the last day of its row."""
    home = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 2, "lb", where="C")],
        dishes=[dish("Roast", ["1 lb Carrots"])],
        standing=(standing("Carrots", "7 lb", within=((12, 20), last)),),
    )
    said = told(home, [supper(day(0), open_roles=("main",)), supper(day(1), cooked(home, "Roast"))])
    assert (said == []) == bool(roasts), said
    plan = plan_menu(home, MenuRequest(day(0), 2, seed=1, seconds=2))
    assert sum(len(meal.dishes) for meal in plan.meals) == roasts


def test_a_forecast_ends_on_the_day_that_the_holidays_bring() -> None:
    """Three pounds of which one goes on each day from 10 January on: the last one goes on the 12th."""
    home = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 3, "lb", where="C")],
        standing=(standing("Carrots", "7 lb", within=((1, 10), (1, 20))),),
    )
    [row] = foresee(home, learn_paces(home, ()), None).rows
    assert row.as_planned.out == date(2026, 1, 12)
