"""Jars in doubt are entered as held, by whatever command; letting them go needs its reason."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pantrymeals.actions.larder import load_larder
from pantrymeals.cli.main import app
from tests.unit.book.kitchen import TODAY

RUN = CliRunner()
HOUSE = """household: Test
today: 2026-01-17
altitude_ft: 500
people: [{name: Ann}]
meals: {supper: {roles: [main]}}
places: [{code: K, name: press, kind: pantry}]
"""
PRODUCTS = """product,kind,acid,sizes
Cream of celery soup,jar,low,qt
Applesauce,jar,high,qt
Green beans,jar,low,pt; qt; half-gal
Elderberry jelly,jar,high,hp
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "household.yaml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "products.csv").write_text(PRODUCTS, encoding="utf-8")
    (tmp_path / "stock.csv").write_text("product,size,count,place\nApplesauce,qt,3,K\n", encoding="utf-8")
    return tmp_path


def say(home: Path, *words: str) -> tuple[int, str]:
    done = RUN.invoke(app, [*words, "--larder", str(home)])
    return done.exit_code, done.output if done.exception is None or done.exit_code != 1 else done.output + str(
        done.exception
    )


def states(home: Path, product: str) -> dict[str, Fraction]:
    lots = load_larder(home, None, TODAY).lots
    found: dict[str, Fraction] = {}
    for lot in lots:
        if lot.product == product:
            found[lot.state] = found.get(lot.state, Fraction(0)) + lot.count
    return found


@pytest.mark.parametrize("command", ["put-up", "bring-in"])
def test_it_is_entered_as_held_and_said(home: Path, command: str) -> None:
    code, said = say(home, command, "7", "qt", "cream of celery soup", "--place", "K")
    assert code == 0
    assert "C4 No tested home process" in said
    assert states(home, "Cream of celery soup") == {"held": 7}
    assert say(home, command, "7", "qt", "applesauce")[0] == 0
    assert states(home, "Applesauce") == {"": 10}


def test_the_first_count_and_a_household_without_a_book_hold_it_too(home: Path) -> None:
    stock = "product,size,count,place\nApplesauce,qt,3,K\nCream of celery soup,qt,5,K\n"
    (home / "stock.csv").write_text(stock, encoding="utf-8")
    assert states(home, "Cream of celery soup") == {"held": 5}
    say(home, "put-up", "1", "qt", "applesauce")
    assert states(home, "Cream of celery soup") == {"held": 5}
    assert "held" in say(home, "lots", "cream of celery soup")[1]


def test_an_import_holds_it(home: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    say(home, "put-up", "7", "qt", "green beans", "--place", "K", "--source", "page 31")
    export = home / "book.csv"
    assert say(home, "book", "export", str(export))[0] == 0
    other = tmp_path_factory.mktemp("other")
    for name in ("household.yaml", "products.csv"):
        (other / name).write_text((home / name).read_text(encoding="utf-8"), encoding="utf-8")
    text = export.read_text(encoding="utf-8").replace("Green beans", "Cream of celery soup")
    (other / "in.csv").write_text(text, encoding="utf-8")
    code, said = say(other, "book", "import", str(other / "in.csv"))
    assert code == 0
    assert "C4" in said
    assert states(other, "Cream of celery soup") == {"held": 7}


def test_a_lot_beside_withdrawn_ones_of_its_source_is_held(home: Path) -> None:
    say(
        home,
        "put-up",
        "4",
        "hp",
        "elderberry jelly",
        "--place",
        "K",
        "--source",
        "Hill card",
        "--note",
        "recipe withdrawn",
    )
    code, said = say(home, "put-up", "6", "hp", "elderberry jelly", "--place", "K", "--source", "hill card")
    assert code == 0
    assert "C30" in said
    code, said = say(home, "put-up", "5", "hp", "elderberry jelly", "--place", "K", "--source", "Valley card")
    assert code == 0
    assert "C30" not in said
    assert states(home, "Elderberry jelly") == {"held": 10, "": 5}


def test_a_source_held_holds_what_comes_from_it_later(home: Path) -> None:
    say(home, "put-up", "4", "hp", "elderberry jelly", "--place", "K", "--source", "Hill card")
    assert say(home, "hold", "source", "hill card")[0] == 0
    assert "C30" in say(home, "put-up", "6", "hp", "elderberry jelly", "--source", "Hill card")[1]
    assert states(home, "Elderberry jelly") == {"held": 10}


def test_a_release_without_a_source_needs_its_reason_and_shows_why_it_was_held(home: Path) -> None:
    say(home, "hold", "3", "qt", "applesauce")
    code, said = say(home, "release", "3", "qt", "applesauce")
    assert code == 1
    assert "no tested source is written down" in said
    assert "hold 3 qt applesauce" in said
    assert "--why" in said
    assert states(home, "Applesauce") == {"held": 3}
    assert say(home, "release", "3", "qt", "applesauce", "--why", "found the card: page 12")[0] == 0
    assert states(home, "Applesauce") == {"": 3}


def test_a_release_with_a_source_needs_none_but_for_a_spoiled_jar_of_its_load(home: Path) -> None:
    say(home, "put-up", "7", "pt", "green beans", "--place", "K", "--source", "page 31", "--load", "load 1")
    say(home, "hold", "load", "load 1")
    assert say(home, "release", "load", "load 1")[0] == 0
    say(home, "spoiled", "1", "pt", "green beans", "--hold-load")
    code, said = say(home, "release", "load", "load 1")
    assert code == 1
    assert "a jar of the same load spoiled" in said
    assert say(home, "release", "load", "load 1", "--why", "the Extension office looked at it")[0] == 0
    assert states(home, "Green beans") == {"": 6}


def test_a_false_alarm_is_settled_by_a_reason_and_stays_settled(home: Path) -> None:
    say(home, "put-up", "7", "qt", "cream of celery soup", "--place", "K", "--source", "page 9")
    assert say(home, "release", "7", "qt", "cream of celery soup")[0] == 1
    assert say(home, "release", "7", "qt", "cream of celery soup", "--why", "it is plain celery")[0] == 0
    assert states(home, "Cream of celery soup") == {"": 7}
    assert say(home, "undo")[0] == 0
    assert states(home, "Cream of celery soup") == {"held": 7}


@pytest.mark.parametrize(("size", "due"), [("pt", ()), ("qt", ("C6",)), ("half-gal", ("C5", "C6"))])
def test_a_larger_jar_than_usual_is_said_of_what_no_table_has(home: Path, size: str, due: tuple[str, ...]) -> None:
    more = "Cardoons,jar,low,pt; qt; half-gal\n"
    (home / "products.csv").write_text(PRODUCTS + more, encoding="utf-8")
    said = say(home, "put-up", "3", size, "cardoons", "--place", "K")[1]
    assert [n for n in ("C5", "C6") if f"\n{n} " in said] == list(due)


def test_no_menu_run_out_or_put_up_list_counts_what_is_held(home: Path) -> None:
    """`season` had planned 28 qt of cream soup; a menu would have eaten it."""
    recipes = home / "recipes"
    recipes.mkdir()
    for name, what in (("Celery night", "Cream of celery soup"), ("Sauce night", "Applesauce")):
        text = f"name: {name}\nrole: main\nserves: 1\nuses: [1 qt {what}]\nminutes: 9\nmethod: [Warm it.]\n"
        (recipes / f"{what[0]}.yaml").write_text(text, encoding="utf-8")
    assert say(home, "put-up", "28", "qt", "cream", "of", "celery", "soup", "--place", "K")[0] == 0
    code, menu = say(home, "menu", "--days", "2", "--seconds", "1", "--json")
    assert code == 0, menu
    meals = json.loads(menu[menu.index("{") :])["meals"]
    assert {dish["dish"] for meal in meals for dish in meal["dishes"]} == {"Sauce night"}
    rows = [line for line in say(home, "run-out", "--plain")[1].splitlines() if "celery" in line]
    assert [line.split()[:6] for line in rows] == [["Cream", "of", "celery", "soup", "28", "qt"]]
    assert set(rows[0].split()[6:]) == {"held"}, "at every pace"
    (home / "season.yaml").write_text("lids: {regular: 90}\n", encoding="utf-8")
    listed = say(home, "season", "--plain")[1]
    assert not re.search(r"celery soup +\d", listed), listed


def test_just_as_much_of_one_lot_a_second_time_is_said(home: Path) -> None:
    """Written down by two people, or a second load: the cook knows; who was not told could not ask."""
    again = "just as much of it came in with no. 2 (put-up 7 qt green beans); if it is the same, take this back"
    loads = ("put-up 7 qt green beans --place K", "put-up 6 qt green beans", "put-up 7 qt green beans --load 2")
    for words in loads:
        assert "just as much" not in say(home, *words.split())[1], words
    assert again in " ".join(say(home, "put-up", "7", "quarts", "green", "beans")[1].split())
    assert say(home, "undo")[0] == 0
    assert say(home, "undo", "2")[0] == 0
    assert "just as much" not in say(home, "put-up", "7", "qt", "green", "beans")[1], "what was taken back came not"
    assert states(home, "Green beans") == {"": 20}
