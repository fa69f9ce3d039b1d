"""Makes the season's question from a household, its book and the published tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from pantrymeals.larder.book_history import book_year_of, lines_of, opens, years_from_book
from pantrymeals.plans.season import BookYear
from pantrymeals.records import Household, Movement
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.facts import SeasonFacts, ThisSeason
from pantrymeals.season.history import late_opened, merged_years, pooled_spread, weeks_on_shelf
from pantrymeals.season.yields import Tables


def season_question(
    household: Household,
    facts: SeasonFacts,
    tables: Tables,
    movements: Sequence[Movement] = (),
    planned_a_year: Mapping[str, Fraction] | None = None,
    seed: int = 1,
) -> SeasonQuestion:
    """The question, its history taken from the book and from what ``season.yaml`` has of older years.

    planned_a_year: containers of the first size a year that the menu as planned would use.
    """
    known = {name.casefold(): name for name in household.products}
    lines = lines_of(household.products, movements)
    book = years_from_book(lines, household.today)
    written = [_renamed(y, known) for y in facts.years]
    running = book_year_of(household.today)
    written += [_running_year(t, household, running, known) for t in facts.this_season]
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


def _renamed(year: BookYear, known: Mapping[str, str]) -> BookYear:
    name = known.get(year.product.casefold(), year.product)
    return BookYear(
        name, year.year, year.carried_in, year.put_up, year.given, year.lost, year.used, year.carried_out,
        year.full, year.weeks,
    )  # fmt: skip


def _running_year(season: ThisSeason, household: Household, year: int, known: Mapping[str, str]) -> BookYear:
    """The running season as written, in containers of the product's first size."""
    name = known.get(season.product.casefold(), season.product)
    product = household.products.get(name)
    size = product.size(season.size) if product is not None else None
    factor = size.content / product.sizes[0].content if product is not None and size is not None else Fraction(1)
    made = sum((count for _, count in season.made), Fraction(0))
    left = season.carried_over + made - season.given - season.lost - season.used
    weeks = (household.today - _first_day(season, year)).days / 7
    return BookYear(
        name, year, season.carried_over * factor, made * factor, season.given * factor,
        season.lost * factor, season.used * factor, left * factor, False, max(0.0, weeks),
    )  # fmt: skip


def _first_day(season: ThisSeason, year: int) -> date:
    """From when the running season speaks: its first day, or the first putting up without carry-over."""
    if season.carried_over > 0 or not season.made:
        return opens(year)
    return min(day for day, _ in season.made)
