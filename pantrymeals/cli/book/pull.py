"""Pulling: a few jars by name, or a planned menu's whole list, part of it, or something else instead."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pantrymeals.cli.book.common import Entering, WhichLots, said_again, say
from pantrymeals.cli.complete import complete_product
from pantrymeals.cli.options import dated, product_words, worded

if TYPE_CHECKING:
    from pantrymeals.actions.book.pantry import Pantry
    from pantrymeals.actions.book.plan import MenuToPull


def pull(
    which: WhichLots,
    entering: Entering,
    words: Annotated[
        list[str] | None,
        product_words(
            "[MENU.json | AMOUNT PRODUCT]",
            "A menu written by `menu --json`, or such as 2 qt crushed tom, 500 g butter; else the announced menu.",
        ),
    ] = None,
    only: Annotated[
        list[str] | None, worded("--only", "PRODUCT", "Part of a menu's list: only this.", complete_product)
    ] = None,
    without: Annotated[
        list[str] | None, worded("--without", "PRODUCT", "All of a menu's list but this.", complete_product)
    ] = None,
    instead: Annotated[
        list[str] | None,
        worded("--instead", "'THIS for THAT'", "Pull this instead of that: '2 jars sauce for 1 jar tom'."),
    ] = None,
    through: Annotated[date | None, dated("--through", "A menu's list up to this day.")] = None,
    on: Annotated[list[date] | None, dated("--on", "A menu's list, of this day alone.")] = None,
) -> None:
    """Bring jars up: a menu's pull list, part of it, something else instead, or a few by name."""
    from pantrymeals.actions.book.moments import when_pulled
    from pantrymeals.actions.book.plan import enter_pull, pull_asked
    from pantrymeals.actions.book.take import take
    from pantrymeals.errors import PantryError

    with entering.opened() as desk:
        pantry = desk.pantry
        if not words or (len(words) == 1 and words[0].endswith(".json")):
            plan, last = _menu_asked(pantry, words)
            command = said_again(
                "pull", words or [], only="; ".join(only or ()), without="; ".join(without or ()),
                instead="; ".join(instead or ()), through=through,
                on="; ".join(map(str, on or ())),
            )  # fmt: skip
            asked = pull_asked(pantry, plan, only, without, instead, min(through or last, last), on or ())
            entered, also = enter_pull(pantry, desk.book, plan, asked, command, desk.key)
            say(entered)
            for line in [*also, *([] if words or entered.written.entry else _what_comes_next(pantry))]:
                typer.echo(line)
            return
        if only or without or instead or through or on:
            raise PantryError(
                "--only, --without, --instead, --through and --on go with a menu: 'pull' alone, or 'pull MENU.json'"
            )
        wanted = desk.wanted(words, "pulled", which)
        cautions = when_pulled(pantry, desk.book, {wanted.said.product.name})
        desk.enter(said_again("pull", words, which), lambda book: take(pantry, book, wanted), cautions)


def _what_comes_next(pantry: Pantry) -> list[str]:
    """How the announced menu after the current one is pulled: all of the current one is up."""
    from pantrymeals.actions.announced import current_or_say, next_after

    found = next_after(pantry.folder, current_or_say(pantry.folder, pantry.today))
    return [f"After it comes {found.words}: 'pull \"{found.file}\"'."] if found else []


def _menu_asked(pantry: Pantry, words: list[str] | None) -> tuple[MenuToPull, date]:
    """The menu of a file, or the announced one, which is said; and its last day that still stands."""
    from pantrymeals.actions.stored_menu import menu_to_pull_in

    if words:
        plan = menu_to_pull_in(Path(words[0]))
        return plan, plan.last
    from pantrymeals.actions.announced import current_or_say

    found = current_or_say(pantry.folder, pantry.today)
    typer.echo(f"From {found.words}.")
    return menu_to_pull_in(found.file), found.last
