"""Which of a product's containers is meant by 'qt', 'jars', '500 ml jar', '4 lb bags': never another than was said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.names import words_of
from pantrymeals.files.amounts import size_of
from pantrymeals.files.csv_tables import read_table
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.records import Product, Size
from pantrymeals.units import Measure, take_number, unit_named

_JARS = frozenset({"jar", "bottle", "can", "tin", "glass"})
_OTHERS = frozenset(
    {"bag", "box", "brick", "bunch", "bushel", "carton", "case", "cob", "crate", "crock", "dozen", "flat", "hank"}
    | {"head", "jug", "loaf", "lug", "pack", "packet", "parcel", "peck", "pot", "roll", "sack", "slab", "slice"}
    | {"stick", "stone", "string", "tray", "tub", "wedge", "wheel", "c"}
)
"""Containers and market measures that people name; each holds only what products.csv says it does. 'c' is a cup."""
_NUMBERED = re.compile(r"^(\d[\d.,/ ]*)-(?=[^\W\d])")
"""The hyphen of '1-qt bags' and '4-lb bag'."""


def sizes_said(product: Product, unit: str) -> tuple[Size, ...]:
    """The containers of a product that a few words can mean; none when it does not come in such.

    'qt', 'quarts'; 'qt jars'; '500 ml', '500 ml jar', '4 lb bags' (by what they hold); 'jars' (all it comes in).
    """
    text = fold(unit).removesuffix(" of")
    own = size_of(product, text)
    if own is not None:
        return (own,)
    head, _, last = text.rpartition(" ")
    container = _single(last)
    if container in _JARS | _OTHERS:
        fitting = tuple(size for size in product.sizes if _is_a(product, size, container))
        if not head:
            return fitting
        own = size_of(product, head)
        return tuple(s for s in fitting if s == own or s.content == _holds(product, head))
    holds = _holds(product, text)
    return tuple(size for size in product.sizes if size.content == holds)


def _holds(product: Product, text: str) -> Fraction | None:
    """What '500 ml', '1-qt' or 'qt' holds in the product's base measure; None where that is no measure of it."""
    measure, content = _measure_said(text) or (None, None)
    return content if measure == product.measure else None


@lru_cache(64)
def _measure_said(text: str) -> tuple[Measure, Fraction] | None:
    """What a measure of these words holds; asked of every product in turn."""
    number, unit = take_number(_NUMBERED.sub(r"\1 ", text)) or (Fraction(1), text)
    known = unit_named(unit)
    return (known[0], number * known[1]) if known else None


def _is_a(product: Product, size: Size, container: str) -> bool:
    if container in map(_single, fold(size.name).replace("-", " ").split()):
        return True
    return container in _JARS and product.kind == "jar"


def _single(word: str) -> str:
    if word.endswith("ves"):
        return word[:-3] + "f"
    if word in ("boxes", "bunches", "glasses"):
        return word[:-2]
    return word[:-1] if word.endswith("s") and len(word) > 2 else word


def names_a_container(pantry: Pantry, text: str) -> bool:
    """Whether these words say in what, and how big, something comes: a unit, a size of any product, 'jars'."""
    word = fold(text).removesuffix(" of")
    head, _, last = word.rpartition(" ")
    if not word or unit_named(word) or _single(word) in _JARS | _OTHERS:
        return bool(word)
    if any(size_of(product, word) for product in pantry.known.by_name.values()):
        return True
    number = take_number(_NUMBERED.sub(r"\1 ", word))
    if number is not None and unit_named(number[1]):
        return True
    return bool(head) and _single(last) in _JARS | _OTHERS and names_a_container(pantry, head)


def is_word_of(product: Product, text: str) -> bool:
    """Whether each of these words is itself a word of the product's name: 'cup' of Cup cakes, but not of Custard."""
    own = {word for name in (product.name, *product.also_called) for word in words_of(name)}
    return set(words_of(text)) <= own


def line_to_add(pantry: Pantry, product: Product, unit: str) -> str:
    """What to write in products.csv so that the product comes in such a container, or a loose one beside it does."""
    size = _as_a_size(fold(unit).removesuffix(" of"))
    heads, row = _own_row(pantry, product)
    known = unit_named(size) or unit_named(size.partition("=")[2].partition(" ")[2])
    if known is None or known[0] == product.measure:
        holds = size if known or "=" in size else f"{size} = (what one holds)"
        sizes = f"{row.get('sizes') or '; '.join(s.name for s in product.sizes)}; {holds}"
        line = f", line {product.place.line}" if product.place.line else ""
        return f"to add it, write this under 'sizes' in products.csv{line}: {sizes}"
    new = {
        "product": f"{product.name}, fresh",
        "sizes": size,
        "loose": "yes",
        "kind": "cellar",
        "family": row.get("family", ""),
    }
    cells = [new.get(head, "") for head in heads]
    while cells and not cells[-1]:
        cells.pop()
    written = ",".join(f'"{cell}"' if "," in cell else cell for cell in cells)
    return f"a line of products.csv that would add what is kept in {size} (put its kind right):\n  {written}"


def _as_a_size(unit: str) -> str:
    """'quarts' as 'qt' where the unit is one we know by another name; '500 ml jar' as '500 ml jar = 500 ml'."""
    number = take_number(_NUMBERED.sub(r"\1 ", unit))
    if number is not None:
        head = number[1].partition(" ")[0]
        known = unit_named(number[1]) or unit_named(head)
        if known:
            return f"{unit} = {unit.partition(head)[0].strip(' -')} {head}"
    head, _, last = unit.rpartition(" ")
    plain = head if head and _single(last) in _JARS and unit_named(head) else unit
    return next((name for name in _UNIT_NAMES if unit_named(name) == unit_named(plain)), _single(plain))


_UNIT_NAMES = ("qt", "pt", "hp", "half-gal", "gal", "lb", "oz", "kg", "g", "l", "ml", "fl oz", "tbsp", "tsp", "each")
"""One name for each unit, the jar's before the cup's."""


def _own_row(pantry: Pantry, product: Product) -> tuple[list[str], Mapping[str, str]]:
    """The headings of products.csv and the product's own cells under them; the documented headings without a file."""
    from pantrymeals.files.products import COLUMNS, FILE, NEEDED

    path = pantry.folder / FILE
    rows = read_table(path, FILE, COLUMNS, NEEDED, Gathering()) if path.exists() else None
    own = next((row for row in rows or () if fold(row.text("product")) == fold(product.name)), None)
    return (list(COLUMNS), {}) if own is None else (list(own.ordinals), own.cells)
