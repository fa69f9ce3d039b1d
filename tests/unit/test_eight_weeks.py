"""Eight weeks of the demo as they stand in demo/eight-weeks.json, held to what a cook would sign.

`python demo/make_eight_weeks.py` plans them; here nothing is planned. Energy is worked out by ``tests.kitchens``, the
rules by the checker on the household as each week finds it.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from math import floor
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.menu import lay_out, menu_answer
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.checking.menu import broken_rules
from pantrymeals.forecast.foresee import foresee
from pantrymeals.larder.left_over import left_over
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household
from pantrymeals.reports.json.stored import read_as
from tests.kitchens import own_plate
from tests.kitchens import own_rules as rule
from tests.kitchens.own_evenness import even_share
from tests.kitchens.own_rules import batches_of, kinds_of
from tests.kitchens.tiny import menu, person

DEMO = Path(__file__).resolve().parents[2] / "demo"
BASES = ("oats", "beans", "potato", "bread")
WEEKS = 8
ZERO = Fraction(0)
STORED = DEMO / "eight-weeks.json"
planned = pytest.mark.skipif(not STORED.exists(), reason="demo/eight-weeks.json is not there: make_eight_weeks.py")


@pytest.fixture(scope="module")
def tarrows() -> Household:
    return open_with_book(DEMO, date(2026, 1, 17), date(2026, 1, 17)).household


@pytest.fixture(scope="module")
def mornings(tarrows: Household, plans: tuple[MenuPlan, ...]) -> tuple[Household, ...]:
    """The household as each week finds it, and as the last leaves it."""
    homes = [tarrows]
    for plan in plans:
        homes.append(household_after(homes[-1], plan))
    return tuple(homes)


@pytest.fixture(scope="module")
def marks() -> dict[str, frozenset[str]]:
    """What run-out says of each product on the first day."""
    larder = open_with_book(DEMO, date(2026, 1, 17), date(2026, 1, 17))
    rows = foresee(larder.household, larder.pace).rows
    return {row.product: frozenset(row.marks()) for row in rows}


@pytest.fixture(scope="module")
def plans() -> tuple[MenuPlan, ...]:
    stored = json.loads(STORED.read_text(encoding="utf-8"))
    return tuple(read_as(MenuPlan, one) for one in stored)


def dishes(plans: tuple[MenuPlan, ...]) -> Iterator[tuple[PlannedMeal, PlannedDish]]:
    return ((meal, dish) for plan in plans for meal in plan.meals for dish in meal.dishes)


@planned
def test_eight_weeks_in_a_row_keep_every_rule(mornings: tuple[Household, ...], plans: tuple[MenuPlan, ...]) -> None:
    assert len(plans) == WEEKS
    for home, plan in zip(mornings, plans, strict=False):
        assert (plan.first, plan.days, plan.open_roles) == (home.today, 7, 0)
        assert broken_rules(home, plan) == []


@planned
def test_every_day_is_enough_and_none_too_much(tarrows: Household, plans: tuple[MenuPlan, ...]) -> None:
    """What has no figure gives its meal's least, and its role's part of the day ('What a menu costs')."""
    days: dict[date, list[PlannedMeal]] = defaultdict(list)
    for plan in plans:
        for meal in plan.meals:
            days[meal.day].append(meal)
    outside, thin = {}, {}
    for day, meals in days.items():
        asked = {m.meal: own_plate.asked(tarrows, m.meal, day) for m in meals}
        in_all = {m.meal: round(asked[m.meal] * m.portions) for m in meals}
        wanted = sum(in_all.values())
        energy = own_plate.standing(tarrows, day, wanted)
        for meal in meals:
            each = [own_plate.plate(tarrows, tarrows.dishes[d.dish], meal.portions) for d in meal.dishes]
            part = Fraction(in_all[meal.meal], len(rule.roles_of(tarrows, meal.meal, day)))
            energy += sum(round(part if kcal is None else kcal * meal.portions) for kcal in each)
            on_it = sum(round(Fraction(asked[meal.meal], 2)) if kcal is None else kcal for kcal in each)
            if on_it < round(Fraction(asked[meal.meal], 2)):
                thin[day, meal.meal] = on_it, asked[meal.meal]
        too_little, too_much = (round(Fraction(part, 100) * wanted) for part in (85, 120))
        if energy < too_little or (energy > too_much and not kinds_of(tarrows, day)):
            outside[day] = float(energy / wanted)
    assert outside == {}
    assert thin == {}


@planned
def test_the_table_is_not_bored_at_supper(plans: tuple[MenuPlan, ...]) -> None:
    mains = Counter(d.dish for m, d in dishes(plans) if m.meal == "supper" and d.role == "main")
    assert mains.total() == 7 * WEEKS
    assert len(mains) >= 45


@planned
def test_the_table_is_not_bored_in_the_morning(tarrows: Household, plans: tuple[MenuPlan, ...]) -> None:
    breakfasts = Counter(d.dish for _, d in dishes(plans) if d.role == "breakfast")
    assert len(breakfasts) >= 18
    for plan in plans:
        morning = [tarrows.dishes[d.dish] for m in plan.meals for d in m.dishes if m.meal == "breakfast"]
        assert {base: n for base in BASES if (n := sum(base in dish.tags for dish in morning)) > 3} == {}


@planned
def test_no_kind_of_roast_stands_two_sundays_running(tarrows: Household, plans: tuple[MenuPlan, ...]) -> None:
    kinds = [
        tarrows.products[tarrows.dishes[d.dish].uses[0].options[0].product].family
        for m, d in dishes(plans)
        if m.day.weekday() == 6 and "roast" in tarrows.dishes[d.dish].tags
    ]
    assert len(kinds) == WEEKS
    assert [a for a, b in pairwise(kinds) if a == b] == []


def held(home: Household, name: str) -> Fraction:
    """On the shelf and open, in containers."""
    opened = sum((part.left for part in home.part_jars if part.product == name), ZERO)
    return (rule.on_shelf(home, home.products[name]) + opened) / home.products[name].sizes[0].content


def put_away(home: Household, name: str, plans: tuple[MenuPlan, ...]) -> Fraction:
    """What came in and what batch days made, in containers: that is no less eaten."""
    last = plans[-1].last
    came = [a.amount for a in home.arrivals if a.product == name and plans[0].first <= a.day <= last]
    works = [work for plan in plans for work in plan.batch_work]
    came += [o.amount * w.times for w in works for o in home.batch_days[w.name].makes if o.product == name]
    return sum(came, ZERO) / home.products[name].sizes[0].content


@pytest.fixture(scope="module")
def behind(
    mornings: tuple[Household, ...], plans: tuple[MenuPlan, ...], marks: dict[str, frozenset[str]]
) -> dict[str, tuple[float, float]]:
    """What in glut went down by less than its share less a usual cooking: by how much, and its share.

    The share is an even hand's part of the first day's stock over the eight weeks, at the pace that these weeks could
    follow; a usual cooking may be to come. The step more that each week's row asks of what is behind would count the
    same arrears week after week.
    """
    before, after = mornings[0], mornings[-1]
    pace = sum((plan.pace for plan in plans), ZERO) / len(plans)
    step: dict[str, Fraction] = {}
    for row in (row for plan in plans for row in plan.shares if "glut" in marks.get(row.product, ())):
        step[row.product] = max(step.get(row.product, ZERO), row.high - row.low)
    assert len(step) > 25
    out = {}
    for name in step:
        share = even_share(before, before.products[name], plans[0].first, 7 * WEEKS) * pace
        gone = held(before, name) + put_away(before, name, plans) - held(after, name)
        if gone + step[name] < share:
            out[name] = float(gone), float(share)
    return out


@planned
def test_what_is_in_glut_goes_down_by_its_share(behind: dict[str, tuple[float, float]]) -> None:
    assert behind == {}


@planned
def test_what_is_short_is_not_taken_above_its_share_where_another_would_do(
    mornings: tuple[Household, ...], plans: tuple[MenuPlan, ...], marks: dict[str, frozenset[str]]
) -> None:
    """Another: written for the same use, no stand-in, not short itself, in season, and enough left after the week."""
    greedy = []
    for plan, after in zip(plans, mornings[1:], strict=True):
        over = {r.product for r in plan.shares if "short" in marks.get(r.product, ()) and r.drawn > r.high}
        for meal, planned in dishes((plan,)):
            taken = {use.product for use in planned.uses} & over
            for use in after.dishes[planned.dish].uses:
                for name in taken & {option.product for option in use.options}:
                    greedy += [
                        (meal.day, planned.dish, name, other.product)
                        for other in use.options
                        if not other.stand_in
                        and "short" not in marks.get(other.product, ())
                        and not rule.why_away(after, after.products[other.product], meal.day)
                        and rule.on_shelf(after, after.products[other.product]) >= other.amount * planned.batches
                    ]
    assert greedy == []


@planned
def test_nothing_goes_past_its_day_that_a_dish_could_have_taken(
    mornings: tuple[Household, ...], plans: tuple[MenuPlan, ...]
) -> None:
    """Less is left of it on its last day than any dish of a supper takes."""
    lost = {}
    for after, plan in zip(mornings[1:], plans, strict=True):
        for product in after.products.values():
            day = product.must_last_to
            if product.deadline_kind == "keeps to" and day is not None and plan.first <= day <= plan.last:
                takes = [
                    option.amount
                    for dish in after.dishes.values()
                    for use in dish.uses
                    for option in use.options
                    if option.product == product.name
                ]
                if takes and rule.on_shelf(after, product) >= min(takes):
                    lost[product.name] = float(rule.on_shelf(after, product) / product.sizes[0].content)
    assert lost == {}


@planned
def test_few_reasons_are_said_and_none_of_one_kind_all_the_time(plans: tuple[MenuPlan, ...]) -> None:
    for plan in plans:
        whole = [d.why for _, d in dishes((plan,))]
        said = [why for why in whole if why]
        assert 0 < len(said) * 2 <= len(whole)
        assert len(set(said)) == len(said)


@planned
def test_each_week_is_a_sheet_of_110_lines(mornings: tuple[Household, ...], plans: tuple[MenuPlan, ...]) -> None:
    for home, plan in zip(mornings, plans, strict=False):
        lines = menu_answer(lay_out(home, plan)).text(colour=False).splitlines()
        assert len(lines) <= 110
        assert max(map(len, lines)) <= 80


@planned
def test_a_lifted_joint_is_the_next_sundays(plans: tuple[MenuPlan, ...]) -> None:
    stands = {(m.day, use.product) for m, d in dishes(plans) for use in d.uses}
    lifted = [x for plan in plans[:-1] for x in plan.for_later]
    assert len(lifted) > 3
    assert [x for x in lifted if (x.night, x.product) not in stands] == []


@planned
def test_every_leaving_is_used_or_named(tarrows: Household, plans: tuple[MenuPlan, ...]) -> None:
    text = (DEMO / "eight-weeks.md").read_text(encoding="utf-8")
    made = [(m.day, tarrows.dishes[d.dish].needs_left) for m, d in dishes(plans)]
    for meal, planned in dishes(plans):
        left = tarrows.dishes[planned.dish].leaves
        if left is not None and not left.over:
            used = [day for day, of in made if of == left.name and meal.day < day <= meal.day + timedelta(left.days)]
            assert used or f"{left.name} (" in text, (meal.day, planned.dish)


def test_for_two_no_dish_is_cooked_for_more_without_a_word(tarrows: Household) -> None:
    """Every dish of both books for two: what its batches serve beyond them is left under its name, to a day."""
    home = replace(tarrows, people=(person("Ann"), person("Ben")))
    told = 0
    for dish in home.dishes.values():
        many = batches_of(home, dish, Fraction(2))
        meal = PlannedMeal(home.today, "supper", Fraction(2), (PlannedDish(dish.role, dish.name, many, ()),))
        over = floor(dish.serves * many - 2)
        if over >= 1 and not dish.needs_left and dish.role not in ("bread", "fruit"):
            named = [x for x in left_over(home, menu(home, [meal])) if not x.name]
            assert [(x.dish, x.portions) for x in named] == [(dish.name, over)]
            assert named[0].keeps_to > home.today
            told += 1
    assert told > 50
