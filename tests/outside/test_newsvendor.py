"""One season, one decision: the newsvendor, against published figures and scipy."""

from __future__ import annotations

from statistics import mean, stdev

import pytest
from scipy.stats import gamma, norm

from pantrymeals.season.reserve import (
    aim_for_service,
    chances_wanted,
    draws,
    newsvendor,
    service_from_costs,
    simulate,
)

# Nahmias, Production and Operations Analysis, ch. 5, weekly magazine: demands read in lecture slides;
# costs from memory
DEMANDS = [
    15, 19, 9, 12, 9, 22, 14, 11, 6, 11, 9, 18, 10, 5, 4, 17, 18, 14, 15, 8, 9, 4, 6, 7, 12, 15, 15, 19, 4, 7,
    8, 11, 0, 14, 12, 9, 10, 8, 9, 16, 8, 11, 11, 18, 15, 17, 19, 14, 14, 17, 13, 12,
]  # fmt: skip


def test_the_set_of_demands_is_right():
    assert round(mean(DEMANDS), 2) == 11.73
    assert round(stdev(DEMANDS), 2) == 4.74


def test_critical_ratio():
    assert round(service_from_costs(0.15, 0.50), 2) == 0.77


def test_empirical_order():
    """F(14) = 36/52 and F(15) = 41/52, so 15."""
    assert newsvendor([float(d) for d in DEMANDS], 0.15, 0.50) == 15
    assert sum(d <= 14 for d in DEMANDS) == 36
    assert sum(d <= 15 for d in DEMANDS) == 41


def test_normal_order():
    """11.73 + 0.74 x 4.74 = 15.24, about 15; from memory."""
    z = norm.ppf(service_from_costs(0.15, 0.50))
    assert round(mean(DEMANDS) + z * stdev(DEMANDS)) == 15


@pytest.mark.parametrize("jars", [40, 50, 55, 60, 70])
def test_the_chance_of_a_jar_is_the_tail_of_the_years_use(jars):
    """A crop that never fails: the n-th jar is called for when use passes n - 1/2 (scipy: gamma)."""
    shape = 1 / 0.2**2
    ours = chances_wanted(57, 0.2, 0.0, 0.0, 80, seed=3)[jars - 1]
    assert ours == pytest.approx(gamma.sf(jars - 0.5, shape, scale=57 / shape), abs=0.025)


@pytest.mark.parametrize("aim", [50, 57, 65, 75])
def test_share_of_full_years_is_the_newsvendors_service(aim):
    """Shelf filled to the same aim each year, no failures: P(use <= aim) (scipy: gamma)."""
    shape = 1 / 0.2**2
    seen = simulate(draws(57, 0.2, 0.0, seed=5), aim, 0.0)
    assert seen.full_years == pytest.approx(gamma.cdf(aim, shape, scale=57 / shape), abs=0.01)


def test_expected_sales_of_the_newsvendor():
    """Share served = E[min(D, Q)] / E[D]; for gamma use by scipy's expectation."""
    shape = 1 / 0.2**2
    use = gamma(shape, scale=57 / shape)
    expected = use.expect(lambda d: min(d, 57.0)) / 57
    assert simulate(draws(57, 0.2, 0.0, seed=5), 57, 0.0).served == pytest.approx(expected, abs=0.005)


def test_costs_of_nothing_are_refused():
    with pytest.raises(ValueError, match="above nothing"):
        service_from_costs(0.0, 1.0)
    with pytest.raises(ValueError, match="calls"):
        newsvendor([], 1.0, 1.0)


def test_the_aim_is_the_least_that_serves():
    aim, seen = aim_for_service(57, 0.1, 1 / 3, 19, 0.85, seed=1)
    assert seen.served >= 0.85
    assert simulate(draws(57, 0.1, 1 / 3, seed=1), aim - 1, 19).served < 0.85
