"""Every argument that takes a product, a place, a freezer or a dish is completed, whatever its case."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.main import get_command

from pantrymeals.cli.main import app

ROOT = Path(__file__).resolve().parents[3]
DEMO = str(ROOT / "demo")
PROGRAM: Any = get_command(app)


def offered(command: str, param: str, typed: str, larder: str = DEMO, **said: object) -> list[str]:
    found: Any = PROGRAM
    for word in command.split():
        found = found.commands[word]
    ctx = typer.Context(found)
    ctx.params = {"larder": larder, **said}
    wanted = next(p for p in found.params if p.name == param)
    return [str(item.value) for item in wanted.shell_complete(ctx, typed)]


@pytest.mark.parametrize(
    ("command", "param"),
    [
        *((c, "words") for c in (
            "put-up", "pull", "tally", "open", "give", "barter", "bring-in", "move", "make-over", "hens", "compost",
            "hold", "release", "suspect", "spoiled", "broken", "lots", "history",
        )),
        ("pull", "only"), ("pull", "without"), ("replan", "gone"),
    ],
)  # fmt: skip
def test_products(command: str, param: str) -> None:
    assert offered(command, param, "crus") == ["Tomatoes, crushed"]
    assert offered(command, param, "TOMATOES, C") == ["Tomatoes, crushed"]
    assert "Applesauce" in offered(command, param, "app")


@pytest.mark.parametrize(
    ("command", "param"),
    [
        *((c, "place") for c in (
            "put-up", "pull", "tally", "open", "bring-in", "move", "suspect", "spoiled", "count sheet",
        )),
        ("hold", "to"), ("release", "to"),
    ],
)  # fmt: skip
def test_places(command: str, param: str) -> None:
    assert offered(command, param, "n") == ["N1", "N2", "N3"]
    assert offered(command, param, "C-BIN 1") == ["C-bin 1"]


def test_a_product_is_carried_to_a_place() -> None:
    assert offered("move", "words", "n1", words=["3", "qt", "applesauce", "to"]) == ["N1"]


def test_freezers_alone_by_code_or_name() -> None:
    freezers = offered("freezer-off", "freezer", "")
    assert offered("freezer-off", "freezer", "f2") == ["F2"]
    assert {"F1", "F2"} <= set(freezers)
    assert "N1" not in freezers


@pytest.mark.parametrize(
    ("command", "param"), [("menu", "ban"), ("menu", "pin"), ("replan", "keep"), ("dish show", "name")]
)
def test_dishes(command: str, param: str) -> None:
    assert "Trout cakes" in offered(command, param, "TROUT")


def test_a_dish_after_its_day() -> None:
    assert "Sun: Trout cakes" in offered("menu", "pin", "Sun: tro")


def test_what_cannot_be_read_offers_nothing(tmp_path: Path) -> None:
    assert offered("tally", "words", "a", "nowhere") == []
    (tmp_path / "household.yaml").write_text("places: [", encoding="utf-8")
    assert offered("tally", "place", "", str(tmp_path)) == []


def test_a_table_with_semicolons_is_read_too(tmp_path: Path) -> None:
    (tmp_path / "products.csv").write_text("family;Product\nfruit;Peaches, in syrup\n", encoding="utf-8")
    assert offered("tally", "words", "peach", str(tmp_path)) == ["Peaches, in syrup"]


def test_no_argument_is_left_out() -> None:
    """Whatever says that it takes a product, a place or a dish has a completion."""
    left = []
    commands = dict(PROGRAM.commands)
    commands |= {f"{g} {c}": each for g in ("count", "book", "dish") for c, each in commands.pop(g).commands.items()}
    for name, command in commands.items():
        for param in command.params:
            says = f"{param.metavar or ''} {param.name}"
            takes_one = re.search(r"PRODUCT|PLACE|DISH'?$|freezer|^ place$", says)
            if (
                takes_one and param._custom_shell_complete is None and param.name != "lost_freezer"
            ):  # one year in so many
                left.append((name, param.name))
    assert left == []


def test_bash_is_offered_what_was_typed_in_small_letters() -> None:
    """The whole way, as the shell asks it."""
    program = "import sys; sys.argv[0] = 'pantrymeals'; from pantrymeals.cli.main import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True, text=True, check=False, cwd=ROOT,
        env={**os.environ, "_PANTRYMEALS_COMPLETE": "complete_bash", "COMP_CWORD": "4",
             "COMP_WORDS": "pantrymeals tally --larder demo crus"},
    )  # fmt: skip
    assert "Tomatoes, crushed" in done.stdout, done.stderr
