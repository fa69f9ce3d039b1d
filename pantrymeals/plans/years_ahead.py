"""What the put-up list's rule does over drawn years: frozen results that reports show."""

from __future__ import annotations

from msgspec import Struct


class ProductAhead(Struct, frozen=True):
    """One product over the years drawn: chance of running out at all, in how many of them, and the share missing."""

    product: str
    family: str
    ever_out: float
    years_out: float
    missing: float


class FamilyAhead(Struct, frozen=True):
    """A family of so many kinds: in how many of the years all of them ran out."""

    family: str
    kinds: int
    years_out: float


class Reserve(Struct, frozen=True):
    """One way to fill the shelves. out: years in which a product runs out, on average. served: of need.

    hours: in the kitchen. standing: jars on the shelf once the crops are in, and the metres of row that they take (of
    sizes whose width is known); litres: in the freezer then.
    """

    words: str
    out: float
    served: float
    jars: float
    packs: float
    hours: float
    standing: float
    litres: float
    metres: float = 0.0


class YearsAhead(Struct, frozen=True):
    """The list's rule over years, drawn ``paths`` times. lost_freezer, lost_garden: one year in so many; 0: never."""

    years: int
    paths: int
    products: tuple[ProductAhead, ...]
    families: tuple[FamilyAhead, ...]
    reserves: tuple[Reserve, ...]
    lost_freezer: int = 0
    lost_garden: int = 0
