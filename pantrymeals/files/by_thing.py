"""What a starter dish takes, found in a larder by things of the catalogue: 'stewing meat in a jar', '1 qt Peas'.

A starter dish is written for any larder. A name in it is a thing's, or what several things serve as; the products of
this larder that are such a thing are its options. In a metric kitchen the book is read jar for jar (see ``METRIC``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from pantrymeals.files.amounts import KnownProducts, Lacking, content_of, size_of
from pantrymeals.files.catalogue import Thing, catalogue, named, serving_as
from pantrymeals.files.gathering import Wrong, fold, shown
from pantrymeals.records import Measures, Option, Product
from pantrymeals.units import UNITS, Measure, as_words, take_number, unit_named

METRIC: Mapping[str, tuple[Measure, Fraction]] = {
    "gal": ("ml", Fraction(4000)), "half-gal": ("ml", Fraction(2000)), "qt": ("ml", Fraction(1000)),
    "pt": ("ml", Fraction(500)), "hp": ("ml", Fraction(250)), "cup": ("ml", Fraction(250)),
    "tbsp": ("ml", Fraction(15)), "tsp": ("ml", Fraction(5)), "lb": ("g", Fraction(500)), "oz": ("g", Fraction(30)),
}  # fmt: skip
"""How the starter book is read in a metric kitchen: jar for jar, half a kilo for a pound. Every amount is then some 6
to 10 % more, so a dish keeps its proportions; a 473 ml amount out of a 500 ml jar would leave a spoonful to spoil."""

EXCHANGED = {
    # Groups whose things stand in for one another where a dish names one; True: also where its name speaks of it.
    "flour": True, "cooking fat": True, "sugar": True, "onions": True, "vinegar": True, "eggs": True, "milk": True,
    "bread": True, "any tomatoes": True, "any tomato sauce": True, "potatoes": True, "apples": True, "oats": True,
    "beans in a jar": False, "dry beans": False, "rice": False, "pasta": False, "jam": False, "winter squash": False,
    "ground meat": False, "any pickle": False, "any relish": False,
}  # fmt: skip
_NEAR = Fraction(15, 100)
"""How far an amount that had to be converted may be moved to fall on a quarter of the container."""
_PIECE_UNITS = frozenset({"", "each", "head", "bird", "loaf", "piece", "bulb"})


def options_by_thing(text: str, known: KnownProducts, dish: str, measures: Measures) -> tuple[Option, ...]:
    """The products of a larder that '1 qt Peas' can mean, likest first; raises Lacking where it has none."""
    taken = take_number(text)
    if taken is None:
        raise Wrong(f"{shown(text)} does not begin with an amount")
    words = taken[1].split()
    for start in range(len(words)):
        name, unit = " ".join(words[start:]), " ".join(words[:start]).removesuffix(" of")
        if fold(name) not in named() and fold(name) not in serving_as():
            continue
        options = tuple(_options(taken[0], unit, name, known, dish, measures))
        if options:
            return options
        raise Lacking(name, f"{shown(name)} is not kept here", known=True)
    raise Lacking(taken[1], f"{shown(taken[1])} is not kept here", known=True)


def _options(
    number: Fraction, unit: str, name: str, known: KnownProducts, dish: str, measures: Measures
) -> Iterator[Option]:
    seen: set[str] = set()
    for thing, stand_in in things_meant(name, dish):
        for product in known.by_name.values():
            if product.thing != thing.name or product.name in seen:
                continue
            amount, said = _amount(product, thing, number, unit, measures)
            if amount is not None:
                seen.add(product.name)
                note = f"in place of {name[:1].lower()}{name[1:]}" if stand_in else ""
                yield Option(product.name, amount, said, stand_in, note)


_MEATS = ("venison", "beef", "lamb", "pork", "chicken", "trout", "liver")


def meat_named(dish: str, parts: Iterable[str]) -> str:
    """The meat that a dish is called by, where these alternatives have it: beef never goes by the name of venison."""
    said = fold(dish).split()
    families = {fold(thing.family) for part in parts for thing in _things_in(part)}
    return next((m for m in _MEATS if m in said and any(f.startswith(m) for f in families)), "")


def _things_in(text: str) -> tuple[Thing, ...]:
    words = text.split()
    names = (" ".join(words[start:]) for start in range(len(words)))
    return next((named()[fold(name)] for name in names if fold(name) in named()), ())


def things_meant(name: str, dish: str = "") -> Iterator[tuple[Thing, bool]]:
    """(a thing that a dish's word means, whether it only stands in for it), likest first."""
    exact = catalogue().get(fold(name))
    own = (exact,) if exact else named().get(fold(name), ())
    for thing in (*own, *serving_as().get(fold(name), ())):
        yield thing, False
    for thing in own:
        for group in thing.serves_as:
            if fold(group) in EXCHANGED and (EXCHANGED[fold(group)] or not _named_by(dish, thing, group)):
                yield from ((other, True) for other in serving_as()[fold(group)] if other is not thing)


def _named_by(dish: str, thing: Thing, group: str) -> bool:
    """Whether a dish's own name speaks of the thing: 'noodles with beef' of noodles; then nothing else will do."""
    said = {word.rstrip("s") for word in fold(dish).replace("-", " ").split()}
    words = {word.rstrip("s") for word in fold(thing.name).replace(",", " ").split()}
    return bool(said & (words - {word.rstrip("s") for word in fold(group).split()} - {"canned", "dry", "frozen"}))


def _amount(
    product: Product, thing: Thing, number: Fraction, unit: str, measures: Measures
) -> tuple[Fraction | None, str]:
    """(the amount in the product's base measure, in words); None where the catalogue cannot weigh it."""
    if size_of(product, unit) is not None or unit_named(unit) is None:
        content = content_of(product, unit) or (content_of(product, "") if unit in _PIECE_UNITS else None)
        if content is not None:
            return number * content, f"{as_words(number)} {unit}".strip() + f" {product.name}"
    measure, content = _unit(unit, measures)
    if measure is None:
        return None, ""
    if measure == product.measure:
        return number * content, f"{as_words(number)} {unit} {product.name}"
    grams = thing.grams_per_base(measure)
    own = product.grams_per_base if product.measure != "g" else Fraction(1)
    if grams is None or own is None:
        return None, ""
    exact = number * content * grams / own
    return _handy(exact, product), f"{as_words(number)} {unit} {product.name}, as the catalogue weighs it"


def _unit(unit: str, measures: Measures) -> tuple[Measure | None, Fraction]:
    if unit in _PIECE_UNITS:
        return "each", Fraction(1)
    known = unit_named(unit)
    if known is None:
        return None, Fraction(0)
    name = next((n for n, u in UNITS.items() if u == known), "")
    return METRIC.get(name, known) if measures == "metric" else known


def _handy(amount: Fraction, product: Product) -> Fraction:
    """An amount that was weighed, moved to a near quarter of a container; else to 5 g or ml, or half a piece."""
    content = product.sizes[0].content
    for part in (Fraction(1), Fraction(1, 2), Fraction(1, 4)):
        step = content * part
        near = round(amount / step) * step
        if near > 0 and abs(near - amount) <= _NEAR * amount:
            return near
    step = Fraction(1, 2) if product.measure == "each" else Fraction(5)
    return max(round(amount / step) * step, step)
