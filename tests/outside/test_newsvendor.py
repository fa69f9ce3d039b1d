"""Chances and service of a shelf filled each year, against scipy."""

from __future__ import annotations

import pytest
from scipy.stats import gamma

from pantrymeals.season.reserve import aim_for_service, chances_wanted, draws, simulate


@pytest.mark.parametrize("jars", [40, 50, 55, 60, 70])
def test_the_chance_of_a_jar_is_the_tail_of_the_years_use(jars):
    """A crop that never fails: the n-th jar is called for when use passes n - 1/2 (scipy: gamma)."""
    shape = 1 / 0.2**2
    ours = chances_wanted(57, 0.2, 0.0, 0.0, 80, seed=3)[jars - 1]
    assert ours == pytest.approx(gamma.sf(jars - 0.5, shape, scale=57 / shape), abs=0.025)


def test_expected_sales_of_the_newsvendor():
    """Share served = E[min(D, Q)] / E[D]; for gamma use by scipy's expectation."""
    shape = 1 / 0.2**2
    use = gamma(shape, scale=57 / shape)
    expected = use.expect(lambda d: min(d, 57.0)) / 57
    assert simulate(draws(57, 0.2, 0.0, seed=5), 57, 0.0).served == pytest.approx(expected, abs=0.005)


def test_the_aim_is_the_least_that_serves():
    aim, seen = aim_for_service(57, 0.1, 1 / 3, 19, 0.85, seed=1)
    assert seen.served >= 0.85
    assert simulate(draws(57, 0.1, 1 / 3, seed=1), aim - 1, 19).served < 0.85
