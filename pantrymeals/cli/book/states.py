"""Holding back, letting go, what spoiled, and taking back what was entered."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book.common import amount_meant, enter, open_pantry, place_said, said_again
from pantrymeals.cli.complete import complete_place, complete_product
from pantrymeals.cli.options import (
    Day,
    Key,
    Larder,
    LotOption,
    PlaceOption,
    Who,
    Words,
    whole_number,
)
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.book.enter import Book, Written
    from pantrymeals.actions.book.pantry import Pantry
    from pantrymeals.records import LotState, Reason

KINDS = ("lot", "load", "source")

HoldWords = Annotated[
    list[str],
    typer.Argument(
        metavar="AMOUNT PRODUCT | lot NUMBER | load LABEL | source NAME",
        help="Some jars, one lot, a whole load, or every lot of one recipe source.",
        autocompletion=complete_product,
    ),
]
To = Annotated[
    str | None,
    typer.Option("--to", help="Carry it there, too.", metavar="PLACE", autocompletion=complete_place),
]


def hold(
    words: HoldWords,
    to: To = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Hold back jars, a lot, a load or every lot of one source: on no menu until settled."""
    from pantrymeals.actions.book.hold import hold_lots, set_state, which_lots
    from pantrymeals.actions.book.take import Wanted

    command = said_again("hold", words, to=to)
    with open_pantry(larder, day, who) as (pantry, book):
        there = place_said(pantry, to)
        if words[0] in KINDS and len(words) > 1:
            which = which_lots(words[0], " ".join(words[1:]))
            enter(
                pantry, book, command, lambda b: hold_lots(b, which, "held", there), key=key,
                cautions=("C30",) if words[0] == "source" else (), nothing=_no_such(words, "on the shelf"),
            )  # fmt: skip
            return
        wanted = Wanted(amount_meant(pantry, words), "moved")
        enter(pantry, book, command, lambda b: set_state(pantry, b, wanted, "held", there), key=key)


def _no_such(words: list[str], where: str) -> str:
    return f"Nothing {where} is of {' '.join(words)}; 'lots PRODUCT' shows lots, loads and sources."


def release(
    words: HoldWords,
    why: Annotated[
        str, typer.Option("--why", help="What has settled it; needed where there was reason to doubt.")
    ] = "",
    to: To = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Put held or suspect jars back on the shelf, once it is settled."""
    from pantrymeals.actions.book.hold import release as lines_of
    from pantrymeals.actions.book.hold import release_lots, which_lots
    from pantrymeals.actions.book.take import Wanted

    command = said_again("release", words, why=why, to=to)
    with open_pantry(larder, day, who) as (pantry, book):
        there = place_said(pantry, to)
        if words[0] in KINDS and len(words) > 1:
            which = which_lots(words[0], " ".join(words[1:]))
            enter(
                pantry, book, command, lambda b: release_lots(pantry, b, which, there, why), key=key, cautions=("C11",),
                nothing=_no_such(words, "held back"),
            )  # fmt: skip
            return
        wanted = Wanted(amount_meant(pantry, words), "moved", state="held")
        enter(
            pantry, book, command, lambda b: lines_of(pantry, b, wanted, there, why), key=key, cautions=("C11",)
        )  # fmt: skip


HoldLoad = Annotated[
    bool | None,
    typer.Option("--hold-load/--leave-load", help="Hold the rest of its load, or leave it; else you are asked."),
]


def suspect(
    words: Words,
    hold_load: HoldLoad = None,
    lot: LotOption = None,
    place: PlaceOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Mark jars that show a sign of spoiling; the rest of the load is offered for hold."""
    from pantrymeals.actions.book.hold import set_state
    from pantrymeals.actions.book.take import Wanted

    with open_pantry(larder, day, who) as (pantry, book):
        wanted = Wanted(amount_meant(pantry, words), "moved", lot=lot, place=place_said(pantry, place))
        into: LotState = "suspect"
        command = said_again("suspect", words, lot=lot)
        written = enter(
            pantry, book, command, lambda b: set_state(pantry, b, wanted, into), key=key, cautions=("C12", "C13")
        )  # fmt: skip
        _offer_the_load(pantry, book, written, hold_load)


def spoiled(
    words: Words,
    let_go: Annotated[bool, typer.Option("--let-go", help="Its lid came loose in store.")] = False,
    hold_load: HoldLoad = None,
    note: Annotated[str, typer.Option("--note", help="What was seen.")] = "",
    lot: LotOption = None,
    place: PlaceOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Throw out what has spoiled, untasted; the rest of its load is offered for hold."""
    from pantrymeals.actions.book.hold import spoil
    from pantrymeals.actions.book.take import Wanted

    with open_pantry(larder, day, who) as (pantry, book):
        reason: Reason = "failed seal" if let_go else "spoiled"
        said = amount_meant(pantry, words)
        wanted = Wanted(said, reason, lot=lot, place=place_said(pantry, place), note=note)
        command = said_again("spoiled", words, let_go=let_go, lot=lot)
        cautions = ("C12", "C13") if said.product.kind == "jar" else ()
        written = enter(
            pantry, book, command, lambda b: spoil(pantry, b, wanted), key=key, cautions=cautions
        )  # fmt: skip
        if said.product.kind == "jar":
            _offer_the_load(pantry, book, written, hold_load)


def _offer_the_load(pantry: Pantry, book: Book, written: Written, wanted: bool | None) -> None:
    from pantrymeals.actions.book.hold import by_size, hold_lots, rest_of_load
    from pantrymeals.actions.book.say import label_words

    rest = rest_of_load(book, list(written.lines))
    if not rest:
        return
    numbers = {here.number for here in rest}
    lot = rest[0].lot
    label = label_words(lot) or "day not known"
    what = f"{by_size(rest)} {lot.product} of the same load ({label})"
    if wanted is None and sys.stdin.isatty() and sys.stdout.isatty():
        wanted = typer.confirm(f"Hold the other {what}?", default=True)
    if wanted:
        command = f"hold the load of {lot.product}, {label}"
        enter(pantry, book, command, lambda b: hold_lots(b, lambda here: here.number in numbers))
    elif wanted is None:
        say = "; ".join(f"hold lot {number}" for number in sorted(numbers))
        typer.echo(f"There are {what}. To hold them: '{say}'.")


def broken(
    words: Words,
    lot: LotOption = None,
    place: PlaceOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """A jar broke: gone with its glass."""
    from pantrymeals.actions.book.take import Wanted, take
    from pantrymeals.actions.book.words import whole_only

    with open_pantry(larder, day, who) as (pantry, book):
        said = whole_only(amount_meant(pantry, words))
        wanted = Wanted(said, "spoiled", lot=lot, place=place_said(pantry, place), note="broken")
        command = said_again("broken", words, lot=lot)
        enter(pantry, book, command, lambda b: take(pantry, b, wanted), key=key)
        typer.echo("Sweep well: glass may have reached whatever stood open beside it.")


def undo(
    number: Annotated[
        int | None,
        typer.Argument(metavar="[ENTRY]", parser=whole_number("", 12), help="Its number; else the last."),
    ] = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Take back the last thing entered, or an entry by its number."""
    from pantrymeals.actions.book.enter import take_back

    command = said_again("undo", [] if number is None else [str(number)])
    with open_pantry(larder, day, who) as (pantry, book):
        typer.echo(take_back(pantry, book, command, number, key))


def redo(
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Do again what was last taken back."""
    from pantrymeals.actions.book.enter import do_again

    with open_pantry(larder, day, who) as (pantry, book):
        typer.echo(do_again(pantry, book, key))


COMMANDS: Commands = {
    "hold": hold,
    "release": release,
    "suspect": suspect,
    "spoiled": spoiled,
    "broken": broken,
    "undo": undo,
    "redo": redo,
}
