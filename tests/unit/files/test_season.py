"""season.yaml: every mistake with its line, every figure in its place, and the hours free for batch days."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_season
from pantrymeals.records import FreeHours, Product, Size, StorePlace
from pantrymeals.season_facts import ExpectedCrop, SeasonFacts, WrittenYear
from pantrymeals.units import UNITS

QT = UNITS["qt"][1]
KNOWN = KnownProducts.of(
    Product(name, "x", "jar", "ml", (Size("qt", QT), Size("pt", QT / 2)), also_called=called)
    for name, called in (("Peas", ()), ("Pears", ()), ("Tomatoes, crushed", ("crushed tomatoes",)))
)
PLACES = (StorePlace("N1", "north wall", "pantry"), StorePlace("F1", "upright", "freezer"))


def read(folder: Path, text: str) -> tuple[SeasonFacts, tuple[FreeHours, ...], list[str]]:
    (folder / "season.yaml").write_text(text, encoding="utf-8")
    gathering = Gathering()
    facts, free = read_season(folder / "season.yaml", KNOWN, PLACES, gathering)
    return facts, free, [str(mistake) for mistake in sorted(gathering.found)]


def told(folder: Path, text: str) -> list[str]:
    return read(folder, text)[2]


WRONG = """\
jars:
  - {size: qt, empties: some}
canners:
  - {name: big, kind: steam, holds: {qt: 0}}
harvest:
  - {crop: peas, from: 06-31, to: 07-12, products: Peas}
failure_odds:
  - {crop: peas, one_year_in: 1}
history:
  - {product: Peas, season: 2024, carried_over: 1, put_up: 2, given_or_lost: 0, used: 9}
freezers:
  - {place: F1, litres: 100, full_now: 1.5}
service: 2
garden: none
"""


def test_every_mistake_comes_at_once_with_its_line(tmp_path: Path) -> None:
    assert told(tmp_path, WRONG) == [
        "season.yaml:2:25: 'some' is not a number; write one such as 2, 1/2 or 0.5",
        "season.yaml:4:23: 'steam' will not do here; write one of: boiling, pressure",
        "season.yaml:4:42: 0 is not more than 0; write a number more than 0",
        "season.yaml:6:24: '06-31' is not a day of the year; write month and day, such as 05-25",
        "season.yaml:6:52: 'products' should be a list; such as [Green beans, Dilly beans]",
        "season.yaml:8:31: '1' should be more than 1; write 3 for one year in three",
        "season.yaml:10:5: Peas, 2024: more left the shelf than was on it (6 too many); look over the four figures",
        "season.yaml:12:40: '1.5' is more than 1, the whole; write a share such as 0.5",
        "season.yaml:13:10: '2' is not between 0 and 1; write a share such as 0.85",
        "season.yaml:14:9: 'garden' should be a list; write one item to a line, each after a dash",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("harvests: []\n", "season.yaml:1:1: 'harvests' is not known for the season's file; did you mean 'harvest'?"),
        (
            "harvest:\n  - {crop: peas, from: 06-28, to: 07-12, products: [Paes]}\n",
            "season.yaml:2:53: 'Paes' is not in products.csv; did you mean 'Peas'?",
        ),
        (
            "harvest:\n  - {crop: peas, from: 06-28, to: 07-12, products: [Peas], wyld: yes}\n",
            "season.yaml:2:60: 'wyld' is not known for a harvest; did you mean 'wild'?",
        ),
        (
            "in_jars_besides: [Tomatoes crushed]\n",
            "season.yaml:1:19: 'Tomatoes crushed' is not in products.csv; did you mean 'Tomatoes, crushed'?",
        ),
        (
            "history:\n  - {product: Paers, season: 2024, carried_over: 1, put_up: 2, used: 1}\n",
            "season.yaml:2:15: 'Paers' is not in products.csv; did you mean 'Pears'?",
        ),
        ("jars:\n  - {size: qrt, empties: 3}\n", "season.yaml:2:12: 'qrt' is no size of a jar; did you mean 'qt'?"),
        (
            "garden:\n  - {crop: pears, rows: 1, feet_a_row: 9}\nfailure_odds:\n  - {crop: paers, one_year_in: 3}\n",
            "season.yaml:4:12: 'paers' is no crop of harvest, garden or trees; did you mean 'pears'?",
        ),
        (
            "shelves:\n  - {place: N11, metres: 2}\n",
            "season.yaml:2:13: 'N11' is not a place of household.yaml; did you mean 'N1'?",
        ),
        (
            "expected:\n  - {product: Peas, amount: 3 lb, day: 2026-06-28}\n",
            "season.yaml:2:29: Peas is kept in qt, pt, not in lb; write an amount such as 1 qt",
        ),
        (
            "season_2025:\n  - {product: Peas, size: hp, used: 1}\n",
            "season.yaml:2:27: Peas does not come in 'hp'; it comes in qt, pt",
        ),
        (
            "season_2024:\n  - {product: Peas, size: qt, usd: 1}\nseason_2025: []\n",
            "season.yaml:2:31: 'usd' is not known for a product's season; did you mean 'used'?",
        ),
        (
            "load_records:\n  - {day: 2025-05-20, product: Pes, jars_in: 16, loads: 2}\n",
            "season.yaml:2:32: 'Pes' is not in products.csv; did you mean 'Peas'?",
        ),
        ("lids: {regulr: 3}\n", "season.yaml:1:8: 'regulr' is not known for 'lids'; did you mean 'regular'?"),
    ],
)
def test_an_unknown_name_is_said_with_the_nearest(tmp_path: Path, text: str, said: str) -> None:
    assert told(tmp_path, text) == [said]


def test_an_empty_season_is_no_mistake(tmp_path: Path) -> None:
    for text in ("", "harvest: []\n", "notes_of_mine:\n"[:0]):
        facts, free, said = read(tmp_path, text)
        assert (facts, free, said) == (SeasonFacts(), (), [])
    assert facts.service == 0.85


def test_figures_land_in_their_place(tmp_path: Path) -> None:
    text = """\
jars: [{size: qt, empties: 148, out: 14, note: counted}, {size: pt, out: 3}]
lids: {regular: 310, wide: 54, wide_share: 1/4}
in_jars_besides: [peas]
shelves: [{place: n1, metres: 2.4, rows_deep: 3, tiers: 2}]
freezers: [{litres: 340, full_now: 0.5}, {litres: 100}]
garden: [{crop: Peas, rows: 4, feet_a_row: 30}]
trees: [{crop: pears, count: 5, hoped_lb: 50}, {crop: Pears, count: 6, hoped_lb: 10}]
harvest: [{crop: peas, from: 06-28, to: 07-12, products: [PEAS, Crushed  tomatoes], wild: yes}]
history: [{product: peas, season: 2024, carried_over: 1, put_up: 9, given_or_lost: 2, used: 5}]
season_2024: [{product: Pears, size: qt, used: 1}]
season_2025:
  - {product: Peas, size: pt, carried_over: {2023: 2, 2024: 1/2}, put_up: [{day: 2025-07-01, count: 8}], a_week_now: 0}
expected: [{product: Pears, amount: 3 pt, day: 2026-09-10}]
servings: [{product: Peas, a_week: 2, weeks: 30, cups: 1/2}]
"""
    facts, _, said = read(tmp_path, text)
    assert said == []
    assert (facts.empties, facts.out) == ({"qt": 148}, {"qt": 14, "pt": 3})
    assert (facts.flats, facts.wide_share) == ({"regular": 310, "wide": 54}, Fraction(1, 4))
    assert facts.jars_besides == ("Peas",)
    assert (facts.shelf_mm, facts.free_litres) == (14400, 270)
    (harvest,) = facts.harvests
    assert (harvest.crop, harvest.products, harvest.grown) == ("peas", ("Peas", "Tomatoes, crushed"), False)
    assert (facts.grounds[0].crop, facts.grounds[0].row_ft) == ("peas", 120)
    assert facts.tree_lb == {"pears": 60}
    assert facts.years == (WrittenYear("Peas", 2024, Fraction(1), Fraction(9), Fraction(2), Fraction(5)),)
    assert facts.years[0].carried_out == 3
    (running,) = facts.this_season
    assert (running.product, running.size, running.carried_over) == ("Peas", "pt", Fraction(5, 2))
    assert (running.made, running.a_week_now) == (((date(2025, 7, 1), Fraction(8)),), 0)
    assert facts.expected == (ExpectedCrop("Pears", 3 * QT / 2, date(2026, 9, 10)),)
    assert facts.servings == {"Peas": (2, 30, Fraction(1, 2))}


def hours(folder: Path, text: str) -> list[tuple[str, int, tuple[int, int], tuple[int, int]]]:
    return [(r.weekday, r.minutes, r.first, r.last) for r in read(folder, text)[1]]


def test_weekdays_hours_and_the_part_of_the_year(tmp_path: Path) -> None:
    text = "batch_hours:\n  - {weekday: Sat, hours: 5, from: 01-01, to: 04-30}\n  - {weekday: Mon-Tue, hours: 2 1/2}\n"
    assert told(tmp_path, text) == []
    assert hours(tmp_path, text) == [
        ("Sat", 300, (1, 1), (4, 30)),
        ("Mon", 150, (1, 1), (12, 31)),
        ("Tue", 150, (1, 1), (12, 31)),
    ]


def test_none_written_is_none(tmp_path: Path) -> None:
    assert hours(tmp_path, "service: 0.8\n") == []
    assert hours(tmp_path, "") == []


def test_slips_are_said_with_their_place(tmp_path: Path) -> None:
    text = (
        "batch_hours:\n"
        "  - {weekday: Caturday, hours: 5}\n"
        "  - {weekday: Sat, hours: 25}\n"
        "  - {weekday: Sat}\n"
        "  - {weekday: Sat, hours: 5, until: 04-30}\n"
    )
    said = told(tmp_path, text)
    assert [place.split(" ")[0] for place in said] == [
        "season.yaml:2:15:",
        "season.yaml:3:27:",
        "season.yaml:4:5:",
        "season.yaml:5:30:",
    ]
    assert "not a day of the week" in said[0]
    assert "more hours than a day has" in said[1]
    assert "needs 'hours'" in said[2]
    assert "'until' is not known" in said[3]
    assert [row[:2] for row in hours(tmp_path, text)] == [("Sat", 0), ("Sat", 300)]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        (
            "jars:\n  - {size: qt, empties: 4}\n  - {size: qt, empties: 9}\n",
            "3:12: 'qt' stands in 'jars' twice (first on line 2)",
        ),
        (
            "servings:\n  - {product: Peas, a_week: 1, weeks: 2, cups: 1}\n"
            "  - {product: peas, a_week: 2, weeks: 2, cups: 1}\n",
            "3:15: 'peas' stands in 'servings' twice (first on line 2)",
        ),
        (
            "history:\n  - {product: Peas, season: 2023, carried_over: 1, put_up: 2, given_or_lost: 0, used: 1}\n"
            "  - {product: Peas, season: 2023, carried_over: 1, put_up: 9, given_or_lost: 0, used: 1}\n",
            "3:15: 'Peas' stands in 'history' twice (first on line 2)",
        ),
    ],
)
def test_what_can_count_only_once_is_not_written_twice(tmp_path: Path, text: str, wrong: str) -> None:
    assert told(tmp_path, text) == [f"season.yaml:{wrong}; keep one"]
