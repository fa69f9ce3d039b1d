"""Which caution at which moment."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.book.moments import when_pulled, when_put_up
from pantrymeals.cautions import CAUTIONS
from pantrymeals.cli.main import app
from tests.unit.book.kitchen import BEANS_1, BEANS_2, PRODUCTS, a_book, on_shelf, pantry

BY_NAME = {product.name: product for product in PRODUCTS}


@pytest.mark.parametrize(
    ("name", "size", "source", "failed", "altitude", "numbers"),
    [
        ("Applesauce", "qt", "page 12", 0, 500, ("C9",)),
        ("Applesauce", "qt", "page 12", 0, 1000, ("C9",)),
        ("Applesauce", "qt", "page 12", 0, 1001, ("C7", "C9")),
        ("Applesauce", "qt", "page 12", 0, None, ("C7", "C9")),
        ("Applesauce", "qt", "", 1, 500, ("C1", "C10", "C9")),
        ("Green beans", "qt", "page 31", 0, 500, ("C2", "C9")),
        ("Green beans", "qt", "", 0, 2750, ("C1", "C2", "C14", "C7", "C9")),
        ("Tomatoes, crushed", "qt", "page 32", 0, 500, ("C3", "C9")),
        ("Apple juice", "half-gal", "page 12", 0, 500, ("C5", "C9")),
        ("Rhubarb, cut", "qt bag", "", 0, None, ()),
    ],
)
def test_cautions_as_a_lot_is_written_down(
    name: str, size: str, source: str, failed: int, altitude: int | None, numbers: tuple[str, ...]
) -> None:
    assert when_put_up(BY_NAME[name], size, source, failed, altitude) == numbers


def test_cautions_as_jars_are_pulled() -> None:
    sourced, unknown = a_book(on_shelf(BEANS_1, 7)), a_book(on_shelf(BEANS_1, 7), on_shelf(BEANS_2, 7))
    assert when_pulled(pantry(), sourced, ["Green beans"]) == ("C11",)
    assert when_pulled(pantry(), unknown, ["Green beans"]) == ("C11", "C14")
    assert when_pulled(pantry(), unknown, ["Applesauce"]) == ("C11",), "the jars without a source are not pulled"
    assert when_pulled(pantry(), unknown, ["Bread flour"]) == ()


def test_pickles_and_what_needs_advice_as_they_are_put_up() -> None:
    pickles = replace(BY_NAME["Applesauce"], name="Dill pickles", acid="acidified")
    assert when_put_up(pickles, "qt", "page 3", 0, 500) == ("C25", "C9")
    venison = replace(BY_NAME["Green beans"], name="Venison chunks")
    assert when_put_up(venison, "qt", "page 2", 0, 500) == ("C2", "C29", "C9")


@pytest.mark.parametrize(("acid", "contents", "due"), [
    ("low", "", True), ("acidified", "", True), ("borderline", "", True), ("high", "", False), ("high", "salty", True),
])  # fmt: skip
def test_the_salt_of_a_jar_where_somebody_is_to_have_little(acid: str, contents: str, due: bool) -> None:
    jar = replace(BY_NAME["Applesauce"], name="Jar", acid=acid, contents=frozenset(contents.split()))  # type: ignore[arg-type]
    assert ("C24" in when_put_up(jar, "qt", "page 3", 0, 500, True)) == due
    assert "C24" not in when_put_up(jar, "qt", "page 3", 0, 500, False)


HOUSE = """household: Tiny
today: 2026-01-17
people: [{name: Ada, born: 1980-01-01, must_not: [salty]}]
meals: {supper: {roles: [main]}}
places: [{code: N1, name: north wall, kind: pantry}]
altitude_ft: 2750
"""
STOCK = """product,kind,acid,sizes
Applesauce,jar,high,qt
Green beans,jar,low,qt
Dill pickles,jar,acidified,qt
Venison chunks,jar,low,qt
"""


def test_each_caution_is_whole_the_first_time_it_is_due_in_a_command_that_day_and_short_after(tmp_path: Path) -> None:
    """What each command says is told here by hand, from the table alone: W whole, s short."""
    (tmp_path / "household.yaml").write_text(HOUSE)
    (tmp_path / "products.csv").write_text(STOCK)
    evening = (
        ("put-up 7 qt applesauce --source p.12", {"C7": "W", "C9": "W"}),
        ("put-up 7 qt green beans --source p.31", {"C2": "W", "C24": "W", "C7": "s", "C9": "s"}),
        ("put-up 7 qt green beans", {"C1": "W", "C2": "s", "C14": "W", "C24": "s", "C7": "s", "C9": "s"}),
        (
            "put-up 6 qt dill pickles --source p.3 --failed 1",
            {"C25": "W", "C10": "W", "C24": "s", "C7": "s", "C9": "s"},
        ),
        ("put-up 2 qt venison chunks --source p.4", {"C2": "s", "C29": "W", "C24": "s", "C7": "s", "C9": "s"}),
        ("pull 1 qt applesauce", {"C11": "W"}),
        ("pull 1 qt green beans", {"C11": "s", "C14": "W"}),
        ("pull 1 qt green beans", {"C11": "s", "C14": "s"}),
        ("open applesauce", {"C11": "W", "C15": "W"}),
        ("open applesauce", {"C11": "s", "C15": "s"}),
        ("hold source p.3", {"C30": "W"}),
        ("hold source p.31", {"C30": "s"}),  # p.3 is not p.31: these are still there
        ("put-up 7 qt applesauce --source p.12 --day 2026-01-18", {"C7": "W", "C9": "W"}),
    )
    for number, (words, due) in enumerate(evening):
        said = " ".join(CliRunner().invoke(app, [*words.split(), "--larder", str(tmp_path)]).output.split())
        for code, caution in CAUTIONS.items():
            told = {"W": f"{code} {caution.words}", "s": f"{code} {caution.short}"}
            found = [how for how, text in told.items() if text in said]
            assert found == [due[code]] if code in due else found == [], (number, words, code, said)
