"""How long the whole larder feeds this household, and which products end it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import inf
from typing import Any

import numpy as np
from msgspec import Struct

from pantrymeals.forecast.ready_dishes import not_for
from pantrymeals.forecast.shelf import belongs_to_next_crop
from pantrymeals.jar_doubts import why_untested
from pantrymeals.larder.nutrition import Food, NeedTable, held_in, household_need
from pantrymeals.larder.on_hand import usable
from pantrymeals.larder.supply import stands
from pantrymeals.larder.table import occasions_on, tables
from pantrymeals.plans.outlook import LarderCover, Limiting
from pantrymeals.records import Dish, Household, Option
from pantrymeals.solving.solvers import quiet_highs

MOST_DAYS = 730
FIVE = 5


def larder_cover(
    household: Household, foods: Mapping[str, Food], needs: NeedTable, banned: Collection[str] = ()
) -> LarderCover:
    """Days of full meals, of energy and of protein, and the five products that limit the meals.

    Full meals: the most days on which every role of every meal has enough portions of some dish, from
    the shelf, part jars and what comes in until then (no new crop, order or batch), after standing use.
    Dishes may repeat; seasons and thawing are not reckoned: it is an upper bound. banned: dishes and
    products left out.
    """
    there = {n: a for n, a in usable(household, household.today).items() if a > 0 and household.products[n].on_menus}
    stored, unknown = held_in(household, there, foods)
    need = household_need(household, household.today, needs)
    nothing_known = bool(there) and len(unknown) == len(there)
    days, limiting = meal_days(household, banned)
    return LarderCover(
        household.today,
        days,
        None if nothing_known else _days_of(household, stored.kcal, need.kcal),
        None if nothing_known else _days_of(household, stored.protein_g, need.protein_g),
        stored.kcal,
        need.kcal,
        need.protein_g,
        limiting,
        len(there) - len(unknown),
        unknown,
        _unfilled(portions_wanted(household, 7)[7], _ways(household, banned)),
    )


def _unfilled(wanted: Iterable[str], ways: Sequence[_Way]) -> tuple[str, ...]:
    """Roles of a week's meals that no dish fills, whatever is on the shelf."""
    return tuple(role for role in wanted if not any(role in way.roles for way in ways))


def _days_of(household: Household, stored: float, need_a_day: float) -> float | None:
    """Days until ``stored`` is eaten; guests eat as a portion of the household does. None: nobody needs any."""
    if need_a_day <= 0:
        return None
    portions = float(sum((p.portion for p in household.people), Fraction(0))) or 1.0
    left, day = stored, household.today
    for number in range(10 * MOST_DAYS):
        need = need_a_day * (1 + guests_on(household, day) / portions)
        if left < need:
            return number + left / need
        left -= need
        day += timedelta(days=1)
    return float(10 * MOST_DAYS)


def guests_on(household: Household, day: date) -> float:
    """Extra portions at all three meals on a day (those at one meal count a third)."""
    return sum(float(o.guests) * len(o.meals) / 3 for o in occasions_on(household, day))


def portions_wanted(household: Household, days: int) -> list[dict[str, float]]:
    """Portions of each role over the first 0, 1, 2 … days from today, whoever is at table."""
    laid = iter(tables(household, household.today, days))
    table = next(laid, None)
    wanted: dict[str, float] = {}
    out: list[dict[str, float]] = [{}]
    for number in range(days):
        while table is not None and table.day <= household.today + timedelta(days=number):
            for role in table.roles:
                wanted[role] = wanted.get(role, 0.0) + float(table.portions)
            table = next(laid, None)
        out.append(dict(wanted))
    return out


class _Way(Struct, frozen=True):
    """A way to cook a dish, with a choice of its options: what a batch takes (base measure) and feeds."""

    roles: frozenset[str]
    serves: float
    takes: Mapping[str, float]


def meal_days(household: Household, banned: Collection[str] = ()) -> tuple[float | None, tuple[Limiting, ...]]:
    """The most days of full meals and what limits them; None where no meals or dishes are written down, or some
    role has no dish.

    Found by halving: for a number of days, the largest share of all portions that the shelf can serve is a
    linear programme; the larder covers those days while that share is 1 or more.
    """
    ways, wanted = _ways(household, banned), portions_wanted(household, MOST_DAYS)
    if not ways or not wanted[7] or _unfilled(wanted[7], ways):
        return None, ()

    def served(days: int) -> _Served:
        return _served(ways, wanted[days], _supply(household, days))

    if served(MOST_DAYS)[0] >= 1:
        return float(MOST_DAYS), ()
    days = bisect_left(range(1, MOST_DAYS), True, key=lambda d: served(d)[0] < 1 - 1e-9)
    return float(days), _limiting(household, served(days + 1), days + 1)


def _ways(household: Household, banned: Collection[str]) -> list[_Way]:
    out = []
    for dish in household.dishes.values():
        if dish.name in banned or dish.only_for or dish.needs_left is not None:
            continue
        for options in _choices(household, dish, banned):
            if not_for(household, dish, options):
                continue
            taken: dict[str, float] = {}
            for option in options:
                taken[option.product] = taken.get(option.product, 0.0) + float(option.amount)
            out.append(_Way(frozenset({dish.role, *dish.covers}), float(dish.serves), taken))
    return out


def _choices(household: Household, dish: Dish, banned: Collection[str]) -> list[tuple[Option, ...]]:
    """Each use's options, one varied at a time from the first of each: enough ways, and few."""
    allowed = [
        [o for o in use.options if household.products[o.product].on_menus and o.product not in banned]
        for use in dish.uses
    ]
    if any(not options for options in allowed):
        return []
    first = tuple(options[0] for options in allowed)
    out = [first]
    for at, options in enumerate(allowed):
        out += [(*first[:at], other, *first[at + 1 :]) for other in options[1:]]
    return out


def _supply(household: Household, days: int) -> dict[str, float]:
    """What there is to cook with over the days (base measure): shelf and arrivals, less standing use."""
    there = {name: float(amount) for name, amount in usable(household, household.today).items()}
    last = household.today + timedelta(days=days)
    for arrival in household.arrivals:
        later = belongs_to_next_crop(household, arrival.product, arrival.day)
        if household.today <= arrival.day < last and not later:
            there[arrival.product] += float(arrival.amount)
    for name in household.products:
        there[name] = max(0.0, there[name] - float(stands(household, name).between(household.today, last)))
    return there


_Served = tuple[float, dict[str, float], dict[str, float]]


def _served(ways: list[_Way], wanted: Mapping[str, float], supply: dict[str, float]) -> _Served:
    """The largest share of all portions wanted that is served of a supply; what a base unit more of each product adds
    to it; and the supply. A linear programme, solved by HiGHS."""
    highs = quiet_highs()
    share = highs.addVariable(lb=0, ub=10, obj=-1)
    feeds: dict[str, list[tuple[int, float]]] = {}
    takes: dict[str, list[tuple[int, float]]] = {}
    for column, way in enumerate(ways, 1):
        highs.addVariable(lb=0)
        for role in way.roles:
            feeds.setdefault(role, []).append((column, way.serves))
        for name, amount in way.takes.items():
            takes.setdefault(name, []).append((column, amount))
    for role, portions in wanted.items():
        if role not in feeds:
            return 0.0, {}, supply
        _row(highs, [(0, -portions), *feeds[role]], 0, inf)
    limited = [name for name in supply if name in takes]
    for name in limited:
        _row(highs, takes[name], -inf, supply[name])
    highs.run()
    duals = np.asarray(highs.getSolution().row_dual)[len(wanted) :]
    return highs.val(share), {n: abs(float(d)) for n, d in zip(limited, duals, strict=True)}, supply


def _row(highs: Any, terms: Sequence[tuple[int, float]], low: float, high: float) -> None:
    """A sum over columns that stays between two numbers; written straight, for sums of expressions take long."""
    columns, each = zip(*terms, strict=True)
    highs.addRow(low, high, len(terms), np.array(columns, dtype=np.int32), np.array(each))


def _limiting(household: Household, served: _Served, days: int) -> tuple[Limiting, ...]:
    """The five products of which all that there is (or comes) would add most days if there were more.

    More of what no process is tested for is nothing to wish for.
    """
    _, worth, supply = served
    wished = (n for n in worth if worth[n] > 1e-12 and not why_untested(household.products[n]))
    ranked = sorted(((worth[n] * supply[n], n) for n in wished), reverse=True)
    there = usable(household, household.today)
    out = []
    for _, name in ranked[:FIVE]:
        product = household.products[name]
        content = float(product.sizes[0].content)
        size = product.sizes[0].name
        out.append(Limiting(name, size, float(there[name]) / content, worth[name] * content * days))
    return tuple(out)
