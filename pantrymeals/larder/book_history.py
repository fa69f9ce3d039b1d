"""What the put-up book says of each product: the one reading of its lines, and their sum by book year.

A book year runs from one stocktaking (1 May; in the south 1 November) to the next. All amounts are exact containers
of a product's first size.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from pantrymeals.plans.book import BookYear, ShelfDay
from pantrymeals.records import LOST_REASONS, USED_REASONS, YEAR_OPENS, Movement, Product, Reason
from pantrymeals.units import summed

if TYPE_CHECKING:
    from pantrymeals.records import Household
    from pantrymeals.season_facts import ThisSeason, WrittenYear

CAME_IN: frozenset[Reason] = frozenset({"put up", "arrived", "bought"})
_GIVEN: frozenset[Reason] = frozenset({"given", "bartered"})
_UNSAID_IS_LOSS = frozenset({"cellar"})
"""Kinds of which what a count finds missing went bad: in a bin nobody writes down what is thrown out."""
_TWO_WEEKS = timedelta(days=14)
"""A book begun so soon after 1 May still tells the whole year."""
MOST_WEEKS = 208
"""Weeks of the book that are looked back on."""

Sort = Literal["opening", "came", "given", "lost", "used", "moved"]
_TOLD_APART: tuple[Sort, ...] = ("opening", "came", "given", "lost", "used")


class Entry(Struct, frozen=True):
    """One line of the book: signed containers of the first size, and what it tells.

    sort: 'opening' for what the first count found there already.
    """

    day: date
    amount: Fraction
    reason: Reason
    sort: Sort
    lot: int = 0


Lines = Mapping[str, Sequence[Entry]]
"""The book's lines by product, oldest first."""


def lines_of(products: Mapping[str, Product], book: Iterable[Movement]) -> Lines:
    """The book by product and day; lines of unknown products or sizes are left out."""
    by_name: dict[str, list[Movement]] = {name: [] for name in products}
    for movement in book:
        if movement.product in by_name:
            by_name[movement.product].append(movement)
    return {name: product_lines(products[name], movements) for name, movements in by_name.items()}


def product_lines(product: Product, movements: Iterable[Movement]) -> tuple[Entry, ...]:
    """One product's lines, oldest first."""
    first = product.sizes[0].content
    contents = {size.name: None if size.content == first else size.content / first for size in product.sizes}
    own = sorted((m for m in movements if m.size in contents), key=lambda m: m.day)
    out = []
    for m in own:
        factor = contents[m.size]
        amount = m.count if factor is None else m.count * factor
        out.append(Entry(m.day, amount, m.reason, _sort(product, m.reason, amount, m.day == own[0].day), m.lot))
    return tuple(out)


def _sort(product: Product, reason: Reason, amount: Fraction, first_day: bool) -> Sort:
    """What a line tells.

    What a count finds missing was eaten and not written down, or went bad in the cellar; what it finds
    too many takes use back.
    """
    if reason == "counted":
        if first_day and amount > 0:
            return "opening"
        return "lost" if amount < 0 and product.kind in _UNSAID_IS_LOSS else "used"
    if reason in USED_REASONS:
        return "used"
    if reason in LOST_REASONS:
        return "lost"
    return "came" if reason in CAME_IN else "given" if reason in _GIVEN else "moved"


def weeks_known(lines: Lines, until: date) -> int:
    """Whole weeks of the book before ``until``, so many at most."""
    first = min((own[0].day for own in lines.values() if own), default=until)
    return max(0, min(MOST_WEEKS, (until - first).days // 7))


def book_year_of(day: date, on: tuple[int, int] = YEAR_OPENS) -> int:
    """The year in which the book year holding ``day`` began. on: the month and day on which it opens."""
    return day.year if (day.month, day.day) >= on else day.year - 1


def opens(year: int, on: tuple[int, int] = YEAR_OPENS) -> date:
    """First day of a book year."""
    return date(year, *on)


def year_of_line(line: Entry, on: tuple[int, int] = YEAR_OPENS) -> int:
    """The book year a line tells of; a count speaks of the days before it, so that of 1 May of the year just over."""
    counted = line.reason == "counted" and line.sort != "opening"
    return book_year_of(line.day - timedelta(days=1) if counted else line.day, on)


def years_from_book(lines: Lines, today: date, on: tuple[int, int] = YEAR_OPENS) -> tuple[BookYear, ...]:
    """Every product's book years up to ``today``, by product and year."""
    book_opens = min((own[0].day for own in lines.values() if own), default=today)
    return tuple(
        year for name in sorted(lines) if lines[name] for year in years_of(name, lines[name], book_opens, today, on)
    )


def years_of(
    product: str, lines: Sequence[Entry], book_opens: date, today: date, on: tuple[int, int] = YEAR_OPENS
) -> list[BookYear]:
    """One product's book years, each beginning with what the last one left."""
    stock, out = Fraction(0), []
    told: dict[tuple[int, Sort], list[Fraction]] = {}
    for line in lines:
        if line.day <= today and line.sort != "moved":
            told.setdefault((year_of_line(line, on), line.sort), []).append(line.amount)
    for year in range(book_year_of(book_opens, on), book_year_of(today, on) + 1):
        found, came, given, lost, used = (summed(told.get((year, sort), ())) for sort in _TOLD_APART)
        opening, given, lost, used = stock + found, -given, -lost, -used
        end = opening + came - given - lost - used
        full = opens(year, on) + _TWO_WEEKS >= book_opens and opens(year + 1, on) <= today
        since = max(opens(year, on), lines[0].day)
        weeks = max(0.0, (min(today, opens(year + 1, on)) - since).days / 7)
        if opening or any((year, sort) in told for sort in _TOLD_APART):
            out.append(BookYear(product, year, opening, came, given, lost, used, end, full, weeks))
        stock = end
    return out


def shelf_days(lines: Iterable[Entry]) -> tuple[ShelfDay, ...]:
    """What was there after each day on which any came or went; lines of several products are summed as they stand."""
    changes: dict[date, list[Entry]] = {}
    for line in lines:
        if line.sort != "moved":
            changes.setdefault(line.day, []).append(line)
    there, out = Fraction(0), []
    for day in sorted(changes):
        there += summed(line.amount for line in changes[day])
        out.append(ShelfDay(day, there, total(changes[day], "came")))
    return tuple(out)


def total(lines: Iterable[Entry], sort: Sort) -> Fraction:
    """The sum of all lines of a sort, signed as in the book."""
    return summed(line.amount for line in lines if line.sort == sort)


def book_years(household: Household, lines: Lines) -> tuple[BookYear, ...]:
    """Every product's book years: the book's own, and what the household wrote down of those it lacks."""
    facts, on = household.season, household.year_opens
    running = opens(book_year_of(household.today, on), on)
    written = [_as_book_year(year) for year in facts.years]
    written += [_running_year(t, household.products[t.product], running, household.today) for t in facts.this_season]
    return merged_years(years_from_book(lines, household.today, on), written)


def merged_years(book: Iterable[BookYear], written: Iterable[BookYear]) -> tuple[BookYear, ...]:
    """Book years, the book's own first; what the household wrote down fills the years it lacks."""
    out = {(y.product, y.year): y for y in written}
    for year in book:
        kept = out.get((year.product, year.year))
        if kept is None or year.full or not kept.full:
            out[year.product, year.year] = year
    return tuple(out[key] for key in sorted(out))


def _as_book_year(year: WrittenYear) -> BookYear:
    """A year written down, which does not tell what was given from what was lost."""
    return BookYear(
        year.product, year.year, year.carried_in, year.put_up, year.given_or_lost, Fraction(0), year.used,
        year.carried_out,
    )  # fmt: skip


def _running_year(season: ThisSeason, product: Product, opened: date, today: date) -> BookYear:
    """The running season as written, in containers of the product's first size."""
    size = product.size(season.size) or product.sizes[0]
    factor = size.content / product.sizes[0].content
    made = sum((count for _, count in season.made), Fraction(0))
    left = season.carried_over + made - season.given - season.lost - season.used
    weeks = (today - _first_day(season, opened)).days / 7
    return BookYear(
        product.name, opened.year, season.carried_over * factor, made * factor, season.given * factor,
        season.lost * factor, season.used * factor, left * factor, False, max(0.0, weeks),
    )  # fmt: skip


def _first_day(season: ThisSeason, opened: date) -> date:
    """From when the running season speaks: its first day, or the first putting up without carry-over."""
    if season.carried_over > 0 or not season.made:
        return opened
    return min(day for day, _ in season.made)
