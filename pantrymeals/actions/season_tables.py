"""Reads the published tables that come with the program (copies of printed figures, each with its source)."""

from __future__ import annotations

from functools import cache

from pantrymeals.actions.food_tables import per_person_plans
from pantrymeals.packaged import rows
from pantrymeals.season.yields import CropName, Tables, canning_yields, garden_yields


@cache
def season_tables() -> Tables:
    """Canning and garden yields, the names products go by in them, and the jar sizes that were tested."""
    names = {
        row["product"]: CropName(
            row["product"], row["canning_product"], row["canning_form"], row["garden_crop"], row["tested_as"]
        )
        for row in rows("put_up_crops.csv")
    }
    tested = {
        row["product"]: (row["acid"], tuple(s.strip() for s in row["tested_sizes"].split(";")))
        for row in rows("tested_sizes.csv")
    }
    canning, garden = canning_yields(rows("canning_yields.csv")), garden_yields(rows("garden_yields.csv"))
    return Tables(canning, garden, names, tested, per_person_plans())
