"""Numbers typed wrongly are answered in plain words, by every command."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

import pytest
import typer
from typer.models import ParameterInfo
from typer.testing import CliRunner

from pantrymeals.cli.main import app
from pantrymeals.cli.options import in_seconds, whole_number


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["menu", "--days", "seven"], "'seven' is not a whole number of days; write one such as 7"),
        (["menu", "--days", "7.5"], "'7.5' is not a whole number of days; write one such as 7"),
        (["menu", "--seconds", "soon"], "'soon' is not a number of seconds; write one such as 10"),
        (["menu", "--seconds", "nan"], "'nan' is not a number of seconds; write one such as 10"),
        (["weeks", "--weeks", "a"], "'a' is not a whole number of weeks; write one such as 4"),
        (["run-out", "--paths", "99"], "99 is less than 100, the least there can be"),
        (["run-out", "--ahead", "53"], "53 is more than 52, the most there can be"),
    ],
)
def test_what_is_no_number_is_said_with_the_option_and_what_would_be_right(typed: list[str], said: str) -> None:
    done = CliRunner().invoke(app, typed)
    assert done.exit_code == 2
    assert f"Invalid value for '{typed[1]}': {said}" in " ".join(done.output.split())


def test_both_ends_of_what_there_can_be() -> None:
    read = whole_number(" of weeks", 4, 1, 52)
    assert [read("1"), read("52")] == [1, 52]
    assert in_seconds(20, 0.5)("0.5") == 0.5
    for wrong in ("0", "53", "", "1e1"):
        with pytest.raises(typer.BadParameter):
            read(wrong)
    for wrong in ("0.4", "inf", ""):
        with pytest.raises(typer.BadParameter):
            in_seconds(20, 0.5)(wrong)


def _commands(of: typer.Typer) -> Iterator[Callable[..., Any]]:
    yield from (c.callback for c in of.registered_commands if c.callback is not None)
    for group in of.registered_groups:
        if group.typer_instance is not None:
            yield from _commands(group.typer_instance)


def _numbers(command: Callable[..., Any]) -> Iterator[tuple[str, ParameterInfo]]:
    for name, hint in get_type_hints(command, include_extras=True).items():
        if get_origin(hint) is Annotated:
            kind, *marks = get_args(hint)
            kinds = get_args(kind) if get_origin(kind) in (Union, UnionType) else (kind,)
            if {int, float} & set(kinds):
                yield from ((name, mark) for mark in marks if isinstance(mark, ParameterInfo))


def test_every_number_of_every_command_has_a_reader_of_ours() -> None:
    found = [(command.__name__, *number) for command in _commands(app) for number in _numbers(command)]
    assert {"menu", "weeks", "run_out", "season", "undo"} <= {name for name, _, _ in found}
    assert [f"{command} {name}" for command, name, info in found if info.parser is None] == []
