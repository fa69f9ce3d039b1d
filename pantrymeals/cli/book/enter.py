"""The put-up book's commands: what comes on to the shelf and what goes from it.

All the book's commands stand in `COMMANDS`; those that hold back, count and look are in
the two modules beside this one. Everything heavy is imported inside the commands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book import look, pull, states
from pantrymeals.cli.book.common import amount_meant, ask_about_ahead, enter, open_pantry, place_said, said_again
from pantrymeals.cli.complete import complete_carried, complete_product
from pantrymeals.cli.options import (
    Anyway,
    Day,
    GoesTo,
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
    from pantrymeals.records import Product, Reason


def put_up(
    words: Words,
    source: Annotated[str, typer.Option("--source", help="Which tested recipe it came from, with its year.")] = "",
    load: Annotated[str, typer.Option("--load", help="The load's label: jars that went in together.")] = "",
    place: GoesTo = None,
    failed: Annotated[
        int,
        typer.Option(
            "--failed",
            parser=whole_number(" of jars", 1, 0),
            metavar="NUMBER",
            help="Jars that did not seal, apart.",
        ),
    ] = 0,
    failed_kept: Annotated[
        bool,
        typer.Option("--failed-in-fridge/--failed-elsewhere", help="Whether those went into the fridge as part jars."),
    ] = True,
    wide: Annotated[bool, typer.Option("--wide", help="Wide lids were used.")] = False,
    when: Annotated[str, typer.Option("--when", help="The label's day, or year alone.")] = "",
    note: Annotated[str, typer.Option("--note", help="Anything else on the label.")] = "",
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Write down a lot that was put up: its sealed jars, those that failed apart."""
    from pantrymeals.actions.book.moments import when_put_up
    from pantrymeals.actions.book.put import PutUp
    from pantrymeals.actions.book.put import put_up as lines_of
    from pantrymeals.actions.book.words import put_up_meant

    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, words)
        label = put_up_meant(when) if when else pantry.today.isoformat()
        if when:
            ask_about_ahead(pantry, f"--when {label}", date.fromisoformat(label if "-" in label else f"{label}-01-01"))
        lot = PutUp(said, label, load, source, place_said(pantry, place), failed, failed_kept, wide, note)
        cautions = when_put_up(said.product, said.size.name, source, failed, pantry.altitude_ft)
        command = said_again("put-up", words, load=load, source=source, failed=failed, place=place, when=when)
        enter(pantry, book, command, lambda b: lines_of(pantry, b, lot), key=key, cautions=cautions)


@dataclass(frozen=True)
class _Asked:
    """What the plain takings have in common."""

    name: str
    words: list[str]
    reason: Reason
    place: str | None
    lot: int | None
    larder: Path
    day: Day
    who: str
    key: str
    note: str = ""
    cautions: tuple[str, ...] = ()
    fits: Callable[[Product], None] | None = None


def take_plainly(asked: _Asked) -> None:
    """Take an amount of a product for one reason, the oldest first."""
    from pantrymeals.actions.book.take import Wanted, take

    with open_pantry(asked.larder, asked.day, asked.who) as (pantry, book):
        said = amount_meant(pantry, asked.words)
        if asked.fits is not None:
            asked.fits(said.product)
        place = place_said(pantry, asked.place)
        wanted = Wanted(said, asked.reason, lot=asked.lot, place=place, note=asked.note)
        command = said_again(asked.name, asked.words, place=place, lot=asked.lot)
        enter(
            pantry, book, command, lambda b: take(pantry, b, wanted), key=asked.key, cautions=asked.cautions
        )  # fmt: skip


def tally(
    words: Words,
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Someone took one (or more): a stroke at the door of the store."""
    take_plainly(_Asked("tally", words, "eaten", place, lot, larder, day, who, key))


def make_over(
    words: Words,
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Turn something into something else: jelly into glaze, butter into cake."""
    take_plainly(_Asked("make-over", words, "made over", place, lot, larder, day, who, key, cautions=("C11",)))


def hens(
    words: Words,
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Sound surplus to the hens; never a held lot, never a low-acid jar."""
    _to_animals_or_heap("hens", words, "to the hens", place, lot, larder, day, who, key)


def compost(
    words: Words,
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Sound surplus to the compost; never a held lot, never a low-acid jar."""
    _to_animals_or_heap("compost", words, "compost", place, lot, larder, day, who, key)


def _to_animals_or_heap(
    name: str, words: list[str], reason: Reason, place: str | None, lot: int | None, larder: Path, day: Day,
    who: str, key: str,
) -> None:  # fmt: skip
    take_plainly(_Asked(name, words, reason, place, lot, larder, day, who, key, fits=_no_low_acid_jar))


def _no_low_acid_jar(product: Product) -> None:
    """Low-acid jars go where neither people nor animals reach them. Raises PantryError."""
    from pantrymeals.errors import PantryError
    from pantrymeals.jar_doubts import low_acid_jar

    if low_acid_jar(product):
        raise PantryError(
            f"{product.name} is a low-acid jar: where people and animals can reach is no place for it. "
            "If it is suspect, say 'suspect' or 'spoiled'; if it is only old, eat it or ask."
        )


def open_(
    words: Words,
    left: Annotated[str, typer.Option("--left", help="What is left of it: 1/2 qt. All of it, if not said.")] = "",
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Open a jar, or lift out a pack: a part jar in the fridge, its clock begun."""
    from pantrymeals.actions.book.put import open_jars, part_left
    from pantrymeals.actions.book.take import Wanted
    from pantrymeals.errors import PantryError

    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, words)
        if said.count != 1 or not said.product.whole:
            raise PantryError(f"open one container at a time: 'open {said.product.name}'")
        rest = part_left(said, left)
        wanted = Wanted(said, "pulled", lot=lot, place=place_said(pantry, place))
        command = said_again("open", words, left=left)
        cautions = ("C11", "C15") if said.product.kind == "jar" else ()
        enter(
            pantry, book, command, lambda b: open_jars(pantry, b, wanted, rest), key=key, cautions=cautions
        )  # fmt: skip


def give(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="AMOUNT PRODUCT [to WHOM]", help="Such as 2 hp jam to Nell.", autocompletion=complete_product
        ),
    ],
    anyway: Anyway = False,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Give away: the jar is out, and hoped back."""
    from pantrymeals.actions.book.take import Wanted, take
    from pantrymeals.actions.book.words import split_at

    what, whom = split_at(" ".join(words), "to")
    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, what.split())
        home_jar = said.product.kind == "jar"
        wanted = Wanted(said, "given", lot=lot, sourced=home_jar and not anyway, note=f"to {whom}" if whom else "")
        command = said_again("give", words, anyway=anyway)
        cautions = ("C27",) if home_jar else ()
        enter(pantry, book, command, lambda b: take(pantry, b, wanted), key=key, cautions=cautions)


def barter(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="AMOUNT PRODUCT [for WHAT]",
            help="Such as 6 pt dilly beans for 2 lb butter.",
            autocompletion=complete_product,
        ),
    ],
    anyway: Anyway = False,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Barter: what goes; and what comes for it, if that is a product of ours."""
    from pantrymeals.actions.book.put import bring_in as lines_in
    from pantrymeals.actions.book.take import Wanted, take
    from pantrymeals.actions.book.words import NotInThatSize, split_at, understand
    from pantrymeals.errors import NotUnderstood

    what, for_what = split_at(" ".join(words), "for")
    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, what.split())
        home_jar = said.product.kind == "jar"
        note = f"for {for_what}" if for_what else ""
        wanted = Wanted(said, "bartered", sourced=home_jar and not anyway, note=note)
        try:
            came = understand(pantry, for_what) if for_what else None
        except NotInThatSize:
            raise
        except NotUnderstood:
            came = None  # a favour, or goods that we do not keep: the note says what
        enter(
            pantry, book, said_again("barter", words, anyway=anyway),
            lambda b: [
                *take(pantry, b, wanted),
                *(lines_in(pantry, b, came, "arrived", None, f"for {said}") if came else ()),
            ],
            key=key, cautions=("C27",) if home_jar else (),
        )  # fmt: skip


def bring_in(
    words: Words,
    bought: Annotated[bool, typer.Option("--bought", help="It was bought; else it has arrived.")] = False,
    place: GoesTo = None,
    note: Annotated[str, typer.Option("--note", help="Where it came from.")] = "",
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Bring in what has arrived or was bought: the co-op order, a crop, a side of beef."""
    from pantrymeals.actions.book.put import bring_in as lines_of

    reason: Reason = "bought" if bought else "arrived"
    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, words)
        where = place_said(pantry, place)
        command = said_again("bring-in", words, bought=bought, place=place)
        enter(pantry, book, command, lambda b: lines_of(pantry, b, said, reason, where, note), key=key)


def move(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="AMOUNT PRODUCT to PLACE", help="Such as 3 qt applesauce to K.", autocompletion=complete_carried
        ),
    ],
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Carry something to another place."""
    from pantrymeals.actions.book.put import move as lines_of
    from pantrymeals.actions.book.take import Wanted
    from pantrymeals.actions.book.words import place_meant, split_at
    from pantrymeals.errors import PantryError

    what, to = split_at(" ".join(words), "to")
    if not to:
        raise PantryError("say where to: 'move 3 qt applesauce to K'")
    with open_pantry(larder, day, who) as (pantry, book):
        said = amount_meant(pantry, what.split())
        wanted = Wanted(said, "moved", lot=lot, place=place_said(pantry, place))
        there = place_meant(pantry, to)
        command = said_again("move", words, place=place, lot=lot)
        enter(pantry, book, command, lambda b: lines_of(pantry, b, wanted, there), key=key)


COMMANDS: Commands = {
    "put-up": put_up,
    "pull": pull.pull,
    "tally": tally,
    "open": open_,
    "give": give,
    "barter": barter,
    "bring-in": bring_in,
    "move": move,
    "make-over": make_over,
    "hens": hens,
    "compost": compost,
    **states.COMMANDS,
    **look.COMMANDS,
}
