"""Reads the published tables that come with the program (copies of printed figures, each with its source)."""

from __future__ import annotations

from functools import cache

from msgspec.structs import replace

from pantrymeals.packaged import rows
from pantrymeals.season.yields import CropName, Tables, canning_yields, garden_yields


@cache
def tested_tables() -> Tables:
    """The jar sizes that were tested, and the names products go by there: all that a lot just put up is asked for."""
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
    return Tables(names=names, tested=tested)


@cache
def season_tables() -> Tables:
    """The same, with canning and garden yields."""
    canning, garden = canning_yields(rows("canning_yields.csv")), garden_yields(rows("garden_yields.csv"))
    return replace(tested_tables(), canning=canning, garden=garden)
