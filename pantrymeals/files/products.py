"""Reads products.csv: what the household keeps, and in which sizes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from operator import is_
from pathlib import Path
from typing import TYPE_CHECKING, Literal, get_args

from msgspec.structs import replace

from pantrymeals.contents_told import told_by
from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of
from pantrymeals.files.csv_tables import Row, read_table
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.jar_doubts import bought
from pantrymeals.packaged import rows
from pantrymeals.records import Kind, Product, Size
from pantrymeals.units import Amount, Measure, parse_amount, unit_named

if TYPE_CHECKING:
    from pantrymeals.files.catalogue import Garden, Thing

FILE = "products.csv"
COLUMNS = (
    "product", "thing", "family", "kind", "acid", "sizes", "loose", "opened_days", "thaw_days", "keeps_months",
    "must_last_to", "eat_by", "deadline", "reserve", "reserve_note", "eaten_in", "contents", "also_called", "food",
    "weight_g", "price", "price_usd", "on_menus", "fresh_days", "eaten_before", "note",
)  # fmt: skip
NEEDED = ("product", "sizes")
Acid = Literal["low", "high", "acidified", "borderline", ""]
ACIDS: tuple[Acid, ...] = get_args(Acid)
KINDS: tuple[Kind, ...] = get_args(Kind)
KEEPS_TO = "keeps to"
"""The deadline of what does not keep: its day may stand in ``eat_by`` alone."""
NO_MARKS = "none"
"""Written under ``contents`` or ``eaten_before`` of what has none of those that its thing has in the catalogue."""
DEADLINES = ("new crop", KEEPS_TO, "season ends", "order", "next batch")


def read_products(
    path: Path, gathering: Gathering, garden: Garden | None = None, today: date | None = None
) -> KnownProducts:
    """Every product of a file, with the names of those whose rows have mistakes.

    A column that a row leaves blank is filled from the catalogue, where the row names its thing there or leaves
    ``kind`` blank. garden, today: where known, a product that is harvested must last to its next harvest.
    """
    table = read_table(path, FILE, COLUMNS, NEEDED, gathering)
    if table is None:
        return KnownProducts.of((), whole=False)
    products: list[Product] = []
    spoilt: set[str] = set()
    for row in table:
        before = len(gathering)
        own = row.text("kind") and not row.text("thing")
        product = _product(row, None) if own else _of_the_catalogue(row, garden, today)
        if product is None or len(gathering) > before:
            spoilt.update(map(fold, (row.text("product"), *values.names(row.text("also_called")))))
        else:
            products.append(product)
    _say_names_used_twice(products, gathering)
    known = KnownProducts.of(products, frozenset(spoilt))
    waited_on = [_with_what_waits(_before_its_kind(p, products), known, gathering) for p in products]
    return known if all(map(is_, waited_on, products)) else KnownProducts.of(waited_on, frozenset(spoilt))


def _before_its_kind(product: Product, products: Iterable[Product]) -> Product:
    """A fresh product whose row does not say what waits for it with what the catalogue says; ``none`` says nothing."""
    if tuple(map(fold, product.eaten_before)) == (NO_MARKS,):
        return replace(product, eaten_before=())
    if product.eaten_before or not product.thing or product.fresh_days is None:
        return product
    from pantrymeals.files.catalogue import catalogue

    before = frozenset(catalogue()[fold(product.thing)].eaten_before)
    waiting = tuple(p.name for p in products if p.thing in before and p.fresh_days is None)
    filled = product.from_catalogue | {"eaten_before"} if waiting else product.from_catalogue
    return replace(product, eaten_before=waiting, from_catalogue=filled)


def _with_what_waits(product: Product, known: KnownProducts, gathering: Gathering) -> Product:
    """A product with what waits for it as those rows spell it; what nothing can be right about is written down."""

    def say(wrong: str, right: str) -> None:
        gathering.say(product.place, f"{product.name}: {wrong}", right)

    if product.eaten_before and product.fresh_days is None:
        say("eaten_before is said, and no fresh_days", "write the days that it is good in fresh_days")
    if product.fresh_days is not None:
        if product.whole:
            say("what is fresh is not opened whole", "write yes under loose, and under sizes the unit it is weighed in")
        if product.must_last_to or product.reserve:
            say("what is good for days has no day to last to and no reserve", "leave those columns blank")
    waiting = [w for text in product.eaten_before if (w := known.find_or_say(text, say, gathering)) is not None]
    for other in waiting:
        if other.fresh_days is not None:
            say(f"{other.name} is fresh itself and cannot wait", "name what lies in jars, bags or bins")
    names = tuple(w.name for w in waiting)
    return product if names == product.eaten_before else replace(product, eaten_before=names)


def _of_the_catalogue(row: Row, garden: Garden | None, today: date | None) -> Product | None:
    """The product of a row that names a thing, or no kind: the catalogue is loaded for such a row alone."""
    from pantrymeals.files.from_catalogue import filled, saying_what_is_filled, thing_of, to_harvest

    thing = thing_of(row)
    product = _product(filled(row, thing), thing)
    if product is None or thing is None:
        return product
    said = saying_what_is_filled(product, row, thing)
    return said if said.fresh_days is not None else to_harvest(said, thing, garden, today)


def _product(row: Row, thing: Thing | None) -> Product | None:
    if not row.has(*NEEDED) or not row.text("kind"):
        return None  # a row without a kind has been written down by then
    name = " ".join(row.text("product").split())
    kind: Kind | None = row.read("kind", values.one_of(KINDS), None)
    sizes, measure = row.read("sizes", sizes_and_measure, ((), None))
    if kind is None or measure is None:
        return None
    acid: Acid = row.read("acid", values.one_of(ACIDS), "")
    opened_days, opened_source = _opened_life(row, name, kind, acid, sizes)
    also_called = values.names(row.text("also_called"))
    bare = Product(name, row.text("family"), kind, measure, sizes)
    return Product(
        name=name,
        family=row.text("family"),
        kind=kind,
        measure=measure,
        sizes=sizes,
        whole=not row.read("loose", values.yes_or_no, False),
        acid=acid,
        opened_days=opened_days,
        opened_source=opened_source,
        thaw_days=row.read("thaw_days", values.whole_number(0, 14), 0),
        keeps_months=row.read("keeps_months", values.more_than_zero, None),
        must_last_to=row.read("eat_by" if row.text("eat_by") else "must_last_to", values.day, None),
        deadline_kind=_deadline_kind(row),
        reserve=row.read("reserve", _reserve(bare), Fraction(0)),
        reserve_note=row.text("reserve_note"),
        eaten_in=row.read("eaten_in", values.months, frozenset()),
        contents=_contents(row, name, also_called),
        also_called=also_called,
        food=row.read("food", _food, ""),
        grams_per_base=_grams_per_base(row, measure, sizes[0], thing),
        price_usd=_price(row),
        on_menus=row.read("on_menus", values.yes_or_no, True),
        fresh_days=row.read("fresh_days", values.whole_number(1, 28), None),
        eaten_before=values.names(row.text("eaten_before")),
        note=row.text("note"),
        thing=thing.name if thing else "",
        place=row.place,
    )


def _price(row: Row) -> Fraction | None:
    """The price in the household's own money, under its present name or the former one; said where both are filled."""
    if row.text("price") and row.text("price_usd"):
        row.say("price_usd", "'price_usd' and 'price' are the same", "keep 'price'")
    return row.read("price" if row.text("price") else "price_usd", values.zero_or_more, None)


def _contents(row: Row, name: str, also_called: tuple[str, ...]) -> frozenset[str]:
    """The marks written, and those that its name tells; 'none' says that it has no others than are written."""
    written = values.marks(row.text("contents"))
    return written - {NO_MARKS} if NO_MARKS in written else written | told_by(name, row.text("family"), *also_called)


SHORT_DAYS = 4
"""Days that any opened home-canned food keeps in the fridge (three to four: USDA FSIS, Shelf-Stable Food Safety, its
row 'Home canned foods'), and herbs or garlic in oil (two to four: National Center for Home Food Preservation, from
memory). Jams are given a month by the NCHFP and pickles longer by many a household; the careful figure counts."""
_HERBS_IN_OIL = re.compile(
    r"\b(garlic|basil|herbs?|rosemary|thyme|oregano|sage)\b.*\b(oil|paste)\b|\boil\b.*\b(garlic|basil|herbs?)\b|\bpesto\b",
    re.IGNORECASE,
)


def _opened_life(row: Row, name: str, kind: Kind, acid: Acid, sizes: tuple[Size, ...]) -> tuple[int | None, str]:
    """Days an opened one keeps, and who says so where it is not the household: never past a careful figure.

    A longer one is a mistake where it could hurt most: low-acid jars, herbs in oil.
    """
    own = row.read("opened_days", values.whole_number(1, 3650), None)
    short = _short_life(name, kind, acid)
    if own is not None and own > SHORT_DAYS and short:
        row.say("opened_days", f"{name} is {short}, and {own} days is long for it", f"write {SHORT_DAYS} or fewer")
    home_jar = kind == "jar" and not bought(name, "", sizes)
    if not (short or home_jar) or (own is not None and own <= SHORT_DAYS):
        return own, ""
    source = short or "any opened home-canned food (three to four days, USDA FSIS)"
    return SHORT_DAYS, source if own is None else f"{source}, in place of {own}"


def _short_life(name: str, kind: Kind, acid: Acid) -> str:
    """What it is that can hurt when it is kept longer than four days once opened; '' for all else."""
    if _HERBS_IN_OIL.search(name):
        return "herbs or garlic in oil (two to four days in the fridge)"
    return "home-canned low-acid food (three to four days, USDA FSIS)" if (kind, acid) == ("jar", "low") else ""


def sizes_and_measure(text: str) -> tuple[tuple[Size, ...], Measure]:
    """The sizes of 'qt; pt', 'qt bag = 1 qt' or 'bird', and the base measure they share; raises Wrong."""
    sizes: dict[str, Size] = {}
    measures: dict[Measure, str] = {}
    for part in values.names(text):
        name, equals, holds = (p.strip() for p in part.partition("="))
        if not name or bool(equals) != bool(holds):
            raise Wrong(f"{shown(part)} is not a size", "write a size as its unit, or as name = what one holds")
        if fold(name) in sizes:
            raise Wrong(f"the size {shown(name)} stands here twice", "keep one")
        content = _content(name, holds)
        sizes[fold(name)] = Size(name, content.quantity)
        measures.setdefault(content.measure, name)
    if not sizes:
        raise Wrong(f"{shown(text)} names no size", "write a size as its unit, or as name = what one holds")
    if len(measures) > 1:
        one, other = list(measures.values())[:2]
        raise Wrong(
            f"'{one}' and '{other}' cannot be measured in each other", f"say what each holds: {other} = 1 {one}"
        )
    return tuple(sizes.values()), next(iter(measures))


def _content(name: str, holds: str) -> Amount:
    """What one container holds: as its name says ('500 ml jar'); a name that says nothing of it is one piece."""
    if not holds:
        unit = unit_named(name)
        return Amount(unit[1], unit[0]) if unit else _measure_in(name) or Amount(Fraction(1), "each")
    try:
        content = parse_amount(holds)
    except ValueError as error:
        raise Wrong(
            f"what {shown(name)} holds is not clear: {shown(holds)}", f"write it as {name} = what one holds"
        ) from error
    if content.quantity <= 0:
        raise Wrong(f"{shown(name)} holds nothing", f"write it as {name} = what one holds")
    return content


_MEASURED = re.compile(r"(?P<amount>[\d.,/ ]+(fl oz|[a-z]+))( (jar|bottle|bag|tub|pack|block|box|tin))?", re.IGNORECASE)


def _measure_in(name: str) -> Amount | None:
    """What a container holds by its name alone: '500 ml jar', '1 l', '1 kg bag'; None where the name has no measure."""
    found = _MEASURED.fullmatch(name)
    try:
        content = parse_amount(found["amount"]) if found else None
    except ValueError:
        return None
    return content if content and content.quantity > 0 and content.measure != "each" else None


def _reserve(product: Product) -> Callable[[str], Fraction]:
    return lambda text: Fraction(0) if text == "0" else amount_of(product, text)


def _deadline_kind(row: Row) -> str:
    kind = row.read("deadline", values.one_of(DEADLINES), "")
    if row.text("eat_by"):
        if row.text("must_last_to") or kind not in ("", KEEPS_TO):
            right = "write a day to be gone by in eat_by alone, one to reach in must_last_to"
            row.say("eat_by", "it is to be eaten by a day, and to last to one", right)
        return KEEPS_TO
    if kind and not row.text("must_last_to"):
        row.say("deadline", f"there is a deadline ({kind}) and no day", "write the day in must_last_to")
    return kind


def _grams_per_base(row: Row, measure: Measure, first: Size, thing: Thing | None) -> Fraction | None:
    if measure == "g":
        return Fraction(1)
    grams = row.read("weight_g", values.more_than_zero, None)
    if grams is None and thing is not None:
        return thing.grams_per_base(measure)
    return None if grams is None else grams / first.content


def _food(text: str) -> str:
    """The food's number with the leading zeros that a spreadsheet drops."""
    number = text.zfill(5)
    if number not in foods_known():
        raise Wrong(
            f"there is no food {shown(text)} in the food table", "see pantrymeals/data/foods.csv, or leave it blank"
        )
    return number


@cache
def foods_known() -> Mapping[str, str]:
    """The food numbers of the packaged food table, each with its food."""
    return {row["ndb_no"].zfill(5): row["food"] for row in rows("foods.csv") if row["ndb_no"]}


def _say_names_used_twice(products: list[Product], gathering: Gathering) -> None:
    first: dict[str, Product] = {}
    for product in products:
        for name in dict.fromkeys(map(fold, (product.name, *product.also_called))):
            other = first.setdefault(name, product)
            if other is product:
                continue
            own = name == fold(product.name)
            place = Place(FILE, product.place.line, 1) if own else product.place
            written = shown(product.name if own else name)
            wrong = f"{written} is already a name of {other.name} (line {other.place.line})"
            gathering.say(place, wrong, "give each product names of its own")
