"""Writing in the book: whole entries, once each, and never less than nothing on a shelf."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from datetime import date

from msgspec.structs import asdict

from pantrymeals.book.book import Book
from pantrymeals.book.connect import patiently
from pantrymeals.book.counts import from_parts, to_parts
from pantrymeals.book.lines import AnyLine, FailedLine, GlassLine, Line, NewEntry, PartLine, ServedLine, Written
from pantrymeals.book.schema import LINES, SIGNED, line_into
from pantrymeals.book.trouble import BookTrouble, NothingToUndo
from pantrymeals.units import as_words

Decide = Callable[[Book], Iterable[AnyLine]]


def write(book: Book, new: NewEntry, decide: Decide) -> Written:
    """Enter one thing that was done, whole or not at all; it is on the disk when this returns.

    decide sees the book as it stands, with nobody else writing, and gives the lines.
    A key that is there already adds nothing. An entry with no lines adds nothing either, and
    has number 0. Raises BookTrouble when a shelf would hold less than nothing, or the disk fails.
    """

    def act() -> Written:
        lines = _of_something(decide(book))
        if not lines:
            return Written(0)
        number = _enter_whole(book.db, new, lines)
        _never_less_than_nothing(book.db, number)
        return Written(number, lines)

    return _in_one_go(book, new.key, act)


def undo(book: Book, new: NewEntry, number: int | None = None) -> Written:
    """Take back an entry (the last one still standing, if no number is given).

    Every sum is then exactly what it was without that entry. Raises NothingToUndo, or BookTrouble
    when what the entry brought has since gone.
    """

    def act() -> Written:
        target = _last_standing(book.db) if number is None else _standing(book.db, number)
        return _reverse(book.db, new, target)

    return _in_one_go(book, new.key, act)


def redo(book: Book, new: NewEntry) -> Written:
    """Do again what was last undone, if nothing has been written since. Raises NothingToUndo."""
    return _in_one_go(book, new.key, lambda: _reverse(book.db, new, _last_undo(book.db)))


def fill_with(entries: Iterable[tuple[NewEntry, Iterable[AnyLine]]]) -> Callable[[sqlite3.Connection], None]:
    """A filler for a new book (see connect.make): these entries, in order."""

    def fill(db: sqlite3.Connection) -> None:
        for new, lines in entries:
            _enter_whole(db, new, _of_something(lines))
        nowhere_less_than_nothing(db)

    return fill


def _enter_whole(db: sqlite3.Connection, new: NewEntry, lines: Iterable[AnyLine]) -> int:
    """An entry with its lines; its number. Raises BookTrouble for a day beyond the calendar."""
    _within_the_calendar(new, lines)
    number = _enter(db, new, None)
    for line in lines:
        table, values = _row_of(db, line)
        db.execute(line_into(table), (number, _day_of(line, new).isoformat(), *values))
    return number


def _day_of(line: AnyLine, new: NewEntry) -> date:
    """The day that a line speaks of: the entry's, where it does not say."""
    return line.served if isinstance(line, ServedLine) else line.day or new.day


def _within_the_calendar(new: NewEntry, lines: Iterable[AnyLine]) -> None:
    """Raise BookTrouble for a day that no larder reaches: every later sum over days would fall over it."""
    days = [new.day]
    for line in lines:
        days.append(_day_of(line, new))
        if isinstance(line, Line | FailedLine) and line.lot.day[0] is not None:
            days.append(line.lot.day[0])
        if isinstance(line, PartLine):
            days.append(line.part.opened)
    from pantrymeals.records import FIRST_DAY, LAST_DAY

    for day in days:
        if not FIRST_DAY <= day <= LAST_DAY:
            raise BookTrouble(f"{day} is not a day within 1900 to 2100, so nothing was entered; look at the year again")


def _of_something(lines: Iterable[AnyLine]) -> tuple[AnyLine, ...]:
    """The lines without those of nothing (a count that agrees, no jars out)."""
    return tuple(line for line in lines if isinstance(line, ServedLine) or line.count)


def _in_one_go(book: Book, key: str, act: Callable[[], Written]) -> Written:
    """One transaction, alone with the book: all of it, or nothing; where the key is there already, nothing."""
    book.keys.append(key)

    def attempt() -> Written:
        book.db.execute("BEGIN IMMEDIATE")
        try:
            known = _entry_with(book.db, key)
            written = Written(known, again=True) if known else act()
            book.db.execute("COMMIT")
        except BaseException:
            # SQLite may already have rolled back by itself (a full disk): then there is nothing to do.
            with contextlib.suppress(sqlite3.Error):
                book.db.execute("ROLLBACK")
            raise
        return written

    return patiently(book.path, attempt)


def _entry_with(db: sqlite3.Connection, key: str) -> int:
    found = db.execute("SELECT id FROM entry WHERE key = ?", (key,)).fetchone()
    return int(found[0]) if found else 0


def _enter(db: sqlite3.Connection, new: NewEntry, undoes: int | None) -> int:
    done = db.execute(
        "INSERT INTO entry (day, command, who, key, undoes) VALUES (?, ?, ?, ?, ?)",
        (new.day.isoformat(), new.command, new.who, new.key, undoes),
    )
    return int(done.lastrowid or 0)


def _number_of(db: sqlite3.Connection, table: str, facts: Mapping[str, str]) -> int:
    """The lot or part jar with these facts: the one there is, or a new one."""
    names, marks, values = ", ".join(facts), ", ".join("?" * len(facts)), tuple(facts.values())
    db.execute(f"INSERT INTO {table} ({names}) VALUES ({marks}) ON CONFLICT DO NOTHING", values)
    return int(db.execute(f"SELECT id FROM {table} WHERE ({names}) = ({marks})", values).fetchone()[0])


def _row_of(db: sqlite3.Connection, line: AnyLine) -> tuple[str, tuple[object, ...]]:
    """The table of a line, and its values there after the day."""
    match line:
        case Line():
            lot = _number_of(db, "lot", asdict(line.lot))
            return "movement", (lot, line.place, line.state, to_parts(line.count), line.reason, line.note)
        case PartLine():
            facts = asdict(line.part) | {"opened": line.part.opened.isoformat()}
            return "part_movement", (_number_of(db, "part_jar", facts), to_parts(line.count), line.reason)
        case GlassLine():
            return "glass_movement", (line.thing, line.size, line.count, line.note)
        case FailedLine():
            return "failed_seal", (_number_of(db, "lot", asdict(line.lot)), line.count)
        case ServedLine():
            return "served", (line.meal, line.dish, line.times)


def _reverse(db: sqlite3.Connection, new: NewEntry, target: int) -> Written:
    """The lines of an entry once more with the opposite sign: on the same days, for the same reasons."""
    number = _enter(db, new, target)
    for table, columns in LINES.items():
        opposite = ", ".join(f"-{name}" if name in SIGNED else name for name in columns)
        db.execute(
            f"INSERT INTO {table} (entry, {', '.join(columns)}) "
            f"SELECT ?, {opposite} FROM {table} WHERE entry = ? ORDER BY id",
            (number, target),
        )
    try:
        _never_less_than_nothing(db, number)
    except BookTrouble as error:
        raise BookTrouble(
            f"entry {target} cannot be taken back by itself: what it brought has since gone. "
            f"Take back the later entry first. {error}",
            " 'book log' shows the entries.",
        ) from None
    return Written(number)


_TURNS = """WITH RECURSIVE turn (id, undoing) AS (
        SELECT id, 0 FROM entry WHERE undoes IS NULL
        UNION ALL SELECT entry.id, 1 - turn.undoing FROM entry JOIN turn ON entry.undoes = turn.id
    ), standing AS (
        SELECT turn.id, undoing FROM turn
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.undoes = turn.id)
    )"""


def _last_standing(db: sqlite3.Connection) -> int:
    last = db.execute(f"{_TURNS} SELECT max(id) FROM standing WHERE NOT undoing").fetchone()[0]
    if last is None:
        raise NothingToUndo("there is nothing in the book to take back")
    return int(last)


def _standing(db: sqlite3.Connection, number: int) -> int:
    if not db.execute("SELECT 1 FROM entry WHERE id = ?", (number,)).fetchone():
        raise NothingToUndo(f"there is no entry {number}", "; 'book log' shows them")
    found = db.execute(f"{_TURNS} SELECT 1 FROM standing WHERE NOT undoing AND id = ?", (number,)).fetchone()
    if not found:
        raise NothingToUndo(f"entry {number} no longer stands, so there is nothing to take back")
    return number


def _last_undo(db: sqlite3.Connection) -> int:
    last = db.execute(f"{_TURNS} SELECT max(id) FROM standing WHERE undoing").fetchone()[0]
    newest = db.execute("SELECT coalesce(max(id), 0) FROM entry WHERE undoes IS NULL").fetchone()[0]
    if last is None:
        raise NothingToUndo("nothing has been undone, so there is nothing to do again")
    if newest > last:
        raise NothingToUndo("something else has been written since the undo; say it afresh instead")
    return int(last)


def nowhere_less_than_nothing(db: sqlite3.Connection) -> None:
    """No lot at any place, and no part jar, may hold less than nothing. Raises BookTrouble naming one."""
    below = db.execute(
        """SELECT lot.product, lot.size, place, sum(parts) FROM movement JOIN lot ON lot.id = movement.lot
           GROUP BY lot, place, state HAVING sum(parts) < 0 LIMIT 1"""
    ).fetchone()
    if below:
        product, size, place, parts = below
        raise BookTrouble(
            f"the lines add up to {as_words(from_parts(parts))} {size} {product} at {place or 'no place'}"
        )
    empty = db.execute(
        """SELECT part_jar.product FROM part_movement JOIN part_jar ON part_jar.id = part_jar
           GROUP BY part_jar HAVING sum(parts) < 0 LIMIT 1"""
    ).fetchone()
    if empty:
        raise BookTrouble(f"the lines add up to less than nothing in a part jar of {empty[0]}")


def _never_less_than_nothing(db: sqlite3.Connection, entry: int) -> None:
    """No lot at a place, and no part jar, that this entry touches may fall below nothing."""
    below = db.execute(
        """SELECT lot.product, lot.size, lot.put_up, here.place, here.state, here.parts,
                  (SELECT sum(parts) FROM movement AS own WHERE own.entry = ?1 AND own.lot = here.lot
                   AND own.place = here.place AND own.state = here.state)
           FROM (SELECT lot, place, state, sum(parts) AS parts FROM movement
                 WHERE lot IN (SELECT lot FROM movement WHERE entry = ?1)
                 GROUP BY lot, place, state HAVING sum(parts) < 0) AS here
           JOIN lot ON lot.id = here.lot
           JOIN movement AS own ON own.entry = ?1 AND own.lot = here.lot
             AND own.place = here.place AND own.state = here.state LIMIT 1""",
        (entry,),
    ).fetchone()
    if below:
        product, size, put_up, place, state, parts, own = below
        there, asked = as_words(from_parts(parts - own)), as_words(from_parts(-own))
        label = f" put up {put_up}" if put_up else ""
        raise BookTrouble(
            f"the book has {there} {size} {product}{label}{f', {state},' if state else ''} at "
            f"{place or 'no place'}, not {asked}. "
            "If the shelf shows more, take the count there first."
        )
    empty = db.execute(
        """SELECT part_jar.product FROM part_movement JOIN part_jar ON part_jar.id = part_jar
           WHERE part_jar IN (SELECT part_jar FROM part_movement WHERE entry = ?)
           GROUP BY part_jar HAVING sum(parts) < 0 LIMIT 1""",
        (entry,),
    ).fetchone()
    if empty:
        raise BookTrouble(f"there is not that much left in the part jar of {empty[0]}")
