"""Makes the season's question from a household, its book and the published tables."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.sitters import put_up_here
from pantrymeals.larder.at_table import AtTable
from pantrymeals.larder.book_history import book_year_of, book_years, lines_of, opens
from pantrymeals.records import Movement
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.by_menus import MenusBeside
from pantrymeals.season.carry_over import foreseen_at_crop
from pantrymeals.season.history import late_opened, pooled_spread, weeks_on_shelf
from pantrymeals.season.jar_losses import jar_losses
from pantrymeals.season.yields import Tables


def season_question(
    at_table: AtTable, tables: Tables, movements: Sequence[Movement], pace: Callable[[], BookPace], seed: int = 1,
    failed: int = 0, menus: Callable[[], MenusBeside] = MenusBeside,
) -> SeasonQuestion:  # fmt: skip
    """The question, its history taken from the book and from what ``season.yaml`` has of older years.

    pace: how the table has been eating, asked for when a forecast is first needed. failed: jars that did not seal.
    """
    household = at_table.household
    facts = household.season
    lines = lines_of(household.products, movements)
    years = book_years(household, lines)
    begun = opens(book_year_of(household.today, household.year_opens), household.year_opens)
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
        seed,
        put_up_here(household),
        cache(lambda: foreseen_at_crop(household, pace())),
        at_table,
        jar_losses(household, movements, failed),
        cache(menus),
    )
