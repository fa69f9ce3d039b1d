"""What the book's commands share: asking which is meant, entering and saying so."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from msgspec import Struct
from msgspec.structs import asdict

from pantrymeals.cli.options import Day, Key, Larder, LotOption, PlaceOption, Who, chosen, say_the_day
from pantrymeals.cli.streams import ENTERED, entered_words, stopped_words, unprinted_words
from pantrymeals.errors import PantryError, Stopped, Twice

if TYPE_CHECKING:
    from pantrymeals.actions.book.enter import Book, Decide, Entered, Written
    from pantrymeals.actions.book.pantry import Pantry
    from pantrymeals.actions.book.take import Wanted
    from pantrymeals.actions.book.words import Said, SeveralFit
    from pantrymeals.plans.dish_told import DishAsked
    from pantrymeals.plans.first_count import Question
    from pantrymeals.records import Reason


def amount_meant(pantry: Pantry, words: Iterable[str], *, only_looked_at: bool = False) -> Said:
    """The amount and product of a few words; a person at a terminal is asked what is not sure."""
    from pantrymeals.actions.book.words import NotInThatSize, SeveralFit, understand

    text = " ".join(words)
    chosen: dict[str, str] = {}
    while True:
        try:
            return understand(pantry, text, **chosen)
        except SeveralFit as several:
            if not at_a_terminal() or len(chosen) == 2:
                raise
            chosen["size" if several.what == "size" else "choose"] = _ask(several)
        except NotInThatSize as other:
            if only_looked_at and other.sure and other.instead is not None:
                typer.echo(f"{other.said} is {other.instead}.", err=True)
                return other.instead
            if other.instead is None or not at_a_terminal():
                raise
            typer.echo(other.to_look_at())
            if not typer.confirm(f"Is {other.instead} what is meant?", default=False):
                raise
            return other.instead


def amount_asked_of(pantry: Pantry, words: Iterable[str]) -> Said:
    """As ``amount_meant`` of what is only looked at: a litre is two half-litre jars, which is said, not asked."""
    from pantrymeals.actions.book.words import NotInThatSize
    from pantrymeals.errors import NotUnderstood

    try:
        return amount_meant(pantry, words, only_looked_at=True)
    except NotInThatSize as other:
        raise NotUnderstood(other.to_look_at()) from None


def at_a_terminal() -> bool:
    """Whether somebody is there to be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def asks_of(source: Path | None) -> bool:
    """Whether somebody is there to be asked about what is read, which does not come through the keyboard itself."""
    return at_a_terminal() and str(source) != "-"


def answered(question: Question | DishAsked, line: object) -> str:
    """What is said to a question about a line of what is read; '' for nothing."""
    if question.written:
        typer.echo(f"line {line}: {question.written}")
    offered = f" [{' | '.join(question.choices)}]" if question.choices else ""
    said: str = typer.prompt(f"  {question.asked}{offered}", default="", show_default=False)
    return said


TwiceSaid = Annotated[
    Twice | None,
    chosen(
        "--twice", "Rows that say the same: both (so many more), or one (it stands there twice).",
        "neither of the two", "both", "one",
    ),
]  # fmt: skip


def which_of_two() -> Twice:
    """Asked of somebody at a terminal about rows that say the same; nothing is taken for granted."""
    answers: dict[str, Twice] = {"both": "both", "one": "one"}
    while (said := typer.prompt("Do both count, or one?").strip().casefold()) not in answers:
        typer.echo("Answer both, or one.")
    return answers[said]


def _ask(several: SeveralFit) -> str:
    typer.echo(f"'{several.said}' can be more than one {several.what}:")
    for place, choice in enumerate(several.choices, start=1):
        typer.echo(f"  {place}  {choice}")
    number: int = typer.prompt("Which?", type=int)
    if not 1 <= number <= len(several.choices):
        raise typer.BadParameter(f"choose 1 to {len(several.choices)}")
    return several.choices[number - 1]


class WhichLots(Struct, frozen=True):
    """Which lots it is taken from, where that matters."""

    place: PlaceOption = None
    lot: LotOption = None


class Entering(Struct, frozen=True):
    """In whose book something is entered, for which day, by whom; with one key it is entered once."""

    larder: Larder = Path()
    day: Day = None
    who: Who = ""
    key: Key = ""

    @contextmanager
    def opened(self) -> Iterator[Desk]:
        """The book, open to be written in. Raises PantryError."""
        with open_pantry(self.larder, self.day, self.who) as (pantry, book):
            yield Desk(pantry, book, self.key)


class Desk(Struct, frozen=True):
    """A household with its book open to be written in by one command."""

    pantry: Pantry
    book: Book
    key: str

    def place(self, text: str | None) -> str | None:
        """A place's code from what was typed; None when nothing was."""
        return place_said(self.pantry, text)

    def wanted(self, words: Iterable[str], reason: Reason, which: WhichLots = WhichLots(), note: str = "") -> Wanted:
        """What is to be taken, and from where, of what was typed."""
        from pantrymeals.actions.book.take import Wanted

        said = amount_meant(self.pantry, words)
        return Wanted(said, reason, lot=which.lot, place=self.place(which.place), note=note)

    def enter(
        self, command: str, decide: Decide, cautions: Iterable[str] = (), nothing: str = "There is nothing to enter."
    ) -> Written:
        """Enter one thing, then say what was entered and the cautions of the moment."""
        from pantrymeals.actions.book.enter import enter

        entered = enter(self.pantry, self.book, command, decide, key=self.key, cautions=cautions, nothing=nothing)
        say(entered)
        return entered.written


def place_said(pantry: Pantry, text: str | None) -> str | None:
    """A place's code from what was typed; None when nothing was."""
    from pantrymeals.actions.book.words import place_meant

    return None if text is None else place_meant(pantry, text)


def say(entered: Entered) -> None:
    """Say what was entered. Raises PantryError where it cannot be printed."""
    try:
        for line in entered.said:
            typer.echo(line)
        sys.stdout.flush()
    except OSError as error:
        number = entered.written.entry
        raise PantryError(unprinted_words(error, entered_words([number] if number else []))) from None


def said_again(name: str, words: Iterable[str], which: WhichLots = WhichLots(), **options: object) -> str:
    """The command as it was said, for the book: 'put-up 27 qt applesauce --load 6 Oct'."""
    parts = [name, *words]
    for option, value in (options | asdict(which)).items():
        if value is True:
            parts.append(f"--{option.replace('_', '-')}")
        elif value not in (None, "", False, 0):
            parts += [f"--{option.replace('_', '-')}", str(value)]
    return " ".join(" ".join(parts).split())


@contextmanager
def open_pantry(
    larder: Path, day: date | None, who: str = "", *, reading: bool = False
) -> Iterator[tuple[Pantry, Book]]:
    """The household and its book; a day on which something is to be entered has come, or is asked about."""
    from pantrymeals.actions.book.keeping import pantry_with_book

    with pantry_with_book(larder, day, who, reading=reading) as (pantry, book):
        try:
            say_the_day(pantry.own_today or pantry.today, day)
            if day is not None and not reading:
                ask_about_ahead(pantry, f"{day}", day)
            yield pantry, book
            ENTERED.extend(book.entered_now() if book.keys else ())
        except (KeyboardInterrupt, typer.Abort):
            raise Stopped(stopped_words(book.entered_now())) from None
        except OSError as error:
            raise PantryError(unprinted_words(error, entered_words(book.entered_now()))) from None


def ask_about_ahead(pantry: Pantry, said: str, day: date) -> None:
    """Ask about a day that has not come; not at a terminal it is refused. Raises PantryError."""
    from pantrymeals.actions.book.say import not_come_yet

    words = not_come_yet(pantry, said, day)
    if not words:
        return
    if not at_a_terminal():
        raise PantryError(f"{words}; nothing was entered. Look at the year again, or say it when the day has come")
    if not typer.confirm(f"{words}. Is that what is meant?", default=False):
        raise PantryError("nothing was entered")


def open_book_to_read(larder: Path) -> AbstractContextManager[Book]:
    """The book alone, for what needs no product's name."""
    from pantrymeals.actions.book.keeping import book_to_read

    return book_to_read(larder)
