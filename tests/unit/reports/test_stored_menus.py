"""Menus read back from JSON: what no file of ours holds is one sentence, of both readers; and nothing is lost."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import FromLot, MenuPlan, Opening
from pantrymeals.plans.outlook import MustGo
from pantrymeals.reports.json.figures import figures_json
from pantrymeals.reports.json.plan import MenuFile, Proof, menu_json, plan_in, read_menu_file, schema_text
from pantrymeals.reports.json.plan_pull import MenuToPull, menu_to_pull
from pantrymeals.reports.json.stored import adapter
from tests.unit.reports.sheets import small_sheet

HERE = Path(__file__).parent
STORED = (HERE.parents[1] / "golden" / "demo_week.json").read_text(encoding="utf-8")
READERS = pytest.mark.parametrize("read", [read_menu_file, menu_to_pull])


def changed(*way: str | int, to: object) -> str:
    """The stored menu with another value in one place."""
    file = json.loads(STORED)
    at: Any = file
    for step in way[:-1]:
        at = at[step]
    at[way[-1]] = to
    return json.dumps(file)


def refusal(read: Any, text: str) -> str:
    with pytest.raises(PantryError) as caught:
        read(text)
    said = str(caught.value)
    assert "\n" not in said
    assert len(said) < 250
    return said


USE = ("meals", 0, "dishes", 0, "uses", 0, "exact")


@READERS
@pytest.mark.parametrize(
    ("text", "said"),
    [
        (STORED.replace('"Milk"', '"\\ud800"'), "the file: it holds half a character (a lone surrogate)"),
        (STORED.replace('"size"', '"\\udfff"', 1), "the file: it holds half a character (a lone surrogate)"),
        (f'{STORED.rstrip()[:-1]}, "more": {"[" * 200}{"]" * 200}}}', "the file: it is nested more than 30 deep"),
        ("[" * 200 + "]" * 200, "the file: names and values in braces should stand here"),
        ('{"a":' * 100_000, "the file: it is not whole JSON"),
        (changed("proof", "cost", to=float("nan")), "the file: it is not whole JSON"),
        ('{"format": ' + "9" * 5000 + "}", "the file: it is not whole JSON"),
        (changed("days", to=2**70), "days: 1180591620717411303424"),
        (changed("openings", 0, "count", to=10**12), "openings.0.count: 1000000000000"),
        (changed("openings", 0, "count", to=0), "openings.0.count: 0"),
        (changed("openings", 0, "count", to=1.5), "openings.0.count: 1.5"),
        (changed("openings", 0, "eat_by", to=20260117), "openings.0.eat_by: 20260117 is not a day"),
        (changed("openings", 0, "day", to="2026-W03-6"), 'openings.0.day: "2026-W03-6" is not a day'),
        (changed("meals", 0, "dishes", 0, "pinned", to="yes"), 'meals.0.dishes.0.pinned: "yes"'),
        (changed(*USE, to="-3/4"), '.uses.0.exact: "-3/4" is not an exact amount, such as 3/4'),
        (changed(*USE, to="1e999999999"), '.uses.0.exact: "1e999999999" is not an exact amount'),
        (changed(*USE, to="NaN"), '.uses.0.exact: "NaN" is not an exact amount'),
        (changed(*USE, to=0.75), ".uses.0.exact: 0.75 is not an exact amount"),
        (changed(*USE, to="3/0"), '.uses.0.exact: "3/0" is not an exact amount'),
        (changed("openings", 0, "uses", 0, "exact", to="²"), 'openings.0.uses.0.exact: "²" is not an exact amount'),
        (changed("meals", 2, "day", to="2031-01-01"), "meals.2.day: 2031-01-01 is none of the menu's days"),
        (changed("days", to=6), "is none of the menu's days"),
        (changed("first", to="9999-12-30"), "days: 7 is more than the calendar holds"),
    ],
)
def test_what_no_menu_holds_is_one_sentence(read: Any, text: str, said: str) -> None:
    told = refusal(read, text)
    assert told.startswith("this is not a menu made by `menu --json`: ")
    assert said in told


def test_what_is_not_known_is_named_and_no_number_is_without_end() -> None:
    assert refusal(read_menu_file, changed("meals", 0, "colour", to="brown")).endswith(
        "meals.0.colour: this is not known here"
    )
    assert "proof.seed: 1180591620717411303424" in refusal(read_menu_file, changed("proof", "seed", to=2**70))
    endless = STORED.replace('"cost": ', '"cost": 1e999, "was": ', 1)
    assert "proof.cost" in refusal(read_menu_file, endless)


def test_a_menu_of_version_2_is_read_as_it_stands() -> None:
    """There a dish was made once, twice: a plain number; what is no such number is named."""
    two = json.loads(STORED)
    two["format"] = "pantrymeals menu 2"
    places = [planned for meal in two["meals"] for planned in meal["dishes"]]
    for planned in places:
        assert re.fullmatch("[0-9]+(/[0-9]+)?", planned["batches"])
        planned["batches"] = 2
    plan = plan_in(read_menu_file(json.dumps(two)))
    assert {planned.batches for meal in plan.meals for planned in meal.dishes} == {Fraction(2)}
    for bad in (0, -1, 1.5, True):
        places[0]["batches"] = bad
        assert "dishes.0.batches: " in refusal(read_menu_file, json.dumps(two))
    assert '.batches: "0" is nothing' in refusal(read_menu_file, changed("meals", 0, "dishes", 0, "batches", to="0"))


@READERS
def test_an_older_and_a_newer_menu_are_refused_with_what_to_do(read: Any) -> None:
    old = refusal(read, (HERE / "menu_of_version_1.json").read_text(encoding="utf-8"))
    assert old == (
        "this menu was written by an older pantrymeals (pantrymeals menu 1), and this one reads "
        "pantrymeals menu 3: plan it anew with `menu --json`"
    )
    new = refusal(read, changed("format", to="pantrymeals menu 4"))
    assert "a newer pantrymeals (pantrymeals menu 4)" in new
    assert "bring pantrymeals up to date" in new


def test_the_schema_says_its_version_and_the_one_name_of_a_day_to_be_gone_by() -> None:
    schema = json.loads(schema_text())
    assert (schema["version"], schema["title"]) == (3, "pantrymeals menu 3")
    assert schema["properties"]["format"]["const"] == schema["title"]
    assert "eat_by" in schema["$defs"]["Opening"]["required"]
    assert "eat_by" in schema["$defs"]["PullLine"]["required"]
    assert '"last' not in schema_text()
    must_go = MustGo("cellar", "Leeks", "lb", 2.0, "C", date(2026, 2, 1), False, "", "")
    assert json.loads(figures_json(must_go=must_go))["must_go"]["eat_by"] == "2026-02-01"


def test_every_field_of_a_plan_stands_in_its_file() -> None:
    held = {*MenuFile.__struct_fields__, *Proof.__struct_fields__}
    assert set(MenuPlan.__struct_fields__) <= held
    assert set(MenuToPull.__struct_fields__) <= held


def test_an_opening_comes_back_with_its_lot_days_and_uses_by_both_readers() -> None:
    sheet = small_sheet()
    opening = Opening(
        date(2026, 1, 7), "Beans", "qt", 2, date(2026, 1, 5), date(2026, 1, 9),
        ((date(2026, 1, 7), Fraction(1, 3)), (date(2026, 1, 8), Fraction(10, 7))),
        FromLot("S2", date(2024, 1, 1), True, "load 3"),
    )  # fmt: skip
    text = menu_json(replace(sheet, plan=replace(sheet.plan, openings=(opening,))))
    assert plan_in(read_menu_file(text)).openings == menu_to_pull(text).openings == (opening,)


class Crock(Struct, frozen=True):
    """A record that the adapters have never seen."""

    name: str
    days: tuple[date, ...]
    parts: Fraction | None

    @property
    def begun(self) -> date:
        """The first of its days."""
        return self.days[0]


def test_a_record_of_tomorrow_needs_no_code_of_its_own() -> None:
    crock = Crock("kraut", (date(2026, 10, 1), date(2026, 10, 29)), Fraction(2, 3))
    kept = adapter(Crock)
    said = {"name": "kraut", "days": ["2026-10-01", "2026-10-29"], "parts": "2/3", "begun": "2026-10-01"}
    assert json.loads(kept.dump_json(crock)) == said
    assert kept.validate_python(said) == crock


@pytest.mark.parametrize("room", ["menu", "pull", "actions.book", "cli.book", "plans", "solving"])
def test_neither_records_nor_planner_nor_the_book_load_pydantic(room: str) -> None:
    program = (
        "import importlib, pkgutil, sys, pantrymeals.records, pantrymeals.reports.json.plan_pull\n"
        f"room = importlib.import_module('pantrymeals.{room}')\n"
        "for found in pkgutil.walk_packages(room.__path__, room.__name__ + '.'):\n"
        "    importlib.import_module(found.name)\n"
        "print(len([name for name in sys.modules if name.startswith(room.__name__)]) > 1, 'pydantic' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["True", "False"]
