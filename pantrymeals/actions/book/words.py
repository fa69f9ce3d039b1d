"""Understands what is said on the cellar stairs: '2 qt crushed tom', '3 qt applesauce to K'."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.actions.book.containers_said import is_word_of, line_to_add, names_a_container, sizes_said
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.names import meant, nearest
from pantrymeals.errors import NotUnderstood, PantryError
from pantrymeals.files.amounts import content_of
from pantrymeals.records import FIRST_DAY, LAST_DAY, Product, Size
from pantrymeals.reports.words import sized
from pantrymeals.units import take_number, unit_named
from pantrymeals.words import COUNTED

_LONGEST_SIZE_WORDS = 5
_NUMBER_WORDS = {"a": 1, "an": 1, **COUNTED}
_DOZEN = ("dozen", "dozens")
_TIMES = re.compile(r"^[x×]\s*(?=\d)|^[x×]\s+", re.IGNORECASE)
"""The sign in '9 x 500 ml jar'."""


class SeveralFit(PantryError):
    """Several names fit what was said; ``choices`` are they, so that a person can be asked.

    what: product, place or size.
    """

    def __init__(self, said: str, choices: tuple[str, ...], what: str = "product") -> None:
        self.said = said
        self.choices = choices
        self.what = what
        listed = "\n".join(f"  {choice}" for choice in choices)
        super().__init__(f"'{said}' can be more than one {what}; say which:\n{listed}")


class NotInThatSize(NotUnderstood):
    """A product that does not come in what was said.

    instead: as much of it in its first size, where that can be measured, for a person to say yes to. sure: whether the
    words can mean nothing else than as much as that.
    """

    def __init__(self, said: str, instead: Said | None, message: str, *, sure: bool = False) -> None:
        self.said = said
        self.instead = instead
        self.sure = sure
        super().__init__(message)

    def to_look_at(self) -> str:
        """The message where nothing was to be entered."""
        return str(self).replace("; nothing was entered", "")


class Said(Struct, frozen=True):
    """So many containers of one size of a product."""

    product: Product
    size: Size
    count: Fraction

    def __str__(self) -> str:
        return f"{sized(self.count, self.size.name)} {self.product.name}"


def understand(pantry: Pantry, words: str, *, choose: str | None = None, size: str | None = None) -> Said:
    """An amount of a product: '2 qt crushed tom', '9 x 500 ml jar peaches', 'a dozen eggs', 'raspberry jam' (one).

    What is said is what is meant: another container is never taken for the one named, nor a unit left out. Loose
    goods are told in any unit of their measure ('8 oz butter' of a bin counted in pounds).

    choose, size: the product's and the size's own name, once a person has said which of several is meant.
    Raises SeveralFit when two or more products or sizes fit, NotInThatSize when the product does not come so,
    NotUnderstood when no product fits.
    """
    text = " ".join(words.split())
    numbers = _numbers(text)
    if numbers[0][0] <= 0:
        raise NotUnderstood(f"'{text}': say how many, more than nothing")
    products = {p.name: p for p in pantry.known.by_name.values() if choose in (None, p.name)}
    for number, rest in numbers:
        if found := _in_its_size(products, rest, choose):
            return _the_one(number, rest, found, size)
        if found := _without_unit(pantry, products, rest, choose):
            said = _the_one(number, rest, found, size)
            return said if rest == text else _no_unit_left_out(_pieces_or_packs(said, text), text)
    if one := _numbered(_in_its_size(products, text, choose)):
        return _the_one(Fraction(1), text, one, size)
    number, rest = numbers[-1]
    _refuse_the_size(pantry, products, text, number, rest, choose)
    raise NotUnderstood(_nothing_like(pantry, text, rest))


def _numbers(text: str) -> list[tuple[Fraction, str]]:
    """Each (number, what follows) that a text can begin with: 'a dozen eggs' as 1 'dozen eggs', and as 12 'eggs'."""
    number, rest = _number(text)
    first, _, after = rest.partition(" ")
    if first.casefold() in _DOZEN and after:
        return [(number, rest), (number * 12, after.removeprefix("of "))]
    return [(number, rest)]


def _number(text: str) -> tuple[Fraction, str]:
    taken = take_number(text)
    if taken is not None:
        return taken[0], _TIMES.sub("", taken[1])
    first, _, rest = text.partition(" ")
    second, _, after = rest.partition(" ")
    if first.casefold() == "half" and rest and not unit_named(f"half {second}"):
        return Fraction(1, 2), after if second.casefold() in ("a", "an") else rest
    if first.casefold() == "a" and second.casefold() == "half" and not unit_named(f"half {after.partition(' ')[0]}"):
        return Fraction(1, 2), after
    if first.casefold() in _NUMBER_WORDS and rest:
        return Fraction(_NUMBER_WORDS[first.casefold()]), _TIMES.sub("", rest)
    return Fraction(1), text


_Found = tuple[Product, tuple[Size, ...], Fraction | None]
"""A product that fits, the containers of it that do, and for loose goods what the unit said holds."""


def _in_its_size(products: Mapping[str, Product], rest: str, choose: str | None) -> list[_Found]:
    """The products that come in the container said, by the longest container that makes sense."""
    words = rest.split()
    for cut in range(min(_LONGEST_SIZE_WORDS, len(words) - 1), 0, -1):
        unit, name = " ".join(words[:cut]), " ".join(words[cut:]).removeprefix("of ")
        able: dict[str, _Found] = {}
        for each, product in products.items():
            sizes = sizes_said(product, unit)
            content = None if sizes or product.whole else content_of(product, unit)
            if sizes or content is not None:
                able[each] = (product, sizes or product.sizes[:1], content)
        if not able:
            continue
        if choose is not None:
            return list(able.values())
        surest = meant(name, {n: p.also_called for n, p in products.items()})
        fitting = tuple(n for n in surest if n in able)
        if fitting:
            exact = [able[n] for n in fitting if able[n][2] is None]
            return exact or [able[n] for n in fitting]
        others = meant(name, {n: products[n].also_called for n in able}, surely=True)
        if others:
            # 'pt green beans' where those come in quarts, and small green beans in pints: the cook says which
            raise SeveralFit(rest, (*others, *surest[:1]))
    return []


def _numbered(found: list[_Found]) -> list[_Found]:
    """Those whose size is itself called by a number: '500 ml peaches' is one jar of the size '500 ml'."""
    return [
        (product, called, content)
        for product, sizes, content in found
        if (called := tuple(size for size in sizes if size.name[:1].isdigit()))
    ]


def _without_unit(pantry: Pantry, products: Mapping[str, Product], rest: str, choose: str | None) -> list[_Found]:
    """The products of that name, in their first size, where no word of it says another container."""
    words, unit = rest.split(), _words_of_a_container(pantry, rest)
    found = tuple(products) if choose is not None else meant(rest, {n: p.also_called for n, p in products.items()})
    own = [products[n] for n in found if not unit or is_word_of(products[n], " ".join(words[:unit]))]
    return [(product, product.sizes[:1], None) for product in own]


def _words_of_a_container(pantry: Pantry, text: str) -> int:
    """So many words at the beginning say a container, the rest what is in it."""
    words = text.split()
    return max((c for c in range(1, len(words)) if names_a_container(pantry, " ".join(words[:c]))), default=0)


def _the_one(number: Fraction, rest: str, found: list[_Found], size: str | None) -> Said:
    if len(found) > 1:
        raise SeveralFit(rest, tuple(product.name for product, _, _ in found))
    product, sizes, content = found[0]
    fitting = [s for s in sizes if size in (None, s.name)] or list(sizes)
    if len(fitting) > 1:
        raise SeveralFit(rest, tuple(s.name for s in fitting), "size")
    return Said(product, fitting[0], number if content is None else number * content / fitting[0].content)


def _no_unit_left_out(said: Said, text: str) -> Said:
    """'2 potatoes' of a bin counted in pounds is two potatoes to one cook, and two pounds to another: NotInThatSize."""
    if said.product.whole or said.product.measure == "each" or unit_named(said.size.name) is None:
        return said
    raise NotInThatSize(
        text, said,
        f"{said.product.name} is kept in {said.size.name}, and '{text}' does not say in what; nothing was entered. "
        f"If it is {sized(said.count, said.size.name)}: '{said}'.",
    )  # fmt: skip


def _pieces_or_packs(said: Said, text: str) -> Said:
    """'12 pork chops' of packs of six is twelve chops to one cook, and twelve packs to another: NotInThatSize."""
    if said.product.measure != "each" or said.size.content <= 1:
        return said
    pieces = Said(said.product, said.size, said.count / said.size.content)
    raise NotInThatSize(
        text, pieces,
        f"{said.product.name} comes in {said.size.name}, and '{text}' can be {said} or as much as {pieces}; "
        f"nothing was entered. Say which: '{said}' or '{pieces}'.",
    )  # fmt: skip


def _refuse_the_size(
    pantry: Pantry, products: Mapping[str, Product], text: str, number: Fraction, rest: str, choose: str | None
) -> None:
    """Raise NotInThatSize, or SeveralFit, where the words name a product that does not come in what was said."""
    words = rest.split()
    for cut in range(min(_LONGEST_SIZE_WORDS, len(words) - 1), 0, -1):
        unit, name = " ".join(words[:cut]).removesuffix(" of"), " ".join(words[cut:]).removeprefix("of ")
        if not names_a_container(pantry, unit):
            continue
        found = tuple(products) if choose else meant(name, {n: p.also_called for n, p in products.items()})
        if len(found) > 1:
            raise SeveralFit(name, found)
        if found:
            product = products[found[0]]
            instead = _as_much(product, number, unit)
            comes = " or ".join(size.name for size in product.sizes)
            much = f" ({text} would be as much as {instead})" if instead is not None else ""
            raise NotInThatSize(
                text, instead,
                f"{product.name} comes in {comes}, not in '{unit}'{much}; nothing was entered.\n"
                f"Say it as it is kept; or, {line_to_add(pantry, product, unit)}",
                sure=instead is not None and instead.count.denominator == 1,
            )  # fmt: skip


def _as_much(product: Product, number: Fraction, unit: str) -> Said | None:
    """The same amount in the product's own containers: the first of which it is a whole number, else its first."""
    content = content_of(product, unit)
    if content is None:
        return None
    size = next((s for s in product.sizes if (number * content / s.content).denominator == 1), product.sizes[0])
    return Said(product, size, number * content / size.content)


def _nothing_like(pantry: Pantry, text: str, rest: str) -> str:
    names = pantry.known.by_name
    rest = " ".join(rest.split()[_words_of_a_container(pantry, rest) :]).removeprefix("of ")
    near = nearest(rest, names)
    if near:
        listed = "\n".join(f"  {_with_sizes(names[name])}" for name in near)
        return f"nothing in products.csv is called '{rest}'; the nearest are:\n{listed}"
    if not names:
        return f"nothing is called '{rest or text}': products.csv has no product yet"
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
    """A label's day: '2025-10-06', or '2024' for a year alone, within 1900 to 2100. Raises NotUnderstood."""
    word = text.strip()
    year_alone = len(word) == 4 and word.isascii() and word.isdigit()
    try:
        day = date.fromisoformat(f"{word}-01-01" if year_alone else word)
    except ValueError:
        raise NotUnderstood(f"'{word}' is not a day; write 2025-10-06, or the year alone") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise NotUnderstood(f"'{word}' is not a day within 1900 to 2100; look at the year again")
    return word if year_alone else day.isoformat()


def whole_only(said: Said) -> Said:
    """Refuse part of a container where only whole ones make sense. Raises NotUnderstood."""
    if said.product.whole and said.count.denominator != 1:
        raise NotUnderstood(f"{said.product.name} comes in whole {said.size.name}, and this is {said}")
    return said
