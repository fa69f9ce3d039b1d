"""The day the beans come in: forms by what the shelf calls for, within pounds, jars and hours."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.actions.season import make_glut
from pantrymeals.errors import PantryError
from pantrymeals.records import Lot

F = Fraction
SEASON = {
    "jars": [{"size": "qt", "empties": "28"}, {"size": "pt", "empties": "40"}],
    "lids": {"regular": "100", "wide": "0"},
    "harvest": [
        {"crop": "green beans", "from": "08-01", "to": "08-30", "products": ["Green beans", "Dilly beans"]},
        {"crop": "broad beans", "from": "07-01", "to": "07-30", "products": []},
    ],
}


@pytest.fixture
def beans(asked, a_household, a_product, book_year):
    def make(have=0, used=40, **more):
        products = (a_product("Green beans", acid="low"), a_product("Dilly beans", "pt", acid="acidified"))
        history = [book_year("Green beans", 2024, 0, 50, used), book_year("Dilly beans", 2024, 0, 10, 9)]
        lots = (Lot("Green beans", "qt", F(have), date(2025, 8, 1), tested_source="p"),) if have else ()
        return asked(a_household(*products, lots=lots, season={**SEASON, "history": history, **more}))

    return make


def forms(plan):
    return {form.product: form.jars for form in plan.forms}


def test_the_shelf_takes_what_it_calls_for(beans):
    plan = make_glut(beans(), "green beans", "200 lb")
    assert forms(plan) == {"Green beans": 28, "Dilly beans": 9}  # 42 quarts are wanted; 28 empties are there
    assert plan.left_words.startswith(f"{200 - 28 * 2 - 9} lb over: ")
    assert plan.proven


@pytest.mark.parametrize(("pounds", "quarts"), [("14", 7), ("13.9", 0)])
def test_a_load_takes_its_pounds(beans, pounds, quarts):
    plan = make_glut(beans(), "green beans", pounds, "")
    assert forms(plan).get("Green beans", 0) == quarts


def test_a_full_shelf_calls_for_none(beans):
    plan = make_glut(beans(have=60), "green beans", "60 lb")
    assert "Green beans" not in forms(plan)
    why = dict(plan.passed_over)["Green beans"]
    assert "60 quarts there, 40 used a year" in why


def test_bushels_are_weighed_by_the_table(beans):
    assert make_glut(beans(), "green beans", "2 bushels").lb == 60


def test_hours_bind(beans):
    plan = make_glut(beans(), "green beans", "60 lb", "2")
    assert sum(form.loads for form in plan.forms) == 1


def test_low_acid_and_pickles_have_their_cautions(beans):
    codes = {c.number for c in make_glut(beans(), "green beans", "200 lb").cautions}
    assert {"C2", "C25", "C9", "C10", ""} <= codes


@pytest.mark.parametrize(
    ("crop", "amount", "words"),
    [
        ("beans", "60 lb", "did you mean broad beans or green beans?"),
        ("pumpkins", "60 lb", "season.yaml has no harvest like it"),
        ("green beans", "lots", "is not an amount such as"),
        ("green beans", "2 crates", "say it in pounds"),
        ("green beans", "0 lb", "is not an amount such as"),
    ],
)
def test_what_is_not_understood_is_said_plainly(beans, crop, amount, words):
    with pytest.raises(PantryError, match=words.replace("?", r"\?")):
        make_glut(beans(), crop, amount)
