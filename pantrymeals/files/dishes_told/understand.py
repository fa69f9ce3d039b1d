"""A dish against one larder: each line is taken, kept as a note, or asked about."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.files.amounts import KnownProducts, content_of, read_options
from pantrymeals.files.dishes_told.ingredient import IngredientSaid, Measured, read_ingredient
from pantrymeals.files.dishes_told.measure import figure, in_product
from pantrymeals.files.dishes_told.names import alike, is_seasoning, products_meant
from pantrymeals.files.gathering import fold
from pantrymeals.plans.dish_told import DishAsked, NotedLine, TakenLine, ToldLine
from pantrymeals.records import Measures, Product
from pantrymeals.units import UNITS, take_number, unit_named

NOTE = "note"
_LITTLE = 2 * UNITS["tbsp"][1]
"""Two tablespoons (ml): of what is not kept, so little is a seasoning; of more it is asked."""
_OF_A_HERB = ("clove", "sprig", "leaf", "drop")
_NOT_KEPT = " is kept here: what is taken?"
_SMALL = ("tsp", "tbsp")
Line = TakenLine | NotedLine | DishAsked


class ForWhom(Struct, frozen=True):
    """The larder that a dish is read for. answers: what was answered, by line."""

    known: KnownProducts
    measures: Measures
    answers: Mapping[str, Sequence[str]]


def understand(lines: Sequence[ToldLine], whom: ForWhom) -> tuple[Line, ...]:
    """Every line of a dish as this larder has it."""
    return tuple(_line(line, whom) for line in lines)


def _line(line: ToldLine, whom: ForWhom) -> Line:
    answers = [a.strip() for a in whom.answers.get(line.key, ()) if a.strip()]
    said = read_ingredient(line.written)
    amount = product = ""
    for answer in answers:
        if fold(answer) in (NOTE, "skip"):
            return NotedLine(line.key, line.written, "as you said")
        options, wrong = read_options(answer, whom.known)
        if options and not wrong:
            return _taken(line, said, [o.as_written for o in options], [o.product for o in options], ())
        amount, product = (answer, product) if take_number(answer) else (amount, answer)
    if product:
        said = replace(said, name=product, uncounted=False)
    return _answered(line, said, amount, whom) if amount else _unasked(line, said, whom)


def _answered(line: ToldLine, said: IngredientSaid, amount: str, whom: ForWhom) -> Line:
    """With an amount that was answered: '1 pt', '8 oz by weight'."""
    taken = take_number(amount)
    assert taken is not None
    by_weight = fold(taken[1]) == "oz by weight"
    known = unit_named("oz" if by_weight else taken[1])
    name = next((n for n, unit in UNITS.items() if unit == known and n != "each"), "") if known else ""
    found = products_meant(said.name, said.box, whom.known)
    if len(found.products) == 1 and content_of(found.products[0], taken[1]) is not None:
        only = found.products[0]
        return _taken(line, said, [f"{figure(taken[0])} {taken[1]} {only.name}"], [only.name], ())
    if not name and taken[1].strip():
        example = (
            f"1 {found.products[0].sizes[0].name}"
            if found.products
            else "500 g"
            if whom.measures == "metric"
            else "1 lb"
        )
        return DishAsked(line.key, line.written, f"'{amount}' is no amount of it: how much?", (example, NOTE))
    same = "" if taken[1].strip() or not said.amounts else said.amounts[-1].unit
    content = Measured(taken[0], name or same)
    read = IngredientSaid((Measured(Fraction(1)),), said.name, said.prep, "pack", content) if by_weight else None
    return _unasked(line, read or replace(said, amounts=(content,), high=None, vague="", box="", content=None), whom)


def _unasked(line: ToldLine, said: IngredientSaid, whom: ForWhom) -> Line:
    if said.uncounted:
        return NotedLine(line.key, line.written, "nothing of it is counted")
    if whom.known.find(said.name) is None and is_seasoning(said.name):
        return NotedLine(line.key, line.written, "nothing of it is counted")
    said = _whole_name(said, whom.known)
    found = products_meant(said.name, said.box, whom.known)
    if not found.products and (parts := _alternatives(said.name)):
        return _either(line, said, parts, whom)
    if not found.products:
        return _not_kept(line, said, found.thing, whom)
    if len(found.products) > 1 or found.doubtful:
        names = tuple(p.name for p in found.products[:6])
        asked = f"is it {names[0]}? it is kept otherwise than the line says" if found.doubtful else "which is it?"
        return DishAsked(line.key, line.written, asked, (*names, NOTE))
    return _of_one(line, said, found.products[0], found.guess, whom)


def _whole_name(said: IngredientSaid, known: KnownProducts) -> IngredientSaid:
    """'Tomatoes' and, after a comma, 'crushed' are one name where a product has it so."""
    first, _, rest = said.prep.partition("; ")
    own = known.find(f"{said.name}, {first}") if first else None
    return replace(said, name=own.name, prep=rest) if own else said


def _of_one(line: ToldLine, said: IngredientSaid, product: Product, guess: str, whom: ForWhom) -> Line:
    if not said.amounts:
        return DishAsked(line.key, line.written, f"how much {product.name}?", (f"1 {product.sizes[0].name}", NOTE))
    amount = in_product(said, product, whom.measures)
    if amount.asked:
        return DishAsked(line.key, line.written, amount.asked, (*amount.choices, NOTE))
    guesses = tuple(filter(None, (guess, amount.guess)))
    return _taken(line, said, [f"{amount.text} {product.name}"], [product.name], guesses)


def _either(line: ToldLine, said: IngredientSaid, parts: list[str], whom: ForWhom) -> Line:
    """'1 qt stock or water': what of it is kept, best liked first; the rest stands in the note of the line."""
    read = [_part(part, said) for part in parts]
    lines = [_unasked(line, one, whom) for one in read]
    asked = [found for found in lines if isinstance(found, DishAsked) and not found.asked.endswith(_NOT_KEPT)]
    if asked:
        return asked[0]
    taken = [found for found in lines if isinstance(found, TakenLine)]
    if not taken:
        return _not_kept(line, said, "", whom)
    other = [part for part, found in zip(parts, lines, strict=True) if not isinstance(found, TakenLine)]
    guesses = [guess for found in taken for guess in found.guesses]
    guesses += [f"'or {part}' is kept as a note" for part in other]
    prep = "; ".join(filter(None, (said.prep, *(f"or {part}" for part in other))))
    options, products = [o for t in taken for o in t.options], [p for t in taken for p in t.products]
    return _taken(line, replace(said, prep=prep), options, products, tuple(guesses))


def _part(part: str, said: IngredientSaid) -> IngredientSaid:
    """One of several alternatives: with its own amount, or with that of the line."""
    if take_number(part) is not None:
        return read_ingredient(part)
    return replace(said, name=part)


def _alternatives(name: str) -> list[str]:
    parts = [part.strip() for part in re.split(r"\s+or\s+", name, flags=re.IGNORECASE)]
    return parts if len(parts) > 1 and all(parts) else []


def _not_kept(line: ToldLine, said: IngredientSaid, thing: str, whom: ForWhom) -> Line:
    spoons = all(a.unit in _SMALL and a.number * UNITS[a.unit][1] <= _LITTLE for a in said.amounts[:1])
    if spoons or said.vague in _OF_A_HERB or (not said.amounts and not thing):
        why = "it is not kept here, and little of it is taken" if said.amounts else "no amount stands there"
        return NotedLine(line.key, line.written, why)
    offers = tuple(p.name for p in alike(thing, whom.known)[:4])
    return DishAsked(
        line.key, line.written, f"no {fold(thing or said.name) or 'such thing'}{_NOT_KEPT}", (*offers, NOTE)
    )


def _taken(
    line: ToldLine, said: IngredientSaid, options: list[str], products: list[str], guesses: tuple[str, ...]
) -> TakenLine:
    note = "; ".join(filter(None, (line.under[:1].lower() + line.under[1:], said.prep)))
    return TakenLine(line.key, line.written, tuple(options), tuple(products), note, guesses)
