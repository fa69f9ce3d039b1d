"""The commands run-out, eat-first and freezer-off, on the demo household as its files have it."""

from __future__ import annotations

import json
import re
import shutil
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError

DEMO = Path(__file__).parents[3] / "demo"
RUN = CliRunner()
PLAIN_WORDS = ("SKU", "inventory", "expires", "best by", "use by", "stock-out", "reorder", "safe")


@pytest.fixture(scope="module")
def larder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo, so that nothing a command does touches it."""
    folder = tmp_path_factory.mktemp("larder") / "demo"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    return folder


@cache
def run(larder: Path, *words: str) -> Result:
    """A command's outcome; run once for each wording, however many tests look at it."""
    return RUN.invoke(app, [*words, "--larder", str(larder)], catch_exceptions=True)


COMMANDS = {
    "run-out": ("run-out", "--paths", "300"),
    "brief": ("run-out", "--paths", "300", "--brief"),
    "what-if": ("run-out", "--paths", "300", "--what-if", "freezer F2 lost", "--what-if", "two more at table"),
    "back-test": ("run-out", "--paths", "300", "--back-test"),
    "eat-first": ("eat-first", "--sources"),
    "freezer-off": ("freezer-off", "F2", "--since", "2026-01-17 06:30"),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_speaks_plainly_in_eighty_columns(larder: Path, name: str) -> None:
    done = run(larder, *COMMANDS[name], "--plain")
    assert done.exit_code == 0, done.output
    assert done.output.isascii()
    assert max(len(line) for line in done.output.splitlines()) <= 80
    for word in PLAIN_WORDS:
        assert not re.search(rf"\b{word}\b", done.output, re.IGNORECASE), word


@pytest.mark.parametrize(
    ("name", "part"),
    [("run-out", "forecast"), ("what-if", "what_if"), ("eat-first", "eat_first"), ("freezer-off", "freezer_off")],
)
def test_json_says_the_same(larder: Path, name: str, part: str) -> None:
    done = run(larder, *COMMANDS[name], "--json")
    assert done.exit_code == 0, done.output
    assert part in json.loads(done.stdout)


def test_the_same_seed_gives_the_same_table(larder: Path) -> None:
    one, two, other = (
        run(larder, "run-out", "--paths", "300", "--json", *seed).stdout
        for seed in ((), ("--seed", "1"), ("--seed", "2"))
    )
    assert one == two != other


def test_reserve_seed_promised_and_held_are_never_counted(larder: Path) -> None:
    rows = {
        row["product"]: row
        for row in json.loads(run(larder, "run-out", "--paths", "300", "--json").stdout)["forecast"]["rows"]
    }
    assert (rows["Potatoes, main crop"]["on_hand"], rows["Potatoes, main crop"]["elsewhere"]) == (200, 40)
    assert (rows["Ham, half"]["on_hand"], rows["Ham, half"]["elsewhere"]) == (2, 2)
    assert rows["Unlabelled, amber"]["as_eaten"]["mark"] == "held"
    assert rows["Black walnuts, in shell"]["as_planned"]["mark"] == "not on menus"
    assert rows["Pears in syrup"]["reserve"] == 3


def test_thresholds_of_ones_own(larder: Path) -> None:
    def marks(*limits: str) -> list[str]:
        said = [word for limit in limits for word in ("--limit", limit)]
        done = run(larder, "run-out", "--paths", "300", "--json", *said)
        return [row["as_eaten"]["mark"] for row in json.loads(done.stdout)["forecast"]["rows"]]

    assert marks("short_below=0.95", "tight_below=0.99").count("short") > marks().count("short")
    assert isinstance(run(larder, "run-out", "--limit", "shortest=1").exception, PantryError)
    assert run(larder, "run-out", "--limit", "short_below").exit_code == 2


def test_what_is_not_understood_is_said_without_a_traceback(larder: Path) -> None:
    assert isinstance(run(larder, "run-out", "--what-if", "the moon falls").exception, PantryError)
    assert isinstance(run(larder, "freezer-off", "Attic").exception, PantryError)
    assert run(larder, "freezer-off", "--since", "yesterday").exit_code == 2


def test_the_freezer_sheet_is_printed(larder: Path, tmp_path: Path) -> None:
    page = tmp_path / "off.pdf"
    assert run(larder, "freezer-off", "--pdf", str(page)).exit_code == 0
    assert page.read_bytes().startswith(b"%PDF")


def test_eat_first_knows_the_salsa_is_past_it_and_who_must_not_have_what(larder: Path) -> None:
    sheet = json.loads(run(larder, "eat-first", "--json").stdout)["eat_first"]
    salsa = next(row for row in sheet["must_go"] if row["product"] == "Salsa")
    assert (salsa["past"], salsa["dishes"]) == (True, [])
    assert {"C15", "C18", "C20", "C22"} <= {c["number"] for c in sheet["cautions"]}
    # Apples lie behind their curtain on racks of their own: no quarrel with the roots.
    assert "C21" not in {c["number"] for c in sheet["cautions"]}
    dishes = " ".join(d for row in sheet["must_go"] for d in row["dishes"] if "not for" in d)
    assert "Linnet (tree nut)" not in dishes


def test_a_menu_counts_while_it_runs(larder: Path, tmp_path: Path) -> None:
    stored = json.loads((DEMO.parent / "tests" / "golden" / "demo_week.json").read_text(encoding="utf-8"))
    week = tmp_path / "week.json"
    week.write_text(json.dumps(stored), encoding="utf-8")
    done = run(larder, "run-out", "--paths", "300", "--plan", str(week), "--json")
    assert done.exit_code == 0, done.output
    rows = json.loads(done.stdout)["forecast"]["rows"]
    alone = json.loads(run(larder, "run-out", "--paths", "300", "--json").stdout)["forecast"]["rows"]
    assert [row["as_eaten"] for row in rows] == [row["as_eaten"] for row in alone], "the book's pace is the book's"
    assert [row["as_planned"] for row in rows] != [row["as_planned"] for row in alone]
    fallen = run(larder, "run-out", "--paths", "300", "--plan", str(week), "--what-if", "place S1 lost", "--json")
    assert json.loads(fallen.stdout)["what_if"]["fallen_meals"]
    assert isinstance(run(larder, "run-out", "--plan", str(tmp_path / "none.json")).exception, PantryError)
