"""The simulation against exact chances from scipy.stats (the judge; not used by the program)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pantrymeals.forecast.draws import the_table
from pantrymeals.forecast.simulate import Future, simulate

PATHS = 40_000
NEAR = 4 * 0.5 / PATHS**0.5
"""Four standard errors of a chance of one half."""


def steady(stock: float, weekly: float, weeks: int = 52, **changes: object) -> Future:
    nothing = np.zeros(weeks)
    fields = {"months": np.arange(weeks) // 4 % 12, "arrivals": nothing, "loss": nothing} | changes
    return Future("Pears", stock, np.full(weeks, weekly), **fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(("stock", "weekly"), [(8, 0.7), (25, 0.8), (3, 0.05), (60, 2.0)])
def test_poisson_run_out(stock: int, weekly: float) -> None:
    out = simulate(steady(stock, weekly), PATHS, seed=3).out
    for week in (4, 13, 26, 40, 52):
        # Gone by the end of a week when that many or more were needed by then.
        exact = stats.poisson.sf(stock - 1, weekly * week)
        assert float((out <= week).mean()) == pytest.approx(exact, abs=NEAR), week


@pytest.mark.parametrize(("stock", "weekly", "shape"), [(8, 0.7, 4.0), (25, 0.8, 1.5), (12, 0.25, 20.0)])
def test_negative_binomial_run_out(stock: int, weekly: float, shape: float) -> None:
    out = simulate(steady(stock, weekly, rate_shape=shape), PATHS, seed=4).out
    for week in (8, 20, 45):
        mean = weekly * week
        exact = stats.nbinom.sf(stock - 1, shape, shape / (shape + mean))
        assert float((out <= week).mean()) == pytest.approx(exact, abs=NEAR), week


def test_chance_of_meeting_every_need_to_the_deadline() -> None:
    outcome = simulate(steady(8, 0.7, deadline=10.0), PATHS, seed=5)
    assert float(outcome.met.mean()) == pytest.approx(stats.poisson.cdf(8, 7.0), abs=NEAR)
    left = np.maximum(8 - stats.poisson(7.0).rvs(400_000, random_state=1), 0)
    assert float(outcome.left.mean()) == pytest.approx(left.mean(), abs=0.05)


def test_good_and_bad_months_widen_use_as_gamma_poisson_says() -> None:
    # Variance of a month of four weeks: mean + mean**2 / shape.
    shape, weekly = 4.0, 1.5
    future = steady(1e6, weekly, weeks=4, months=np.zeros(4, dtype=np.int64), month_shape=shape)
    used = simulate(future, PATHS, seed=6).used
    mean = 4 * weekly
    assert float(used.mean()) == pytest.approx(mean, rel=0.02)
    assert float(used.var()) == pytest.approx(mean + mean**2 / shape, rel=0.05)


def test_one_winter_loss_takes_its_share() -> None:
    # Loss alone, of grain 1: what remains after n months of share s is stock x (1 - s)**n on average.
    weeks = 24
    months = np.arange(weeks) // 4
    future = steady(200, 0.0, weeks=weeks, months=months, loss=np.full(weeks, 0.01))
    left = simulate(future, PATHS, seed=7).left
    assert float(left.mean()) == pytest.approx(200 * 0.96**6, rel=0.005)


@pytest.mark.parametrize("mean", [0.01, 0.3, 1.7, 9.0, 31.0])
def test_table_draws_fit_scipy_poisson(mean: float) -> None:
    rng = np.random.Generator(np.random.PCG64(8))
    table = the_table()
    rungs = table.rungs_for(np.full(PATHS, mean, dtype=np.float32), rng)
    counts = table.draw(rungs, 10, rng).astype(int).reshape(-1)
    exact = stats.poisson(mean)
    assert counts.mean() == pytest.approx(mean, rel=0.02 if mean > 0.1 else 0.1)
    edges = sorted({int(exact.ppf(q)) for q in (0.05, 0.25, 0.5, 0.75, 0.95, 0.9999)})
    for edge in edges:
        assert (counts <= edge).mean() == pytest.approx(exact.cdf(edge), abs=4 * 0.5 / len(counts) ** 0.5 + 5e-4)


def test_the_same_seed_gives_the_same_futures_whatever_else_is_kept() -> None:
    one, two = (simulate(steady(8, 0.7), 500, seed=9) for _ in range(2))
    assert (one.out == two.out).all()
    assert (simulate(steady(8, 0.7), 500, seed=10).out != one.out).any()
