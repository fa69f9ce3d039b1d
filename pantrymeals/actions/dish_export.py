"""Dishes go out again: as Recipes of schema.org in JSON-LD."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pantrymeals.actions.asking import dish_meant
from pantrymeals.on_disk import write_safely
from pantrymeals.records import Household
from pantrymeals.reports.json.recipe_ld import recipes_json_ld


def export_dishes(household: Household, file: Path, named: Sequence[str]) -> str:
    """Write some dishes, or all of the household's own, to a file; what to say. Raises PantryError."""
    own = [dish for dish in household.dishes.values() if dish.book == "household"]
    chosen = [household.dishes[dish_meant(household, said)] for said in named] or own
    write_safely(file, recipes_json_ld(household, chosen).encode())
    return f"{len(chosen)} {'dish' if len(chosen) == 1 else 'dishes'} written to {file}."
