"""Looking and counting: lots, history, part jars, glass, the count, and the book itself."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book.common import amount_meant, enter, open_book_to_read, open_pantry, place_said, said_again
from pantrymeals.cli.complete import complete_place
from pantrymeals.cli.options import (
    AsCsv,
    AsXlsx,
    Day,
    Key,
    Larder,
    Plain,
    ProductWords,
    Who,
    also_as_tables,
    paper_for,
    whole_number,
)

if TYPE_CHECKING:
    from pantrymeals.reports.terminal.paper import Paper

Counted = Annotated[
    int | None,
    typer.Argument(metavar="[COUNT]", parser=whole_number(" to count", 12), help="How many were counted."),
]
count_app = typer.Typer(help="Take the count: a sheet to carry round, then what the shelf says.", no_args_is_help=True)
book_app = typer.Typer(help="The put-up book itself: log, copies, check.", no_args_is_help=True)


def add_looks(app: typer.Typer) -> None:
    """The commands of this module."""
    app.command("lots")(lots)
    app.command("history")(history)
    app.command("part-jars")(part_jars)
    app.command("empties")(empties)
    app.command("lids")(lids)
    app.command("caution")(caution)
    app.add_typer(count_app, name="count")
    app.add_typer(book_app, name="book")


def _tables() -> ModuleType:
    from pantrymeals.actions.book import tables

    return tables


def _show(write: Callable[[Paper], None], plain: bool) -> None:
    paper = paper_for(plain)
    write(paper)
    typer.echo(paper.text(), nl=False)


def lots(
    words: ProductWords, larder: Larder = Path(), plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show the lots of a product, the oldest first, with their numbers."""
    from pantrymeals.actions.book.look import lot_rows
    from pantrymeals.reports.terminal.book_tables import write_lots

    with open_pantry(larder, None, reading=True) as (pantry, book):
        product = amount_meant(pantry, words).product
        rows = lot_rows(book, product)
        also_as_tables(csv, xlsx, lambda: _tables().lots(book, product))
    _show(lambda paper: write_lots(paper, product.name, rows), plain)


def history(
    words: ProductWords, larder: Larder = Path(), plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show a product's seasons: carried over, put up, given, lost, used; and its last movements."""
    from pantrymeals.actions.book.look import last_movements, season_rows
    from pantrymeals.reports.terminal.book_tables import write_history

    with open_pantry(larder, None, reading=True) as (pantry, book):
        product = amount_meant(pantry, words).product
        movements = book.movements(product.name)
    also_as_tables(csv, xlsx, lambda: _tables().history(product, movements))
    seasons = season_rows(product, movements)
    last = last_movements(m for m in movements if m.reason != "moved")
    _show(lambda paper: write_history(paper, product.name, product.sizes[0].name, seasons, last), plain)


def part_jars(
    larder: Larder = Path(), day: Day = None, plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show what is open, and how long each clock still runs."""
    from pantrymeals.actions.book.look import part_rows
    from pantrymeals.reports.terminal.book_tables import write_part_jars

    with open_pantry(larder, day, reading=True) as (pantry, book):
        rows = part_rows(pantry, book)
        also_as_tables(csv, xlsx, lambda: _tables().part_jars(pantry, book))
    _show(lambda paper: write_part_jars(paper, rows, pantry.today), plain)


def empties(
    size: Annotated[str, typer.Argument(metavar="[SIZE]", help="qt, pt, hp or half-gal.")] = "",
    number: Counted = None,
    back: Annotated[bool, typer.Option("--back", help="So many came back that were out.")] = False,
    more: Annotated[bool, typer.Option("--more", help="So many more than before: bought, or found.")] = False,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    plain: Plain = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
) -> None:
    """Show jars by size: full, empties, out; or enter a count of empties."""
    from pantrymeals.actions.book.glass import came, came_back, counted

    if not size or number is None:
        _show_glass(larder, plain, csv, xlsx)
        return
    with open_pantry(larder, day, who) as (pantry, book):
        command = said_again("empties", [size, str(number)], back=back, more=more)
        if back:
            enter(pantry, book, command, lambda _: came_back(size, number))
        elif more:
            enter(pantry, book, command, lambda _: came("empties", size, number))
        else:
            enter(pantry, book, command, lambda b: counted(b, "empties", size, number), nothing=_AGREES)


_AGREES = "The book says the same."


def lids(
    kind: Annotated[str, typer.Argument(metavar="[KIND]", help="regular or wide.")] = "",
    number: Counted = None,
    more: Annotated[bool, typer.Option("--more", help="So many more than before: bought.")] = False,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    plain: Plain = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
) -> None:
    """Show lids on hand; or enter a count of them."""
    from pantrymeals.actions.book.glass import came, counted

    if not kind or number is None:
        _show_glass(larder, plain, csv, xlsx)
        return
    with open_pantry(larder, day, who) as (pantry, book):
        command = said_again("lids", [kind, str(number)], more=more)
        if more:
            enter(pantry, book, command, lambda _: came("lids", kind, number))
        else:
            enter(pantry, book, command, lambda b: counted(b, "lids", kind, number), nothing=_AGREES)


def _show_glass(larder: Path, plain: bool, csv: Path | None, xlsx: Path | None) -> None:
    from pantrymeals.actions.book.glass import glass_rows, lids_on_hand
    from pantrymeals.reports.terminal.book_tables import write_glass

    with open_pantry(larder, None, reading=True) as (pantry, book):
        rows = [(r.size, r.full, r.empties, r.out, r.owned) for r in glass_rows(pantry, book)]
        on_hand = lids_on_hand(book)
        also_as_tables(csv, xlsx, lambda: _tables().glass(pantry, book))
    _show(lambda paper: write_glass(paper, rows, on_hand), plain)


def caution(
    number: Annotated[str, typer.Argument(metavar="[NUMBER]", help="Such as 12 or C12.")] = "",
) -> None:
    """Show a caution in full, when it matters and whom to ask; all of them without a number."""
    from pantrymeals.cautions import caution_text

    typer.echo(caution_text(number))


@count_app.command("sheet")
def count_sheet(
    place: Annotated[
        str | None,
        typer.Argument(metavar="[PLACE]", help="Only this place; else all.", autocompletion=complete_place),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="A sheet to fill in: .csv, .xlsx, or .pdf to print."),
    ] = None,
    larder: Larder = Path(),
    day: Day = None,
    plain: Plain = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
) -> None:
    """Print the count sheet of a place, with room for what the shelf shows."""
    from pantrymeals.actions.book.count import sheet_lines
    from pantrymeals.actions.printing import write_safely
    from pantrymeals.errors import PantryError
    from pantrymeals.reports.pages.count_sheet import sheet_page, write_sheet

    kind = "" if out is None else out.suffix.casefold()
    if kind not in ("", ".csv", ".xlsx", ".pdf") or (out is not None and not kind):
        raise PantryError(f"--out: '{out}' should end in .csv, .xlsx or .pdf")
    with open_pantry(larder, day, reading=True) as (pantry, book):
        lines = sheet_lines(pantry, book, place_said(pantry, place))
    names = {p.code: p.name for p in pantry.places}
    also_as_tables(
        csv or (out if kind == ".csv" else None),
        xlsx or (out if kind == ".xlsx" else None),
        lambda: _tables().count_sheet(lines),
    )
    if out is None:
        _show(lambda paper: write_sheet(paper, lines, names, pantry.today), plain)
    elif kind == ".pdf":
        write_safely(out, sheet_page(lines, names, pantry.name, pantry.today))
        typer.echo(f"Written: {out}", err=True)


@count_app.command("enter")
def count_enter(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A count sheet filled in, .csv or .xlsx.")],
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Enter a count: shelf against book, and the difference, without blame."""
    from pantrymeals.actions.book.count import count_lines, differences, read_sheet
    from pantrymeals.reports.terminal.book_label import put_up_words
    from pantrymeals.reports.words import sized
    from pantrymeals.words import plural

    with open_pantry(larder, day, who) as (pantry, book):
        counted = read_sheet(pantry, file)
        found = differences(book, counted)
        typer.echo(f"{plural(len(counted), 'line')} counted, {plural(len(found), 'difference')}.")
        for d in found:
            label = f", put up {put_up_words(d.lot.put_up)}" if d.lot.put_up else ""
            state = f", {d.state}" if d.state else ""
            typer.echo(
                f"  {d.lot.product}{label} at {d.place or 'no place'}{state}: book "
                f"{sized(d.book, d.lot.size)}, shelf {sized(d.shelf, d.lot.size)}"
            )
        enter(
            pantry, book, f"count enter {file.name}",
            lambda b: count_lines(differences(b, counted)), key=key,
            nothing="Shelf and book agree; there is nothing to enter.",
        )  # fmt: skip


@book_app.command("log")
def book_log(
    number: Annotated[
        int,
        typer.Option("--last", parser=whole_number(" of entries", 20, 1), metavar="NUMBER", help="How many."),
    ] = 20,
    larder: Larder = Path(),
    plain: Plain = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
) -> None:
    """Show what was written in the book, the newest first."""
    from pantrymeals.actions.book.look import log_rows
    from pantrymeals.reports.terminal.book_tables import write_log

    with open_book_to_read(larder) as book:
        rows = log_rows(book, number)
        also_as_tables(csv, xlsx, lambda: _tables().log(book, number))
    _show(lambda paper: write_log(paper, rows), plain)


@book_app.command("export")
def book_export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .csv or .xlsx.")],
    larder: Larder = Path(),
) -> None:
    """Write every line of the book as one table, CSV or spreadsheet."""
    from pantrymeals.actions.printing import export
    from pantrymeals.errors import PantryError

    if file.suffix.casefold() not in (".csv", ".xlsx"):
        raise PantryError(f"'{file}' should end in .csv or .xlsx")
    with open_book_to_read(larder) as book:
        export(book, file)
    typer.echo(f"Written: {file}")


@book_app.command("import")
def book_import(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An export, .csv or .xlsx.")],
    larder: Larder = Path(),
) -> None:
    """Make a book from an export, in a folder that has none."""
    from pantrymeals.book.book import open_book
    from pantrymeals.book.connect import BOOK_FILE, make
    from pantrymeals.book.twin import csv_rows, fill_from_rows, sheet_rows
    from pantrymeals.errors import PantryError

    path = larder / BOOK_FILE
    if path.exists():
        raise PantryError(f"{path}: there is a book here already, and it is never overwritten")
    rows = sheet_rows(file) if file.suffix.casefold() == ".xlsx" else csv_rows(file)
    make(path, fill_from_rows(file.name, rows))
    with open_book(path) as book:
        typer.echo(f"Made {path}: {book.number_of_entries()} entries, {len(book.on_hand())} lots on hand.")


@book_app.command("backup")
def book_backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the copy goes; never overwritten.")],
    larder: Larder = Path(),
) -> None:
    """Copy the whole book to a file, others writing or not."""
    from pantrymeals.book.keep import backup

    with open_book_to_read(larder) as book:
        backup(book, file)
    typer.echo(f"Copied to {file}")


@book_app.command("restore")
def book_restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A copy made by `book backup`.")],
    larder: Larder = Path(),
) -> None:
    """Put a copy in the book's place; what was there is set aside, not lost."""
    from pantrymeals.book.connect import BOOK_FILE
    from pantrymeals.book.keep import restore

    aside = restore(file, larder / BOOK_FILE)
    typer.echo(f"Restored from {file}." + (f" The former book is {aside}." if aside else ""))


@book_app.command("check")
def book_check(larder: Larder = Path()) -> None:
    """Read every page of the book and see whether its sums make sense."""
    from pantrymeals.book.keep import what_is_wrong

    with open_book_to_read(larder) as book:
        wrong = what_is_wrong(book)
        entries = book.number_of_entries()
    for line in wrong:
        typer.echo(line, err=True)
    if wrong:
        raise typer.Exit(1)
    typer.echo(f"All is well: {entries} entries read.")


@book_app.command("schema")
def book_schema() -> None:
    """Print how the book is laid out, for other programs."""
    from pantrymeals.book.schema import SCHEMA

    typer.echo(SCHEMA, nl=False)
