"""`--csv` and `--xlsx`: on every command that prints a table, and the same figures as its JSON and its book."""

from __future__ import annotations

import csv
import json
import shutil
from collections import defaultdict
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import typer
from openpyxl import load_workbook
from typer.testing import CliRunner

from pantrymeals import tables
from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.stored_menu import announced_in
from pantrymeals.cli.main import app

ROOT = Path(__file__).parents[3]
WEEK = ROOT / "tests" / "golden" / "demo_week.json"
RUN = CliRunner()
BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("demo") / "demo"
    shutil.copytree(ROOT / "demo", copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    return copy


@pytest.fixture(scope="module")
def hut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A household with an empty book, no season and nothing on its shelves."""
    copy = tmp_path_factory.mktemp("hut") / "hut"
    shutil.copytree(ROOT / "tests" / "kitchens" / "hut", copy)
    (copy / "open.csv").unlink()
    (copy / "stock.csv").write_text("product,size,count\n")
    return copy


def every_command() -> dict[str, Any]:
    found: dict[str, Any] = {}

    def gather(program: typer.Typer, before: str) -> None:
        command = typer.main.get_command(program)
        for name, below in getattr(command, "commands", {}).items():
            if hasattr(below, "commands"):
                found.update({f"{before}{name} {n}": c for n, c in below.commands.items()})
            else:
                found[f"{before}{name}"] = below

    gather(app, "")
    return found


def test_every_command_that_prints_a_table_can_write_it() -> None:
    options = {name: {o for p in command.params for o in p.opts} for name, command in every_command().items()}
    printing = {name for name, known in options.items() if "--plain" in known or "--json" in known}
    assert len(printing) >= 18
    assert {name for name in printing if not {"--csv", "--xlsx"} <= options[name]} == {
        "dish add"
    }  # a dish told, no table


def run(folder: Path, where: Path, *words: str) -> tuple[list[list[str]], dict[str, list[tuple[Any, ...]]]]:
    """The rows of the first CSV file, and the spreadsheet's sheets, that a command wrote."""
    files = where / "t.csv", where / "t.xlsx"
    done = RUN.invoke(app, [*words, "--larder", str(folder), "--csv", str(files[0]), "--xlsx", str(files[1])])
    assert done.exit_code == 0, (words, done.output, done.exception)
    sheets = {s.title: [tuple(r) for r in s.iter_rows(values_only=True)] for s in load_workbook(files[1]).worksheets}
    beside = sorted(where.glob("t*.csv"))
    assert len(beside) == len(sheets)
    for file in beside:
        rows = list(csv.reader(file.open(encoding="utf-8", newline="")))
        for cell in (cell for row in rows for cell in row if cell.startswith(BEGINS_A_FORMULA)):
            float(cell)  # only a number may begin so
        name = file.stem.removeprefix("t-").replace("-", " ")
        sheet = next(iter(sheets.values())) if file == files[0] else next(
            s for title, s in sheets.items() if title.replace("-", " ") == name
        )  # fmt: skip
        assert len(rows) == len(sheet)
        assert rows[0] == list(sheet[0])
    return list(csv.reader(files[0].open(encoding="utf-8", newline=""))), sheets


QUICK = [
    ("lots", "onions"), ("history", "onions"), ("part-jars",), ("empties",), ("lids",), ("book", "log"),
    ("count", "sheet"), ("run-out", "--paths", "100"), ("run-out", "--back-test", "--paths", "100"), ("eat-first",),
    ("sitters",), ("explain", "onions"), ("dishes",), ("dishes", "onions"), ("tonight",),
    ("worth", "last", "month"),
]  # fmt: skip
OF_A_FULL_HOUSE = [
    *QUICK, ("run-out", "--what-if", "freezer F2 lost", "--paths", "100"), ("season-notes",), ("freezer-off", "F2"),
    ("spare", "2", "lb", "onions"), ("crop-in", "green beans", "60 lb"),
]  # fmt: skip


@pytest.mark.parametrize("words", OF_A_FULL_HOUSE, ids=" ".join)
def test_a_table_of_the_demo(demo: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    rows, sheets = run(demo, tmp_path, *words)
    assert len(rows) > 1
    assert all(len(row) == len(rows[0]) for row in rows)
    assert sheets


@pytest.mark.parametrize("words", [*QUICK, ("eaten", "last", "month")], ids=" ".join)
def test_a_table_of_an_empty_house_has_its_heads(hut: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    product = ("kale",) if "onions" in words else ()
    rows, _ = run(hut, tmp_path, *(w for w in words if w != "onions"), *product)
    assert rows[0]


def test_where_no_dish_is_written_down_what_left_the_shelf_is_a_table(demo: Path, tmp_path: Path) -> None:
    dishes, sheets = run(demo, tmp_path, "eaten", "last", "month")
    assert dishes == [["day", "meal", "dish", "said", "occasions"]]
    assert len(sheets["left the shelf"]) > 1


def named(rows: list[list[str]], name: str = "product") -> dict[str, dict[str, str]]:
    heads, *body = rows
    return {row[heads.index(name)]: dict(zip(heads, row, strict=True)) for row in body}


def test_run_out_says_what_its_json_says(demo: Path, tmp_path: Path) -> None:
    rows, sheets = run(demo, tmp_path, "run-out", "--paths", "200")
    told = json.loads(RUN.invoke(app, ["run-out", "--paths", "200", "--larder", str(demo), "--json"]).stdout)
    by_json = {row["product"]: row for row in told["forecast"]["rows"]}
    table = named(rows)
    assert table.keys() == by_json.keys()
    for name, row in table.items():
        said = by_json[name]
        assert row["size"] == said["size"]
        for pace in ("as_eaten", "as_planned"):
            words, figures = pace.replace("_", " "), said[pace] or {"mark": "", "out": ""}
            assert row[f"{words} mark"] == figures["mark"]
            assert row[f"{words} runs out (nothing: not within 2 years)"] == (figures["out"] or "")
        assert float(row["on hand (containers)"]) == pytest.approx(said["on_hand"])
    sheet = sheets["run-out"]
    place = list(sheet[0]).index("as eaten runs out (nothing: not within 2 years)")
    assert {type(row[place]) for row in sheet[1:]} <= {datetime, type(None)}


def test_lots_are_counted_exactly_and_a_formula_in_a_note_is_a_text(demo: Path, tmp_path: Path) -> None:
    home = tmp_path / "home"
    shutil.copytree(demo, home)
    said = ["put-up", "3 qt applesauce", "--note", "=cmd()", "--load", "-x", "--source", "p. 12", "--larder", str(home)]
    assert RUN.invoke(app, said).exit_code == 0
    rows, sheets = run(home, tmp_path, "lots", "applesauce")
    new = next(row for row in named(rows, "lot (its number)").values() if row["note"] == "'=cmd()")
    assert (new["load"], new["on hand (of the size)"]) == ("'-x", "3")
    assert sum(Fraction(row[rows[0].index("on hand (of the size)")]) for row in rows[1:]) == 75
    assert "=cmd()" in {row[-1] for row in sheets["lots"]}
    # and the copy of the book comes back as it was, by either way
    for ending in ("csv", "xlsx"):
        (tmp_path / ending).mkdir()
        export = tmp_path / f"book.{ending}"
        assert RUN.invoke(app, ["book", "export", str(export), "--larder", str(home)]).exit_code == 0
        assert RUN.invoke(app, ["book", "import", str(export), "--larder", str(tmp_path / ending)]).exit_code == 0
        again = tmp_path / f"again-{ending}.csv"
        assert RUN.invoke(app, ["book", "export", str(again), "--larder", str(tmp_path / ending)]).exit_code == 0
        assert again.read_bytes() == (tmp_path / "book.csv").read_bytes()
    assert b",'=cmd()" in (tmp_path / "book.csv").read_bytes()


def test_a_count_sheet_comes_back_through_a_spreadsheet(demo: Path, tmp_path: Path) -> None:
    home = tmp_path / "home"
    shutil.copytree(demo, home)
    run(home, tmp_path, "count", "sheet", "N1")
    book = load_workbook(tmp_path / "t.xlsx")
    sheet = book["count"]
    heads = [cell.value for cell in sheet[1]]
    for row in sheet.iter_rows(min_row=2):
        row[heads.index("shelf")].value = row[heads.index("book")].value
    book.save(tmp_path / "filled.xlsx")
    done = RUN.invoke(app, ["count", "enter", str(tmp_path / "filled.xlsx"), "--larder", str(home)])
    assert "0 differences" in done.output
    assert "there is nothing to enter" in done.output


def test_a_menus_meals_and_draws_are_those_of_its_json(demo: Path) -> None:
    home = load_larder(demo, None, date(2026, 1, 17))
    plan = announced_in(WEEK, home)
    told = json.loads(WEEK.read_text(encoding="utf-8"))
    by_json: dict[str, Fraction] = defaultdict(Fraction)
    dishes = []
    for meal in told["meals"]:
        dishes += [(meal["day"], meal["meal"], dish["role"], dish["dish"]) for dish in meal["dishes"]]
        dishes += [(meal["day"], meal["meal"], role, None) for role in meal["open_roles"]]
        for use in (use for dish in meal["dishes"] for use in dish["uses"]):
            by_json[use["product"]] += Fraction(use["exact"])
    meals, draws = tables.meals(plan), tables.draws(home, plan)
    assert [(str(r.day), r.meal, r.role, r.dish) for r in meals.itertuples()] == dishes
    drawn = draws.groupby("product")["amount"].agg(lambda s: sum(s, Fraction(0)))
    assert {n: a * home.products[n].sizes[0].content for n, a in drawn.items()} == by_json
    assert all(isinstance(amount, Fraction) for amount in draws["amount"])


@pytest.mark.parametrize(
    ("option", "file", "said"),
    [
        ("--csv", "lots.txt", "should end in .csv"),
        ("--xlsx", "lots.csv", "should end in .xlsx"),
        ("--pdf", "menu.txt", "should end in .pdf"),
        ("--csv", "nowhere/menu.csv", "make its folder first"),
        ("--csv", "stock.csv", "household's own file"),
        ("--csv", "put-up-book.csv", "household's own file"),
    ],
)
def test_a_file_that_cannot_be_is_refused_before_any_work(demo: Path, option: str, file: str, said: str) -> None:
    before = sorted(p.name for p in demo.iterdir())
    done = RUN.invoke(app, ["menu", "--days", "400", "--larder", str(demo), option, str(demo / file)])
    assert done.exit_code != 0
    assert said in " ".join(f"{done.output} {done.exception}".split())
    assert sorted(p.name for p in demo.iterdir()) == before


def test_weeks_and_count_sheets_are_refused_as_early(demo: Path) -> None:
    for words, said in (
        (("weeks", "--weeks", "50", "--out", str(demo / "season.yaml")), "household's own file"),
        (("count", "sheet", "--out", str(demo / "sheet.doc")), "should end in .csv, .xlsx or .pdf"),
        (("count", "sheet", "--out", str(demo / "stock.csv")), "household's own file"),
    ):
        done = RUN.invoke(app, [*words, "--larder", str(demo)])
        assert done.exit_code != 0
        assert said in " ".join(f"{done.output} {done.exception}".replace("│", " ").split())
