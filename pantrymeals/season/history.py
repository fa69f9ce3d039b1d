"""The need that speaks from book years, and what else the book's lines tell of the season.

Need rests on full book years where there are any: a part year says how the winter went, not how the year will.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction
from math import sqrt

from pantrymeals.larder.book_history import CAME_IN, Entry
from pantrymeals.plans.book import BookYear
from pantrymeals.plans.season import Basis, Need
from pantrymeals.records import USED_REASONS

LEAST_WEEKS = 8
"""A part year of fewer weeks than this says too little to plan by."""

USUAL_SPREAD = 0.15
LEAST_SPREAD = 0.05
"""Spread of a year's use (standard deviation over mean) where the book has no two full years of
anything; and the least we believe in. Common practice, no published source."""


def weeks_on_shelf(lines: Sequence[Entry], first: date, last: date) -> float:
    """Weeks in [first, last) on which any of a product stood on the shelf, by its lines."""
    stock = sum((line.amount for line in lines if line.day < first), Fraction(0))
    day, days = first, 0
    for line in (line for line in lines if first <= line.day < last):
        if stock > 0:
            days += (line.day - day).days
        day, stock = line.day, stock + line.amount
    if stock > 0:
        days += (last - day).days
    return days / 7


LATE_DAYS = 300


def late_opened(lines: Sequence[Entry]) -> float | None:
    """Of the jars used of a product, the share opened ten months or more after their lot came in.

    Only lots whose coming in stands in the book count; None where fewer than five such jars were used.
    """
    came: dict[int, date] = {}
    late = used = Fraction(0)
    for line in lines:
        if line.amount > 0 and line.reason in CAME_IN:
            came.setdefault(line.lot, line.day)
        begun = came.get(line.lot)
        if line.reason in USED_REASONS and line.lot and begun is not None:
            used -= line.amount
            if (line.day - begun).days >= LATE_DAYS:
                late -= line.amount
    return float(late / used) if used >= 5 else None


def pooled_spread(years: Iterable[BookYear]) -> float:
    """Spread of a year's use as a share of its mean, pooled over every product with two full years.

    The root of the mean squared coefficient of variation, each product weighted by its degrees of
    freedom; so that two years of one jam do not pass for knowledge of its spread.
    """
    used: dict[str, list[float]] = {}
    for year in years:
        if year.full:
            used.setdefault(year.product, []).append(float(year.used))
    squares, freedom = 0.0, 0
    for amounts in used.values():
        mean = sum(amounts) / len(amounts)
        if len(amounts) < 2 or mean < 4:  # a handful of jars varies by counting alone
            continue
        squares += sum((a - mean) ** 2 for a in amounts) / mean**2
        freedom += len(amounts) - 1
    if not freedom:
        return USUAL_SPREAD
    return max(LEAST_SPREAD, sqrt(squares / freedom))


def need_from_history(
    years: Sequence[BookYear],
    spread: float,
    part_year: Fraction | None = None,
    standing: Fraction | None = None,
    servings: Fraction | None = None,
    dishes: Fraction | None = None,
    book_weeks: float = 0.0,
    published: Fraction | None = None,
) -> Need:
    """What one product's table uses in a year (containers), by the best sign there is.

    years: that product's book years. Takes the last three full book years. Failing those, what is known without a book
    (standing use with what the dishes would take, the servings wished for, the dishes alone, a published plan) and this
    part year scaled to a whole one, the first yielding to the second as the weeks in which the book shows it
    (book_weeks) grow. A running year that outgrows every full one is weighed with the last of them; a lower one is not,
    since a short shelf looks like a small appetite. What went as gifts or by barter in those years is needed too, from
    one jar in twenty on.
    """
    last = [y for y in sorted(years, key=lambda y: y.year) if y.full][-3:]
    full = [y.used for y in last]
    if not full:
        prior, basis = _without_a_book(standing, servings, dishes, published)
        if part_year is None:
            return Need(prior, basis, spread, note=_TOO_YOUNG if prior else "")
        if not prior:
            return Need(part_year, "this book year", spread)
        return _blended(prior, basis, part_year, book_weeks, spread)
    mean = sum(full, Fraction(0)) / len(full)
    given = sum((y.given for y in last), Fraction(0)) / len(last)
    if given < mean * GIFTS_COUNT:
        given = Fraction(0)
    if part_year is None or part_year <= max(full):
        return Need(mean + given, "full book years", spread, tuple(full), _ran_out(years), given)
    much = part_year >= max(full) * Fraction(5, 4)
    note = f"this year it goes faster: about {round(part_year)} at the present rate" if much else ""
    return Need(max(mean, (full[-1] + part_year) / 2) + given, "full book years", spread, tuple(full), note, given)


GIFTS_COUNT = Fraction(1, 20)
"""A jar given now and then, less than this part of what is eaten, is left to the reserve: years differ by more."""
PRIOR_GOES = 2
"""How many containers' worth of use what is known without a book weighs: as the forecast's own ratios, where too few
products tell how alike they are (Gamma shape 2)."""
_TOO_YOUNG = "the book is too young to tell of it"


def _without_a_book(
    standing: Fraction | None, servings: Fraction | None, dishes: Fraction | None, published: Fraction | None
) -> tuple[Fraction, Basis]:
    """Containers a year that the household's own words lead one to expect, and which words; 0 where none speak."""
    if standing and dishes:
        return standing + dishes, "standing use and your dishes"
    if standing:
        return standing, "standing use"
    if servings:
        return servings, "servings"
    if dishes:
        return dishes, "your dishes"
    return (published, "a published plan") if published else (Fraction(0), "none")


def _blended(prior: Fraction, basis: Basis, part_year: Fraction, weeks: float, spread: float) -> Need:
    """A Gamma rate about ``prior`` of PRIOR_GOES goes, after ``weeks`` of the book at the pace of ``part_year``."""
    seen = Fraction(weeks).limit_denominator(100) / 52
    a_year = (PRIOR_GOES + part_year * seen) / (PRIOR_GOES / prior + seen)
    words = {
        "your dishes": "your dishes would take",
        "servings": "planned",
        "a published plan": "by a published plan",
    }.get(basis, "expected of standing use")
    note = f"{round(weeks)} weeks of the book, {round(part_year)} a year by them, and {round(prior)} {words}"
    return Need(a_year, "this book year", spread, note=note)


def _ran_out(years: Sequence[BookYear]) -> str:
    dry = [y.year for y in years if y.full and y.carried_out <= 0 and y.used > 0]
    if not dry:
        return ""
    return f"ran out in {', '.join(map(str, dry))}, so more may be wanted than was used"


def servings_to_quarts(
    servings_a_week: Fraction, weeks: Fraction, serving_cups: Fraction, persons: Fraction
) -> Fraction:
    """Quarts for a season: servings x weeks x cups x persons, four cups to the quart.

    The arithmetic of the two published worksheets (Annual Preserving Plan, How-To Book: Canning,
    Freezing, Drying; Your Canning Budget, Modern Guide to Home Canning, 1940s).
    """
    return servings_a_week * weeks * serving_cups * persons / 4
