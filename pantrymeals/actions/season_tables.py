"""Reads the published tables that come with the program (copies of printed figures, each with its source)."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources

from pantrymeals.actions.food_tables import per_person_plans
from pantrymeals.season.yields import CropName, Tables, canning_yields, garden_yields


def _rows(name: str) -> list[dict[str, str]]:
    with resources.files("pantrymeals").joinpath("data", name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@cache
def season_tables() -> Tables:
    """Canning and garden yields, the names products go by in them, and the jar sizes that were tested."""
    names = {
        row["product"]: CropName(
            row["product"], row["canning_product"], row["canning_form"], row["garden_crop"], row["tested_as"]
        )
        for row in _rows("put_up_crops.csv")
    }
    tested = {
        row["product"]: (row["acid"], tuple(s.strip() for s in row["tested_sizes"].split(";")))
        for row in _rows("tested_sizes.csv")
    }
    canning, garden = canning_yields(_rows("canning_yields.csv")), garden_yields(_rows("garden_yields.csv"))
    return Tables(canning, garden, names, tested, per_person_plans())
