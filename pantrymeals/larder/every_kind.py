"""How much of every kind of a thing a table eats in a year, as its book tells."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from fractions import Fraction

from pantrymeals.larder.book_history import Lines, total, years_of
from pantrymeals.larder.on_hand import in_lots
from pantrymeals.larder.supply import stands
from pantrymeals.plans.evening import WEEKS_IN_A_YEAR, EatenByKind, KindEaten
from pantrymeals.records import Household, Measures
from pantrymeals.units import UNITS, Measure

_SHOWN_IN: dict[Measures, dict[Measure, str]] = {
    "us": {"ml": "qt", "g": "lb", "each": "each"},
    "metric": {"ml": "l", "g": "kg", "each": "each"},
}
_MOST_YEARS = 2


def eaten_by_kind(household: Household, lines: Lines, weeks: int, said: str, names: Iterable[str]) -> EatenByKind:
    """What was used of these products in the last 52 weeks and in the last full book years, most used first.

    What is neither used nor there is left out. weeks: that the book tells of; where it tells none, what standing use
    states for a year.
    """
    since = household.today - timedelta(weeks=WEEKS_IN_A_YEAR)
    opened = min((own[0].day for own in lines.values() if own), default=household.today)
    sums: dict[Measure, Fraction] = {}
    kinds, years = [], set[int]()
    for name in names:
        product, own = household.products[name], lines.get(name, ())
        told = years_of(name, own, opened, household.today, household.year_opens) if own else ()
        by_year = {year.year: year.used for year in told if year.full}
        used = -total((x for x in own if since <= x.day <= household.today), "used")
        if not weeks:
            used = (
                sum(stands(household, name).by_month(), Fraction(0)) / product.sizes[0].content * WEEKS_IN_A_YEAR / 12
            )
        on_hand = product.containers(in_lots(household, name))
        if not (used or on_hand or any(by_year.values())):
            continue
        years |= set(by_year)
        sums[product.measure] = sums.get(product.measure, Fraction(0)) + used * product.sizes[0].content
        kinds.append(KindEaten(product, used, by_year, on_hand))
    kinds.sort(key=lambda k: (-k.used * k.product.sizes[0].content, k.product.name))
    units = _SHOWN_IN[household.measures]
    totals = tuple((base / UNITS[units[measure]][1], units[measure]) for measure, base in sums.items() if base)
    return EatenByKind(
        said, weeks, tuple(sorted(years, reverse=True))[:_MOST_YEARS], tuple(kinds), totals, household.year_opens
    )
