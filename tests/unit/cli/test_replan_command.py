"""`menu --json`, then `replan` and `swap` on what it wrote, in a small hut."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError

HUT = str(Path(__file__).parents[2] / "kitchens" / "hut")


def run(*args: str) -> Result:
    return CliRunner().invoke(app, list(args), catch_exceptions=True)


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> str:
    made = run("menu", "--larder", HUT, "--days", "3", "--seconds", "4", "--json")
    assert made.exit_code == 0, made.output
    file = tmp_path_factory.mktemp("plan") / "menu.json"
    file.write_text(made.stdout, encoding="utf-8")
    return str(file)


def test_nothing_happened_changes_nothing(plan: str) -> None:
    done = run("replan", "--larder", HUT, "--plan", plan, "--seconds", "10")
    assert done.exit_code == 0, done.output
    assert "No dish changes." in done.stdout


def test_the_new_menu_is_json_that_can_be_announced_again(plan: str, tmp_path: Path) -> None:
    done = run("replan", "--larder", HUT, "--plan", plan, "--headcount", "Sun=3", "--json", "--seconds", "10")
    assert done.exit_code == 0, done.output
    menu = json.loads(done.stdout)
    assert menu["verdict"]["rules_kept"]
    again = tmp_path / "again.json"
    again.write_text(done.stdout, encoding="utf-8")
    assert run("replan", "--larder", HUT, "--plan", str(again), "--menu").exit_code == 0


def test_swap_names_the_dish_it_would_take_the_place_of(plan: str) -> None:
    menu = json.loads(Path(plan).read_text(encoding="utf-8"))
    meal, dish = next((m, d) for m in menu["meals"] for d in m["dishes"])
    place = f"{meal['day']} {meal['meal']} {dish['role']}"
    done = run("swap", place, "--larder", HUT, "--plan", plan)
    assert done.exit_code == 0, done.output
    assert f"INSTEAD OF {dish['dish'].upper()}" in done.stdout


def test_a_menu_with_swap_prints_offers_after_the_menu(plan: str) -> None:
    menu = json.loads(Path(plan).read_text(encoding="utf-8"))
    meal, dish = next((m, d) for m in menu["meals"] for d in m["dishes"])
    place = f"{meal['day']} {meal['meal']} {dish['role']}"
    done = run("menu", "--larder", HUT, "--days", "3", "--seconds", "4", "--plain", "--swap", place)
    assert done.exit_code == 0, done.output
    assert done.stdout.index("INSTEAD OF") > done.stdout.index("THE PULL LIST")


def test_what_is_no_menu_is_said_without_a_traceback(tmp_path: Path) -> None:
    file = tmp_path / "menu.json"
    file.write_text("{}", encoding="utf-8")
    done = run("replan", "--larder", HUT, "--plan", str(file))
    assert isinstance(done.exception, PantryError)
    assert "this is not a menu made by" in str(done.exception)
    missing = run("replan", "--larder", HUT, "--plan", str(tmp_path / "no.json"))
    assert isinstance(missing.exception, PantryError)
    assert "no.json: there is no such file" in str(missing.exception)
