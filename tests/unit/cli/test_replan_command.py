"""`menu --json`, then `replan` and `another` on what it wrote, in a small hut."""

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
    done = run("another", place, "--larder", HUT, "--plan", plan)
    assert done.exit_code == 0, done.output
    assert f"INSTEAD OF {dish['dish'].upper()}" in done.stdout


def test_a_menu_with_swap_prints_offers_after_the_menu(plan: str) -> None:
    menu = json.loads(Path(plan).read_text(encoding="utf-8"))
    meal, dish = next((m, d) for m in menu["meals"] for d in m["dishes"])
    place = f"{meal['day']} {meal['meal']} {dish['role']}"
    done = run("menu", "--larder", HUT, "--days", "3", "--seconds", "4", "--plain", "--another", place)
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


def test_what_only_comes_in_is_said_as_such_in_the_menu_planned_anew_too(tmp_path: Path) -> None:
    """Milk of Monday and Tuesday cannot stand on Saturday's pull list: one litre is there, three come."""
    (tmp_path / "recipes").mkdir()
    files = {
        "household.yaml": "household: Dairy\ntoday: 2026-01-17\nmeasures: metric\n"
        "people: [{name: Ada, born: 1980-01-01}]\nmeals: {breakfast: {roles: [breakfast]}}\n"
        "house_rules: {days_between: {breakfast: 1}}\n"
        "places: [{code: F, name: fridge, kind: fridge}, {code: D, name: dry store, kind: dry}]\n",
        "products.csv": "product,kind,sizes,loose\nMilk,fridge,l,yes\nOats,dry,kg,yes\n",
        "stock.csv": "product,size,count,put_up,place\nMilk,l,1,2026-01-17,F\nOats,kg,9,2025-10-01,D\n",
        "calendar.yaml": "coming_in:\n"
        "  - {product: Milk, amount: 1 l, every: 1 day, from: 2026-01-18, to: 2026-02-28}\n",
        "recipes/porridge.yaml": "name: Porridge\nrole: breakfast\nserves: 1\nuses: [1 l Milk, 1/4 kg Oats]\n"
        "minutes: 9\nhands_on_minutes: 9\nmethod: [Cook it.]\n",
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    larder = ("--larder", str(tmp_path))
    made = run("menu", *larder, "--days", "4", "--seconds", "2", "--announce")
    assert made.exit_code == 0, made.output
    assert run("pull", "--on", "2026-01-17", *larder).exit_code == 0
    done = run("replan", *larder, "--seconds", "2", "--menu", "--plain")
    assert done.exit_code == 0, done.output
    assert "Not there yet, as it comes in: 3 l Milk (Sun 18, Mon 19 and Tue 20)." in " ".join(done.stdout.split())
    assert "[ ] 1 l Milk" not in done.stdout
