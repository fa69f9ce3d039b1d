"""Looking and counting: lots, history, part jars, glass, the count, and the book itself."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

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
    show,
    to_write,
    whole_number,
    write_files,
)
from pantrymeals.cli.together import Commands

Counted = Annotated[
    int | None,
    typer.Argument(metavar="[COUNT]", parser=whole_number(" to count", 12), help="How many were counted."),
]
count_app = typer.Typer(help="Take the count: a sheet to carry round, then what the shelf says.", no_args_is_help=True)
book_app = typer.Typer(help="The put-up book itself: log, copies, check.", no_args_is_help=True)


def lots(
    words: ProductWords, larder: Larder = Path(), plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show the lots of a product, the oldest first, with their numbers."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, None, reading=True) as (pantry, book):
        show(shown.lots(book, amount_meant(pantry, words).product), plain, csv=csv, xlsx=xlsx)


def history(
    words: ProductWords, larder: Larder = Path(), plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show a product's seasons: carried over, put up, given, lost, used; and its last movements."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, None, reading=True) as (pantry, book):
        show(shown.history(book, amount_meant(pantry, words).product), plain, csv=csv, xlsx=xlsx)


def part_jars(
    larder: Larder = Path(), day: Day = None, plain: Plain = False, csv: AsCsv = None, xlsx: AsXlsx = None
) -> None:
    """Show what is open, and how long each clock still runs."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, day, reading=True) as (pantry, book):
        show(shown.part_jars(pantry, book), plain, csv=csv, xlsx=xlsx)


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
    from pantrymeals.actions.book import shown

    with open_pantry(larder, None, reading=True) as (pantry, book):
        show(shown.glass(pantry, book), plain, csv=csv, xlsx=xlsx)


def caution(
    number: Annotated[str, typer.Argument(metavar="[NUMBER]", help="Such as 12 or C12.")] = "",
) -> None:
    """Show a caution in full, when it matters and whom to ask; all of them without a number."""
    from pantrymeals.actions.book.moments import caution_text

    typer.echo(caution_text(number))


@count_app.command("sheet")
def count_sheet(
    place: Annotated[
        str | None,
        typer.Argument(metavar="[PLACE]", help="Only this place; else all.", autocompletion=complete_place),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            parser=to_write(".csv", ".xlsx", ".pdf"),
            metavar="FILE",
            help="A sheet to fill in: .csv, .xlsx, or .pdf to print.",
        ),
    ] = None,
    larder: Larder = Path(),
    day: Day = None,
    plain: Plain = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
) -> None:
    """Print the count sheet of a place, with room for what the shelf shows."""
    from pantrymeals.actions.book import shown

    kind = "" if out is None else out.suffix.casefold()
    csv, xlsx = csv or (out if kind == ".csv" else None), xlsx or (out if kind == ".xlsx" else None)
    with open_pantry(larder, day, reading=True) as (pantry, book):
        answer = shown.count_sheet(pantry, book, place_said(pantry, place))
        if out is None:
            show(answer, plain, csv=csv, xlsx=xlsx)
        else:
            write_files(answer, csv, xlsx, out if kind == ".pdf" else None)


@count_app.command("enter")
def count_enter(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A count sheet filled in, .csv or .xlsx.")],
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Enter a count: shelf against book, and the difference, without blame."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, day, who) as (pantry, book):
        for line in shown.enter_count(pantry, book, file, key):
            typer.echo(line)


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
    from pantrymeals.actions.book import shown

    with open_book_to_read(larder) as book:
        show(shown.log(book, number), plain, csv=csv, xlsx=xlsx)


@book_app.command("export")
def book_export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .csv or .xlsx.")],
    larder: Larder = Path(),
) -> None:
    """Write every line of the book as one table, CSV or spreadsheet."""
    from pantrymeals.actions.book.keeping import export

    typer.echo(export(larder, file))


@book_app.command("import")
def book_import(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An export, .csv or .xlsx.")],
    larder: Larder = Path(),
) -> None:
    """Make a book from an export, in a folder that has none."""
    from pantrymeals.actions.book.keeping import bring_back

    typer.echo(bring_back(larder, file))


@book_app.command("backup")
def book_backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the copy goes; never overwritten.")],
    larder: Larder = Path(),
) -> None:
    """Copy the whole book to a file, others writing or not."""
    from pantrymeals.actions.book.keeping import backup

    typer.echo(backup(larder, file))


@book_app.command("restore")
def book_restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A copy made by `book backup`.")],
    larder: Larder = Path(),
) -> None:
    """Put a copy in the book's place; what was there is set aside, not lost."""
    from pantrymeals.actions.book.keeping import restore

    typer.echo(restore(larder, file))


@book_app.command("whose")
def book_whose(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="The household's new name.")] = "",
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
) -> None:
    """Say which household's book it is; or write down that it has a new name."""
    from pantrymeals.actions.book.keeping import whose

    typer.echo(whose(larder, name, day or date.today(), who))


@book_app.command("check")
def book_check(larder: Larder = Path()) -> None:
    """Read every page of the book and see whether its sums make sense."""
    from pantrymeals.actions.book.keeping import check

    wrong, well = check(larder)
    for line in wrong:
        typer.echo(line, err=True)
    if wrong:
        raise typer.Exit(1)
    typer.echo(well)


@book_app.command("schema")
def book_schema() -> None:
    """Print how the book is laid out, for other programs."""
    from pantrymeals.actions.book.keeping import SCHEMA

    typer.echo(SCHEMA, nl=False)


COMMANDS: Commands = {
    "lots": lots,
    "history": history,
    "part-jars": part_jars,
    "empties": empties,
    "lids": lids,
    "caution": caution,
    "count": count_app,
    "book": book_app,
}
