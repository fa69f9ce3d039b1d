-- THE PUT-UP BOOK, version 1
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

-- Only ever added to: the database itself refuses anything else.
CREATE TRIGGER lot_stays BEFORE UPDATE ON lot
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER lot_kept BEFORE DELETE ON lot
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER movement_stays BEFORE UPDATE ON movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER movement_kept BEFORE DELETE ON movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER part_movement_stays BEFORE UPDATE ON part_movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER part_movement_kept BEFORE DELETE ON part_movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER glass_movement_stays BEFORE UPDATE ON glass_movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;
CREATE TRIGGER glass_movement_kept BEFORE DELETE ON glass_movement
    BEGIN SELECT raise(ABORT, 'the put-up book is only ever added to'); END;

-- What is on hand now, lot by lot, place by place, state by state.
CREATE VIEW stock AS
    SELECT lot.id AS lot, lot.product, lot.size, lot.put_up, lot.load, lot.source, lot.note,
           here.place, here.state, here.parts
    FROM (SELECT lot, place, state, sum(parts) AS parts FROM movement GROUP BY lot, place, state) AS here
    JOIN lot ON lot.id = here.lot
    WHERE here.parts <> 0;

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

-- A small larder, written by version 1.
INSERT INTO lot VALUES (1, 'Applesauce', 'qt', '2024', '', '', 'carried over');
INSERT INTO lot VALUES (2, 'Applesauce', 'qt', '2025-10-06', 'applesauce 6 Oct', 'tested, put-up book p. 12', '');
INSERT INTO lot VALUES (3, 'Green beans', 'qt', '2025-08-12', 'load 3', 'tested, put-up book p. 31', '');
INSERT INTO lot VALUES (4, 'Bread flour', 'lb', '', '', '', '');
INSERT INTO entry (id, day, command, key, undoes) VALUES (1, '2025-05-01', 'the first count', 'first', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (2, '2025-08-12', 'put-up 28 qt green beans', 'b', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (3, '2025-10-06', 'put-up 27 qt applesauce', 'c', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (4, '2025-11-20', 'spoiled 2 qt green beans', 'd', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (5, '2025-12-24', 'give 1 qt applesauce', 'e', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (6, '2025-12-25', 'undo', 'f', 5);
INSERT INTO entry (id, day, command, key, undoes) VALUES (7, '2026-01-16', 'pull 1 qt applesauce', 'g', NULL);
INSERT INTO entry (id, day, command, key, undoes) VALUES (8, '2026-01-17', 'tally 17/14 lb bread flour', 'h', NULL);
INSERT INTO movement VALUES (1, 1, '2025-05-01', 1, 'N1', '', 45360000, 'counted', '');
INSERT INTO movement VALUES (2, 1, '2025-05-01', 4, 'D-bin 1', '', 302400000, 'counted', '');
INSERT INTO movement VALUES (3, 2, '2025-08-12', 3, 'S1', '', 141120000, 'put up', '');
INSERT INTO movement VALUES (4, 3, '2025-10-06', 2, 'N1', '', 136080000, 'put up', '');
INSERT INTO movement VALUES (5, 4, '2025-11-20', 3, 'S1', '', -10080000, 'failed seal', 'let go');
INSERT INTO movement VALUES (6, 4, '2025-11-20', 3, 'S1', '', -25200000, 'moved', '');
INSERT INTO movement VALUES (7, 4, '2025-11-20', 3, 'Held', 'held', 25200000, 'moved', '');
INSERT INTO movement VALUES (8, 5, '2025-12-24', 1, 'N1', '', -5040000, 'given', '');
INSERT INTO movement VALUES (9, 6, '2025-12-24', 1, 'N1', '', 5040000, 'given', '');
INSERT INTO movement VALUES (10, 7, '2026-01-16', 1, 'N1', '', -5040000, 'pulled', '');
INSERT INTO movement VALUES (11, 8, '2026-01-17', 4, 'D-bin 1', '', -6120000, 'eaten', '');
INSERT INTO part_jar VALUES (1, 'Applesauce', 'qt', '2026-01-16', 'Fridge', '');
INSERT INTO part_movement VALUES (1, 7, '2026-01-16', 1, 2520000, 'pulled');
INSERT INTO glass_movement VALUES (1, 1, '2025-05-01', 'empties', 'qt', 60, '');
INSERT INTO glass_movement VALUES (2, 3, '2025-10-06', 'empties', 'qt', -28, '');
INSERT INTO glass_movement VALUES (3, 3, '2025-10-06', 'lids', 'regular', -28, '');
INSERT INTO failed_seal VALUES (1, 3, '2025-10-06', 2, 1);
PRAGMA application_id = 1347769410;
PRAGMA user_version = 1;
