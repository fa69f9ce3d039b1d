"""Speed of the run-out simulation: 250 products x 52 weeks x 10,000 futures.

    python -m tests.benchmarks.bench_run_out

Prints seconds, the memory the process reached, and the ratio against a plain Python loop over a tenth
of the products (fewer futures, scaled up). Limits: 3 s and 500 MB on two cores.
"""

from __future__ import annotations

import math
import random
import resource
import sys
import time

import numpy as np

from pantrymeals.forecast.draws import gamma_pool, the_table
from pantrymeals.forecast.simulate import Future, Outcome, simulate

PRODUCTS, WEEKS, PATHS = 250, 52, 10_000
LIMIT_S, LIMIT_MB = 3.0, 500.0
PLAIN_PATHS = 200


def larder(products: int = PRODUCTS) -> list[Future]:
    """A made-up larder: paces from a jar in ten weeks to four a week, seasons, losses, deadlines."""
    rng = np.random.default_rng(3)
    months = np.array([int(week * 7 / 30.44) % 12 for week in range(WEEKS)])
    out = []
    for number in range(products):
        pace = float(rng.choice([0.1, 0.3, 0.6, 1.0, 2.0, 4.0]))
        use = pace * (0.6 + 0.8 * ((months + number) % 12) / 11)
        out.append(
            Future(
                f"product {number}",
                float(rng.integers(4, 80)),
                use,
                months,
                np.zeros(WEEKS),
                np.full(WEEKS, 0.002),
                rate_shape=10.0,
                month_shape=8.0,
                loss_shape=4.0,
                deadline=float(rng.uniform(15, 52)),
            )
        )
    return out


def summed_up(outcome: Outcome) -> tuple[float, ...]:
    """What a row of the table needs of a product: three dates, three amounts left, chance and gap."""
    at = [int(q * (len(outcome.out) - 1)) for q in (0.1, 0.5, 0.9)]
    out, left = np.partition(outcome.out, at), np.partition(outcome.left, at)
    return (*out[at], *left[at], float(outcome.met.mean()), float(outcome.gap.mean()))


def ours(futures: list[Future], paths: int) -> float:
    """Seconds for all products."""
    begin = time.perf_counter()
    for future in futures:
        summed_up(simulate(future, paths, seed=1))
    return time.perf_counter() - begin


def plain(futures: list[Future], paths: int) -> float:
    """Seconds for the same, week by week and future by future, in plain Python."""
    rng = random.Random(1)
    begin = time.perf_counter()
    for future in futures:
        for _ in range(paths):
            _plain_path(future, rng)
    return time.perf_counter() - begin


def _plain_path(future: Future, rng: random.Random) -> tuple[float, float]:
    stock, out, left = future.stock, math.inf, 0.0
    rate = rng.gammavariate(future.rate_shape, 1 / future.rate_shape)
    worse = rng.gammavariate(future.loss_shape, 1 / future.loss_shape)
    month, luck = -1, 1.0
    for week in range(len(future.use)):
        if future.months[week] != month:
            month = future.months[week]
            luck = rng.gammavariate(future.month_shape, 1 / future.month_shape)
        stock -= _plain_poisson(float(future.use[week]) * rate * luck, rng)
        stock -= min(max(stock, 0.0), _plain_poisson(max(stock, 0.0) * worse * float(future.loss[week]), rng))
        if stock <= 0 and out == math.inf:
            out = week
        if week <= (future.deadline or 0):
            left = max(stock, 0.0)
    return out, left


def _plain_poisson(mean: float, rng: random.Random) -> int:
    limit, count, product = math.exp(-mean), 0, rng.random()
    while product > limit:
        count += 1
        product *= rng.random()
    return count


def main() -> int:
    """Measure, print and judge; 1 when a limit is passed."""
    futures = larder()
    the_table(), gamma_pool(8.0)
    cpu_begin = time.process_time()
    seconds = min(ours(futures, PATHS) for _ in range(2))
    cpu_s = (time.process_time() - cpu_begin) / 2
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    tenth = futures[: PRODUCTS // 10]
    ours_s, plain_s = ours(tenth, PATHS), plain(tenth, PLAIN_PATHS) * PATHS / PLAIN_PATHS
    print(f"{PRODUCTS} products x {WEEKS} weeks x {PATHS:,} futures: {seconds:.2f} s, {megabytes:.0f} MB")
    print(f"seconds of one core: {cpu_s:.2f}")
    print(f"plain Python on a tenth of it: {plain_s:.1f} s against {ours_s:.2f} s, {plain_s / ours_s:.0f} to 1")
    return int(seconds > LIMIT_S or megabytes > LIMIT_MB)


if __name__ == "__main__":
    sys.exit(main())
