"""The household as the page sees it: read from its files and book, and read again only when they changed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from threading import RLock
from typing import TypeVar

from msgspec import Struct

from pantrymeals.actions.announced import Announced, current
from pantrymeals.actions.book.enter import Book
from pantrymeals.actions.book.pantry import Pantry, pantry_book, read_pantry
from pantrymeals.actions.book.plan import MenuToPull
from pantrymeals.actions.larder import as_the_book_says, as_written
from pantrymeals.actions.meals import MenuSheet
from pantrymeals.actions.menu import announced_sheet
from pantrymeals.actions.stored_menu import menu_to_pull_in
from pantrymeals.records import Household

Read = TypeVar("Read")
WHO = "phone"
_BOOK = "put-up-book"


class ToldMenu(Struct, frozen=True):
    """The menu that the table has been told of."""

    announced: Announced
    sheet: MenuSheet
    to_pull: MenuToPull


class House:
    """One household's folder, for as long as the page is served. today: the day that was said, if any."""

    def __init__(self, folder: Path, today: date | None = None) -> None:
        self.folder = folder
        self.today = today
        self._kept: dict[str, tuple[object, object]] = {}
        self._lock = RLock()
        self._open: tuple[Pantry, Book] | None = None

    def pantry(self) -> Pantry:
        """What the book needs to know. Raises PantryError."""
        return self._fresh(
            "pantry", self._files("products.csv", "household.yaml"),
            lambda: read_pantry(self.folder, self.today, date.today(), WHO),
        )  # fmt: skip

    @contextmanager
    def book(self, *, reading: bool = False) -> Iterator[tuple[Pantry, Book]]:
        """The book, open; whoever else wants it meanwhile waits. Raises PantryError.

        One connection at a time; a page that asks for it again within the same breath has the same one.
        """
        with self._lock:
            if self._open is not None:
                yield self._open
                return
            pantry = self.pantry()
            with pantry_book(pantry, reading=reading) as book:
                self._open = pantry, book
                try:
                    yield self._open
                finally:
                    self._open = None

    def written(self) -> Household:
        """The household as its files alone tell it: who, which dishes, which places; what is on the shelf, its book
        tells. Raises MistakesInFiles with every mistake."""
        return self._fresh("written", self._files(), lambda: as_written(self.folder, self.today, date.today()))

    def household(self) -> Household:
        """The household with what is on the shelf now. Raises MistakesInFiles or PantryError."""
        written = self.written()
        with self._lock:
            assert self._open is None, "the book is read once at a time"
            stamp = (self._files(), self.newest())
            return self._fresh("household", stamp, lambda: as_the_book_says(self.folder, written))

    def newest(self) -> int:
        """The number of the book's last entry."""
        with self.book(reading=True) as (_, book):
            return max((entry.number for entry in book.entries(1)), default=0)

    def told(self) -> ToldMenu | None:
        """The announced menu of today, else the next; None where there is none. Raises PantryError."""
        written = self.written()
        found = current(self.folder, written.today)
        if found is None:
            return None
        stamp = (self._files(), _stamp(found.file), found.first, found.last)
        return self._fresh("told", stamp, lambda: self._read_menu(written))

    def _read_menu(self, household: Household) -> ToldMenu:
        announced, sheet = announced_sheet(self.folder, household)
        return ToldMenu(announced, sheet, menu_to_pull_in(announced.file))

    def stamp(self) -> str:
        """Another one whenever files, book or announced menus are not what they were."""
        announced = tuple(sorted(_stamps(self.folder / "announced")))
        return str(hash((self._files(), self.newest(), announced)))

    def _files(self, *names: str) -> object:
        """When the household's files were last written, and the day."""
        day = self.today or date.today()
        if names:
            return (day, *(_stamp(self.folder / name) for name in names))
        own = (found for found in _stamps(self.folder) if not found[0].startswith((_BOOK, ".")))
        return (day, *sorted(own), *sorted(_stamps(self.folder / "recipes")))

    def _fresh(self, what: str, stamp: object, read: Callable[[], Read]) -> Read:
        """What was read, read again where its stamp is another."""
        with self._lock:
            kept = self._kept.get(what)
            if kept is None or kept[0] != stamp:
                kept = (stamp, read())
                self._kept[what] = kept
            return kept[1]  # type: ignore[return-value]


def _stamps(folder: Path) -> Iterator[tuple[str, int, int]]:
    try:
        with os.scandir(folder) as found:
            for entry in found:
                if entry.is_file():
                    status = entry.stat()
                    yield entry.name, status.st_mtime_ns, status.st_size
    except OSError:
        return


def _stamp(path: Path) -> tuple[int, int]:
    try:
        status = path.stat()
    except OSError:
        return 0, 0
    return status.st_mtime_ns, status.st_size
