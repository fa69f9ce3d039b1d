"""put-up-list.csv: the list that the household accepted for a season, and what comes in by it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from pathlib import Path

from msgspec import Struct

from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.csv_tables import Row, read_table
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season_values import one_of_its_sizes
from pantrymeals.larder.book_history import book_year_of
from pantrymeals.records import Arrival
from pantrymeals.season_facts import ExpectedCrop

FILE = "put-up-list.csv"
COLUMNS = ("product", "size", "count", "day", "note")
NOTE = "by the put-up list"


class AcceptedList(Struct, frozen=True):
    """What the household accepted: what comes in, in base measures, of the products it decided on, for one season.

    season: the year in which the book year of its first day began; None for an empty list. products: all that it
    speaks of, those with a count of nothing too.
    """

    season: int | None = None
    products: frozenset[str] = frozenset()
    coming: tuple[Arrival, ...] = ()

    def arrivals(self, written: Iterable[Arrival], today: date, opens: tuple[int, int]) -> tuple[Arrival, ...]:
        """What comes in: of the list's products in its season what it says, of all else what is written."""
        kept = [a for a in written if not self._decides(a.product, a.day, opens)]
        return tuple(sorted([*kept, *(a for a in self.coming if a.day >= today)], key=lambda a: a.day))

    def expected(self, written: Iterable[ExpectedCrop], opens: tuple[int, int]) -> tuple[ExpectedCrop, ...]:
        """The same of the crops that season.yaml expects."""
        kept = [e for e in written if not self._decides(e.product, e.day, opens)]
        return (*kept, *(ExpectedCrop(a.product, a.amount, a.day) for a in self.coming))

    def _decides(self, product: str, day: date, opens: tuple[int, int]) -> bool:
        return product in self.products and book_year_of(day, opens) == self.season


def read_put_up_list(path: Path, known: KnownProducts, opens: tuple[int, int], gathering: Gathering) -> AcceptedList:
    """The accepted list; every mistake is written down with its line."""
    rows = read_table(path, FILE, COLUMNS, ("product", "count"), gathering) or []
    found = [entry for row in rows if (entry := _entry(row, known))]
    days = [(day, place) for _, _, day, place in found if day is not None]
    season = book_year_of(min(days)[0], opens) if days else None
    for day, place in days:
        if book_year_of(day, opens) != season:
            first = min(days)[0]
            wrong = f"{day} is not in the season of the first day of the list ({first})"
            gathering.say(place, wrong, "a list is of one season: keep the others in calendar.yaml")
    coming = tuple(Arrival(name, amount, day, NOTE, place) for name, amount, day, place in found if day and amount)
    return AcceptedList(season, frozenset(name for name, *_ in found), coming)


def _entry(row: Row, known: KnownProducts) -> tuple[str, Fraction, date | None, Place] | None:
    if not row.has("product", "count"):
        return None
    product = known.find_or_say(
        row.text("product"), lambda wrong, right: row.say("product", wrong, right), row.gathering
    )
    count = row.read("count", values.zero_or_more, None)
    day = row.read("day", values.day, None)
    if product is None or count is None:
        return None
    if count and day is None and not row.text("day"):
        row.say("day", "there is no day on which it comes in", "write one such as 2026-08-20")
    size = row.read("size", one_of_its_sizes(product), product.sizes[0].name)
    of = product.size(size)
    return None if of is None else (product.name, count * of.content, day, row.place)
