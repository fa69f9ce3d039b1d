"""The target path of a long menu: how much of each product should be gone by when, so that enough is left for later.

The totals know what a whole horizon can be given, and in which stretch of it, but of many ways that cost the same
they take any: all the sauerkraut in the first month. Here they are asked to go as steadily as they can; a window of
days is then steered by how far each product should be by its end. After each stretch the totals are asked again,
with what was planned as it is and what went over gone.
"""

from __future__ import annotations

import threading
from collections import defaultdict
from collections.abc import Hashable, Mapping

import numpy as np

from pantrymeals.larder.evenness import shares
from pantrymeals.menu.long.long_table import MANY_DAYS
from pantrymeals.menu.long.totals import GONE, build_totals
from pantrymeals.menu.week.model import POINT, SHELF, Band, MenuModel
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.menu.week.rules.table import entry_of
from pantrymeals.solving.linear_model import ANY, arrays
from pantrymeals.solving.solvers import FROM_WITHIN, heed, highs_model

STRETCH_DAYS = 14
STEADY_POINTS, STEADY_DAYS = 20, 56
"""What a whole share too early or too late costs, little beside all else; and every how many days it is looked at."""

OVER_AT_FIRST, KNOWN_CONTAINERS = 0.15, 5
"""The part of what is opened that is taken to go over, and after how many containers what really did counts as much."""

DREGS = 0.5
"""The part of a usual cooking of each product that is taken to be left."""

THOUSAND = 1000


def _scarce(kept: Hashable) -> bool:
    """Whether a constraint's price guides the rolling horizon; a window keeps all others itself."""
    entry = entry_of(kept)
    return kept in (SHELF, GONE) if entry is None else entry.scarce


class TargetPath:
    """The totals of a horizon, and what they say of the way through it.

    gone: by stretch, grains of each product that should be drawn by its end. price: by a column of the totals, what
    it takes of things that are scarce: of the shelf, and of the times a dish may come again.
    """

    def __init__(self, problem: MenuProblem, bands: Mapping[int, Band], stop: threading.Event | None = None) -> None:
        """stop: ends the looking ahead; nothing is then scarce, and nothing asked of any stretch."""
        self.problem = problem
        self.totals = build_totals(problem, bands, STRETCH_DAYS, pooled=True)
        many = self.totals.stretch_days
        self.ends = [min(problem.days, start + many) for start in range(0, problem.days, many)]
        self.stretches = len(self.ends)
        self.parts_of_share = [self._part_of_share(end) for end in self.ends]
        self._go_steadily(bands)
        linear = arrays(self.totals.linear)
        self.scarce = np.array([_scarce(kept) for kept in self.totals.linear.kept])
        self.row_of = np.repeat(np.arange(linear.row_lo.shape[0]), np.diff(linear.starts))
        self.linear = linear
        self.model = highs_model(linear, relax=True)
        nothing = np.zeros(len(problem.stocks))
        self.fraction = [
            any(grains % stock.container for _, _, grains in draws)
            for stock, draws in zip(problem.stocks, self.totals.draws, strict=True)
        ]
        self._hold_back(nothing, nothing, 0)
        self._look_ahead(stop)

    def _look_ahead(self, stop: threading.Event | None) -> None:
        """Ask the totals; of a long horizon from within and then to a corner, from which they are soon asked again."""
        if self.problem.days > MANY_DAYS:
            self.model.setOptionValue(*FROM_WITHIN)
        if stop is not None:
            heed(self.model, stop)
        self.model.run()
        self.model.setOptionValue("solver", "choose")
        nothing: np.ndarray = np.zeros(self.linear.cost.shape)
        if stop is not None and stop.is_set():
            self.x = self.price = nothing
            self.gone = np.zeros((self.stretches + 1, len(self.problem.stocks)))
        else:
            self._read()

    def _part_of_share(self, day: int) -> list[float]:
        """By product, the part of its whole share that an even hand has drawn by a day."""
        problem = self.problem
        by_then = shares(problem.household, problem.request.first, day)
        out = []
        for stock in problem.stocks:
            if stock.averaged and stock.share:
                out.append(min(1.0, float(by_then[stock.name] / (stock.share * stock.exact_container))))
            else:
                there = stock.room(day - 1) if day else 0
                in_all = stock.room(problem.days - 1)
                out.append(min(1.0, max(0.0, there / in_all)) if in_all > 0 else day / problem.days)
        return out

    def _go_steadily(self, bands: Mapping[int, Band]) -> None:
        """Now and then, a small price for each share off the even hand's way."""
        linear = self.totals.linear
        every = max(1, round(STEADY_DAYS / self.totals.stretch_days))
        marks = [*range(every - 1, self.stretches - 1, every), self.stretches - 1]
        for product, band in bands.items():
            terms: dict[int, list[tuple[int, int]]] = defaultdict(list)
            for stretch, col, grains in self.totals.draws[product]:
                terms[next(n for n, mark in enumerate(marks) if stretch <= mark)].append((col, -grains))
            gone: list[int] = []
            for n in range(len(marks)):
                col = linear.column(0, ANY, 0, True)
                linear.constrain(GONE, [(col, 1), *([(gone[-1], -1)] if gone else []), *terms[n]], 0, 0)
                gone.append(col)
            cost = float(STEADY_POINTS * POINT * band.worth * band.units)
            for mark, col in zip(marks[:-1], gone[:-1], strict=True):
                part = round(THOUSAND * self.parts_of_share[mark][product])
                early, late = (linear.column(0, ANY, cost, True) for _ in range(2))
                linear.constrain(
                    "steadily", [(col, THOUSAND), (gone[-1], -part), (early, -THOUSAND), (late, THOUSAND)], 0, 0
                )

    def _read(self) -> None:
        solution = self.model.getSolution()
        self.x = np.array(solution.col_value)
        worth = np.where(self.scarce, -np.array(solution.row_dual), 0.0)[self.row_of]
        self.price = np.bincount(self.linear.cols, worth * self.linear.coefs, minlength=self.x.shape[0])
        drawn = np.zeros((self.stretches + 1, len(self.problem.stocks)))
        for product, draws in enumerate(self.totals.draws):
            for stretch, col, grains in draws:
                drawn[stretch + 1, product] += grains * self.x[col]
        self.gone = np.cumsum(drawn, axis=0)

    def drawn_by(self, day: int) -> np.ndarray:
        """Grains of each product that should be drawn by the end of so many days."""
        many = self.totals.stretch_days
        stretch = min(self.stretches - 1, day // many)
        begin, end = self.gone[stretch], self.gone[stretch + 1]
        zero = [0.0] * len(self.problem.stocks)
        before = np.array(self.parts_of_share[stretch - 1] if stretch else zero)
        whole = np.array(self.parts_of_share[stretch]) - before
        along = (day - stretch * many) / (self.ends[stretch] - stretch * many)
        part = np.array(self._part_of_share(day)) - before
        done: np.ndarray = np.where(whole > 0, part / np.where(whole > 0, whole, 1.0), along)
        return np.asarray(begin + (end - begin) * done)

    def prices(self, model: MenuModel) -> np.ndarray:
        """By a column of the menu's model, the price of what it takes that is scarce (model units)."""
        out = np.zeros(model.linear.width)
        for col, (numbers, choices) in self.totals.stands_for.items():
            for number in numbers:
                out[model.cook[number]] = self.price[col]
                for place, ys in enumerate(choices):
                    out[model.option[number, place]] = self.price[ys]
        return out

    def passed(self, stretch: int, model: MenuModel, x: np.ndarray) -> None:
        """A stretch has been planned: take its dishes as they are, and ask again what is left for the later ones."""
        cols: list[int] = []
        values: list[float] = []
        of_stretch = {col for number, _, col in self.totals.counts if self.totals.kinds[number].stretch == stretch}
        for col in sorted(of_stretch):
            numbers, choices = self.totals.stands_for[col]
            cols.append(col)
            values.append(round(sum(x[model.cook[n]] for n in numbers)))
            for place, ys in enumerate(choices):
                cols.extend(ys)
                values.extend(np.rint(np.sum([x[model.option[n, place]] for n in numbers], axis=0)).tolist())
        fixed = np.array(values, float)
        self.model.changeColsBounds(len(cols), np.array(cols, np.int32), fixed, fixed)
        used, over = self._used_and_over(model, x, self.ends[stretch])
        self._hold_back(used, over, stretch + 1)
        self.model.run()
        if self.model.getInfo().primal_solution_status == 2:
            self._read()

    def _hold_back(self, used: np.ndarray, over: np.ndarray, stretch: int) -> None:
        """Leave on the shelf what no real menu uses: what goes over in part jars, and what is too little for a dish."""
        for row, product, by in self.totals.shelf:
            if by < stretch:  # what is planned is as it is
                self.model.changeRowBounds(row, -self.model.inf, self.linear.row_hi[row])
                continue
            stock = self.problem.stocks[product]
            room = self.linear.row_hi[row] - over[product]
            rate = 0.0
            if stock.whole and stock.life is not None and self.fraction[product]:
                known = KNOWN_CONTAINERS * stock.container
                rate = (over[product] + OVER_AT_FIRST * known) / (used[product] + known)
            later = max(0.0, room - used[product])
            later = max(0.0, later / (1 + rate) - DREGS * stock.step * stock.container)
            self.model.changeRowBounds(row, -self.model.inf, min(room, used[product] + later))

    def _used_and_over(self, model: MenuModel, x: np.ndarray, day: int) -> tuple[np.ndarray, np.ndarray]:
        """Grains of each product used before a day, and those that were opened and not used, and will not keep."""
        used = np.array([sum(g * x[c] for d, c, g in draws if d < day) for draws in model.draws], float)
        opened = np.zeros(len(self.problem.stocks))
        for (product, size, opened_on), col in model.opened.items():
            stock = self.problem.stocks[product]
            if opened_on < day and stock.life is not None:
                opened[product] += stock.sizes[size][1] * x[col]
        return used, np.maximum(0.0, np.where(opened > 0, opened - used, 0.0))
