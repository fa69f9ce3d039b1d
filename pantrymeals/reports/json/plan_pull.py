"""What a pull needs of a menu's JSON: its days, meals and openings, read without pydantic.

The whole file is read by `plan.py`; to load pydantic takes longer than to pull a week.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any, Literal, cast, get_args, get_origin, get_type_hints

from pantrymeals.plans.menu import BatchWork, BegunUse, Fetched, ForLater, Opening, PlannedMeal
from pantrymeals.reports.json.shape import (
    LEAST,
    MOST,
    check_days,
    day_in,
    exact_in,
    json_name,
    last_of,
    menu_values,
    pair_names,
    shown,
    wrong,
)


@dataclass(frozen=True, slots=True)
class MenuToPull:
    """A menu without its proof: what is cooked on which day, and what is opened for it."""

    first: date
    days: int
    meals: tuple[PlannedMeal, ...]
    openings: tuple[Opening, ...]
    begun: tuple[BegunUse, ...] = ()
    for_later: tuple[ForLater, ...] = ()
    batch_work: tuple[BatchWork, ...] = ()
    household: str = ""
    reckoned_from: date | None = None
    fetched: tuple[Fetched, ...] = ()

    @property
    def last(self) -> date:
        """The last day of the menu."""
        return last_of(self.first, self.days)


def menu_to_pull(text: str) -> MenuToPull:
    """The menu of a file's text. Raises PantryError, naming the first place that is wrong."""
    menu = cast(MenuToPull, _record(MenuToPull, menu_values(text), ""))
    check_days(menu.first, menu.days, menu.meals)
    return menu


_hints = cache(get_type_hints)


def _record(kind: Any, value: object, way: str) -> object:
    """A record whose fields stand under their names; ``way`` to it: 'meals.3.dishes.0'."""
    names = [(json_name(kind, field.name), _hints(kind)[field.name]) for field in fields(kind)]
    return kind(*_named(names, value, way))


def _named(names: Iterable[tuple[str, Any]], value: object, way: str) -> Iterator[object]:
    if not isinstance(value, dict):
        raise wrong(way, "names and values in braces should stand here")
    for name, kind in names:
        at = f"{way}.{name}" if way else name
        if name not in value:
            raise wrong(at, "this is missing")
        yield _value(kind, value[name], at)


def _value(kind: Any, value: object, way: str) -> object:
    if is_dataclass(kind):
        return _record(kind, value, way)
    origin, inner = get_origin(kind), get_args(kind)
    if origin is tuple:
        if not isinstance(value, list):
            raise wrong(way, "a list should stand here")
        pair = pair_names(way.rsplit(".", 1)[-1], kind)
        ways = [(item, f"{way}.{number}") for number, item in enumerate(value)]
        if pair is not None:
            kinds = tuple(zip(pair, get_args(inner[0]), strict=True))
            return tuple(tuple(_named(kinds, item, at)) for item, at in ways)
        return tuple(_value(inner[0], item, at) for item, at in ways)
    if origin is Literal:
        if value not in inner:
            raise wrong(way, f"{shown(value)} is not {' or '.join(inner)}")
        return value
    if type(None) in inner:
        return None if value is None else _value(inner[0], value, way)
    try:
        return _READERS[kind](value, way.rsplit(".", 1)[-1])
    except ValueError as error:
        raise wrong(way, str(error)) from None


def _text(value: object, name: str) -> str:
    named = name in ("household", "product", "size", "dish", "name")
    if not isinstance(value, str) or (named and not value.strip()):
        raise ValueError(f"{shown(value)} is not a {'name' if named else 'text'}")
    return value


def _whole(value: object, name: str) -> int:
    least = LEAST.get(name, 0)
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= MOST:
        raise ValueError(f"{shown(value)} is not a whole number from {least} to {MOST}")
    return value


def _yes_or_no(value: object, _: str) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{shown(value)} is neither true nor false")
    return value


_READERS: Mapping[type, Callable[[object, str], object]] = {
    str: _text,
    int: _whole,
    bool: _yes_or_no,
    date: lambda value, _: day_in(value),
    Fraction: lambda value, _: exact_in(value),
}
