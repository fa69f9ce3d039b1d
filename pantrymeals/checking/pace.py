"""The common pace, worked out a second time: at the pace a plan states, shares are followed as well as at any.

What it means exactly stands in DEVELOPERS.md, 'What a menu costs'. Parts of dishes may be cooked and days are not told
apart; every place is filled, or left open at its price; a dish is cooked no oftener than its days between allow; no
product is drawn beyond what is there in all. The least sum of how far each product is from its share at a pace, each
weighed as in the cost, is a linear program; it is asked with the pace free and with the pace as stated.
Source of its answers: HiGHS (Huangfu and Hall, Math. Prog. Comp. 10, 2018).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction

from pantrymeals.checking.could_stand import CouldStand, MealCould, places
from pantrymeals.checking.evenness import even_share, is_kept_even, step_of
from pantrymeals.checking.points import FEWEST_STEPS, OFF, OPEN
from pantrymeals.checking.shelf import ZERO, gone_through, part_jars, stood, supplied
from pantrymeals.checking.variety import days_between
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household, Role

THOUSANDTH = 0.0006
"""A pace is stated in thousandths: half of one, and a hair."""

Term = tuple[int, float]


class _Program:
    """Columns from 0 to a most, each with its price, and rows held between a low and a high."""

    def __init__(self) -> None:
        self.most: list[float] = []
        self.price: list[float] = []
        self.rows: list[tuple[float, float, list[Term]]] = []

    def column(self, most: float, price: float = 0.0) -> int:
        """A new column's number."""
        self.most.append(most)
        self.price.append(price)
        return len(self.most) - 1

    def row(self, terms: Iterable[Term], low: float, high: float) -> None:
        """Hold a sum between low and high."""
        sums: dict[int, float] = defaultdict(float)
        for column, factor in terms:
            sums[column] += factor
        self.rows.append((low, high, list(sums.items())))

    def least(self, column: int, held: float) -> tuple[float, float]:
        """The least price, and the least with a column held at a value."""
        import highspy
        import numpy as np

        class Quiet(highspy.Highs):
            """It greets on stdout while it sets up its callbacks."""

            def enableCallbacks(self) -> None:
                self.setOptionValue("output_flag", False)
                super().enableCallbacks()  # type: ignore[no-untyped-call]

        program = highspy.HighsLp()
        program.num_col_, program.num_row_ = len(self.most), len(self.rows)
        program.col_cost_ = np.array(self.price)
        program.col_lower_, program.col_upper_ = np.zeros(len(self.most)), np.array(self.most)
        program.row_lower_ = np.array([low for low, _, _ in self.rows])
        program.row_upper_ = np.array([high for _, high, _ in self.rows])
        program.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        program.a_matrix_.start_ = np.cumsum([0, *(len(terms) for _, _, terms in self.rows)])
        program.a_matrix_.index_ = np.array([c for _, _, terms in self.rows for c, _ in terms], np.int32)
        program.a_matrix_.value_ = np.array([f for _, _, terms in self.rows for _, f in terms], float)
        highs = Quiet()  # type: ignore[no-untyped-call]
        highs.setOptionValue("threads", 1)
        steps = [highs.passModel(program), highs.run()]
        free = float(highs.getInfo().objective_function_value)
        steps += [highs.changeColBounds(column, held, held), highs.run()]
        if highspy.HighsStatus.kError in steps:
            raise RuntimeError("HiGHS refused the checker's model of the pace")
        return free, float(highs.getInfo().objective_function_value)


def pace_is_a_pace(household: Household, plan: MenuPlan) -> Iterator[str]:
    """The common pace lies from 0 to 1, and at no other could the shares be followed better."""
    if not 0 <= plan.pace <= 1:
        yield f"the common pace is {float(plan.pace):.4g}; it must lie from 0 to 1"
    elif plan.shares:
        laid = list(places(household, plan))
        program, pace, steepest = _of_shares(household, plan, laid)
        best, stated = program.least(pace, float(plan.pace))
        if stated > best + steepest * THOUSANDTH + 1e-6:
            yield (
                f"the common pace is stated as {float(plan.pace):.4g}; at another the even shares could be followed "
                f"better, by {stated - best:.3g} of a share in all"
            )


def _of_shares(household: Household, plan: MenuPlan, laid: list[MealCould]) -> tuple[_Program, int, float]:
    """The program, the column of its pace, and how fast the price can change with the pace."""
    program = _Program()
    pace = program.column(1.0)
    takes: dict[str, list[tuple[int, Fraction]]] = defaultdict(list)
    cooked: dict[str, list[Term]] = defaultdict(list)
    for (roles, dishes), many in Counter((place.roles, place.dishes) for place in laid).items():
        _fill(program, roles, dishes, many, takes, cooked)
    for name, columns in cooked.items():
        dish = household.dishes[name]
        apart = max(1, days_between(household, dish))
        if apart > 1 or dish.role not in ("bread", "fruit"):
            program.row(columns, 0, -(-plan.days // apart))
    steepest = 0.0
    for name, drawn in takes.items():
        product = household.products[name]
        content = product.sizes[0].content
        standing = stood(household, plan, product)[-1]
        open_now = sum((left for _, _, left in part_jars(household, plan, product)), ZERO)
        there = supplied(household, plan, product)[-1] - standing + open_now
        use = [(column, float(amount / content)) for column, amount in drawn]
        program.row(use, 0, float(there / content))
        if is_kept_even(household, plan, product):
            share = even_share(household, product, plan.first, plan.days) / content
            weight = 1 / max(share, Fraction(FEWEST_STEPS * step_of(household, product)))
            by_itself = float(gone_through(household, plan, product) / content)
            off = program.column(float("inf"), float(weight))
            program.row([*use, (off, 1), (pace, -float(share))], -by_itself, float("inf"))
            program.row([*use, (off, -1), (pace, -float(share))], -float("inf"), -by_itself)
            steepest += float(share * weight)
    return program, pace, steepest


def _fill(
    program: _Program,
    roles: tuple[Role, ...],
    dishes: tuple[CouldStand, ...],
    many: int,
    takes: dict[str, list[tuple[int, Fraction]]],
    cooked: dict[str, list[Term]],
) -> None:
    """So many meals of the same roles and dishes: every role once, by parts of dishes or left open."""
    filling: dict[Role, list[Term]] = {role: [(program.column(many, float(OPEN[role] / OFF)), 1.0)] for role in roles}
    for one in dishes:
        column = program.column(many)
        cooked[one.dish.name].append((column, 1.0))
        for role in {one.dish.role, *one.dish.covers} & filling.keys():
            filling[role].append((column, 1.0))
        for choice in one.uses:
            parts = [program.column(many) for _ in choice]
            program.row([(column, -1.0), *((part, 1.0) for part in parts)], 0, 0)
            for part, (name, amount) in zip(parts, choice, strict=True):
                takes[name].append((part, amount))
    for terms in filling.values():
        program.row(terms, many, many)


RULES = (pace_is_a_pace,)
