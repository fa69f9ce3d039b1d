"""What is foreseen, beside ``plans``: run-out, what must be eaten first, and what would change if.

Frozen results that reports show and actions pass on. Counts are containers of the product's first
size, chances run from 0 to 1, and weeks count from the household's today, unless a name says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pantrymeals.plans import Mark


@dataclass(frozen=True, slots=True)
class BackTestMonth:
    """One past month-end: how many products were asked about, and how often their range held."""

    day: date
    cases: int
    held: float
    held_evenly: float


@dataclass(frozen=True, slots=True)
class BackTest:
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


@dataclass(frozen=True, slots=True)
class ThreeRates:
    """Containers a week, side by side: by the menu and standing use, by the book, and as stated.

    None where there is no menu, no book, or no word of it. Each is the mean from today to the day it
    must last to.
    """

    planned: float | None
    book: float | None
    stated: float | None


@dataclass(frozen=True, slots=True)
class ForecastRow:
    """When one product runs out, how sure that is, and what to do.

    out, out_early, out_late: the day the last one above the reserve goes: middle, and the 10 and 90 %
    edges; None: not within two years. chance: of meeting every need up to must_last_to. gap_weeks:
    weeks without before it, on average. left, left_low, left_high: over on that day (or after a year).
    cover_weeks: middle; None beyond two years. advice: how to ration or eat down; ''.
    """

    product: str
    size: str
    on_hand: float
    reserve: float
    part: float
    elsewhere: float
    rates: ThreeRates
    out: date | None
    out_early: date | None
    out_late: date | None
    must_last_to: date | None
    deadline_kind: str
    chance: float | None
    gap_weeks: float
    left: float
    left_low: float
    left_high: float
    cover_weeks: float | None
    mark: Mark
    reason: str
    advice: str = ""


@dataclass(frozen=True, slots=True)
class Forecast:
    """The whole larder foreseen from ``today``.

    book_weeks: weeks of the book it rests on (0: only what the household says). season_wander: standard
    deviation, as a share, by which a season's pace strays from what was learnt.
    """

    household: str
    today: date
    rows: tuple[ForecastRow, ...]
    paths: int
    seed: int
    book_weeks: int
    season_wander: float
    notes: tuple[str, ...] = ()
