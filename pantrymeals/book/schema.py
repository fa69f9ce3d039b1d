"""The one text that makes a put-up book, and how older books grow into it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping

VERSION = 2
"""The book's version, kept in SQLite's ``user_version``."""

MARK = 0x50555442
"""'PUTB', kept in SQLite's ``application_id``: tells a put-up book from any other database."""

LINES: Mapping[str, tuple[str, ...]] = {
    "movement": ("day", "lot", "place", "state", "parts", "reason", "note"),
    "part_movement": ("day", "part_jar", "parts", "reason"),
    "glass_movement": ("day", "thing", "size", "count", "note"),
    "failed_seal": ("day", "lot", "count"),
    "served": ("day", "meal", "dish", "times"),
}
"""The tables of an entry's lines, with their columns beside the line's own number and the entry's."""

SIGNED = ("parts", "count", "times")
"""What a line counts: its sign is turned where the line is taken back."""


def line_into(table: str) -> str:
    """The statement that writes a line: its entry, then the table's columns."""
    columns = LINES[table]
    return f"INSERT INTO {table} (entry, {', '.join(columns)}) VALUES (?{', ?' * len(columns)})"


def _only_added_to(*tables: str) -> str:
    """Triggers that refuse a change of what stands in some tables."""
    return "".join(
        f"CREATE TRIGGER {table}_{name} BEFORE {change} ON {table}\n"
        "    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;\n"
        for table in tables
        for name, change in (("stays", "UPDATE"), ("kept", "DELETE"))
    )


_SERVED = """\
CREATE TABLE served (
    id    INTEGER PRIMARY KEY,
    entry INTEGER NOT NULL REFERENCES entry (id),
    day   TEXT NOT NULL CHECK (date(day) IS day),
    meal  TEXT NOT NULL,
    dish  TEXT NOT NULL CHECK (dish <> ''),
    times INTEGER NOT NULL CHECK (times <> 0)
) STRICT;
CREATE INDEX served_by_entry ON served (entry);
"""
_SINCE_2 = ("part_jar", "failed_seal", "served")
"""Tables that a book of version 1 did not have, or did not keep from change."""

SCHEMA = f"""\
-- THE PUT-UP BOOK, version 2
--
-- One file, put-up-book.sqlite, in the household's folder. Lines are only ever added:
-- a correction is a further line, and undo is a set of lines with the opposite sign.
-- Nothing here is a total; stock, part jars, empties, holds and history are sums (see the views).
--
-- Counts are whole numbers of PARTS: one container (a jar, a pack, a pound of loose goods)
-- is 5,040,000 parts, so that halves, thirds, sevenths and thousandths all add up exactly.
-- Days are '2026-01-17'.

-- A lot: jars of one product put up together. put_up is a day, a year alone, or '' (not known).
-- source is the tested source as the household wrote it; '' shows as 'source not recorded'.
CREATE TABLE lot (
    id      INTEGER PRIMARY KEY,
    product TEXT NOT NULL CHECK (product <> ''),
    size    TEXT NOT NULL CHECK (size <> ''),
    put_up  TEXT NOT NULL CHECK (put_up = '' OR put_up GLOB '[0-9][0-9][0-9][0-9]' OR date(put_up) IS put_up),
    load    TEXT NOT NULL,
    source  TEXT NOT NULL,
    note    TEXT NOT NULL,
    UNIQUE (product, size, put_up, load, source, note)
) STRICT;

-- An entry: one thing somebody did. It is written whole or not at all.
-- key makes it count once, however often it is sent; undoes names the entry it takes back.
CREATE TABLE entry (
    id      INTEGER PRIMARY KEY,
    day     TEXT NOT NULL CHECK (date(day) IS day),
    command TEXT NOT NULL,                      -- what was said: 'tally 1 hp raspberry jam'
    who     TEXT NOT NULL DEFAULT '',
    key     TEXT NOT NULL UNIQUE CHECK (key <> ''),
    undoes  INTEGER UNIQUE REFERENCES entry (id)
) STRICT;

-- A movement: containers of one lot that came (+) or went (-), at one place, in one state.
-- state: '' on the shelf; held, promised, seed, suspect: there, but not to be planned.
-- Moving and holding are two lines, one out and one in, with the reason 'moved'.
CREATE TABLE movement (
    id     INTEGER PRIMARY KEY,
    entry  INTEGER NOT NULL REFERENCES entry (id),
    day    TEXT NOT NULL CHECK (date(day) IS day),
    lot    INTEGER NOT NULL REFERENCES lot (id),
    place  TEXT NOT NULL,
    state  TEXT NOT NULL CHECK (state IN ('', 'held', 'promised', 'seed', 'suspect')),
    parts  INTEGER NOT NULL CHECK (parts <> 0),
    reason TEXT NOT NULL CHECK (reason IN (
        'put up', 'pulled', 'eaten', 'given', 'bartered', 'bought', 'arrived', 'spoiled',
        'failed seal', 'to the hens', 'compost', 'counted', 'made over', 'moved')),
    note   TEXT NOT NULL
) STRICT;
CREATE INDEX movement_by_lot ON movement (lot, place, state, parts);
CREATE INDEX movement_by_entry ON movement (entry);

-- A part jar: a jar opened, or a pack lifted out to thaw. Its clock starts on the day opened.
CREATE TABLE part_jar (
    id      INTEGER PRIMARY KEY,
    product TEXT NOT NULL CHECK (product <> ''),
    size    TEXT NOT NULL CHECK (size <> ''),
    opened  TEXT NOT NULL CHECK (date(opened) IS opened),
    place   TEXT NOT NULL,
    note    TEXT NOT NULL,
    UNIQUE (product, size, opened, place, note)
) STRICT;

-- What came into a part jar (+) and went out of it (-), in parts of its container.
CREATE TABLE part_movement (
    id       INTEGER PRIMARY KEY,
    entry    INTEGER NOT NULL REFERENCES entry (id),
    day      TEXT NOT NULL CHECK (date(day) IS day),
    part_jar INTEGER NOT NULL REFERENCES part_jar (id),
    parts    INTEGER NOT NULL CHECK (parts <> 0),
    reason   TEXT NOT NULL
) STRICT;
CREATE INDEX part_movement_by_jar ON part_movement (part_jar, parts);
CREATE INDEX part_movement_by_entry ON part_movement (entry);

-- Glass and lids: empties by jar size, jars out (given, hoped back) by size, lids by kind.
CREATE TABLE glass_movement (
    id    INTEGER PRIMARY KEY,
    entry INTEGER NOT NULL REFERENCES entry (id),
    day   TEXT NOT NULL CHECK (date(day) IS day),
    thing TEXT NOT NULL CHECK (thing IN ('empties', 'out', 'lids')),
    size  TEXT NOT NULL CHECK (size <> ''),
    count INTEGER NOT NULL CHECK (count <> 0),
    note  TEXT NOT NULL
) STRICT;
CREATE INDEX glass_movement_by_entry ON glass_movement (entry);

-- Jars that did not seal in the canner. They were never on the shelf, so they are no movement.
CREATE TABLE failed_seal (
    id    INTEGER PRIMARY KEY,
    entry INTEGER NOT NULL REFERENCES entry (id),
    day   TEXT NOT NULL CHECK (date(day) IS day),
    lot   INTEGER NOT NULL REFERENCES lot (id),
    count INTEGER NOT NULL CHECK (count <> 0)
) STRICT;
CREATE INDEX failed_seal_by_entry ON failed_seal (entry);

-- Dishes that were served, so that variety reaches back over the first day of a menu, and no day is pulled twice.
-- Where meal is 'pulled' or 'left out', dish is a product of that day's pull list, pulled by itself or left for later;
-- where it is 'household', dish is the name of the household whose book this is; where it begins with 'said: ', what
-- follows is the table's word on that dish ('said: not again'), by whom the entry is.
{_SERVED}
-- Only ever added to: the database itself refuses anything else.
{_only_added_to("lot", "entry", "movement", "part_movement", "glass_movement", *_SINCE_2)}
-- What is on hand now, lot by lot, place by place, state by state.
CREATE VIEW stock AS
    SELECT lot.id AS lot, lot.product, lot.size, lot.put_up, lot.load, lot.source, lot.note,
           here.place, here.state, here.parts
    FROM (SELECT lot, place, state, sum(parts) AS parts FROM movement GROUP BY lot, place, state) AS here
    JOIN lot ON lot.id = here.lot
    WHERE here.parts <> 0;

-- What is held back, and so left out of menus, totals in hand and gift lists.
CREATE VIEW held_back AS SELECT * FROM stock WHERE state IN ('held', 'suspect');

-- Part jars with something left in them.
CREATE VIEW part_jars AS
    SELECT part_jar.*, left_in.parts
    FROM (SELECT part_jar, sum(parts) AS parts FROM part_movement GROUP BY part_jar) AS left_in
    JOIN part_jar ON part_jar.id = left_in.part_jar
    WHERE left_in.parts <> 0;

-- Empties, jars out and lids on hand.
CREATE VIEW glass AS
    SELECT thing, size, sum(count) AS count FROM glass_movement GROUP BY thing, size;

-- History: what came and went, by day and reason; what was undone has cancelled out.
CREATE VIEW history AS
    SELECT movement.day, lot.product, lot.size, movement.reason, sum(movement.parts) AS parts
    FROM movement JOIN lot ON lot.id = movement.lot
    GROUP BY movement.day, lot.product, lot.size, movement.reason
    HAVING sum(movement.parts) <> 0;
"""

V2_OVER_V1 = f"""\
ALTER TABLE entry ADD COLUMN who TEXT NOT NULL DEFAULT '';
{_SERVED}{_only_added_to(*_SINCE_2)}DROP VIEW IF EXISTS held_back;
CREATE VIEW held_back AS SELECT * FROM stock WHERE state IN ('held', 'suspect');
"""


def run_script(db: sqlite3.Connection, script: str) -> None:
    """Run several statements inside the transaction already begun (executescript would end it)."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            db.execute(statement)
            statement = ""


def _from_1_to_2(db: sqlite3.Connection) -> None:
    """Version 1 did not say who wrote, nor which dishes were served."""
    run_script(db, V2_OVER_V1)


MIGRATIONS: Mapping[int, Callable[[sqlite3.Connection], None]] = {1: _from_1_to_2}
"""From version n to n+1. Each commits together with the new ``user_version``."""


def lay_out(db: sqlite3.Connection) -> None:
    """Make an empty book of the present version, inside the transaction already begun."""
    run_script(db, SCHEMA)
    db.execute(f"PRAGMA application_id = {MARK}")
    db.execute(f"PRAGMA user_version = {VERSION}")


def grow(db: sqlite3.Connection, version: int) -> None:
    """Bring an older book up to the present version, inside the transaction already begun."""
    while version < VERSION:
        MIGRATIONS[version](db)
        version += 1
        db.execute(f"PRAGMA user_version = {version}")
