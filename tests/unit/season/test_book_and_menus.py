"""Book and menus side by side, whose figure counts, and the accepted list by which things come in; reckoned by hand."""

from __future__ import annotations

import json
from datetime import date, timedelta
from fractions import Fraction as F
from pathlib import Path

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.season import SeasonAsked, make_season, season_shown
from pantrymeals.cli.main import app
from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.household import read_household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.season import write_season
from pantrymeals.season.asked import need_of
from pantrymeals.season.by_menus import MenusBeside
from pantrymeals.season.put_up_list import book_and_menus
from tests.kitchens.tiny import cooked, dish, menu, supper

FIRST = date(2026, 1, 19)


@pytest.fixture
def by_menus(asked, a_household, a_product, book_year):
    """A house whose book has 52 quarts a year, and menus of so many days that take a quart each tenth day."""

    def make(days, **season):
        beans = a_product("Beans", acid="low")
        home = a_household(
            beans,
            dishes=(dish("Bean pot", ["1 qt Beans"]),),
            season={
                "harvest": [{"crop": "beans", "from": "08-01", "to": "08-07", "products": ["Beans"]}],
                "history": [book_year("Beans", 2024, 0, 60, 52)],
                **season,
            },
        )
        suppers = [supper(FIRST + timedelta(n), cooked(home, "Bean pot")) for n in range(0, days, 10)]
        plans = (menu(home, suppers, first=FIRST, days=days),) if days else ()
        return replace(asked(home), menus=lambda: MenusBeside(plans))

    return make


def test_a_years_menus_stand_beside_the_book_and_the_book_counts_until_the_house_chooses(by_menus):
    question = by_menus(365)
    (two,) = book_and_menus(question)
    assert (two.by_book, two.by_menus, two.chosen) == (52, 37, False)  # days 0, 10 ... 360
    assert need_of(question, "Beans").a_year == 52


@pytest.mark.parametrize(("choice", "a_year"), [({"by": "menus"}, 37), ({"by": "book"}, 52), ({"a_year": "20"}, 20)])
def test_the_house_chooses(by_menus, choice, a_year):
    question = by_menus(365, needs=[{"product": "Beans", **choice}])
    assert need_of(question, "Beans").a_year == a_year
    assert book_and_menus(question)[0].chosen


def test_menus_of_part_of_a_year_leave_the_rest_to_the_book(by_menus):
    """73 days are a fifth of the year: 8 quarts by the menus, four fifths of 52 by the book."""
    question = by_menus(73, needs=[{"product": "Beans", "by": "menus"}])
    assert need_of(question, "Beans").a_year == 8 + F(52 * 4, 5)


@pytest.mark.parametrize("days", [0, 55])
def test_menus_of_few_weeks_do_not_speak_of_a_year(by_menus, days):
    question = by_menus(days, needs=[{"product": "Beans", "by": "menus"}])
    need = need_of(question, "Beans")
    assert need.a_year == 52
    assert "once 8 weeks of them are announced" in need.note
    assert book_and_menus(question) == ()


HOUSE = {
    "household.yaml": """\
household: Tiny
today: 2026-01-17
people:
  - {name: Ann, born: 1980-01-01}
meals:
  supper: {roles: [main]}
""",
    "products.csv": """\
product,kind,sizes,acid
Beans,jar,qt,low
Kale,jar,pt,low
Peas,jar,pt,low
""",
    "stock.csv": "product,size,count\nBeans,qt,3\n",
    "calendar.yaml": """\
coming_in:
  - {product: Beans, amount: 40 qt, day: 2026-08-01}
  - {product: Kale, amount: 9 pt, day: 2026-09-01}
  - {product: Peas, amount: 5 pt, day: 2026-07-01}
  - {product: Beans, amount: 2 qt, day: 2026-03-01}
""",
    "season.yaml": """\
expected:
  - {product: Beans, amount: 40 qt, day: 2026-08-01}
""",
}
LIST = "product,size,count,day,note\nBeans,qt,21,2026-08-03,\nBeans,qt,7,2026-08-10,\nKale,pt,0,,none this season\n"


def folder_of(path: Path, listed: str | None) -> Path:
    for name, text in HOUSE.items():
        (path / name).write_text(text, encoding="utf-8")
    if listed is not None:
        (path / "put-up-list.csv").write_text(listed, encoding="utf-8")
    return path


def test_what_comes_in_is_what_the_accepted_list_says(tmp_path: Path):
    home = read_household(folder_of(tmp_path, LIST))
    quart = home.products["Beans"].sizes[0].content
    came = [(a.product, a.amount / quart, a.day) for a in home.arrivals if a.product != "Peas"]
    # beans of March are of the season before, and of no list; kale was left out, so none comes in
    assert came == [("Beans", 2, date(2026, 3, 1)), ("Beans", 21, date(2026, 8, 3)), ("Beans", 7, date(2026, 8, 10))]
    assert [(e.amount / quart, e.day.day) for e in home.season.expected] == [(21, 3), (7, 10)]
    assert [a.product for a in home.arrivals].count("Peas") == 1


def test_without_a_list_the_calendar_speaks(tmp_path: Path):
    home = read_household(folder_of(tmp_path, None))
    assert [a.product for a in home.arrivals] == ["Beans", "Peas", "Beans", "Kale"]


def test_what_is_wrong_in_the_list_is_said_with_its_line(tmp_path: Path):
    rows = ("Beens,qt,1,2026-08-03,", "Beans,pt,1,2026-08-03,", "Beans,qt,1,,", "Kale,pt,2,2027-08-03,")
    wrong = "\n".join(("product,size,count,day,note", *rows)) + "\n"
    with pytest.raises(MistakesInFiles) as found:
        read_household(folder_of(tmp_path, wrong))
    assert [m.place.line for m in found.value.mistakes if m.place.file == "put-up-list.csv"] == [2, 3, 4, 5]


SEASON = """\
harvest:
  - {crop: beans, from: 08-01, to: 08-30, products: [Beans]}
  - {crop: kale, from: 09-01, to: 09-05, products: [Kale]}
history:
  - {product: Beans, season: 2024, carried_over: 0, put_up: 30, given_or_lost: 0, used: 28}
  - {product: Kale, season: 2024, carried_over: 0, put_up: 9, given_or_lost: 0, used: 0}
"""


def test_accepting_the_list_writes_what_the_household_then_reckons_with(tmp_path: Path):
    folder_of(tmp_path, None)
    (tmp_path / "season.yaml").write_text(SEASON, encoding="utf-8")
    words = ["season", "--larder", str(tmp_path), "--plain"]
    refused = CliRunner().invoke(app, [*words, "--accept", "--without", "3 quart empties"])
    assert refused.exit_code == 2
    assert not (tmp_path / "put-up-list.csv").exists()
    done = CliRunner().invoke(app, [*words, "--json", "--accept"])
    assert done.exit_code == 0, done.output
    line = next(x for x in json.loads(done.stdout)["wanted"]["lines"] if x["product"] == "Beans")
    home = read_household(tmp_path)
    quart = home.products["Beans"].sizes[0].content
    came = [a for a in home.arrivals if a.product == "Beans" and a.day.month > 6]
    assert sum(a.amount / quart for a in came) == line["loads"] * line["load"]
    assert all(date(2026, 8, 1) <= a.day <= date(2026, 8, 30) for a in came)
    assert not any(a.product == "Kale" for a in home.arrivals), "it is put up no more"
    first = (tmp_path / "put-up-list.csv").read_bytes()
    again = CliRunner().invoke(app, [*words, "--accept"])
    assert again.exit_code == 0, again.output
    assert (tmp_path / "put-up-list former 1.csv").read_bytes() == first


@pytest.mark.parametrize(
    ("days", "said"),
    [(7, "the 7 days of them beside the book are too few days to speak of a year"), (0, ""), (365, "BOOK AND MENUS")],
)
def test_menus_too_short_to_speak_are_said_to_be_so(by_menus, days, said):
    paper = Paper()
    write_season(paper, season_shown(make_season(by_menus(days), SeasonAsked(seconds=2))))
    text = " ".join(paper.text().split())
    assert ("Menus:" in text) == (days == 7)
    assert said in text
    assert ("52 qt 37 qt" in text) == (days == 365)
