"""What every command of the book needs to know: the folder, the day, the products, the places.

Only products.csv and household.yaml are read, so that each command comes at once.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE, TWIN_FILE, make, make_in_memory, may_write, set_aside
from pantrymeals.book.lines import (
    HOUSEHOLD,
    AnyLine,
    GlassLine,
    GlassThing,
    Line,
    LotFacts,
    NewEntry,
    PartFacts,
    PartLine,
    ServedLine,
)
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import fill_with, write
from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.household_yaml import read_household_yaml
from pantrymeals.files.products import read_products
from pantrymeals.records import (
    YEAR_OPENS,
    Lot,
    PaperSize,
    PartJar,
    Product,
    StorePlace,
    wants_little_salt,
    year_opens_at,
)
from pantrymeals.units import JAR_SIZES, UNITS, litres

if TYPE_CHECKING:
    from pantrymeals.season_facts import SeasonFacts

FIRST_COUNT = "the first count, from stock.csv"


class Pantry(Struct, frozen=True, dict=True):
    """A household as the book's commands see it. who: whoever is writing, '' if not said.

    low_salt: somebody is to have little salt.
    today: the day that was said, else the household's own; own_today: the household's own, whatever was said.
    """

    folder: Path
    today: date
    known: KnownProducts
    places: tuple[StorePlace, ...]
    altitude_ft: int | None
    who: str = ""
    name: str = ""
    own_today: date | None = None
    paper: PaperSize = "letter"
    low_salt: bool = False
    year_opens: tuple[int, int] = YEAR_OPENS
    metric: bool = False

    @property
    def latest_day(self) -> date:
        """The last day that has come, by the calendar or by the household's own word."""
        return max(self.own_today or self.today, date.today())

    def product(self, name: str) -> Product | None:
        """A product by any of its names; None when products.csv no longer has it."""
        return self.known.find(name)

    def in_its_measures(self, us: str, metric: str) -> str:
        """An example of what may be typed, as this kitchen measures."""
        return metric if self.metric else us

    def place_order(self, code: str) -> int:
        """Where a place comes in walking order; unknown places last."""
        return self._order.get(code, len(self._order))

    @cached_property
    def _order(self) -> Mapping[str, int]:
        return {place.code: number for number, place in enumerate(self.places)}

    @cached_property
    def season(self) -> SeasonFacts:
        """What season.yaml says, nothing where there is none; its mistakes are told by the commands that need it."""
        return self.season_in(Gathering())

    def season_in(self, gathering: Gathering) -> SeasonFacts:
        """The same, with its mistakes written down."""
        from pantrymeals.files.season import FILE, read_season
        from pantrymeals.season_facts import SeasonFacts

        path = self.folder / FILE
        return read_season(path, self.known, self.places, gathering)[0] if path.exists() else SeasonFacts()

    @cached_property
    def _jars_besides(self) -> frozenset[str]:
        """Products that fill jars and are none by their kind: maple syrup."""
        from pantrymeals.files.jars_besides import jars_besides

        return jars_besides(self.folder / "season.yaml", self.known)

    def comes_in(self, first: date, last: date) -> frozenset[str]:
        """Products that come in by themselves on these days, by calendar.yaml: milk by barter, eggs."""
        from pantrymeals.files.calendar import read_calendar

        path = self.folder / "calendar.yaml"
        arrivals = read_calendar(path, self.known, first, Gathering(), last).arrivals if path.exists() else ()
        return frozenset(arrival.product for arrival in arrivals)

    def jar_size(self, product: Product, size: str) -> str:
        """The jar that such a container is, for empties and lids; '' for bags, tubs and bins."""
        if size in JAR_SIZES:
            return size if product.kind == "jar" or product.name in self._jars_besides else ""
        known = product.size(size)
        return litres(known.content) if known and product.kind == "jar" and product.measure == "ml" else ""

    @cached_property
    def jar_sizes(self) -> tuple[str, ...]:
        """The jars of this household, the largest first: its products' own; quarts and their like unless none is."""
        products = self.known.by_name.values()
        named = {(s.content, jar) for p in products for s in p.sizes if (jar := self.jar_size(p, s.name))}
        own = {jar: content for content, jar in named}
        if not own or any(jar in JAR_SIZES for jar in own):
            own |= {jar: UNITS[jar][1] for jar in JAR_SIZES}
        return tuple(sorted(own, key=lambda jar: -own[jar]))


def read_pantry(folder: Path, today: date | None, calendar_day: date, who: str = "") -> Pantry:
    """The household of a folder. Raises MistakesInFiles or PantryError."""
    gathering = Gathering()
    known = read_products(folder / "products.csv", gathering)
    sheet = read_household_yaml(folder / "household.yaml", gathering)
    gathering.stop_if_any()
    if sheet is None:
        raise PantryError(f"{folder}: there is no household.yaml here")
    own = sheet.today or calendar_day
    low_salt = wants_little_salt(sheet.people)
    opens, metric = year_opens_at(sheet.latitude, sheet.last_frost), sheet.measures == "metric"
    return Pantry(
        folder, today or own, known, sheet.places, sheet.altitude_ft, who, sheet.name, own, sheet.paper, low_salt,
        opens, metric,
    )  # fmt: skip


def has_book(folder: Path) -> bool:
    """True when the folder has a put-up book, its plain-text twin, or a book that was set aside."""
    return (folder / BOOK_FILE).exists() or (folder / TWIN_FILE).exists() or bool(set_aside(folder))


@contextmanager
def pantry_book(pantry: Pantry, *, reading: bool = False) -> Iterator[Book]:
    """The household's book, made first where there is none yet.

    From the twin put-up-book.csv if that is there, else from stock.csv and open.csv as the first
    count, else empty. reading: where there is only a stock.csv, or the folder cannot be written,
    the book is made in memory and nothing is written.
    """
    path = pantry.folder / BOOK_FILE
    twin = pantry.folder / TWIN_FILE
    if not path.exists():
        if aside := set_aside(pantry.folder):
            raise BookTrouble(
                f"{path}: there is no book here, but one that was set aside: {aside[0].name}. A new one is not begun "
                "beside it. To begin afresh, move it to another folder",
                f"; to go on with it: 'book restore {aside[0]}'",
            )
        fill = _from_twin(pantry, twin) if twin.exists() else _first_count(pantry)
        to_write = not reading or (twin.exists() and may_write(path))
        if not (to_write and _made(path, fill, reading)):
            book = Book(make_in_memory(fill), path)
            _refuse_anothers(pantry, book)
            yield book
            book.close()
            return
    with open_book(path, reading=reading) as opened:
        _refuse_anothers(pantry, opened)
        if opened.newest_entry() is None and (lines := _first_lines(pantry)):
            # begun by a command that entered nothing, before there was a first count: the count is written now
            if reading:
                yield Book(make_in_memory(fill_with([(_first_entry(pantry), lines)])), path)
                return
            write(opened, _first_entry(pantry), lambda _: lines)
        yield opened


def _made(path: Path, fill: Callable[[sqlite3.Connection], None], reading: bool) -> bool:
    """Make the book; False where the disk is full and it is only looked at. Raises BookTrouble."""
    try:
        make(path, fill)
    except BookTrouble:
        if not reading or path.exists():
            raise
        return False
    return True


def _refuse_anothers(pantry: Pantry, book: Book) -> None:
    """Raise BookTrouble for a book that came along with a copied folder: its shelf is another household's."""
    if owner := book.household():
        _refuse_owner(pantry, owner)


def _refuse_owner(pantry: Pantry, owner: str) -> None:
    if pantry.name and fold(owner) != fold(pantry.name):
        raise BookTrouble(
            f"{pantry.folder / BOOK_FILE}: this is the book of the household {owner}, and household.yaml says "
            f"{pantry.name}. If the folder was copied from theirs, take {BOOK_FILE} and {TWIN_FILE} out of it: then "
            "your stock.csv is the first count",
            f". If your household has a new name: 'book whose {pantry.name}'",
        )


def _from_twin(pantry: Pantry, twin: Path) -> Callable[[sqlite3.Connection], None]:
    from pantrymeals.book.twin import csv_rows, fill_from_rows, household_in

    rows = list(csv_rows(twin))
    if owner := household_in(rows):
        _refuse_owner(pantry, owner)
    return fill_from_rows(TWIN_FILE, rows)


def is_begun(folder: Path) -> bool:
    """Whether something is written in the folder's book, or lies there to begin one from."""
    path = folder / BOOK_FILE
    if not path.exists():
        return has_book(folder)
    with open_book(path, reading=True) as book:
        return book.newest_entry() is not None


def _first_entry(pantry: Pantry) -> NewEntry:
    return NewEntry(pantry.today, FIRST_COUNT, key="first count")


def _first_count(pantry: Pantry) -> Callable[[sqlite3.Connection], None]:
    lines = _first_lines(pantry)
    return fill_with([(_first_entry(pantry), lines)] if lines else [])


def _first_lines(pantry: Pantry) -> list[AnyLine]:
    """The lines of stock.csv, open.csv and the glass of season.yaml. Raises MistakesInFiles."""
    from pantrymeals.files.stock import read_open, read_stock
    from pantrymeals.jar_doubts import untested_are_held

    gathering = Gathering()
    stock, part_jars = pantry.folder / "stock.csv", pantry.folder / "open.csv"
    latest = pantry.latest_day
    lots = read_stock(stock, pantry.known, pantry.places, gathering, latest=latest) if stock.exists() else ()
    jars = read_open(part_jars, pantry.known, pantry.places, gathering, latest) if part_jars.exists() else ()
    glass = glass_in_season(pantry.season_in(gathering))
    gathering.stop_if_any()
    lots = untested_are_held(lots, pantry.known.by_name)
    lines: list[AnyLine] = [Line(facts_of(lot), lot.where, lot.count, "counted", lot.state) for lot in lots]
    lines += _summed(part_line(pantry, jar) for jar in jars)
    lines += glass
    if lines and pantry.name:
        lines.append(ServedLine(pantry.today, HOUSEHOLD, pantry.name))
    return lines


def _summed(lines: Iterable[PartLine]) -> list[PartLine]:
    """Two jars opened alike, each with its row in open.csv, as one line: an export has no row that stands twice."""
    counts: dict[PartFacts, Fraction] = {}
    for line in lines:
        counts[line.part] = counts.get(line.part, Fraction(0)) + line.count
    return [PartLine(part, count, "counted") for part, count in counts.items()]


def facts_of(lot: Lot) -> LotFacts:
    """A lot of the count sheet as the book labels it."""
    put_up = ""
    if lot.put_up is not None:
        put_up = str(lot.put_up.year) if lot.year_only else lot.put_up.isoformat()
    return LotFacts(lot.product, lot.size, put_up, lot.load, lot.tested_source, lot.note)


def part_line(pantry: Pantry, jar: PartJar) -> PartLine:
    """A part jar of open.csv as the book counts it: in parts of its container."""
    facts = PartFacts(jar.product, jar.size, jar.opened, jar.where, jar.note)
    return PartLine(facts, jar.left / content_of(pantry, jar.product, jar.size), "counted")


def content_of(pantry: Pantry, product: str, size: str) -> Fraction:
    """What one such container holds, in the product's base measure. Raises PantryError when unknown."""
    kept = pantry.product(product)
    if kept is None:
        raise PantryError(
            f"the book speaks of {product}, which is not in products.csv; "
            f"add it, or write it under also_called of the product it is now"
        )
    found = kept.size(size)
    if found is None:
        raise PantryError(
            f"the book has {product} in {size}, a size that products.csv no longer has; add it to its sizes"
        )
    return found.content


def glass_in_season(season: SeasonFacts) -> list[GlassLine]:
    """The jars and lids that season.yaml counts: empties and jars out by size, lids by kind."""
    counted: list[tuple[GlassThing, Mapping[str, int]]] = [
        ("empties", season.empties), ("out", season.out), ("lids", season.flats),
    ]  # fmt: skip
    return [GlassLine(thing, size, count) for thing, by_size in counted for size, count in by_size.items() if count]
