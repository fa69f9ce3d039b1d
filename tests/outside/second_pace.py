"""How well shares can be followed at a pace: a linear program of its own, solved by HiGHS (see second_model)."""

from __future__ import annotations

from collections import defaultdict
from math import inf

import highspy

from tests.kitchens import own_evenness as even
from tests.kitchens import own_reading as own
from tests.kitchens import own_rules as rule
from tests.kitchens.own_reading import Question
from tests.outside.second_model import SecondModel, Term


def fits_at(question: Question, pace: float | None) -> float:
    """How well even shares can be followed at a pace, or at the best one: the least sum of what they are missed by.

    Parts of dishes may be cooked, every role of every meal by parts or left open; days are told apart, since a meal is
    a meal, but nothing is asked of their order.
    """
    model = SecondModel.__new__(SecondModel)
    model.highs, model.columns, model.whole = highspy.Highs(), 0, []
    model.highs.setOptionValue("output_flag", False)
    model.highs.setOptionValue("threads", 1)  # as every model in one process must
    home = question.household
    factor = model.column(1.0 if pace is None else pace, whole=False)
    if pace is not None:
        model.row([(factor, 1)], pace, pace)
    cooked: dict[str, list[Term]] = defaultdict(list)
    takes: dict[str, list[Term]] = defaultdict(list)
    for at in question.places:
        filled: dict[str, list[Term]] = {
            role: [(model.column(inf, own.OPEN_ROLE[role] / own.OFF_SHARE, whole=False), 1)] for role in at.roles
        }
        for dish, uses in at.could:
            col = model.column(whole=False)
            cooked[dish.name].append((col, 1))
            for role in filled:
                if role == dish.role or role in dish.covers:
                    filled[role].append((col, 1))
            for use in uses:
                ways = [(model.column(whole=False), name, amount) for name, amount, _ in use]
                model.row([(col, -1), *((way, 1) for way, _, _ in ways)], 0, 0)
                for way, name, amount in ways:
                    takes[name].append((way, float(amount / question.stocks[name].content)))
        for terms in filled.values():
            model.row(terms, 1, 1)
    for name, terms in cooked.items():
        dish = home.dishes[name]
        gap = rule.gap_of(home, dish)
        if gap > 1 or dish.role not in ("bread", "fruit"):
            model.row(terms, high=-(-question.days // max(1, gap)))
    for name, stock in question.stocks.items():
        model.row(takes[name], high=float(stock.there / stock.content))
        if even.kept_even(home, stock.product, question.first, question.days):
            share = float(even.even_share(home, stock.product, question.first, question.days))
            stood = float(rule.gone_through(home, stock.product, question.first, question.days) / stock.content)
            weight = 1 / max(share, own.FEWEST_STEPS * even.step_of(home, stock.product))
            over, under = model.column(inf, weight, whole=False), model.column(inf, weight, whole=False)
            model.row([*takes[name], (factor, -share), (over, -1), (under, 1)], -stood, -stood)
    model.highs.run()
    assert model.highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return float(model.highs.getInfo().objective_function_value)
