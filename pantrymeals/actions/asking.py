"""Understands what a cook types about a menu: a day, a pin, a dish to leave out, a place to swap."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from difflib import get_close_matches
from typing import cast

from pantrymeals.book.names import every_kind, meant, nearest
from pantrymeals.errors import NotUnderstood
from pantrymeals.menu.request import Pin
from pantrymeals.records import MEALS, ROLES, WEEKDAYS, WEEKDAYS_IN_FULL, Household, MealName, Product, Role
from pantrymeals.words import either, fold

_LETTERS_TO_BE_SURE = 3
"""A letter or two name no dish, even where only one begins with them."""


def day_meant(text: str, first: date, days: int) -> date:
    """'Sun', 'Sunday' or '2026-01-25' as a day of the menu of ``days`` days from ``first``.

    Raises NotUnderstood when it is no day, or not one of the menu's.
    """
    word = text.strip()
    try:
        day = date.fromisoformat(word)
    except ValueError:
        day = _first_weekday(word, first)
    if not first <= day < first + timedelta(days=days):
        last = first + timedelta(days=days - 1)
        raise NotUnderstood(f"{word} is not in this menu, which runs from {first} to {last}")
    return day


def _first_weekday(word: str, first: date) -> date:
    short = word[:3].title()
    if len(word) < 3 or short not in WEEKDAYS or not WEEKDAYS_IN_FULL[WEEKDAYS.index(short)].startswith(word.title()):
        raise NotUnderstood(f"'{word}' is not a day; write a weekday such as Sun, or a date such as {first}")
    return first + timedelta(days=(WEEKDAYS.index(short) - first.weekday()) % 7)


def day_and_meal(text: str, first: date, days: int) -> tuple[date, MealName | None]:
    """'Thu', 'Thu lunch' or '2026-01-25 supper': the day, and the meal where one is said. Every option reads them so.

    Raises NotUnderstood when a word of it is neither.
    """
    words = text.split()
    if not 1 <= len(words) <= 2:
        raise NotUnderstood(f"'{text.strip()}' is no day and meal; write 'Thu', 'Thu lunch' or '{first} supper'")
    return day_meant(words[0], first, days), meal_meant(words[1]) if len(words) == 2 else None


def when_and_what(text: str) -> tuple[str, str]:
    """The two sides of 'Sun: Trout cakes' or 'Thu lunch=10', whichever mark comes first; the second '' without one."""
    found = re.search(r"[:=]", text)
    return (text[: found.start()].strip(), text[found.end() :].strip()) if found else (text.strip(), "")


def dish_meant(household: Household, text: str) -> str:
    """The dish of that name, without regard to case or doubled spaces; or the one dish that has words
    beginning with each word said: 'beef roast' for Sunday beef roast.

    Raises NotUnderstood with the nearest names when there is none, or with all that fit: a slip of the pen
    is asked about, never guessed.
    """
    wanted = fold(text)
    by_plain = {fold(name): name for name in household.dishes}
    if wanted in by_plain:
        return by_plain[wanted]
    fitting = meant(text, dict.fromkeys(household.dishes, ()), surely=True)
    if len(fitting) == 1 and len(wanted) >= _LETTERS_TO_BE_SURE:
        return fitting[0]
    if fitting:
        raise NotUnderstood(
            f"'{text.strip()}' can be more than one dish; did you mean {either(_few(sorted(fitting)))}?"
        )
    near = [by_plain[n] for n in get_close_matches(wanted, by_plain, n=3, cutoff=0.55)]
    tail = f"; did you mean {either(near)}?" if near else "; nor is there a name like it"
    raise NotUnderstood(f"there is no dish called '{text.strip()}'{tail}")


def product_meant(household: Household, text: str) -> str:
    """The product of that name or second name, or the one that has words beginning with each word said.

    Raises NotUnderstood with the nearest names, or with all that fit.
    """
    names = {name: product.also_called for name, product in household.products.items()}
    fitting = meant(text, names, surely=True)
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise NotUnderstood(
            f"'{text.strip()}' can be more than one product; did you mean {either(_few(list(fitting)))}?"
        )
    near = nearest(text, names, 3)
    tail = f"; did you mean {either(near)}?" if near else ""
    raise NotUnderstood(f"there is no product called '{text.strip()}'{tail}")


def kinds_meant(products: Mapping[str, Product], text: str) -> tuple[str, ...]:
    """Every product that the words speak of, by name, second name or family: 'tomatoes' in jars, as sauce and as salsa.

    A family that the catalogue lends for its figures alone is no name of it: tomato chutney is in the family of apple
    chutney, and no apples. Raises NotUnderstood with the nearest names where there is none.
    """
    called = {name: (*product.also_called, *_own_family(product)) for name, product in products.items()}
    found = every_kind(text, called) if len(text.strip()) >= _LETTERS_TO_BE_SURE else ()
    if not found:
        near = nearest(text, called, 3)
        tail = f"; did you mean {either(near)}?" if near else ""
        raise NotUnderstood(f"there is no product or family called '{text.strip()}'{tail}")
    return found


def _own_family(product: Product) -> tuple[str, ...]:
    """Its family, unless the catalogue lent it one of several words of which the first is in no name of it."""
    first, *more = product.family.casefold().split() or [""]
    names = " ".join((product.name, product.thing, *product.also_called)).casefold()
    lent = "family" in product.from_catalogue and more and first not in names
    return () if lent else (product.family,)


def taken_for(household: Household, texts: Iterable[str]) -> tuple[str, ...]:
    """ "'beef roast' is taken as Sunday beef roast", for each dish named by a part of its name."""
    named = [(text.strip(), dish_meant(household, text)) for text in texts]
    return tuple(f"'{text}' is taken as {name}" for text, name in named if fold(text) != fold(name))


def pin_meant(household: Household, text: str, first: date, days: int) -> Pin:
    """'Sun: Sunday roast chicken' or '2026-01-25 supper: Trout cakes' as a pin.

    Raises NotUnderstood, saying which part was not understood.
    """
    when, dish = when_and_what(text)
    if not dish or not 1 <= len(when.split()) <= 2:
        raise NotUnderstood(f"'{text}' is not a pin; write 'Sun: dish', or '{first} supper: dish'")
    day, meal = day_and_meal(when, first, days)
    return Pin(day, dish_meant(household, dish), meal)


def bans_meant(household: Household, texts: Iterable[str]) -> frozenset[str]:
    """The dishes to leave out, by any casing of their names."""
    return frozenset(dish_meant(household, text) for text in texts)


def plate_meant(text: str, first: date, days: int) -> tuple[date, MealName, Role]:
    """'Tue supper main', 'Tue main' or 'Tue lunch' as the day, meal and role of one dish of the menu.

    Raises NotUnderstood when a word of it is no day, meal or role.
    """
    words = text.split()
    if not 2 <= len(words) <= 3:
        raise NotUnderstood(f"'{text}' names no dish of the menu; write 'Tue supper main'")
    day = day_meant(words[0], first, days)
    named = [word.lower() for word in words[1:]]
    role = next((word for word in reversed(named) if word in ROLES), None)
    meal = next((word for word in named if word in MEALS), None)
    for word in named:
        if word not in ROLES and word not in MEALS:
            raise NotUnderstood(f"'{word}' is neither a meal ({either(MEALS)}) nor a role ({either(ROLES)})")
    if role is None:
        role = "main"
    if meal is None:
        meal = role if role in MEALS else "supper"
    return day, meal, role


def meal_meant(word: str) -> MealName:
    """'Supper' as a meal. Raises NotUnderstood."""
    if word.lower() not in MEALS:
        raise NotUnderstood(f"'{word}' is not a meal; write {either(MEALS)}")
    return cast(MealName, word.lower())


def _few(names: list[str], most: int = 6) -> list[str]:
    """No more names than a person reads, and how many others there are."""
    return names if len(names) <= most else [*names[: most - 1], f"{len(names) - most + 1} others"]
