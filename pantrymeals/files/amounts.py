"""Amounts of products: '1 1/2 qt Green beans', '1 2-egg tub Eggs, beaten', '½ pt Salsa or 1 hp Ketchup'."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction

from msgspec import Struct, field

from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.records import Option, Product, Size
from pantrymeals.units import take_number, unit_named

_LONGEST_UNIT_WORDS = 6
_OR = re.compile(r"\s+or\s+", re.IGNORECASE)
_RANGE = re.compile(r"\s*([^\s\-–][^\-–]*?)\s*[\-–]\s*(\S.*)", re.DOTALL)
_WHOLE_TEXT_MOST = 500


class Lacking(Wrong):
    """A product that is not kept, or not in such a measure; a starter dish goes without it.

    product: the name as written, with the measure where only that is lacking ('Kale in lb').
    known: whether nothing more need be said of the name.
    """

    def __init__(self, product: str, wrong: str, right: str = "", known: bool = False) -> None:
        super().__init__(wrong, right)
        self.product = product
        self.known = known


class KnownProducts(Struct, frozen=True):
    """The products of products.csv, found by any of their names.

    by_name: in the file's order. names: folded name or second name -> product name.
    spoilt: folded names of rows that have mistakes of their own: nothing more is said of them.
    whole: False when the file could not be read, so that no name can be called unknown.
    """

    by_name: Mapping[str, Product]
    names: Mapping[str, str]
    spoilt: frozenset[str] = frozenset()
    whole: bool = True
    longest_name_words: int = 0
    containers: frozenset[str] = field(default_factory=frozenset)

    @classmethod
    def of(cls, products: Iterable[Product], spoilt: frozenset[str] = frozenset(), whole: bool = True) -> KnownProducts:
        """The index of some products."""
        by_name = {p.name: p for p in products}
        names: dict[str, str] = {}
        for product in by_name.values():
            for name in (product.name, *product.also_called):
                names.setdefault(fold(name), product.name)
        longest = max((len(n.split()) for n in (*names, *spoilt)), default=0)
        containers = frozenset(_one(s.name) for p in by_name.values() for s in p.sizes)
        return cls(by_name, names, spoilt, whole, longest, containers)

    def example(self) -> str:
        """'1 qt Green beans', '1 kg Spuds': an amount of a product of this kitchen, in a unit that it has."""
        plain = ((s.name, p.name) for p in self.by_name.values() for s in p.sizes if unit_named(s.name) is not None)
        return "1 {} {}".format(*next(plain, ("jar", "Green beans")))

    def find(self, name: str) -> Product | None:
        """The product of that name, by any of its names."""
        found = self.names.get(fold(name))
        return self.by_name[found] if found is not None else None

    def excuses(self, name: str) -> bool:
        """Whether a name may be missing only because of a mistake already written down."""
        return not self.whole or fold(name) in self.spoilt

    def find_or_say(self, name: str, say: Callable[[str, str], None], gathering: Gathering) -> Product | None:
        """The product of that name; None when it is unknown, which is written down with the nearest name."""
        product = self.find(name)
        if product is None and not self.excuses(name):
            say(f"{shown(name)} is not in products.csv", self.right_name(name, gathering))
        return product

    def right_name(self, name: str, gathering: Gathering) -> str:
        """'did you mean ...?' for a name that is no product's."""
        own = {fold(n) for n in self.by_name}
        known = [*self.by_name, *(n for n in self.names if n not in own)]
        return gathering.did_you_mean(name, known, "correct the name, or add it to products.csv")


def size_of(product: Product, name: str) -> Size | None:
    """The size of a product by its name or another name of the same unit ('quarts' for qt)."""
    wanted, wanted_unit = _one(name), unit_named(name)
    for size in product.sizes:
        if _one(size.name) == wanted or (wanted_unit and unit_named(size.name) == wanted_unit):
            return size
    return None


def content_of(product: Product, unit: str) -> Fraction | None:
    """What one such unit or container of a product holds (base measure); None when it has no such.

    A blank unit is a piece, of what is counted in pieces.
    """
    text = fold(unit).removesuffix(" of") if fold(unit) != "of" else ""
    if not text:
        return Fraction(1) if product.measure == "each" else None
    size = size_of(product, text)
    if size is not None:
        return size.content
    known = unit_named(text)
    return known[1] if known and known[0] == product.measure else None


def amount_of(product: Product, text: str) -> Fraction:
    """An amount of a known product, '1 1/2 qt' or '2 bird', in its base measure; raises Wrong."""
    taken = take_number(text)
    if taken is None:
        raise Wrong(f"{shown(text)} is not an amount", f"write one such as {_example(product)}")
    content = content_of(product, taken[1])
    if content is None:
        raise Wrong(*_no_such_measure(product, taken[1]))
    return _more_than_nothing(taken[0], text) * content


def read_option(text: str, known: KnownProducts) -> Option:
    """One amount of one product; raises Lacking where the product or its measure is not kept, Wrong else."""
    short = " ".join(text[:_WHOLE_TEXT_MOST].split())
    taken = take_number(short)
    if taken is None:
        right = f"write it such as {known.example()}; a name with a comma goes in quotes"
        raise Wrong(f"{shown(short)} does not begin with an amount", right)
    first: tuple[Product, str] | None = None
    for product, between in _endings(taken[1], known):
        content = content_of(product, between)
        if content is not None:
            return Option(product.name, _more_than_nothing(taken[0], short) * content, short)
        first = first or (product, between)
    if first is None:
        raise _unknown_product(taken[1], known)
    product, between = first
    unit, rest = _unit_and_name(between, known)
    if unit and rest:
        raise _unknown_product(taken[1], known)
    name = f"{product.name} in {between}" if between else product.name
    raise Lacking(name, *_no_such_measure(product, between), known=True)


def read_options(text: str, known: KnownProducts) -> tuple[tuple[Option, ...], tuple[Wrong, ...]]:
    """The options of '1 lb Bread flour or 3/4 lb Buckwheat flour', best liked first, and what is wrong.

    The most of a range ('1 1/2-2 lb Sausage') is an option of its own, after its least.

    A product may have ' or ' in its name: a part that cannot be read alone is tried
    together with the parts after it.
    """
    parts = parts_of(" ".join(text[:_WHOLE_TEXT_MOST].split()))
    options: list[Option] = []
    wrongs: list[Wrong] = []
    while parts:
        for taken in range(1, len(parts) + 1):
            try:
                options.append(read_option(" or ".join(parts[:taken]), known))
            except Wrong as wrong:
                if taken == 1:
                    alone = wrong
            else:
                parts = parts[taken:]
                break
        else:
            wrongs.append(alone)
            parts = parts[1:]
    return tuple(options), tuple(wrongs)


def parts_of(text: str) -> list[str]:
    """A text, as it is written, cut at each ' or ' after which an amount begins; a range as its least and its most.

    '1 1/2-2 lb Sausage' is '1 1/2 lb Sausage' or '2 lb Sausage'.
    """
    cuts = [m for m in _OR.finditer(text) if take_number(text[m.end() :]) is not None]
    starts = [0, *(m.end() for m in cuts)]
    ends = [*(m.start() for m in cuts), len(text)]
    return [end for a, b in zip(starts, ends, strict=True) for end in _least_and_most(text[a:b])]


def _least_and_most(text: str) -> list[str]:
    """Both ends of a range that rises; else the text itself."""
    found = _RANGE.match(text)
    least, most = (take_number(found[1]), take_number(found[2])) if found else (None, None)
    if found is None or least is None or most is None or least[1] or not least[0] < most[0]:
        return [text]
    return [f"{found[1]} {most[1]}", found[2]]


def _endings(text: str, known: KnownProducts) -> Iterator[tuple[Product, str]]:
    """(product, what stands before its name) for each product name that a text ends with, longest first."""
    words = text.split()
    for start in range(max(0, len(words) - known.longest_name_words), len(words)):
        product = known.find(" ".join(words[start:]))
        if product is not None:
            yield product, " ".join(words[:start])


def _unit_and_name(text: str, known: KnownProducts) -> tuple[str, str]:
    """A text parted into the longest unit or container it begins with, and the rest."""
    words = text.split()
    for count in range(min(_LONGEST_UNIT_WORDS, len(words)), 0, -1):
        unit = " ".join(words[:count])
        if unit_named(unit) or _one(unit) in known.containers:
            return unit, " ".join(words[count:])
    return "", text


def _unknown_product(text: str, known: KnownProducts) -> Wrong:
    name = _unit_and_name(text, known)[1].removeprefix("of ")
    if not name:
        return Wrong(f"{shown(text)} names no product", f"write it such as {known.example()}")
    if _OR.search(name) and not known.excuses(name):
        return Lacking(name, f"{shown(name)} is not in products.csv", "write an amount after 'or', too", True)
    return Lacking(name, f"{shown(name)} is not in products.csv")


def _no_such_measure(product: Product, unit: str) -> tuple[str, str]:
    sizes = ", ".join(s.name for s in product.sizes)
    not_in = f", not in {shown(unit)[1:-1]}" if unit.strip() else ""
    return f"{product.name} is kept in {sizes}{not_in}", f"write an amount such as {_example(product)}"


def _example(product: Product) -> str:
    return f"1 {product.sizes[0].name}"


def _more_than_nothing(number: Fraction, text: str) -> Fraction:
    if number <= 0:
        less = "less than " if number < 0 else ""
        raise Wrong(f"{shown(text)} is {less}nothing", "write an amount more than 0")
    if number > 1_000_000:
        raise Wrong(f"{shown(text)} is more than any larder holds", "write a number up to a million")
    return number


def _one(name: str) -> str:
    """A container's name as it is matched, whether one or several: 'packs of 6' as 'pack of 6'."""
    return " ".join(_singular(word) for word in fold(name).split())


def _singular(word: str) -> str:
    if word.endswith("ves"):
        return word[:-3] + "f"
    return word[:-1] if word.endswith("s") and len(word) > 2 else word
