"""Reads a whole household folder: every file, every mistake, in one go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from msgspec.structs import replace

from pantrymeals.errors import Mistake, MistakesInFiles, Place
from pantrymeals.files import calendar, household_yaml, products, put_up_list, season, standing, stock
from pantrymeals.files.agreement import (
    DishWords,
    both_books,
    in_one_spelling,
    occasions_in_one_spelling,
    say_what_calendar_misses,
    say_what_dishes_deny,
    say_what_dishes_miss,
    say_what_marks_miss,
    say_what_rules_miss,
    words_of,
)
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.calendar import CalendarSheet
from pantrymeals.files.catalogue import Garden, garden_at
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.household_yaml import HouseholdSheet
from pantrymeals.files.put_up_list import AcceptedList
from pantrymeals.files.recipes import RecipeBook, gather_dishes, half_a_year_on, starter_folder
from pantrymeals.files.second_meals import with_second_meals
from pantrymeals.jar_doubts import untested_are_held
from pantrymeals.records import (
    YEAR_OPENS,
    FreeHours,
    Household,
    Lot,
    Measures,
    PartJar,
    Person,
    Product,
    StandingUse,
    year_opens_at,
)
from pantrymeals.season_facts import SeasonFacts
from pantrymeals.words import ahead_words

RECIPES = "recipes"


def read_household(
    folder: Path,
    today: date | None = None,
    starter: Path | None = None,
    *,
    calendar_day: date | None = None,
    need_stock: bool = True,
) -> Household:
    """The household that a folder describes.

    today: the day to speak for; else the one in household.yaml, else ``calendar_day``
        (the caller's clock: nothing here looks at one).
    starter: the starter book's folder; None for the one that comes with the program.
    need_stock: whether stock.csv must be there (not once a put-up book is).

    Raises MistakesInFiles with every mistake of every file; never a part of a household.
    """
    _stop_if_no_household(folder)
    gathering = Gathering()
    reading = _FolderReading(folder, gathering)
    sheet = household_yaml.read_household_yaml(folder / household_yaml.FILE, gathering)
    own = (sheet and sheet.today) or calendar_day
    day = reading.day(today or own, sheet)
    garden = garden_at(sheet.latitude, sheet.last_frost) if sheet else None
    known = reading.products(garden, day)
    dates = reading.calendar(known, day or date(2000, 1, 1))
    latest = max((d for d in (own, calendar_day) if d), default=day)  # as of the book: no day that is only asked about
    if sheet is not None and latest is not None:
        _say_who_is_to_be_born(sheet.people, latest, gathering)
    lots, jars, uses = reading.stores(known, sheet, need_stock, latest)
    wanted, batch_hours = reading.season(known, sheet)
    opens = year_opens_at(sheet.latitude, sheet.last_frost) if sheet else YEAR_OPENS
    accepted = reading.accepted(known, opens)
    book = reading.dishes(known, starter, sheet.measures if sheet else "us", garden)
    words = words_of(book, known)
    reading.say_what_does_not_agree(known, dates, book, words, sheet)
    gathering.stop_if_any()
    assert sheet is not None  # a missing household.yaml has been written down above
    assert day is not None
    return Household(
        name=sheet.name,
        today=day,
        people=sheet.people,
        meals=sheet.meals,
        rules=sheet.rules,
        places=sheet.places,
        products=waiting_for_fresh(known.by_name, dates.there),
        lots=untested_are_held(lots, known.by_name),
        part_jars=jars,
        standing=uses,
        arrivals=accepted.arrivals(dates.arrivals, day, opens),
        occasions=occasions_in_one_spelling(dates.occasions, words, sheet),
        dishes=with_second_meals(in_one_spelling(book.dishes.values(), words), sheet.people, sheet.meals),
        batch_days=book.batch_days,
        no_store=sheet.no_store,
        measures=sheet.measures,
        money=sheet.money,
        latitude=sheet.latitude,
        altitude_ft=sheet.altitude_ft,
        paper=sheet.paper,
        last_frost=sheet.last_frost,
        first_frost=sheet.first_frost,
        skipped_dishes=book.skipped,
        season=replace(wanted, expected=accepted.expected(wanted.expected, opens)),
        folder=str(folder),
        batch_hours=batch_hours,
    )


def _say_who_is_to_be_born(people: Iterable[Person], latest: date, gathering: Gathering) -> None:
    """Write down who is at table before the day of birth has come: most often the year is wrong."""
    for person in people:
        if person.born is not None and person.born > latest:
            wrong = f"{person.name}: born {ahead_words(person.born, latest)}"
            gathering.say(person.place, wrong, "look at the year again")


def waiting_for_fresh(products: Mapping[str, Product], there: Mapping[str, frozenset[date]]) -> dict[str, Product]:
    """The products with the days on which they stay on their shelves, since something fresh of the same is there."""
    waits: dict[str, frozenset[date]] = {}
    for name, days in there.items():
        for other in products[name].eaten_before:
            waits[other] = waits.get(other, frozenset()) | days
    return {n: replace(p, waits_on=waits[n]) if n in waits else p for n, p in products.items()}


def _stop_if_no_household(folder: Path) -> None:
    """Say plainly when there is no folder, or nothing of a household in it."""
    try:
        if not folder.exists():
            wrong, right = "there is no such folder", "name the folder that holds household.yaml"
        elif not folder.is_dir():
            wrong, right = "this is a file, not a folder", "name the folder that holds household.yaml"
        elif not (folder / household_yaml.FILE).exists():
            wrong, right = (
                f"no {household_yaml.FILE} here",
                "it says who eats and where things are kept; 'start' begins one",
            )
        else:
            return
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not one that a folder can have"
        wrong, right = f"this folder cannot be opened ({reason})", "see who may open it"
    raise MistakesInFiles([Mistake(Place(str(folder)), wrong, right)])


class _FolderReading:
    """Reads the files of one folder; those that may be absent give nothing."""

    def __init__(self, folder: Path, gathering: Gathering) -> None:
        self._folder = folder
        self._gathering = gathering

    def _has(self, name: str, needed: str = "") -> bool:
        """Whether a file is there; one that is needed and absent is written down."""
        path = self._folder / name
        if path.exists() or path.is_symlink():
            return True
        if needed:
            self._gathering.say(Place(name), "this file is missing", needed)
        return False

    def day(self, said: date | None, sheet: HouseholdSheet | None) -> date | None:
        """The day to speak for; that there is none is written down."""
        if said is None and sheet is not None:
            self._gathering.say(Place(household_yaml.FILE), "no day is given", "write today: 2026-01-17 in this file")
        return said

    def say_what_does_not_agree(
        self,
        known: KnownProducts,
        dates: CalendarSheet,
        book: RecipeBook,
        words: DishWords,
        sheet: HouseholdSheet | None,
    ) -> None:
        """Write down what one file says and another does not bear out."""
        say_what_dishes_miss(book, words, sheet, self._gathering)
        say_what_marks_miss(book, known, sheet, self._gathering)
        say_what_dishes_deny(book, known, self._gathering)
        say_what_calendar_misses(dates, words, book, sheet, self._gathering)
        if sheet is not None:
            say_what_rules_miss(sheet, words, self._gathering)

    def products(self, garden: Garden | None, today: date | None) -> KnownProducts:
        if not self._has(products.FILE, "write one row for each thing you keep"):
            return KnownProducts.of((), whole=False)
        return products.read_products(self._folder / products.FILE, self._gathering, garden, today)

    def calendar(self, known: KnownProducts, today: date) -> CalendarSheet:
        if not self._has(calendar.FILE):
            return CalendarSheet()
        return calendar.read_calendar(self._folder / calendar.FILE, known, today, self._gathering)

    def stores(
        self, known: KnownProducts, sheet: HouseholdSheet | None, need_stock: bool, latest: date | None
    ) -> tuple[tuple[Lot, ...], tuple[PartJar, ...], tuple[StandingUse, ...]]:
        places = sheet.places if sheet else None
        needed = "write one row for each lot on the shelf" if need_stock else ""
        lots: tuple[Lot, ...] = ()
        jars: tuple[PartJar, ...] = ()
        uses: tuple[StandingUse, ...] = ()
        if self._has(stock.STOCK, needed):
            lots = stock.read_stock(self._folder / stock.STOCK, known, places, self._gathering, latest=latest)
        if self._has(stock.OPEN):
            jars = stock.read_open(self._folder / stock.OPEN, known, places, self._gathering, latest)
        if self._has(standing.FILE):
            uses = standing.read_standing(self._folder / standing.FILE, known, self._gathering)
        return lots, jars, uses

    def accepted(self, known: KnownProducts, opens: tuple[int, int]) -> AcceptedList:
        if not self._has(put_up_list.FILE):
            return AcceptedList()
        return put_up_list.read_put_up_list(self._folder / put_up_list.FILE, known, opens, self._gathering)

    def season(self, known: KnownProducts, sheet: HouseholdSheet | None) -> tuple[SeasonFacts, tuple[FreeHours, ...]]:
        if not self._has(season.FILE):
            return SeasonFacts(), ()
        places = sheet.places if sheet else None
        return season.read_season(self._folder / season.FILE, known, places, self._gathering)

    def dishes(
        self, known: KnownProducts, starter: Path | None, measures: Measures, garden: Garden | None
    ) -> RecipeBook:
        folder = starter or starter_folder()
        theirs = gather_dishes(folder, known, "starter", False, self._gathering, measures)
        if garden is not None and garden.south:
            theirs = half_a_year_on(theirs)
        if not self._has(RECIPES):
            return both_books(theirs, RecipeBook())
        own = gather_dishes(self._folder / RECIPES, known, "household", True, self._gathering)
        return both_books(theirs, own)
