"""How much should stand on the shelf once a crop is in, against the odds that the next one fails.

The household fills the shelf to the same aim whenever the crop is good: much after a poor year,
little or nothing after a glut. Seasons are simulated with carry-over from one to the next; draws
come from a seeded generator, so the same question has the same answer.
"""

from __future__ import annotations

from bisect import bisect_left
from math import ceil
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

PATHS = 400
YEARS = 60
SETTLE = 10
"""Simulated households, seasons each, and first seasons left out while the shelf settles."""


class Seasons(Struct, frozen=True):
    """Many simulated seasons of one product.

    served: share of all that was called for that the shelf gave. carried, put_up: mean containers a year.
    """

    served: float
    carried: float
    put_up: float


class Draws(Struct, frozen=True):
    """Chance fixed beforehand, so that aims are compared in the same weather.

    wanted: containers called for, by household and season. failed: where the crop failed.
    """

    wanted: NDArray[np.float64]
    failed: NDArray[np.bool_]


def draws(a_year: float, spread: float, fails: float, seed: int, paths: int = PATHS, years: int = YEARS) -> Draws:
    """Seeded seasons: gamma use about ``a_year`` with that spread; failures independent, by their odds."""
    import numpy

    rng = numpy.random.default_rng(seed)
    failed = rng.random((paths, years)) < fails
    return Draws(_use(rng, a_year, spread, (paths, years)), failed)


def simulate(weather: Draws, aim: float, still_brings: float, opening: float = 0.0) -> Seasons:
    """What comes of filling the shelf to ``aim`` after each good crop.

    still_brings: containers that a failed crop still gives (never past the aim).
    opening: containers carried into the first season.
    """
    import numpy

    paths, years = weather.wanted.shape
    stock = numpy.full(paths, float(opening))
    given = called = carried = came = 0.0
    counted = 0
    for year in range(years):
        room = numpy.maximum(0.0, aim - stock)
        put_up = numpy.where(weather.failed[:, year], numpy.minimum(room, still_brings), room)
        stock = stock + put_up
        wanted = weather.wanted[:, year]
        used = numpy.minimum(stock, wanted)
        stock = stock - used
        if year < min(SETTLE, years - 1):
            continue
        given += float(used.sum())
        called += float(wanted.sum())
        carried += float(stock.sum())
        came += float(put_up.sum())
        counted += paths
    return Seasons(given / called if called else 1.0, carried / counted, came / counted)


def aim_for_service(
    a_year: float, spread: float, fails: float, still_brings: float, service: float, seed: int
) -> tuple[int, Seasons]:
    """The least whole aim, no less than a year's need, that serves the share asked for over the seasons.

    still_brings: containers. Never more than four years' need: a household that asks to be served
    beyond what any shelf can do gets the largest aim and the share it reaches.
    """
    weather = draws(a_year, spread, fails, seed)
    low, high = ceil(a_year - 1e-9), ceil(4 * a_year)
    seen = simulate(weather, low, still_brings)
    if seen.served >= service or high <= low:
        return low, seen
    most = simulate(weather, high, still_brings)
    if most.served < service:
        return high, most
    between = range(low + 1, high)
    enough = bisect_left(between, True, key=lambda aim: simulate(weather, aim, still_brings).served >= service)
    best = low + 1 + enough
    return best, simulate(weather, best, still_brings)


def chances_wanted(
    a_year: float, spread: float, fails: float, still_brings: float, most: int, seed: int
) -> list[float]:
    """For each container in turn (1st .. ``most``th): the chance it is called for before a good crop is in.

    One year's use when the next crop is good; two years' less what the failed crop brings when it
    is not; and so on. This is the newsvendor's tail, with a season that may last more than a year.
    """
    import numpy

    if most <= 0:
        return []
    rng = numpy.random.default_rng(seed)
    tries = 4000
    more_years = numpy.minimum(rng.geometric(max(1e-9, 1 - min(fails, 0.95)), tries) - 1, 5)
    called = numpy.zeros(tries)
    for year in range(int(more_years.max()) + 1):
        in_it = more_years >= year
        use = _use(rng, a_year, spread, (tries,))
        called += numpy.where(in_it, use - (still_brings if year else 0.0), 0.0)
    called.sort()
    wanted = numpy.arange(1, most + 1) - 0.5  # the n-th jar is called for when use passes half of it
    return [float(c) for c in 1 - numpy.searchsorted(called, wanted) / tries]


def _use(rng: np.random.Generator, a_year: float, spread: float, shape: tuple[int, ...]) -> NDArray[np.float64]:
    import numpy

    if spread <= 0 or a_year <= 0:
        return numpy.full(shape, float(a_year))
    return rng.gamma(1 / spread**2, a_year * spread**2, shape)
