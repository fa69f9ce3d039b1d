"""Rule 5 as the plan states it: each figure of an opening that is changed is told, and the right ones pass."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from msgspec.structs import replace

from pantrymeals.plans.menu import Fetched, FromLot, MenuPlan, Opening, Waste
from pantrymeals.records import Household
from tests.kitchens.tiny import arrival, cooked, day, dish, jar, kitchen, loose, lot, menu, part_jar, qty, supper, told
from tests.unit.checking.sound import judged, with_shares

OLD, NEW = FromLot("P", date(2025, 5, 1)), FromLot("P", date(2025, 9, 1))


def _plan() -> tuple[Household, MenuPlan]:
    """Half a bird that is thawing, then one lifted out, roasted on Wednesday and Thursday; carrots of Wednesday."""
    home = kitchen(
        products=[jar("Bird", kind="freezer", thaw_days=2, opened_days=2), loose("Carrots")],
        lots=[
            lot("Bird", 1, put_up=date(2025, 5, 1)),
            lot("Bird", 3, state="held"),
            lot("Bird", 2),
            lot("Carrots", 4, "lb"),
        ],
        part_jars=(part_jar("Bird", "1/2 qt", day(0)),),
        dishes=[dish("Roast", ["1 qt Bird", "1 lb Carrots"]), dish("Broth", ["1/4 qt Bird"])],
    )
    meals = [supper(day(n), open_roles=("main",)) for n in range(2)]
    meals += [supper(day(2), cooked(home, "Roast")), supper(day(3), cooked(home, "Broth"))]
    plan = told(home, menu(home, meals, [Opening(day(2), "Bird", "qt", 1)]))
    return home, with_shares(home, replace(plan, waste=(Waste(day(3), "Bird", qty("1/4 qt")),)))


def test_the_plan_as_it_should_be_passes() -> None:
    home, plan = _plan()
    assert judged(home, plan) == []
    [opening] = plan.openings
    assert (opening.lifted, opening.eat_by, opening.lot) == (day(0), day(3), OLD)
    assert opening.uses == ((day(2), qty("1/2 qt")), (day(3), qty("1/4 qt")))


def _opening(**changes: object) -> Callable[[MenuPlan], MenuPlan]:
    return lambda plan: replace(plan, openings=(replace(plan.openings[0], **changes),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_opening(lifted=day(1)), "comes out to thaw on Mon 5 January, the plan states Tue 6 January"),
        (_opening(lifted=None), "comes out to thaw on Mon 5 January, the plan states Wed 7 January"),
        (_opening(eat_by=day(4)), "is eaten up to Thu 8 January, the plan states Fri 9 January"),
        (_opening(eat_by=None), "is eaten up to Thu 8 January, the plan states no day"),
        (
            _opening(uses=((day(2), qty("1/2 qt")),)),
            "1/4 qt Bird is taken of what was opened on Wed 7 January, the plan",
        ),
        (
            lambda plan: replace(plan, begun=()),
            "1/2 qt Bird is taken of what was opened on Mon 5 January, the plan states 0",
        ),
        (_opening(lot=FromLot("F", date(2025, 5, 1))), "1 x qt of the lot of Thu 1 May at 'F', 0 are there"),
        (_opening(lot=OLD, count=2), "2 x qt of the lot of Thu 1 May at 'P', 1 are there"),
        (
            lambda plan: replace(
                plan, fetched=(*plan.fetched, Fetched(day(2), "Carrots", "lb", qty("4 lb") / qty("1 lb"), NEW))
            ),
            "5 x lb of the lot of Mon 1 September at 'P', 4 are there",
        ),
    ],
)
def test_each_figure_that_is_wrong_is_told(change: Callable[[MenuPlan], MenuPlan], said: str) -> None:
    home, plan = _plan()
    assert any(said in breach for breach in judged(home, change(plan))), judged(home, change(plan))


def test_a_held_lot_gives_nothing() -> None:
    home, plan = _plan()
    held = replace(home, lots=tuple(replace(x, state="held") if x.put_up == date(2025, 5, 1) else x for x in home.lots))
    assert any("1 x qt of the lot of Thu 1 May at 'P', 0 are there" in breach for breach in judged(held, plan))


def test_what_comes_in_is_a_lot_of_its_own_day() -> None:
    home, plan = _plan()
    fresh = Fetched(day(2), "Carrots", "lb", qty("1 lb") / qty("1 lb"), FromLot("P", day(1)))
    fresh_plan = replace(plan, fetched=(fresh,))
    assert any("Carrots: 1 x lb of the lot of Tue 6 January" in x for x in judged(home, fresh_plan))
    comes = replace(home, arrivals=(arrival("Carrots", "2 lb", day(1)),))
    assert not [x for x in judged(comes, fresh_plan) if "of the lot" in x]
