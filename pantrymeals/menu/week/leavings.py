"""Dishes made from what another dish leaves: rule 13, each meal by its own portions.

Each use takes one cooking's leaving that is enough for its meal and still good. Where every leaving is enough for every
use a count of what is left suffices; else who takes which is a column for each pair of days and amounts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.lately import Left, left_lately
from pantrymeals.larder.table import portions_left
from pantrymeals.menu.week.model import MenuModel, Rule


class LeavingUse(Struct, frozen=True):
    """A dish that could be made from a leaving: its day, its meal's portions, its column."""

    day: int
    portions: Fraction
    column: int


def leavings_are_there(model: MenuModel) -> None:
    """A dish made from a leaving follows a dish that leaves enough for its meal, within its days; one use a cooking."""
    problem = model.problem
    stretch = 1 + problem.household.rules.stretch
    uses: dict[str, list[LeavingUse]] = defaultdict(list)
    made: dict[str, list[Left]] = defaultdict(list)
    for i, c in enumerate(problem.candidates):
        if c.dish.needs_left is not None:
            uses[c.dish.needs_left].append(LeavingUse(c.day, problem.tables[c.table].portions, model.cook[i]))
        left = c.dish.leaves
        if left is not None:
            feeds = portions_left(c.dish, c.batches, problem.tables[c.table].portions) * stretch
            made[left.name].append(Left(c.day, feeds, left.days, model.cook[i]))
    for name, of_name in uses.items():
        before = left_lately(problem.household, problem.eaten_before, name)
        enough = min((one.feeds for one in made[name]), default=Fraction(0)) >= max(u.portions for u in of_name)
        if enough and not before:
            _counted(model, name, of_name, made[name])
        else:
            _paired(model, name, of_name, [*before, *made[name]])


def _paired(model: MenuModel, name: str, uses: Sequence[LeavingUse], made: Sequence[Left]) -> None:
    """Of like leavings (day, portions, days) and like uses (day, portions), how many of the one go to the other."""
    givers: dict[tuple[int, Fraction, int], list[Left]] = defaultdict(list)
    takers: dict[tuple[int, Fraction], list[LeavingUse]] = defaultdict(list)
    for one in made:
        givers[one.day, one.feeds, one.keeps].append(one)
    for use in uses:
        takers[use.day, use.portions].append(use)
    given: dict[tuple[int, Fraction, int], list[int]] = defaultdict(list)
    for (day, portions), users in takers.items():
        links = []
        for key, of_key in givers.items():
            if of_key[0].serves(day, portions):
                link = model.column(day, hi=len(users), implied=True, reach=of_key[0].keeps + 1)
                links.append(link)
                given[key].append(link)
        model.constrain(Rule("leaving", name), [*((x, 1) for x in links), *((u.column, -1) for u in users)], 0, 0)
    for key, links in given.items():
        there = sum(one.column is None for one in givers[key])
        cooked = [(one.column, -1) for one in givers[key] if one.column is not None]
        model.constrain(Rule("leaving", name), [*((x, 1) for x in links), *cooked], hi=there)


def _counted(model: MenuModel, name: str, uses: Sequence[LeavingUse], made: Sequence[Left]) -> None:
    """Day by day, how many leavings are there, at most those made within their days."""
    before: int | None = None
    used: dict[int, list[int]] = defaultdict(list)
    for use in uses:
        used[use.day].append(use.column)
    longest = max((one.keeps for one in made), default=1)
    for day in range(model.problem.days):
        if before is None:
            for col in used.get(day, ()):
                model.linear.hi[col] = 0
        elif used.get(day):
            model.constrain(Rule("leaving", name), [(before, 1), *((c, -1) for c in used[day])], lo=0)
        recent = [(one.column, 1) for one in made if one.day <= day < one.day + one.keeps and one.column is not None]
        if not recent:
            before = None
            continue
        after = model.column(day, "", hi=len(recent), implied=True, reach=longest)
        fresh = [(one.column, -1) for one in made if one.day == day and one.column is not None]
        terms = [(after, 1), *fresh, *((c, 1) for c in used.get(day, ()))]
        if before is not None:
            terms.append((before, -1))
        model.constrain(Rule("leaving", name), terms, hi=0)
        model.constrain(Rule("leaving", name), [(after, 1), *((c, -1) for c, _ in recent)], hi=0)
        before = after
