"""The book as a file: exported, made from an export, copied, put back, checked."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pantrymeals.book import keep
from pantrymeals.book.book import Book, open_book
from pantrymeals.book.connect import BOOK_FILE, TWIN_FILE, make, set_aside
from pantrymeals.book.schema import SCHEMA
from pantrymeals.errors import PantryError, Twice
from pantrymeals.on_disk import refuse_no_file
from pantrymeals.words import fold

if TYPE_CHECKING:
    from pantrymeals.actions.book.pantry import Pantry
    from pantrymeals.files.household_yaml import HouseholdSheet

__all__ = ["SCHEMA"]


@contextmanager
def pantry_with_book(
    folder: Path, day: date | None, who: str = "", *, reading: bool = False
) -> Iterator[tuple[Pantry, Book]]:
    """The household and its book. Raises PantryError."""
    from pantrymeals.actions.book.pantry import pantry_book, read_pantry

    pantry = read_pantry(folder, day, date.today(), who)
    with pantry_book(pantry, reading=reading) as book:
        yield pantry, book


@contextmanager
def book_to_read(folder: Path) -> Iterator[Book]:
    """The book alone, for what needs no product's name: copies, the log, the check.

    So it is quick, and works where a file of the household has a mistake. Only a book that is not
    there yet is made from the household's files.
    """
    if (folder / BOOK_FILE).exists():
        with open_book(folder / BOOK_FILE, reading=True) as book:
            yield book
    else:
        with pantry_with_book(folder, None, reading=True) as (_, book):
            yield book


def export(folder: Path, file: Path) -> str:
    """Write every line of the book as one table, CSV or spreadsheet. Raises PantryError."""
    from pantrymeals.book.twin import as_csv, as_sheet
    from pantrymeals.on_disk import write_safely

    kind = file.suffix.casefold()
    if kind not in (".csv", ".xlsx"):
        raise PantryError(f"'{file}' should end in .csv or .xlsx")
    with book_to_read(folder) as book:
        keep.refuse_a_damaged(book)
        write_safely(file, (as_sheet if kind == ".xlsx" else as_csv)(book), may_make=TWIN_FILE)
    return f"Written: {file}"


def bring_back(folder: Path, file: Path, twice: Twice | None = None) -> str:
    """Make a book from an export, in a folder that has none. twice: see ``fill_from_rows``. Raises PantryError."""
    from pantrymeals.book.twin import csv_rows, fill_from_rows, household_in, sheet_rows

    refuse_no_file(file)
    path = folder / BOOK_FILE
    if path.exists():
        raise PantryError(f"{path}: there is a book here already, and it is never overwritten")
    rows = list(sheet_rows(file) if file.suffix.casefold() == ".xlsx" else csv_rows(file))
    sheet, owner = _own_sheet(folder), household_in(rows)
    own = sheet.name if sheet else ""
    if own and owner and fold(own) != fold(owner):
        raise _anothers(file, owner, own)
    make(path, fill_from_rows(file.name, rows, twice))
    try:
        held = _hold_the_untested(folder)
    except PantryError:
        held = ()  # a household that cannot be read yet: its menus hold such jars when it is (lots_in)
    with open_book(path) as book:
        made = f"Made {path}: {book.number_of_entries()} entries, {len(book.on_hand())} lots on hand."
    aside = [
        f"Its sums are this file's alone; beside it lies {old.name}, which was set aside." for old in set_aside(folder)
    ]
    return "\n".join((made, *aside[:1], *held))


def _hold_the_untested(folder: Path) -> tuple[str, ...]:
    """Hold what a book brought with it and no process is tested for; what was entered, in words."""
    if not (folder / "products.csv").exists():
        return ()  # a book alone: nobody knows what its products are
    from pantrymeals.actions.book.enter import enter
    from pantrymeals.actions.book.hold import hold_lots
    from pantrymeals.jar_doubts import why_untested

    with pantry_with_book(folder, None) as (pantry, book):
        released = book.released()
        doubtful = {
            here.number
            for here in book.on_hand()
            if (product := pantry.product(here.lot.product)) is not None
            and here.number not in released
            and here.state in ("", "promised")
            and why_untested(product, here.lot.note)
        }
        if not doubtful:
            return ()
        command = "hold what no process is tested for"
        return enter(
            pantry, book, command, lambda b: hold_lots(b, lambda here: here.number in doubtful), cautions=("C4",)
        ).said


def backup(folder: Path, file: Path) -> str:
    """Copy the whole book to a file, others writing or not; nothing is overwritten. Raises PantryError."""
    with book_to_read(folder) as book:
        keep.backup(book, file)
    return f"Copied to {file}"


def restore(folder: Path, file: Path) -> str:
    """Put a copy in the book's place; what was there is set aside. Raises PantryError, for another household's too."""
    refuse_no_file(file)
    sheet = _own_sheet(folder)
    own = sheet.name if sheet else ""
    ours = {fold(name) for name in (own, *_names_so_far(folder))}
    owner = ""

    def look_over(copy: Book) -> None:
        nonlocal owner
        owner = copy.household()
        if own and owner and fold(owner) not in ours:
            raise _anothers(file, owner, own)

    aside = keep.restore(file, folder / BOOK_FILE, look_over)
    renamed = f" It has your former name, {owner}: 'book whose {own}'." if owner and fold(owner) != fold(own) else ""
    return f"Restored from {file}." + (f" The former book is {aside}." if aside else "") + (renamed if own else "")


def _own_sheet(folder: Path) -> HouseholdSheet | None:
    """What household.yaml says; None where it is not there or cannot be read, which other commands say."""
    from pantrymeals.files.gathering import Gathering
    from pantrymeals.files.household_yaml import FILE, read_household_yaml

    path = folder / FILE
    return read_household_yaml(path, Gathering()) if path.exists() else None


def _names_so_far(folder: Path) -> frozenset[str]:
    """The names that the book there has had; none where there is none that can be read."""
    try:
        with open_book(folder / BOOK_FILE, reading=True) as book:
            return book.households()
    except PantryError:
        return frozenset()


def _anothers(file: Path, owner: str, own: str) -> PantryError:
    return PantryError(
        f"{file}: this is the book of the household {owner}, and household.yaml says {own}; nothing was changed. If "
        f"{own} is your household's new name: write 'household: {owner}' there, bring the book back, write {own} "
        f"there again, and then 'book whose {own}'"
    )


def whose(folder: Path, name: str, day: date | None, who: str = "") -> str:
    """Say whose book it is, or write down the household's new name, under its own day. Raises PantryError."""
    from pantrymeals.book.lines import HOUSEHOLD, NewEntry, ServedLine
    from pantrymeals.book.writing import write

    with open_book(folder / BOOK_FILE, reading=not name) as book:
        if not name:
            return f"The book of the household {book.household() or '(not written down)'}."
        sheet = _own_sheet(folder)
        on = day or (sheet.today if sheet else None) or date.today()
        written = write(book, NewEntry(on, f"book whose {name}", who), lambda _: [ServedLine(on, HOUSEHOLD, name)])
        return f"Entered, no. {written.entry}: this is the book of the household {name}."


def check(folder: Path) -> tuple[tuple[str, ...], str]:
    """What is wrong in the book, and what to say where nothing is."""
    with book_to_read(folder) as book:
        return keep.what_is_wrong(book), f"All is well: {book.number_of_entries()} entries read."
