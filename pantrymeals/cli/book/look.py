"""Looking and counting: lots, history, part jars, glass, the count, and the book itself."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer
from msgspec.structs import replace

from pantrymeals.cli.book.common import (
    Entering,
    TwiceSaid,
    amount_meant,
    at_a_terminal,
    open_book_to_read,
    open_pantry,
    place_said,
    said_again,
    which_of_two,
)
from pantrymeals.cli.complete import complete_place
from pantrymeals.cli.options import (
    Asked,
    AsPicture,
    Day,
    Larder,
    LotOption,
    PlaceOption,
    Printed,
    ProductWords,
    ToPrint,
    Who,
    counted,
    product_words,
    whole_number,
    write_files,
    written,
)
from pantrymeals.cli.streams import tell
from pantrymeals.cli.together import Commands, add
from pantrymeals.errors import PantryError, RowsTwice

Counted = Annotated[
    int | None, typer.Argument(metavar="[COUNT]", parser=whole_number(" to count", 12), help="How many were counted.")
]
OnePlace = Annotated[
    str | None, typer.Argument(metavar="[PLACE]", help="Only this place; else all.", autocompletion=complete_place)
]
AnyProduct = Annotated[list[str] | None, product_words("[PRODUCT]", "A few words of its name.")]
count_app = typer.Typer(help="Take the count: a sheet to carry round, then what the shelf says.", no_args_is_help=True)
book_app = typer.Typer(help="The put-up book itself: log, copies, check.", no_args_is_help=True)


def lots(printed: Printed, words: AnyProduct = None, place: PlaceOption = None, larder: Larder = Path()) -> None:
    """Show the lots of a product, the oldest first, with their numbers; or what stands at a --place."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, None, reading=True) as (pantry, book):
        code = place_said(pantry, place)
        if words:
            printed.show(shown.lots(book, amount_meant(pantry, words).product, code))
        elif code is not None:
            printed.show(shown.at_place(pantry, book, code))
        else:
            raise typer.BadParameter("say a product ('lots salsa') or a place ('lots --place N1')")


def labels(
    words: ProductWords,
    printed: Printed,
    to_print: ToPrint,
    lot: LotOption = None,
    number: Annotated[int | None, counted("--number", "How many; else one for each there.", " of labels", 7)] = None,
    larder: Larder = Path(),
) -> None:
    """Print labels for the jars of a lot: product, day, load, what is in it, and a code that tells the lot."""
    from pantrymeals.actions.book import to_print as sheets

    with open_pantry(larder, None, reading=True) as (pantry, book):
        product = amount_meant(pantry, words).product
        printed.show(sheets.labels(pantry, book, product, lot, number), printed=to_print)


def history(
    words: ProductWords,
    printed: Printed,
    larder: Larder = Path(),
    picture: AsPicture = None,
    every_kind: Annotated[
        bool, typer.Option("--every-kind", help="What we eat of it in a year, of all kinds.")
    ] = False,
) -> None:
    """Show a product's book years: carried over, put up, given, lost, used; and its last movements."""
    from pantrymeals.actions.book import shown

    if every_kind:
        from pantrymeals.actions.every_kind import every_kind_answer

        printed.show(every_kind_answer(Asked(larder).opened(), " ".join(words)))
        return
    with open_pantry(larder, None, reading=True) as (pantry, book):
        printed.show(shown.history(pantry, book, amount_meant(pantry, words).product), picture=picture)


def part_jars(printed: Printed, larder: Larder = Path(), day: Day = None) -> None:
    """Show what is open, and how long each clock still runs."""
    from pantrymeals.actions.book import shown

    with open_pantry(larder, day, reading=True) as (pantry, book):
        printed.show(shown.part_jars(pantry, book))


def empties(
    printed: Printed,
    entering: Entering,
    size: Annotated[str, typer.Argument(metavar="[SIZE]", help="qt, pt, hp or half-gal; or 500 ml.")] = "",
    number: Counted = None,
    back: Annotated[bool, typer.Option("--back", help="So many came back that were out.")] = False,
    more: Annotated[bool, typer.Option("--more", help="So many more than before: bought, or found.")] = False,
) -> None:
    """Show jars by size: full, empties, out; or enter a count of empties."""
    _glass("empties", size, number, printed, entering, more=more, back=back)


def lids(
    printed: Printed,
    entering: Entering,
    kind: Annotated[str, typer.Argument(metavar="[KIND]", help="regular or wide.")] = "",
    number: Counted = None,
    more: Annotated[bool, typer.Option("--more", help="So many more than before: bought.")] = False,
) -> None:
    """Show lids on hand; or enter a count of them."""
    _glass("lids", kind, number, printed, entering, more=more)


def _glass(
    thing: Literal["empties", "lids"], kind: str, number: int | None, printed: Printed, entering: Entering, *,
    more: bool, back: bool = False,
) -> None:  # fmt: skip
    """Show the glass; or where a count is said, enter it: what there is, what came as well, or what came back."""
    from pantrymeals.actions.book import glass, shown

    if not kind or number is None:
        with open_pantry(entering.larder, None, reading=True) as (pantry, book):
            printed.show(shown.glass(pantry, book))
        return
    with entering.opened() as desk:
        command = said_again(thing, [kind, str(number)], back=back, more=more)
        sizes = desk.pantry.jar_sizes
        if back:
            desk.enter(command, lambda _: glass.came_back(kind, number, sizes=sizes))
        elif more:
            desk.enter(command, lambda _: glass.came(thing, kind, number, sizes=sizes))
        else:
            desk.enter(
                command, lambda book: glass.counted(book, thing, kind, number, sizes), nothing="The book says the same."
            )


def caution(number: Annotated[str, typer.Argument(metavar="[NUMBER]", help="Such as 12 or C12.")] = "") -> None:
    """Show a caution in full, when it matters and whom to ask; all of them without a number."""
    from pantrymeals.actions.book.moments import caution_text

    typer.echo(caution_text(number))


def count_sheet(
    printed: Printed,
    to_print: ToPrint,
    place: OnePlace = None,
    out: Annotated[
        Path | None, written("--out", "A sheet to fill in: .csv, .xlsx, or .pdf to print.", ".csv", ".xlsx", ".pdf")
    ] = None,
    larder: Larder = Path(),
    day: Day = None,
) -> None:
    """Print the count sheet of a place, with room for what the shelf shows."""
    from pantrymeals.actions.book import to_print as sheets

    kind = "" if out is None else out.suffix.casefold()
    csv, xlsx = printed.csv or (out if kind == ".csv" else None), printed.xlsx or (out if kind == ".xlsx" else None)
    to_print = replace(to_print, pdf=to_print.pdf or (out if kind == ".pdf" else None))
    with open_pantry(larder, day, reading=True) as (pantry, book):
        answer = sheets.count_sheet(pantry, book, place_said(pantry, place))
        if out is None:
            printed.show(answer, printed=to_print)
        else:
            write_files(answer, csv=csv, xlsx=xlsx, printed=to_print)


def count_tally(
    printed: Printed, to_print: ToPrint, place: OnePlace = None, larder: Larder = Path(), day: Day = None
) -> None:
    """Print the tally for the door of a place: a box for each jar, to be crossed off as it goes."""
    from pantrymeals.actions.book import to_print as sheets

    with open_pantry(larder, day, reading=True) as (pantry, book):
        printed.show(sheets.tally(pantry, book, place_said(pantry, place)), printed=to_print)


def count_enter(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A count sheet filled in, .csv or .xlsx.")],
    entering: Entering,
) -> None:
    """Enter a count: shelf against book, and the difference, without blame."""
    from pantrymeals.actions.book.count import enter_count

    with entering.opened() as desk:
        for line in enter_count(desk.pantry, desk.book, file, desk.key):
            typer.echo(line)


def book_log(
    printed: Printed,
    number: Annotated[int, counted("--last", "How many.", " of entries", 20, 1)] = 20,
    larder: Larder = Path(),
) -> None:
    """Show what was written in the book, the newest first."""
    from pantrymeals.actions.book import shown

    with open_book_to_read(larder) as book:
        printed.show(shown.log(book, number))


def book_export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .csv or .xlsx.")], larder: Larder = Path()
) -> None:
    """Write every line of the book as one table, CSV or spreadsheet."""
    from pantrymeals.actions.book.keeping import export

    tell(export(larder, file))


def book_import(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An export, .csv or .xlsx.")],
    larder: Larder = Path(),
    twice: TwiceSaid = None,
) -> None:
    """Make a book from an export, in a folder that has none."""
    from pantrymeals.actions.book.keeping import bring_back

    try:
        tell(bring_back(larder, file, twice))
    except RowsTwice as rows:
        if not at_a_terminal():
            raise PantryError(
                f"{rows}\nOr say which it is: --twice both, or --twice one; nothing was entered"
            ) from None
        typer.echo(f"{rows}")
        tell(bring_back(larder, file, which_of_two()))


def book_backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the copy goes; never overwritten.")],
    larder: Larder = Path(),
) -> None:
    """Copy the whole book to a file, others writing or not."""
    from pantrymeals.actions.book.keeping import backup

    tell(backup(larder, file))


def book_restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A copy made by `book backup`.")], larder: Larder = Path()
) -> None:
    """Put a copy in the book's place; what was there is set aside, not lost."""
    from pantrymeals.actions.book.keeping import restore

    tell(restore(larder, file))


def book_whose(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="The household's new name.")] = "",
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
) -> None:
    """Say which household's book it is; or write down that it has a new name."""
    from pantrymeals.actions.book.keeping import whose

    tell(whose(larder, name, day, who))


def book_check(larder: Larder = Path()) -> None:
    """Read every page of the book and see whether its sums make sense."""
    from pantrymeals.actions.book.keeping import check

    wrong, well = check(larder)
    for line in wrong:
        typer.echo(line, err=True)
    if wrong:
        raise typer.Exit(1)
    typer.echo(well)


def book_schema() -> None:
    """Print how the book is laid out, for other programs."""
    from pantrymeals.actions.book.keeping import SCHEMA

    typer.echo(SCHEMA, nl=False)


add(count_app, {"sheet": count_sheet, "tally": count_tally, "enter": count_enter})
add(
    book_app,
    {
        "log": book_log,
        "export": book_export,
        "import": book_import,
        "backup": book_backup,
        "restore": book_restore,
        "whose": book_whose,
        "check": book_check,
        "schema": book_schema,
    },
)

COMMANDS: Commands = {
    "lots": lots,
    "labels": labels,
    "history": history,
    "part-jars": part_jars,
    "empties": empties,
    "lids": lids,
    "caution": caution,
    "count": count_app,
    "book": book_app,
}
