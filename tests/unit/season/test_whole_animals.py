"""What comes with a whole animal comes with it, wanted or not; how many animals is reckoned here by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.season.years_ahead import years_ahead

GIVES = {"Pork chops": "12", "Bacon": "20", "Liver": "4"}


@pytest.fixture
def list_of(asked, a_household, a_product, book_year):
    """The list of a house that eats twenty of bacon a year, no liver, and so many packs of chops."""

    def make(chops):
        cuts = [a_product(name, "piece", kind="freezer", acid="", family="pork") for name in GIVES]
        used = {"Pork chops": chops, "Bacon": 20, "Liver": 0}
        season = {
            "harvest": [
                {"crop": "pigs", "from": "11-14", "to": "11-20", "products": list(GIVES), "from_barn": "yes",
                 "each_gives": GIVES},
            ],
            "history": [book_year(name, 2024, 0, max(4, n), n) for name, n in used.items()],
        }  # fmt: skip
        return put_up_list(asked(a_household(*cuts, season=season)))

    return make


@pytest.mark.parametrize(
    ("chops", "pigs"),
    [
        (12, 1),
        (29, 1),  # one pig leaves 17 lacking, of the 36 pieces that another would bring less than half
        (30, 2),  # it leaves 18 lacking: half of another
        (48, 3),  # two leave 24 lacking
    ],
)
def test_another_animal_is_taken_where_half_of_it_would_be_missed(list_of, chops, pigs):
    made = list_of(chops)
    assert {line.product: line.jars for line in made.lines} == {name: pigs * int(n) for name, n in GIVES.items()}
    assert made.none == ()


def test_what_lacks_and_what_is_not_wanted_is_said(list_of):
    why = {line.product: line.why for line in list_of(29).lines}
    assert why["Pork chops"].endswith(
        "12 pieces, what comes with one of the pigs; 17 pieces more would be wanted, too little for one more"
    )
    assert "none of it is wanted: give, barter or make it over" in why["Liver"]


def test_no_animal_for_a_little_bacon(asked, a_household, a_product, book_year):
    """Six pieces are less than half of what a pig brings: none is taken, and it is said of the bacon."""
    cuts = [a_product(name, "piece", kind="freezer", acid="", family="pork") for name in GIVES]
    season = {
        "harvest": [{"crop": "pigs", "from": "11-14", "to": "11-20", "products": list(GIVES), "each_gives": GIVES}],
        "history": [book_year("Bacon", 2024, 0, 6, 6)],
    }
    made = put_up_list(asked(a_household(*cuts, season=season)))
    assert {line.product: line.jars for line in made.lines} == {}
    assert any(name == "Bacon" and "too little for a whole" in why for name, why in made.none)


def test_drawn_years_go_by_whole_animals_as_the_list_does(asked, a_household, a_product, book_year):
    """A steady table of twenty of bacon a year, by hand: 29 packs of chops a year are one pig, 17 packs short in every
    year; 30 are two (18 lack after one, half of another), still six short, and forty of bacon with them."""
    found = {}
    for chops in (29, 30):
        cuts = [a_product(name, "piece", kind="freezer", acid="", family="pork") for name in GIVES]
        season = {
            "harvest": [{"crop": "pigs", "from": "11-14", "to": "11-20", "products": list(GIVES), "from_barn": "yes",
                         "each_gives": GIVES}],
            "history": [book_year(name, 2024, 0, n, n) for name, n in (("Pork chops", chops), ("Bacon", 20))],
        }  # fmt: skip
        question = replace(asked(a_household(*cuts, season=season)), spread=0.0)
        ahead = years_ahead(question, 10, paths=3)
        found[chops] = (
            {row.product: row.years_out for row in ahead.products},
            next(r.packs for r in ahead.reserves if r.words == "as the list has it"),
        )
    assert found[29] == ({"Pork chops": 10.0, "Bacon": 0.0}, 32.0)
    assert found[30] == ({"Pork chops": 10.0, "Bacon": 0.0}, 64.0)
