"""Reads stock.csv (the count sheet) and open.csv (part jars, and packs lifted out to thaw)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import get_args

from msgspec.structs import replace

from pantrymeals.errors import Place, says_the_same
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of, size_of
from pantrymeals.files.csv_tables import Row, read_table
from pantrymeals.files.gathering import Gathering, fold, shown
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.records import Lot, LotState, PartJar, Product, Size, StorePlace
from pantrymeals.units import as_words
from pantrymeals.words import ahead_words

STOCK, OPEN = "stock.csv", "open.csv"
STOCK_COLUMNS = ("product", "size", "count", "put_up", "place", "load", "source", "state", "note")
OPEN_COLUMNS = ("product", "size", "left", "opened", "place", "note")
_LIKE_CODES = 0.5
"""Codes are short: 'N2' is half like 'N1'."""
STATES: tuple[LotState, ...] = get_args(LotState)


def read_stock(
    path: Path,
    known: KnownProducts,
    places: tuple[StorePlace, ...] | None,
    gathering: Gathering,
    nothing_counts: bool = False,
    latest: date | None = None,
) -> tuple[Lot, ...]:
    """Every lot of a count sheet.

    places: the household's; None where they could not be read, and no place is called unknown.
    nothing_counts: whether a count of 0 may be written (when shelf and book are compared). latest: the last day on
    which anything can have been put up; None where no day is known.
    """
    rows = read_table(path, STOCK, STOCK_COLUMNS, ("product", "size", "count"), gathering) or []
    lots = (_lot(row, known, Places(places), nothing_counts, latest) for row in rows)
    found = tuple(lot for lot in lots if lot is not None)
    _say_rows_written_twice(found, gathering)
    return found


def _say_rows_written_twice(lots: Iterable[Lot], gathering: Gathering) -> None:
    """Two rows that say the same of a lot are one written twice, or two that nobody can tell apart: which is asked."""
    first: dict[Lot, Lot] = {}
    for lot in lots:
        before = first.setdefault(replace(lot, place=Place(STOCK)), lot)
        if before is not lot:
            same = says_the_same(lot.place, before.place.line)
            gathering.say(same.place, same.wrong, same.right)


def read_open(
    path: Path,
    known: KnownProducts,
    places: tuple[StorePlace, ...] | None,
    gathering: Gathering,
    latest: date | None = None,
) -> tuple[PartJar, ...]:
    """Every part jar of a file. latest: as for the lots."""
    rows = read_table(path, OPEN, OPEN_COLUMNS, ("product", "size", "left", "opened"), gathering) or []
    jars = (_part_jar(row, known, Places(places), latest) for row in rows)
    return tuple(jar for jar in jars if jar is not None)


class Places:
    """Where a place's code is looked up."""

    def __init__(self, places: tuple[StorePlace, ...] | None) -> None:
        self._codes = None if places is None else {fold(p.code): p.code for p in places}

    def code(self, row: Row | Fields) -> str:
        """The code as household.yaml writes it; one it lacks is written down with the nearest."""
        written = row.text("place")
        if not written or self._codes is None:
            return written
        code = self._codes.get(fold(written))
        if code is None:
            add = "add it to the places of household.yaml"
            row.say(
                "place",
                f"{shown(written)} is not a place of household.yaml",
                row.gathering.did_you_mean(written, self._codes.values(), add, _LIKE_CODES),
            )
        return code or written


def _say_if_ahead(row: Row, column: str, day: date | None, latest: date | None, year_only: bool = False) -> None:
    """A day that has not come is a slip of the pen, most often of the year."""
    if day is not None and latest is not None and (day.year > latest.year if year_only else day > latest):
        row.say(column, ahead_words(day.year if year_only else day, latest), "look at the year again")


def _lot(row: Row, known: KnownProducts, places: Places, nothing_counts: bool, latest: date | None) -> Lot | None:
    filled = row.has("product", "size", "count")
    where = places.code(row)
    read_count = values.zero_or_more if nothing_counts else values.more_than_zero
    count = row.read("count", read_count, None)
    put_up, year_only = row.read("put_up", values.day_or_year, (None, False))
    _say_if_ahead(row, "put_up", put_up, latest, year_only)
    no_state: LotState = ""
    state = row.read("state", values.one_of(STATES), no_state)
    product, size = _product_and_size(row, known)
    if not filled or product is None or size is None or count is None:
        return None
    if product.whole and count.denominator != 1:
        right = f"write whole numbers here, and what is left of an opened one in {OPEN}"
        row.say("count", f"{product.name} is counted in whole {size.name}, and this is {as_words(count)}", right)
    return Lot(
        product=product.name,
        size=size.name,
        count=count,
        put_up=put_up,
        year_only=year_only,
        where=where,
        load=row.text("load"),
        tested_source=row.text("source"),
        state=state,
        note=row.text("note"),
        place=row.place,
    )


def _part_jar(row: Row, known: KnownProducts, places: Places, latest: date | None) -> PartJar | None:
    filled = row.has("product", "size", "left", "opened")
    where = places.code(row)
    opened = row.read("opened", values.day, None)
    _say_if_ahead(row, "opened", opened, latest)
    product, size = _product_and_size(row, known)
    if not filled or product is None or size is None:
        return None
    left: Fraction | None = row.read("left", lambda text: amount_of(product, text), None)
    if left is None or opened is None:
        return None
    if left > size.content:
        row.say("left", f"more is left than one {size.name} holds", "write a row for each opened one")
    return PartJar(product.name, size.name, left, opened, where, row.text("note"), row.place)


def _product_and_size(row: Row, known: KnownProducts) -> tuple[Product | None, Size | None]:
    name, written = row.text("product"), row.text("size")
    if not name:
        return None, None
    product = known.find_or_say(name, lambda wrong, right: row.say("product", wrong, right), row.gathering)
    if product is None or not written:
        return product, None
    size = size_of(product, written)
    if size is None:
        sizes = ", ".join(s.name for s in product.sizes)
        right = f"it comes in {sizes}; a new size goes in products.csv"
        row.say("size", f"{product.name} does not come in {shown(written)}", right)
    return product, size
