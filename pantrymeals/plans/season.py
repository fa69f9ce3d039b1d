"""What was worked out about seasons: the put-up list, its limits, the sitters and a year's notes.

Beside ``plans``: frozen results that reports show and actions pass on. Counts are containers of
the named size unless a name says otherwise; pounds, feet, hours and litres are in the names.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from math import ceil
from typing import Literal

from msgspec import Struct

from pantrymeals.cautions import CautionShown
from pantrymeals.plans.book import BookYear
from pantrymeals.plans.span import SpanOf
from pantrymeals.records import YEAR_OPENS
from pantrymeals.words import season_name

Basis = Literal[
    "full book years",
    "this book year",
    "servings",
    "standing use",
    "standing use and your dishes",
    "your dishes",
    "a published plan",
    "the menus",
    "as you chose",
    "none",
]


class Need(Struct, frozen=True):
    """What the table uses from one crop to the next, and where that figure comes from.

    a_year: containers. spread: standard deviation as a share of it, pooled over products.
    years: the full book years it rests on, oldest first. given: how many of them go as gifts or by barter.
    """

    a_year: Fraction
    basis: Basis
    spread: float
    years: tuple[Fraction, ...] = ()
    note: str = ""
    given: Fraction = Fraction(0)


LEAST_MENU_DAYS = 56
"""Days of menus from which on they are laid beside the book, as many as a book year needs to be planned by."""


class TwoNeeds(Struct, frozen=True):
    """A product of which book and menus say different things: containers a year by each. chosen: the house decided."""

    product: str
    size: str
    by_book: Fraction
    by_menus: Fraction
    chosen: bool


class CropRisk(Struct, frozen=True):
    """How often a crop fails, as '1 year in n', and what share of the need a failed year still brings."""

    fails: Fraction
    still_brings: Fraction
    note: str = ""


class PutUpLine(Struct, frozen=True):
    """One product of next season's list.

    aim: what should stand on the shelf once the crop is in. wanted: aim less carry-over, not less
    than 0, before rounding. load: containers to a canner load (or a freezing batch).
    served: share of what the table would use, over many simulated seasons, that this aim gives.
    plain_sum: the pencil rule beside it: a year's need and the odds of failure of it again.
    chances: for each load in turn, the mean chance that one of its containers will be called for
    before a good crop comes again. hours_*: kitchen hours of a day's first and each next load.
    flats: lids it takes, with those that fail. comes: share of the crop that is in by the end of the week of each
    Monday; none: all in one week. worth: dollars a container at the store.
    """

    product: str
    size: str
    crop: str
    need: Need
    risk: CropRisk
    carried_over: Fraction
    aim: int
    wanted: int
    loads: int
    load: int
    served: float
    plain_sum: Fraction
    chances: tuple[float, ...]
    flats: int
    way: Literal["canner", "freezer", "other"]
    first: date
    last: date
    hours_first_load: Fraction
    hours_next_load: Fraction
    worth: Fraction
    why: str
    raw_lb: SpanOf | None = None
    containers_in: SpanOf | None = None
    row_ft: SpanOf | None = None
    plants: SpanOf | None = None
    raw_lb_a_load: Fraction = Fraction(0)
    litres_each: Fraction = Fraction(0)
    grown: bool = False
    cautions: tuple[str, ...] = ()
    comes: tuple[tuple[date, Fraction], ...] = ()

    @property
    def jars(self) -> int:
        """Containers in all, whole loads."""
        return self.loads * self.load

    @property
    def in_kitchen(self) -> bool:
        """Whether it is put up in the kitchen, in jars, freezer or dryer, and so has its weeks."""
        return self.way != "other" or self.hours_first_load > 0

    def in_by(self, week: date) -> int:
        """Whole loads, the begun one counted, of which the crop is in by the end of the week that begins then."""
        share = next((share for monday, share in reversed(self.comes) if monday <= week), None)
        return self.loads if share is None else ceil(share * self.loads)


class PutUpList(Struct, frozen=True):
    """Next season's list before any limit: lines to put up, and products to leave alone, with why.

    by_the_book: whether what is carried over is reckoned at the table's own pace; else at the year's need.
    """

    season: int
    today: date
    lines: tuple[PutUpLine, ...]
    none: tuple[tuple[str, str], ...]
    by_the_book: bool
    cautions: tuple[CautionShown, ...] = ()
    metric: bool = False
    opens: tuple[int, int] = YEAR_OPENS

    def called(self) -> str:
        """Its season's name, '2027' or '2026-27'."""
        return season_name(self.season, self.opens)


class WeekLoads(Struct, frozen=True):
    """Loads of one product in the week that begins on ``monday``, and its day when dealt out."""

    monday: date
    product: str
    loads: int


class SeasonWeek(Struct, frozen=True):
    """A week of the season: kitchen hours taken and there, canner loads, and jars and packs filled."""

    monday: date
    hours: Fraction
    hours_there: Fraction
    loads: int
    jars: int


class DayLoads(Struct, frozen=True):
    """Loads of one product on one day of the season."""

    day: date
    product: str
    loads: int


class Cut(Struct, frozen=True):
    """Loads that do not fit, those most surely carried over into another year first.

    chance: that a jar of them would have been called for; points_a_jar: what it was worth in the plan.
    """

    product: str
    size: str
    loads: int
    jars: int
    chance: float
    points_a_jar: float
    why: str


class OneMore(Struct, frozen=True):
    """What one more of something scarce would bring, found by solving again with it.

    gain: points of worth; jars: by product, how many more or fewer containers the better plan
    puts up. proven: both plans were proven best.
    """

    what: str
    gain: int
    jars: tuple[tuple[str, str, int], ...]
    proven: bool


class LimitUse(Struct, frozen=True):
    """One limit: how much there is, how much the plan takes, and its unit."""

    what: str
    have: Fraction
    taken: Fraction
    unit: str


class FittedSeason(Struct, frozen=True):
    """The list as far as jars, lids, loads, hours, freezer and ground allow.

    worth, bound: points; the plan is proven best when they are equal. flats_to_buy: by kind.
    """

    weeks: tuple[WeekLoads, ...]
    days: tuple[DayLoads, ...]
    loads: Mapping[str, int]
    cuts: tuple[Cut, ...]
    uses: tuple[LimitUse, ...]
    one_more: tuple[OneMore, ...]
    flats_to_buy: Mapping[str, int]
    worth: int
    bound: int
    proven: bool
    seconds: float
    hours_by_week: Mapping[date, tuple[Fraction, Fraction]]
    notes: tuple[str, ...] = ()


class ToBuy(Struct, frozen=True):
    """Something the list takes that is to be bought. count: of ``size``, or pieces. cost: money; None: no price."""

    what: str
    count: Fraction
    size: str
    by: date | None
    cost: Fraction | None
    why: str


class ShelfPlace(Struct, frozen=True):
    """A place once the crops are in: jar row in metres, or a freezer in litres; what there is, and what is there then.

    place: '' for packs of which nothing says where they go.
    """

    place: str
    there: Fraction
    taken: Fraction
    unit: Literal["metres", "litres"] = "metres"
    name: str = ""


class SizeAdvice(Struct, frozen=True):
    """Which jar size leaves no half jars of a product, by the dishes that open it."""

    product: str
    now: str
    better: str
    dishes: tuple[tuple[str, Fraction], ...]
    left_now: Fraction
    left_better: Fraction
    why: str


class End(Struct, frozen=True):
    """One honest end for a sitter: what to do, and how long it takes."""

    kind: Literal["eat", "make over", "give or barter", "hens or compost", "hold", "not again"]
    words: str
    weeks: int | None = None


SitterKind = Literal["sitter", "wrong of two", "hoard", "near-sitter", "held"]
"""In the order in which they are told."""


class SitterRow(Struct, frozen=True):
    """Something made and not eaten, what it cost, and its ends."""

    product: str
    size: str
    on_hand: Fraction
    kind: SitterKind
    why: str
    cover_years: float | None
    ends: tuple[End, ...]
    cost: str


class GlutForm(Struct, frozen=True):
    """One form a glut can take, and how many loads of it the shelf still calls for."""

    product: str
    size: str
    loads: int
    jars: int
    lb: Fraction
    chance: float
    why: str


class GlutPlan(Struct, frozen=True):
    """What to do with so many pounds on the day they come in."""

    crop: str
    lb: Fraction
    forms: tuple[GlutForm, ...]
    passed_over: tuple[tuple[str, str], ...]
    left_words: str
    proven: bool
    cautions: tuple[CautionShown, ...] = ()
    metric: bool = False


class NoteRow(Struct, frozen=True):
    """One product in the notes of a book year, and how the list of that spring did.

    listed: what the list would have said from the years before; None where they say nothing.
    """

    record: BookYear
    size: str
    listed: int | None
    verdict: str


class SeasonNotes(Struct, frozen=True):
    """The notes at the end of a book year. sitters: of the running year, as the rule of sitters finds them.

    changes: (product, what to change) of a year that is over, where the list as it stands today asks for the most
    more, or the least again, of what was put up, in money.
    """

    year: int
    running: bool
    rows: tuple[NoteRow, ...]
    summary: tuple[str, ...]
    sitters: tuple[str, ...] = ()
    opens: tuple[int, int] = YEAR_OPENS
    changes: tuple[tuple[str, str], ...] = ()
