"""The put-up book's commands: what comes on to the shelf and what goes from it.

All the book's commands stand in `COMMANDS`; those that hold back, count and look are in
the modules beside this one. Everything heavy is imported inside the commands.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer
from msgspec.structs import replace

from pantrymeals.cli.book import look, pull, said, states
from pantrymeals.cli.book.common import Entering, WhichLots, amount_meant, ask_about_ahead, said_again
from pantrymeals.cli.complete import complete_carried
from pantrymeals.cli.options import Anyway, GoesTo, LotOption, Words, product_words, whole_number
from pantrymeals.cli.together import Commands

if TYPE_CHECKING:
    from pantrymeals.records import Product, Reason


def put_up(
    words: Words,
    entering: Entering,
    source: Annotated[
        str, typer.Option("--source", metavar="RECIPE", help="Which tested recipe it came from, with its year.")
    ] = "",
    load: Annotated[
        str, typer.Option("--load", metavar="LABEL", help="The load's label: jars that went in together.")
    ] = "",
    place: GoesTo = None,
    failed: Annotated[
        int,
        typer.Option(
            "--failed", parser=whole_number(" of jars", 1, 0), metavar="NUMBER", help="Jars that did not seal, apart."
        ),
    ] = 0,
    failed_kept: Annotated[
        bool,
        typer.Option("--failed-in-fridge/--failed-elsewhere", help="Whether those went into the fridge as part jars."),
    ] = True,
    wide: Annotated[bool, typer.Option("--wide", help="Wide lids were used.")] = False,
    when: Annotated[str, typer.Option("--when", metavar="DATE", help="The label's day, or year alone.")] = "",
    note: Annotated[str, typer.Option("--note", metavar="WORDS", help="Anything else on the label.")] = "",
) -> None:
    """Write down a lot that was put up: its sealed jars, those that failed apart."""
    from pantrymeals.actions.book.moments import when_put_up
    from pantrymeals.actions.book.put import PutUp
    from pantrymeals.actions.book.put import put_up as lines_of
    from pantrymeals.actions.book.words import put_up_meant

    with entering.opened() as desk:
        pantry = desk.pantry
        said = amount_meant(pantry, words)
        label = put_up_meant(when) if when else pantry.today.isoformat()
        if when:
            ask_about_ahead(pantry, f"--when {label}", date.fromisoformat(label if "-" in label else f"{label}-01-01"))
        lot = PutUp(said, label, load, source, desk.place(place), failed, failed_kept, wide, note)
        cautions = when_put_up(said.product, said.size.name, source, failed, pantry.altitude_ft, pantry.low_salt)
        command = said_again("put-up", words, load=load, source=source, failed=failed, place=place, when=when)
        desk.enter(command, lambda book: lines_of(pantry, book, lot), cautions)


def _take(
    name: str, words: list[str], reason: Reason, which: WhichLots, entering: Entering, cautions: tuple[str, ...] = (),
    fits: Callable[[Product], None] = lambda _: None,
) -> None:  # fmt: skip
    """Take an amount of a product for one reason, the oldest first. fits: raises PantryError for what may not go so."""
    from pantrymeals.actions.book.take import take

    with entering.opened() as desk:
        wanted = desk.wanted(words, reason, which)
        fits(wanted.said.product)
        desk.enter(said_again(name, words, which), lambda book: take(desk.pantry, book, wanted), cautions)


def tally(words: Words, which: WhichLots, entering: Entering) -> None:
    """Someone took one (or more): a stroke at the door of the store."""
    _take("tally", words, "eaten", which, entering)


def make_over(words: Words, which: WhichLots, entering: Entering) -> None:
    """Turn something into something else: jelly into glaze, butter into cake."""
    _take("make-over", words, "made over", which, entering, cautions=("C11",))


def hens(words: Words, which: WhichLots, entering: Entering) -> None:
    """Sound surplus to the hens; never a held lot, never a low-acid jar."""
    _take("hens", words, "to the hens", which, entering, fits=_no_low_acid_jar)


def compost(words: Words, which: WhichLots, entering: Entering) -> None:
    """Sound surplus to the compost; never a held lot, never a low-acid jar."""
    _take("compost", words, "compost", which, entering, fits=_no_low_acid_jar)


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
    which: WhichLots,
    entering: Entering,
    left: Annotated[
        str, typer.Option("--left", metavar="AMOUNT", help="What is left of it: 1/2 qt, 250 g. All of it, if not said.")
    ] = "",
) -> None:
    """Open a jar, or lift out a pack: a part jar in the fridge, its clock begun."""
    from pantrymeals.actions.book.put import open_jars, part_left
    from pantrymeals.errors import PantryError

    with entering.opened() as desk:
        wanted = desk.wanted(words, "pulled", which)
        product = wanted.said.product
        if wanted.said.count != 1 or not product.whole:
            raise PantryError(f"open one container at a time: 'open {product.name}'")
        rest = part_left(wanted.said, left)
        command = said_again("open", words, which, left=left)
        cautions = ("C11", "C15") if product.kind == "jar" else ()
        desk.enter(command, lambda book: open_jars(desk.pantry, book, wanted, rest), cautions)


def give(
    words: Annotated[list[str], product_words("AMOUNT PRODUCT [to WHOM]", "Such as 2 hp jam to Nell.")],
    entering: Entering,
    anyway: Anyway = False,
    lot: LotOption = None,
) -> None:
    """Give away: the jar is out, and hoped back."""
    from pantrymeals.actions.book.take import take
    from pantrymeals.actions.book.words import split_at

    what, whom = split_at(" ".join(words), "to")
    with entering.opened() as desk:
        wanted = desk.wanted([what], "given", WhichLots(lot=lot), note=f"to {whom}" if whom else "")
        home_jar = wanted.said.product.kind == "jar"
        wanted = replace(wanted, sourced=home_jar and not anyway)
        command = said_again("give", words, anyway=anyway, lot=lot)
        desk.enter(command, lambda book: take(desk.pantry, book, wanted), ("C27",) if home_jar else ())


def barter(
    words: Annotated[
        list[str],
        product_words("AMOUNT PRODUCT [for WHAT]", "Such as 6 pt dilly beans for 2 lb butter, 3 kg apples for eggs."),
    ],
    entering: Entering,
    anyway: Anyway = False,
) -> None:
    """Barter: what goes; and what comes for it, if that is a product of ours."""
    from pantrymeals.actions.book.put import bring_in as lines_in
    from pantrymeals.actions.book.take import take
    from pantrymeals.actions.book.words import NotInThatSize, split_at, understand
    from pantrymeals.errors import NotUnderstood

    what, for_what = split_at(" ".join(words), "for")
    with entering.opened() as desk:
        wanted = desk.wanted([what], "bartered", note=f"for {for_what}" if for_what else "")
        home_jar = wanted.said.product.kind == "jar"
        wanted = replace(wanted, sourced=home_jar and not anyway)
        try:
            came = understand(desk.pantry, for_what) if for_what else None
        except NotInThatSize:
            raise
        except NotUnderstood:
            came = None  # a favour, or goods that we do not keep: the note says what
        desk.enter(
            said_again("barter", words, anyway=anyway),
            lambda book: [
                *take(desk.pantry, book, wanted),
                *(lines_in(desk.pantry, book, came, "arrived", None, f"for {wanted.said}") if came else ()),
            ],
            ("C27",) if home_jar else (),
        )


def bring_in(
    words: Words,
    entering: Entering,
    bought: Annotated[bool, typer.Option("--bought", help="It was bought; else it has arrived.")] = False,
    place: GoesTo = None,
    note: Annotated[str, typer.Option("--note", metavar="WORDS", help="Where it came from.")] = "",
) -> None:
    """Bring in what has arrived or was bought: the co-op order, a crop, a side of beef."""
    from pantrymeals.actions.book.put import bring_in as lines_of

    reason: Reason = "bought" if bought else "arrived"
    with entering.opened() as desk:
        said = amount_meant(desk.pantry, words)
        where = desk.place(place)
        command = said_again("bring-in", words, bought=bought, place=place)
        desk.enter(command, lambda book: lines_of(desk.pantry, book, said, reason, where, note))


def move(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="AMOUNT PRODUCT to PLACE",
            help="Such as 3 qt applesauce to K, 2 kg carrots to C.",
            autocompletion=complete_carried,
        ),
    ],
    which: WhichLots,
    entering: Entering,
) -> None:
    """Carry something to another place."""
    from pantrymeals.actions.book.put import move as lines_of
    from pantrymeals.actions.book.words import place_meant, split_at
    from pantrymeals.errors import PantryError

    what, to = split_at(" ".join(words), "to")
    if not to:
        raise PantryError("say where to: 'move 3 jars applesauce to K'")
    with entering.opened() as desk:
        wanted = desk.wanted([what], "moved", which)
        there = place_meant(desk.pantry, to)
        desk.enter(said_again("move", words, which), lambda book: lines_of(desk.pantry, book, wanted, there))


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
    **said.COMMANDS,
    **states.COMMANDS,
    **look.COMMANDS,
}
