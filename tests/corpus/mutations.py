"""Households with one thing wrong (or merely odd) in one file: the same ones for the same seed.

Each mutator takes a file's bytes and a dice, and gives the file's bytes with one change, or None where it has
nothing to bite on.
"""

from __future__ import annotations

import csv
import io
import random
import re
from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

ODD_NUMBERS = (
    "0", "-1", "-0", "1e3", "1e400", "NaN", "nan", "inf", "-inf", "Infinity", "²", "2²", "x²", "①", "½", "1½", "2 ½",
    "⅓", "½½", "1/0", "0/0", "1/2/3", "1 1/2", "1.5", "1,5", "1,000", "1.000", "1,000.5", "1.000,5", "1 000",
    "1\u00a0000", "1_000", "0x10", "0b1", "٣", "１２", "१२", "Ⅻ", "五", "1٫5", "−3", "–3", "+3", "++3", "3-",
    "99999999999999999999",
    "9223372036854775808", "18446744073709551617", "1000001", "0.0000000001", "1/3", "22/7", "1/1000000007",
    "9" * 39, "9" * 41, "9" * 5000, ".5", ",5", "5.", "5,", "..5", "1..5", "three", "a dozen", "12 or 13", "3x",
    "x3", "3?", "~3",
    "#3", "(3)", "3%", "$3", "3;4", "3\u200b", "\u200b3", "3\u0301", "\ufeff3", "TRUE", "None", "null", "=1+1", "'3",
)  # fmt: skip
ODD_DAYS = (
    "0001-01-01", "9999-12-31", "0000-00-00", "1899-12-31", "1900-01-01", "2100-12-31", "2101-01-01", "2026-02-29",
    "2024-02-29", "2026-02-30", "2026-13-01", "2026-00-10", "2026-1-7", "26-01-07", "01/07/2026", "7.1.2026",
    "20260107", "2026-01", "2026", "2026-W03", "2026-01-07T10:00", "2026–01–07", "２０２６-01-07", "yesterday",
    "-2026-01-07",
    "2026-01-07 ", "2026 -01-07", "12-31", "02-29", "02-30", "00-00",
)  # fmt: skip
ODD_AMOUNTS = (
    "1 qt", "2 pt", "1/2 qt", "½ qt", "1 gal", "500 ml", "1 l", "5 lb", "2 kg", "3 oz", "1 fl oz", "3 each", "3",
    "0 qt", "-1 qt",
    "² qt", "1e9 qt", "99999999999999999999 qt", "qt", "1 qt qt", "1qt", "1 furlong", "1 QT", "1 Qt.", "a quart",
    "1,000 lb",
    "1.5 lb", "1,5 lb", "1/3 lb", "1/0 lb", "one lb", "2 birds", "1 pack of 6", "1 x qt", "NaN lb", "inf lb",
)  # fmt: skip
ODD_TEXTS = (
    "", "-", "n/a", "?", "Green bens", "gren beans", "GREEN  BEANS", "Kale", "kale", "Eggs, beaten",
    "no such thing", "week",
    "2 weeks", "0 days", "-1 days", "٣ days", "9999 days", "every day", "fortnight", "yes", "no", "maybe", "held",
    "hled", "suspect",
    "jar", "jra", "freezer", "qt; pt", "qt bag = 1 qt", "qt bag = ", "= 1 qt", "qt; qt", "qt; lb", "bird", "13",
    "0-3", "10-3", "1-4", "Mon-Fri", "Fri-Mon",
    "Mon-Fry", "\x1b[31mred\x1b[0m", "\x00", "\x07bell", "\x9b31m", "\u202eover", "\u2028line", "\x85next",
    "\u200b", "🫙", "é" * 40,
    "=HYPERLINK(1)", "+1", "@x", "'=1", "''=1", "[", "{", "}", "]", ":", "- -", "&a", "*a", "!tag",
    "!!python/object:os.system",
    "|", ">", "%", "`", "@", "~", "null", "true", "<<", "a: b: c", "a, b", "'", '"', '""', "#", "# note", "\t",
    "\\", "\\x1b", '"\\x1b[2J"', '"\\ud800"', '"\\u0000"',
    '"\\u202e"', "x" * 70_000, "x" * 150_000, "9" * 150_000, "; " * 2_000, "[" * 40 + "]" * 40,
)  # fmt: skip
ODD_VALUES = (*ODD_NUMBERS, *ODD_NUMBERS, *ODD_DAYS, *ODD_AMOUNTS, *ODD_TEXTS)
"""Numbers twice: what is read of them matters most."""

Change = Callable[[bytes, random.Random], bytes | None]


class Mutation(Struct, frozen=True):
    """One file of a household, written otherwise. what: the mutator's name, for who reads a failure."""

    number: int
    what: str
    file: str
    content: bytes


def mutations(files: Mapping[str, bytes], seed: int, many: int) -> Iterator[Mutation]:
    """So many mutations of these files, no two alike."""
    dice = random.Random(seed)
    names, seen = sorted(files), set()
    while len(seen) < many:
        file = dice.choice(names)
        table = file.endswith(".csv")
        change = dice.choice((*(_OF_TABLES if table else _OF_YAML), *_OF_ANY))
        content = change(files[file], dice)
        if content is None or content == files[file] or (file, content) in seen:
            continue
        seen.add((file, content))
        yield Mutation(len(seen), change.__name__.strip("_"), file, content)


def _table(change: Callable[[list[list[str]], random.Random], object]) -> Change:
    """A change of a table's rows of cells, made into one of its bytes."""

    def of_bytes(content: bytes, dice: random.Random) -> bytes | None:
        rows = list(csv.reader(io.StringIO(content.decode(), newline="")))
        change(rows, dice)
        out = io.StringIO(newline="")
        csv.writer(out, lineterminator="\n").writerows(rows)
        return out.getvalue().encode("utf-8", "surrogatepass")

    of_bytes.__name__ = change.__name__
    return of_bytes


def _a_cell(rows: list[list[str]], dice: random.Random) -> tuple[list[str], int]:
    row = dice.choice(rows[1:])
    return row, dice.randrange(len(row))


@_table
def _odd_cell(rows: list[list[str]], dice: random.Random) -> None:
    row, at = _a_cell(rows, dice)
    row[at] = dice.choice(ODD_VALUES)


@_table
def _odd_number_for_number(rows: list[list[str]], dice: random.Random) -> None:
    where = [(row, at) for row in rows[1:] for at, cell in enumerate(row) if any(c.isdigit() for c in cell)]
    row, at = dice.choice(where)
    row[at] = re.sub(r"[\d./]+", lambda _: dice.choice(ODD_NUMBERS), row[at], count=1)


@_table
def _odd_day_for_day(rows: list[list[str]], dice: random.Random) -> None:
    where = [(row, at) for row in rows[1:] for at, cell in enumerate(row) if re.fullmatch(r"\d{4}(-\d\d-\d\d)?", cell)]
    row, at = dice.choice(where or [(rows[1], 0)])
    row[at] = dice.choice(ODD_DAYS)


@_table
def _blank_cell(rows: list[list[str]], dice: random.Random) -> None:
    row, at = _a_cell(rows, dice)
    row[at] = dice.choice(("", " ", "-", "\u00a0"))


@_table
def _cell_taken_out(rows: list[list[str]], dice: random.Random) -> None:
    row, at = _a_cell(rows, dice)
    del row[at]


@_table
def _cell_twice(rows: list[list[str]], dice: random.Random) -> None:
    row, at = _a_cell(rows, dice)
    row.insert(at, row[at])


@_table
def _cells_swapped(rows: list[list[str]], dice: random.Random) -> None:
    row, at = _a_cell(rows, dice)
    other, there = _a_cell(rows, dice)
    row[at], other[there] = other[there], row[at]


@_table
def _row_twice(rows: list[list[str]], dice: random.Random) -> None:
    rows.insert(dice.randrange(1, len(rows) + 1), list(dice.choice(rows[1:])))


@_table
def _row_taken_out(rows: list[list[str]], dice: random.Random) -> None:
    del rows[dice.randrange(len(rows))]


@_table
def _columns_moved(rows: list[list[str]], dice: random.Random) -> None:
    order = list(range(len(rows[0])))
    dice.shuffle(order)
    rows[:] = [[row[i] for i in order if i < len(row)] for row in rows]


@_table
def _heading_changed(rows: list[list[str]], dice: random.Random) -> None:
    at = dice.randrange(len(rows[0]))
    rows[0][at] = dice.choice((*ODD_TEXTS, rows[0][at].upper(), f" {rows[0][at]} ", dice.choice(rows[0])))


def _semicolons(content: bytes, dice: random.Random) -> bytes:
    rows = list(csv.reader(io.StringIO(content.decode(), newline="")))
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=dice.choice(";\t|"), lineterminator=dice.choice(("\n", "\r\n", "\r"))).writerows(rows)
    text = out.getvalue()
    return (re.sub(r"(?<=\d)\.(?=\d)", ",", text) if dice.random() < 0.5 else text).encode()


_WORD = re.compile(r"[^\s\[\]{},:#][^\[\]{},:#\n]*")
_LINE = re.compile(r"[^\n]*\n")


def _put(text: str, found: re.Match[str], new: str) -> bytes:
    return (text[: found.start()] + new + text[found.end() :]).encode("utf-8", "surrogatepass")


def _odd_word(content: bytes, dice: random.Random) -> bytes:
    text = content.decode()
    return _put(text, dice.choice(list(_WORD.finditer(text))), dice.choice(ODD_VALUES))


def _odd_figure(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    where = list(re.finditer(r"\d+([./]\d+)?", text))
    return _put(text, dice.choice(where), dice.choice((*ODD_NUMBERS, str(dice.randrange(40))))) if where else None


def _odd_day(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    where = list(re.finditer(r"(\d{4}-)?\d\d-\d\d", text))
    return _put(text, dice.choice(where), dice.choice(ODD_DAYS)) if where else None


def _other_type(content: bytes, dice: random.Random) -> bytes:
    """A word becomes a list, a mapping, a nest of them, or nothing."""
    text = content.decode()
    found = dice.choice(list(_WORD.finditer(text)))
    deep = dice.choice((2, 29, 31, 2000))
    new = dice.choice(
        (
            f"[{found.group()}]", f"{{a: {found.group()}}}", "[]", "{}", "[[]]", "[{}]", "", "~",
            "[" * deep + "]" * deep,
            "{a: " * deep + "}" * deep, f"&x {found.group()}", "*x", f"!!int {found.group()}", f"'{found.group()}'",
            f"\n  - {found.group()}", f"\n  {found.group()}: 1", "|\n  text", f"? {found.group()}",
        )
    )  # fmt: skip
    return _put(text, found, new)


def _key_twice(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    where = list(re.finditer(r"(\w+): ([^,{}\[\]\n]+)", text))
    if not where:
        return None
    found = dice.choice(where)
    joined = "\n" if found.start() == 0 or text[found.start() - 1] == "\n" else ", "
    return _put(text, found, f"{found.group()}{joined}{found.group(1)}: {dice.choice(ODD_VALUES)}")


def _mapping_emptied(content: bytes, dice: random.Random) -> bytes | None:
    """A field with all that is indented below it becomes {}, [] or nothing."""
    text = content.decode()
    where = list(re.finditer(r"^(\w+):.*\n(?:[ -].*\n)*", text, re.MULTILINE))
    found = dice.choice(where)
    return _put(text, found, f"{found.group(1)}: {dice.choice(('{}', '[]', '', '~', '0', 'text'))}\n")


def _line_taken_out(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    return _put(text, dice.choice(list(_LINE.finditer(text))), "")


def _line_twice(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    found = dice.choice(list(_LINE.finditer(text)))
    return _put(text, found, found.group() * 2)


def _line_indented(content: bytes, dice: random.Random) -> bytes | None:
    text = content.decode()
    found = dice.choice(list(_LINE.finditer(text)))
    return _put(text, found, dice.choice((" ", "  ", "\t", "    - ", "? ")) + found.group())


def _letter_changed(content: bytes, dice: random.Random) -> bytes:
    text = content.decode()
    at = dice.randrange(len(text))
    new = dice.choice(("", text[at] * 2, chr(dice.randrange(32, 127)), dice.choice("½²٣\u00a0\u200b\ufeff\u2028\x85;")))
    return (text[:at] + new + text[at + 1 :]).encode()


def _cut_short(content: bytes, dice: random.Random) -> bytes:
    return content[: dice.randrange(len(content))]


def _other_bytes(content: bytes, dice: random.Random) -> bytes:
    at = dice.randrange(len(content) + 1)
    return content[:at] + dice.choice(_BYTES) + content[at:]


_BYTES = (
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\xc3\x28", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\x1b[31m", b"\r",
    b"\x0c", b"\x1a",
    b"\xc2\x9b", bytes(range(256)), b"PK\x03\x04", b"SQLite format 3\x00", b"\x89PNG\r\n\x1a\n",
)  # fmt: skip


def _encoded_otherwise(content: bytes, dice: random.Random) -> bytes | None:
    how = dice.choice(("utf-16", "utf-16-le", "utf-32", "utf-7", "utf-8-sig", "cp037", "bom twice"))
    return b"\xef\xbb\xbf" * 2 + content if how == "bom twice" else content.decode().encode(how)


def _other_line_ends(content: bytes, dice: random.Random) -> bytes:
    end = dice.choice(("\r\n", "\r", "\n\n", "\u2028", "\x85", "\n\r\n"))
    return content.decode().replace("\n", end).encode()


def _nothing_left(_content: bytes, dice: random.Random) -> bytes:
    return dice.choice(
        (b"", b"\n", b"\xef\xbb\xbf", b"---\n", b"...\n", b"# only a note\n", b"null\n", b",,,\n", b"{}\n", b"[]\n")
    )


_OF_TABLES: tuple[Change, ...] = (
    *(_odd_cell,) * 5, *(_odd_number_for_number,) * 5, *(_odd_day_for_day,) * 2, _blank_cell, _cell_taken_out,
    _cell_twice,
    *(_cells_swapped,) * 2, _row_twice, _row_taken_out, _columns_moved, _heading_changed, _semicolons,
)  # fmt: skip
_OF_YAML: tuple[Change, ...] = (
    *(_odd_word,) * 4, *(_odd_figure,) * 5, *(_odd_day,) * 2, *(_other_type,) * 3, *(_key_twice,) * 2,
    _mapping_emptied,
    _line_taken_out, _line_twice, _line_indented,
)  # fmt: skip
_OF_ANY: tuple[Change, ...] = (
    _letter_changed,
    _cut_short,
    _other_bytes,
    _encoded_otherwise,
    _other_line_ends,
    _nothing_left,
)
