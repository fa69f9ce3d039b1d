"""No container open that no dish needs.

The first menus that a search finds open more than their dishes take. What was opened for nothing is wasted, and cheap;
but of what is scarce later weeks have then too little, and a day cooked anew finds the shelf bare that is not.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from pantrymeals.menu.long.long_table import LongTable
from pantrymeals.menu.reading import openings_needed
from pantrymeals.solving.cutting import cut
from pantrymeals.solving.solvers import linear_relaxation


def tidy(table: LongTable) -> None:
    """Open no more than the dishes need: a container that a search opened for nothing must stand in no dish's way.

    Of what comes in one size and is wasted soon after it is opened; the rest is sums, or the sizes are a choice.
    """
    model = table.model
    stocks = model.problem.stocks
    number_of = {stock.name: n for n, stock in enumerate(stocks) if stock.life is not None and len(stock.sizes) == 1}
    of_day = {key: col for key, col in model.opened.items() if stocks[key[0]].name in number_of}
    needed: Counter[int] = Counter()
    left_alone = set()
    for opening in openings_needed(model, table.x):
        product = number_of.get(opening.product)
        day = (opening.day - model.problem.request.first).days
        if product is not None and (product, 0, day) in of_day:
            needed[of_day[product, 0, day]] += opening.count
        else:
            left_alone.add(product)
    changed = {col: needed[col] for key, col in of_day.items() if key[0] not in left_alone}
    x = table.x.copy()
    x[list(changed)] = list(changed.values())
    keep = np.flatnonzero(table.implied & ~table.whole_horizon)
    x[keep] = linear_relaxation(cut(table.linear, table.entries, keep, x, table.entries.sums(x))).x
    table.offer(table.x, x)
