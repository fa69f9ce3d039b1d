"""What the table used, put up, gave and lost, by book year; and the need that speaks from it.

A book year runs from one stocktaking (1 May) to the next. Need rests on full book years where
there are any: a part year says how the winter went, not how the year will.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import sqrt

from pantrymeals.plans.season import BookYear, Need
from pantrymeals.records import LOST_REASONS, USED_REASONS, Movement

YEAR_OPENS = (5, 1)
LEAST_WEEKS = 8
"""A part year of fewer weeks than this says too little to plan by."""

USUAL_SPREAD = 0.15
LEAST_SPREAD = 0.05
"""Spread of a year's use (standard deviation over mean) where the book has no two full years of
anything; and the least we believe in. Common practice, no published source."""

_CAME_IN = frozenset({"put up", "arrived", "bought"})
_GIVEN = frozenset({"given", "bartered"})


def book_year_of(day: date) -> int:
    """The year in which the book year holding ``day`` began."""
    return day.year if (day.month, day.day) >= YEAR_OPENS else day.year - 1


def opens(year: int) -> date:
    """First day of a book year."""
    return date(year, *YEAR_OPENS)


def in_first_size(movements: Iterable[Movement], contents: Mapping[str, Mapping[str, Fraction]]) -> list[Movement]:
    """Movements with counts in containers of each product's first size, in order of day.

    contents: product -> size -> base measure of one container, the first size first. Lines of
    products or sizes not named there are left out.
    """
    out = []
    for line in movements:
        sizes = contents.get(line.product, {})
        if line.size in sizes:
            first = next(iter(sizes.values()))
            out.append(replace(line, count=line.count * sizes[line.size] / first))
    return sorted(out, key=lambda line: line.day)


def years_from_book(movements: Sequence[Movement], today: date) -> tuple[BookYear, ...]:
    """Every product's book years, from movements counted in one size.

    What is counted on a product's first day in the book is what was there already. A later count
    that finds fewer is use that nobody wrote down; one that finds more takes use back.
    """
    if not movements:
        return ()
    book_opens = min(line.day for line in movements)
    by_product: dict[str, list[Movement]] = {}
    for line in movements:
        by_product.setdefault(line.product, []).append(line)
    out: list[BookYear] = []
    for product in sorted(by_product):
        out.extend(_years_of(product, by_product[product], book_opens, today))
    return tuple(out)


def _years_of(product: str, lines: list[Movement], book_opens: date, today: date) -> list[BookYear]:
    first_day = min(line.day for line in lines)
    first_year, last_year = book_year_of(book_opens), book_year_of(today)
    stock, out = Fraction(0), []
    for year in range(first_year, last_year + 1):
        ours = [line for line in lines if book_year_of(line.day) == year and line.day <= today]
        opening = sum((m.count for m in ours if _opening(m, first_day)), Fraction(0))
        rest = [m for m in ours if not _opening(m, first_day) and m.reason != "moved"]
        came = _total(rest, lambda m: m.reason in _CAME_IN)
        given = -_total(rest, lambda m: m.reason in _GIVEN)
        lost = -_total(rest, lambda m: m.reason in LOST_REASONS)
        used = -_total(rest, lambda m: m.reason in USED_REASONS or m.reason == "counted")
        end = stock + opening + came - given - lost - used
        full = opens(year) + timedelta(days=14) >= book_opens and opens(year + 1) <= today
        since = max(opens(year), first_day)
        weeks = max(0.0, (min(today, opens(year + 1)) - since).days / 7)
        if stock or opening or rest:
            out.append(BookYear(product, year, stock + opening, came, given, lost, used, end, full, weeks))
        stock = end
    return out


def _opening(line: Movement, first_day: date) -> bool:
    return line.reason == "counted" and line.day == first_day and line.count > 0


def _total(lines: Iterable[Movement], wanted: object) -> Fraction:
    assert callable(wanted)
    return sum((line.count for line in lines if wanted(line)), Fraction(0))


def weeks_on_shelf(movements: Sequence[Movement], product: str, first: date, last: date) -> float:
    """Weeks in [first, last) on which any of it stood on the shelf, by the book."""
    lines = [m for m in movements if m.product == product and m.day < last]
    stock = sum((m.count for m in lines if m.day < first), Fraction(0))
    day, days = first, 0
    for line in sorted((m for m in lines if m.day >= first), key=lambda m: m.day):
        if stock > 0:
            days += (line.day - day).days
        day, stock = line.day, stock + line.count
    if stock > 0:
        days += (last - day).days
    return days / 7


LATE_DAYS = 300


def late_opened(movements: Sequence[Movement]) -> dict[str, float]:
    """Of the jars used, the share opened ten months or more after their lot came in; by product.

    Only lots whose coming in stands in the book count, and only products with five such jars used.
    """
    came: dict[tuple[str, int], date] = {}
    late: dict[str, Fraction] = {}
    used: dict[str, Fraction] = {}
    for line in sorted(movements, key=lambda m: m.day):
        if line.count > 0 and line.reason in _CAME_IN:
            came.setdefault((line.product, line.lot), line.day)
        begun = came.get((line.product, line.lot))
        if line.reason in USED_REASONS and line.lot and begun is not None:
            used[line.product] = used.get(line.product, Fraction(0)) - line.count
            if (line.day - begun).days >= LATE_DAYS:
                late[line.product] = late.get(line.product, Fraction(0)) - line.count
    return {p: float(late.get(p, Fraction(0)) / n) for p, n in used.items() if n >= 5}


def merged_years(book: Iterable[BookYear], written: Iterable[BookYear]) -> tuple[BookYear, ...]:
    """Book years, the book's own first; what the household wrote down fills the years it lacks."""
    out = {(y.product, y.year): y for y in written}
    for year in book:
        kept = out.get((year.product, year.year))
        if kept is None or year.full or not kept.full:
            out[year.product, year.year] = year
    return tuple(out[key] for key in sorted(out))


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


@dataclass(frozen=True, slots=True)
class OtherSigns:
    """What else speaks of a year's use, in containers: standing use, servings wished for, a stated figure."""

    standing: Fraction | None = None
    servings: Fraction | None = None
    stated: Fraction | None = None
    part_year: Fraction | None = None


def need_from_history(years: Sequence[BookYear], spread: float, other: OtherSigns) -> Need:
    """What one product's table uses in a year, by the best sign there is.

    years: that product's book years. Takes the last three full book years; failing those the
    household's own stated figure, this part year scaled to a whole one, the standing use, or the
    servings it wishes for; in that order. A running year that outgrows every full one is weighed
    with the last of them; a lower one is not, since a short shelf looks like a small appetite.
    """
    full = [y.used for y in sorted(years, key=lambda y: y.year) if y.full][-3:]
    if full:
        mean = sum(full, Fraction(0)) / len(full)
        if other.part_year is not None and other.part_year > max(full):
            faster = (full[-1] + other.part_year) / 2
            much = other.part_year >= max(full) * Fraction(5, 4)
            note = f"this year it goes faster: about {round(other.part_year)} at the present rate" if much else ""
            return Need(max(mean, faster), "full book years", spread, tuple(full), note)
        return Need(mean, "full book years", spread, tuple(full), _ran_out(years))
    if other.stated is not None:
        return Need(other.stated, "stated", spread)
    if other.part_year is not None:
        return Need(other.part_year, "this book year", spread)
    if other.standing:
        return Need(other.standing, "standing use", spread)
    if other.servings:
        return Need(other.servings, "servings", spread)
    return Need(Fraction(0), "none", spread)


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
