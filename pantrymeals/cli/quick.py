"""Values as typed, read without pydantic: loading it would take a third of the time of a tally.

typer (0.29) reads every value of every option with pydantic, whether the option was given or not. Our options are
texts, yes or no, paths, and values with a reader of their own (``parser=``): Python's own types are enough for them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import typer

_READERS: dict[object, Callable[[str], object]] = {str: str, list[str]: str, Path: Path}


class Plainly:
    """Reads what was typed for one option, once or many times; a default is there already."""

    def __init__(self, read: Callable[[str], object]) -> None:
        self._read = read

    def coerce(self, value: Any, param: Any, ctx: object) -> object:  # noqa: ARG002
        """As typer asks it of its own readers. Raises BadParameter where the option's reader does."""
        if param.multiple or param.nargs == -1:
            return tuple(self._one(each) for each in value or ())
        return self._one(value)

    def _one(self, value: object) -> object:
        return self._read(value) if isinstance(value, str) else value


def read_plainly(command: Any, above: typer.Context | None = None) -> None:
    """Give each option of a command, and of the commands below it, a plain reader where one will do.

    The place where typer keeps an option's reader is typer's own affair (``_runtime_param``): where it is not, or the
    option is of another kind, typer reads it, as well but later.
    """
    here = typer.Context(command, parent=above, **command.context_settings)
    for param in command.get_params(here):  # --help is among them, and made only now
        read = reader_of(param)
        if read is not None and getattr(param, "_runtime_param", "") is None:
            param._runtime_param = Plainly(read)
    for below in getattr(command, "commands", {}).values():
        read_plainly(below, here)


def reader_of(param: Any) -> Callable[[str], object] | None:
    """What reads an option plainly; None where only typer's own reader will do."""
    kind = getattr(param, "type_descriptor", None)
    if kind is None:
        return None
    own: Callable[[str], object] | None = kind.parameter_info.parser
    if own is not None:
        return own
    if kind.is_ranged:
        return None
    if kind.annotation is bool:
        return str if param.is_flag else None  # a flag yields true or false by itself, and nothing is typed for it
    return _READERS.get(kind.annotation)
