"""Pictures: real SVG and PNG without script, the same bytes each time; what they draw is what the tables say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from io import BytesIO
from xml.etree import ElementTree

import jsonschema
import pytest
from altair.vegalite.v6.schema.core import load_schema
from msgspec.structs import replace
from PIL import Image

from pantrymeals.actions.run_out import Chance, run_out
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.forecast.course import course, hungry_gap
from pantrymeals.larder.book_history import lines_of, shelf_days
from pantrymeals.plans.book import ShelfDay
from pantrymeals.plans.outlook import Course, FamilyWeek, Forecast
from pantrymeals.plans.season import SeasonWeek
from pantrymeals.reports.pictures.draw import GREY, INK, LIGHT, PALE, Picture, drawn
from pantrymeals.reports.pictures.menus import evenness_picture
from pantrymeals.reports.pictures.outlook import board_picture, course_picture, gap_picture
from pantrymeals.reports.pictures.stores import season_picture, shelf_picture
from pantrymeals.reports.terminal.run_out_forecast import gap_runs
from tests.unit.reports.sheets import small_sheet

TODAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def larder(demo_folder) -> Larder:
    return open_with_book(demo_folder, TODAY, TODAY)


@pytest.fixture(scope="module")
def forecast(larder: Larder) -> Forecast:
    return run_out(larder, Chance(paths=400))


@pytest.fixture(scope="module")
def tomatoes(larder: Larder, forecast: Forecast) -> Course:
    return course(larder.household, larder.pace, forecast, "Tomatoes, crushed", paths=400)


def small_pictures() -> Iterator[Picture]:
    sheet = small_sheet()
    yield evenness_picture(sheet.household, sheet.plan)
    yield board_picture(sheet.forecast)
    yield gap_picture([FamilyWeek("bean", TODAY, 0, 1, ("Käse & <Ærø>",))], 'the "crème" house')
    yield gap_picture([], "nobody")
    yield board_picture(replace(sheet.forecast, rows=()))
    yield shelf_picture("Beans", "qt", [ShelfDay(TODAY, Fraction(3), Fraction(3))])
    yield shelf_picture("Beans", "qt", [])
    yield season_picture("2026", [SeasonWeek(TODAY, Fraction(3), Fraction(9, 2), 2, 14)])
    yield season_picture("2026", [])


@pytest.mark.parametrize("picture", list(small_pictures()), ids=lambda p: p.said[:20])
def test_a_picture_is_a_picture_that_says_what_it_shows(picture: Picture) -> None:
    made = drawn(picture, ".svg")
    assert drawn(picture, ".svg") == made
    root = ElementTree.fromstring(made)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == picture.said
    text = made.decode()
    assert not re.search(r"<script|javascript:|https?://(?!www\.w3\.org)", text)
    width, height = Image.open(BytesIO(drawn(picture, ".png"))).size
    assert width > 200
    assert height > 60


@pytest.mark.parametrize("picture", list(small_pictures()), ids=lambda p: p.said[:20])
def test_a_chart_is_what_another_library_calls_well_formed(picture: Picture) -> None:
    """Vega-Lite's own schema, as altair carries it; the drawing program passes over what it does not know."""
    judge = jsonschema.Draft7Validator(load_schema())
    assert judge.is_valid(dict(picture.chart))
    assert not judge.is_valid({**picture.chart, "titel": "x"})


def test_a_long_name_stands_whole_on_the_board(forecast: Forecast) -> None:
    name = "Great-aunt's crème of Ærø quinces, put up by the back window in the year of the great frost, two shelves"
    row = next(row for row in forecast.rows if row.on_hand > 0)
    assert name.encode() in drawn(board_picture(replace(forecast, rows=(replace(row, product=name),))), ".svg")


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definition of 'relative luminance')."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definition of 'contrast ratio')."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_words_and_marks_are_told_from_what_lies_behind_them() -> None:
    """WCAG 2.2: 1.4.3 asks 4.5:1 of words, 1.4.11 asks 3:1 of marks that carry meaning."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    for behind in ("#ffffff", PALE, LIGHT):
        assert contrast(INK, behind) >= 4.5
    assert contrast(GREY, "#ffffff") >= 4.5
    assert contrast(GREY, LIGHT) >= 3


def test_every_colour_is_a_grey(tomatoes: Course) -> None:
    """So that a photocopy and the colour-blind lose nothing."""
    found = set(re.findall(r"#[0-9a-fA-F]{6}\b", drawn(course_picture(tomatoes), ".svg").decode()))
    assert found
    assert all(colour[1:3] == colour[3:5] == colour[5:] for colour in found)


def test_a_course_begins_with_what_is_there_and_ends_where_its_row_says(tomatoes: Course) -> None:
    row, points = tomatoes.row, tomatoes.points
    first = points[0]
    assert first.low == first.middle == first.high == first.planned == row.on_hand - row.reserve
    for point in points:
        assert point.low <= point.middle <= point.high
    for value, out in (("middle", row.as_eaten.out), ("low", row.as_eaten.out_early), ("planned", row.as_planned.out)):
        gone = next(p.day for p in points if getattr(p, value) <= 0)
        # a week between points, and a week more in which a rest stands that is less than a go takes
        assert abs((gone - out).days) <= 14


def test_a_book_too_young_says_what_its_line_rests_on(larder: Larder) -> None:
    young = replace(larder, book=())
    seen = run_out(young, Chance(paths=200))
    found = course(larder.household, young.pace, seen, "Green beans", paths=200)
    assert found.row.told_by == ("your own years",)
    assert b"as you have been eating" not in drawn(course_picture(found), ".svg")
    assert b"by what is known so far" in drawn(course_picture(found), ".svg")


def test_the_hungry_gap_is_where_the_run_out_leaves_one(larder: Larder, forecast: Forecast) -> None:
    weeks = hungry_gap(larder.household, forecast)
    rows = {row.product: row for row in forecast.rows}
    for week in weeks:
        assert week.there + len(week.gone) == week.kinds
        for product in week.gone:
            row = rows[product]
            assert row.leading().out < week.day
            assert row.must_last_to is None or row.must_last_to <= TODAY or week.day < row.must_last_to
    (coffee,) = [run for run in gap_runs(weeks) if run.family == "coffee" and not run.part]
    out = rows["Coffee"].leading().out
    assert timedelta(0) < coffee.day - out <= timedelta(days=7)
    assert timedelta(0) <= coffee.until - rows["Coffee"].must_last_to < timedelta(days=7)


def test_the_board_has_every_product_that_is_there_and_may_be_eaten(forecast: Forecast) -> None:
    text = "".join(ElementTree.fromstring(drawn(board_picture(forecast), ".svg")).itertext())
    for row in forecast.rows:
        if row.leading().mark not in ("held", "not on menus") and row.on_hand:
            assert f"{row.product}, " in text
        elif row.leading().mark == "held":
            assert f"{row.product}, " not in text


def test_the_shelf_ends_with_what_is_on_hand(larder: Larder) -> None:
    lines = lines_of(larder.household.products, larder.book)
    for name in ("Green beans", "Tomatoes, crushed", "Honey"):
        days = shelf_days(lines[name])
        assert days[-1].there == sum(line.amount for line in lines[name])
        assert all(day.there >= 0 for day in days)
