"""What a household says about its seasons: jars, lids, canners, hours, ground, crops, odds, the book.

Made from ``season.yaml`` by ``files.season``. Yearly days are (month, day); products and crops go by one spelling.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

YearDay = tuple[int, int]

USUAL_SERVICE = 0.85
"""Share of what the table calls for that the shelf should give over the years. The household's to set;
at 0.85 the simulation and the pencil rule (a year's need and the odds again) agree where a failed
crop still brings a third. Common practice, no published source."""

USUAL_MOST_LOADS = 4
CANNING_DAYS = 6
"""Canning days a week, one product to a day: Monday to Saturday. Common practice, no published source."""


class Canner(Struct, frozen=True):
    """A canner: what one load holds by jar size, and kitchen hours for a day's first and each next load."""

    name: str
    kind: str
    holds: Mapping[str, int]
    first_load_hours: Fraction
    next_load_hours: Fraction


class Harvest(Struct, frozen=True):
    """When a crop comes in, and what is put up from it.

    grown: False where it comes from barn, wood or market, so that no row or tree limits it. each_gives: of an animal
    that comes whole, containers of each product (first size) that one brings, wanted or not.
    """

    crop: str
    first: YearDay
    last: YearDay
    products: tuple[str, ...]
    grown: bool = True
    each_gives: Mapping[str, Fraction] = field(default_factory=dict)


class Ground(Struct, frozen=True):
    """Rows or plants of a crop as they stood. hoped_lb: the household's own figure for a good year."""

    crop: str
    row_ft: Fraction = Fraction(0)
    plants: int = 0
    under_cover: bool = False
    hoped_lb: Fraction | None = None


class Hours(Struct, frozen=True):
    """Kitchen hours a week for putting up, between two yearly days."""

    first: YearDay
    last: YearDay
    a_week: Fraction


class Odds(Struct, frozen=True):
    """A crop as good as fails one year in ``one_year_in``; still_brings: share of the need, if written."""

    crop: str
    one_year_in: Fraction
    why: str = ""
    still_brings: Fraction | None = None


class ThisSeason(Struct, frozen=True):
    """One product in the season that is running, in containers of ``size``.

    made: (day, containers) put up. a_week_now: what goes in a week at present; None: not written.
    """

    product: str
    size: str
    carried_over: Fraction
    made: tuple[tuple[date, Fraction], ...]
    given: Fraction
    lost: Fraction
    used: Fraction
    a_week_now: Fraction | None
    why_none: str = ""


class WrittenYear(Struct, frozen=True):
    """A book year of a product as the household wrote it down, in containers of the product's first size."""

    product: str
    year: int
    carried_in: Fraction
    put_up: Fraction
    given_or_lost: Fraction
    used: Fraction

    @property
    def carried_out(self) -> Fraction:
        """What was left at its end."""
        return self.carried_in + self.put_up - self.given_or_lost - self.used


class ExpectedCrop(Struct, frozen=True):
    """An amount of a product (base measure) that is expected on a day."""

    product: str
    amount: Fraction
    day: date


class JarGood(Struct, frozen=True):
    """What goes into jars beside the crop: so much of a product (base measure) to a container of each product."""

    of: str
    each: Fraction
    products: tuple[str, ...]


class SeedOrder(Struct, frozen=True):
    """Seed of a crop that is bought: feet of row that a packet sows, its price, and the day it is wanted by."""

    crop: str
    sows_ft: Fraction
    price: Fraction | None = None
    by: YearDay | None = None


class ChosenNeed(Struct, frozen=True):
    """What the household chose to count with where book and menus differ: one of the two, or containers a year."""

    product: str
    by: Literal["book", "menus", "a year"]
    a_year: Fraction = Fraction(0)


class Freezer(Struct, frozen=True):
    """A freezer: its place, its name, and the litres that it has and that are full today."""

    place: str
    name: str
    litres: Fraction
    full: Fraction


class SeasonFacts(Struct, frozen=True):
    """All of it. Empty where the household has written nothing.

    empties, out: jars by size, of the sizes that are counted. flats: 'regular', 'wide'.
    shelf_mm: width of jar row in all shelves together (metres x rows deep x tiers).
    servings: by product, servings a week, weeks and cups a serving that a new household plans for.
    freeze_batch, freeze_hours: packs to one go of freezing, and its hours; dry_batch, dry_hours: the same of drying.
    shelf_mm_at: the same width by place. lids_used, seals_failed: of the season before, as written.
    lid_price, jar_price: money a lid, and a jar by size. lost_freezer, lost_garden: one year in so many; 0: not said.
    """

    empties: Mapping[str, int] = field(default_factory=dict)
    out: Mapping[str, int] = field(default_factory=dict)
    jars_besides: tuple[str, ...] = ()
    flats: Mapping[str, int] = field(default_factory=dict)
    wide_share: Fraction = Fraction(0)
    gauge_checked: str = ""
    canners: tuple[Canner, ...] = ()
    most_loads_a_day: int = USUAL_MOST_LOADS
    shelf_mm: Fraction = Fraction(0)
    jar_width_mm: Mapping[str, Fraction] = field(default_factory=dict)
    freezers: tuple[Freezer, ...] = ()
    hours: tuple[Hours, ...] = ()
    harvests: tuple[Harvest, ...] = ()
    grounds: tuple[Ground, ...] = ()
    ground_free_ft: Fraction = Fraction(0)
    tree_lb: Mapping[str, Fraction] = field(default_factory=dict)
    odds: tuple[Odds, ...] = ()
    years: tuple[WrittenYear, ...] = ()
    this_season: tuple[ThisSeason, ...] = ()
    servings: Mapping[str, tuple[Fraction, Fraction, Fraction]] = field(default_factory=dict)
    expected: tuple[ExpectedCrop, ...] = ()
    service: float = USUAL_SERVICE
    freeze_batch: int = 6
    freeze_hours: Fraction = Fraction(1)
    dry_batch: int = 4
    dry_hours: Fraction = Fraction(2)
    shelf_mm_at: Mapping[str, Fraction] = field(default_factory=dict)
    lids_used: int = 0
    seals_failed: int = 0
    lid_price: Fraction | None = None
    jar_price: Mapping[str, Fraction] = field(default_factory=dict)
    jar_goods: tuple[JarGood, ...] = ()
    seed: tuple[SeedOrder, ...] = ()
    chosen: Mapping[str, ChosenNeed] = field(default_factory=dict)
    lost_freezer: int = 0
    lost_garden: int = 0

    @property
    def free_litres(self) -> Fraction | None:
        """What the freezers have free today; None where none is written down."""
        free = sum((freezer.litres - freezer.full for freezer in self.freezers), Fraction(0))
        return free if self.freezers else None

    def harvest_of(self, product: str) -> Harvest | None:
        """The harvest a product is put up from; None where none names it."""
        return next((h for h in self.harvests if product in h.products), None)

    def odds_of(self, crop: str) -> Odds | None:
        """The written odds of a crop's failing; None where none are."""
        return next((o for o in self.odds if o.crop == crop), None)

    def ground_of(self, crop: str) -> Ground | None:
        """The rows or plants of a crop; None where it has none."""
        return next((g for g in self.grounds if g.crop == crop), None)

    def written_this_season(self, product: str) -> ThisSeason | None:
        """What the file says of a product's running season."""
        return next((t for t in self.this_season if t.product == product), None)
