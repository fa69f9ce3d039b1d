"""The list: need, carry-over, reserve, whole loads, and the sentence that says why."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.records import Lot
from pantrymeals.season.put_up_list import put_up_list

F = Fraction
HARVEST = {"crop": "tomatoes", "from": "08-20", "to": "09-15", "products": ["Tomatoes, crushed"]}


def season(book_year, years, **more):
    history = [book_year("Tomatoes, crushed", *y) for y in years]
    return {"harvest": [HARVEST], "history": history, **more}


def the_line(asked, a_household, a_product, data, count=0, **product):
    tomatoes = a_product("Tomatoes, crushed", "qt", acid="borderline", family="tomato", **product)
    lots = (Lot("Tomatoes, crushed", "qt", F(count), date(2025, 9, 2), tested_source="book"),) if count else ()
    found = put_up_list(asked(a_household(tomatoes, lots=lots, season=data)))
    return found.lines[0] if found.lines else found.none[0][1]


def test_the_worked_example_of_the_house(asked, a_household, a_product, book_year):
    data = season(
        book_year,
        [(2023, 8, 62, 58, 2), (2024, 10, 58, 55, 1)],
        failure_odds=[{"crop": "tomatoes", "one_year_in": "3", "still_brings": "1/3"}],
    )
    line = the_line(asked, a_household, a_product, data, count=17)
    assert (line.jars, line.loads, line.flats) == (77, 11, 77)
    assert line.aim in (76, 77)
    assert line.why == "57 used a year, none carried over, one year in three fails: 77 quarts, 11 loads"
    assert line.plain_sum == 76
    assert 200 < line.raw_lb.low < line.raw_lb.high < 250
    assert line.containers_in.low < 4 < line.containers_in.high


def test_a_reliable_crop_needs_no_reserve(asked, a_household, a_product, book_year):
    line = the_line(asked, a_household, a_product, season(book_year, [(2024, 0, 40, 35)]))
    assert (line.aim, line.loads) == (35, 5)


def test_a_crop_that_fails_every_other_year_needs_more_than_the_pencil_rule(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 60, 40, 0)], failure_odds=[{"crop": "tomatoes", "one_year_in": "2"}])
    line = the_line(asked, a_household, a_product, data)
    assert line.plain_sum == 60
    assert line.aim > 60
    assert line.served >= 0.85


def test_a_year_is_skipped_after_a_glut(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 40, 20)])
    why = the_line(asked, a_household, a_product, data, count=60)
    # 60 less 215 days of 20 a year, 11.8, are 48
    assert why == ("used 20 in the last full book years; 48 quarts will be carried over: about 2 years' worth")


def test_the_shelf_is_filled_after_a_dud(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 40, 35)])
    full = the_line(asked, a_household, a_product, data, count=0)
    part = the_line(asked, a_household, a_product, data, count=40)
    assert full.loads > part.loads > 0


def test_what_does_not_keep_is_not_laid_by_against_failure(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 40, 35)], failure_odds=[{"crop": "tomatoes", "one_year_in": "3"}])
    line = the_line(asked, a_household, a_product, data, keeps_months=F(8))
    assert line.aim == 35
    assert "fails" not in line.why


def test_nothing_used_means_nothing_made(asked, a_household, a_product, book_year):
    why = the_line(asked, a_household, a_product, season(book_year, [(2023, 0, 9, 0), (2024, 9, 0, 0)]))
    assert why.startswith("used 0 and 0 in the last full book years")


@pytest.mark.parametrize(
    ("name", "size", "words"),
    [
        ("Tomato soup", "half-gal", "apple and grape juice (C5)"),
        ("Mashed squash", "qt", "freeze it instead (C4)"),
        ("Salsa", "qt", "the largest jar tested for it is the pint (C6)"),
    ],
)
def test_what_no_tested_jar_holds_is_not_planned(asked, a_household, a_product, book_year, name, size, words):
    data = {
        "harvest": [{"crop": "x", "from": "08-20", "to": "09-15", "products": [name]}],
        "history": [book_year(name, 2024, 0, 40, 35)],
    }
    found = put_up_list(asked(a_household(a_product(name, size, acid="acidified"), season=data)))
    assert not found.lines
    assert words in found.none[0][1]


def test_half_gallons_of_apple_juice_may_be_planned(asked, a_household, a_product, book_year):
    data = {
        "harvest": [{"crop": "apples", "from": "09-10", "to": "10-25", "products": ["Apple juice"]}],
        "history": [book_year("Apple juice", 2024, 0, 30, 28)],
    }
    found = put_up_list(asked(a_household(a_product("Apple juice", "half-gal"), season=data)))
    assert found.lines[0].loads == 7


def test_a_held_product_is_not_put_up_again(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 40, 35)])
    held = (Lot("Tomatoes, crushed", "qt", F(5), date(2023, 1, 1), True, state="held"),)
    found = put_up_list(asked(a_household(a_product("Tomatoes, crushed"), lots=held, season=data)))
    assert "held" in found.none[0][1]


def test_servings_stand_in_where_there_is_no_history(asked, a_household, a_product):
    data = {
        "harvest": [HARVEST],
        "servings": [{"product": "Tomatoes, crushed", "a_week": "3", "weeks": "34", "cups": "1/2"}],
    }
    line = the_line(asked, a_household, a_product, data)
    assert (line.need.basis, line.need.a_year, line.loads) == ("servings", 51, 8)


def test_cautions_come_with_the_lines_that_call_for_them(asked, a_household, a_product, book_year):
    data = season(book_year, [(2024, 0, 40, 35)])
    tomatoes = a_product("Tomatoes, crushed", acid="borderline")
    codes = {c.number for c in put_up_list(asked(a_household(tomatoes, season=data))).cautions}
    assert {"C3", "C8", "C9", "C10", ""} <= codes
    assert "C2" not in codes
    assert "C7" not in codes, "500 ft is too low to matter"
