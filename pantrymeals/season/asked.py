"""Everything the season's sums may look at, gathered once: the household, its facts, its book, the tables."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.at_table import AtTable
from pantrymeals.larder.book_history import book_year_of, opens
from pantrymeals.larder.must_reach import comes_round, season_days
from pantrymeals.larder.on_hand import in_lots
from pantrymeals.larder.supply import stands
from pantrymeals.plans.book import BookYear
from pantrymeals.plans.outlook import ForecastRow
from pantrymeals.plans.season import Need
from pantrymeals.records import YEAR_OPENS, Household, Product
from pantrymeals.season.by_menus import MenusBeside, as_chosen
from pantrymeals.season.history import LEAST_WEEKS, need_from_history, servings_to_quarts
from pantrymeals.season.jar_losses import JarLosses
from pantrymeals.season.yields import Tables
from pantrymeals.season_facts import Harvest, SeasonFacts, YearDay
from pantrymeals.units import UNITS


class SeasonQuestion(Struct, frozen=True):
    """One household's season. years: all book years, full and running, in first-size containers.

    part_weeks: weeks the product stood on the shelf in the running year, by the book.
    late_opened: share of the jars used that were opened only ten months or more after they were put up.
    put_up_here: products with a harvest, or a written year of putting up, of their own.
    seed: for the simulated seasons. at_crop: the forecast for the day each harvest's crop comes in, by product;
    made when it is first asked for. at_table: what dishes and published plans would take. losses: jars that fail.
    menus: what the announced menus take, asked for where a year's need is.
    """

    household: Household
    facts: SeasonFacts
    tables: Tables
    years: tuple[BookYear, ...]
    spread: float
    part_weeks: Mapping[str, float]
    late_opened: Mapping[str, float]
    seed: int
    put_up_here: frozenset[str]
    at_crop: Callable[[], tuple[Household, Mapping[str, ForecastRow]]]
    at_table: AtTable
    losses: JarLosses
    menus: Callable[[], MenusBeside]

    @property
    def today(self) -> date:
        """The day the household's counts speak for."""
        return self.household.today


def first_content(product: Product) -> Fraction:
    """Base measure in one container of the first size."""
    return product.sizes[0].content


def on_shelf(asked: SeasonQuestion, name: str) -> Fraction:
    """Containers (first size) on the shelf: reserve counted, held, suspect, promised and seed lots not."""
    return asked.household.products[name].containers(in_lots(asked.household, name))


def seed_kept(asked: SeasonQuestion, name: str) -> Fraction:
    """Containers (first size) of it that are kept as seed: to be grown again, besides what is eaten."""
    return asked.household.products[name].containers(in_lots(asked.household, name, {"seed"}))


_PUTTING_UP_MONTHS = 7
"""Months from the opening of the book year in which things are put up."""


def next_window(today: date, harvest: Harvest, on: tuple[int, int] = YEAR_OPENS) -> tuple[date, date]:
    """First and last day of a crop's coming in that the list plans for. on: when the book year opens.

    It looks ahead from that day once the year's putting up is over (the five months before it), else from tomorrow.
    """
    over = (today.month - on[0]) % 12 >= _PUTTING_UP_MONTHS
    opens_on = opens(book_year_of(today, on) + 1, on) if over else today + timedelta(days=1)
    first = _next_day(harvest.first, opens_on)
    return first, _next_day(harvest.last, first)


def _next_day(yearly: YearDay, first: date) -> date:
    return comes_round(date(2000, *yearly), first - timedelta(days=1))


def crop_days(household: Household) -> dict[str, date]:
    """By product of a harvest: the first day of its crop's coming in."""
    return {
        name: window_of(household, name, harvest)[0]
        for harvest in reversed(household.season.harvests)
        for name in harvest.products
        if name in household.products
    }


_NEARLY_A_YEAR = 300
"""Days that a day to reach lies beyond a crop's first, from which on it is the crop after that is waited for."""


def window_of(household: Household, name: str, harvest: Harvest) -> tuple[date, date]:
    """First and last day of the crop that a product's list plans for.

    The one after, where what stands there has to last to that: this year's is in already, or lost.
    """
    first, last = next_window(household.today, harvest, household.year_opens)
    product = household.products[name]
    due = product.must_last_to if product.deadline_kind == "new crop" else None
    if due is None or (due - first).days < _NEARLY_A_YEAR:
        return first, last
    return comes_round(first, first), comes_round(last, last)


def this_year(asked: SeasonQuestion, name: str) -> BookYear | None:
    """The running book year of a product; None where nothing is known of it."""
    running = [y for y in asked.years if y.product == name and not y.full]
    return running[-1] if running else None


def rate_now(asked: SeasonQuestion, name: str) -> Fraction | None:
    """Containers a week at present: as written, else this book year's use over its weeks on the shelf."""
    written = asked.facts.written_this_season(name)
    if written is not None and written.a_week_now is not None:
        return written.a_week_now
    running = this_year(asked, name)
    weeks = _weeks_seen(asked, name)
    if running is None or weeks < LEAST_WEEKS:
        return None
    return running.used / Fraction(weeks).limit_denominator(100)


def standing_a_year(asked: SeasonQuestion, name: str) -> Fraction:
    """Containers that standing use takes in a year."""
    content = first_content(asked.household.products[name])
    return sum(stands(asked.household, name).by_month(), Fraction(0)) / Fraction(12) * Fraction(365, 7) / content


def _part_year(asked: SeasonQuestion, name: str) -> Fraction | None:
    """This book year made whole: what was used so far, and the present rate for the weeks to go.

    With a carry-over the year is the book's. Without one it began when the crop was put
    up, and runs to the day the crop must last to: roots and hams have no summer in the book.
    """
    running, rate = this_year(asked, name), rate_now(asked, name)
    if running is None or rate is None:
        return None
    product = asked.household.products[name]
    closes = opens(running.year + 1, asked.household.year_opens)
    if not running.carried_in and product.must_last_to is not None:
        year_from_start = asked.today + timedelta(days=round(max(0.0, 52 - running.weeks) * 7))
        closes = min(product.must_last_to, year_from_start)
    to_go = season_days(product, asked.today, closes) / 7
    return running.used + rate * Fraction(to_go).limit_denominator(100)


def servings_a_year(asked: SeasonQuestion, name: str) -> Fraction | None:
    """Containers for the servings that a household without a history plans; None where it plans none."""
    plan, product = asked.facts.servings.get(name), asked.household.products[name]
    if plan is None or product.measure != "ml":
        return None
    persons = sum((person.portion for person in asked.household.people), Fraction(0))
    return servings_to_quarts(*plan, persons) * UNITS["qt"][1] / first_content(product)


def need_of(asked: SeasonQuestion, name: str) -> Need:
    """What the table uses of a product in a year: by the book, or as the household chose to count."""
    book, chosen = need_by_the_book(asked, name), asked.facts.chosen.get(name)
    if chosen is None:
        return book
    return as_chosen(asked.household, asked.household.products[name], book, asked.menus(), chosen)


def need_by_the_book(asked: SeasonQuestion, name: str) -> Need:
    """What the table uses of a product in a year, by book years or what is known without them."""
    own = [y for y in asked.years if y.product == name]
    servings, standing = servings_a_year(asked, name), standing_a_year(asked, name)
    if any(y.full for y in own):
        return need_from_history(own, asked.spread, _part_year(asked, name))
    content = first_content(asked.household.products[name])
    dishes, published = (
        take.get(name, Fraction(0)) / content for take in (asked.at_table.dishes, asked.at_table.plans)
    )
    part, weeks = _part_year(asked, name), _weeks_seen(asked, name)
    return need_from_history(own, asked.spread, part, standing, servings, dishes, weeks, published)


def _weeks_seen(asked: SeasonQuestion, name: str) -> float:
    """Weeks of the running book year in which the product stood on the shelf."""
    running = this_year(asked, name)
    return asked.part_weeks.get(name, running.weeks if running else 0.0)
