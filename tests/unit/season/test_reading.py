"""season.yaml: every mistake with its line, and every figure in its place."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from pantrymeals.actions.season import question_of, without_meant
from pantrymeals.errors import MistakesInFiles, PantryError
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_season as parsed
from pantrymeals.season.reading import read_season

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


def test_every_mistake_comes_at_once_with_its_line(tmp_path, a_household, a_product):
    (tmp_path / "season.yaml").write_text(WRONG, encoding="utf-8")
    data = parsed(tmp_path / "season.yaml", Gathering())
    home = a_household(a_product("Peas"), season=data)
    with pytest.raises(MistakesInFiles) as caught:
        question_of(replace(home, folder=str(tmp_path)))
    said = [str(m) for m in caught.value.mistakes]
    assert said == [
        "season.yaml:2:25: empties: 'some' is not a number; such as 12, 0.5 or 1/2",
        "season.yaml:4:23: kind: 'steam' is not one of boiling, pressure",
        "season.yaml:4:42: a load of qt holds at least one jar",
        "season.yaml:6:24: from: '06-31' is not a yearly day; such as 08-01",
        "season.yaml:6:52: products should be a list; such as [Green beans, Dilly beans]",
        "season.yaml:8:31: one_year_in should be more than 1; such as 3 for one year in three",
        "season.yaml:10:5: Peas, 2024: more left the shelf than was on it (6 too many)",
        "season.yaml:12:40: full_now: 1.5 is more than full (1)",
        "season.yaml:13:10: service: 2 is not between 0 and 1; such as 0.85",
        "season.yaml:14:9: garden should be a list; write one item to a line, each after a dash",
    ]


def test_an_empty_season_is_no_mistake():
    facts, mistakes = read_season({})
    assert not mistakes
    assert facts.harvests == ()
    assert facts.service == 0.85


def test_figures_land_in_their_place():
    facts, mistakes = read_season(
        {
            "jars": [{"size": "qt", "empties": "148", "out": "14"}],
            "shelves": [{"place": "N1", "metres": "2.4", "rows_deep": "3", "tiers": "2"}],
            "freezers": [{"litres": "340", "full_now": "0.5"}],
            "garden": [{"crop": "peas", "rows": "4", "feet_a_row": "30"}],
            "trees": [{"crop": "apples", "count": "5"}, {"crop": "apples", "count": "6"}],
            "harvest": [{"crop": "peas", "from": "06-28", "to": "07-12", "products": ["Peas"], "wild": "yes"}],
        }
    )
    assert not mistakes
    assert facts.empties == {"qt": 148}
    assert facts.shelf_mm == 14400
    assert facts.free_litres == 170
    assert facts.grounds[0].row_ft == 120
    assert facts.trees == {"apples": 11}
    assert not facts.harvests[0].grown


@pytest.mark.parametrize(
    ("words", "field", "value"),
    [
        ("300 quart empties", "jars", {"qt": 300}),
        ("12 half-pints", "jars", {"hp": 12}),
        ("5 half-gallon jars", "jars", {"half-gal": 5}),
        ("100 flats", "flats", 100),
        ("50 lids", "flats", 50),
        ("4 hours a week", "hours_a_week", 4),
        ("40 ft of row", "row_ft", 40),
        ("50 litres of freezer", "litres", 50),
    ],
)
def test_what_a_season_may_be_without(words, field, value):
    assert getattr(without_meant([words]), field) == value


@pytest.mark.parametrize("words", ["quarts", "300", "-3 quarts", "300 elephants"])
def test_nonsense_is_no_what_if(words):
    with pytest.raises(PantryError, match="300 quart empties"):
        without_meant([words])


def test_what_ifs_add_up():
    assert without_meant(["100 quarts", "50 qt"]).jars == {"qt": 150}
    assert without_meant([]).hours_a_week == Fraction(0)
