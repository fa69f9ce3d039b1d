"""Holding back, letting go, what spoiled, and taking back what was entered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer
from msgspec.structs import replace

from pantrymeals.cli.book.common import Desk, Entering, WhichLots, at_a_terminal, said_again
from pantrymeals.cli.complete import complete_place
from pantrymeals.cli.options import Words, product_words, whole_number, worded
from pantrymeals.cli.streams import tell
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.actions.book.enter import Written
    from pantrymeals.actions.book.hold import Which
    from pantrymeals.records import Reason

HoldWords = Annotated[
    list[str],
    product_words(
        "AMOUNT PRODUCT | lot NUMBER | load LABEL | source NAME",
        "Some jars, one lot, a whole load, or every lot of one recipe source.",
    ),
]
To = Annotated[str | None, worded("--to", "PLACE", "Carry it there, too.", complete_place)]


def hold(words: HoldWords, entering: Entering, to: To = None) -> None:
    """Hold back jars, a lot, a load or every lot of one source: on no menu until settled."""
    from pantrymeals.actions.book.hold import hold_lots, set_state

    command = said_again("hold", words, to=to)
    with entering.opened() as desk:
        there = desk.place(to)
        if which := _lots_named(words):
            cautions = ("C30",) if words[0] == "source" else ()
            nothing = _no_such(words, "on the shelf")
            desk.enter(command, lambda book: hold_lots(book, which, "held", there), cautions, nothing)
        else:
            wanted = desk.wanted(words, "moved")
            desk.enter(command, lambda book: set_state(desk.pantry, book, wanted, "held", there))


def _lots_named(words: list[str]) -> Which | None:
    """Which lots are meant by 'lot 12', 'load 6 Oct' or 'source great-aunt'; None for some jars of a product."""
    from pantrymeals.actions.book.hold import which_lots

    return which_lots(words[0], " ".join(words[1:])) if words[0] in ("lot", "load", "source") and words[1:] else None


def _no_such(words: list[str], where: str) -> str:
    return f"Nothing {where} is of {' '.join(words)}; 'lots PRODUCT' shows lots, loads and sources."


def release(
    words: HoldWords,
    entering: Entering,
    why: Annotated[
        str, typer.Option("--why", metavar="WORDS", help="What has settled it; needed where there was reason to doubt.")
    ] = "",
    to: To = None,
) -> None:
    """Put held or suspect jars back on the shelf, once it is settled."""
    from pantrymeals.actions.book.hold import release as lines_of
    from pantrymeals.actions.book.hold import release_lots

    command = said_again("release", words, why=why, to=to)
    with entering.opened() as desk:
        there = desk.place(to)
        if which := _lots_named(words):
            nothing = _no_such(words, "held back")
            desk.enter(command, lambda book: release_lots(desk.pantry, book, which, there, why), ("C11",), nothing)
        else:
            wanted = replace(desk.wanted(words, "moved"), state="held")
            desk.enter(command, lambda book: lines_of(desk.pantry, book, wanted, there, why), ("C11",))


HoldLoad = Annotated[
    bool | None,
    typer.Option("--hold-load/--leave-load", help="Hold the rest of its load, or leave it; else you are asked."),
]


def suspect(words: Words, which: WhichLots, entering: Entering, hold_load: HoldLoad = None) -> None:
    """Mark jars that show a sign of spoiling; the rest of the load is offered for hold."""
    from pantrymeals.actions.book.hold import set_state

    with entering.opened() as desk:
        wanted = desk.wanted(words, "moved", which)
        command = said_again("suspect", words, which)
        written = desk.enter(command, lambda book: set_state(desk.pantry, book, wanted, "suspect"), ("C12", "C13"))
        _offer_the_load(desk, written, hold_load)


def spoiled(
    words: Words,
    which: WhichLots,
    entering: Entering,
    let_go: Annotated[bool, typer.Option("--let-go", help="Its lid came loose in store.")] = False,
    hold_load: HoldLoad = None,
    note: Annotated[str, typer.Option("--note", metavar="WORDS", help="What was seen.")] = "",
) -> None:
    """Throw out what has spoiled, untasted; the rest of its load is offered for hold."""
    from pantrymeals.actions.book.hold import spoil

    reason: Reason = "failed seal" if let_go else "spoiled"
    with entering.opened() as desk:
        wanted = desk.wanted(words, reason, which, note)
        home_jar = wanted.said.product.kind == "jar"
        command = said_again("spoiled", words, which, let_go=let_go)
        cautions = ("C12", "C13") if home_jar else ()
        written = desk.enter(command, lambda book: spoil(desk.pantry, book, wanted), cautions)
        if home_jar:
            _offer_the_load(desk, written, hold_load)


def _offer_the_load(desk: Desk, written: Written, wanted: bool | None) -> None:
    from pantrymeals.actions.book.hold import by_size, hold_lots, rest_of_load
    from pantrymeals.actions.book.say import label_words

    rest = rest_of_load(desk.book, list(written.lines))
    if not rest:
        return
    numbers = {here.number for here in rest}
    lot = rest[0].lot
    label = label_words(lot) or "day not known"
    what = f"{by_size(rest)} {lot.product} of the same load ({label})"
    if wanted is None and at_a_terminal():
        wanted = typer.confirm(f"Hold the other {what}?", default=True)
    if wanted:
        command = f"hold the load of {lot.product}, {label}"
        # a second entry, so not under the key of the first
        replace(desk, key="").enter(command, lambda book: hold_lots(book, lambda here: here.number in numbers))
    elif wanted is None:
        say = "; ".join(f"hold lot {number}" for number in sorted(numbers))
        typer.echo(f"There are {what}. To hold them: '{say}'.")


def broken(words: Words, which: WhichLots, entering: Entering) -> None:
    """A jar broke: gone with its glass."""
    from pantrymeals.actions.book.take import take
    from pantrymeals.actions.book.words import whole_only

    with entering.opened() as desk:
        wanted = desk.wanted(words, "spoiled", which, note="broken")
        whole_only(wanted.said)
        desk.enter(said_again("broken", words, which), lambda book: take(desk.pantry, book, wanted))
        typer.echo("Sweep well: glass may have reached whatever stood open beside it.")


def undo(
    entering: Entering,
    number: Annotated[
        int | None, typer.Argument(metavar="[ENTRY]", parser=whole_number("", 12), help="Its number; else the last.")
    ] = None,
) -> None:
    """Take back the last thing entered, or an entry by its number."""
    from pantrymeals.actions.book.enter import take_back

    command = said_again("undo", [] if number is None else [str(number)])
    with entering.opened() as desk:
        tell(take_back(desk.pantry, desk.book, command, number, desk.key))


def redo(entering: Entering) -> None:
    """Do again what was last taken back."""
    from pantrymeals.actions.book.enter import do_again

    with entering.opened() as desk:
        tell(do_again(desk.pantry, desk.book, desk.key))


COMMANDS: Commands = {
    "hold": hold,
    "release": release,
    "suspect": suspect,
    "spoiled": spoiled,
    "broken": broken,
    "undo": undo,
    "redo": redo,
}
