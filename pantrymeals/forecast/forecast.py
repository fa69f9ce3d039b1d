"""From a household and its book to the futures that are simulated."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.forecast.draws import MOST
from pantrymeals.forecast.fitting import Expected
from pantrymeals.forecast.history import History, containers, read_history
from pantrymeals.forecast.losses import Loss, learn_losses
from pantrymeals.forecast.rates import Rate, Rates, learn
from pantrymeals.forecast.shelf import belongs_to_next_crop, shelf_of
from pantrymeals.forecast.simulate import Future
from pantrymeals.forecast.sitters import is_sitter, put_up_here
from pantrymeals.larder.at_table import AtTable
from pantrymeals.larder.book_history import book_years, lines_of
from pantrymeals.larder.must_reach import its_day, must_reach, season_days
from pantrymeals.larder.supply import stands
from pantrymeals.records import Dish, Household, Movement, Product

if TYPE_CHECKING:
    from pantrymeals.plans.book import BookYear
    from pantrymeals.plans.menu import MenuPlan

WEEKS_AHEAD = 104
LEAST_BOOK_WEEKS = 8
"""A book of fewer weeks tells no pace."""
YOUNG_WEEKS = 52
"""In a book of fewer weeks what the dishes would take stands in for what comes in over the years."""
LEAST_GOES = 0.5
"""Fewer goes than this (the older ones count less) are no word of the book's."""
_ROLLING_KINDS = frozenset({"fridge"})
_MIDDLE_OF_RANGE = 0.6
"""Headroom under the table of draws: a week's mean is at most this share of what it holds."""


class BookPace(Struct, frozen=True):
    """How this table has been eating, learnt once from its book; it serves the household of later days too.

    years: the running book year by product. ours: what is, or was, put up here. told_by: what each product's pace
    rests on, in words; () where nothing speaks of it.
    """

    history: History
    rates: Rates
    losses: Mapping[str, Loss]
    years: Mapping[str, BookYear]
    ours: frozenset[str]
    told_by: Mapping[str, tuple[str, ...]]

    @property
    def old_enough(self) -> bool:
        """Whether the book tells a pace at all."""
        return self.history.weeks >= LEAST_BOOK_WEEKS

    @property
    def young(self) -> bool:
        """Whether other signs stand beside the book."""
        return self.history.weeks < YOUNG_WEEKS

    def speaks_of(self, name: str) -> bool:
        """Whether there is a pace of its own to draw by: standing use alone is walked down without chance."""
        return self.told_by[name] not in ((), ("standing use",))

    def sits(self, household: Household, name: str) -> bool:
        """Whether a product is a sitter."""
        return is_sitter(household, self.years.get(name), self.ours)


def learn_paces(household: Household, book: Iterable[Movement], at_table: AtTable | None = None) -> BookPace:
    """Read the book as weeks, and learn rates and losses from it; the years beside it are the household's own.

    at_table: what dishes and published plans would take; asked only of a young book.
    """
    lines = lines_of(household.products, book)
    history = read_history(household.products, lines, household.today)
    signs = without_a_book(household, at_table or AtTable(household)) if history.weeks < YOUNG_WEEKS else {}
    rates = learn(history, what_to_expect(household, history, household.today, signs))
    if signs:
        rates = replace(rates, of=_with_written_years(household, rates.of))
    return BookPace(
        history,
        rates,
        learn_losses(history, household.products),
        {year.product: year for year in book_years(household, lines) if not year.full},
        put_up_here(household),
        {name: _told_by(history.weeks, rates.of[name], signs.get(name)) for name in household.products},
    )


class Sign(Struct, frozen=True):
    """What is known of a product's use without a book: containers a year beside standing use, and who says so."""

    a_year: float = 0.0
    told_by: tuple[str, ...] = ()


def without_a_book(household: Household, at_table: AtTable) -> dict[str, Sign]:
    """What the household's words, its dishes and published plans say of each product, none of it of stock."""
    taken, planned = at_table.dishes, at_table.plans
    own: dict[str, list[float]] = {}
    for year in household.season.years:
        if year.used is not None:
            own.setdefault(year.product, []).append(float(year.used))
    out = {}
    for name, product in household.products.items():
        said = ("standing use",) if stands(household, name) else ()
        if name in own:
            by_standing = float(stated_year(household, name).sum()) * 52 / 12
            out[name] = Sign(max(0.0, sum(own[name]) / len(own[name]) - by_standing), ("your own years",))
        elif taken.get(name):
            out[name] = Sign(containers(product, taken[name]), (*said, "your dishes"))
        elif planned.get(name):
            out[name] = Sign(containers(product, planned[name]), (*said, "a published plan"))
        else:
            out[name] = Sign(0.0, said)
    return out


def _with_written_years(household: Household, rates: Mapping[str, Rate]) -> dict[str, Rate]:
    """A young book's rates, as sure as the years that the household wrote down beside it make them."""
    out = dict(rates)
    for name in {year.product for year in household.season.years} & rates.keys():
        used = [float(y.used) for y in household.season.years if y.product == name]
        weeks = 52 / 12 * len(household.products[name].eaten_in or range(12)) * len(used)
        out[name] = _seen(rates[name], sum(used), weeks)
    return out


def _seen(rate: Rate, used: float, weeks: float) -> Rate:
    """The rate once so many containers went in so many weeks more: a Gamma rate and Poisson goes."""
    mean = rate.weekly or used / max(weeks, 4.0)
    sure = rate.sure_goes + used / rate.grain
    return replace(rate, weekly=mean * sure / (rate.sure_goes + mean * weeks / rate.grain), sure_goes=sure)


def _told_by(weeks: int, rate: Rate, sign: Sign | None) -> tuple[str, ...]:
    book = ("the book",) if sign is None or (weeks and rate.goes >= LEAST_GOES) else ()
    return book + (() if sign is None else sign.told_by)


def with_menus(pace: BookPace, plan: MenuPlan, household: Household) -> BookPace:
    """A young book's pace, moved by what announced menus draw on their days as weeks of the book would move it."""
    weeks = plan.days / 7
    if not plan.meals:
        return pace
    rates, told_by = dict(pace.rates.of), dict(pace.told_by)
    drawn: dict[str, Fraction] = {}
    for use in (use for meal in plan.meals for dish in meal.dishes for use in dish.uses):
        drawn[use.product] = drawn.get(use.product, Fraction(0)) + use.amount
    for name, rate in pace.rates.of.items():
        took = containers(household.products[name], drawn.get(name, Fraction(0)))
        standing = float(stated_year(household, name)[household.today.month - 1])
        if not took and not rate.weekly:
            continue
        rates[name] = _seen(rate, took + standing * weeks, weeks)
        if took:
            told_by[name] = (*(w for w in told_by[name] if w == "the book"), "the menus",
                             *(w for w in told_by[name] if w != "the book"))  # fmt: skip
    return replace(pace, rates=replace(pace.rates, of=rates), told_by=told_by)


def stated_year(household: Household, name: str) -> NDArray[np.float64]:
    """Standing use by month [12], containers a week; what goes on some days of it alone as its mean."""
    product = household.products[name]
    return np.array([containers(product, amount) for amount in stands(household, name).by_month()])


def used_by_dishes(dishes: Mapping[str, Dish]) -> set[str]:
    """Products that some dish (or noted alternative) takes."""
    return {
        option.product
        for dish in dishes.values()
        for use in (*dish.uses, *(u for instead in dish.instead for u in instead.uses))
        for option in use.options
    }


def what_to_expect(
    household: Household, history: History, day: date, signs: Mapping[str, Sign] | None = None
) -> dict[str, Expected]:
    """What standing use and an even share lead one to expect of each product, as of ``day``.

    The even share is that of what comes in over the years, where the book tells; else of what is there. signs: of a
    young book, which take the place of the even share: how much stands there says nothing of how much is eaten.
    """
    cooked = used_by_dishes(household.dishes)
    now = day == household.today
    out = {}
    for name, product in household.products.items():
        standing = stated_year(household, name)
        eaten = np.array([not product.eaten_in or m + 1 in product.eaten_in for m in range(12)], dtype=float)
        if signs:
            beside = signs[name].a_year / 52 * 12 / max(1.0, float(eaten.sum()))
            out[name] = _expected(product, standing * eaten, eaten, beside)
            continue
        hand = float(shelf_of(household, name).to_use) if now else max(0.0, history.on_hand.get(name, 0.0))
        share = history.a_week_in.get(name) or even_share(product, hand, day, looking_back=not now)
        # An even share leaves for the dishes what standing use does not take; little where nothing takes it.
        year_round = float((standing * eaten).sum()) / max(1.0, float(eaten.sum()))
        beside = max(0.0, share - year_round) if name in cooked else 0.0 if year_round else share / 4
        out[name] = _expected(product, standing * eaten, eaten, beside)
    return out


def _expected(product: Product, standing: NDArray[np.float64], eaten: NDArray[np.float64], beside: float) -> Expected:
    """Standing use, and containers a week beside it in the months in which it is eaten."""
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


def arrivals_ahead(
    household: Household, weeks: int, names: Collection[str] | None = None
) -> dict[str, NDArray[np.float64]]:
    """What comes in by week before the new crop, containers [weeks]; a new crop opens the next account."""
    out = {name: np.zeros(weeks) for name in household.products if names is None or name in names}
    for arrival in household.arrivals:
        if arrival.product not in out:
            continue
        week = (arrival.day - household.today).days // 7
        if 0 <= week < weeks and not belongs_to_next_crop(household, arrival.product, arrival.day):
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
    names: Collection[str] | None = None,
) -> list[Future]:
    """One future for each product, in the household's order.

    factor: [weeks] more (or fewer) at table than usual. idle: products not to be used at all. names: of these alone.
    """
    months = month_of_weeks(household.today, weeks)
    arriving = arrivals_ahead(household, weeks, names)
    scale = np.ones(weeks) if factor is None else factor
    out = []
    for name, product in household.products.items():
        if names is not None and name not in names:
            continue
        rate = pace.rates.of[name]
        use = rate.ahead(months) * scale * (name not in idle)
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
    month = pace.rates.month_drift
    lose = np.array(loss.weekly)[months]
    return Future(
        product.name,
        float(shelf_of(household, product.name).to_use),
        use,
        months,
        arriving,
        np.zeros_like(lose) if product.kind in _ROLLING_KINDS else lose,
        grain=usable_grain(rate, use),
        rate_shape=rate.sure_goes,
        faster=pace.rates.faster,
        slower=pace.rates.slower,
        moving=rate.moving,
        whole=product.whole,
        month_unsure=rate.month_unsure,
        month_shape=1 / month if month > 0 else float("inf"),
        loss_grain=loss.go,
        loss_shape=loss.sure,
        deadline=deadline,
    )


def usable_grain(rate: Rate, use: NDArray[np.float64]) -> float:
    """The grain of use, no finer than the table of draws can follow."""
    most = float(use.max()) if use.size else 0.0
    return max(rate.grain, most / (MOST * _MIDDLE_OF_RANGE))
