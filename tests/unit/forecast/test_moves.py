"""How paces move: what is found in books that were drawn with it, and what becomes of it ahead."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from pantrymeals.forecast.fitting import UseByWeek, fit, leaning
from pantrymeals.forecast.moves import PaceMoves, learn_way, walked
from pantrymeals.forecast.simulate import Future, Moving, simulate

WEEKS, PRODUCTS = 130, 60


def book_of(log_pace: np.ndarray) -> UseByWeek:
    """Jars opened by chance about paces [products, weeks] given as logs; all that is known before is one a week."""
    rng = np.random.default_rng(5)
    used = rng.poisson(np.exp(log_pace)).astype(float)
    products, weeks = used.shape
    return UseByWeek(
        used,
        np.ones_like(used),
        0.5 ** (np.arange(weeks)[::-1] / 52),
        np.arange(weeks) * 12 // 52 % 12,
        np.ones(products),
        np.ones((products, 12)),
        np.zeros(products, dtype=np.int64),
        np.ones(products),
        np.zeros(products, dtype=np.bool_),
    )


def leans() -> np.ndarray:
    return np.where(np.arange(PRODUCTS) % 2, 0.4, -0.4)


def test_a_table_that_stays_neither_wanders_nor_leans() -> None:
    book = book_of(np.zeros((PRODUCTS, WEEKS)))
    way = learn_way(book, fit(book))
    assert way.wanders < 0.02
    assert way.leans < 0.01


def test_products_that_lean_are_seen_to_and_told_from_those_that_wander() -> None:
    years = (np.arange(WEEKS) - WEEKS / 2) / 52
    leaning_book = book_of(leans()[:, None] * years)
    way = learn_way(leaning_book, fit(leaning_book))
    assert way.leans > 0.05
    assert way.wanders < 0.06
    steps = np.random.default_rng(6).normal(0, np.sqrt(0.25 / 52), (PRODUCTS, WEEKS))
    wandering = book_of(np.cumsum(steps, axis=1))
    way = learn_way(wandering, fit(wandering))
    assert 0.1 < way.wanders < 0.4
    assert way.leans < 0.05


def test_each_product_leans_its_own_way_and_stands_where_it_has_come_to() -> None:
    years = (np.arange(WEEKS) - WEEKS / 2) / 52
    book = book_of(leans()[:, None] * years)
    fitted = fit(book)
    (known,) = walked([(book, fitted)], learn_way(book, fitted))
    assert known.moves is not None
    rises = leans() > 0
    assert 0.2 < known.moves.lean[rises].mean() < 0.5
    assert -0.5 < known.moves.lean[~rises].mean() < -0.2
    today = np.exp(0.4 * WEEKS / 2 / 52)
    assert known.weekly[rises].mean() == pytest.approx(today, rel=0.15)
    assert known.weekly[~rises].mean() == pytest.approx(1 / today, rel=0.15)
    # The years' mean would be further off.
    assert np.abs(np.log(known.weekly[rises]) - np.log(today)).mean() < abs(np.log(today))


def test_where_nothing_moves_it_is_the_gamma_of_all_goes() -> None:
    """(shape + goes) / (shape / usual + weeks), worked out by hand: the order of the weeks tells nothing."""
    book = book_of(np.full((3, 40), 0.3))
    fitted = replace(
        fit(book), usual=np.full(3, 0.8), alike=np.full(3, 4.0), by_month=np.ones((3, 12)), grain=np.ones(3)
    )
    (known,) = walked([(book, fitted)], PaceMoves(0.0, 0.0))
    assert known.weekly == pytest.approx((4 + book.used.sum(axis=1)) / (4 / 0.8 + 40))


def test_a_lean_goes_on_for_a_year() -> None:
    factors = leaning(0.3, 104)
    assert factors[0] == pytest.approx(np.exp(0.3 * 0.5 / 52))
    assert factors[60] == factors[103] == pytest.approx(np.exp(0.3))


@pytest.mark.parametrize(
    ("moving", "variance"), [(Moving(wanders=0.12), 0.12 / 3), (Moving(lean=0.16), 0.16 / 4), (Moving(), 0.0)]
)
def test_a_years_use_varies_as_the_moves_say(moving: Moving, variance: float) -> None:
    """Of a Brownian path the mean over a year has a third of its variance; of a straight one a quarter."""
    nothing = np.zeros(52)
    future = Future(
        "Plums", 1e6, np.full(52, 50.0), np.arange(52) * 12 // 52, nothing, nothing, grain=0.01, moving=moving
    )
    used = np.log(simulate(future, 4000, seed=2).used)
    assert float(used.var()) == pytest.approx(variance, rel=0.15, abs=1e-4)
