"""Commands of the first evening: files begun, a first count, dishes of one's own, and what is behind a figure."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from pantrymeals.cli.book.common import TwiceSaid, answered, asks_of
from pantrymeals.cli.options import AsCsv, Asked, AsXlsx, Larder, Plain, Printed, product_words, show
from pantrymeals.cli.streams import tell
from pantrymeals.cli.together import Commands


def start(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the household's files are to lie.")],
    answers: Annotated[
        Path | None,
        typer.Option("--answers", metavar="FILE", help="Answers in a file, a line each, such as people: Nora 1948."),
    ] = None,
) -> None:
    """Begin a household: some ten questions, or an answers file; its files are written, with what each line is for."""
    from pantrymeals.actions.start import answers_in, ask_all
    from pantrymeals.actions.start import start as begin

    if answers is not None:
        said = answers_in(answers)
    else:
        said = ask_all(lambda question: str(typer.prompt(question, default="", show_default=False)), typer.echo)
    begun = begin(folder, said, date.today())
    for file in begun.files:
        typer.echo(f"Written: {file}", err=True)
    for line in begun.said:
        typer.echo(line)


def first_count(
    source: Annotated[
        Path, typer.Argument(metavar="LIST", help="Your list: .csv, .xlsx, plain lines, or - to type it.")
    ],
    larder: Larder = Path(),
    dates: Annotated[str, typer.Option("--dates", metavar="ORDER", help="days or months: which comes first.")] = "",
    answer: Annotated[
        list[str] | None,
        typer.Option("--answer", metavar="LINE=ANSWER", help="Answer a question: 8=pt, 9=500 ml jar, 12=skip."),
    ] = None,
    twice: TwiceSaid = None,
    write: Annotated[bool, typer.Option("--write", help="Write it into products.csv and stock.csv.")] = False,
    csv: AsCsv = None,
    xlsx: AsXlsx = None,
    plain: Plain = False,
) -> None:
    """Read a list of what is there, say what was understood and guessed; write it as the first count when told."""
    from pantrymeals.actions.first_count import first_count as read
    from pantrymeals.actions.first_count import first_count_answer, write_count

    ask = (lambda question: answered(question, question.number)) if asks_of(source) else None
    counted = read(larder, source, dates, answer or (), date.today(), ask, twice)
    show(first_count_answer(counted), plain, csv=csv, xlsx=xlsx)
    if write or (ask is not None and counted.lines and typer.confirm("Write this?", default=False)):
        tell("\n".join(write_count(larder, counted)))
    elif counted.questions or counted.order_asked:
        typer.echo("Nothing is written yet: answer what is asked, then say it again with --write.", err=True)
    elif counted.lines:
        typer.echo("Nothing is written yet: say it again with --write.", err=True)


ToExplain = Annotated[list[str], product_words("PRODUCT | files", "A few words of its name; or files, for every file.")]


def explain(words: ToExplain, asked: Asked, printed: Printed) -> None:
    """Say which figure of a product came from where: your own files, or the catalogue and its source."""
    from pantrymeals.actions.explain import explain_answer, files_explained, measures_written

    if list(words) == ["files"]:
        typer.echo(files_explained(measures_written(asked.larder)), nl=False)
        return
    printed.show(explain_answer(asked.larder, " ".join(words), asked.today, date.today()))


def dishes(
    asked: Asked,
    printed: Printed,
    words: Annotated[list[str] | None, product_words("[PRODUCT]", "Only what takes it, whichever kind.")] = None,
    role: Annotated[str, typer.Option("--role", metavar="ROLE", help="Only these: main, side, lunch ...")] = "",
) -> None:
    """Say which dishes fit this larder, which lack one product, how often each was eaten; or what takes a product."""
    from pantrymeals.actions.dishes import dishes_answer, takers_answer

    if words:
        printed.show(takers_answer(asked.larder, asked.today, date.today(), " ".join(words), role))
        return
    printed.show(dishes_answer(asked.larder, asked.today, date.today(), role))


COMMANDS: Commands = {"start": start, "first-count": first_count, "explain": explain, "dishes": dishes}
