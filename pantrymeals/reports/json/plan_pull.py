"""What a pull needs of a menu's JSON: its days, dishes and openings, read and checked by hand.

The whole file is read by `plan_read.py`; to load its schema takes longer than to pull a week.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import TypeVar, get_args

from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import BatchWork, BegunUse, ChosenUse, DayUse, FromLot, Opening, PlannedDish, PlannedMeal
from pantrymeals.records import MealName, Role

FORMAT = "pantrymeals menu 2"
_EXACT = re.compile(r"\d{1,200}(/\d{1,200})?", re.ASCII)
_Word = TypeVar("_Word", bound=str)
_MEALS: tuple[MealName, ...] = get_args(MealName)
_ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True, slots=True)
class MenuToPull:
    """A menu without its proof: what is cooked on which day, and what is opened for it."""

    first: date
    days: int
    meals: tuple[PlannedMeal, ...]
    openings: tuple[Opening, ...]
    begun: tuple[BegunUse, ...] = ()
    batch_work: tuple[BatchWork, ...] = ()
    household: str = ""

    @property
    def last(self) -> date:
        """The last day of the menu."""
        return self.first + timedelta(days=self.days - 1)


def menu_to_pull(text: str) -> MenuToPull:
    """The menu of a file's text. Raises PantryError, naming the first place that is wrong."""
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        raise _wrong("", "it is not whole JSON") from None
    menu = _Part("", value)
    menu.word("format", (FORMAT,))
    first, days = menu.day("first"), menu.whole("days")
    try:
        first + timedelta(days=days - 1)
    except OverflowError:
        raise _wrong("days", f"{days} is more than the calendar holds") from None
    return MenuToPull(
        first=first,
        days=days,
        meals=tuple(_meal(meal) for meal in menu.parts("meals")),
        openings=tuple(_opening(o) for o in menu.parts("openings")),
        begun=tuple(
            BegunUse(b.text("product"), b.text("size"), b.day("opened"), _uses(b)) for b in menu.parts("begun")
        ),
        batch_work=tuple(
            BatchWork(b.day("day"), b.text("name"), b.whole("times"), "", _chosen(b)) for b in menu.parts("batch_work")
        ),
        household=menu.text("household"),
    )


def _opening(o: _Part) -> Opening:
    lot = o.part("lot")
    return Opening(
        o.day("day"), o.text("product"), o.text("size"), o.whole("count"), o.day_or_none("lifted"),
        o.day_or_none("last"), _uses(o), None if lot is None else _lot(lot),
    )  # fmt: skip


def _uses(part: _Part) -> tuple[DayUse, ...]:
    return tuple((use.day("day"), use.exact("exact")) for use in part.parts("uses"))


def _lot(lot: _Part) -> FromLot:
    where, load = lot.said("where"), lot.said("load")
    return FromLot(where, lot.day_or_none("put_up"), lot.yes("year_only"), load)


def _meal(meal: _Part) -> PlannedMeal:
    dishes = tuple(
        PlannedDish(
            role=dish.word("role", _ROLES),
            dish=dish.text("dish"),
            batches=dish.whole("batches"),
            uses=_chosen(dish),
        )
        for dish in meal.parts("dishes")
    )
    return PlannedMeal(meal.day("day"), meal.word("meal", _MEALS), meal.exact("portions"), dishes)


def _chosen(part: _Part) -> tuple[ChosenUse, ...]:
    return tuple(ChosenUse(use.text("product"), use.exact("exact")) for use in part.parts("uses"))


class _Part:
    """A mapping of the file, and the way to it: 'meals.3.dishes.0'. Each reader raises PantryError."""

    def __init__(self, way: str, value: object) -> None:
        if not isinstance(value, dict):
            raise _wrong(way, "names and values in braces should stand here")
        self._way = way
        self._values: dict[str, object] = value

    def _at(self, name: str) -> str:
        return f"{self._way}.{name}" if self._way else name

    def _value(self, name: str) -> object:
        if name not in self._values:
            raise _wrong(self._at(name), "this is missing")
        return self._values[name]

    def parts(self, name: str) -> Iterator[_Part]:
        """Each mapping of a list."""
        items = self._value(name)
        if not isinstance(items, list):
            raise _wrong(self._at(name), "a list should stand here")
        return (_Part(f"{self._at(name)}.{number}", item) for number, item in enumerate(items))

    def part(self, name: str) -> _Part | None:
        """One mapping, or None where null stands."""
        value = self._value(name)
        return None if value is None else _Part(self._at(name), value)

    def said(self, name: str) -> str:
        """A text, empty or not."""
        value = self._value(name)
        if not isinstance(value, str):
            raise _wrong(self._at(name), f"{_shown(value)} is not a text")
        return value

    def yes(self, name: str) -> bool:
        """True or false."""
        value = self._value(name)
        if not isinstance(value, bool):
            raise _wrong(self._at(name), f"{_shown(value)} is not true or false")
        return value

    def text(self, name: str) -> str:
        """A text that is not empty."""
        value = self._value(name)
        if not isinstance(value, str) or not value.strip():
            raise _wrong(self._at(name), f"{_shown(value)} is not a name")
        return value

    def word(self, name: str, words: Sequence[_Word]) -> _Word:
        """One of some words."""
        value = self._value(name)
        for word in words:
            if word == value:
                return word
        raise _wrong(self._at(name), f"{_shown(value)} is not {' or '.join(words)}")

    def whole(self, name: str) -> int:
        """A whole number, 1 or more."""
        value = self._value(name)
        if not isinstance(value, int) or isinstance(value, bool) or value < 1:
            raise _wrong(self._at(name), f"{_shown(value)} is not a whole number of 1 or more")
        return value

    def day(self, name: str) -> date:
        """A day written as 2026-01-17."""
        value = self._value(name)
        try:
            return date.fromisoformat(value if isinstance(value, str) else "")
        except ValueError:
            raise _wrong(self._at(name), f"{_shown(value)} is not a day") from None

    def day_or_none(self, name: str) -> date | None:
        """A day, or None where null stands."""
        return None if self._value(name) is None else self.day(name)

    def exact(self, name: str) -> Fraction:
        """An amount of nothing or more, as an exact fraction: '3/4'."""
        value = self._value(name)
        try:
            if isinstance(value, str) and _EXACT.fullmatch(value):
                return Fraction(value)
        except ZeroDivisionError:
            pass
        raise _wrong(self._at(name), f"{_shown(value)} is not an exact amount, such as 3/4")


def _shown(value: object) -> str:
    text = " ".join(json.dumps(value, ensure_ascii=False)[:200].split())
    return f"{text[:57]}..." if len(text) > 60 else text


def _wrong(way: str, wrong: str) -> PantryError:
    return PantryError(f"this is not a menu made by `menu --json`: {way or 'the file'}: {wrong}")
