"""An ingredient's amount in a product's own measure: exact, weighed by the catalogue and said so, or a question."""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.files.amounts import content_of, size_of
from pantrymeals.files.by_thing import METRIC
from pantrymeals.files.dishes_told.ingredient import IngredientSaid, Measured
from pantrymeals.files.dishes_told.names import thing_of
from pantrymeals.files.gathering import fold
from pantrymeals.records import Measures, Product
from pantrymeals.units import UNITS, as_words
from pantrymeals.words import either, many

_OTHER_SIZE = re.compile(r"(?:extra[- ]large|large|small|big|fat)\b")
_SPOONS = ("cup", "tbsp", "tsp")
_PINTS = ("gal", "half-gal", "qt", "pt", "hp", "fl oz")
_IMPERIAL: dict[str, Fraction] = {
    "gal": Fraction("4546.09"), "half-gal": Fraction("4546.09") / 2, "qt": Fraction("4546.09") / 4,
    "pt": Fraction("4546.09") / 8, "hp": Fraction("4546.09") / 16, "fl oz": Fraction("4546.09") / 160,
}  # fmt: skip
"""The gallon of the United Kingdom is 4.54609 litres by definition (NIST Handbook 44, Appendix C)."""


class InProduct(Struct, frozen=True):
    """An amount as a recipe's file has it ('2 cup'), or what must be asked. guess: what was converted, and how."""

    text: str = ""
    guess: str = ""
    asked: str = ""
    choices: tuple[str, ...] = ()


def in_product(said: IngredientSaid, product: Product, kitchen: Measures) -> InProduct:
    """The amount of a line in a product: of several measures the one that is the product's own, or the kitchen's."""
    if said.high is not None:
        low = said.amounts[-1]
        ends = [in_product(replace(said, amounts=(replace(low, number=n),), high=None), product, kitchen)
                for n in (low.number, said.high)]  # fmt: skip
        if not any(end.guess or end.asked for end in ends):
            return InProduct(f"{figure(low.number)}-{ends[1].text}")  # as a recipe's file has a range
        unit = said.vague or said.box or low.unit
        both = [" ".join(filter(None, (figure(n), low.unit))) for n in (low.number, said.high)]
        return InProduct(asked=f"how much: {both[0]} or {both[1]} {'' if low.unit else unit}".strip() + "?",
                         choices=tuple(both) if not (said.vague or said.box) else ())  # fmt: skip
    if said.vague:
        return _vague(said, product)
    if said.box:
        return _boxed(said, product, kitchen)
    tried = [_one(amount, product, kitchen) for amount in _in_order(said.amounts, kitchen)]
    exact = next((t for t in tried if t.text and not t.guess), None)
    if exact is None and not said.amounts[-1].unit and _OTHER_SIZE.match(said.prep):
        tried = [_no_piece(product)]  # the catalogue weighs one of middling size
    return exact or next((t for t in tried if t.text), tried[0])


def _in_order(amounts: tuple[Measured, ...], kitchen: Measures) -> list[Measured]:
    """A metric kitchen reads '9 oz / 250 g' by its grams; any other by what stands first."""
    metric = [a for a in amounts if a.unit in ("g", "kg", "ml", "l")]
    return [*metric, *(a for a in amounts if a not in metric)] if kitchen == "metric" else list(amounts)


def _vague(said: IngredientSaid, product: Product) -> InProduct:
    number = said.amounts[-1].number
    if size_of(product, said.vague) is not None:
        return InProduct(f"{figure(number)} {said.vague}")
    return InProduct(asked=f"how much {product.name} is {figure(number)} {_many(said.vague, number)}?",
                     choices=(_such_as(product),))  # fmt: skip


def _boxed(said: IngredientSaid, product: Product, kitchen: Measures) -> InProduct:
    number = said.amounts[-1].number
    if said.content is not None:
        content = said.content
        return _one(Measured(number * content.number, content.unit), product, kitchen, of_can=True)
    if (size := size_of(product, said.box)) is not None:
        return InProduct(f"{figure(number)} {size.name}")
    words = [s for s in product.sizes if said.box in fold(s.name).split()]
    jars = product.sizes if said.box == "jar" and product.kind == "jar" else ()
    fits = words or jars
    if len(fits) == 1:
        return InProduct(f"{figure(number)} {fits[0].name}", f"a {said.box} is taken as {fits[0].name}")
    choices = tuple(f"{figure(number)} {s.name}" for s in (fits or product.sizes))
    return InProduct(asked=f"how much {product.name} is {figure(number)} {_many(said.box, number)}?", choices=choices)


def _one(amount: Measured, product: Product, kitchen: Measures, *, of_can: bool = False) -> InProduct:
    number, unit = amount.number, amount.unit
    if not unit:
        return _pieces(number, product, kitchen)
    if kitchen == "metric" and unit in _PINTS and size_of(product, unit) is None:
        here, there = number * UNITS[unit][1], number * _IMPERIAL[unit]
        return InProduct(asked=f"whose {unit} is that, of the United States or of Britain?",
                         choices=(f"{round(here)} ml", f"{round(there)} ml"))  # fmt: skip
    if unit == "oz" and product.measure == "ml" and not of_can:
        return InProduct(asked="ounces by weight, or fluid ounces?",
                         choices=(f"{figure(number)} oz by weight", f"{figure(number)} fl oz"))  # fmt: skip
    measure, content = METRIC[unit] if kitchen == "metric" and unit in _SPOONS else UNITS[unit]
    spoon = f"a {unit} is read as {as_words(content)} ml" if (measure, content) != UNITS[unit] else ""
    if measure == product.measure:
        if spoon:
            return InProduct(f"{figure(number * content)} ml", spoon)
        return InProduct(f"{figure(number)} {unit}")
    read = f" ({figure(number * content)} ml)" if spoon else ""
    return _weighed(amount, measure, content, product, kitchen, read)


def _pieces(number: Fraction, product: Product, kitchen: Measures) -> InProduct:
    if content_of(product, "") is not None:
        return InProduct(figure(number))
    thing = thing_of(product)
    if thing is not None and thing.each_g is not None and product.measure == "g":
        return _near(number * thing.each_g, product, f"{figure(number)} of them", kitchen)
    return _no_piece(product)


def _no_piece(product: Product) -> InProduct:
    sizes = either(s.name for s in product.sizes)
    return InProduct(asked=f"how much {product.name} is that, in {sizes}?", choices=(_such_as(product),))


def _weighed(
    amount: Measured, measure: str, content: Fraction, product: Product, kitchen: Measures, read: str
) -> InProduct:
    """By the catalogue's weight of a cup or a piece: moved to what a kitchen measures, and said."""
    thing = thing_of(product)
    mine = thing.grams_per_base("ml" if measure == "ml" else "g") if thing else None
    own = Fraction(1) if product.measure == "g" else thing.grams_per_base(product.measure) if thing else None
    if mine is None or own is None:
        size = product.sizes[0].name
        said = f"{figure(amount.number)} {amount.unit}"
        return InProduct(asked=f"how much {product.name} is {said}, in {size}?",
                         choices=(_such_as(product),))  # fmt: skip
    said = f"{figure(amount.number)} {amount.unit}{read}"
    return _near(amount.number * content * mine / own, product, said, kitchen)


def _near(base: Fraction, product: Product, said: str, kitchen: Measures) -> InProduct:
    """An amount in the product's base measure, moved to what this kitchen measures, and said to be so."""
    if product.measure == "each":
        unit, step = "", Fraction(1, 2)
    elif kitchen == "metric":
        unit, step = product.measure, Fraction(5)
    elif product.measure == "g":
        unit, step = ("oz", Fraction(1, 2)) if base < UNITS["lb"][1] else ("lb", Fraction(1, 8))
    else:
        unit, step = ("tsp", Fraction(1, 2)) if base < UNITS["cup"][1] / 4 else ("cup", Fraction(1, 8))
    content = UNITS[unit][1] if unit else Fraction(1)
    near = max(round(base / content / step) * step, step)
    text = f"{figure(near)} {unit}".strip()
    return InProduct(text, f"{said} is taken as {text}, as the catalogue weighs it")


def figure(number: Fraction) -> str:
    """Exact: '2 1/3', '0.45' where it is no kitchen fraction but a decimal, else '5/7'."""
    whole, part = divmod(number, 1)
    if not part:
        return str(whole)
    if part.denominator in (2, 3, 4, 6, 8, 12, 16):
        return f"{whole} {part}" if whole else str(part)
    decimal = f"{float(number):.6f}".rstrip("0")
    return decimal if Fraction(decimal) == number else f"{whole} {part}" if whole else str(part)


def _many(word: str, number: Fraction) -> str:
    return word if number <= 1 else many(word)


def _such_as(product: Product) -> str:
    return f"1 {product.sizes[0].name}"
