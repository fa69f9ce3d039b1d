"""Pulling: a few jars by name, or a planned menu's whole list, part of it, or something else instead."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book.common import amount_meant, enter, open_pantry, place_said, said_again
from pantrymeals.cli.complete import complete_product
from pantrymeals.cli.options import Day, Key, Larder, LotOption, PlaceOption, Who, parse_day

if TYPE_CHECKING:
    from pantrymeals.actions.book.pantry import Pantry
    from pantrymeals.actions.book.plan import PullAsked
    from pantrymeals.book.book import Book
    from pantrymeals.reports.json.plan_pull import MenuToPull


def add_pull(app: typer.Typer) -> None:
    """The one command of this module."""
    app.command("pull")(pull)


def pull(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[MENU.json | AMOUNT PRODUCT]",
            help="A menu written by `menu --json`, or such as 2 qt crushed tom; else the announced menu.",
            autocompletion=complete_product,
        ),
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="PRODUCT", help="Part of a menu's list: only this.")
    ] = None,
    without: Annotated[
        list[str] | None, typer.Option("--without", metavar="PRODUCT", help="All of a menu's list but this.")
    ] = None,
    swap: Annotated[
        list[str] | None,
        typer.Option("--swap", metavar="'THIS for THAT'", help="Pull this instead of that: '2 pt sauce for 1 qt tom'."),
    ] = None,
    through: Annotated[
        date | None,
        typer.Option("--through", parser=parse_day, metavar="DATE", help="A menu's list up to this day."),
    ] = None,
    place: PlaceOption = None,
    lot: LotOption = None,
    larder: Larder = Path(),
    day: Day = None,
    who: Who = "",
    key: Key = "",
) -> None:
    """Bring jars up: a menu's pull list, part of it, something else instead, or a few by name."""
    from pantrymeals.actions.book.take import Wanted, take
    from pantrymeals.errors import PantryError

    with open_pantry(larder, day, who) as (pantry, book):
        if not words or (len(words) == 1 and words[0].endswith(".json")):
            plan, last = _menu_asked(pantry, words)
            command = said_again(
                "pull", words or [], only="; ".join(only or ()), without="; ".join(without or ()),
                swap="; ".join(swap or ()), through=through,
            )  # fmt: skip
            asked = _asked(pantry, plan, only, without, swap, min(through or last, last))
            _pull_menu(pantry, book, plan, asked, command, key)
            return
        if only or without or swap or through:
            raise PantryError(
                "--only, --without, --swap and --through go with a menu: 'pull' alone, or 'pull MENU.json'"
            )
        said = amount_meant(pantry, words)
        wanted = Wanted(said, "pulled", lot=lot, place=place_said(pantry, place))
        cautions = _cautions(pantry, book, {said.product.name})
        command = said_again("pull", words, place=place, lot=lot)
        enter(pantry, book, command, lambda b: take(pantry, b, wanted), key=key, cautions=cautions)


def _cautions(pantry: Pantry, book: Book, products: set[str]) -> tuple[str, ...]:
    """C11 whenever home-put jars are pulled; C14 when a low-acid one has no tested source."""
    from pantrymeals.actions.book.moments import when_taken

    jars = {name for name in products if (p := pantry.product(name)) is not None and p.kind == "jar"}
    low = {name for name in jars if (p := pantry.product(name)) is not None and p.acid == "low"}
    unknown = any(here.lot.product in low and not here.lot.source and here.state == "" for here in book.on_hand())
    return when_taken(unknown) if jars else ()


def _pull_menu(pantry: Pantry, book: Book, plan: MenuToPull, asked: PullAsked, command: str, key: str) -> None:
    from pantrymeals.actions.book.plan import Pulled, pull_of_plan
    from pantrymeals.words import listed, short_day

    done = Pulled()

    def decide(b: Book) -> list:  # type: ignore[type-arg]
        nonlocal done
        done = pull_of_plan(pantry, b, plan, asked)
        return done.lines

    enter(
        pantry,
        book,
        command,
        decide,
        key=key,
        cautions=_cautions(pantry, book, {o.product for o in plan.openings}),
        nothing="All of that has been pulled already: there is nothing to enter.",
    )
    if done.again:
        typer.echo(f"Pulled before, and not again: {listed(short_day(day) for day in done.again)}.")
    if done.as_it_comes:
        typer.echo(f"Not from the shelf, but as it comes in: {', '.join(done.as_it_comes)}.")
    for goods in done.for_batch_days:
        typer.echo(f"Left where it stands: {goods}. When that is done: 'make-over', then 'put-up'.")


def _menu_asked(pantry: Pantry, words: list[str] | None) -> tuple[MenuToPull, date]:
    """The menu of a file, or the announced one, which is said; and its last day that still stands."""
    from pantrymeals.actions.announced import current_or_say
    from pantrymeals.actions.stored_menu import menu_to_pull_in

    if words:
        plan = menu_to_pull_in(Path(words[0]))
        return plan, plan.last
    found = current_or_say(pantry.folder, pantry.today)
    typer.echo(f"From {found.words}.")
    return menu_to_pull_in(found.file), found.last


def _asked(
    pantry: Pantry, plan: MenuToPull, only: list[str] | None, without: list[str] | None, swap: list[str] | None,
    last: date,
) -> PullAsked:  # fmt: skip
    from pantrymeals.actions.book.plan import PullAsked
    from pantrymeals.actions.book.words import product_meant, split_at, understand
    from pantrymeals.errors import PantryError

    swaps = []
    for text in swap or ():
        new, old = split_at(text, "for")
        if not old:
            raise PantryError(f"--swap '{text}': write it as 'THIS for THAT', such as '2 pt sauce for 1 qt tom'")
        swaps.append((understand(pantry, old), understand(pantry, new)))
    return PullAsked(
        last=last,
        products=frozenset(product_meant(pantry, text).name for text in only or ()),
        without=frozenset(product_meant(pantry, text).name for text in without or ()),
        swaps=tuple(swaps),
        coming_in=pantry.comes_in(min(pantry.today, plan.first), last),
    )
