"""What is not known of the year's months: how much, how far neighbours share it, and that it goes by with the month."""

from __future__ import annotations

import numpy as np
import pytest

from pantrymeals.forecast.fitting import UseByWeek, fit
from pantrymeals.forecast.rate_drift import rate_drift
from pantrymeals.forecast.simulate import Future, simulate
from pantrymeals.forecast.year_ring import MONTHS_TOGETHER, with_neighbours

WEEKS, PRODUCTS = 130, 60
MONTHS = np.arange(WEEKS) * 12 // 52 % 12


def seasonal_book(mean: float) -> tuple[UseByWeek, np.ndarray]:
    """Every product eaten in a season of its own, and the true parts of its months [products, 12]."""
    rng = np.random.default_rng(5)
    begins = np.arange(PRODUCTS)[:, None] / PRODUCTS
    true = 1 + 0.9 * np.cos(2 * np.pi * (np.arange(12) / 12 - begins))
    used = rng.poisson(mean * true[:, MONTHS]).astype(float)
    same = np.ones(PRODUCTS)
    book = UseByWeek(
        used, np.ones_like(used), np.ones(WEEKS), MONTHS, mean * same, np.ones((PRODUCTS, 12)),
        np.zeros(PRODUCTS, dtype=np.int64), same, np.zeros(PRODUCTS, dtype=np.bool_),
    )  # fmt: skip
    return book, true


def test_neighbours_lend_half_and_the_year_is_a_ring() -> None:
    lent = with_neighbours(np.array([[8.0] + [0.0] * 11]))
    assert lent.tolist() == [[8, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4]]


def test_months_go_together_as_sums_with_neighbours_do() -> None:
    """Of sums of independent numbers by 1/2, 1, 1/2: neighbours share 1 of 1.5, the next but one a sixth of it."""
    by_hand = [1, 2 / 3, 1 / 6, 0, 0, 0, 0, 0, 0, 0, 1 / 6, 2 / 3]
    assert MONTHS_TOGETHER[0] == pytest.approx(by_hand)
    assert pytest.approx(MONTHS_TOGETHER.T) == MONTHS_TOGETHER


@pytest.mark.parametrize("mean", [0.5, 2.0])
def test_months_are_as_far_off_as_they_are_said_to_be(mean: float) -> None:
    """Squared errors against the truth, of what is clearly eaten: the variance that is said, on a thin book too."""
    book, true = seasonal_book(mean)
    found = fit(book)
    eaten = true > 0.3
    off = ((true / found.by_month - 1) ** 2)[eaten]
    assert 0.4 < off.mean() / found.month_unsure[eaten].mean() < 1.6


def test_a_season_of_ones_own_is_found_without_help_of_the_family() -> None:
    book, true = seasonal_book(0.5)
    likeness = [np.corrcoef(a, b)[0, 1] for a, b in zip(fit(book).by_month, true, strict=True)]
    assert np.median(likeness) > 0.9


def test_months_that_are_badly_known_are_no_lasting_drift() -> None:
    """A pace that never moves, in a season: what is off at a month's end goes by, and is not drawn as if it stayed."""
    drift = rate_drift(seasonal_book(1.0)[0])
    assert drift.faster < 0.1
    assert drift.slower < 0.1


def test_an_unsure_month_goes_by_and_comes_again_a_year_on() -> None:
    """Two Mays and two Octobers of one mean, and of May a variance of 0.25: it is off in both years alike."""
    months = np.arange(104) * 12 // 52 % 12
    nothing, unsure = np.zeros(104), [0.0] * 12
    unsure[4] = 0.25

    def used(month: int, years: int) -> np.ndarray:
        use = np.where((months == month) & (np.arange(104) < 52 * years), 30.0, 0.0)
        future = Future("Plums", 1e6, use, months, nothing, nothing, grain=0.01, month_unsure=tuple(unsure))
        out = simulate(future, 8000, seed=2).used
        return out / use.sum()

    for years in (1, 2):
        may, october = used(4, years), used(9, years)
        assert may.mean() == pytest.approx(1, rel=0.03)
        assert may.var() == pytest.approx(0.25, rel=0.15)
        assert october.var() < 0.001
