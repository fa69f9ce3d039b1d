"""What is foreseen, beside ``plans``: run-out, what must be eaten first, and what would change if.

Frozen results that reports show and actions pass on. Counts are containers of the product's first
size, chances run from 0 to 1, and weeks count from the household's today, unless a name says otherwise.
"""

from __future__ import annotations

from datetime import date, datetime

from msgspec import Struct

from pantrymeals.cautions import CautionShown
from pantrymeals.plans.marks import Mark


class BackTestMonth(Struct, frozen=True):
    """One past month-end: how many products were asked about, and how often their range held."""

    day: date
    cases: int
    held: float
    held_evenly: float


class BackTest(Struct, frozen=True):
    """How well use was foreseen in the past.

    held: how often what came lay in the 10-90 % range, edges included. held_evenly: the same with
    counts on an edge shared out by chance. below, above: how often it fell outside on either side.
    pinball: mean loss at 10, 50 and 90 % (containers, less is better); plain_pinball: that of an
    average of the last 12 weeks.
    """

    weeks_ahead: int
    cases: int
    held: float
    held_evenly: float
    below: float
    above: float
    pinball: float
    plain_pinball: float
    months: tuple[BackTestMonth, ...] = ()


class AtPace(Struct, frozen=True):
    """How one product goes at one pace, its mark, and what to do.

    weekly: containers a week, the mean from today to ``out`` (or over two years; none there: to its day). out,
    out_early, out_late: the day the last one above the reserve goes: middle, and the 10 and 90 % edges; None: not
    within two years. chance: of meeting every need up to its day; None without a day ahead. gap_weeks: weeks without
    before it, on average. left, left_low, left_high: over on that day (or after a year). cover_weeks: middle; None
    beyond two years. advice: how to ration or eat down; ''. At the menus' pace nothing is left to chance: one day, and
    a chance of 0 or 1.
    """

    weekly: float
    out: date | None
    out_early: date | None
    out_late: date | None
    chance: float | None
    gap_weeks: float
    left: float
    left_low: float
    left_high: float
    cover_weeks: float | None
    mark: Mark
    reason: str
    advice: str = ""


class ForecastRow(Struct, frozen=True):
    """When one product runs out at each of two paces.

    must_last_to, eat_by: its day, as the one or the other: what does not keep is to be gone by it. stated: containers
    a week of standing use, as the household wrote it. as_eaten: as the table has been eating, by the book and, while
    it is young, by what else is known; None where nothing tells. as_planned: if the forecast's menus are followed,
    then at an even hand. told_by: what as_eaten rests on; () where nothing speaks of it. range_held, range_tested: how
    far as_eaten's range is to be trusted: in how many earlier seasons of 13 weeks the range of its use held, and of
    how many; none where the book is too young or it is hardly gone for.
    """

    product: str
    size: str
    on_hand: float
    reserve: float
    part: float
    elsewhere: float
    must_last_to: date | None
    eat_by: date | None
    deadline_kind: str
    stated: float | None
    as_eaten: AtPace | None
    as_planned: AtPace
    told_by: tuple[str, ...] = ()
    range_held: int = 0
    range_tested: int = 0

    def due(self) -> date | None:
        """Its day, whichever it is."""
        return self.must_last_to or self.eat_by

    def in_the_house(self) -> float:
        """Containers that are there: of what is held or kept off the menus, those that no meal may take."""
        return self.on_hand + (self.elsewhere if self.leading().mark in ("held", "not on menus") else 0)

    def leading(self) -> AtPace:
        """The pace that speaks where one alone can: the table's own, or the menus' where nothing tells of it."""
        return self.as_eaten or self.as_planned

    def untold(self) -> bool:
        """Whether the book is young and nothing else speaks of its pace, so that no mark of it can be believed."""
        return not self.told_by and self.as_eaten is None and self.as_planned.mark in ("reaches", "glut", "tight")

    def marks(self) -> frozenset[Mark]:
        """The marks at both paces; none where neither can be believed."""
        return frozenset() if self.untold() else frozenset({self.leading().mark, self.as_planned.mark})


UNTOLD = "No book, menu, standing use, dish or published plan speaks of how fast"
"""Why a row is untold; what goes follows."""


class Forecast(Struct, frozen=True):
    """The whole larder foreseen from ``today``.

    menu_days: days of the menus that are followed; 0: none, an even hand from today. book_weeks: weeks of the
    book it rests on (0: only what the household says). season_drift: standard deviation, as a share, by
    which a season's pace drifts from what was learnt.
    """

    household: str
    today: date
    rows: tuple[ForecastRow, ...]
    paths: int
    seed: int
    menu_days: int
    book_weeks: int
    season_drift: float
    notes: tuple[str, ...] = ()


class CoursePoint(Struct, frozen=True):
    """What is there of a product, above its reserve, on one day ahead.

    middle, low, high: as the table has been eating, with its 10 and 90 % edges; None where the book is too young.
    planned: if the forecast's menus are followed, then at an even hand.
    """

    day: date
    planned: float
    low: float | None = None
    middle: float | None = None
    high: float | None = None


class Course(Struct, frozen=True):
    """How one product goes down, week by week, beside its row of the forecast."""

    row: ForecastRow
    today: date
    points: tuple[CoursePoint, ...]


class FamilyWeek(Struct, frozen=True):
    """A family of food in one week ahead: how many of the kinds that the table uses are there; gone: the others.

    A kind is there until its last one goes, and again from the day of its new crop or order on.
    """

    family: str
    day: date
    there: int
    kinds: int
    gone: tuple[str, ...]


class MustGo(Struct, frozen=True):
    """One thing that will not wait.

    kind: 'part jar', 'keeper', 'frozen' or 'jar'. eat_by: the day to eat it by, as far as one is set; None
    else. past: that day is behind. why: one sentence; source: where the figure comes from. dishes: what would
    use it, best first, each with whom it is not for.
    """

    kind: str
    product: str
    size: str
    amount: float
    where: str
    eat_by: date | None
    past: bool
    why: str
    source: str
    dishes: tuple[str, ...] = ()


class RoundLine(Struct, frozen=True):
    """One thing to go over on the weekly round: where, how much, how long in store, what to look for."""

    where: str
    place_name: str
    product: str
    size: str
    amount: float
    weeks_in_store: int | None
    keeps: str
    source: str
    look_for: str
    note: str


class EatFirst(Struct, frozen=True):
    """The week's eat-first list, the cellar round and the cautions that belong to them."""

    household: str
    today: date
    must_go: tuple[MustGo, ...]
    round: tuple[RoundLine, ...]
    cautions: tuple[CautionShown, ...]


class PackLine(Struct, frozen=True):
    """One product on one shelf of a freezer: how much, how old, and how it is judged once it thaws."""

    where: str
    product: str
    size: str
    amount: float
    oldest: str
    group: str
    verdict: str


class Clock(Struct, frozen=True):
    """One of the clocks of a power cut: what, how many hours, and when it runs out, if a start is known."""

    what: str
    hours: int
    until: datetime | None


class FreezerOff(Struct, frozen=True):
    """The sheet for a freezer that is off: contents by shelf, the clocks, what to do with each pack."""

    household: str
    today: date
    freezers: tuple[str, ...]
    off_since: datetime | None
    clocks: tuple[Clock, ...]
    packs: tuple[PackLine, ...]
    steps: tuple[str, ...]
    cautions: tuple[CautionShown, ...]


class Limiting(Struct, frozen=True):
    """A product that limits how long the larder feeds the household, and what one container more buys."""

    product: str
    size: str
    on_hand: float
    days_a_container: float


class LarderCover(Struct, frozen=True):
    """How long the whole larder feeds this household, from ``today`` on, from its shelves and what comes in.

    meal_days: days of full meals at most (variety not reckoned); None: no meals or dishes are written
    down, or some role of a meal has no dish at all (unfilled). energy_days, protein_days: stored energy and
    protein over the people's needs, nothing coming in; None: nothing on the shelf has food figures.
    limiting: the five products that end the full meals first. counted: how many products on the shelf have
    food figures; unknown: those that have none.
    """

    today: date
    meal_days: float | None
    energy_days: float | None
    protein_days: float | None
    stored_kcal: float
    kcal_a_day: float
    protein_a_day_g: float
    limiting: tuple[Limiting, ...]
    counted: int
    unknown: tuple[str, ...]
    unfilled: tuple[str, ...] = ()


class GapChange(Struct, frozen=True):
    """A product whose run-out moves: mark and day before and after."""

    product: str
    mark_before: Mark
    mark_after: Mark
    out_before: date | None
    out_after: date | None


class WhatIf(Struct, frozen=True):
    """What changes under some mishaps or guests together.

    said: what was asked, in words. days_*: of full meals and of energy. first_gaps: products that run
    short of their day (or sooner than before), soonest first. fallen: dishes that could be cooked and
    no longer can. fallen_meals: planned meals that fall, as 'Tue 20 Jan supper: Corn chowder'.
    """

    said: tuple[str, ...]
    meal_days_before: float | None
    meal_days_after: float | None
    energy_days_before: float | None
    energy_days_after: float | None
    first_gaps: tuple[GapChange, ...]
    fallen: tuple[str, ...]
    fallen_meals: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
