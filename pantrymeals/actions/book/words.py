"""Understands what is said on the cellar stairs: '2 qt crushed tom', '3 qt applesauce to K'."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.names import meant, nearest
from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import content_of, size_of
from pantrymeals.records import Product, Size
from pantrymeals.reports.words import sized
from pantrymeals.units import take_number

_LONGEST_SIZE_WORDS = 4


class NotUnderstood(PantryError):
    """Something said that names no product, place or amount; the message says what would be right."""


class SeveralFit(PantryError):
    """Several names fit what was said; ``choices`` are they, so that a person can be asked."""

    def __init__(self, said: str, choices: tuple[str, ...], what: str = "product") -> None:
        self.said = said
        self.choices = choices
        listed = "\n".join(f"  {choice}" for choice in choices)
        super().__init__(f"'{said}' can be more than one {what}; say which:\n{listed}")


@dataclass(frozen=True, slots=True)
class Said:
    """So many containers of one size of a product. plain: no number was said, so it is one."""

    product: Product
    size: Size
    count: Fraction
    plain: bool = False

    def __str__(self) -> str:
        return f"{sized(self.count, self.size.name)} {self.product.name}"


def understand(pantry: Pantry, words: str, *, choose: str | None = None) -> Said:
    """An amount of a product: '2 qt crushed tom', '1/2 lb butter', 'raspberry jam' (one).

    choose: the product's own name, once a person has said which of several is meant.
    Raises SeveralFit when two or more products fit, NotUnderstood when none does.
    """
    text = " ".join(words.split())
    taken = take_number(text)
    number, rest = taken if taken is not None else (Fraction(1), text)
    if number <= 0:
        raise NotUnderstood(f"'{text}': say how many, more than nothing")
    said = list(_readings(pantry, rest, choose))
    if not said:
        raise NotUnderstood(_nothing_like(pantry, text, rest))
    product, content, size = said[0]
    if len(said) > 1:
        raise SeveralFit(rest, tuple(p.name for p, _, _ in said))
    return Said(product, size, number * content / size.content, taken is None)


def _readings(pantry: Pantry, rest: str, choose: str | None) -> Iterator[tuple[Product, Fraction, Size]]:
    """(product, what one unit said holds, its container) for the longest size that makes sense.

    A product that comes in the very size said goes before one that could be measured in it.
    """
    words = rest.split()
    products = {p.name: p for p in pantry.known.by_name.values() if choose in (None, p.name)}
    for cut in range(min(_LONGEST_SIZE_WORDS, len(words) - 1), -1, -1):
        unit, name = " ".join(words[:cut]), " ".join(words[cut:]).removeprefix("of ")
        for container in (_its_size, _by_measure):
            able = {n: c for n, p in products.items() if (c := container(p, unit)) is not None}
            if choose is not None:
                found: tuple[str, ...] = tuple(able)
            else:
                found = meant(name, {n: products[n].also_called for n in able})
            if found:
                yield from ((products[n], *able[n]) for n in found)
                return


def _its_size(product: Product, unit: str) -> tuple[Fraction, Size] | None:
    """What the container said holds, of a product that comes in it; its first size when none was said."""
    size = size_of(product, unit) if unit else product.sizes[0]
    return None if size is None else (size.content, size)


def _by_measure(product: Product, unit: str) -> tuple[Fraction, Size] | None:
    """What a unit holds that the product can be measured in: a pint of what stands in quarts."""
    content = content_of(product, unit)
    return None if content is None else (content, product.sizes[0])


def _nothing_like(pantry: Pantry, text: str, rest: str) -> str:
    names = pantry.known.by_name
    near = nearest(rest, names)
    if near:
        listed = "\n".join(f"  {_with_sizes(names[name])}" for name in near)
        return f"nothing in products.csv is called '{rest}'; the nearest are:\n{listed}"
    listed = "\n".join(f"  {_with_sizes(product)}" for product in names.values())
    return f"nothing in products.csv is called '{rest or text}'; there are:\n{listed}"


def _with_sizes(product: Product) -> str:
    return f"{product.name} ({', '.join(size.name for size in product.sizes)})"


def product_meant(pantry: Pantry, words: str) -> Product:
    """The product of a few words, without an amount. Raises SeveralFit or NotUnderstood."""
    return understand(pantry, words).product


def place_meant(pantry: Pantry, words: str) -> str:
    """A place's code, by its code or name: 'n1', 'kitchen press'.

    Raises SeveralFit or NotUnderstood. A household that lists no places may name any.
    """
    said = " ".join(words.split())
    if not pantry.places:
        return said
    exact = [p.code for p in pantry.places if said.casefold() in (p.code.casefold(), p.name.casefold())]
    found = tuple(exact) or meant(said, {p.code: (p.name,) for p in pantry.places})
    if len(found) == 1:
        return found[0]
    if found:
        raise SeveralFit(said, found, "place")
    listed = "\n".join(f"  {place.code}: {place.name}" for place in pantry.places)
    raise NotUnderstood(f"no place of household.yaml is called '{said}'; there are:\n{listed}")


def split_at(words: str, hinge: str) -> tuple[str, str]:
    """'3 qt applesauce to K' at 'to': what stands before its last standing, and after; '' when absent."""
    parts = words.split()
    for number in range(len(parts) - 1, 0, -1):
        if parts[number].casefold() == hinge:
            return " ".join(parts[:number]), " ".join(parts[number + 1 :])
    return " ".join(parts), ""


def put_up_meant(text: str) -> str:
    """A label's day: '2025-10-06', or '2024' for a year alone. Raises NotUnderstood."""
    word = text.strip()
    if len(word) == 4 and word.isdigit():
        return word
    try:
        return date.fromisoformat(word).isoformat()
    except ValueError:
        raise NotUnderstood(f"'{word}' is not a day; write 2025-10-06, or the year alone") from None


def whole_only(said: Said) -> Said:
    """Refuse part of a container where only whole ones make sense. Raises NotUnderstood."""
    if said.product.whole and said.count.denominator != 1:
        raise NotUnderstood(f"{said.product.name} comes in whole {said.size.name}, and this is {said}")
    return said


def all_of(pantry: Pantry, texts: Iterable[str]) -> tuple[Said, ...]:
    """Several amounts, each understood. Raises SeveralFit or NotUnderstood."""
    return tuple(understand(pantry, text) for text in texts)
