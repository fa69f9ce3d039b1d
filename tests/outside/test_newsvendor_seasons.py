"""Many seasons with carry-over, against closed forms.

Closed forms worked out by hand for a steady table (no published source): a crop fails with chance p each
year, the shelf is filled to k years' use after a good one. Then r failures running leave the table empty
from the k-th on, so the share served is 1 - p^k; and with k = 1 and a failed crop that still brings a
share b, it is 1 - p(1 - b).
"""

from __future__ import annotations

import pytest

from pantrymeals.season.reserve import aim_for_service, chances_wanted, draws, simulate


@pytest.mark.parametrize("years_worth", [1, 2, 3])
@pytest.mark.parametrize("fails", [1 / 3, 1 / 5, 1 / 2])
def test_share_served_with_whole_years_on_the_shelf(years_worth, fails):
    seen = simulate(draws(50, 0.0, fails, seed=11), 50 * years_worth, 0.0)
    assert seen.served == pytest.approx(1 - fails**years_worth, abs=0.012)


@pytest.mark.parametrize("brings", [0.0, 0.25, 0.5, 1.0])
def test_a_failed_crop_that_still_brings_a_share(brings):
    seen = simulate(draws(60, 0.0, 1 / 3, seed=12), 60, 60 * brings)
    assert seen.served == pytest.approx(1 - (1 - brings) / 3, abs=0.012)


def test_between_one_and_two_years_worth():
    """Aim D + r with 0 < r < D: a first failed year gets r + b, later ones b (b = what a failed crop brings):
    share served = (1 - p) + p (1 - p) (r + b) / D + p^2 b / D."""
    use, more, brings, fails = 57.0, 19.0, 19.0, 1 / 3
    closed = (1 - fails) + fails * (1 - fails) * (more + brings) / use + fails**2 * brings / use
    seen = simulate(draws(use, 0.0, fails, seed=13), use + more, brings)
    assert seen.served == pytest.approx(closed, abs=0.006)
    assert closed == pytest.approx(0.852, abs=0.001), "the service at which pencil rule and simulation meet"


@pytest.mark.parametrize("fails", [1 / 3, 1 / 4])
def test_chances_of_jars_beyond_a_years_use(fails):
    """Steady use D: a jar within the first D is surely called for, in the second with p, the third p^2."""
    chances = chances_wanted(40, 0.0, fails, 0.0, 120, seed=2)
    assert chances[20] == 1
    assert chances[60] == pytest.approx(fails, abs=0.025)
    assert chances[100] == pytest.approx(fails**2, abs=0.02)


def test_mean_put_up_balances_what_is_served():
    """In the long run as much comes in as is eaten."""
    seen = simulate(draws(50, 0.1, 1 / 3, seed=4, paths=300, years=400), 80, 10)
    assert seen.put_up == pytest.approx(seen.served * 50, rel=0.01)


def test_a_bumper_after_a_dud_and_none_after_a_glut():
    import numpy

    weather = draws(50, 0.0, 0.0, seed=1, paths=1, years=1)
    dud, glut = simulate(weather, 70, 0.0, opening=0.0), simulate(weather, 70, 0.0, opening=70.0)
    assert numpy.isclose(dud.put_up, 70)
    assert glut.put_up == 0


def test_the_same_seed_gives_the_same_answer():
    assert aim_for_service(57, 0.1, 1 / 3, 19, 0.85, 7) == aim_for_service(57, 0.1, 1 / 3, 19, 0.85, 7)


def test_a_service_no_shelf_can_give_gets_the_largest_aim():
    aim, seen = aim_for_service(10, 0.0, 0.9, 0.0, 0.999, seed=1)
    assert aim == 40
    assert seen.served < 0.999
