"""The commands. Everything heavy is imported inside them, so that `--help` comes at once."""

from __future__ import annotations

import importlib
import os
import signal
import sys
from collections.abc import Sequence
from copy import copy
from typing import Annotated

import typer
from typer.main import get_command

from pantrymeals import __version__
from pantrymeals.cli.complete import is_completing
from pantrymeals.cli.quick import read_plainly
from pantrymeals.cli.streams import (
    ENTERED,
    entered_words,
    let_go,
    prepare,
    stopped_words,
    unprinted_words,
    without_controls,
)
from pantrymeals.cli.together import add, name_alone
from pantrymeals.errors import PantryError, Stopped

app = typer.Typer(
    name="pantrymeals",
    help="Menus, pull lists, run-out and next season's put-up list, from the shelves of one household.",
    rich_markup_mode=None,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"pantrymeals {__version__}")
        raise typer.Exit()


@app.callback()
def everything(
    _version_wanted: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Menus, pull lists, run-out and next season's put-up list, from the shelves of one household."""


for _family in (
    "begin",
    "menu",
    "dishes",
    "book.enter",
    "look_ahead",
    "evening",
    "season",
    "no_store",
    "replan",
    "serve",
):
    add(app, importlib.import_module(f"pantrymeals.cli.{_family}").COMMANDS)


def only_what_is_said(app: typer.Typer, words: Sequence[str]) -> typer.Typer:
    """The program with the one command that is said; where none is, with the names of all.

    typer builds every command with its options before it runs one, and ours are some sixty: a tally would
    wait longer for the others than for the book, and a list of them all for what it does not show.
    """
    said = words[0] if words else ""
    commands = [c for c in app.registered_commands if c.name == said]
    groups = [copy(g) for g in app.registered_groups if g.name == said or not commands]
    named = [g for g in groups if g.name == said]
    for group in named or groups:
        if group.typer_instance is not None:
            group.typer_instance = only_what_is_said(group.typer_instance, words[1:] if named else ())
    less = copy(app)
    less.registered_groups = named or groups
    less.registered_commands = commands if commands or named else [*map(name_alone, app.registered_commands)]
    return less


FLAGS = frozenset((
    "--accept", "--announce", "--anyway", "--back", "--back-test", "--bought", "--brief", "--every-kind",
    "--failed-elsewhere",
    "--failed-in-fridge", "--full", "--half-full", "--hold-load", "--hungry-gap", "--json", "--lan", "--large",
    "--leave-load", "--let-go", "--menu", "--more", "--no-menu", "--no-season", "--plain", "--sources", "--wide",
    "--write",
))  # fmt: skip
"""Options of the commands after which no value stands."""
_OF_NO_COMMAND = ("-h", "--help", "--version", "--install-completion", "--show-completion")


_CALLED_BEFORE = {"glut": "crop-in"}
"""A command's name of old: a glut is a mark of the shelf, and one word stands for one thing."""


def command_first(words: Sequence[str]) -> list[str]:
    """What was typed with the options that stand before the command after it: `--today 2026-01-17 menu`."""
    at = 0
    while at < len(words) and words[at].startswith("--") and words[at].partition("=")[0] not in _OF_NO_COMMAND:
        at += 1 if "=" in words[at] or words[at] in FLAGS else 2
    before, rest = list(words[:at]), list(words[at:])
    if rest:
        rest[0] = _CALLED_BEFORE.get(rest[0], rest[0])
    if not before or not rest:
        return [*before, *rest]
    end = rest.index("--") if "--" in rest else len(rest)
    return [*rest[:end], *before, *rest[end:]]


def main() -> None:
    """Run a command; a household's mistakes are said line by line, never as a traceback.

    Exit codes: 0 well, 1 something a household can mend, 2 the command was typed wrongly,
    3 the checker found a fault in our menu, 130 stopped by Ctrl-C.
    """
    prepare()
    try:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        words = command_first(sys.argv[1:])
        _refuse_controls(words)
        program = get_command(app if is_completing() else only_what_is_said(app, words))
        read_plainly(program)
        try:
            program(words)
        except SystemExit as ended:
            if ended.code == 130:  # typer's word for a Ctrl-C
                raise KeyboardInterrupt from None
            raise
        finally:
            sys.stdout.flush()
    except PantryError as error:
        let_go()
        print(without_controls(str(error)), file=sys.stderr)
        sys.exit(130 if isinstance(error, Stopped) else 1)
    except (KeyboardInterrupt, RuntimeError, ImportError) as error:
        if not _is_ctrl_c(error):
            raise
        said = stopped_words(ENTERED) if ENTERED else "Stopped; nothing was written."
        print(said, file=sys.stderr, flush=True)
        # At once: to take the program down with a solver still at work beside it aborts the process.
        os._exit(130)
    except BrokenPipeError:
        # The reader (head, less) went away.
        let_go()
        sys.exit(0)
    except OSError as error:
        let_go()
        print(unprinted_words(error, entered_words(ENTERED)), file=sys.stderr)
        sys.exit(1)


def _is_ctrl_c(error: BaseException | None) -> bool:
    """Whether it is a Ctrl-C, or what a library made of one that came while it was being loaded."""
    while error is not None and not isinstance(error, KeyboardInterrupt):
        error = error.__cause__ or error.__context__
    return error is not None


def _refuse_controls(words: Sequence[str]) -> None:
    """Raise PantryError for a word with a control character: no name has one, and a book keeps what it is told."""
    for word in words:
        if without_controls(word) != word or "\x1b" in word:
            shown = without_controls(word.replace("\x1b", "?"))
            raise PantryError(f"'{shown}' has a control character in it (here '?'); write it without")


if __name__ == "__main__":
    main()
