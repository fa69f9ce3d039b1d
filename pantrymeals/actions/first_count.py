"""A first count from a list there is: read line by line, shown, and written into the household's files when told."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

from msgspec.structs import replace

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.pantry import is_begun
from pantrymeals.cells import csv_cell, exact
from pantrymeals.errors import NotUnderstood, PantryError, Twice
from pantrymeals.files.catalogue import catalogue
from pantrymeals.files.csv_tables import delimiter_of
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.household_yaml import FILE as HOUSEHOLD
from pantrymeals.files.household_yaml import read_household_yaml
from pantrymeals.files.lists.containers import SKIP, base_name
from pantrymeals.files.lists.days import Order
from pantrymeals.files.lists.rows import lines_of, read_list
from pantrymeals.files.lists.understand import KnownHere, answers_of, understand
from pantrymeals.files.products import COLUMNS, read_products, sizes_and_measure
from pantrymeals.files.products import FILE as PRODUCTS
from pantrymeals.files.stock import STOCK, STOCK_COLUMNS, read_stock
from pantrymeals.files.text_files import text_of_file
from pantrymeals.jar_doubts import why_untested
from pantrymeals.on_disk import append_lines
from pantrymeals.plans.first_count import FirstCount, LeftOut, Question, Understood
from pantrymeals.records import Lot, Product
from pantrymeals.reports.words import sized
from pantrymeals.tables import asked as tables_of

ORDERS: tuple[Order, ...] = ("days first", "months first")
MORE = "more"
"""The answer that a line's jars come beside those of the same lot that stock.csv has."""
Ask = Callable[[Question], str]
"""Asks somebody at a terminal; '' where there is no answer."""


def first_count(
    folder: Path, source: Path, order: str, answers: Sequence[str], today: date, ask: Ask | None = None,
    twice: Twice | None = None,
) -> FirstCount:  # fmt: skip
    """A list as it is understood against a household's folder; nothing is written.

    source: the file, or '-' for what is typed or piped. twice: what lines that say the same mean, all of them.
    Raises PantryError, or MistakesInFiles of the folder.
    """
    kitchen, lots = _kitchen(folder)
    listed = lines_of(sys.stdin.read()) if str(source) == "-" else read_list(source)
    if not listed.lines:
        raise PantryError(f"there is no line in {source}")
    said, by_line = _order(order), answers_of(answers)

    def read() -> FirstCount:
        counted = _together(understand(listed, kitchen, said, by_line), by_line, twice)
        return _against_stock(counted, lots, kitchen, by_line)

    counted = read()
    while ask is not None and (counted.order_asked or counted.questions):
        if counted.order_asked:
            days = Question(0, "", "do days or months come first in this list?", ORDERS)
            said = _order(ask(days))
        else:
            question = counted.questions[0]
            by_line.setdefault(question.number, []).append(ask(question) or "skip")
        counted = read()
    return _untested_apart(_not_to_come(counted, today), kitchen)


def write_count(folder: Path, counted: FirstCount) -> tuple[str, ...]:
    """Write what was understood into products.csv and stock.csv; the lines to say.

    Raises PantryError while a question is open, or there is a book: later counts go through the count sheet.
    """
    if is_begun(folder):
        raise PantryError(
            "there is a put-up book here already; later counts go through 'count sheet' and 'count enter'"
        )
    if counted.order_asked or counted.questions:
        open_ones = len(counted.questions) + counted.order_asked
        raise PantryError(f"{open_ones} questions are open; nothing was written")
    new = [line for line in counted.lines if line.product in counted.new_products]
    if new:
        _append(folder / PRODUCTS, COLUMNS[:14], (_product_row(counted, name) for name in counted.new_products))
    if counted.lines:
        _append(folder / STOCK, STOCK_COLUMNS, (_stock_row(line) for line in counted.lines))
    return (
        f"Written: {len(counted.new_products)} products in {PRODUCTS}, {len(counted.lines)} lines in {STOCK}.",
        *(() if not counted.already else (f"{counted.already} lines were there already, and are counted once.",)),
    )


def first_count_answer(counted: FirstCount) -> Answer:
    """What was understood, what was guessed, what is asked, and what is left out."""
    from pantrymeals.reports.terminal.first_count import write_first_count

    return Answer(lambda paper: write_first_count(paper, counted), tables=lambda: tables_of.first_count(counted))


def _kitchen(folder: Path) -> tuple[KnownHere, tuple[Lot, ...]]:
    gathering = Gathering()
    if not (folder / HOUSEHOLD).exists():
        raise PantryError(f"{folder} has no {HOUSEHOLD}; begin with 'start {folder}'")
    sheet = read_household_yaml(folder / HOUSEHOLD, gathering)
    known = read_products(folder / PRODUCTS, gathering) if (folder / PRODUCTS).exists() else None
    gathering.stop_if_any()
    assert sheet is not None
    from pantrymeals.files.amounts import KnownProducts

    known = known or KnownProducts.of(())
    lots = read_stock(folder / STOCK, known, sheet.places, gathering) if (folder / STOCK).exists() else ()
    gathering.stop_if_any()
    return KnownHere(sheet.places, known, sheet.measures), lots


def _order(text: str) -> Order | None:
    if not text:
        return None
    found = next((o for o in ORDERS if o.startswith(fold(text)[:3])), None)
    if found is None:
        raise NotUnderstood(f"'{text}' is not an order; say days first, or months first")
    return found


def _together(counted: FirstCount, answers: Mapping[int, Sequence[str]], twice: Twice | None) -> FirstCount:
    """Lines of one lot become one with the sum, and say so: nobody can tell two such lots apart.

    One that says the same to the last jar may be a line written twice, so that is asked (both, or one).
    """
    first: dict[tuple[str, ...], int] = {}
    seen: dict[tuple[str, ...], int] = {}
    lines: list[Understood] = []
    questions, left_out = list(counted.questions), list(counted.left_out)
    for line in counted.lines:
        key = (line.product, line.size, line.put_up, line.place, line.load, line.source, line.note)
        before = seen.setdefault((*key, exact(line.count)), line.number)
        meant = next((a for a in map(fold, answers.get(line.number, ())) if a in ("both", "one")), twice)
        if before != line.number and meant is None:
            asked = f"it says the same as line {before}: are there both, or is it one, written twice?"
            questions.append(Question(line.number, line.written, asked, ("both", "one")))
        elif before != line.number and meant == "one":
            left_out.append(LeftOut(line.number, line.written, f"line {before} written twice, as you said"))
        elif key in first:
            at = first[key]
            with_it = (*lines[at].guesses, f"line {line.number} says the same lot again: counted together")
            lines[at] = replace(lines[at], count=lines[at].count + line.count, guesses=with_it)
        else:
            first[key] = len(lines)
            lines.append(line)
    return replace(counted, lines=tuple(lines), questions=tuple(questions), left_out=tuple(left_out))


def _not_to_come(counted: FirstCount, today: date) -> FirstCount:
    """A line whose day has not come yet is a question."""
    ahead = [
        n for n in counted.lines if n.put_up and n.put_up > (str(today.year) if len(n.put_up) == 4 else f"{today}")
    ]
    asked = tuple(Question(n.number, n.written, f"{n.put_up} has not come yet; is the day right?") for n in ahead)
    return replace(
        counted, lines=tuple(n for n in counted.lines if n not in ahead), questions=counted.questions + asked
    )


def _against_stock(
    counted: FirstCount, lots: Iterable[Lot], kitchen: KnownHere, answers: Mapping[int, Sequence[str]]
) -> FirstCount:
    """Without the lines that stock.csv has as they are; with the products that products.csv lacks.

    A lot that it has with another count is asked about: so many more, or the same shelf counted again.
    """
    there = {_key_of_lot(lot): lot for lot in lots}
    labels = {_label(key): lot for key, lot in there.items()}
    new: list[Understood] = []
    asked = list(counted.questions)
    for line in counted.lines:
        before = labels.get(_label(_key(line)))
        if _key(line) in there:
            continue
        if before is None or any(fold(answer) == MORE for answer in answers.get(line.number, ())):
            new.append(line)
        else:
            at = f"{before.place.file}, line {before.place.line}" if before.place.line else STOCK
            has = sized(before.count, before.size)
            asked.append(Question(
                line.number, line.written,
                f"there are {has} of this lot in {at}: are these so many more? Where it was counted again, put that "
                f"line right and leave this one out.", (MORE, SKIP),
            ))  # fmt: skip
    already = sum(_key(line) in there for line in counted.lines)
    products = tuple(dict.fromkeys(n.product for n in new if kitchen.known.find(n.product) is None))
    return replace(counted, lines=tuple(new), questions=tuple(asked), already=already, new_products=products)


def _label(key: tuple[str, ...]) -> tuple[str, ...]:
    """A lot's key without its count and its remark."""
    return key[:2] + key[3:6]


def _untested_apart(counted: FirstCount, kitchen: KnownHere) -> FirstCount:
    """With each line of a jar that no process is tested for marked so: it is written as held."""

    def why(line: Understood) -> str:
        thing = catalogue().get(fold(line.thing))
        product = kitchen.known.find(line.product)
        if product is None:
            sizes, measure = sizes_and_measure(line.size)
            kind = line.kind or (thing.kind if thing else "")
            family, acid = (thing.family, thing.acid) if thing else ("", "")
            product = Product(line.product, family, kind, measure, sizes, acid=acid)  # type: ignore[arg-type]
        return why_untested(product, line.note)

    return replace(counted, lines=tuple(replace(line, untested=why(line)) for line in counted.lines))


def _key(line: Understood) -> tuple[str, ...]:
    return (fold(line.product), base_name(line.size), exact(line.count), line.put_up, line.place, line.load, line.note)


def _key_of_lot(lot: Lot) -> tuple[str, ...]:
    put_up = "" if lot.put_up is None else str(lot.put_up.year) if lot.year_only else lot.put_up.isoformat()
    return (fold(lot.product), lot.size, exact(lot.count), put_up, lot.where, lot.load, lot.note)


def _product_row(counted: FirstCount, name: str) -> dict[str, str]:
    lines = [line for line in counted.lines if line.product == name]
    thing = catalogue().get(fold(lines[0].thing))
    loose = any(line.loose for line in lines) and not (thing and thing.loose)
    return {
        "product": name,
        "thing": lines[0].thing,
        "kind": "" if thing else lines[0].kind,
        "sizes": "; ".join(dict.fromkeys(line.size for line in lines)),
        "loose": "yes" if loose else "",
    }


def _stock_row(line: Understood) -> dict[str, str]:
    return {
        "product": line.product,
        "size": base_name(line.size),
        "count": exact(Fraction(line.count)),
        "put_up": line.put_up,
        "place": line.place,
        "load": line.load,
        "source": line.source,
        "state": "held" if line.untested else "",
        "note": line.note,
    }


def _append(path: Path, columns: Sequence[str], rows: Iterable[dict[str, str]]) -> None:
    """Add rows under the columns that a file has, with its own mark between cells; a new file gets ``columns``."""
    text = (text_of_file(path, path.name, Gathering()) or "") if path.exists() else ""
    mark = delimiter_of(text) if text.strip() else ","
    heads = [cell.strip() for cell in next(csv.reader(io.StringIO(text), delimiter=mark), [])] or list(columns)
    rows = list(rows)
    missing = {name for row in rows for name, cell in row.items() if cell} - {fold(head) for head in heads}
    if missing:
        raise PantryError(f"{path.name} has no column {sorted(missing)[0]}; add it to its first line")
    append_lines(
        path, _as_line(heads, mark), "".join(_as_line([row.get(fold(h), "") for h in heads], mark) for row in rows)
    )


def _as_line(cells: Sequence[str], mark: str) -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=mark, lineterminator="\n").writerow([csv_cell(cell) for cell in cells])
    return text.getvalue()
