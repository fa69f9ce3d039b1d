"""From a household and its book to the futures that are simulated."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from pantrymeals.forecast.draws import MOST
from pantrymeals.forecast.fitting import Expected
from pantrymeals.forecast.history import History, containers, read_history
from pantrymeals.forecast.losses import Loss, learn_losses
from pantrymeals.forecast.rates import Rate, Rates, learn
from pantrymeals.forecast.shelf import belongs_to_next_crop, shelf_of
from pantrymeals.forecast.simulate import Future
from pantrymeals.forecast.sitters import is_sitter, put_up_here
from pantrymeals.larder.book_history import book_years, lines_of
from pantrymeals.larder.must_reach import its_day, must_reach, season_days
from pantrymeals.larder.supply import stands
from pantrymeals.plans.season import BookYear
from pantrymeals.records import Dish, Household, Movement, Product

WEEKS_AHEAD = 104
LEAST_BOOK_WEEKS = 8
"""A book of fewer weeks tells no pace."""
_ROLLING_KINDS = frozenset({"fridge"})
_MIDDLE_OF_RANGE = 0.6
"""Headroom under the table of draws: a week's mean is at most this share of what it holds."""


@dataclass(frozen=True, slots=True)
class BookPace:
    """How this table has been eating, learnt once from its book; it serves the household of later days too.

    years: the running book year by product. ours: what is, or was, put up here.
    """

    history: History
    rates: Rates
    losses: Mapping[str, Loss]
    years: Mapping[str, BookYear]
    ours: frozenset[str]

    @property
    def old_enough(self) -> bool:
        """Whether the book tells a pace at all."""
        return self.history.weeks >= LEAST_BOOK_WEEKS

    def sits(self, household: Household, name: str) -> bool:
        """Whether a product is a sitter."""
        return is_sitter(household, self.years.get(name), self.ours)


def learn_paces(household: Household, book: Iterable[Movement]) -> BookPace:
    """Read the book as weeks, and learn rates and losses from it; the years beside it are the household's own."""
    lines = lines_of(household.products, book)
    history = read_history(household.products, lines, household.today)
    return BookPace(
        history,
        learn(history, what_to_expect(household, history, household.today)),
        learn_losses(history, household.products),
        {year.product: year for year in book_years(household, lines) if not year.full},
        put_up_here(household),
    )


def stated_year(household: Household, name: str) -> NDArray[np.float64]:
    """Standing use by month [12], containers a week."""
    product = household.products[name]
    return np.array([containers(product, amount) for amount in stands(household, name)])


def used_by_dishes(dishes: Mapping[str, Dish]) -> set[str]:
    """Products that some dish (or noted alternative) takes."""
    return {
        option.product
        for dish in dishes.values()
        for use in (*dish.uses, *(u for instead in dish.instead for u in instead.uses))
        for option in use.options
    }


def what_to_expect(household: Household, history: History, day: date) -> dict[str, Expected]:
    """What standing use and an even share lead one to expect of each product, as of ``day``.

    The even share is that of what comes in over the years, where the book tells; else of what is there.
    """
    cooked = used_by_dishes(household.dishes)
    now = day == household.today
    out = {}
    for name, product in household.products.items():
        standing = stated_year(household, name)
        hand = float(shelf_of(household, name).to_use) if now else max(0.0, history.on_hand.get(name, 0.0))
        share = history.a_week_in.get(name) or even_share(product, hand, day, looking_back=not now)
        eaten = np.array([not product.eaten_in or m + 1 in product.eaten_in for m in range(12)], dtype=float)
        out[name] = _expected(product, standing * eaten, eaten, share, name in cooked)
    return out


def _expected(
    product: Product, standing: NDArray[np.float64], eaten: NDArray[np.float64], share: float, cooked: bool
) -> Expected:
    """Standing use, and what an even share leaves for the dishes; little where nothing takes it."""
    year_round = float(standing.sum()) / max(1.0, float(eaten.sum()))
    beside = max(0.0, share - year_round) if cooked else 0.0 if year_round else share / 4
    year = (standing + beside) * eaten
    weekly = float(year.sum()) / max(1.0, float((year > 0).sum()))
    # Standing use that changes with the months tells the year's shape; a steady one tells nothing of it.
    tells = bool(standing[eaten > 0].max(initial=0) > 1.001 * standing[eaten > 0].min(initial=np.inf))
    by_month = year / weekly if tells and weekly > 0 else eaten
    return Expected(product.family, weekly, tuple(float(x) for x in by_month), tells)


def even_share(product: Product, hand: float, day: date, looking_back: bool = False) -> float:
    """Containers a week of its season that bring what is in hand to its day, or a year on."""
    due = must_reach(product, day, looking_back) or day + timedelta(days=365)
    weeks = season_days(product, day, due) / 7
    return hand / max(weeks, 4.0)


def arrivals_ahead(household: Household, weeks: int) -> dict[str, NDArray[np.float64]]:
    """What comes in by week before the new crop, containers [weeks]; a new crop opens the next account."""
    out = {name: np.zeros(weeks) for name in household.products}
    for arrival in household.arrivals:
        week = (arrival.day - household.today).days // 7
        if (
            arrival.product in out
            and 0 <= week < weeks
            and not belongs_to_next_crop(household, arrival.product, arrival.day)
        ):
            out[arrival.product][week] += containers(household.products[arrival.product], arrival.amount)
    return out


def month_of_weeks(today: date, weeks: int) -> NDArray[np.int64]:
    """Month index 0-11 of the middle of each week ahead."""
    return np.array([(today + timedelta(days=7 * w + 3)).month - 1 for w in range(weeks)], dtype=np.int64)


def futures(
    household: Household,
    pace: BookPace,
    weeks: int = WEEKS_AHEAD,
    factor: NDArray[np.float64] | None = None,
    idle: Collection[str] = (),
) -> list[Future]:
    """One future for each product, in the household's order.

    factor: [weeks] more (or fewer) at table than usual. idle: products not to be used at all.
    """
    months = month_of_weeks(household.today, weeks)
    arriving = arrivals_ahead(household, weeks)
    scale = np.ones(weeks) if factor is None else factor
    out = []
    for name, product in household.products.items():
        rate = pace.rates.of[name]
        use = rate.weekly * np.array(rate.by_month)[months] * scale * (name not in idle)
        out.append(_future(household, pace, product, use, months, arriving[name]))
    return out


def _future(
    household: Household,
    pace: BookPace,
    product: Product,
    use: NDArray[np.float64],
    months: NDArray[np.int64],
    arriving: NDArray[np.float64],
) -> Future:
    rate, loss = pace.rates.of[product.name], pace.losses[product.name]
    due = its_day(household, product)
    deadline = None if due is None or due <= household.today else (due - household.today).days / 7
    season, month = pace.rates.season_drift, pace.rates.month_drift
    lose = np.array(loss.weekly)[months]
    return Future(
        product.name,
        float(shelf_of(household, product.name).to_use),
        use,
        months,
        arriving,
        np.zeros_like(lose) if product.kind in _ROLLING_KINDS else lose,
        grain=usable_grain(rate, use),
        rate_shape=1 / (season + 1 / rate.sure_goes),
        month_shape=1 / month if month > 0 else float("inf"),
        loss_grain=loss.go,
        loss_shape=loss.sure,
        deadline=deadline,
    )


def usable_grain(rate: Rate, use: NDArray[np.float64]) -> float:
    """The grain of use, no finer than the table of draws can follow."""
    most = float(use.max()) if use.size else 0.0
    return max(rate.grain, most / (MOST * _MIDDLE_OF_RANGE))
