"""Crops by the week they come in, hours of freezing and drying, and what is to be bought; reckoned here by hand."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction as F
from pathlib import Path

import pytest

from pantrymeals.actions.season import SeasonAsked, answer_of, make_season
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_season
from pantrymeals.records import Lot, Movement
from pantrymeals.season.jar_losses import jar_losses


@pytest.fixture
def sheet_of(asked, a_household, a_product, book_year):
    """The season of a house that eats 57 quarts of tomatoes, 30 birds and 12 quarts of dried apples a year."""
    products = (
        a_product("Tomatoes, crushed", acid="borderline", family="tomato"),
        a_product("Whole chicken", "bird", kind="freezer", acid="", family="chicken"),
        a_product("Dried apples", kind="dry", acid="", family="apple"),
        a_product("Sugar", "lb", kind="dry", acid="", price_usd=F(1)),
    )

    def make(lots=(), **more):
        season = {
            "jars": [{"size": "qt", "empties": "200"}],
            "kitchen_hours": [{"from": "05-01", "to": "12-20", "hours_a_week": "20"}],
            "harvest": [
                {"crop": "tomatoes", "from": "08-03", "to": "08-30", "products": ["Tomatoes, crushed"]},
                {"crop": "birds", "from": "07-18", "to": "09-28", "products": ["Whole chicken"], "from_barn": "yes"},
                {"crop": "apples", "from": "09-07", "to": "09-13", "products": ["Dried apples"]},
            ],
            "history": [
                book_year("Tomatoes, crushed", 2024, 0, 60, 57), book_year("Whole chicken", 2024, 0, 30, 30),
                book_year("Dried apples", 2024, 0, 12, 12),
            ],
            **more,
        }  # fmt: skip
        return make_season(asked(a_household(*products, lots=lots, season=season)), SeasonAsked())

    return make


def by_week(sheet, product):
    return {w.monday: w.loads for w in sheet.fitted.weeks if w.product == product}


def test_a_crop_of_four_weeks_is_never_put_up_before_it_is_in(sheet_of):
    """Nine loads over four whole weeks: by their ends at most 3, 5, 7 and 9 can have come in."""
    weeks, done = by_week(sheet_of(), "Tomatoes, crushed"), 0
    for number, most in enumerate((3, 5, 7, 9)):
        done += weeks.get(date(2026, 8, 3) + timedelta(weeks=number), 0)
        assert done <= most
    assert done == 9


def test_birds_come_on_the_days_they_are_expected(sheet_of):
    expected = ((20, "2026-07-18"), (10, "2026-09-20"))
    days = [{"product": "Whole chicken", "amount": f"{n} bird", "day": d} for n, d in expected]
    assert by_week(sheet_of(expected=days), "Whole chicken") == {date(2026, 7, 13): 20, date(2026, 9, 14): 10}


def test_no_day_has_a_season_of_birds_where_no_day_is_expected(sheet_of):
    """Thirty over eleven weeks: none of them has more than four (73 days, seven to a week, a begun bird counted)."""
    weeks = by_week(sheet_of(), "Whole chicken")
    assert sum(weeks.values()) == 30
    assert max(weeks.values()) <= 4


def test_drying_has_its_hours_in_the_calendar(sheet_of):
    """Twelve quarts at six to a batch are two batches of three hours."""
    sheet = sheet_of(drying={"batch": "6", "hours": "3"})
    assert sheet.fitted.hours_by_week[date(2026, 9, 7)][0] == 6


@pytest.mark.parametrize(
    ("lids", "bought"), [({}, 63), ({"used_last_season": "100", "failed_seals_last_season": "5"}, 67)]
)
def test_lids_for_seals_that_fail_are_bought(sheet_of, lids, bought):
    """63 jars at one seal in twenty that fails: 63 / 0.95 = 66.3, so 67."""
    sheet = sheet_of(lids={"regular": "0", **lids})
    row = next(b for b in sheet.bought if "lids" in b.what)
    assert row.count == bought
    assert ("nothing is written" in row.why) == (bought == 63)


def test_the_book_tells_of_failed_and_broken_before_what_was_written(a_household, a_product):
    home = a_household(a_product("Beans"), season={"lids": {"used_last_season": "10", "failed_seals_last_season": "5"}})
    day = date(2025, 8, 1)
    book = [
        Movement(day, "Beans", "qt", F(190), "put up"),
        Movement(day, "Beans", "qt", F(-4), "spoiled", note="broken"),
    ]
    found = jar_losses(home, book, 10)
    assert (found.failed, found.broken) == (F(10, 200), F(4, 200))
    assert found.lids_for(93) == 100
    assert found.broken_of(93) == 2
    assert jar_losses(home, book[:0], 10).failed == F(1, 2)


def test_sugar_for_what_fits_less_what_is_there(sheet_of):
    takes = [{"of": "Sugar", "each": "1/2 lb", "products": ["Tomatoes, crushed"]}]
    sheet = sheet_of(lots=(Lot("Sugar", "lb", F(10)),), takes=takes)
    row = next(b for b in sheet.bought if b.what == "Sugar")
    assert (row.count, row.cost) == (22, 22)  # 63 jars take 31.5 lb, so 32; ten are there
    assert row.by == min(d.day for d in sheet.fitted.days if d.product == "Tomatoes, crushed")


def test_a_size_that_the_house_counts_none_of_is_said(sheet_of):
    row = next(
        b for b in sheet_of(jars=[{"size": "pt", "empties": "200", "price": "2"}]).bought if b.what == "quart jars"
    )
    assert (row.count, row.cost) == (63, None)
    assert "counts no quart jars of yours" in row.why


def test_seed_by_the_rows_that_stand(sheet_of):
    sheet = sheet_of(
        garden=[{"crop": "tomatoes", "rows": "4", "feet_a_row": "30"}],
        seed=[{"crop": "tomatoes", "sows_feet": "50", "price": "2.50", "by": "03-01"}],
    )
    row = next(b for b in sheet.bought if b.what == "seed of tomatoes")
    assert (row.count, row.by, row.cost) == (3, date(2026, 3, 1), F("7.5"))


MISTAKES = """\
harvest:
  - {crop: tomatoes, from: 08-03, to: 08-30, products: [Tomatoes], each_gives: {Beans: 2}}
takes:
  - {of: Suger, each: 1 lb, products: [Tomatoes]}
seed:
  - {crop: tomatoes, price: 3}
needs:
  - {product: Tomatoes, by: guess}
  - {product: Beans}
lost: {freezer: 1/2}
"""


def test_what_is_wrong_in_the_new_lists_is_said_with_its_line(tmp_path: Path, a_product):
    products = KnownProducts.of([a_product(n) for n in ("Tomatoes", "Beans")] + [a_product("Sugar", "lb", kind="dry")])
    (tmp_path / "season.yaml").write_text(MISTAKES, encoding="utf-8")
    gathering = Gathering()
    read_season(tmp_path / "season.yaml", products, None, gathering)
    said = sorted((m.place.line, m.wrong) for m in gathering.found)
    assert [line for line, _ in said] == [2, 4, 6, 8, 9, 10]
    words = ("no product of this harvest", "Suger", "how much row", "guess", "by book, by menus", "no number of years")
    assert all(word in wrong for word, (_, wrong) in zip(words, said, strict=True))


def test_each_freezer_is_named_with_what_it_has_to_hold(asked, a_household, a_product, book_year):
    """By hand: thirty birds of 2 kg at 1 1/2 litres a kilogram are 90 litres, into the freezer where the newest stands.

    One is left of the old, in the woodshed; the hall's holds 50 of its 100 litres, whatever they be.
    """
    bird = a_product("Whole chicken", "bird", kind="freezer", acid="", family="chicken", grams_per_base=F(2000))
    fish = a_product("Trout", "pack", kind="freezer", acid="", family="trout", grams_per_base=F(400))
    season = {
        "freezers": [
            {"place": "F1", "name": "hall", "litres": "100", "full_now": "0.5"},
            {"place": "F2", "litres": "80", "full_now": "0"},
        ],
        "harvest": [
            {"crop": "birds", "from": "07-18", "to": "09-28", "products": ["Whole chicken"], "from_barn": "yes"},
            {"crop": "fish", "from": "06-18", "to": "06-28", "products": ["Trout"], "from_barn": "yes"},
        ],
        "history": [book_year("Whole chicken", 2024, 0, 30, 30), book_year("Trout", 2024, 0, 10, 10)],
    }
    lots = (Lot("Whole chicken", "bird", F(1), date(2025, 9, 1), where="F2"),)
    sheet = make_season(asked(a_household(bird, fish, lots=lots, season=season)), SeasonAsked())
    put_up = {line.product: line.jars for line in sheet.wanted.lines}
    more = (put_up["Whole chicken"] - 1) * F(3)  # the old one is eaten by then
    found = {place.place: (place.there, place.taken) for place in sheet.places}
    assert found == {"F1": (100, 50), "F2": (80, more), "": (0, put_up["Trout"] * F(3, 5))}
    screen = " ".join(season_answer_text(sheet).split())
    assert "Freezers once the crops are in: F1 (hall) 53 of 106 quarts, F2 " in screen
    assert "of 85 quarts, over full" in screen
    assert "that have no place yet." in screen


def season_answer_text(sheet):
    return answer_of(sheet).text(colour=False)
