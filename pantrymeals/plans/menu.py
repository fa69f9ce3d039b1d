"""What was decided: a menu, what it opens, how even it is, and how well that is proven."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from pantrymeals.records import MealName, Role


class ChosenUse(Struct, frozen=True):
    """How much of one product a planned dish takes in all (base measure), and by which option."""

    product: str
    amount: Fraction
    stand_in: bool = False


class PlannedDish(Struct, frozen=True):
    """One dish in one role of one meal.

    batches: how often the recipe is made: 1/2, 1, 3/2. uses: what it takes, noted alternatives included.
    instead: 'Edda: plain cabbage' and the like.
    why: why this dish, in one plain sentence.
    """

    role: Role
    dish: str
    batches: Fraction
    uses: tuple[ChosenUse, ...]
    instead: tuple[str, ...] = ()
    why: str = ""
    pinned: bool = False


class PlannedMeal(Struct, frozen=True):
    """A meal: who eats it (portions), its dishes, and the roles left open or covered."""

    day: date
    meal: MealName
    portions: Fraction
    dishes: tuple[PlannedDish, ...]
    open_roles: tuple[Role, ...] = ()
    covered_roles: tuple[Role, ...] = ()
    occasion: str = ""


class FromLot(Struct, frozen=True):
    """The lot that something comes from, as it is found on the shelf. put_up: None: not known."""

    where: str = ""
    put_up: date | None = None
    year_only: bool = False
    load: str = ""


DayUse = tuple[date, Fraction]
"""What the dishes of a day take (base measure)."""


class Opening(Struct, frozen=True):
    """Whole containers of one lot that are opened on one day.

    day: the day they are ready. lifted: the day they come out to thaw; None: they need not. eat_by: the last day
    they are eaten from; None: no clock. uses: what is taken of all of them. lot: None: none is on the shelf.
    """

    day: date
    product: str
    size: str
    count: int
    lifted: date | None = None
    eat_by: date | None = None
    uses: tuple[DayUse, ...] = ()
    lot: FromLot | None = None

    @property
    def out(self) -> date:
        """The day they are taken from their place, under which a part jar is written down."""
        return self.lifted or self.day


class BegunUse(Struct, frozen=True):
    """What a menu takes of a container that was open, or lifted out, before its first day."""

    product: str
    size: str
    opened: date
    uses: tuple[DayUse, ...]


class Fetched(Struct, frozen=True):
    """So many of a size from one lot, straight into the pot: loose goods of a day, or what a batch day takes.

    work: the batch day; '' for a dish or dishes. lot: None: it is not on the shelf.
    """

    day: date
    product: str
    size: str
    count: Fraction
    lot: FromLot | None
    work: str = ""


class ForLater(Struct, frozen=True):
    """Packs of one lot that come out to thaw within a menu's days, for a supper of the days after its last.

    lifted: the day they come out. night: the day of that supper, on which they are ready. dish: what it is to be.
    eat_by: the last day they are eaten from; None: no clock. lot: None: not told yet.
    """

    lifted: date
    night: date
    dish: str
    product: str
    size: str
    count: int
    eat_by: date | None = None
    lot: FromLot | None = None

    def as_opening(self) -> Opening:
        """The same packs, opened for that supper."""
        return Opening(self.night, self.product, self.size, self.count, self.lifted, self.eat_by, lot=self.lot)


class Waste(Struct, frozen=True):
    """What of an opened container, or of a thing that will not wait, goes over (base measure)."""

    day: date
    product: str
    amount: Fraction


class ShareRow(Struct, frozen=True):
    """One product's even share over the menu's days, against what is planned.

    All in containers of the product's first size (pounds, heads ... for loose goods).
    share: what an even hand would draw, after the common pace. low, high: the whole
    containers around it. drawn: by menu and standing use together.
    """

    product: str
    share: Fraction
    low: Fraction
    high: Fraction
    drawn: Fraction
    off: Fraction
    why: str = ""


class BatchWork(Struct, frozen=True):
    """A batch day that the plan proposes, and how many loads or goes.

    uses: what leaves the shelf for it, of the options chosen; whole containers where they are opened whole.
    """

    day: date
    name: str
    times: int
    why: str = ""
    uses: tuple[ChosenUse, ...] = ()


class NotSettled(Struct, frozen=True):
    """What a menu misses, or a long one leaves open, where time was up before it was known whether that must be.

    first, until: its day, or the first and last of its week. what: the role left open at ``meal``; where there is no
    meal the tag or the dish that was promised. of: what that is for ('for Easter').
    """

    first: date
    until: date
    what: str
    meal: MealName | None = None
    of: str = ""


class MenuPlan(Struct, frozen=True):
    """A whole menu and the proof of how good it is.

    cost, bound: the solver's points; no menu can cost less than ``bound``.
    gap: (cost - bound) / max(cost, 1). pace: the common factor (lambda), 1 or less.
    ended: 'proven' (to the gap asked), 'time' (the limit cut in), 'work' (all that was asked is done) or 'stopped'
        (by the cook).
    open_roles: how many roles had to be left open.
    begun: what it takes of containers open already. fetched: what comes straight from its lot.
    for_later: what is lifted out for the meals after its last day.
    not_settled: of which missed promises, and of a long menu open places, it is not known that they must be.
    parts: cost by wish ('open roles', 'evenness', 'waste', 'eat first', 'liking and effort').
    notes: plain sentences about the whole ('no roast can be thawed by Sunday').
    """

    first: date
    days: int
    meals: tuple[PlannedMeal, ...]
    openings: tuple[Opening, ...]
    waste: tuple[Waste, ...]
    shares: tuple[ShareRow, ...]
    batch_work: tuple[BatchWork, ...]
    pace: Fraction
    cost: float
    bound: float
    gap: float
    seconds: float
    seed: int
    ended: Literal["proven", "time", "work", "stopped"]
    open_roles: int
    parts: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()
    begun: tuple[BegunUse, ...] = ()
    fetched: tuple[Fetched, ...] = ()
    for_later: tuple[ForLater, ...] = ()
    not_settled: tuple[NotSettled, ...] = ()

    @property
    def last(self) -> date:
        """The last day of the menu."""
        return self.first + timedelta(days=self.days - 1)


class PullLine(Struct, frozen=True):
    """One line of the pull list: go there, on that day, and bring this.

    kind: 'part jar' (use it first), 'jar', 'loose', 'lift out'. put_up: of the lot taken, as words.
    needed: the day it is used; eat_by: the last day an opened one keeps, if there is a clock.
    """

    fetch: date
    where: str
    kind: Literal["part jar", "jar", "loose", "lift out"]
    product: str
    size: str
    count: Fraction
    put_up: str
    needed: date
    dish: str
    eat_by: date | None = None
    load: str = ""


class AheadLine(Struct, frozen=True):
    """A step before the day: soak, set batter, sort."""

    day: date
    what: str
    dish: str
    dish_day: date


class PullList(Struct, frozen=True):
    """What to bring up, in walking order, what to do ahead, what comes back as empties, and cautions."""

    lines: tuple[PullLine, ...]
    ahead: tuple[AheadLine, ...]
    empties: tuple[tuple[str, int], ...]
    cautions: tuple[str, ...]


class Clash(Struct, frozen=True):
    """House rules that cannot all be kept, in a cook's words.

    rules: each of them ('Friday 23 January is flat bread'). said: all of them in one sentence.
    fewest: True when it is proven that no fewer of them clash.
    """

    rules: tuple[str, ...]
    said: str
    fewest: bool


class MendingStep(Struct, frozen=True):
    """One rule relaxed, or one purchase (then with product, amount in the base measure, and day)."""

    kind: Literal["rule", "purchase"]
    said: str
    product: str = ""
    amount: Fraction = Fraction(0)
    day: date | None = None


class Mending(Struct, frozen=True):
    """What would mend a clash: most often one step. verified: solved again with it, and it works."""

    steps: tuple[MendingStep, ...]
    said: str
    verified: bool


class WhatClashes(Struct, frozen=True):
    """Why a menu cannot be whole, and what would mend it.

    said: the whole of it in a sentence or two, also when nothing clashes. clashing: whether something
    does; None: not known within the time.
    """

    said: str
    clashing: bool | None
    clashes: tuple[Clash, ...] = ()
    mendings: tuple[Mending, ...] = ()


class SwapOffer(Struct, frozen=True):
    """Another dish for one place, everything else kept, and what it would do.

    nearer, further: products whose draw comes nearer to its even share, or goes further from it.
    waste: what more (or less) of opened containers goes over, (product, base measure).
    minutes, hands_on_minutes: more (or less) than with the dish that stands there.
    besides: what else of that meal changes, since one of the two dishes fills another role too.
    points: what the whole menu would cost more (or less) by the planner's points.
    """

    dish: str
    nearer: tuple[str, ...]
    further: tuple[str, ...]
    waste: tuple[tuple[str, Fraction], ...]
    minutes: int
    hands_on_minutes: int
    points: float
    besides: tuple[str, ...] = ()


class MealChange(Struct, frozen=True):
    """One place whose dish is another than announced; '' where there was or is none."""

    day: date
    meal: MealName
    role: Role
    before: str
    after: str
    why: str = ""
