"""What the season's commands show: 80 columns, units, cautions, JSON; and the commands themselves."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.actions.season import SeasonAsked, make_glut, make_notes, make_season, season_shown
from pantrymeals.errors import PantryError
from pantrymeals.plans.season import SpanOf
from pantrymeals.records import Lot
from pantrymeals.reports.json.figures import figures_json
from pantrymeals.reports.season_words import jar_count, number, range_words, week_words
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.season import write_season
from pantrymeals.reports.terminal.season_more import write_glut, write_notes
from pantrymeals.words import near_short_day

F = Fraction


@pytest.fixture
def tomatoes(asked, a_household, a_product, book_year):
    def make(**more):
        products = (
            a_product("Tomatoes, crushed", acid="borderline", family="tomato", price_usd=F(4)),
            a_product("Beets, plain", "pt", acid="low", family="beet"),
        )
        season = {
            "jars": [{"size": "qt", "empties": "100"}],
            "kitchen_hours": [{"from": "05-01", "to": "12-20", "hours_a_week": "20"}],
            "harvest": [
                {"crop": "tomatoes", "from": "08-20", "to": "09-15", "products": ["Tomatoes, crushed"]},
                {"crop": "beets", "from": "08-10", "to": "08-25", "products": ["Beets, plain"]},
            ],
            "history": [book_year("Tomatoes, crushed", 2024, 0, 60, 57), book_year("Beets, plain", 2024, 6, 14, 3)],
            **more,
        }
        lots = (Lot("Beets, plain", "pt", F(16), date(2023, 1, 1), True, tested_source="p"),)
        return asked(a_household(*products, lots=lots, season=season))

    return make


def text_of(sheet):
    paper = Paper()
    write_season(paper, season_shown(sheet), full=True)
    return paper.text()


def test_the_report_reads_at_eighty_columns_without_colour(tomatoes):
    text = text_of(make_season(tomatoes(), SeasonAsked()))
    assert max(map(len, text.splitlines())) <= 80
    assert "\x1b" not in text
    assert "63 qt" in text
    assert "57 used a year, none carried over: 63 quarts, 9 loads." in text
    assert "All of it fits" in text
    # 16 pints less 29 weeks of three a year
    assert "Beets, plain: Used 3 in the last full book years; 14 pints will be carried" in text
    assert "Follow a tested recipe, process for your altitude" in text


def test_what_is_missing_is_said_and_what_it_cuts(tomatoes):
    text = text_of(make_season(tomatoes(), SeasonAsked(without=("60 quart empties",))))
    assert "Without: 60 quart empties." in text
    assert re.search(r"5 of 9\b", text)
    assert re.search(r"Tomatoes, crushed +28 qt +\d+ % +quart jars", text)
    assert "A dozen more quarts would bring 14 qt Tomatoes, crushed more." in text
    assert "no better choice exists" in " ".join(text.split())


def test_few_flats_bound_the_season(tomatoes):
    sheet = make_season(tomatoes(lids={"regular": "10", "wide": "4"}), SeasonAsked(flats_to_buy=14))
    assert sheet.fitted.loads["Tomatoes, crushed"] == 4
    assert sheet.fitted.cuts[0].why == "lids"


@pytest.mark.parametrize(("gone", "loads"), [(7, 9), (8, 8), (28, 6)])
def test_a_season_without_some_flats_has_those_that_are_left(tomatoes, gone, loads):
    """Of seventy lids; nine loads of seven take sixty-three, and none is bought."""
    lids = tomatoes(lids={"regular": "60", "wide": "10"})
    sheet = make_season(lids, SeasonAsked(without=(f"{gone} flats",)))
    assert sheet.fitted.loads["Tomatoes, crushed"] == loads
    assert [cut.why for cut in sheet.fitted.cuts] == (["lids"] if loads < 9 else [])


def test_the_json_holds_the_same_figures(tomatoes):
    sheet = make_season(tomatoes(), SeasonAsked())
    data = json.loads(figures_json(wanted=sheet.wanted, fitted=sheet.fitted))
    line = next(item for item in data["wanted"]["lines"] if item["product"] == "Tomatoes, crushed")
    assert (line["loads"], line["load"], line["flats"]) == (9, 7, 63)
    assert line["raw_lb"]["unit"] == "lb"
    assert data["fitted"]["proven"] is True
    assert data["fitted"]["worth"] == data["fitted"]["bound"]


def test_what_no_tested_jar_holds_brings_its_caution(asked, a_household, a_product, book_year):
    names = ["Tomato soup", "Mashed squash", "Salsa"]
    season = {
        "harvest": [{"crop": "x", "from": "08-20", "to": "09-15", "products": names}],
        "history": [book_year(name, 2024, 0, 40, 35) for name in names],
    }
    products = (a_product("Tomato soup", "half-gal"), a_product("Mashed squash"), a_product("Salsa"))
    sheet = make_season(asked(a_household(*products, season=season)), SeasonAsked())
    codes = [c.number for c in sheet.wanted.cautions]
    assert {"C4", "C5", "C6"} <= set(codes)
    assert codes[-1] == "", "the line of every page comes last"


def test_no_harvest_is_said_plainly(asked, a_household, a_product):
    with pytest.raises(PantryError, match="has no harvest"):
        make_season(asked(a_household(a_product("Peas"))), SeasonAsked())


def test_glut_and_notes_read_well(tomatoes):
    question = tomatoes()
    paper = Paper()
    write_glut(paper, make_glut(question, "tomatoes", "53 lb"))
    write_notes(paper, "Tiny", make_notes(question, None))
    text = paper.text()
    assert "53 lb of tomatoes" in text
    assert "14 qt" in text
    assert "notes of the book year 2024-25" in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize(
    ("low", "high", "unit", "words"),
    [
        ("211.75", "242", "lb", "212 to 242 lb"),
        ("231", "231", "lb", "231 lb"),
        ("3.85", "4.53", "bushel", "4 to 4 1/2 bushels"),
        ("0.8", "1", "bushel", "3/4 to 1 bushel"),
        ("0.1", "0.2", "bushel", "1/4 bushel"),
    ],
)
def test_ranges_are_said_as_a_cook_would(low, high, unit, words):
    assert range_words(SpanOf(F(low), F(high), unit, "x")) == words
    assert range_words(SpanOf(F(low), F(high), unit, "x", from_memory=True)) == words + "*"


def test_small_words():
    assert jar_count(3, "piece") == "3 pieces"
    assert jar_count(77, "qt") == "77 qt"
    assert number(F(0)) == "0"
    assert week_words(date(2026, 7, 27)) == "27 Jul-2 Aug"
    assert week_words(date(2026, 7, 20)) == "20-26 Jul"
    assert near_short_day(date(2026, 7, 20), date(2026, 1, 17)) == "Mon 20 Jul"
    assert near_short_day(date(2027, 1, 11), date(2026, 1, 17)) == "Mon 11 Jan 2027"


def run(*words):
    return subprocess.run(
        [sys.executable, "-m", "pantrymeals", *words], capture_output=True, text=True, timeout=120, check=False
    )


@pytest.mark.parametrize("command", ["season", "sitters", "crop-in", "season-notes"])
def test_each_command_says_what_it_is_for(command):
    found = run(command, "--help")
    assert found.returncode == 0
    assert "--larder" in found.stdout


def test_a_wrong_what_if_is_one_line_and_no_traceback(demo_folder):
    found = run("season", "--larder", str(demo_folder), "--without", "300 elephants")
    assert found.returncode == 1
    assert "300 quart empties" in found.stderr
    assert "Traceback" not in found.stderr


def test_notes_of_a_year_as_json(demo_folder):
    found = run("season-notes", "2024", "--larder", str(demo_folder), "--json")
    rows = json.loads(found.stdout)["notes"]["rows"]
    tomatoes = next(r for r in rows if r["record"]["product"] == "Tomatoes, crushed")
    assert (tomatoes["record"]["used"], tomatoes["record"]["put_up"]) == (55, 58)
