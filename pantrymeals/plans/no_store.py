"""What a rehearsal of a month without the store finds, and how such a month ends; frozen.

Counts are containers of a product's first size (pounds, heads ... for loose goods) and money is US
dollars at the household's own store prices, unless a name says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.outlook import Forecast, LarderCover
from pantrymeals.records import Arrival, Household

PinchKind = Literal["goes without", "used up", "just reaches", "later share"]


class Pinch(Struct, frozen=True):
    """One product that pinches.

    kind: 'goes without': standing use finds too little on ``day``, the first of such days; 'used up': the menu takes
    the last one above the reserve on ``day``; 'just reaches': next to nothing is left on ``day``, when the next comes;
    'later share': more is eaten than an even hand would take, so that it is gone on ``day``, after the rehearsal,
    before the day it must last to. weekly: what menu and standing use take a week until then. lacking: what standing
    use misses in all. why: what happens. plan: what the plan does about it. Both plain sentences.
    """

    product: str
    day: date
    kind: PinchKind
    weekly: Fraction
    lacking: Fraction
    why: str
    plan: str


class StapleRow(Struct, frozen=True):
    """How long one product carries its standing use.

    out: the first day on which standing use finds too little; None: not within the days looked at.
    days: days before it. without: the rehearsal's days on which it finds too little, each counted by itself: what
    lacked on one is not eaten twice over on a later. lacking: what goes missing on them. one_more_days: how many
    days one more container carries it.
    """

    product: str
    weekly: Fraction
    out: date | None
    days: int | None
    without: tuple[date, ...]
    lacking: Fraction
    one_more_days: Fraction | None


class DaysMore(Struct, frozen=True):
    """What one more container of a product adds to the longest run of the menu, in days."""

    product: str
    days: int


class LongestRun(Struct, frozen=True):
    """How many days every place on the menu can be filled from the shelf.

    sure: a menu without an open role is known for so many days. at_most: no menu fills more; None where
    no end was found within ``looked_to`` days (or the time). ends: products that end it, the
    tightest first; one_more: what each adds. stopped: the time was up before the end of the search.
    """

    sure: int
    at_most: int | None
    looked_to: int
    ends: tuple[str, ...] = ()
    one_more: tuple[DaysMore, ...] = ()
    stopped: bool = False


class AllowedItem(Struct, frozen=True):
    """One thing to let in, how much, what it costs (None: no price written down), and why."""

    product: str
    count: Fraction
    cost_usd: Fraction | None
    why: str


class AllowedList(Struct, frozen=True):
    """The smallest list of things to let in so that the days are reached.

    aim: what is smallest. reached: False where these are what standing use lacks alone, since no list of things with a
    price does it (proven), or since the search ended first. proven: no smaller list does it.
    """

    aim: Literal["fewest things", "least money"]
    items: tuple[AllowedItem, ...]
    reached: bool
    proven: bool

    @property
    def cost_usd(self) -> Fraction:
        """What all of it costs, as far as prices are written down."""
        return sum((i.cost_usd for i in self.items if i.cost_usd is not None), Fraction(0))


class MustGoWeek(Struct, frozen=True):
    """Suppers of one week that use something marked; (day, product) of each."""

    first: date
    days: int
    suppers: tuple[tuple[date, str], ...]


class GroupRow(Struct, frozen=True):
    """A food group: what the rehearsal holds and what the pattern asks, a week, for those at home."""

    group: str
    unit: str
    weekly: float
    asked: float


class Nourishment(Struct, frozen=True):
    """Energy and protein a day for those at home, and food groups a week.

    menu_kcal, standing_kcal: what menu (their part of it) and standing use hold. unknown: products with
    no food figures. ungrouped: products that stand in no group.
    """

    need_kcal: float
    need_protein_g: float
    menu_kcal: float
    menu_protein_g: float
    standing_kcal: float
    standing_protein_g: float
    groups: tuple[GroupRow, ...]
    unknown: tuple[str, ...] = ()
    ungrouped: tuple[str, ...] = ()


class Money(Struct, frozen=True):
    """Dollars of the rehearsal: what such days usually cost, the purse, what the shelf stands in for."""

    usual: Fraction
    purse: Fraction
    eaten_at_store_prices: Fraction
    unpriced: tuple[str, ...]

    @property
    def not_spent(self) -> Fraction:
        """What stays in the pocket when the whole purse is spent."""
        return max(Fraction(0), self.usual - self.purse)


class Rehearsal(Struct, frozen=True):
    """A whole rehearsal. household: as it stands on the first day, with nothing coming from a store.

    before: the menus of the days until then, when the first day lies ahead. announced: what of them, and of the days
    themselves, was announced, in plain sentences. kept_out: what would have
    come from a store. plain_words: words of the allowed list that are no product of this larder.
    asked_must_go: suppers a week that must use something marked; must_go_marks: product -> mark.
    cover: how long the food lasts from the first day on, nothing coming from a store. forecast: with this menu.
    must_go_asked: how that was kept: 'by itself', 'as a rule', 'not reached' or '' where none is asked.
    """

    household: Household
    plan: MenuPlan
    before: tuple[MenuPlan, ...]
    announced: tuple[str, ...]
    allowed: tuple[str, ...]
    plain_words: tuple[str, ...]
    kept_out: tuple[Arrival, ...]
    pinches: tuple[Pinch, ...]
    staples: tuple[StapleRow, ...]
    longest: LongestRun
    lists: tuple[AllowedList, ...]
    must_go: tuple[MustGoWeek, ...]
    asked_must_go: int
    must_go_asked: str
    must_go_marks: Mapping[str, str]
    nourishment: Nourishment
    money: Money
    cover: LarderCover
    forecast: Forecast


class Slip(Struct, frozen=True):
    """Something bought outside the rules, written down."""

    day: date
    what: str
    price_usd: Fraction


class Emptied(Struct, frozen=True):
    """A shelf that is empty down to its reserve, the day it was, and its standing rate."""

    product: str
    day: date
    count: Fraction


class Ending(Struct, frozen=True):
    """How a month without the store ended (or how it stands so far).

    days_held: days up to the last or today without a slip; with_slips: days on which one was written.
    used: product -> containers. saved_usd: what was used, at store prices. more_of: (product, why).
    """

    household: str
    first: date
    last: date
    today: date
    days_gone: int
    days_held: int
    slips: tuple[Slip, ...]
    used: tuple[tuple[str, Fraction], ...]
    saved_usd: Fraction
    unpriced: tuple[str, ...]
    usual_usd: Fraction
    emptied: tuple[Emptied, ...]
    sitters_opened: tuple[tuple[str, Fraction], ...]
    more_of: tuple[tuple[str, str], ...]
    has_book: bool

    @property
    def slips_usd(self) -> Fraction:
        """What the slips cost in all."""
        return sum((s.price_usd for s in self.slips), Fraction(0))
