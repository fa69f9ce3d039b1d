"""Options that go together: declared once as a group, taken whole by each command that has them."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator, Mapping
from copy import copy
from functools import cached_property
from typing import Any

import typer
from msgspec import StructMeta
from typer.models import CommandInfo

Commands = Mapping[str, Callable[..., None] | typer.Typer]
"""The commands of a module by their names, in the order of `--help`; some have commands of their own."""


class Together:
    """A command with groups among its parameters: typer sees options, its own first; the command gets groups.

    A group is a record; each field is an option with its default. The signature is worked out when it is asked for,
    and typer asks it of the one command that is said.
    """

    def __init__(self, command: Callable[..., None]) -> None:
        self._command = command
        self.__name__ = command.__name__
        self.__doc__ = command.__doc__

    @property
    def __signature__(self) -> inspect.Signature:
        found = [(is_group, each) for _, is_group, options in self._asked for each in options]
        ordered = [each for _, each in sorted(found, key=lambda pair: pair[0])]
        return inspect.Signature([each.replace(kind=inspect.Parameter.KEYWORD_ONLY) for each in ordered])

    @property
    def __annotations__(self) -> dict[str, Any]:  # type: ignore[override]
        return {each.name: each.annotation for each in self.__signature__.parameters.values()}

    def __call__(self, **said: Any) -> None:
        """Run the command with what was said, sorted into its groups."""
        whole = {}
        for asked, is_group, options in self._asked:
            values = {each.name: said[each.name] for each in options}
            whole[asked.name] = asked.annotation(**values) if is_group else values[asked.name]
        self._command(**whole)

    @cached_property
    def _asked(self) -> tuple[tuple[inspect.Parameter, bool, tuple[inspect.Parameter, ...]], ...]:
        """Each parameter of the command, whether it is a group, and the options that it stands for."""
        return tuple(self._worked_out())

    def _worked_out(self) -> Iterator[tuple[inspect.Parameter, bool, tuple[inspect.Parameter, ...]]]:
        for asked in inspect.signature(self._command, eval_str=True).parameters.values():
            group = isinstance(asked.annotation, StructMeta)
            within = inspect.signature(asked.annotation, eval_str=True).parameters.values() if group else (asked,)
            yield asked, group, tuple(within)


def name_alone(command: CommandInfo) -> CommandInfo:
    """A command of which no more is wanted than its name and what it is for: without its options."""

    def nothing() -> None: ...

    nothing.__doc__ = command.callback.__doc__
    alone = copy(command)
    alone.callback = nothing
    return alone


def add(app: typer.Typer, commands: Commands) -> None:
    """Hang commands on a program."""
    for name, command in commands.items():
        if isinstance(command, typer.Typer):
            app.add_typer(command, name=name)
        else:
            app.command(name)(Together(command))
