"""The command that serves the page for a phone in the aisle."""

from __future__ import annotations

from typing import Annotated

import typer

from pantrymeals.cli.options import Asked, counted, worded
from pantrymeals.cli.together import Commands


def serve(
    asked: Asked,
    port: Annotated[int, counted("--port", "Where it listens.", " of a port", 8321, 1, 65535)] = 8321,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let phones in the house's network in, each by a link that works once.")
    ] = False,
    address: Annotated[str, worded("--address", "ADDRESS", "With --lan: this computer's own, if it has several.")] = "",
) -> None:
    """Serve a page for the phone in the aisle: pull list, strokes, counts, tonight and the week."""
    from pantrymeals.errors import PantryError
    from pantrymeals.serve.run import Door, address_on_the_lan
    from pantrymeals.serve.run import serve as serve_page

    if address and not lan:
        raise PantryError("--address goes with --lan: without it the page is for this computer alone")
    own = (address or address_on_the_lan()) if lan else ""
    serve_page(asked.larder, asked.today, Door(port, lan, own), typer.echo)


COMMANDS: Commands = {"serve": serve}
