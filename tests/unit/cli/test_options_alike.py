"""Options stand before or after the command, with one spelling and one meaning; a day and a meal are said one way."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer import Context
from typer.main import get_command

from pantrymeals.actions.asking import day_and_meal, pin_meant, plate_meant
from pantrymeals.actions.replan import Life, lived
from pantrymeals.cli.main import _OF_NO_COMMAND, FLAGS, app, command_first
from pantrymeals.cli.quick import reader_of
from pantrymeals.errors import NotUnderstood
from pantrymeals.files.household import read_household
from tests.unit.cli.test_first_evening import say

DEMO = Path(__file__).resolve().parents[3] / "demo"
SATURDAY = date(2026, 1, 17)


def options() -> list[tuple[str, Any]]:
    """Every command's name with each of its options."""
    found: list[tuple[str, Any]] = []

    def look(name: str, command: Any) -> None:
        found.extend((name, param) for param in command.params if param.opts[0].startswith("-"))
        for below, each in getattr(command, "commands", {}).items():
            look(f"{name} {below}".strip(), each)

    look("", get_command(app))
    return found


US = re.compile(r"\b(?:qt|pt|lb|quarts?|pints?|pounds?|feet|ft)\b")
METRIC = re.compile(r"\b\d+ (?:g|kg|ml|l|m)\b")


def test_no_help_has_examples_of_one_kitchen_alone() -> None:
    """`--help` asks no household whose measures it has: an example in quarts has one in litres beside it."""
    looked, alone = 0, []

    def look(name: str, command: Any) -> None:
        nonlocal looked
        for text in (command.help or "", *(f"{p.metavar} {getattr(p, 'help', '')}" for p in command.params)):
            looked += bool(US.search(text))
            if US.search(text) and not METRIC.search(text):
                alone.append((name, text))
        for below, each in getattr(command, "commands", {}).items():
            look(f"{name} {below}".strip(), each)

    look("", get_command(app))
    assert looked >= 8
    assert alone == []


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("--today 2026-01-17 menu --days 3", "menu --days 3 --today 2026-01-17"),
        ("--larder menu --plain menu", "menu --larder menu --plain"),
        ("--larder=demo run-out crushed", "run-out crushed --larder=demo"),
        ("--larder demo dish show beans", "dish show beans --larder demo"),
        ("--larder demo tally -- 2 jam", "tally --larder demo -- 2 jam"),
        ("menu --days 3", "menu --days 3"),
        ("--help", "--help"),
        ("--version menu", "--version menu"),
        ("--larder demo", "--larder demo"),
        ("--larder demo glut beans", "crop-in beans --larder demo"),
        ("", ""),
    ],
)
def test_options_before_the_command_are_read_as_after_it(typed: str, read: str) -> None:
    assert command_first(typed.split()) == read.split()


def test_every_option_and_argument_is_read_without_pydantic() -> None:
    """Loading it takes a third of the time of a tally; and its complaints are no words for a kitchen."""
    slow: list[tuple[str, Any]] = []

    def look(command: Any, above: Context | None = None) -> None:
        here = Context(command, parent=above, **command.context_settings)
        slow.extend((here.command_path, param.name) for param in command.get_params(here) if reader_of(param) is None)
        for below in getattr(command, "commands", {}).values():
            look(below, here)

    look(get_command(app))
    assert slow == []


def test_one_of_two_words_is_asked_for_in_plain_words() -> None:
    said = say("book", "import", "x.csv", "--twice", "thrice", code=2)
    assert "'thrice' is neither of the two; write both or one" in said
    assert "Value error" not in said


def test_every_option_without_a_value_is_known_and_no_other() -> None:
    flags = {
        option
        for _, param in options()
        if getattr(param, "is_flag", False)
        for option in (*param.opts, *param.secondary_opts)
        if option.startswith("--")
    }
    assert flags - set(_OF_NO_COMMAND) == FLAGS
    takes_one = {option for _, param in options() if not getattr(param, "is_flag", False) for option in param.opts}
    assert not takes_one & FLAGS


@pytest.mark.parametrize(
    "name",
    ["--today", "--larder", "--days", "--seconds", "--json", "--plain", "--pdf", "--csv", "--xlsx", "--out", "--who",
     "--day", "--lot", "--headcount", "--away", "--pin", "--ban", "--paper", "--picture", "--ics"],
)  # fmt: skip
def test_one_spelling_takes_the_same_kind_of_value_everywhere(name: str) -> None:
    shapes = {
        (param.metavar, getattr(param, "is_flag", False), param.multiple)
        for _, param in options()
        if name in param.opts
    }
    assert len(shapes) == 1, shapes


def test_menu_and_replan_know_who_comes_and_who_is_away() -> None:
    by_name: dict[str, set[str]] = {}
    for command, param in options():
        by_name.setdefault(command, set()).update(param.opts)
    for name in ("menu", "replan"):
        assert {"--headcount", "--away", "--pin", "--ban"} <= by_name[name], name


def test_a_day_and_a_meal_are_said_one_way() -> None:
    home = read_household(DEMO, today=SATURDAY)
    thursday = date(2026, 1, 22)
    assert day_and_meal("Thu", SATURDAY, 7) == (thursday, None)
    assert day_and_meal("2026-01-22 lunch", SATURDAY, 7) == (thursday, "lunch")
    dish = next(iter(home.dishes))
    assert pin_meant(home, f"Thu lunch: {dish}", SATURDAY, 7) == pin_meant(home, f"Thu lunch={dish}", SATURDAY, 7)
    for mark in ("=", ": "):
        kitchen, said = lived(home, Life(headcounts=(f"Thu lunch{mark}12",)), SATURDAY, 7)
        assert said == ("12 are at lunch on Thursday 22 January.",)
        assert (kitchen.occasions[-1].first, kitchen.occasions[-1].meals) == (thursday, ("lunch",))
        name = home.people[0].name
        kitchen, _ = lived(home, Life(away=(f"Thu{mark}{name}",)), SATURDAY, 7)
        assert kitchen.occasions[-1].away == {name}
    assert plate_meant("Thu main", SATURDAY, 7) == plate_meant("Thu supper main", SATURDAY, 7)
    for wrong in ("Thu lunch now", "Thu=brunch", ""):
        with pytest.raises(NotUnderstood):
            day_and_meal(wrong, SATURDAY, 7)


def test_menu_plans_for_the_heads_it_is_told_of(tmp_path: Path) -> None:
    from tests.unit.cli.test_dish_add import begun

    folder = begun(tmp_path / "p", "pints.txt", "pints.csv")
    asked = ("menu", "--days", "1", "--seconds", "2", "--larder", str(folder), "--today", "2026-11-27")
    assert "2 at table" in say(*asked)
    told = say(*asked, "--headcount", "Fri=6", "--away", "Fri=Nora")
    assert "Nora is away on Friday 27 November." in told
    assert "6 are at supper on Friday 27 November." in told
    assert "1 at table" in told
    assert "6 at table" in told
