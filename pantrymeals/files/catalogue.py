"""The catalogue of stored things: what is commonly kept, how, how long, and under which names.

Its table is ``data/things.csv``; each figure of it has the code of its source beside it, and ``data/thing_sources.csv``
says what the code stands for and whether it was read there. What the household writes of its own wins over all of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Literal

from msgspec import Struct, field

from pantrymeals.files.gathering import fold
from pantrymeals.files.values import months, names
from pantrymeals.packaged import rows
from pantrymeals.records import Kind
from pantrymeals.units import UNITS, Measure

Band = Literal["warm", "mid", "cool"]
"""Latitude below 35 degrees, from 35 to 45, and beyond: common practice, no published source."""
_WARM_BELOW, _COOL_FROM = Fraction(35), Fraction(45)
_CUP_ML = UNITS["cup"][1]
_HALF_A_YEAR = 6


class Source(Struct, frozen=True):
    """Where a figure comes from, and how: 'read', 'from memory' or 'common practice'."""

    text: str
    how: str


class Thing(Struct, frozen=True):
    """One kind of stored thing.

    serves_as: what it may be used as in a dish ('stewing meat in a jar').
    sizes, sizes_metric: its usual containers, as a ``sizes`` cell has them.
    opened_days, thaw_days: as in products.csv. best_months: least and most months of best quality.
    cup_g, each_g: grams of a cup and of a piece. harvest: by band, the months in northern latitudes.
    fresh_days: days that it is good as it comes; None: it keeps. eaten_before: the things that it is eaten before.
    sources: of each group of figures ('opened', 'best', 'weight' ...) the code of its source.
    """

    name: str
    kind: Kind
    family: str
    acid: str = ""
    also_called: tuple[str, ...] = ()
    serves_as: tuple[str, ...] = ()
    sizes: str = ""
    sizes_metric: str = ""
    loose: bool = False
    opened_days: int | None = None
    thaw_days: int | None = None
    best_months: tuple[int, int] | None = None
    contents: tuple[str, ...] = ()
    food: str = ""
    cup_g: Fraction | None = None
    each_g: Fraction | None = None
    harvest: Mapping[str, str] = field(default_factory=dict)
    fresh_days: int | None = None
    eaten_before: tuple[str, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)

    def grams_per_base(self, measure: Measure) -> Fraction | None:
        """Grams of one ml, or of one piece; None where the catalogue has no such weight."""
        if measure == "ml":
            return self.cup_g / _CUP_ML if self.cup_g is not None else None
        return self.each_g if measure == "each" else Fraction(1)


class Garden(Struct, frozen=True):
    """Where a garden lies, as far as harvests go."""

    band: Band
    south: bool = False

    def first_month(self, thing: Thing) -> int | None:
        """The month (1-12) in which the thing's harvest usually begins here; None where it has none."""
        written = thing.harvest.get(self.band, "")
        if not written:
            return None
        months(written)  # a month that is none would be a mistake of the table
        first = int(written.split("-")[0])
        return (first + _HALF_A_YEAR - 1) % 12 + 1 if self.south else first


def garden_at(latitude: Fraction | None, last_frost: tuple[int, int] | None) -> Garden | None:
    """The garden at a latitude (south of the equator below nothing); else as its last frost tells; None for neither.

    By frost: a last frost from July on is a southern one; after 15 May (or 15 November) a cool place, before 1 April
    (1 October) a warm one: common practice, no published source.
    """
    if latitude is not None:
        far = abs(latitude)
        return Garden("warm" if far < _WARM_BELOW else "cool" if far >= _COOL_FROM else "mid", latitude < 0)
    if last_frost is None:
        return None
    month, day = last_frost
    south = month > _HALF_A_YEAR
    at = (month - _HALF_A_YEAR if south else month, day)
    return Garden("warm" if at < (4, 1) else "cool" if at > (5, 15) else "mid", south)


@cache
def catalogue() -> Mapping[str, Thing]:
    """Every thing, by its name as it is matched (folded)."""
    return {fold(row["thing"]): _thing(row) for row in rows("things.csv")}


@cache
def sources() -> Mapping[str, Source]:
    """What the codes of the sources stand for."""
    return {row["code"]: Source(row["source"], row["how_obtained"]) for row in rows("thing_sources.csv")}


@cache
def named() -> Mapping[str, tuple[Thing, ...]]:
    """The things of each name and other name; those called so in the first place first."""
    found: dict[str, list[Thing]] = {}
    for thing in catalogue().values():
        found.setdefault(fold(thing.name), []).append(thing)
    for thing in catalogue().values():
        for name in thing.also_called:
            if thing not in found.setdefault(fold(name), []):
                found[fold(name)].append(thing)
    return {name: tuple(things) for name, things in found.items()}


@cache
def serving_as() -> Mapping[str, tuple[Thing, ...]]:
    """What may be used as what: 'stewing meat in a jar' -> beef chunks, venison chunks ..."""
    found: dict[str, list[Thing]] = {}
    for thing in catalogue().values():
        for name in thing.serves_as:
            found.setdefault(fold(name), []).append(thing)
    return {name: tuple(things) for name, things in found.items()}


def _thing(row: Mapping[str, str]) -> Thing:
    low, high = row["best_months_low"], row["best_months_high"]
    kind: Kind = row["kind"]  # type: ignore[assignment]  # the table's own words, held by its test
    return Thing(
        name=row["thing"],
        kind=kind,
        family=row["family"],
        acid=row["acid"],
        also_called=names(row["also_called"]),
        serves_as=names(row["serves_as"]),
        sizes=row["sizes"],
        sizes_metric=row["sizes_metric"],
        loose=row["loose"] == "yes",
        opened_days=int(row["opened_days"]) if row["opened_days"] else None,
        thaw_days=int(row["thaw_days"]) if row["thaw_days"] else None,
        best_months=(int(low), int(high)) if low else None,
        contents=names(row["contents"]),
        food=row["food"],
        cup_g=Fraction(row["cup_g"]) if row["cup_g"] else None,
        each_g=Fraction(row["each_g"]) if row["each_g"] else None,
        harvest={band: row[f"harvest_{band}"] for band in ("warm", "mid", "cool") if row[f"harvest_{band}"]},
        fresh_days=int(row["fresh_days"]) if row["fresh_days"] else None,
        eaten_before=names(row["eaten_before"]),
        sources={name.removesuffix("_source"): row[name] for name in row if name.endswith("_source") and row[name]},
    )
