"""A month of life in two kitchens: an elderly couple with pints, a metric four in the south; every exit code and sum.

What is on the shelf is reckoned here by hand from the lists as they were written and what was said since; no figure on
any screen is in the other kitchen's measures.
"""

from __future__ import annotations

import csv
import json
import re
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.larder import load_larder
from tests.unit.cli.test_dish_add import DAY, KITCHENS, begun
from tests.unit.cli.test_first_evening import say

pytestmark = pytest.mark.slow
FIRST = KITCHENS / "first_evening"
US = re.compile(
    r"\d[\d /.]* ?(qt|pt|hp|lb|oz|cups?|tbsp|tsp|gal|ft|feet|foot|bushels?)\b|\d F\b(?!\))|"
    r"\b(quarts?|pints?|pounds?|ounces?|gallons?|bushels?)\b"
)
METRIC = re.compile(r"\d[\d /.]* ?(ml|g|kg|l|m)\b|\b(litres?|kilos?|grams?)\b")


@dataclass
class Life:
    """One household's month. jar: the size of its jars as it is said; beans: how many of green beans its list has."""

    folder: Path
    jar: str
    person: str
    freezer: str
    loose: str
    other: re.Pattern[str]
    beans: int
    screens: dict[str, str] = field(default_factory=dict)

    def say(self, name: str, *words: str, code: int = 0) -> str:
        text = say(*words, "--larder", str(self.folder), code=code)
        self.screens[name] = text
        return " ".join(text.split())

    def shelf(self, product: str) -> Fraction:
        """Containers of it that are there in no state, by the household as every planner reads it."""
        home = load_larder(self.folder, None, DAY)
        return sum((lot.count for lot in home.lots if lot.product == product and not lot.state), Fraction(0))


def a_life(folder: Path, which: str) -> Life:
    pints = which == "pints"
    listed = ("pints.csv",) if pints else ("southern-list.txt", "2=Tomatoes, crushed")
    begun(folder, f"{which}.txt", *listed)
    sheet = folder / "household.yaml"
    sheet.write_text(
        sheet.read_text(encoding="utf-8").replace("# today: 2026-01-17         #", f"today: {DAY}  #"), encoding="utf-8"
    )
    (folder / "season.yaml").write_bytes((FIRST / f"{which}-season.yaml").read_bytes())
    if pints:
        return Life(folder, "pt", "Nora", "small freezer", "3 lb potatoes", METRIC, 14)
    return Life(folder, "500 ml", "Mere", "garage freezer", "3 kg spuds", US, 12)


@pytest.fixture(scope="module", params=["pints", "southern"])
def life(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Life:
    """The month, lived once: menu, pull, tally, put up, hold, undo, count, guests, and what is asked after it."""
    living = a_life(tmp_path_factory.mktemp(request.param) / "larder", request.param)
    living.say("menu json", "menu", "--json", "--announce", "--seconds", "4")
    living.say("announce", "announce", "--plain")
    return living


def test_the_book_says_what_was_said(life: Life, tmp_path: Path) -> None:
    written = life.screens["menu json"]
    plan, _ = json.JSONDecoder().raw_decode(written, written.index("{"))
    beans = "Green beans"
    opened = [o for o in plan["openings"] if o["product"] == beans and o["day"] <= "2026-11-28"]
    assert life.shelf(beans) == life.beans
    life.say("pull", "pull", "--through", "2026-11-28")
    after = life.shelf(beans)
    assert life.beans - after == sum(o["count"] for o in opened)
    life.say("tally", "tally", "green beans")
    life.say("tally 2", "tally", f"2 {life.jar} green beans")
    assert life.shelf(beans) == after - 3
    life.say("put-up", "put-up", f"7 {life.jar} green beans", "--load", "load 1", "--source", "county bulletin 2015")
    assert life.shelf(beans) == after + 4
    held = life.say("hold", "hold", "load", "load 1")
    assert life.shelf(beans) == after - 3
    assert "7 held back" in held
    life.say("undo", "undo")
    assert life.shelf(beans) == after + 4
    life.say("redo", "redo")
    assert life.shelf(beans) == after - 3
    life.say("release", "release", "load", "load 1", "--why", "the bulletin was found")
    assert life.shelf(beans) == after + 4
    life.say("give", "give", f"1 {life.jar} green beans to Nell")
    assert life.shelf(beans) == after + 3
    assert "--anyway" in life.say("give unsourced", "give", f"1 {life.jar} baked beans to Nell", code=1)
    life.say("bring-in", "bring-in", life.loose)
    life.say("lots", "lots", "green beans")
    sheet = tmp_path / "count.csv"
    life.say("count sheet", "count", "sheet")
    life.say("count out", "count", "sheet", "--out", str(sheet))
    rows = list(csv.reader(sheet.read_text(encoding="utf-8").splitlines()))
    shelf, product, book = (rows[0].index(name) for name in ("shelf", "product", "book"))
    lot = next(row for row in rows[1:] if row[product] == beans and int(row[book]) > 5)
    lot[shelf] = str(int(lot[book]) - 2)
    with sheet.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    life.say("count enter", "count", "enter", str(sheet))
    assert life.shelf(beans) == after + 1
    life.say("empties", "empties", life.jar, "12")
    shown = life.say("empties shown", "empties")
    assert re.search(rf"{life.jar} \d+ 12 1 ", shown)
    export = tmp_path / "book.csv"
    life.say("export", "book", "export", str(export))
    lines = list(csv.DictReader(export.read_text(encoding="utf-8").splitlines()))
    assert {row["product"] for row in lines} >= {beans, "Potatoes" if life.jar == "pt" else "Spuds"}
    assert life.say("check", "book", "check")


def test_the_table_changes_its_mind(life: Life) -> None:
    told = life.say("replan", "replan", "--headcount", "Mon=6", "--seconds", "2", "--menu")
    assert "6 are at supper on Monday 30 November" in told
    away = life.say("away", "replan", "--away", f"Tue={life.person}", "--seconds", "2", "--announce")
    assert f"{life.person} is away on Tuesday 1 December" in away
    assert "INSTEAD OF" in life.say("swap", "another", "Mon main")
    assert "has been pulled" in life.say("swap of a pulled day", "another", "Sat main", code=1)
    life.say("tonight", "tonight", "40")
    life.say("dish", "dish", "beef patties and onion gravy")


def test_what_lies_ahead_is_told(life: Life) -> None:
    life.say("ten days", "menu", "--days", "11", "--seconds", "4")
    assert "REACHES ITS DAY" in life.say("run-out", "run-out")
    life.say("what if", "run-out", "--what-if", "two more at table")
    life.say("gap", "run-out", "--hungry-gap")
    life.say("eat-first", "eat-first")
    assert "3 days without the store" in life.say("no-store", "no-store", "--days", "3", "--seconds", "3")
    season = life.say("season", "season", "--seconds", "1")
    assert "Green beans" in season
    opens = "1 May to 1 May" if life.jar == "pt" else "1 November to 1 November"
    assert opens in life.say("notes", "season-notes")
    assert opens in life.say("history", "history", "green beans")
    amount = "30 lb" if life.jar == "pt" else "30 kg"
    assert f"{amount} of beans" in life.say("glut", "glut", "beans", amount)
    assert "Too young to tell" in life.say("sitters", "sitters")
    assert "Sugar" not in life.screens["sitters"]
    off = life.say("freezer-off", "freezer-off", life.freezer)
    assert ("40 F (4 C)" if life.jar == "pt" else "4 C (40 F)") in off
    life.say("spare", "spare", f"2 {life.jar} green beans")
    life.say("worth", "worth", "this month")
    life.say("every kind", "history", "apples", "--every-kind")


def test_no_screen_has_the_other_kitchens_measures(life: Life) -> None:
    assert len(life.screens) > 20
    for name, text in life.screens.items():
        if name == "menu json":
            continue
        for line in text.replace("g of protein", "").replace("protein, g", "").splitlines():
            plain = re.sub(r"\(\d+(?: to \d+)? F\)|, 50 to 70 F|\(4 C\)|, 10 to 21 C", "", line)
            assert not life.other.search(plain), (name, line)
