"""A menu as JSON for other programs, with its documented schema; and read back, exactly as it was planned.

Amounts stand three ways: in words ('2 qt'), as a number of the base measure (millilitres,
grams or pieces), and as the exact fraction that number rounds.
"""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import asdict, replace
from pydantic.json_schema import GenerateJsonSchema

from pantrymeals import __version__
from pantrymeals.plans.menu import (
    BatchWork,
    BegunUse,
    Fetched,
    ForLater,
    MenuPlan,
    NotSettled,
    Opening,
    PlannedMeal,
    PullList,
    ShareRow,
    Waste,
    WhatClashes,
)
from pantrymeals.plans.outlook import Forecast, LarderCover
from pantrymeals.records import Household
from pantrymeals.reports.json.shape import BESIDE, FORMAT, VERSION, Format, check_days, menu_values
from pantrymeals.reports.json.stored import read_as, schema_of, written
from pantrymeals.reports.sheet import MenuSheet


class Proof(Struct, frozen=True):
    """How good the menu is proven to be; cost and bound are points, less is better.

    bound: no menu under the same rules costs less. gap: (cost - bound) / max(cost, 1). seconds: spent solving.
    pace: the common factor on every even share; 1 or less. parts: the cost, wish by wish.
    """

    cost: float
    bound: float
    gap: float
    seconds: float
    seed: int
    ended: Literal["proven", "time", "work", "stopped"]
    open_roles: int
    pace: Fraction
    parts: tuple[tuple[str, float], ...]


class Verdict(Struct, frozen=True):
    """What the independent checker says of the menu."""

    rules_kept: bool
    broken: tuple[str, ...]


class MenuFile(Struct, frozen=True):
    """A menu with its proof, the checker's verdict, the pull list, run-out, and what nobody reaches.

    clash: why the menu is not whole; null for a whole menu, or when not asked. reckoned_from: the day of the count
    that shelf, run-out and pinches are reckoned from; null: they were counted. food_lasts: how long that is, as it
    heads the sheet; null where it was not asked.
    """

    format: Format
    made_by: str
    household: str
    first: date
    days: int
    meals: tuple[PlannedMeal, ...]
    openings: tuple[Opening, ...]
    begun: tuple[BegunUse, ...]
    fetched: tuple[Fetched, ...]
    for_later: tuple[ForLater, ...]
    waste: tuple[Waste, ...]
    shares: tuple[ShareRow, ...]
    batch_work: tuple[BatchWork, ...]
    not_settled: tuple[NotSettled, ...]
    notes: tuple[str, ...]
    proof: Proof
    verdict: Verdict
    pull: PullList
    run_out: Forecast
    unreachable: tuple[tuple[str, str], ...]
    clash: WhatClashes | None = None
    reckoned_from: date | None = None
    food_lasts: LarderCover | None = None


def schema_text() -> str:
    """The JSON schema of ``menu --json``, with the number of its version."""
    head = {"$schema": GenerateJsonSchema.schema_dialect, "version": VERSION}
    schema = schema_of(MenuFile)
    beside = {"type": "array", "items": {"type": "string"}, "description": "An old count, a day that is past."}
    schema["properties"] = {BESIDE: beside, **schema["properties"]}
    return json.dumps({**head, **schema, "title": FORMAT}, indent=2)


def menu_file(sheet: MenuSheet) -> MenuFile:
    """The sheet in the shape that is written out."""
    return MenuFile(
        format=FORMAT,
        made_by=f"pantrymeals {__version__}",
        household=sheet.household.name,
        proof=Proof(**shared(Proof, sheet.plan)),
        verdict=verdict_of(sheet.broken),
        pull=sheet.pull,
        run_out=sheet.forecast,
        unreachable=sheet.unreachable,
        clash=sheet.clash,
        reckoned_from=sheet.reckoned_from,
        food_lasts=sheet.cover and _to_a_thousandth(sheet.cover),
        **shared(MenuFile, sheet.plan),
    )


def _to_a_thousandth(cover: LarderCover) -> LarderCover:
    """How long the food lasts, in figures that do not hang on the machine that summed them."""

    def rounded(record: Any) -> dict[str, Any]:
        return {name: round(value, 3) for name, value in asdict(record).items() if isinstance(value, float)}

    limiting = tuple(replace(row, **rounded(row)) for row in cover.limiting)
    return replace(cover, limiting=limiting, **rounded(cover))


def verdict_of(broken: tuple[str, ...]) -> Verdict:
    """The checker's verdict, of what it finds wrong."""
    return Verdict(not broken, broken)


def menu_json(sheet: MenuSheet) -> str:
    """The sheet as JSON text, indented, in the order of the schema."""
    return written(menu_file(sheet), sheet.household)


def read_menu_file(text: str) -> MenuFile:
    """The file of a text, checked against the schema.

    Raises PantryError, naming the first place that is wrong, when it is no menu of ours.
    """
    file: MenuFile = read_as(MenuFile, menu_values(text))
    check_days(file.first, file.days, file.meals)
    return file


def plan_in(file: MenuFile) -> MenuPlan:
    """The plan that was written, fractions and all."""
    return MenuPlan(**shared(MenuPlan, file), **shared(MenuPlan, file.proof))


def sheet_in(file: MenuFile, household: Household) -> MenuSheet:
    """Everything that was shown beside the plan; who is at table is not kept in the file."""
    return MenuSheet(
        household, plan_in(file), file.verdict.broken, file.pull, file.run_out, file.unreachable, clash=file.clash,
        reckoned_from=file.reckoned_from, cover=file.food_lasts,
    )  # fmt: skip


def shared(kind: type[Struct], record: Any) -> dict[str, Any]:
    """The fields that ``kind`` has of a record's."""
    return {name: value for name, value in asdict(record).items() if name in kind.__struct_fields__}
