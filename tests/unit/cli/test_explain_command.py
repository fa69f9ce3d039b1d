"""`explain PRODUCT`: which figure came from where, the household's own before the catalogue's."""

from __future__ import annotations

from pathlib import Path

import pytest

from pantrymeals.actions.explain import explain
from pantrymeals.errors import NotUnderstood
from pantrymeals.files.household import read_household

HOUSE = """household: Test
measures: metric
latitude: -38
people: [{name: A}]
meals: {supper: {roles: [main]}}
"""
PRODUCTS = """product,thing,sizes,opened_days
Spuds,potatoes,kg,
Crushed tomatoes,,500 ml jar,3
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "household.yaml").write_text(HOUSE + "today: 2026-04-20\n", encoding="utf-8")
    (tmp_path / "products.csv").write_text(PRODUCTS, encoding="utf-8")
    (tmp_path / "stock.csv").write_text("product,size,count\nSpuds,kg,12\n", encoding="utf-8")
    return tmp_path


def said(folder: Path, words: str) -> dict[str, tuple[str, str]]:
    explained = explain(read_household(folder), folder, words)
    return {figure.column: (figure.said, figure.source) for figure in explained.figures}


def test_own_figures_are_called_own_and_others_by_their_source(folder: Path) -> None:
    found = said(folder, "crushed tom")
    assert found["opened_days"] == ("3", "products.csv, your own")
    assert found["acid"][0] == "borderline"
    assert "AIB 539" in found["acid"][1]
    assert found["best months"][0] == "12"
    assert found["must_last_to"][0] == "2027-01-01"
    assert "January" in found["must_last_to"][1]
    assert "common practice, no published source" in found["must_last_to"][1]
    assert found["food"][0].startswith("11885, tomatoes")


def test_a_longer_opened_life_than_is_published_is_not_called_ones_own(folder: Path) -> None:
    (folder / "products.csv").write_text(PRODUCTS.replace("jar,3", "jar,9"), encoding="utf-8")
    days, source = said(folder, "crushed tomatoes")["opened_days"]
    assert days == "4"
    assert "USDA FSIS" in source


def test_what_is_not_kept_is_told_from_the_catalogue_in_this_kitchens_measures(folder: Path) -> None:
    found = said(folder, "beef chunks")
    assert found["sizes_metric"][0] == "500 ml jar, 1 l jar"
    assert "sizes" not in found
    with pytest.raises(NotUnderstood, match=r"neither products\.csv nor the catalogue has 'beef chukns'"):
        said(folder, "beef chukns")


def test_a_household_of_its_own_figures_alone_has_no_others() -> None:
    demo = Path(__file__).resolve().parents[3] / "demo"
    explained = explain(read_household(demo), demo, "applesauce")
    assert explained.thing == ""
    sources = {figure.column: figure.source for figure in explained.figures}
    assert "USDA FSIS), in place of 7" in sources.pop("opened_days")
    assert set(sources.values()) == {"products.csv, your own"}
