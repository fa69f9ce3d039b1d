"""`explain files`: every column and key that a household may write stands there, and what stands there can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from msgspec.structs import asdict
from typer.testing import CliRunner

from pantrymeals.actions.explain import files_explained
from pantrymeals.cli.main import app
from pantrymeals.files import calendar, dish_fields, household_yaml, products, season_fields, standing, stock
from pantrymeals.files.gathering import Gathering
from pantrymeals.records import HouseRules, Measures

TEXT = files_explained()


@pytest.mark.parametrize(
    "names",
    [
        products.COLUMNS, stock.STOCK_COLUMNS, stock.OPEN_COLUMNS, standing.COLUMNS, household_yaml.FIELDS,
        household_yaml.RULES, household_yaml.PERSON, dish_fields.DISH, dish_fields.BATCH, dish_fields.USE,
    ],
)  # fmt: skip
def test_every_column_and_key_is_explained(names: tuple[str, ...]) -> None:
    lacking = [name for name in names if not re.search(rf"\b{re.escape(name)}\b", TEXT)]
    assert lacking == []


def test_every_file_is_named() -> None:
    files = ("products.csv", "stock.csv", "open.csv", "standing.csv", "household.yaml", "calendar.yaml", "season.yaml")
    for file in (*files, "recipes/"):
        assert f"**{file}" in TEXT, file
    assert calendar.FILE in TEXT
    assert standing.FILE in TEXT


def test_the_example_of_season_has_every_list_that_is_read() -> None:
    blocks = [yaml.safe_load(b) for b in re.findall(r"```yaml\n(.*?)```", TEXT, re.DOTALL)]
    example = next(b for b in blocks if isinstance(b, dict) and "harvest" in b)
    assert {"jars", "canners", "freezers", "harvest", "garden", "failure_odds", "history"} <= set(example)
    for name, (_, keys) in season_fields.LISTS.items():
        row = next(line for line in TEXT.splitlines() if line.startswith(f"- `{name}`"))
        assert set(re.findall(r"`(\w+)`", row)) == {name, *keys}


US_ONLY = re.compile(
    r"\b(?:[\d/]+ (?:qt|pt|hp|lb|gal|feet)|size: (?:qt|pt)|feet_a_row|hoped_lb|altitude_ft|sows_feet)\b|,hp,|,qt,"
)
METRIC_ONLY = re.compile(r"\b(?:\d+ (?:kg|g|l|ml)|metres_a_row|hoped_kg|altitude_m|sows_metres)\b")


def blocks_of(text: str) -> str:
    """The examples in blocks, without remarks and without what is weighed the same everywhere."""
    blocks = re.findall(r"```(?:yaml|csv)\n(.*?)```", text, re.DOTALL)
    return "\n".join(line.partition(" #")[0] for block in blocks for line in block.splitlines())


def test_examples_are_in_the_households_own_measures() -> None:
    us, metric = blocks_of(files_explained("us")), blocks_of(files_explained("metric"))
    assert len(US_ONLY.findall(us)) >= 20
    assert METRIC_ONLY.findall(us) == []
    assert len(METRIC_ONLY.findall(metric)) >= 15
    assert US_ONLY.findall(metric) == []


def test_where_no_household_is_known_both_stand_there() -> None:
    for line in ("`left` is an amount (`1/2 qt` or `500 ml`)", "altitude_ft: 2750            # or altitude_m: 840",
                 "  - 2 qt Chicken stock       # or 2 l", "Green beans,qt,14,2026-08-03,\n"):  # fmt: skip
        assert line in TEXT
    for text in (TEXT, files_explained("us"), files_explained("metric")):
        assert "[[" not in text.replace("[[Mon", "")
        assert "|" not in text


@pytest.mark.parametrize("measures", ["us", "metric", None])
def test_every_example_can_be_read_as_yaml(measures: Measures | None) -> None:
    blocks = re.findall(r"```yaml\n(.*?)```", files_explained(measures), re.DOTALL)
    assert len(blocks) == 4
    assert all(isinstance(yaml.safe_load(block), dict) for block in blocks)


@pytest.mark.parametrize(
    ("written", "has", "has_not"),
    [("measures: metric\n", "500 ml Chicken", "1 pt Chicken"), ("measures: us\n", "1 pt Chicken", "500 ml Chicken"),
     ("people: nobody\n", "1 pt Chicken", "500 ml Chicken")],
)  # fmt: skip
def test_a_households_own_measures_are_known_even_from_a_file_with_mistakes(
    tmp_path: Path, written: str, has: str, has_not: str
) -> None:
    (tmp_path / household_yaml.FILE).write_text(written, encoding="utf-8")
    done = CliRunner().invoke(app, ["explain", "files", "--larder", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert has in done.output
    assert has_not not in done.output


def test_the_example_of_house_rules_is_read_as_every_rule_of_the_household(tmp_path: Path) -> None:
    block = next(b for b in re.findall(r"```yaml\n(.*?)```", TEXT, re.DOTALL) if b.startswith("household:"))
    (tmp_path / household_yaml.FILE).write_text(block.replace("stretch: 0.25", "stretch: 1/2").replace("0.45", "0.4"))
    gathering = Gathering()
    sheet = household_yaml.read_household_yaml(tmp_path / household_yaml.FILE, gathering)
    assert (sheet is not None, len(gathering)) == (True, 0)
    none = HouseRules()
    assert sheet is not None
    assert [name for name, said in asdict(sheet.rules).items() if said == getattr(none, name)] == []


def test_the_command_prints_it_without_a_household(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["explain", "files", "--larder", str(tmp_path)])
    assert done.exit_code == 0
    assert done.output == TEXT
