"""The household as its files and its put-up book describe it: the one way in for every planner."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

from msgspec.structs import replace

from pantrymeals.actions.book.pantry import Pantry, content_of, has_book, pantry_book
from pantrymeals.actions.food_tables import foods, needs
from pantrymeals.actions.season_tables import season_tables
from pantrymeals.book.book import Book
from pantrymeals.book.lines import OnHand
from pantrymeals.errors import MistakesInFiles, Place
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.jar_doubts import untested_are_held
from pantrymeals.larder.must_reach import with_crops_that_are_in
from pantrymeals.larder.nutrition import amount_nutrition, daily_need
from pantrymeals.larder.table_words import heeding
from pantrymeals.records import Household, Lot, Movement, PartJar, TableWord, Taken, wants_little_salt
from pantrymeals.season.batch_yields import makes_too_much, what_is_untested

_BOOK = Place("put-up-book.sqlite")
_RECENT_DAYS = 60
"""How far back served dishes are told: longer than any 'days between' of the demo; common practice,
no published source."""


def load_larder(folder: Path, today: date | None, calendar_day: date) -> Household:
    """The household of a folder, with what is on the shelf told by its book where it has one.

    today: the day the counts speak for, if not the household's own. Raises MistakesInFiles or
    PantryError.
    """
    return as_the_book_says(folder, as_written(folder, today, calendar_day))


def as_written(folder: Path, today: date | None, calendar_day: date) -> Household:
    """The household as its files alone tell it. Raises MistakesInFiles or PantryError."""
    from pantrymeals.files.household import read_household

    household = weighed(read_household(folder, today=today, calendar_day=calendar_day, need_stock=not has_book(folder)))
    if mistakes := [*makes_too_much(household, season_tables()), *what_is_untested(household)]:
        raise MistakesInFiles(mistakes)
    return household


def weighed(household: Household) -> Household:
    """A household with what its products hold and its people need, from the published tables."""
    found = {
        name: of
        for name, product in household.products.items()
        if product.food in foods() and (of := amount_nutrition(product, Fraction(1), foods())) is not None
    }
    need = {p.name: daily_need(p, household.today, needs()) for p in household.people}
    return replace(
        household,
        kcal={name: Fraction(of.kcal).limit_denominator(10**6) for name, of in found.items()},
        protein_g={name: Fraction(of.protein_g).limit_denominator(10**6) for name, of in found.items()},
        needs_kcal={name: round(of.kcal) for name, of in need.items()},
        needs_protein_g={name: round(of.protein_g) for name, of in need.items()},
    )


def as_the_book_says(folder: Path, household: Household) -> Household:
    """A household with what is on the shelf told by its book, where it has one, and of its crops what is in.

    Raises PantryError.
    """
    if not has_book(folder):
        return with_crops_that_are_in(household)
    pantry = pantry_of(folder, household)
    with pantry_book(pantry, reading=True) as book:
        return told_by(pantry, book, household)


def told_by(pantry: Pantry, book: Book, household: Household) -> Household:
    """A household with all that a book says of it: its shelf, the crops that are in, and the table's words."""
    words = (TableWord(*said) for said in book.said_of_dishes())
    told = with_crops_that_are_in(heeding(shelf_by(pantry, book, household), words))
    return replace(told, book_entry=book.newest_entry())


def shelf_by(pantry: Pantry, book: Book, household: Household) -> Household:
    """A household with what a book has on the shelf, open, and eaten lately."""
    open_now = part_jars_in(pantry, book)
    since = household.today - timedelta(days=_RECENT_DAYS)
    taken = taken_since(pantry, book, since, open_now)
    return replace(
        household,
        lots=lots_in(pantry, book),
        part_jars=open_now,
        recent=book.served(since),
        taken=taken,
        known_since=known_since(pantry, book) if taken else {},
    )


def book_movements(folder: Path, household: Household) -> tuple[Movement, ...]:
    """Every movement of the folder's book that still counts, by day; empty where there is no book."""
    if not has_book(folder):
        return ()
    pantry = pantry_of(folder, household)
    with pantry_book(pantry, reading=True) as book:
        return movements_in(pantry, book)


def movements_in(pantry: Pantry, book: Book) -> tuple[Movement, ...]:
    """Every movement of a book that still counts, by day, each product by its present name."""
    return tuple(_by_its_name(pantry, movement) for movement in book.movements())


def pantry_of(folder: Path, household: Household) -> Pantry:
    """What the book needs to know, from a household already read."""
    known = KnownProducts.of(household.products.values())
    return Pantry(
        folder, household.today, known, household.places, household.altitude_ft, name=household.name,
        paper=household.paper, low_salt=wants_little_salt(household.people), year_opens=household.year_opens,
        metric=household.measures == "metric",
    )  # fmt: skip


def lots_in(pantry: Pantry, book: Book) -> tuple[Lot, ...]:
    """What the book has on hand, as lots; a product under a former name goes by its present one.

    What no process is tested for is held, though an older book has it on the shelf, unless it was released by name.
    """
    released = book.released()
    lots = tuple((here.number, _lot(pantry, here)) for here in book.on_hand())
    held = untested_are_held((lot for _, lot in lots), pantry.known.by_name)
    return tuple(lot if number in released else apart for (number, lot), apart in zip(lots, held, strict=True))


def part_jars_in(pantry: Pantry, book: Book) -> tuple[PartJar, ...]:
    """What the book has open, the oldest first; left in the product's base measure."""
    jars = []
    for jar in book.part_jars():
        content = content_of(pantry, jar.part.product, jar.part.size)
        product = pantry.product(jar.part.product)
        assert product is not None  # content_of has just found it
        jars.append(
            PartJar(
                product=product.name,
                size=jar.part.size,
                left=jar.left * content,
                opened=jar.part.opened,
                where=jar.part.place,
                note=jar.part.note,
                place=_BOOK,
            )
        )
    return tuple(jars)


def _lot(pantry: Pantry, here: OnHand) -> Lot:
    content_of(pantry, here.lot.product, here.lot.size)
    product = pantry.product(here.lot.product)
    assert product is not None  # content_of has just found it
    day, year_only = here.lot.day
    return Lot(
        product=product.name,
        size=here.lot.size,
        count=here.count,
        put_up=day,
        year_only=year_only,
        where=here.place,
        load=here.lot.load,
        tested_source=here.lot.source,
        state=here.state,
        note=here.lot.note,
        place=_BOOK,
    )


def taken_since(pantry: Pantry, book: Book, since: date, open_now: Iterable[PartJar]) -> tuple[Taken, ...]:
    """What the book tells was eaten from a day on; of a jar that is open, only what is gone of it."""
    rows = [
        Taken(day, product.name, count * content_of(pantry, product.name, size))
        for day, name, size, count in book.eaten(since)
        if (product := pantry.product(name)) is not None
    ]
    left = [Taken(jar.opened, jar.product, -jar.left) for jar in open_now if jar.opened >= since]
    return tuple(sorted(rows + left, key=lambda t: (t.day, t.product))) if rows else ()


def known_since(pantry: Pantry, book: Book) -> dict[str, date]:
    """By product, the later of the book's first day and the last day on which some of it came."""
    known: dict[str, date] = {}
    for name, day in book.known_since():
        product = pantry.product(name)
        if product is not None:
            known[product.name] = max(day, known.get(product.name, day))
    return known


def _by_its_name(pantry: Pantry, movement: Movement) -> Movement:
    product = pantry.product(movement.product)
    if product is None or product.name == movement.product:
        return movement
    return replace(movement, product=product.name)
