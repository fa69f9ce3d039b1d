"""Commands of one dish: how it is cooked, adding one, giving them out again."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from pantrymeals.cli.book.common import answered, asks_of
from pantrymeals.cli.complete import complete_dish
from pantrymeals.cli.options import Asked, Larder, Plain, PrintedOrJson, ToPrint, show, to_write, worded
from pantrymeals.cli.streams import tell
from pantrymeals.cli.together import Commands, add


class DishOrName(TyperGroup):
    """`dish NAME` is `dish show NAME`: what is no command of its own is a dish's name."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Put 'show' before what does not begin with a command."""
        if args and args[0] not in self.commands and args[0] not in ctx.help_option_names:
            args = ["show", *args]
        return super().parse_args(ctx, args)

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """The commands that begin so, then the dishes."""
        showing: Any = self.commands["show"]
        within = typer.Context(showing, parent=ctx)
        named = next(param for param in showing.params if param.name == "name")
        return [*super().shell_complete(ctx, incomplete), *named.shell_complete(within, incomplete)]


dish_app = typer.Typer(
    cls=DishOrName, help="One dish: how it is cooked (`dish NAME`), adding one, giving them out.", no_args_is_help=True
)


def dish_show(
    name: Annotated[
        list[str],
        typer.Argument(
            metavar="NAME", help="A dish, or the part of its name that says which.", autocompletion=complete_dish
        ),
    ],
    asked: Asked,
    printed: PrintedOrJson,
    to_print: ToPrint,
    on: Annotated[str, worded("--on", "DAY", "For that day's table: Sun, or a date.")] = "",
) -> None:
    """Show how a dish is cooked for the next table: amounts, what to fetch, what stands in, for whom not, each step."""
    from pantrymeals.actions.asking import taken_for
    from pantrymeals.actions.dish import dish_answer

    household, said = asked.opened().household, " ".join(name)
    answer = dish_answer(household, said, on)
    for taken in taken_for(household, (said,)):
        typer.echo(f"{taken}.", err=True)
    printed.show(answer, printed=to_print)


def dish_add(
    source: Annotated[
        Path, typer.Argument(metavar="FILE", help="Text, a saved web page, JSON-LD; or - to paste it, then Ctrl-D.")
    ],
    asked: Asked,
    role: Annotated[str, worded("--role", "ROLE", "What it is at the table: main, side, lunch ...")] = "",
    serves: Annotated[str, worded("--serves", "NUMBER", "How many portions it gives.")] = "",
    minutes: Annotated[str, worded("--minutes", "NUMBER", "Minutes in all, from the shelf.")] = "",
    hands_on: Annotated[str, worded("--hands-on", "NUMBER", "How many of them with your hands on it.")] = "",
    days_between: Annotated[
        str, worded("--days-between", "NUMBER", "Days from one cooking to the next; else as house rules say.")
    ] = "",
    name: Annotated[str, worded("--name", "NAME", "What to call it, if not as it calls itself.")] = "",
    which: Annotated[str, worded("--which", "NAME", "Which dish, where the file has several.")] = "",
    answer: Annotated[
        list[str] | None,
        typer.Option("--answer", metavar="LINE=ANSWER", help="Answer a question: 5=1 pt, 5=500 ml, 6=note."),
    ] = None,
    write: Annotated[bool, typer.Option("--write", help="Write it among your recipes.")] = False,
    plain: Plain = False,
) -> None:
    """Add a dish as you have it written: say what was understood, ask the rest, show it; write it when told."""
    from pantrymeals.actions.dish_add import KEYS, answers_of, dish_read_answer, read_dish, told_in, write_dish_file

    answers = answers_of(answer or ())
    typed = zip(KEYS, (role, serves, minutes, hands_on, days_between, name), strict=True)
    for key, value in typed:
        if value:
            answers.setdefault(key, []).append(value)
    household = asked.opened().household
    ask = (lambda question: answered(question, question.key)) if asks_of(source) else None
    read = read_dish(household, told_in(source, which), answers, ask)
    show(dish_read_answer(household, read), plain)
    if write or (ask is not None and not read.questions and typer.confirm("Write this?", default=False)):
        tell(f"Written: {write_dish_file(household, read)}")
    else:
        first = "answer what is asked, then " if read.questions else ""
        typer.echo(f"Nothing is written yet: {first}say it again with --write.", err=True)


def dish_export(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="Where they go: .json or .jsonld.", parser=to_write(".json", ".jsonld")),
    ],
    name: Annotated[
        list[str] | None,
        typer.Argument(metavar="[NAME]", help="Only this dish; else all of your own.", autocompletion=complete_dish),
    ] = None,
    larder: Larder = Path(),
) -> None:
    """Write dishes as Recipes of schema.org (JSON-LD), for other kitchens and programs."""
    from pantrymeals.actions.dish_export import export_dishes

    household = Asked(larder).opened().household
    tell(export_dishes(household, file, [" ".join(name)] if name else []))


add(dish_app, {"show": dish_show, "add": dish_add, "export": dish_export})
COMMANDS: Commands = {"dish": dish_app}
