"""The one forecast: every product at two paces, the table's own and the menus', each with its mark and advice."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, sqrt
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.forecast.forecast import WEEKS_AHEAD, YOUNG_WEEKS, BookPace, futures, month_of_weeks, stated_year
from pantrymeals.forecast.marks import Facts, Thresholds, mark_of, reason
from pantrymeals.forecast.planned import Menus, go_down
from pantrymeals.forecast.rationing import eat_down, ration
from pantrymeals.forecast.shelf import shelf_of
from pantrymeals.forecast.simulate import EDGES, Future, Outcome, simulate
from pantrymeals.forecast.sitters import TOO_YOUNG, too_young_to_tell
from pantrymeals.larder.must_reach import its_day, keeps_to
from pantrymeals.larder.on_hand import all_held
from pantrymeals.plans.outlook import AtPace, Forecast, ForecastRow
from pantrymeals.records import Household, Product

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan

PATHS = 2000
_NEVER = float("inf")


def foresee(
    household: Household,
    pace: BookPace,
    plan: MenuPlan | None = None,
    *,
    limits: Thresholds | None = None,
    paths: int = PATHS,
    seed: int = 1,
    factor: NDArray[np.float64] | None = None,
    idle: Collection[str] = (),
    also: Collection[str] = (),
    names: Collection[str] | None = None,
    usual: Forecast | None = None,
) -> Forecast:
    """Run-out of every product that is in the house, or that standing use or the menus take.

    plan: the menus that are followed. factor: [104 weeks] more or fewer at table than usual. idle: products
    not to be used. also: products to show though none is there. names: of these alone; None: of all. usual: the same
    forecast without the menus, where it is there: what the table has been eating is as there.
    The same seed gives the same forecast.
    """
    menus = Menus(household, plan, () if factor is None else factor.tolist())
    case = _Case(household, pace, menus, limits, idle)
    eaten = {row.product: row.as_eaten for row in usual.rows} if usual is not None else {}
    coming = {f.name: f for f in futures(household, pace, WEEKS_AHEAD, factor, idle, names) if pace.speaks_of(f.name)}
    rows = []
    for name in household.products:
        if (names is None or name in names) and (name in also or case.shown(name)):
            future = coming.get(name)
            if name not in eaten:
                eaten[name] = None if future is None else case.as_eaten(future, simulate(future, paths, seed))
            rows.append(case.row(name, eaten[name]))
    return Forecast(
        household=household.name,
        today=household.today,
        rows=tuple(rows),
        paths=paths,
        seed=seed,
        menu_days=plan.days if plan else 0,
        book_weeks=pace.history.weeks,
        season_drift=sqrt(pace.rates.season_drift),
        notes=_notes(pace),
    )


_SIGNS = (
    "Beside it speak the menus, standing use, what your dishes would take at your table, and published plans; each "
    "counts for less as the book grows."
)


def _notes(pace: BookPace) -> tuple[str, ...]:
    weeks, notes = pace.history.weeks, []
    if not pace.old_enough:
        book = f"The book holds {weeks} weeks" if weeks else "The book is empty"
        notes.append(f"{book}: too young to tell how you have been eating. {_SIGNS}")
    elif weeks < YOUNG_WEEKS:
        notes.append(f"The book holds only {weeks} weeks. {_SIGNS}")
    if too_young_to_tell(pace.years.values()):
        notes.append(TOO_YOUNG)
    if pace.old_enough and pace.rates.present != 1:
        notes.append(
            f"In the last six weeks the table went through its shelves at {pace.rates.present:.1f} times the pace "
            "that the book led one to expect; that pace is taken to go on."
        )
    return tuple(notes)


class _Case:
    """What every row is made from.

    household: as it is, for the book's pace; the menus' has their batch days done.
    """

    def __init__(
        self, household: Household, pace: BookPace, menus: Menus, limits: Thresholds | None, idle: Collection[str]
    ) -> None:
        self.household, self.pace, self.menus, self.idle = household, pace, menus, idle
        self.limits = limits or Thresholds()
        soon = household.today + timedelta(weeks=8)
        self.weeks_coming: dict[str, set[int]] = {}
        for a in household.arrivals:
            if household.today <= a.day < soon:
                self.weeks_coming.setdefault(a.product, set()).add((a.day - household.today).days // 7)

    def shown(self, name: str) -> bool:
        """Whether there is any, or anything wants it."""
        if shelf_of(self.household, name).there:
            return True
        pace = self.menus.pace(name)
        return bool(pace.standing) or any(pace.drawn)

    def row(self, name: str, eaten: AtPace | None) -> ForecastRow:
        """One product's row."""
        product, shelf = self.household.products[name], shelf_of(self.household, name)
        stated = stated_year(self.household, name)
        return ForecastRow(
            product=name,
            size=product.sizes[0].name,
            on_hand=float(shelf.on_hand),
            reserve=float(shelf.reserve),
            part=float(shelf.part),
            elsewhere=float(shelf.elsewhere),
            must_last_to=None if keeps_to(product) else its_day(self.household, product),
            eat_by=its_day(self.household, product) if keeps_to(product) else None,
            deadline_kind=product.deadline_kind,
            stated=float(stated[self._months(product)].mean()) if stated.any() else None,
            as_eaten=eaten,
            as_planned=self.as_planned(name),
            told_by=self.pace.told_by[name] if self.pace.history.weeks < YOUNG_WEEKS else ("the book",),
            range_held=self.pace.rates.of[name].held,
            range_tested=self.pace.rates.of[name].tested,
        )

    def as_eaten(self, future: Future, outcome: Outcome) -> AtPace:
        """What the futures drawn at the book's pace come to."""
        product, rate = self.household.products[future.name], self.pace.rates.of[future.name]
        early, middle, late = three_edges(outcome.out)
        low, left, high = three_edges(outcome.left)
        weekly = float((rate.weekly * np.array(rate.by_month)[self._months(product)]).mean())
        facts = replace(
            self._facts(self.household, product, left, middle, weekly),
            chance=None if future.deadline is None else float(outcome.met.mean()),
            gap_weeks=0.0 if future.deadline is None else float(outcome.gap.mean()),
        )
        found = self._judged(product, facts, left_low=low, left_high=high)
        today = self.household.today
        if middle > 0:  # what is gone has no day until which; its pace is that to its day
            found = replace(found, weekly=float(future.use[: ceil(min(middle, WEEKS_AHEAD))].mean()))
        return replace(found, out_early=_day(today, early), out_late=_day(today, late))

    def as_planned(self, name: str) -> AtPace:
        """Where the menus, and then an even hand, bring it: no chance in it."""
        then = self.menus.household
        product, pace = then.products[name], self.menus.pace(name)
        if name in self.idle:
            pace = replace(pace, standing=pace.standing.times(Fraction(0)), drawn=(), later=pace.later * 0)
        going = go_down(then, product, pace)
        today = self.household.today
        out = _NEVER if going.out is None else ((going.out - today).days + 1) / 7
        facts = self._facts(then, product, float(going.left), out, float(going.weekly))
        due = facts.due
        facts = replace(
            facts,
            out=going.out,
            chance=None if due is None else float(not going.lacking),
            gap_weeks=max(0, (due - going.out).days - 1) / 7 if due and going.out and going.lacking else 0.0,
            fixed=True,
            lacking=float(going.lacking),
            even=pace.even and pace.later > 0,
            takes=pace.takes(),
        )
        found = self._judged(product, facts, left_low=facts.left, left_high=facts.left)
        found = replace(found, weekly=float(going.until_out))
        noted = "; ".join(self.menus.batch_words.get(name, ()))
        said = f"{found.reason.rstrip('.')}; {noted}." if noted else found.reason
        return replace(found, out_early=going.out, out_late=going.out, reason=said)

    def _facts(self, household: Household, product: Product, left: float, out_weeks: float, weekly: float) -> Facts:
        """The facts that are found alike at every pace."""
        name, today = product.name, self.household.today
        shelf, day = shelf_of(household, name), its_day(household, product)
        running = self.pace.years.get(name)
        return Facts(
            to_use=float(shelf.to_use),
            on_hand=float(shelf.on_hand),
            chance=None,
            left=left,
            gap_weeks=0.0,
            out=_day(today, out_weeks),
            due=day if day and day > today else None,
            eat_by=day if keeps_to(product) else None,
            cover_weeks=out_weeks,
            held=all_held(household, name),
            sitting=self.pace.sits(self.household, name),
            used=None if running is None else float(running.used),
            weekly=weekly,
            rolling=product.must_last_to is None and len(self.weeks_coming.get(name, ())) >= 4,
        )

    def _judged(self, product: Product, facts: Facts, *, left_low: float, left_high: float) -> AtPace:
        """A pace's figures with their mark, reason and advice."""
        today = self.household.today
        mark = mark_of(product, facts, today, self.limits)
        advice = ""
        if mark in ("short", "tight") and facts.due is not None:
            advice = ration(product, facts.to_use, today, facts.due)
        elif mark in ("glut", "eat first") and facts.to_use > 0 and facts.left > 0:
            advice = eat_down(product, facts.to_use, facts.weekly, today, facts.due)
        return AtPace(
            weekly=facts.weekly,
            out=facts.out,
            out_early=facts.out,
            out_late=facts.out,
            chance=facts.chance,
            gap_weeks=facts.gap_weeks,
            left=facts.left,
            left_low=left_low,
            left_high=left_high,
            cover_weeks=None if facts.cover_weeks == _NEVER else facts.cover_weeks,
            mark=mark,
            reason=reason(mark, product, facts, today),
            advice=advice,
        )

    def _months(self, product: Product) -> NDArray[np.int64]:
        """Month indices of the weeks from today to the product's day, or over a year."""
        today, due = self.household.today, its_day(self.household, product)
        weeks = max(1, round((due - today).days / 7)) if due and due > today else 52
        return month_of_weeks(today, weeks)


def three_edges(values: NDArray[np.float32]) -> tuple[float, float, float]:
    """The edges of the 10-90 % range and its middle, each one of the values (see ``EDGES``)."""
    at = [int(q * (len(values) - 1)) for q in EDGES]
    parted = np.partition(values, at)
    return float(parted[at[0]]), float(parted[at[1]]), float(parted[at[2]])


def _day(today: date, weeks: float) -> date | None:
    return None if weeks == _NEVER else today + timedelta(days=int(7 * weeks))
