"""The menu question with a switch on every rule of the house: off it is kept, on it gives way.

Nothing is wished for here: no evenness, no liking. Every rule that can be relaxed gets a switch, and so does
the stock of each product (``stock``). What no household can change stays hard: seasons, thawing nights, what
somebody must not eat, whole containers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.menu.week.constraints import build, dishes_and_promises
from pantrymeals.menu.week.model import MenuModel, Rule
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.menu.week.rules.table import CONSTRAINTS, HOUSE_RULES, entry_of
from pantrymeals.solving.linear_model import ANY, LinearModel

SWITCH = 1_000_000
"""The price of one rule that gives way; amounts cost so little beside it that the number decides."""


class Switched(Struct):
    """The model with its switches.

    switch: column by rule. amount: columns by rule, for those that give way by an amount.
    places: (table, role) that something could fill, with every rule relaxed; empty: the others.
    """

    model: MenuModel
    linear: LinearModel = field(default_factory=LinearModel)
    switch: dict[Rule, int] = field(default_factory=dict)
    amount: dict[Rule, list[int]] = field(default_factory=dict)
    empty: tuple[tuple[int, str], ...] = ()

    @property
    def problem(self) -> MenuProblem:
        """With every dish that could stand if rules and stock gave way."""
        return self.model.problem

    def on(self, rule: Rule) -> int:
        """The column of a rule's switch."""
        if rule not in self.switch:
            self.switch[rule] = self.linear.column(cost=SWITCH)
        return self.switch[rule]

    def by(self, rule: Rule, most: float, price: int) -> int:
        """A column for how far a rule gives way in one row: nothing while its switch is off."""
        if not price and most == 1:
            return self.on(rule)
        by = self.linear.column(hi=round(most), cost=price)
        self.amount.setdefault(rule, []).append(by)
        self.linear.constrain("switch", [(by, 1), (self.on(rule), -most)], hi=0)
        return by

    def forbid(self, rule: Rule, cols: Iterable[int]) -> None:
        """None of these columns while the rule is kept: one row for each, which is sharper than their sum."""
        for col in cols:
            self.linear.constrain("switch", [(col, 1), (self.on(rule), -1)], hi=0)

    def given_way(self, x: np.ndarray) -> dict[Rule, int]:
        """The rules that give way in a decision, each with the most it gives way by (0: it has no amount)."""
        return {
            rule: max((round(x[col]) for col in self.amount.get(rule, ())), default=0)
            for rule, switch in self.switch.items()
            if x[switch] > 0.5
        }


def with_switches(problem: MenuProblem, asked: MenuProblem, fill: bool) -> Switched:
    """The model whose house rules can give way, the shelf apart.

    problem: with every dish that could stand if rules and stock gave way. asked: the question as it was asked.
    fill: every place that can be filled must be.
    """
    out = Switched(build(problem, {}, CONSTRAINTS, giving_way=True))
    _copy_columns(out, fill)
    _copy_rows(out, _least_as_asked(asked))
    for rule, cols in sorted(out.model.struck.items()):
        out.forbid(rule, sorted(cols))
    return out


def _copy_columns(out: Switched, fill: bool) -> None:
    """Columns of the menu, priced nothing; places that something could fill are not left open."""
    model = out.model
    out.linear.lo, out.linear.hi = list(model.linear.lo), list(model.linear.hi)
    out.linear.cost = [0] * model.linear.width
    out.linear.implied = list(model.linear.implied)
    fillable = {
        (c.table, role)
        for i, c in enumerate(model.problem.candidates)
        for role in (c.role, *c.dish.covers)
        if model.linear.hi[model.cook[i]]
    }
    if fill:
        for place, col in model.open.items():
            if place in fillable:
                out.linear.hi[col] = 0
    out.empty = tuple(place for place in model.open if place not in fillable)


def _copy_rows(out: Switched, least: Mapping[Rule, float]) -> None:
    linear = out.model.linear
    for r, kept in enumerate(linear.kept):
        cols = list(linear.cols[linear.starts[r] : linear.starts[r + 1]])
        terms = list(zip(cols, linear.coefs[linear.starts[r] : linear.starts[r + 1]], strict=True))
        lo, hi = linear.row_lo[r], linear.row_hi[r]
        entry = entry_of(kept)
        if entry is None or isinstance(entry.relax, str) or not isinstance(kept, Rule):
            out.linear.constrain(kept, terms, lo, hi)
            continue
        rule = replace(kept, day=-1) if entry.by_week else kept
        if lo > -ANY:
            if entry.by_week:
                lo = min(lo, least.get(kept, 0))
            out.linear.constrain(kept, [*terms, (out.by(rule, max(lo, 0), entry.unit_price), 1)], lo=lo)
        else:
            most = sum(max(0, k) * linear.hi[c] for c, k in terms)
            if most > hi:
                out.linear.constrain(kept, [*terms, (out.by(rule, most - hi, entry.unit_price), -1)], hi=hi)


def _least_as_asked(asked: MenuProblem) -> dict[Rule, float]:
    """What is asked of each week as far as its dishes can stand as things are."""
    linear = dishes_and_promises(asked, [rule.constrain for rule in HOUSE_RULES if rule.by_week]).linear
    return {kept: lo for kept, lo in zip(linear.kept, linear.row_lo, strict=True) if isinstance(kept, Rule)}
