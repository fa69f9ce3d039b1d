"""The table of draws: every bucket's count, judged by adding up the Poisson distribution that scipy gives."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import poisson

from pantrymeals.forecast.draws import BUCKETS, MOST, PoissonTable

UNDECIDED = 255


@pytest.mark.parametrize("rung", [1, 40, 200, 345, 480])
def test_a_bucket_says_a_count_where_it_lies_wholly_in_its_share(rung: int) -> None:
    table = PoissonTable()
    table.draw(np.full(8, rung, dtype=np.int32), 1, np.random.default_rng(1))
    told = table.counts.reshape(-1, BUCKETS)[rung]
    low, high = np.arange(BUCKETS) / BUCKETS, (np.arange(BUCKETS) + 1) / BUCKETS
    mean = table.means[rung]
    first, last = poisson.ppf(np.maximum(low, 1e-300), mean), poisson.ppf(high, mean)
    sure = told != UNDECIDED
    assert sure.mean() > 0.95
    assert (told[sure] == first[sure]).mean() > 0.999  # ppf rounds at a border; a wrong count would be wrong in many
    assert (first[~sure] != last[~sure]).mean() > 0.95


def test_what_is_filled_in_later_is_what_is_filled_in_at_once() -> None:
    at_once, by_and_by = PoissonTable(), PoissonTable()
    rungs = np.arange(len(at_once.means), dtype=np.int32)
    at_once.draw(rungs, 1, np.random.default_rng(1))
    for some in np.array_split(rungs, 7):
        by_and_by.draw(some, 1, np.random.default_rng(1))
    assert (at_once.counts == by_and_by.counts).all()
    assert at_once.means[-1] >= MOST
