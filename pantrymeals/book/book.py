"""The put-up book, open: what is on hand, what came and went, and who said so."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pantrymeals.book.connect import connect
from pantrymeals.book.counts import from_parts
from pantrymeals.book.lines import RELEASED, EntryLine, LotFacts, OnHand, PartFacts, PartOnHand
from pantrymeals.book.trouble import damaged, in_plain_words, is_damaged
from pantrymeals.errors import PantryError

if TYPE_CHECKING:
    from pantrymeals.records import Movement

_ON_HAND = "lot, product, size, put_up, load, source, note, place, state"


class Book:
    """An open book: every question is answered from the sums of its lines.

    path is for messages; a book in memory keeps the path of the folder it speaks for. keys: of all that was asked
    to be entered while it is open, whether it was or not.
    """

    def __init__(self, db: sqlite3.Connection, path: Path) -> None:
        self.db = db
        self.path = path
        self.keys: list[str] = []

    def _rows(self, query: str, values: tuple[object, ...] = ()) -> Iterator[tuple[Any, ...]]:
        try:
            yield from self.db.execute(query, values)
        except sqlite3.Error as error:
            raise in_plain_words(self.path, error) from error

    def entered_now(self) -> tuple[int, ...]:
        """The numbers of what was entered while the book is open, as the book itself has them."""
        marks = ", ".join("?" * len(self.keys))
        found = self._rows(f"SELECT id FROM entry WHERE key IN ({marks}) ORDER BY id", tuple(self.keys))
        return tuple(number for (number,) in found)

    def on_hand(self, product: str | None = None) -> tuple[OnHand, ...]:
        """What is there, lot by lot and place by place; oldest lot first within a product."""
        if product is None:
            query = f"SELECT {_ON_HAND}, parts FROM stock ORDER BY product, put_up, lot, place, state"
            values: tuple[object, ...] = ()
        else:
            # the view adds up the whole book before it picks; a pull asks for fifty products one by one
            query = f"""SELECT {_ON_HAND}, sum(parts)
                        FROM (SELECT id AS lot, product, size, put_up, load, source, note FROM lot WHERE product = ?)
                        JOIN (SELECT lot AS of_lot, place, state, parts FROM movement) ON of_lot = lot
                        GROUP BY lot, place, state HAVING sum(parts) <> 0
                        ORDER BY product, put_up, lot, place, state"""
            values = (product,)
        return tuple(
            OnHand(n, LotFacts(product, size, put_up, load, source, note), place, state, from_parts(parts))
            for n, product, size, put_up, load, source, note, place, state, parts in self._rows(query, values)
        )

    def lots(self, product: str | None = None) -> tuple[tuple[int, LotFacts], ...]:
        """Every lot ever written, those now empty too, by number."""
        where, values = ("", ()) if product is None else ("WHERE product = ?", (product,))
        query = f"SELECT id, product, size, put_up, load, source, note FROM lot {where} ORDER BY put_up, id"
        return tuple((n, LotFacts(*facts)) for n, *facts in self._rows(query, values))

    def part_jars(self) -> tuple[PartOnHand, ...]:
        """Part jars with something left, the oldest opened first."""
        query = """SELECT product, size, opened, place, note, parts FROM part_jars
                   ORDER BY opened, product, size, id"""
        return tuple(
            PartOnHand(PartFacts(product, size, date.fromisoformat(opened), place, note), from_parts(parts))
            for product, size, opened, place, note, parts in self._rows(query)
        )

    def glass(self) -> dict[tuple[str, str], int]:
        """Empties and jars out by size, lids by kind: ('empties', 'qt') -> 148."""
        return {(thing, size): count for thing, size, count in self._rows("SELECT thing, size, count FROM glass")}

    def released(self) -> frozenset[int]:
        """Numbers of the lots that were let go with a reason (see RELEASED), and not taken back."""
        query = "SELECT lot FROM movement WHERE note LIKE ? AND parts <> 0 GROUP BY lot HAVING sum(parts) > 0"
        return frozenset(lot for (lot,) in self._rows(query, (f"{RELEASED}%",)))

    def came_into(self, lot: int, place: str, state: str) -> str:
        """What was last entered that brought jars of a lot into a state at a place: '18 Jan 2026: hold lot 5'."""
        query = f"""{_STRUCK}
            SELECT entry.day, entry.command FROM movement JOIN entry ON entry.id = movement.entry
            WHERE lot = ? AND place = ? AND state = ? AND parts > 0 AND entry.id NOT IN (SELECT id FROM struck)
            ORDER BY movement.id DESC LIMIT 1"""
        return next((f"{command}, {day}" for day, command in self._rows(query, (lot, place, state))), "")

    def spoiled_loads(self) -> frozenset[tuple[str, str, str]]:
        """(product, label's day, load) of every load of which a jar spoiled or is suspect."""
        query = f"""{_STRUCK}
            SELECT DISTINCT lot.product, lot.put_up, lot.load FROM movement JOIN lot ON lot.id = movement.lot
            WHERE movement.entry NOT IN (SELECT id FROM struck) AND movement.note <> 'broken'
                  AND (movement.reason IN ('spoiled', 'failed seal') OR movement.state = 'suspect')"""
        return frozenset(self._rows(query))

    def failed_seals(self) -> int:
        """Jars that went into the canner and did not seal, but those taken back."""
        query = f"{_STRUCK} SELECT coalesce(sum(count), 0) FROM failed_seal WHERE entry NOT IN (SELECT id FROM struck)"
        return next((int(count) for (count,) in self._rows(query)), 0)

    def served(self, since: date | None = None) -> tuple[tuple[date, str], ...]:
        """(day, dish) of what came to table, in order of days; undone servings left out."""
        query = """SELECT day, dish FROM served
                   WHERE day >= ? AND meal NOT IN ('pulled', 'left out', 'household') AND meal NOT LIKE 'said: %'
                   GROUP BY day, meal, dish
                   HAVING sum(times) > 0 ORDER BY day, min(id)"""
        values = (since.isoformat() if since else "",)
        return tuple((date.fromisoformat(day), dish) for day, dish in self._rows(query, values))

    def said_of_dishes(self) -> tuple[tuple[date, str, str, str], ...]:
        """(day, dish, word, who) of each word of the table on a dish, as entered, but what was taken back."""
        query = f"""{_STRUCK}
            SELECT served.day, served.dish, substr(served.meal, 7), entry.who
            FROM served JOIN entry ON entry.id = served.entry
            WHERE served.meal LIKE 'said: %' AND served.entry NOT IN (SELECT id FROM struck) ORDER BY served.id"""
        return tuple((date.fromisoformat(day), dish, word, who) for day, dish, word, who in self._rows(query))

    def household(self) -> str:
        """The name of the household whose book this is; '' where none was written down."""
        query = """SELECT dish FROM served WHERE meal = 'household' GROUP BY dish HAVING sum(times) > 0
                   ORDER BY max(id) DESC LIMIT 1"""
        return next((name for (name,) in self._rows(query)), "")

    def households(self) -> frozenset[str]:
        """Every name that the household has had in this book, whatever was taken back."""
        return frozenset(name for (name,) in self._rows("SELECT dish FROM served WHERE meal = 'household'"))

    def pulled(self, first: date, last: date) -> frozenset[tuple[date, str, str]]:
        """(day, meal, dish) pulled for these days; (day, PULLED or LEFT_OUT, product) of a list pulled in part."""
        query = """SELECT day, meal, dish FROM served WHERE day BETWEEN ? AND ?
                   GROUP BY day, meal, dish HAVING sum(times) > 0"""
        rows = self._rows(query, (first.isoformat(), last.isoformat()))
        return frozenset((date.fromisoformat(day), meal, dish) for day, meal, dish in rows)

    def pulled_by(self, first: date, last: date) -> dict[tuple[date, str, str], int]:
        """(day, meal, dish), or (day, PULLED, product), that was pulled for these days: the entry that did it last."""
        query = """SELECT day, meal, dish, max(CASE WHEN times > 0 THEN entry END) FROM served
                   WHERE day BETWEEN ? AND ? GROUP BY day, meal, dish HAVING sum(times) > 0"""
        rows = self._rows(query, (first.isoformat(), last.isoformat()))
        return {(date.fromisoformat(day), meal, dish): n for day, meal, dish, n in rows}

    def movements(self, product: str | None = None) -> tuple[Movement, ...]:
        """Every movement that still counts, by day; a line and its undoing are both left out."""
        from pantrymeals.records import Movement

        where, values = ("", ()) if product is None else ("AND lot.product = ?", (product,))
        query = f"""{_STRUCK}
            SELECT movement.day, lot.product, lot.size, movement.parts, movement.reason, lot.id,
                   movement.place, movement.note
            FROM movement JOIN lot ON lot.id = movement.lot
            WHERE movement.entry NOT IN (SELECT id FROM struck) {where}
            ORDER BY movement.day, movement.id"""
        return tuple(
            Movement(
                day=date.fromisoformat(day), product=product, size=size,
                count=from_parts(parts), reason=reason, lot=lot,
                where=place, note=note,
            )
            for day, product, size, parts, reason, lot, place, note in self._rows(query, values)
        )  # fmt: skip

    def first_counted(self, command: str) -> tuple[tuple[str, str, str, str, str, Fraction], ...]:
        """(product, size, put up, load, place, containers) of the book's first entry, if it is of that command."""
        query = """SELECT lot.product, lot.size, lot.put_up, lot.load, movement.place, movement.parts
                   FROM movement JOIN lot ON lot.id = movement.lot JOIN entry ON entry.id = movement.entry
                   WHERE entry.id = (SELECT min(id) FROM entry) AND entry.command = ?"""
        return tuple((*facts, from_parts(parts)) for *facts, parts in self._rows(query, (command,)))

    def eaten(self, since: date) -> tuple[tuple[date, str, str, Fraction], ...]:
        """(day, product, size, containers) of what was eaten from a day on, by day.

        Pulled and not put back, eaten, or missing at a count: what is gone and not said was eaten too.
        """
        query = f"""{_STRUCK}
            SELECT movement.day, lot.product, lot.size, -sum(movement.parts)
            FROM movement JOIN lot ON lot.id = movement.lot
            WHERE movement.day >= ? AND movement.entry NOT IN (SELECT id FROM struck)
                  AND (movement.reason IN ('pulled', 'eaten') OR movement.reason = 'counted' AND movement.parts < 0)
            GROUP BY movement.day, lot.product, lot.size ORDER BY movement.day, lot.product, lot.size"""
        return tuple(
            (date.fromisoformat(day), product, size, from_parts(parts))
            for day, product, size, parts in self._rows(query, (since.isoformat(),))
        )

    def strokes(self, since: date) -> tuple[tuple[str, str], ...]:
        """(product, size) of what was eaten outside a pull from a day on, what was taken most often first."""
        query = f"""{_STRUCK}
            SELECT lot.product, lot.size FROM movement JOIN lot ON lot.id = movement.lot
            WHERE movement.day >= ? AND movement.reason = 'eaten' AND movement.parts < 0
                  AND movement.entry NOT IN (SELECT id FROM struck)
            GROUP BY 1, 2 ORDER BY count(*) DESC, 1, 2"""
        return tuple(self._rows(query, (since.isoformat(),)))

    def known_since(self) -> tuple[tuple[str, date], ...]:
        """(product, day) since when its movements tell all: the day when some last came, or its first."""
        query = f"""{_STRUCK}
            SELECT lot.product,
                   coalesce(max(CASE WHEN movement.parts > 0
                                     AND movement.reason IN ('put up', 'bought', 'arrived', 'made over')
                                     THEN movement.day END), min(movement.day))
            FROM movement JOIN lot ON lot.id = movement.lot
            WHERE movement.entry NOT IN (SELECT id FROM struck)
            GROUP BY lot.product ORDER BY lot.product"""
        return tuple((product, date.fromisoformat(day)) for product, day in self._rows(query))

    def entries(self, last: int | None = None) -> tuple[EntryLine, ...]:
        """What was said, the newest first."""
        return self._entries("ORDER BY id DESC LIMIT ?", -1 if last is None else last)

    def entry(self, number: int) -> EntryLine:
        """What was said under a number that the book has."""
        (said,) = self._entries("WHERE id = ?", number)
        return said

    def _entries(self, which: str, value: int) -> tuple[EntryLine, ...]:
        query = f"""SELECT id, day, command, who, undoes,
                           EXISTS (SELECT 1 FROM entry AS later WHERE later.undoes = entry.id)
                    FROM entry {which}"""
        return tuple(
            EntryLine(
                n, date.fromisoformat(day), command, who,
                undoes, bool(undone),
            )
            for n, day, command, who, undoes, undone in self._rows(query, (value,))
        )  # fmt: skip

    def same_that_came(self, entry: int) -> EntryLine | None:
        """The last entry before this one that brought in the same: as many of the same lots to the same places."""
        query = f"""{_STRUCK}
            SELECT entry, lot, place, parts FROM movement
            WHERE reason IN ('put up', 'bought', 'arrived') AND parts > 0 AND entry <= ?
                  AND entry NOT IN (SELECT id FROM struck)
                  AND lot IN (SELECT lot FROM movement WHERE entry = ?)"""
        came: dict[int, set[tuple[int, str, int]]] = {}
        for number, *what in self._rows(query, (entry, entry)):
            came.setdefault(number, set()).add(tuple(what))
        mine = came.pop(entry, None)
        same = max((number for number, what in came.items() if what == mine), default=0)
        return self.entry(same) if same else None

    def newest_entry(self) -> tuple[int, date] | None:
        """The number and day of what was said last; None in an empty book."""
        return next(((entry.number, entry.day) for entry in self.entries(1)), None)

    def number_of_entries(self) -> int:
        """How many entries were ever written."""
        return sum(count for (count,) in self._rows("SELECT count(*) FROM entry"))

    def places(self) -> tuple[str, ...]:
        """Every place the book has ever spoken of."""
        return tuple(place for (place,) in self._rows("SELECT DISTINCT place FROM movement ORDER BY 1"))

    def close(self) -> None:
        """Close the file; the last to close copies its lines home."""
        self.db.close()


# What does not count: every undo, and whatever an undo in force has struck out. A redo undoes an
# undo and repeats the first entry's lines, so of entry, undo, redo only the redo counts.
# The search begins at the entries that were undone, which are few.
_STRUCK = """WITH RECURSIVE turn (id, undoing) AS (
        SELECT plain.id, 0 FROM entry AS later JOIN entry AS plain ON plain.id = later.undoes
        WHERE later.undoes IS NOT NULL AND plain.undoes IS NULL
        UNION ALL SELECT entry.id, 1 - turn.undoing FROM turn JOIN entry ON entry.undoes = turn.id
    ), struck (id) AS (
        SELECT turn.id FROM turn
        WHERE undoing OR EXISTS (SELECT 1 FROM entry WHERE entry.undoes = turn.id)
    )"""


@contextmanager
def open_book(path: Path, *, reading: bool = False) -> Iterator[Book]:
    """A book that is there, for as long as the ``with`` lasts. Raises BookTrouble.

    What falls over because the book's pages are not as they were written is said to be so.
    """
    book = Book(connect(path, reading=reading), path)
    try:
        yield book
    except PantryError:
        raise
    except sqlite3.Error as error:
        raise in_plain_words(path, error) from error
    except (ArithmeticError, AssertionError, LookupError, TypeError, ValueError):
        if is_damaged(book.db):
            raise damaged(path) from None
        raise
    finally:
        book.close()
