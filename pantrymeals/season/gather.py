"""Makes the season's question from a household, its book and the published tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from pantrymeals.larder.book_history import book_year_of, lines_of, opens, years_from_book
from pantrymeals.plans.season import BookYear
from pantrymeals.records import Household, Movement, Product
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.history import late_opened, merged_years, pooled_spread, weeks_on_shelf
from pantrymeals.season.yields import Tables
from pantrymeals.season_facts import ThisSeason, WrittenYear


def season_question(
    household: Household,
    tables: Tables,
    movements: Sequence[Movement] = (),
    planned_a_year: Mapping[str, Fraction] | None = None,
    seed: int = 1,
) -> SeasonQuestion:
    """The question, its history taken from the book and from what ``season.yaml`` has of older years.

    planned_a_year: containers of the first size a year that the menu as planned would use.
    """
    facts = household.season
    lines = lines_of(household.products, movements)
    book = years_from_book(lines, household.today)
    written = [_as_book_year(year) for year in facts.years]
    running = book_year_of(household.today)
    written += [_running_year(t, household.products[t.product], running, household.today) for t in facts.this_season]
    years = merged_years(book, written)
    begun = opens(running)
    weeks = {name: weeks_on_shelf(own, begun, household.today) for name, own in lines.items() if own}
    late = {name: share for name, own in lines.items() if (share := late_opened(own)) is not None}
    return SeasonQuestion(
        household,
        facts,
        tables,
        years,
        pooled_spread(years),
        weeks,
        late,
        planned_a_year or {},
        seed,
    )


def _as_book_year(year: WrittenYear) -> BookYear:
    """A year written down, which does not tell what was given from what was lost."""
    return BookYear(
        year.product, year.year, year.carried_in, year.put_up, year.given_or_lost, Fraction(0), year.used,
        year.carried_out,
    )  # fmt: skip


def _running_year(season: ThisSeason, product: Product, year: int, today: date) -> BookYear:
    """The running season as written, in containers of the product's first size."""
    size = product.size(season.size) or product.sizes[0]
    factor = size.content / product.sizes[0].content
    made = sum((count for _, count in season.made), Fraction(0))
    left = season.carried_over + made - season.given - season.lost - season.used
    weeks = (today - _first_day(season, year)).days / 7
    return BookYear(
        product.name, year, season.carried_over * factor, made * factor, season.given * factor,
        season.lost * factor, season.used * factor, left * factor, False, max(0.0, weeks),
    )  # fmt: skip


def _first_day(season: ThisSeason, year: int) -> date:
    """From when the running season speaks: its first day, or the first putting up without carry-over."""
    if season.carried_over > 0 or not season.made:
        return opens(year)
    return min(day for day, _ in season.made)
