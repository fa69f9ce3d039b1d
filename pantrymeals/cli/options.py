"""What several commands share, each said once: their options, days as typed, and colour or none."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from datetime import date
from math import isfinite, nan
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.cli.complete import complete_dish, complete_place, complete_product

if TYPE_CHECKING:
    from pantrymeals.actions.answer import Answer
    from pantrymeals.actions.with_book import Larder as Opened
    from pantrymeals.plans.menu import MenuPlan
    from pantrymeals.records import Household

RULES_BROKEN = 3
"""Exit code when the checker finds a broken rule in our own menu."""


def parse_day(text: str) -> date:
    """A day typed as 2026-01-17, within 1900 to 2100."""
    from pantrymeals.records import FIRST_DAY, LAST_DAY

    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is not a day; write it as 2026-01-17") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise typer.BadParameter(f"'{text}' is not a day within 1900 to 2100; look at the year again")
    return day


_MOST = 10**15
"""No count, number of a lot or of an entry is larger; what is would fall over further in."""
MOST_SEED = 2**31 - 1
"""The largest seed that the solvers take."""


def whole_number(what: str, such_as: int, least: int | None = None, most: int | None = _MOST) -> Callable[[str], int]:
    """A reader of whole numbers that says in plain words what would be right: 'a whole number of days'."""

    def read(text: str) -> int:
        try:
            number = int(text)
        except ValueError:
            raise typer.BadParameter(
                f"'{text[:40]}' is not a whole number{what}; write one such as {such_as}"
            ) from None
        return _within(number, least, most)

    return read


def in_seconds(such_as: int, least: float | None = None) -> Callable[[str], float]:
    """A reader of seconds, whole or in parts."""

    def read(text: str) -> float:
        try:
            number = float(text)
        except ValueError:
            number = nan
        if not isfinite(number):
            raise typer.BadParameter(f"'{text}' is not a number of seconds; write one such as {such_as}")
        return _within(number, least, None)

    return read


Number = TypeVar("Number", int, float)


def _within(number: Number, least: float | None, most: float | None) -> Number:
    if least is not None and number < least:
        raise typer.BadParameter(f"{number:.15g} is less than {least:.15g}, the least there can be")
    if most is not None and number > most:
        raise typer.BadParameter(f"{number:.15g} is more than {most:.15g}, the most there can be")
    return number


def counted(option: str, says: str, what: str, such_as: int, least: int | None = None, most: int | None = _MOST) -> Any:
    """An option that takes a whole number; what: of what, in words."""
    return typer.Option(option, parser=whole_number(what, such_as, least, most), metavar="NUMBER", help=says)


def seeded(says: str) -> Any:
    """The option of a seed."""
    return counted("--seed", says, "", 2, 0, MOST_SEED)


def timed(says: str, such_as: int, least: float | None = None) -> Any:
    """The option of how long to search."""
    return typer.Option("--seconds", parser=in_seconds(such_as, least), metavar="NUMBER", help=says)


def dated(option: str, says: str) -> Any:
    """An option that takes a day."""
    return typer.Option(option, parser=parse_day, metavar="DATE", help=says)


def to_write(*endings: str) -> Callable[[str], Path]:
    """A reader of the name of a file that may be written: known before any work is done for it.

    endings: those that it may have; none: any.
    """
    *others, last = endings or ("",)
    said = f"{', '.join(others)} or {last}" if others else last

    def read(text: str) -> Path:
        from pantrymeals.actions.answer import refuse_what_is_not_ours

        path = Path(text)
        if endings and path.suffix.casefold() not in endings:
            raise typer.BadParameter(f"'{text}' should end in {said}")
        refuse_what_is_not_ours(path)
        return path

    return read


def to_draw(text: str) -> Path:
    """A picture to write; what draws it starts beside the work that comes first."""
    from pantrymeals.actions.answer import make_ready_to_draw

    path = to_write(".svg", ".png")(text)
    make_ready_to_draw()
    return path


def written(option: str, says: str, *endings: str, read: Callable[[str], Path] | None = None) -> Any:
    """An option that names a file to be written; read: its reader, where that has more to do."""
    return typer.Option(option, parser=read or to_write(*endings), metavar="FILE", help=says)


def worded(option: str, metavar: str, says: str, offers: Callable[..., Any] | None = None) -> Any:
    """An option that takes words; offers: what the shell completes them with."""
    return typer.Option(option, metavar=metavar, help=says, autocompletion=offers)


def chosen(option: str, says: str, wrong: str, one: str, other: str) -> Any:
    """An option that takes one of two words; wrong: what the others are not, 'no paper we print on'."""

    def read(text: str) -> str:
        word = text.strip().casefold()
        if word not in (one, other):
            raise typer.BadParameter(f"'{text}' is {wrong}; write {one} or {other}")
        return word

    def offered(incomplete: str) -> list[str]:
        return [word for word in (one, other) if word.startswith(incomplete.casefold())]

    return typer.Option(option, parser=read, metavar=f"{one}|{other}", help=says, autocompletion=offered)


def product_words(metavar: str, says: str) -> Any:
    """An argument of several words, a product's name among them."""
    return typer.Argument(metavar=metavar, help=says, autocompletion=complete_product)


# Of every command
Larder = Annotated[Path, worded("--larder", "FOLDER", "The household's folder.")]
AsJson = Annotated[bool, typer.Option("--json", help="JSON for other programs.")]
Plain = Annotated[bool, typer.Option("--plain", help="No colour, plain letters.")]
AsCsv = Annotated[Path | None, written("--csv", "Also write the table as CSV; further ones beside it.", ".csv")]
AsXlsx = Annotated[Path | None, written("--xlsx", "Also write it as a spreadsheet.", ".xlsx")]
AsPicture = Annotated[Path | None, written("--picture", "Also draw it: .svg or .png.", read=to_draw)]
AsDates = Annotated[
    Path | None,
    written("--ics", "Also put its days into this calendar file; what it has of them is brought up to date.", ".ics"),
]

# Of the planners
First = Annotated[date | None, dated("--from", "First day; else the household's today.")]
SameSeed = Annotated[
    int | None, seeded("The same menu on every run, however busy the machine; another, another as good.")
]
Days = Annotated[int, counted("--days", "How many days.", " of days", 7)]
Full = Annotated[bool, typer.Option("--full", help="Every use, reason and line to fetch, and all that pinches.")]
MenuSeed = Annotated[int, seeded("Another seed, another menu as good.")]
Headcount = Annotated[
    list[str] | None, worded("--headcount", "'DAY [MEAL]=N'", "So many at table: 'Thu=14', 'Sat lunch=10'.")
]
Away = Annotated[list[str] | None, worded("--away", "'DAY=NAME'", "Someone is not at table that day: 'Thu=Joss'.")]
Pinned = Annotated[
    list[str] | None, worded("--pin", "'DAY [MEAL]: DISH'", "Put a dish on a day: 'Sun: Trout cakes'.", complete_dish)
]
Banned = Annotated[list[str] | None, worded("--ban", "DISH", "Leave a dish out, this once.", complete_dish)]
Announce = Annotated[
    bool, typer.Option("--announce", help="Keep it as the menu the table has been told of: `pull` then takes it.")
]

# Of the put-up book
Words = Annotated[list[str], product_words("AMOUNT PRODUCT", "Such as 2 qt crushed tom, or 500 g butter.")]
ProductWords = Annotated[list[str], product_words("PRODUCT", "A few words of its name.")]
Day = Annotated[date | None, dated("--day", "The day it happened, if not today.")]
Who = Annotated[str, worded("--who", "NAME", "Who says so.")]
Key = Annotated[str, typer.Option("--key", hidden=True, help="The same key counts once.")]
LotOption = Annotated[int | None, counted("--lot", "Only this lot; see `lots`.", "", 12)]
PlaceOption = Annotated[str | None, worded("--place", "PLACE", "Only there.", complete_place)]
GoesTo = Annotated[
    str | None,
    typer.Option(
        "--place", metavar="PLACE", help="Where it goes, if not where it stood last.", autocompletion=complete_place
    ),
]
Anyway = Annotated[bool, typer.Option("--anyway", help="Also jars whose tested source is not recorded.")]


class Printed(Struct, frozen=True):
    """How an answer is given out."""

    csv: AsCsv = None
    xlsx: AsXlsx = None
    plain: Plain = False

    def show(self, answer: Answer, *, as_json: bool = False, **files: Any) -> None:
        """Print an answer, write the files asked for, and stop with code 3 where the checker found a fault in it.

        files: those beside its tables, as ``Files`` has them.
        """
        show(answer, self.plain, as_json, csv=self.csv, xlsx=self.xlsx, **files)


class PrintedOrJson(Printed, frozen=True):
    """How an answer is given out that other programs read too."""

    as_json: AsJson = False

    def show(self, answer: Answer, *, as_json: bool = False, **files: Any) -> None:
        """Likewise."""
        show(answer, self.plain, self.as_json or as_json, csv=self.csv, xlsx=self.xlsx, **files)


class ToPrint(Struct, frozen=True):
    """What is printed, and how."""

    pdf: Annotated[Path | None, written("--pdf", "Also write it as PDF, to print.", ".pdf")] = None
    paper: Annotated[
        str | None, chosen("--paper", "Paper, if not as household.yaml says.", "no paper we print on", "letter", "a4")
    ] = None
    large: Annotated[bool, typer.Option("--large", help="Print it in large letters.")] = False


class Asked(Struct, frozen=True):
    """Whose household is asked about, and on which day."""

    larder: Larder = Path()
    today: Annotated[date | None, dated("--today", "The day the counts speak for, if not theirs.")] = None

    def opened(self) -> Opened:
        """The household with its book; a day behind the calendar's, and an old count, are said. Raises PantryError."""
        from pantrymeals.actions.edited_stock import edited_stock
        from pantrymeals.actions.old_count import old_count
        from pantrymeals.actions.with_book import open_with_book

        opened = open_with_book(self.larder, self.today, date.today())
        day = day_words(opened.household.today, self.today)
        edited = edited_stock(self.larder, opened.household)
        BESIDE[:] = [said for said in (day, old_count(opened, self.today or date.today()), edited) if said]
        for said in BESIDE:
            say_beside(said)
        return opened

    def on_its_first_day(self, opened: Opened, household: Household, first: date | None) -> Household:
        """The household that a menu from ``first`` is cooked from; far ahead, what is eaten until then is said."""
        from pantrymeals.actions.far_menu import on_its_first_day

        there, until_then = on_its_first_day(self.larder, household, first, opened.pace)
        if until_then:
            say_beside(until_then)
        return there

    def menu_counted(self, opened: Opened, file: Path | None = None, without: bool = False) -> MenuPlan | None:
        """The menu whose draws count while it runs, which is said: a file's, else the announced one's days to come.

        without: none at all. Raises PantryError.
        """
        from pantrymeals.actions.with_book import menu_counted

        words, plan = menu_counted(self.larder, opened.household, file, without)
        if words:
            say_beside(f"Counted while it runs: {words}.")
        return plan


BESIDE: list[str] = []
"""What this command has said of the day it is dated by and of an old count: it stands on every sheet it writes."""


def say_the_day(today: date, said: date | None = None) -> None:
    """Say that household.yaml's own day lies behind the calendar's: all that is printed now is dated by it.

    said: the day typed, if any; then there is nothing to say.
    """
    if words := day_words(today, said):
        say_beside(words)


def day_words(today: date, said: date | None) -> str:
    """That sentence; '' where there is nothing to say."""
    calendar_day = date.today()
    if said is not None or today >= calendar_day:
        return ""
    return (
        f"Dated {today}, as household.yaml says ('today:'); the calendar says {calendar_day}. "
        "Take that line out to go by the calendar."
    )


def say_beside(text: str) -> None:
    """Say something about an answer, apart from it (standard error), in eighty columns."""
    typer.echo(fill(text, 80), err=True)


def wants_colour(plain: bool) -> bool:
    """Colour only on a terminal that wants it (NO_COLOR and TERM=dumb say no)."""
    if plain or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return sys.stdout.isatty()


def show(answer: Answer, plain: bool = False, as_json: bool = False, **files: Any) -> None:
    """Print an answer, write the files asked for, and stop with code 3 where the checker found a fault in it."""
    answer = replace(answer, beside=tuple(BESIDE))
    if as_json and answer.json is not None:
        typer.echo(answer.json_text())
    elif sys.stdout.isatty():  # where the head has been said already
        typer.echo(answer.text(colour=wants_colour(plain)), nl=False)
    else:
        typer.echo(answer.sheet(colour=False), nl=False)
    write_files(answer, **files)
    say_broken(answer.broken)


def write_files(answer: Answer, *, printed: ToPrint | None = None, **files: Any) -> None:
    """Write an answer to the files named (as ``Files`` has them), and say so."""
    from pantrymeals.actions.answer import Files

    on_paper: dict[str, Any] = (
        {} if printed is None else {"pdf": printed.pdf, "paper": printed.paper, "large": printed.large}
    )
    answer = replace(answer, beside=tuple(BESIDE))
    BESIDE.clear()
    for path in answer.write_files(Files(**on_paper, **files)):
        typer.echo(f"Written: {path}", err=True)


def say_broken(faults: Iterable[str]) -> None:
    """What the checker found in our own menu, if anything; then stop with its code."""
    faults = tuple(faults)
    for fault in faults:
        typer.echo(f"broken rule: {fault}", err=True)
    if faults:
        raise typer.Exit(RULES_BROKEN)
