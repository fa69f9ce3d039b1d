"""The book's plain-text twin: every line of the book as one table, out and in again, exactly.

One row is one line of an entry: what was said, of which lot, how many, where and why. Counts are
exact numbers ('2', '0.5', '17/14'). The same table is written as CSV or as a spreadsheet.
"""

from __future__ import annotations

import csv
import io
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from functools import cache, lru_cache
from pathlib import Path

from pantrymeals.book.book import Book
from pantrymeals.book.counts import PARTS, from_parts
from pantrymeals.book.lines import HOUSEHOLD
from pantrymeals.book.schema import LINES, line_into
from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.writing import nowhere_less_than_nothing
from pantrymeals.cells import csv_cell, exact, from_csv
from pantrymeals.errors import Mistake, MistakesInFiles, PantryError, Place, RowsTwice, Twice, says_the_same
from pantrymeals.tables.shapes import PlainTable
from pantrymeals.tables.sheets import as_xlsx, rows_as_csv
from pantrymeals.units import take_number

COLUMNS = (
    "entry", "entered", "command", "who", "key", "undoes",
    "what", "day", "lot", "product", "size", "put_up", "load", "source",
    "place", "state", "count", "reason", "note", "lot_note",
)  # fmt: skip
"""entered: the day it was written; day: the day it speaks of. what: jars, part jar, empties,
out, lids, failed or served (then product is the dish and reason the meal)."""

_LINES = """
SELECT entry, 0, movement.id, 'jars', day, CAST(lot AS TEXT), product, size, put_up, load, source, place, state,
       parts, reason, movement.note, lot.note FROM movement JOIN lot ON lot.id = lot
UNION ALL
SELECT entry, 1, part_movement.id, 'part jar', day, '', product, size, opened, '', '', place, '',
       parts, reason, note, '' FROM part_movement JOIN part_jar ON part_jar.id = part_jar
UNION ALL
SELECT entry, 2, id, thing, day, '', '', size, '', '', '', '', '', CAST(count AS TEXT), '', note, '' FROM glass_movement
UNION ALL
SELECT entry, 3, failed_seal.id, 'failed', day, CAST(lot AS TEXT), product, size, put_up, load, source, '', '',
       CAST(count AS TEXT), '', '', lot.note FROM failed_seal JOIN lot ON lot.id = lot
UNION ALL
SELECT entry, 4, id, 'served', day, '', dish, '', '', '', '', '', '', CAST(times AS TEXT), meal, '', '' FROM served"""
"""Every line of the book under COLUMNS, its entry, kind and number before it; jars and part jars counted in parts."""


@cache
def _exact(parts: int) -> str:
    return exact(from_parts(parts))


def rows_of(book: Book) -> list[list[str]]:
    """The whole book as rows under COLUMNS, in the order it was written."""
    entries = {
        n: [str(n), day, command, who, key, "" if undoes is None else str(undoes)]
        for n, day, command, who, key, undoes in book.db.execute("SELECT id, day, command, who, key, undoes FROM entry")
    }
    rows = []
    for entry, kind, _, *row in sorted(book.db.execute(_LINES)):  # of these three no two lines have the same
        if kind < 2:
            row[-4] = _exact(row[-4])
        rows.append(entries[entry] + row)
    return rows


def as_csv(book: Book) -> bytes:
    """The twin as CSV."""
    written = _Cells().__getitem__
    return rows_as_csv(COLUMNS, (map(written, row) for row in rows_of(book)))


class _Cells(dict[str, str]):
    """Texts as cells of CSV. Most of the book's two hundred thousand say what another has said: each is made once."""

    def __missing__(self, text: str) -> str:
        return self.setdefault(text, csv_cell(text))


def as_sheet(book: Book) -> bytes:
    """The twin as a spreadsheet. Raises PantryError where a text does not go into a cell."""
    return as_xlsx((PlainTable("put-up book", COLUMNS, rows_of(book)),))


def _may_begin_with_an_apostrophe(text: str) -> bool:
    """Whether any cell of a CSV file does, by what stands before it."""
    return text.startswith("'") or any(f"{before}'" in text for before in ',"\r\n')


def csv_rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """(line number, row) of a twin in CSV, its heading checked. Raises PantryError."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise BookTrouble(f"{path}: cannot be read ({error})") from None
    reader = csv.reader(io.StringIO(text))
    _check_heading(path, next(reader, []))
    rows = ((reader.line_num, row) for row in reader if row and (row[0] or any(row)))
    # of two hundred thousand cells most likely none begins with an apostrophe
    return ((n, list(map(from_csv, row))) for n, row in rows) if _may_begin_with_an_apostrophe(text) else rows


def sheet_rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """(row number, row) of a twin in a spreadsheet, its heading checked. Raises PantryError."""
    rows = xlsx_rows(path)
    _check_heading(path, rows[0][1] if rows else [])
    return iter(rows[1:])


def _check_heading(path: Path, heading: Sequence[str]) -> None:
    if tuple(heading) != COLUMNS:
        raise BookTrouble(f"{path}: this is no export of a put-up book; its first line should be {','.join(COLUMNS)}")


def household_in(rows: Iterable[tuple[int, list[str]]]) -> str:
    """The name of the household whose book a twin is, as last written; '' where it does not say."""
    found = ""
    for _, row in rows:
        if row[_WHAT : _WHAT + 1] == ["served"] and row[_REASON : _REASON + 1] == [HOUSEHOLD]:
            found = row[_PRODUCT]
    return found


def fill_from_rows(
    file: str, rows: Iterable[tuple[int, list[str]]], twice: Twice | None = None
) -> Callable[[sqlite3.Connection], None]:
    """A filler for a new book (see connect.make) from the rows of a twin.

    twice: whether a row that brings in the same as one above counts too, or not; None where nobody has said.
    Raises RowsTwice where that alone is not clear, and MistakesInFiles with every row that cannot be entered.
    """

    def fill(db: sqlite3.Connection) -> None:
        reader = _TwinReader(file, twice)
        for line, row in rows:
            reader.take(line, row)
        if reader.mistakes:
            raise MistakesInFiles((*reader.mistakes, *reader.seconds))
        if reader.seconds:
            raise RowsTwice(reader.seconds)
        try:
            reader.enter(db)
            nowhere_less_than_nothing(db)
        except sqlite3.IntegrityError as error:
            raise BookTrouble(f"{file}: the lines contradict each other ({error})") from None
        except PantryError as error:
            raise BookTrouble(f"{file}: {error}") from None

    return fill


_WHAT, _PRODUCT = COLUMNS.index("what"), COLUMNS.index("product")
_PUT_UP, _LOT, _COUNT, _REASON = (COLUMNS.index(name) for name in ("put_up", "lot", "count", "reason"))
_BRINGS_IN = frozenset({"put up", "bought", "arrived", "counted"})
_KINDS = {"jars": 0, "part jar": 1, "empties": 2, "out": 2, "lids": 2, "failed": 3, "served": 4}
"""The order in which an export tells the lines of one entry: where it goes back, the entry is told again."""
_DAYS = (COLUMNS.index("entered"), COLUMNS.index("day"), _PUT_UP)


@lru_cache(1000)
def _is_year(text: str) -> bool:
    from pantrymeals.records import FIRST_DAY, LAST_DAY

    return len(text) == 4 and text.isascii() and text.isdigit() and FIRST_DAY.year <= int(text) <= LAST_DAY.year


def _is_number(text: str) -> bool:
    """A number of an entry or a lot: plain figures, and no more of them than a book can hold."""
    return text.isascii() and text.isdigit() and len(text) < 20 and int(text) <= _MOST


_MOST = 2**63 - 1


def _whole(text: str) -> int:
    """A whole number that a book can hold. Raises ValueError."""
    if abs(number := int(text)) > _MOST:
        raise ValueError(text)
    return number


class _TwinReader:
    """Gathers the rows of a twin by table, and what is wrong with them."""

    def __init__(self, file: str, twice: Twice | None) -> None:
        self.file = file
        self.twice = twice
        self.mistakes: list[Mistake] = []
        self.seconds: list[Mistake] = []
        self.entries: dict[str, tuple[int | str | None, ...]] = {}
        self.lots: dict[str, tuple[int | str, ...]] = {}
        self.part_jars: dict[tuple[str, ...], int] = {}
        self.tables: dict[str, list[tuple[int | str, ...]]] = {name: [] for name in LINES}
        self._came: dict[tuple[str, ...], tuple[int, int]] = {}
        self._telling, self._last = 0, ("", 0)
        self._parts: dict[str, int] = {}
        self._days: set[str] = set()

    def take(self, line: int, row: list[str]) -> None:
        """One row, sorted into its table."""
        if len(row) != len(COLUMNS):
            self._wrong(line, 0, f"this row has {len(row)} columns, not {len(COLUMNS)}")
            return
        entry = row[0]
        if entry not in self.entries:
            self._take_entry(line, row)
        for column in _DAYS:
            if row[column] not in self._days and not self._is_day(row, column):
                self._wrong(line, column + 1, f"'{row[column]}' is no day within 1900 to 2100", "such as 2026-01-17")
                return
        try:
            if not self._is_a_second(line, row) or self.twice != "one":
                self._take_line(line, row)
        except (ValueError, ZeroDivisionError):
            no_lot = row[6] in ("jars", "failed") and not _is_number(row[8])
            column = COLUMNS.index("lot" if no_lot else "count")
            self._wrong(line, column + 1, f"'{row[column]}' is not a number", "such as 2, 0.5 or 17/14")
        except KeyError:
            self._wrong(line, 7, f"'{row[6]}' is no kind of line", "such as jars, part jar, empties or lids")

    def _is_day(self, row: list[str], column: int) -> bool:
        """A real day of the calendar; a lot's put_up may also be a year alone, or blank."""
        text = row[column]
        if column == _PUT_UP and row[6] != "part jar" and (not text or _is_year(text)):
            return True
        from pantrymeals.records import FIRST_DAY, LAST_DAY

        try:
            good = date.fromisoformat(text).isoformat() == text and FIRST_DAY <= date.fromisoformat(text) <= LAST_DAY
        except ValueError:
            return False
        if good:
            self._days.add(text)
        return good

    def _take_entry(self, line: int, row: list[str]) -> None:
        entry, entered, command, who, key, undoes = row[:6]
        if not _is_number(entry):
            self._wrong(line, 1, f"'{entry}' is no number of an entry")
        elif undoes and not (_is_number(undoes) and int(undoes) < int(entry)):
            column = COLUMNS.index("undoes") + 1
            self._wrong(line, column, f"'{undoes}' is no entry before this one, so it cannot be taken back by it")
        else:
            self.entries[entry] = (int(entry), entered, command, who, key, int(undoes) if undoes else None)

    def _is_a_second(self, line: int, row: list[str]) -> bool:
        """Two rows that bring in the same are asked about, and any row of an entry that is told over again further
        down; two that take one jar each are an evening's tally."""
        kind = _KINDS.get(row[6], len(_KINDS))
        if row[0] != self._last[0] or kind < self._last[1]:
            self._telling += 1
        self._last = (row[0], kind)
        first, telling = self._came.setdefault(tuple(row), (line, self._telling))
        if first == line:
            return False
        brings_in = row[6] in ("jars", "part jar") and row[_REASON] in _BRINGS_IN and not row[_COUNT].startswith("-")
        if telling == self._telling and not brings_in:
            return False
        if self.twice is None:
            self.seconds.append(says_the_same(Place(self.file, line, 1), first))
        return True

    def _take_line(self, line: int, row: list[str]) -> None:
        entry, what, day = row[0], row[6], row[7]
        lot, product, size, put_up, load, source, place, state, count, reason, note, lot_note = row[8:]
        if what in ("jars", "failed"):
            told = (_whole(lot), product, size, put_up, load, source, lot_note)
            if self.lots.setdefault(lot, told) != told:
                was = ", ".join(str(x) for x in self.lots[lot][1:] if x)
                self._wrong(
                    line, _LOT + 1, f"lot {lot} is told in two ways; above it is {was}", "put one of them right"
                )
        if what == "jars":
            self._add("movement", entry, day, lot, place, state, self._read_parts(count), reason, note)
        elif what == "part jar":
            facts = (product, size, put_up, place, note)
            number = self.part_jars.setdefault(facts, len(self.part_jars) + 1)
            self._add("part_movement", entry, day, number, self._read_parts(count), reason)
        elif what in ("empties", "out", "lids"):
            self._add("glass_movement", entry, day, what, size, _whole(count), note)
        elif what == "failed":
            self._add("failed_seal", entry, day, lot, _whole(count))
        elif what == "served":
            self._add("served", entry, day, reason, product, _whole(count))
        else:
            raise KeyError(what)

    def _add(self, table: str, *values: int | str) -> None:
        self.tables[table].append(values)

    def _read_parts(self, text: str) -> int:
        if text not in self._parts:
            taken = take_number(text)
            if taken is None or taken[1]:
                raise ValueError(text)
            parts = taken[0] * PARTS
            if parts.denominator != 1:
                raise ValueError(text)
            self._parts[text] = _whole(str(int(parts)))
        return self._parts[text]

    def _wrong(self, line: int, column: int, wrong: str, right: str = "") -> None:
        self.mistakes.append(Mistake(Place(self.file, line, column), wrong, right))

    def enter(self, db: sqlite3.Connection) -> None:
        """Everything gathered, table by table."""
        # entries may be undone by later ones only, so their own order serves the foreign key
        db.executemany(
            "INSERT INTO entry (id, day, command, who, key, undoes) VALUES (?, ?, ?, ?, ?, ?)",
            [self.entries[number] for number in sorted(self.entries, key=int)],
        )
        db.executemany("INSERT INTO lot VALUES (?, ?, ?, ?, ?, ?, ?)", self.lots.values())
        db.executemany(
            "INSERT INTO part_jar VALUES (?, ?, ?, ?, ?, ?)",
            [(number, *facts) for facts, number in self.part_jars.items()],
        )
        for table, rows in self.tables.items():
            db.executemany(line_into(table), rows)
