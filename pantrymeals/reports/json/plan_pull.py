"""What a pull needs of a menu's JSON: its days, meals and openings, read without pydantic.

The whole file is read by `plan.py`; to load pydantic takes longer than to pull a week.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any, Literal, cast, get_args, get_origin, get_type_hints

from msgspec import Struct, StructMeta

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


class MenuToPull(Struct, frozen=True):
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
    menu = cast(MenuToPull, _reader(MenuToPull)(menu_values(text), ""))
    check_days(menu.first, menu.days, menu.meals)
    return menu


Reader = Callable[[object, str], object]
"""What makes a value of our own of one of a menu's file; told the way to it: 'meals.3.dishes.0'."""


@cache
def _reader(kind: Any, name: str = "") -> Reader:
    """What reads a value of this kind under a field's name; made once, for a menu has hundreds of a kind."""
    if isinstance(kind, StructMeta):
        hints = get_type_hints(kind)
        its = _in_braces((json_name(kind, name), hints[name]) for name in kind.__struct_fields__)
        return lambda value, way: kind(*its(value, way))
    origin, inner = get_origin(kind), get_args(kind)
    if origin is tuple:
        pair = pair_names(name, kind)
        if pair is not None:
            return _listed(_in_braces(zip(pair, get_args(inner[0]), strict=True)))
        return _listed(_reader(inner[0]))
    if origin is Literal:
        return _one_of(inner)
    if type(None) in inner:
        there = _reader(inner[0], name)
        return lambda value, way: None if value is None else there(value, way)
    read = _READERS[kind]

    def plain(value: object, way: str) -> object:
        try:
            return read(value, name)
        except ValueError as error:
            raise wrong(way, str(error)) from None

    return plain


def _in_braces(kinds: Iterable[tuple[str, Any]]) -> Callable[[object, str], tuple[object, ...]]:
    """Reads the values that stand under these names."""
    readers = [(name, _reader(kind, name)) for name, kind in kinds]

    def read(value: object, way: str) -> tuple[object, ...]:
        if not isinstance(value, dict):
            raise wrong(way, "names and values in braces should stand here")
        found, before = [], f"{way}." if way else ""
        for name, reader in readers:
            if name not in value:
                raise wrong(before + name, "this is missing")
            found.append(reader(value[name], before + name))
        return tuple(found)

    return read


def _listed(each: Reader) -> Reader:
    def read(value: object, way: str) -> object:
        if not isinstance(value, list):
            raise wrong(way, "a list should stand here")
        return tuple(each(item, f"{way}.{number}") for number, item in enumerate(value))

    return read


def _one_of(choices: tuple[Any, ...]) -> Reader:
    def read(value: object, way: str) -> object:
        if value not in choices:
            raise wrong(way, f"{shown(value)} is not {' or '.join(choices)}")
        return value

    return read


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
