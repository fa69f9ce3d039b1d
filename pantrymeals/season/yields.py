"""Pounds, bushels, feet of row and plants, from published tables: always as ranges, with their source.

The tables come in as rows; this module opens no file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.plans.span import SpanOf
from pantrymeals.records import Product
from pantrymeals.units import UNITS, jar_ml

QUARTS = {"half-gal": Fraction(2), "qt": Fraction(1), "pt": Fraction(1, 2), "hp": Fraction(1, 4)}
WORDS = {"half-gal": "half-gallon", "qt": "quart", "pt": "pint", "hp": "half-pint"}


def quarts_in(size: str) -> Fraction | None:
    """Quarts that a jar of any size holds: of '500 ml jar' by its measure; None where its name has none."""
    if size in QUARTS:
        return QUARTS[size]
    ml = jar_ml(size)
    return ml / UNITS["qt"][1] if ml is not None else None


def jar_words(size: str) -> str:
    """'quart' of qt, '500 ml' of '500 ml jar'."""
    return WORDS.get(size, size.removesuffix(" jar"))


_WEAKEST = "origin of table not stated"


class CanningYield(Struct, frozen=True):
    """One row of the canning table: pounds raw to a quart by each figure printed; None: not given."""

    product: str
    form: str
    lb_per_quart: tuple[Fraction, ...]
    container: str
    container_lb: tuple[Fraction, ...]
    quarts_per_container: tuple[Fraction, ...]
    note: str
    source: str
    read: bool


class GardenYield(Struct, frozen=True):
    """One row of the garden table. basis: feet of row, or 0 for a figure per plant."""

    crop: str
    basis_ft: int
    per: str
    low: Fraction
    high: Fraction
    unit: str
    source: str
    read: bool


class CropName(Struct, frozen=True):
    """Where a product's figures stand in the tables; '' where they give none."""

    product: str
    canning: str
    form: str
    garden: str
    tested: str


class Tables(Struct, frozen=True):
    """All the published tables the season uses. tested: product -> (acid class, tested jar sizes)."""

    canning: tuple[CanningYield, ...] = ()
    garden: tuple[GardenYield, ...] = ()
    names: Mapping[str, CropName] | None = None
    tested: Mapping[str, tuple[str, tuple[str, ...]]] | None = None

    def name_of(self, product: str, also_called: Sequence[str] = ()) -> CropName | None:
        """The tables' names for a product, by its own name or another it goes by."""
        for words in (product, *also_called):
            found = (self.names or {}).get(" ".join(words.lower().split()))
            if found is not None:
                return found
        return None

    def of(self, product: Product) -> CropName | None:
        """The tables' names for a product, by its own name, another it goes by, or the thing that it is."""
        return self.name_of(product.name, (*product.also_called, product.thing))


def figures(text: str) -> tuple[Fraction, ...]:
    """'2.5-3' as its two ends, '3' as one number, '' as none."""
    return tuple(Fraction(part) for part in text.split("-") if part.strip())


def canning_yields(rows: Iterable[Mapping[str, str]]) -> tuple[CanningYield, ...]:
    """The canning table's rows. Loads are turned into pounds a quart: 7 quarts or 9 pints to the load."""
    out = []
    for row in rows:
        per_quart = figures(row["lb_per_quart"])
        per_quart += tuple(lb / 7 for lb in figures(row["lb_per_7qt_load"]))
        per_quart += tuple(lb * 2 / 9 for lb in figures(row["lb_per_9pt_load"]))
        quarts = figures(row["quarts_per_container_low"]) + figures(row["quarts_per_container_high"])
        weight, read = figures(row["container_weight_lb"]), row["how_obtained"] == "read"
        said = (per_quart, row["container"], weight, quarts, row["note"], row["source"], read)
        out.append(CanningYield(row["product"], row["form"], *said))
    return tuple(out)


def garden_yields(rows: Iterable[Mapping[str, str]]) -> tuple[GardenYield, ...]:
    """The garden table's rows."""
    out = []
    for row in rows:
        per, ends = row["row_ft_basis"], (Fraction(row["yield_low"]), Fraction(row["yield_high"]))
        feet, read = int(per) if per.isdigit() else 0, row["how_obtained"] == "read"
        out.append(GardenYield(row["crop"], feet, per, *ends, row["yield_unit"], row["source"], read))
    return tuple(out)


def _canning_row(tables: Tables, name: CropName) -> CanningYield | None:
    return next((r for r in tables.canning if r.product == name.canning and r.form == name.form), None)


def raw_pounds(tables: Tables, name: CropName | None, jars: int, size: str) -> SpanOf | None:
    """Pounds of raw produce for so many jars of a size; None where the tables do not say."""
    row = _canning_row(tables, name) if name else None
    quarts = quarts_in(size)
    if row is None or quarts is None:
        return None
    per_quart = row.lb_per_quart
    if not per_quart and row.container_lb and row.quarts_per_container:
        # juice: only a container and what it gives are printed
        per_quart = tuple(lb / q for lb in row.container_lb for q in row.quarts_per_container)
    if not per_quart:
        return None
    amount = jars * quarts
    return SpanOf(min(per_quart) * amount, max(per_quart) * amount, "lb", row.source, not row.read)


def containers_for(tables: Tables, name: CropName | None, jars: int, size: str) -> SpanOf | None:
    """Bushels, lugs or crates for so many jars; None where the tables do not say.

    From the printed quarts a container gives, widened by pounds over its weight where both are printed.
    """
    row = _canning_row(tables, name) if name else None
    quarts = quarts_in(size)
    if row is None or quarts is None or not row.quarts_per_container or not row.container:
        return None
    amount = jars * quarts
    ways = [amount / q for q in row.quarts_per_container]
    return SpanOf(min(ways), max(ways), row.container, row.source, not row.read)


def pounds_a_foot(tables: Tables, garden_crop: str) -> SpanOf | None:
    """Pounds that a foot of row gives: the range of every publication that prints a row yield in pounds.

    The one table without a stated origin is left out, and figures from memory are used only where
    none was read.
    """
    rows = [r for r in _garden_rows(tables, garden_crop) if r.basis_ft and r.unit == "lb" and _WEAKEST not in r.source]
    return _range(rows, "lb a foot")


def pounds_a_plant(tables: Tables, garden_crop: str) -> SpanOf | None:
    """Pounds that one plant gives, where a publication prints it."""
    rows = [r for r in _garden_rows(tables, garden_crop) if r.per == "per plant" and r.unit == "lb"]
    return _range(rows, "lb a plant")


# one crop stands under several names in the tables
_SAME_CROP = {
    "Beans, snap bush": ("Beans, snap bush", "Beans, snap"),
    "Peas, English": ("Peas, English", "Peas"),
    "Turnip roots": ("Turnip roots", "Turnips"),
}


def _garden_rows(tables: Tables, crop: str) -> list[GardenYield]:
    names = _SAME_CROP.get(crop, (crop,))
    return [r for r in tables.garden if r.crop in names]


def _range(rows: list[GardenYield], unit: str) -> SpanOf | None:
    """The range of what the rows give by the foot, or by the plant."""
    kept = [r for r in rows if r.read] or rows
    if not kept:
        return None
    sources = "; ".join(dict.fromkeys(r.source for r in kept))
    low, high = min(r.low / (r.basis_ft or 1) for r in kept), max(r.high / (r.basis_ft or 1) for r in kept)
    return SpanOf(low, high, unit, sources, not kept[0].read)


def row_feet(tables: Tables, garden_crop: str, pounds: SpanOf) -> SpanOf | None:
    """Feet of row that bring so many pounds: fewest pounds at the best yield, most at the poorest."""
    return _needed(pounds, pounds_a_foot(tables, garden_crop), "ft of row")


def plants_for(tables: Tables, garden_crop: str, pounds: SpanOf) -> SpanOf | None:
    """Whole plants that bring so many pounds, where a publication prints the yield of one."""
    found = _needed(pounds, pounds_a_plant(tables, garden_crop), "plant")
    return found and replace(found, low=Fraction(ceil(found.low)), high=Fraction(ceil(found.high)))


def _needed(pounds: SpanOf, each: SpanOf | None, unit: str) -> SpanOf | None:
    if each is None:
        return None
    return SpanOf(pounds.low / each.high, pounds.high / each.low, unit, each.source, each.from_memory)


def tested_sizes(tables: Tables, name: CropName | None) -> tuple[str, ...]:
    """Jar sizes ('qt', 'pt' ...) in which a tested process stands in the tables, the largest first; none: no such."""
    if name is None or not name.tested:
        return ()
    words = (tables.tested or {}).get(name.tested, ("", ()))[1]
    return tuple(short for short, word in WORDS.items() if word in words)


def figures_of_container(tables: Tables, name: CropName | None, container: str) -> Fraction | None:
    """Pounds in one bushel, lug or crate of a crop, where one is printed (the middle of a range)."""
    row = _canning_row(tables, name) if name else None
    if row is None or row.container != container or not row.container_lb:
        return None
    return (min(row.container_lb) + max(row.container_lb)) / 2
