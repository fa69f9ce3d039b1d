"""Ranges, jars and weeks of the season as a cook would say them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.plans.season import FittedSeason, LimitUse, OneMore, PutUpList
from pantrymeals.plans.span import SpanOf
from pantrymeals.reports.words import sized
from pantrymeals.units import KILOS_A_POUND, LITRES_A_QUART, METRES_A_FOOT, as_words, unit_named, weighed
from pantrymeals.words import listed, many, plural, short_date


def number(value: Fraction) -> str:
    """Whole above ten, halves below it, quarters below one (never less than a quarter of something)."""
    if value >= 10:
        return str(round(value))
    if 0 < value < 1:
        return as_words(Fraction(max(1, round(value * 4)), 4))
    return _halves(value)


def _halves(value: Fraction) -> str:
    """By halves, however much: ten hours and a half are neither ten nor eleven."""
    return as_words(Fraction(round(value * 2), 2))


_IN_METRIC = {"lb": ("kg", KILOS_A_POUND), "ft of row": ("m of row", METRES_A_FOOT)}
"""Units of field and garden as a metric household has them."""
_IN_US = {"litres": ("quarts", 1 / LITRES_A_QUART), "metres": ("feet", 1 / METRES_A_FOOT)}
"""Units of freezer and shelf as a household with quarts and feet has them."""


def limit_words(use: LimitUse, *, metric: bool) -> str:
    """'9 1/2 of 66 lb', '4 of 30 kg'."""
    unit, factor = (_IN_METRIC if metric else _IN_US).get(use.unit, (use.unit, Fraction(1)))
    return f"{number(use.taken * factor)} of {number(use.have * factor)} {unit}"


def range_words(span: SpanOf | None, *, metric: bool = False) -> str:
    """'212 to 242 lb', '96 to 110 kg', '4 to 4 1/2 bushels'; '' for none. From memory: marked with a star."""
    if span is None:
        return ""
    if metric and span.unit in _IN_METRIC:
        unit, factor = _IN_METRIC[span.unit]
        span = replace(span, low=span.low * factor, high=span.high * factor, unit=unit)
    low, high = number(span.low), number(span.high)
    unit = span.unit if high in {"1", "1/4", "1/2", "3/4"} or unit_named(span.unit) else many(span.unit)
    star = "*" if span.from_memory else ""
    return f"{low} {unit}{star}" if low == high else f"{low} to {high} {unit}{star}"


def weight_words(lb: Fraction, *, metric: bool = False) -> str:
    """'60 lb'; '27 kg'."""
    amount, unit = weighed(lb, metric)
    return f"{number(amount)} {unit}"


def jar_count(count: int | Fraction, size: str) -> str:
    """'77 qt', '12 x qt bag', '3 pieces'."""
    return sized(Fraction(count), size)


def week_words(monday: date) -> str:
    """'20-26 Jul', '27 Jul-2 Aug'."""
    last = monday + timedelta(days=6)
    if last.month == monday.month:
        return f"{monday.day}-{short_date(last)}"
    return f"{short_date(monday)}-{short_date(last)}"


def window_words(first: date, last: date) -> str:
    """'20 Aug-15 Sep'."""
    return f"{short_date(first)}-{short_date(last)}"


def percent(share: float) -> str:
    """'33 %'."""
    return f"{round(share * 100)} %"


def gain_words(item: OneMore) -> str:
    """'12 hp Damson jam more, for 7 qt Applesauce less.'."""
    more = [f"{jar_count(n, size)} {product}" for product, size, n in item.jars if n > 0]
    less = [f"{jar_count(-n, size)} {product}" for product, size, n in item.jars if n < 0]
    words = listed(more) + " more" if more else "a better choice"
    if less:
        words += f", for {listed(less)} less"
    return words + ("." if item.proven else " (not proven).")


class Week(Struct, frozen=True):
    """A week of putting up: '20-26 Jul', '12 of 20' hours ('' where it takes none), what on which day, and counts."""

    monday: date
    name: str
    hours: str
    days: tuple[tuple[date, tuple[str, ...]], ...]
    counts: Mapping[tuple[str, str], int]


def weeks_of(wanted: PutUpList, fitted: FittedSeason) -> tuple[Week, ...]:
    """The weeks in which something is put up in the kitchen."""
    by_name = {line.product: line for line in wanted.lines}
    weeks: Mapping[date, dict[date, list[str]]] = defaultdict(lambda: defaultdict(list))
    counts: Mapping[date, dict[tuple[str, str], int]] = defaultdict(lambda: defaultdict(int))
    for item in sorted(fitted.days, key=lambda item: (item.day, item.product)):
        line = by_name[item.product]
        if not line.in_kitchen:
            continue
        loads = f" ({plural(item.loads, 'load')})" if line.way == "canner" else ""
        said = f"{item.product} {jar_count(item.loads * line.load, line.size)}{loads}"
        monday = item.day - timedelta(days=item.day.weekday())
        weeks[monday][item.day].append(said)
        counts[monday][line.product, line.size] += item.loads * line.load
    found, year = [], wanted.today.year
    for monday in sorted(weeks):
        taken, have = fitted.hours_by_week.get(monday, (Fraction(0), Fraction(0)))
        hours = f"{_halves(taken)} of {_halves(have)}" if taken else ""
        days = tuple((day, tuple(what)) for day, what in sorted(weeks[monday].items()))
        name = week_words(monday) + (f" {monday.year}" if monday.year != year else "")
        year = monday.year
        found.append(Week(monday, name, hours, days, counts[monday]))
    return tuple(found)
