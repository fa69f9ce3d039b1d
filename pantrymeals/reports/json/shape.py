"""The shape of a menu's JSON: its version, and single values checked. Without pydantic, so that a pull is quick.

Version 1 did not say from which lot and on which days a jar is opened, so it cannot be pulled from, and is refused.
Version 2 had whole batches, nothing lifted out for the days after and nothing said not to be settled; it is read as it
stands.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import Any, Literal, NoReturn, get_args, get_origin

from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import ChosenUse, PlannedMeal, Waste

Format = Literal["pantrymeals menu 3"]
FORMAT: Format = "pantrymeals menu 3"
VERSION = int(FORMAT.rpartition(" ")[2])
BESIDE = "beside"
"""The field that says of what day a sheet is, where that lies behind, and that its count is old; not read back."""
EXACT = r"[0-9]{1,200}(/[0-9]{1,200})?"
LEAST = {"days": 1, "count": 1, "times": 1, "open_roles": 0}
"""Whole numbers of a menu that cannot be less, by field."""
MORE_THAN_NOTHING = ("batches",)
"""Exact amounts of a menu that cannot be nothing, by field."""
MOST = 100_000
"""None of them is more in any kitchen; some are counted off one by one."""

_PAIRS = {"empties": ("size", "count"), "unreachable": ("product", "why"), "uses": ("day", "exact")}
"""Fields of records whose pairs stand under names."""

_NAMES: Mapping[tuple[type, str], str] = {(ChosenUse, "amount"): "exact", (Waste, "amount"): "exact"}
_FORMAT = re.compile(r"pantrymeals menu ([1-9]\d{0,8})", re.ASCII)
_EXACT = re.compile(EXACT)
_HALF = re.compile(r"\\u[dD][89a-fA-F]")
"""The first half of a character written in two, or the second: a text without any has no half alone."""
_DEEPEST = 30
"""Braces and brackets within each other; a menu has about ten, a rehearsal two more."""


def menu_values(text: str) -> dict[str, Any]:
    """The plain values of a menu's JSON, in the present shape. Raises PantryError, saying what to do."""
    menu = values_in(text)
    said = menu.get("format")
    found = _FORMAT.fullmatch(said) if isinstance(said, str) else None
    if found is None:
        raise wrong("format", f"{shown(said)} is not {FORMAT}" if "format" in menu else "this is missing")
    if int(found[1]) == VERSION - 1:
        _with_exact_batches(menu)
    elif said != FORMAT:
        newer = int(found[1]) > VERSION
        raise PantryError(
            f"this menu was written by {'a newer' if newer else 'an older'} pantrymeals ({said}), and this one reads "
            f"{FORMAT}: {'bring pantrymeals up to date, or ' if newer else ''}plan it anew with `menu --json`"
        )
    beside = menu.pop(BESIDE, [])
    if not isinstance(beside, list) or not all(isinstance(said, str) for said in beside):
        raise wrong(BESIDE, "a list of sentences should stand here")
    return menu


def _with_exact_batches(menu: dict[str, Any]) -> None:
    """A menu of version 2 in the present shape; what is no such menu is left for its reader to name."""
    menu["format"] = FORMAT
    menu.setdefault("for_later", [])
    menu.setdefault("not_settled", [])
    for meal in _dicts(menu.get("meals")):
        for planned in _dicts(meal.get("dishes")):
            batches = planned.get("batches")
            if type(batches) is int and 0 < batches <= MOST:
                planned["batches"] = str(batches)


def _dicts(value: object) -> list[dict[str, Any]]:
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []


def values_in(text: str) -> dict[str, Any]:
    """What a JSON text holds between its outermost braces. Raises PantryError for what no file of ours is."""
    try:
        value = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise wrong("", "it is not whole JSON") from None
    if not isinstance(value, dict):
        raise wrong("", "names and values in braces should stand here")
    texts = _HALF.search(text) is not None or not _can_be_written(text)
    looked_into = (dict, list, str) if texts else (dict, list)
    layer: list[Any] = [value]
    for _ in range(_DEEPEST):
        if texts and any(isinstance(item, str) and not _can_be_written(item) for item in layer):
            raise wrong("", "it holds half a character (a lone surrogate)")
        within = ([*item, *item.values()] if type(item) is dict else item for item in layer if type(item) is not str)
        layer = [each for items in within for each in items if type(each) in looked_into]
    if layer:
        raise wrong("", f"it is nested more than {_DEEPEST} deep")
    return value


def json_name(kind: type, field: str) -> str:
    """What a record's field is called: its own name, but that of an amount's three ways it is the exact one."""
    return _NAMES.get((kind, field), field)


def pair_names(field: str, kind: Any) -> tuple[str, str] | None:
    """The names under which a field's pairs stand; None where it holds no such pairs."""
    return _PAIRS.get(field) if get_origin(get_args(kind)[0] if get_args(kind) else None) is tuple else None


def exact_in(value: object) -> Fraction:
    """An amount of nothing or more, as an exact fraction: '3/4'. Raises ValueError, saying so."""
    try:
        if isinstance(value, str) and _EXACT.fullmatch(value):
            return Fraction(value)
    except ZeroDivisionError:
        pass
    raise ValueError(f"{shown(value)} is not an exact amount, such as 3/4")


def more_than_nothing(value: object) -> Fraction:
    """An exact amount of more than nothing. Raises ValueError, saying so."""
    if amount := exact_in(value):
        return amount
    raise ValueError(f"{shown(value)} is nothing")


def day_in(value: object) -> date:
    """A day written as 2026-01-17. Raises ValueError, saying so."""
    try:
        day = date.fromisoformat(value if isinstance(value, str) else "")
    except ValueError:
        day = None
    if day is None or day.isoformat() != value:  # Python reads '2026-W03-6' too
        raise ValueError(f"{shown(value)} is not a day")
    return day


def last_of(first: date, days: int) -> date:
    """The last of so many days. Raises PantryError beyond the calendar's end."""
    try:
        return first + timedelta(days=days - 1)
    except OverflowError:
        raise wrong("days", f"{days} is more than the calendar holds") from None


def check_days(first: date, days: int, meals: Iterable[PlannedMeal]) -> None:
    """Raise PantryError for a menu beyond the calendar's end, or a meal on none of its days."""
    last = last_of(first, days)
    for number, meal in enumerate(meals):
        if not first <= meal.day <= last:
            raise wrong(f"meals.{number}.day", f"{meal.day} is none of the menu's days")


def shown(value: object) -> str:
    """A value as JSON, cut where it runs long."""
    text = " ".join(json.dumps(value, ensure_ascii=False)[:200].split())
    return f"{text[:57]}..." if len(text) > 60 else text


def wrong(way: str, what: str) -> PantryError:
    """What to raise of a value; ``way`` to it: 'meals.3.dishes.0'."""
    return PantryError(f"this is not a menu made by `menu --json`: {way or 'the file'}: {what}")


def _no_number(name: str) -> NoReturn:
    raise ValueError(name)


def _can_be_written(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
