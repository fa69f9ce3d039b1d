"""Taking the count: a sheet to carry round, and what the shelf says entered without blame."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.actions.book.enter import Entered, enter
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.words import Said, place_meant, understand
from pantrymeals.book.book import Book
from pantrymeals.book.counts import from_parts
from pantrymeals.book.lines import AnyLine, Line, LotFacts, OnHand
from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import size_of
from pantrymeals.files.csv_tables import Row, parse_table
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.values import day_or_year, whole_number
from pantrymeals.on_disk import refuse_no_file
from pantrymeals.records import LotState, Product
from pantrymeals.reports.pages.count_sheet import COLUMNS, exact_words, rows_of
from pantrymeals.reports.pages.count_sheet import SheetLine as SheetLine
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.reports.words import sized
from pantrymeals.words import plural

_ALSO = ("count", "source", "state", "note", "load", "lot", "as_of", "book", "shelf", "put_up", "place")
_STATES: tuple[LotState, ...] = ("", "held", "promised", "seed", "suspect")


_LEAST = Fraction(1, 1000)
"""The sheet prints three decimals at most; less than that is no difference."""


class Difference(Struct, frozen=True):
    """Where shelf and book part: what stood in the book, and what stands on the shelf."""

    lot: LotFacts
    place: str
    state: LotState
    book: Fraction
    shelf: Fraction


class Counted(Struct, frozen=True):
    """One line of a count sheet that was filled in. as_of: the last entry when it was printed, or None."""

    row: Row
    product: Product
    size: str
    lot: LotFacts | int
    place: str
    state: LotState
    shelf: Fraction
    as_of: int | None


def sheet_lines(pantry: Pantry, book: Book, place: str | None) -> tuple[SheetLine, ...]:
    """What the book has at a place (or everywhere), in walking order, for a sheet to fill in."""
    newest = (book.newest_entry() or (0,))[0]
    found = [here for here in book.on_hand() if place is None or here.place == place]
    found.sort(
        key=lambda here: (
            pantry.place_order(here.place), here.place, here.lot.product, here.lot.put_up, here.number,
        )
    )  # fmt: skip
    return tuple(
        SheetLine(
            place=here.place, product=here.lot.product, size=here.lot.size, put_up=here.lot.put_up,
            load=here.lot.load, state=here.state, book=here.count, lot=here.number, as_of=newest,
        )
        for here in found
    )  # fmt: skip


def read_sheet(pantry: Pantry, path: Path) -> tuple[Counted, ...]:
    """The filled-in lines of a count sheet, CSV or xlsx. Raises MistakesInFiles with every mistake.

    A sheet in the form of stock.csv will do: its ``count`` is what stands on the shelf.
    """
    counted = _counted_in(pantry, _text_of(path), path.name)
    if not counted:
        raise PantryError(f"{path.name}: no line has a count under 'shelf'; fill in what stands there")
    return counted


def _counted_in(pantry: Pantry, text: str, name: str) -> tuple[Counted, ...]:
    gathering = Gathering()
    columns = tuple(dict.fromkeys((*COLUMNS, *_ALSO)))
    rows = parse_table(text, name, columns, ("product", "size"), gathering) or []
    counted = [line for row in rows if (line := _counted(pantry, row)) is not None]
    gathering.stop_if_any()
    return tuple(counted)


class NotOnSheet(Struct, frozen=True):
    """What stands at a place and is not on its sheet, in words: '3 qt applesauce'. put_up: its label; '' for none."""

    words: str
    place: str
    put_up: str = ""


def counted_by_hand(
    pantry: Pantry, lines: Sequence[SheetLine], shelf: Mapping[int, str], found: Sequence[NotOnSheet] = (),
    listed: Sequence[SheetLine] = (),
) -> tuple[Counted, ...]:  # fmt: skip
    """A sheet filled in without paper: what was typed for each of its lines (by place in ``lines``), and what else
    stands there. A line without a number was not counted. listed: all that the sheet had, where ``lines`` is part of
    it. Raises PantryError with every mistake."""
    rows = rows_of(lines)
    column = COLUMNS.index("shelf")
    for number, text in shelf.items():
        rows[number][column] = text.strip()
    for other in found:
        said = understand(pantry, other.words)
        _refuse_what_is_listed(said, other, (*lines, *listed))
        cells = {
            "place": other.place, "product": said.product.name, "size": said.size.name, "put_up": other.put_up,
            "shelf": exact_words(said.count),
        }  # fmt: skip
        rows.append([cells.get(name, "") for name in COLUMNS])
    out = io.StringIO()
    csv.writer(out).writerows([COLUMNS, *rows])
    counted = _counted_in(pantry, out.getvalue(), "the count")
    if not counted:
        raise PantryError("no number was written; write what stands there, 0 where there is none left")
    return counted


def _refuse_what_is_listed(said: Said, other: NotOnSheet, listed: Iterable[SheetLine]) -> None:
    """'Something else' that the sheet has a line for would be that lot's whole count: a person means so many more."""
    for line in listed:
        same = (line.place, line.product, line.size) == (other.place, said.product.name, said.size.name)
        if same and other.put_up in ("", line.put_up):
            label = f" ({line.label})" if line.label else ""
            raise PantryError(
                f"{said.product.name}{label} has its own line here, where the book has "
                f"{sized(line.book, line.size)}: write there how many there are in all. Another lot of it is told "
                "by the day or year on its label; nothing was entered"
            )


def _text_of(path: Path) -> str:
    refuse_no_file(path)
    if path.suffix.casefold() == ".xlsx":
        out = io.StringIO()
        csv.writer(out).writerows(cells for _, cells in xlsx_rows(path))
        return out.getvalue()
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise PantryError(f"{path}: cannot be read ({error})") from None


def _counted(pantry: Pantry, row: Row) -> Counted | None:
    text = row.text("shelf") or row.text("count")
    if not text or not row.has("product", "size"):
        return None
    shelf = row.read("shelf" if row.text("shelf") else "count", _amount, None)
    product = pantry.known.find_or_say(
        row.text("product"), lambda wrong, right: row.say("product", wrong, right), row.gathering
    )
    size = None if product is None else size_of(product, row.text("size"))
    if product is not None and size is None:
        sizes = ", ".join(s.name for s in product.sizes)
        row.say("size", f"{product.name} does not come in {shown(row.text('size'))}", f"it comes in {sizes}")
    if product is None or size is None or shelf is None:
        return None
    if product.whole and shelf.denominator != 1:
        row.say("shelf", f"{product.name} is counted in whole {size.name}", "leave part jars out of the count")
    on_the_shelf: LotState = ""
    state = row.read("state", _state, on_the_shelf)
    return Counted(
        row=row,
        product=product,
        size=size.name,
        lot=_lot(row, product.name, size.name),
        place=_place(pantry, row),
        state=state,
        shelf=shelf,
        as_of=row.read("as_of", int, None) if row.text("as_of").isdigit() else None,
    )


def _lot(row: Row, product: str, size: str) -> LotFacts | int:
    number = row.read("lot", whole_number(1, 10**15), None)
    if number is not None:
        return number
    day, year_only = row.read("put_up", day_or_year, (None, False))
    put_up = "" if day is None else str(day.year) if year_only else day.isoformat()
    return LotFacts(product, size, put_up, row.text("load"), row.text("source"), row.text("note"))


def _place(pantry: Pantry, row: Row) -> str:
    try:
        return place_meant(pantry, row.text("place")) if row.text("place") else ""
    except PantryError as error:
        row.say("place", str(error).splitlines()[0])
        return ""


def _amount(text: str) -> Fraction:
    from pantrymeals.units import take_number

    taken = take_number(text)
    if taken is None or taken[1] or taken[0] < 0:
        raise Wrong(f"{shown(text)} is not a count", "write 0, 12 or 13 1/2")
    return taken[0]


def _state(text: str) -> LotState:
    for state in _STATES:
        if text.casefold() == state:
            return state
    raise Wrong(f"{shown(text)} is no state of a lot", "leave it blank, or write held, promised or suspect")


def differences(book: Book, counted: Sequence[Counted]) -> tuple[Difference, ...]:
    """Where shelf and book part. Raises MistakesInFiles when two lines count the same lot.

    What came and went after the sheet was printed is allowed for: the shelf's count is brought
    up to now by the movements since (those of an earlier entry of the same sheet apart), so that
    a sheet may be entered late, mended and entered again.
    """
    by_number = dict(book.lots())
    gathering = Gathering()
    seen: dict[tuple[LotFacts, str, LotState], Counted] = {}
    found = []
    for line in counted:
        gathering = line.row.gathering
        facts = _lot_meant(book, line, by_number)
        line = line if facts is None else _in_its_state(book, line, facts)
        line = line if facts is None or line.place else _where_it_stands(book, line, facts)
        if facts is None or not (line.place or _nowhere_known(book)):
            continue
        key = (facts, line.place, line.state)
        if key in seen:
            line.row.say("lot", f"line {seen[key].row.line} counts the same lot at the same place", "keep one")
        seen[key] = line
        now = _on_hand(book, facts, line.place, line.state)
        shelf = line.shelf + _since(book, facts, line)
        if abs(shelf - now) >= _LEAST:
            found.append(Difference(facts, line.place, line.state, now, max(shelf, Fraction(0))))
    _say_what_else_stands_there(book, seen)
    gathering.stop_if_any()
    return tuple(found)


def _lot_meant(book: Book, line: Counted, by_number: Mapping[int, LotFacts]) -> LotFacts | None:
    """The lot that a line speaks of; None, and written down as a mistake, where its number is another product's."""
    if isinstance(line.lot, LotFacts):
        return _known_lot(book, line.lot, line)
    facts = by_number.get(line.lot)
    if facts is None:
        line.row.say("lot", f"the book has no lot {line.lot}", "leave it blank for one the book lacks")
        return None
    names = {fold(name) for name in (line.product.name, *line.product.also_called)}
    if fold(facts.product) not in names or facts.size != line.size:
        right = f"'lots {line.product.name}' shows the numbers of its lots"
        line.row.say("lot", f"lot {line.lot} is {facts.product} in {facts.size}", right)
        return None
    return facts


def _where_it_stands(book: Book, line: Counted, facts: LotFacts) -> Counted:
    """A line without a place, at the one place where the book has that lot; else it is written down as a mistake."""
    places = [h.place for h in book.on_hand(facts.product) if (h.lot, h.state) == (facts, line.state)]
    if len(places) == 1:
        return replace(line, place=places[0])
    if not _nowhere_known(book):
        there = f"the book has it at {', '.join(places)}" if places else "the book does not know this lot"
        line.row.say("place", f"the place is blank, and {there}", "write the place that was counted")
    return line


def _in_its_state(book: Book, line: Counted, facts: LotFacts) -> Counted:
    """A line without a state, of a lot that is there in one other state alone (held), in that: no jar counts twice."""
    states = {h.state for h in book.on_hand(facts.product) if h.lot == facts and line.place in ("", h.place)}
    if line.state == "" and len(states) == 1 and "" not in states:
        return replace(line, state=next(iter(states)))
    return line


def _say_what_else_stands_there(book: Book, seen: Mapping[tuple[LotFacts, str, LotState], Counted]) -> None:
    """Write down as a mistake a line that more than one lot or state fits, unless each is counted on a line of its own.

    '48 qt applesauce' of a shelf with two lots is neither the one nor the other, and no third.
    """
    for (facts, place, state), line in seen.items():
        if not isinstance(line.lot, LotFacts):
            continue
        for here in book.on_hand(facts.product):
            fits = _fits(here, line.lot, place) and ("state" not in line.row.ordinals or here.state == state)
            if fits and (here.lot, here.place, here.state) not in seen:
                what = ", ".join(x for x in (put_up_words(here.lot.put_up), here.lot.load, here.state) if x)
                line.row.say(
                    "shelf", f"the book has {sized(here.count, facts.size)} here too (lot {here.number}: {what})",
                    "count each on a row of its own, told by its lot, put_up, load or state",
                )  # fmt: skip


def _nowhere_known(book: Book) -> bool:
    """Whether this household writes no places at all."""
    return not any(book.places())


def _known_lot(book: Book, facts: LotFacts, line: Counted) -> LotFacts:
    """The lot that a line without a number means: the one there with that label, on the shelf before one held."""
    fitting = [here for here in book.on_hand(facts.product) if _fits(here, facts, line.place)]
    same = [here for here in fitting if here.state == line.state] or ([] if line.state else fitting)
    unique = dict.fromkeys(here.lot for here in same)
    labelled = [lot for lot in unique if (lot.put_up, lot.load) == (facts.put_up, facts.load)]
    return next((found[0] for found in (labelled, list(unique)) if len(found) == 1), facts)


def _fits(here: OnHand, facts: LotFacts, place: str) -> bool:
    """Whether a lot may be the one that a line tells by its place and label, as far as it tells them."""
    return here.lot.size == facts.size and all(
        told in ("", there)
        for told, there in (
            (place, here.place), (facts.put_up, here.lot.put_up), (facts.load, here.lot.load),
            (facts.source, here.lot.source),
        )
    )  # fmt: skip


def _on_hand(book: Book, facts: LotFacts, place: str, state: str) -> Fraction:
    return sum(
        (h.count for h in book.on_hand(facts.product) if (h.lot, h.place, h.state) == (facts, place, state)),
        Fraction(0),
    )


def _since(book: Book, facts: LotFacts, line: Counted) -> Fraction:
    """What came (+) and went (-) there since the sheet was printed, counts apart."""
    if line.as_of is None:
        return Fraction(0)
    parts = book.db.execute(
        """SELECT coalesce(sum(parts), 0) FROM movement JOIN lot ON lot.id = movement.lot
           WHERE entry > ? AND reason <> 'counted' AND place = ? AND state = ?
             AND (product, size, put_up, load, source, lot.note) = (?, ?, ?, ?, ?, ?)""",
        (
            line.as_of, line.place, line.state,
            facts.product, facts.size, facts.put_up, facts.load, facts.source, facts.note,
        ),
    ).fetchone()[0]  # fmt: skip
    return from_parts(int(parts))


def count_lines(found: Sequence[Difference]) -> list[AnyLine]:
    """The lines that bring the book to what the shelf says."""
    return [Line(d.lot, d.place, d.shelf - d.book, "counted", d.state) for d in found]


def enter_count(pantry: Pantry, book: Book, file: Path, key: str = "") -> Iterator[str]:
    """Enter a count sheet that was filled in; the lines to say: shelf against book, then what was entered."""
    return enter_counted(pantry, book, read_sheet(pantry, file), f"count enter {file.name}", key)


def enter_counted(pantry: Pantry, book: Book, counted: Sequence[Counted], command: str, key: str = "") -> Iterator[str]:
    """Enter what was counted; the lines to say: shelf against book, then what was entered."""
    found = differences(book, counted)
    yield f"{plural(len(counted), 'line')} counted, {plural(len(found), 'difference')}."
    for d in found:
        label = f", put up {put_up_words(d.lot.put_up)}" if d.lot.put_up else ""
        state = f", {d.state}" if d.state else ""
        book_says, shelf = sized(d.book, d.lot.size), sized(d.shelf, d.lot.size)
        yield f"  {d.lot.product}{label} at {d.place or 'no place'}{state}: book {book_says}, shelf {shelf}"
    entered: Entered = enter(
        pantry, book, command, lambda b: count_lines(differences(b, counted)), key=key,
        nothing="Shelf and book agree; there is nothing to enter.",
    )  # fmt: skip
    yield from entered.said
