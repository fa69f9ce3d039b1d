"""A month of life in two kitchens: an elderly couple with pints, a metric four in the south; every exit code and sum.

What is on the shelf is reckoned here by hand from the lists as they were written and what was said since; no figure on
any screen is in the other kitchen's measures.
"""

from __future__ import annotations

import csv
import json
import re
import time
from fractions import Fraction
from html import unescape
from pathlib import Path

import pytest
from msgspec import Struct, field

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


class Life(Struct):
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
    gap = life.say("gap", "run-out", "--hungry-gap")
    assert not re.search(r"\b(bread|egg|milk): ", gap), "what comes in every Saturday is there every week"
    life.say("eat-first", "eat-first")
    assert "3 days without the store" in life.say("no-store", "no-store", "--days", "3", "--seconds", "3")
    season = life.say("season", "season", "--seconds", "1")
    assert "Green beans" in season
    assert "the season of 2027" in season if life.jar == "pt" else "the season of 2026-27" in season
    opens = "1 May to 1 May" if life.jar == "pt" else "1 November to 1 November"
    assert opens in life.say("notes", "season-notes")
    assert opens in life.say("history", "history", "green beans")
    amount = "30 lb" if life.jar == "pt" else "30 kg"
    assert f"{amount} of beans" in life.say("crop in", "crop-in", "beans", amount)
    assert "Too young to tell" in life.say("sitters", "sitters")
    assert "Sugar" not in life.screens["sitters"]
    off = life.say("freezer-off", "freezer-off", life.freezer)
    assert ("40 F (4 C)" if life.jar == "pt" else "4 C (40 F)") in off
    life.say("spare", "spare", f"2 {life.jar} green beans")
    life.say("worth", "worth", "this month")
    life.say("every kind", "history", "apples", "--every-kind")


def test_the_rest_of_the_house_is_told(life: Life) -> None:
    pints = life.jar == "pt"
    told = life.say(
        "season without", "season", "--seconds", "1", "--without", "3 feet of row" if pints else "1 m of row"
    )
    assert "Without: " in told
    life.say("season without what", "season", "--without", "300 elephants", code=1)
    years = life.say("season years", "season", "--years", "2")
    assert ("quarts in the freezer" if pints else "litres in the freezer") in years
    for name, *words in (
        ("explain", "explain", "green beans"), ("dishes", "dishes"), ("part-jars", "part-jars"), ("lids", "lids"),
        ("lids now", "lids", "regular", "40"), ("caution", "caution", "11"), ("log", "book", "log"),
        ("whose", "book", "whose"), ("said", "said"), ("tally sheet", "count", "tally"),
        ("announced", "announce", "--full"), ("move", "move", f"1 {life.jar} green beans"),
        ("product", "run-out", "green beans"), ("was it right", "run-out", "--back-test"),
        ("eaten", "eaten", "yesterday"), 
        ("open", "open", f"1 {life.jar} green beans"),
    ):  # fmt: skip
        if words[0] != "caution":
            life.say(name, *words, code=1 if name == "move" else 0)


def test_what_is_written_to_files_is_in_the_kitchens_measures_too(life: Life, tmp_path: Path) -> None:
    """Each kind of file once: CSV, JSON, PDF (its letters as pypdf reads them) and the one page of the larder."""
    from pypdf import PdfReader

    files = {kind: tmp_path / f"out.{kind}" for kind in ("csv", "pdf")}
    life.say("to files", "announce", "--csv", str(files["csv"]), "--pdf", str(files["pdf"]))
    life.screens["menu csv"] = "\n".join(p.read_text(encoding="utf-8") for p in sorted(tmp_path.glob("*.csv")))
    life.screens["menu pdf"] = "\n".join(page.extract_text() for page in PdfReader(files["pdf"]).pages)
    assert "Green beans" in life.screens["menu csv"]
    assert "The pull list" in life.screens["menu pdf"] or "THE PULL LIST" in life.screens["menu pdf"].upper()
    figures = json.loads(say("run-out", "--json", "--larder", str(life.folder)).partition("{")[2].join(("{", "")))
    rows = {row["product"]: row for row in figures["forecast"]["rows"]}
    assert rows["Green beans"]["on_hand"] == float(life.shelf("Green beans"))
    assert {row["size"] for row in rows.values()}.isdisjoint(
        {"qt", "pt", "hp", "lb"} if life.jar != "pt" else {"kg", "l"}
    )


ASKED_FOR = ("/static/{name}", "/come-in/{token}", "/search/{number}", "/heard")
"""Paths of no page of their own: files, the door, and what a page asks for while it waits (seen as the boards)."""


def pages_of(folder: Path) -> dict[str, str]:
    """Every page that is served of a household, as a person reads it: its words and those of its fields."""
    from tests.page.conftest import serving

    with serving(folder) as served, served.client() as client:
        boards = [served.searches.ask(name) for name in ("run-out", "eat-first", "season", "sitters")]
        home = load_larder(folder, None, DAY)
        paths = ["/", "/week", "/plan", "/pull", "/pull/list", "/took", "/put-up", "/log", "/count", "/products",
                 "/part-jars", "/phones", "/dishes", "/no-store", "/more", "/dish?name=Beef patties and onion gravy",
                 *(f"/count/at?place={place.code}" for place in home.places),
                 *(f"/product?name={name}" for name in home.products)]  # fmt: skip
        end = time.monotonic() + 240
        while not all(board.over for board in boards) and time.monotonic() < end:
            time.sleep(0.2)
        assert all(board.state == "done" or "has no harvest" in board.trouble for board in boards)
        paths += [f"/{board.asked.question}" for board in boards]
        answers = {path: client.get(path) for path in paths}
        assert {path: answer.status_code for path, answer in answers.items() if answer.status_code != 200} == {}
        return {path: read_aloud(answer.text) for path, answer in answers.items()}


def read_aloud(page: str) -> str:
    """A page's words, with what its fields and pictures are called, a line for each piece."""
    page = re.sub(r"(?s)<(script|style).*?</\1>|<head>.*?</head>", " ", page)
    called = re.sub(r'<[^>]*\b(?:aria-label|placeholder|alt|title|value)="([^"]*)"[^>]*>', r"\n\1\n", page)
    lines = (" ".join(unescape(re.sub(r"</?(b|strong|em|span|small|a)\b[^>]*>", " ", line)).split()) for line in
             re.sub(r"</?(?!(?:b|strong|em|span|small|a)\b)[a-z][^>]*>", "\n", called).splitlines())  # fmt: skip
    return "\n".join(line for line in lines if line)


def test_the_page_is_in_the_kitchens_measures_too(life: Life) -> None:
    """Every path that is served, and every product's page, goes into the scans below."""
    found = pages_of(life.folder)
    assert "Green beans" in found["/product?name=Green beans"]
    assert "Nora" in found["/plan"] or "Mere" in found["/plan"]
    life.screens |= {f"page {path}": text for path, text in found.items()}


def test_no_path_of_the_page_is_left_out(tmp_path: Path) -> None:
    from pantrymeals.serve.app import pages
    from pantrymeals.serve.guard import Guard
    from pantrymeals.serve.house import House
    from pantrymeals.serve.searches import Searches

    folder = begun(tmp_path / "p", "pints.txt", "pints.csv")
    kitchen = House(folder)
    app = pages(kitchen, Guard(by_link=False, address="http://127.0.0.1:1"), Searches(kitchen))
    served = {path for path, ways in app.openapi()["paths"].items() if "get" in ways}
    assert served - set(ASKED_FOR) == {path.partition("?")[0] for path in pages_of(folder)}


def test_no_screen_has_the_other_kitchens_measures(life: Life) -> None:
    assert len(life.screens) > 40
    for name, text in life.screens.items():
        if name in ("menu json", "explain"):  # exact figures with their units; the words of sources
            continue
        for line in re.sub(r"g(rams)? (of )?protein|protein,? g", "", text).splitlines():
            plain = re.sub(r"\(\d+(?: to \d+)? F\)|, 50 to 70 F|\(4 C\)|, 10 to 21 C", "", line)
            assert not life.other.search(plain), (name, line)


NEVER_SAID = re.compile(
    r"10-90 ?%|pinball|planned -|off their share|\b13 piece\b|There are 1 |jar jars|Errno|Traceback|\bswap|"
    r"\bflats?\b(?!\s+bread)|\b0 (loaf|jar|quart|pint|day|week)\b|"
    r"(?<![\d.])1 (questions|lines|products|meals|days|weeks|jars|dishes|pints)\b",
    re.IGNORECASE,
)
"""What screens said once, and what no kitchen says; 'swap' means barter in this trade."""


def mixed_columns(text: str) -> list[tuple[str, str]]:
    """Cells of one column of a table, one with a fraction of a unit and one with decimals of the same."""
    found: list[tuple[str, str]] = []
    seen: dict[tuple[int, str], dict[str, str]] = {}
    for line in text.splitlines():
        cells = re.split(r" {2,}", line.strip())
        if len(cells) < 2:
            seen = {} if line.startswith(("=", "-")) or not line.strip() else seen
            continue
        for at, cell in enumerate(cells):
            amount = re.match(r"(?:\[ \] +)?(?:about )?(\d+\.\d+|\d+ \d/\d|\d/\d) (\w+)(?= |$)", cell)
            if amount is None:
                continue
            kinds = seen.setdefault((at, amount[2]), {})
            kinds["." if "." in amount[1] else "/"] = cell
            if len(kinds) == 2:
                found.append((kinds["."], kinds["/"]))
    return found


def test_a_mixed_column_would_be_seen() -> None:
    assert mixed_columns("Beans  1 1/2 lb  x\nPeas  2.25 lb  y") == [("2.25 lb", "1 1/2 lb")]
    assert mixed_columns("Beans  1 1/2 lb  x\nPeas  2.25 kg  y") == []
    assert mixed_columns("  [ ]  1.3 lb Rice  no date\n  [ ]  1 1/8 lb Flour  no date") == [
        ("1.3 lb Rice", "1 1/8 lb Flour")
    ]
    assert NEVER_SAID.search("There are 1 qt of it")
    assert NEVER_SAID.search("250 ml jar jars")


def test_no_screen_says_what_no_kitchen_says(life: Life) -> None:
    for name, text in life.screens.items():
        if name not in ("menu json", "menu csv"):
            assert not (found := NEVER_SAID.search(text)), (name, found and text[found.start() - 80 : found.end() + 20])
            assert mixed_columns(text) == [], name
