"""The run-out table: every product's futures, summed up as a row with its mark and advice."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, timedelta
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from pantrymeals.forecast.forecast import (
    WEEKS_AHEAD,
    Outlook,
    futures,
    gather,
    month_of_weeks,
)
from pantrymeals.forecast.marks import (
    Facts,
    Thresholds,
    mark_of,
    put_up_span,
    reason,
    states_of,
)
from pantrymeals.forecast.rationing import eat_down, ration
from pantrymeals.forecast.simulate import Future, Outcome, simulate
from pantrymeals.larder.must_reach import must_reach
from pantrymeals.plans.menu import Mark, MenuPlan
from pantrymeals.plans.outlook import Forecast, ForecastRow, ThreeRates
from pantrymeals.records import Household, Movement, Product

PATHS = 2000


def foresee(
    household: Household,
    book: Sequence[Movement],
    plan: MenuPlan | None = None,
    *,
    limits: Thresholds | None = None,
    paths: int = PATHS,
    seed: int = 1,
    factor: NDArray[np.float64] | None = None,
    idle: Collection[str] = (),
    also: Collection[str] = (),
) -> Forecast:
    """Run-out of every product that is, or could be, on a shelf.

    plan: its draws count while it runs. factor: [104 weeks] more or fewer at table than usual.
    idle: products not to be used. also: products to show though none is there. The same seed gives
    the same table.
    """
    outlook = gather(household, book, plan)
    limits = limits or Thresholds()
    rows = []
    for future in futures(outlook, WEEKS_AHEAD, factor, idle):
        if future.name in also or _is_there(outlook, future.name):
            outcome = simulate(future, paths, seed)
            rows.append(_row(outlook, future, outcome, limits))
    return Forecast(
        household.name,
        household.today,
        tuple(rows),
        paths,
        seed,
        outlook.history.weeks,
        sqrt(outlook.rates.season_wander),
        _notes(outlook),
    )


def _is_there(outlook: Outlook, name: str) -> bool:
    shelf = outlook.shelves[name]
    return shelf.on_hand + shelf.part + shelf.elsewhere > 0


def _notes(outlook: Outlook) -> tuple[str, ...]:
    if outlook.history.weeks == 0:
        return ("The book is empty: paces are what you state, or an even share of what is there.",)
    notes = []
    if outlook.history.weeks < 26:
        notes.append(f"The book holds only {outlook.history.weeks} weeks: much rests on what you state.")
    present = outlook.rates.present
    if present != 1:
        notes.append(
            f"In the last six weeks the table went through its shelves at {present:.1f} times the pace "
            "that the book led one to expect; that pace is taken to go on."
        )
    return tuple(notes)


def _row(outlook: Outlook, future: Future, outcome: Outcome, limits: Thresholds) -> ForecastRow:
    product, shelf = outlook.household.products[future.name], outlook.shelves[future.name]
    facts = _facts(outlook, future, outcome)
    today = outlook.household.today
    mark = mark_of(product, facts, today, limits)
    early, middle, late = _three(outcome.out)
    low, left, high = _three(outcome.left)
    return ForecastRow(
        product=product.name,
        size=product.sizes[0].name,
        on_hand=shelf.on_hand,
        reserve=shelf.reserve,
        part=shelf.part,
        elsewhere=shelf.elsewhere,
        rates=rates_to_its_day(outlook, product),
        out=_day(today, middle),
        out_early=_day(today, early),
        out_late=_day(today, late),
        must_last_to=facts.due,
        deadline_kind=product.deadline_kind,
        chance=facts.chance,
        gap_weeks=facts.gap_weeks,
        left=left,
        left_low=low,
        left_high=high,
        cover_weeks=None if middle == float("inf") else middle,
        mark=mark,
        reason=reason(mark, product, facts, today),
        advice=_advice(mark, product, facts, today),
    )


def _facts(outlook: Outlook, future: Future, outcome: Outcome) -> Facts:
    household, shelf = outlook.household, outlook.shelves[future.name]
    history = outlook.history
    used = history.used[history.names.index(future.name), -52:].sum() if history.weeks >= 52 else None
    newest, oldest = put_up_span(household.lots, future.name)
    due = must_reach(household.products[future.name], household.today)
    middle = _three(outcome.out)[1]
    rate = outlook.rates.of[future.name]
    return Facts(
        to_use=shelf.to_use,
        on_hand=shelf.on_hand,
        chance=None if future.deadline is None else float(outcome.met.mean()),
        left=_three(outcome.left)[1],
        gap_weeks=float(outcome.gap.mean()) if future.deadline is not None else 0.0,
        out=_day(household.today, middle),
        due=due,
        cover_weeks=middle,
        used_last_year=None if used is None else float(used),
        newest=newest,
        oldest=oldest,
        states=states_of(household, future.name),
        guessed=rate.goes < 0.5 and not outlook.stated[future.name].any(),
        rolling=future.deadline is None and int((future.arrivals[:8] > 0).sum()) >= 4,
    )


def _advice(mark: Mark, product: Product, facts: Facts, today: date) -> str:
    if mark in ("short", "tight") and facts.due is not None:
        return ration(product, facts.to_use, today, facts.due)
    if mark in ("glut", "eat first") and facts.to_use > 0:
        return eat_down(product, facts.to_use, today, facts.due)
    return ""


def _three(values: NDArray[np.float32]) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points, each one of the values."""
    at = [int(q * (len(values) - 1)) for q in (0.1, 0.5, 0.9)]
    parted = np.partition(values, at)
    return float(parted[at[0]]), float(parted[at[1]]), float(parted[at[2]])


def _day(today: date, weeks: float) -> date | None:
    return None if weeks == float("inf") else today + timedelta(days=int(7 * weeks))


def rates_to_its_day(outlook: Outlook, product: Product) -> ThreeRates:
    """The three rates, each as its mean from today to the product's day (or over a year)."""
    today, name = outlook.household.today, product.name
    due = must_reach(product, today)
    weeks = max(1, round((due - today).days / 7)) if due else 52
    months = month_of_weeks(today, weeks)
    stated = outlook.stated[name]
    rate = outlook.rates.of[name]
    return ThreeRates(
        planned=outlook.planned.get(name),
        book=float((rate.weekly * np.array(rate.by_month)[months]).mean()) if outlook.history.weeks else None,
        stated=float(stated[months].mean()) if stated.any() else None,
    )
