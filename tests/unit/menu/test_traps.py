"""Every trap of the demo's larder for a careless planner, with its guard and without.

Each test shows three things: with the guard the planner cannot do the forbidden thing; with the guard
taken out of the records, and nothing else changed, it does it; and the checker, which is told of the
true larder, names what such a menu does wrong.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.larder import load_larder
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import NoMenuFits
from pantrymeals.larder.evenness import shares
from pantrymeals.larder.supply import standing_by_day, supply_by_day
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.problem import Candidate, MenuProblem, menu_problem
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import WEEKDAYS, Dish, Household, MealName, MealRoles, Role
from pantrymeals.units import parse_amount
from tests.kitchens.tiny import dish

NEW_YEAR_COUNT = date(2026, 1, 17)
EASTER = date(2026, 4, 5)
DAY_BEFORE_ODO_IS_ONE = date(2026, 4, 19)
JULY = date(2026, 7, 6)
HELD = (
    "Elderberry jelly",
    "Marrow and ginger jam",
    "Pumpkin butter (gift)",
    "Tomato soup, half-gallon (gift)",
    "Unlabelled, amber",
)
WINTER_ONLY = ("Vegetable soup base", "Bean and ham soup", "Chili base, no beans", "Sauerkraut")


@pytest.fixture(scope="module")
def demo(demo_folder: Path) -> Household:
    return load_larder(demo_folder, None, NEW_YEAR_COUNT)


def only(home: Household, *dishes: Dish, meal: MealName = "supper", role: Role | None = None) -> Household:
    """The same larder with these dishes alone, cooked at one meal a day that has their role."""
    laid = MealRoles(meal, dict.fromkeys(WEEKDAYS, (role or dishes[0].role,)), {})
    rules = replace(home.rules, fixed={}, at_least={}, hands_on_minutes={}, longest_minutes={})
    return replace(home, dishes={d.name: d for d in dishes}, meals=(laid,), rules=rules, recent=())


def drawing(problem: MenuProblem, product: str) -> list[Candidate]:
    """The candidates that can take a product."""
    return [
        c
        for c in problem.candidates
        if any(problem.stocks[d.product].name == product for part in (c.fixed, *c.choices) for d in part)
    ]


def standing_on(home: Household, name: str, day: date) -> list[Candidate]:
    """The candidates for a dish on one day."""
    return [c for c in menu_problem(home, MenuRequest(day, 1)).candidates if c.dish.name == name]


def forced(home: Household, name: str, *days: date) -> MenuPlan:
    """A menu in which a dish was asked for on these days."""
    first, last = min(days), max(days)
    pins = tuple(Pin(day, name) for day in days)
    return plan_menu(home, MenuRequest(first, (last - first).days + 1, seconds=20, pinned=pins))


def trapped(guarded: Household, unguarded: Household, name: str, *days: date) -> list[str]:
    """What the checker says of a menu that only the larder without its guard allows."""
    with pytest.raises(NoMenuFits):
        forced(guarded, name, *days)
    plan = forced(unguarded, name, *days)
    assert broken_rules(unguarded, plan) == []
    faults = broken_rules(guarded, plan)
    assert faults
    return faults


def without_state(home: Household, product: str) -> Household:
    """The same larder, its lots of a product no longer held, promised or kept for seed."""
    lots = tuple(replace(lot, state="") if lot.product == product else lot for lot in home.lots)
    return replace(home, lots=lots)


def only_lots_with_a_state(home: Household, product: str) -> Household:
    """The same larder with nothing of a product but what is held, promised or seed."""
    lots = tuple(lot for lot in home.lots if lot.product != product or lot.state)
    return replace(home, lots=lots)


def with_product(home: Household, name: str, **changes: object) -> Household:
    """The same larder with one product written otherwise."""
    changed = replace(home.products[name], **changes)  # type: ignore[arg-type]
    return replace(home, products={**home.products, name: changed})


def with_person(home: Household, name: str, **changes: object) -> Household:
    """The same table with one person written otherwise."""
    people = tuple(replace(p, **changes) if p.name == name else p for p in home.people)  # type: ignore[arg-type]
    return replace(home, people=people)


def on_shelf(home: Household, product: str) -> Fraction:
    """Containers that the planner sees of a product."""
    problem = menu_problem(home, MenuRequest(NEW_YEAR_COUNT, 2))
    (stock,) = [g for g in problem.stocks if g.name == product]
    return Fraction(stock.shelf, stock.container)


def test_seed_potatoes_are_not_for_eating(demo: Household) -> None:
    potatoes = "Potatoes, main crop"
    assert on_shelf(demo, potatoes) == 200
    assert on_shelf(without_state(demo, potatoes), potatoes) == 240
    mash = dish("Plain potatoes", [f"3 lb {potatoes}"], serves=8)
    home = replace(only_lots_with_a_state(only(demo, mash), potatoes), standing=())
    faults = trapped(home, without_state(home, potatoes), mash.name, NEW_YEAR_COUNT)
    assert any(f"0 lb {potatoes}" in fault for fault in faults)


def test_the_promised_hams_wait_for_their_days(demo: Household) -> None:
    ham = demo.dishes["Ham supper"]
    problem = menu_problem(demo, MenuRequest(EASTER, 1))
    (stock,) = [g for g in problem.stocks if g.name == "Ham, half"]
    assert (stock.shelf, stock.container) == (2, 1)
    day = EASTER - timedelta(days=3)
    occasion = replace(demo.occasions[0], first=EASTER, last=EASTER, kind="feast", dish="", guests=Fraction(0))
    home = only_lots_with_a_state(only(replace(demo, occasions=(occasion,)), ham, role="main"), "Ham, half")
    unguarded = without_state(home, "Ham, half")
    with pytest.raises(NoMenuFits):
        plan_menu(home, MenuRequest(day, 4, seconds=20, pinned=(Pin(EASTER, ham.name),)))
    plan = plan_menu(unguarded, MenuRequest(day, 4, seconds=20, pinned=(Pin(EASTER, ham.name),)))
    assert broken_rules(unguarded, plan) == []
    assert any("Ham, half" in fault for fault in broken_rules(home, plan))


def test_no_honey_for_the_baby_until_the_twentieth_of_april(demo: Household) -> None:
    bars = replace(demo.dishes["Honey oat bars"], not_for=frozenset())  # the twentieth is his feast
    home = only(demo, bars)
    last_day = DAY_BEFORE_ODO_IS_ONE
    assert not standing_on(home, bars.name, last_day)
    assert standing_on(home, bars.name, last_day + timedelta(days=1))
    a_day_older = with_person(home, "Odo", born=date(2025, 4, 19))
    faults = trapped(home, a_day_older, bars.name, last_day)
    assert any("honey: not for Odo" in fault for fault in faults)


def test_baked_apples_only_with_maple_for_the_baby(demo: Household) -> None:
    apples = demo.dishes["Baked apples"]
    day = date(2026, 2, 1)
    (candidate,) = standing_on(only(demo, apples), apples.name, day)
    assert candidate.instead == ("baby: maple in place of honey",)
    plain = only(demo, replace(apples, instead=()))
    faults = trapped(plain, with_person(plain, "Odo", born=date(2024, 4, 20)), apples.name, day)
    assert any("honey: not for Odo" in fault for fault in faults)


def test_walnuts_are_on_no_menu(demo: Household) -> None:
    loaf = dish("Walnut loaf", ["1/2 lb Black walnuts, in shell"], role="sweet")
    home = with_person(only(demo, loaf), "Linnet", must_not=frozenset())
    on_menus = with_product(home, "Black walnuts, in shell", on_menus=True)
    faults = trapped(home, on_menus, loaf.name, NEW_YEAR_COUNT)
    assert any("Black walnuts, in shell is kept off all menus" in fault for fault in faults)


def test_walnuts_are_never_for_linnet(demo: Household) -> None:
    loaf = dish("Walnut loaf", ["1/2 lb Black walnuts, in shell"], role="sweet")
    home = with_product(only(demo, loaf), "Black walnuts, in shell", on_menus=True)
    may_eat = with_person(home, "Linnet", must_not=frozenset())
    faults = trapped(home, may_eat, loaf.name, NEW_YEAR_COUNT)
    assert any("tree nut: not for Linnet" in fault for fault in faults)


@pytest.mark.parametrize("name", ["Bean and ham soup supper", "Sausage and kraut", "Warm kraut"])
def test_salty_jars_are_not_for_edda(demo: Household, name: str) -> None:
    noted = demo.dishes[name]
    problem = menu_problem(only(demo, noted), MenuRequest(NEW_YEAR_COUNT, 3))
    (candidate, *_) = problem.candidates
    assert any(text.startswith("Edda: ") for text in candidate.instead)
    plain = only(demo, replace(noted, instead=()))
    day = NEW_YEAR_COUNT + timedelta(days=2)
    may_eat = with_person(plain, "Edda", must_not=frozenset())
    assert not standing_on(plain, name, NEW_YEAR_COUNT)
    request = MenuRequest(NEW_YEAR_COUNT, 3, seconds=20, pinned=(Pin(day, name),))
    with pytest.raises(NoMenuFits):
        plan_menu(plain, request)
    plan = plan_menu(may_eat, request)
    assert broken_rules(may_eat, plan) == []
    assert any("salty: not for Edda" in fault for fault in broken_rules(plain, plan))


def test_eddas_own_plate_is_not_salty_either(demo: Household) -> None:
    soup = demo.dishes["Bean and ham soup supper"]
    home = only(demo, soup)
    salty = with_product(home, "Vegetable soup base", contents=frozenset({"salty"}))
    assert standing_on(home, soup.name, NEW_YEAR_COUNT)
    assert not standing_on(salty, soup.name, NEW_YEAR_COUNT)


def test_cooked_carrots_cost_dear_where_linnet_has_nothing_else(demo: Household) -> None:
    carrots = demo.dishes["Buttered carrots"]
    (with_sticks,) = standing_on(only(demo, carrots), carrots.name, NEW_YEAR_COUNT)
    assert with_sticks.instead == ("Linnet: raw carrot sticks",)
    plain = only(demo, replace(carrots, instead=()))
    willing = with_person(plain, "Linnet", will_not=frozenset())
    (refused,) = standing_on(plain, carrots.name, NEW_YEAR_COUNT)
    (eaten,) = standing_on(willing, carrots.name, NEW_YEAR_COUNT)
    assert refused.points - eaten.points == 60
    assert with_sticks.points == eaten.points
    other = dish("Raw carrots", ["2 lb Carrots, in sand"], role="side", serves=8, tags=("carrots",), liking=-2)
    for home, chosen in ((plain, "Raw carrots"), (willing, "Buttered carrots")):
        both = only(replace(home, standing=(), kcal={}), *home.dishes.values(), other)  # what a meal gives is not asked
        plan = plan_menu(both, MenuRequest(NEW_YEAR_COUNT, 1, gap=0.0, seconds=20))
        assert [d.dish for m in plan.meals for d in m.dishes] == [chosen]


def test_the_checker_wants_linnets_raw_sticks_said_and_taken(demo: Household) -> None:
    carrots = demo.dishes["Buttered carrots"]
    home = only(demo, carrots)
    forgetful = only(demo, replace(carrots, instead=()))
    faults = broken_rules(home, forced(forgetful, carrots.name, NEW_YEAR_COUNT))
    assert any("does not say that Linnet has raw carrot sticks" in fault for fault in faults)
    assert any("is what it should take" in fault for fault in faults)


@pytest.mark.parametrize("name", HELD)
def test_held_jars_are_on_no_menu_and_in_no_total(demo: Household, name: str) -> None:
    size = demo.products[name].sizes[0].name
    spoonful = dish("Spoonful", [f"1 {size} {name}"], role="breakfast", serves=8)
    home = only(demo, spoonful, meal="breakfast")
    assert shares(home, NEW_YEAR_COUNT, 7).get(name, 0) == 0
    faults = trapped(home, without_state(home, name), spoonful.name, NEW_YEAR_COUNT)
    assert any(name in fault for fault in faults)


def test_apples_of_rack_a_are_eaten_before_rack_b_and_not_after_their_day(demo: Household) -> None:
    apples, rack_a = demo.dishes["Baked apples"], "Apples, mid-season"
    last = demo.products[rack_a].must_last_to
    assert last == date(2026, 3, 1)
    home = replace(only(demo, apples), standing=())
    taken = {}
    for name, kitchen in (("guarded", home), ("unguarded", with_product(home, rack_a, must_last_to=date(2026, 6, 30)))):
        plan = forced(kitchen, apples.name, last)
        taken[name] = {use.product for m in plan.meals for d in m.dishes for use in d.uses}
    assert rack_a in taken["guarded"]  # though rack B's are liked better baked
    assert rack_a not in taken["unguarded"]
    alone = dish("Apples", [f"2 lb {rack_a}"], role="fruit")
    faults = trapped(
        only(demo, alone),
        with_product(only(demo, alone), rack_a, must_last_to=date(2026, 6, 30)),
        alone.name,
        last + timedelta(days=1),
    )
    assert any(f"{rack_a} keeps to Sun 1 March" in fault for fault in faults)


def test_the_racks_rates_add_up_when_a_is_gone(demo: Household) -> None:
    def a_weeks_standing(home: Household, name: str, first: date) -> Fraction:
        product = home.products[name]
        supply = supply_by_day(home, product, parse_amount("500 lb").quantity, first, 7)
        return standing_by_day(home, product, first, 7, supply)[-1] / product.sizes[0].content

    winter, spring = date(2026, 2, 2), date(2026, 3, 2)
    a, b = "Apples, mid-season", "Apples, long keepers"
    assert (a_weeks_standing(demo, a, winter), a_weeks_standing(demo, b, winter)) == (7, 4)
    assert (a_weeks_standing(demo, a, spring), a_weeks_standing(demo, b, spring)) == (0, 8)
    flat = tuple(
        replace(s, weekly=(s.weekly[1],) * 12) if s.product == b and s.weekly[1] else s
        for s in demo.standing
        if s.product != b or s.weekly[1]
    )
    assert a_weeks_standing(replace(demo, standing=flat), b, spring) == 4


@pytest.mark.parametrize("name", WINTER_ONLY)
def test_winter_foods_are_neither_cooked_nor_counted_on_in_july(demo: Household, name: str) -> None:
    assert drawing(menu_problem(demo, MenuRequest(NEW_YEAR_COUNT, 7)), name)
    assert not drawing(menu_problem(demo, MenuRequest(JULY, 7)), name)
    assert shares(demo, NEW_YEAR_COUNT, 7)[name] > 0
    assert shares(demo, JULY, 7)[name] == 0
    size = demo.products[name].sizes[0].name
    bowl = dish("Bowl", [f"1 {size} {name}"], serves=8)
    home = with_person(only(demo, bowl), "Edda", must_not=frozenset())
    all_year = with_product(home, name, eaten_in=frozenset(), must_last_to=date(2026, 12, 31), deadline_kind="new crop")
    faults = trapped(home, all_year, bowl.name, JULY)
    assert any(f"{name} is not eaten in July" in fault for fault in faults)


def test_a_dish_for_winter_waits_for_winter(demo: Household) -> None:
    stew = dish("Winter beans", ["1 lb Brown beans, dry"], serves=8, season=(10, 11, 12, 1, 2, 3))
    home = only(demo, stew)
    faults = trapped(home, only(demo, replace(stew, season=frozenset())), stew.name, JULY)
    assert any("not a dish for July" in fault for fault in faults)


@pytest.mark.parametrize(("days_later", "comes_back"), [(3, True), (4, False)])
def test_half_a_jar_comes_back_within_its_life(demo: Household, days_later: int, comes_back: bool) -> None:
    cakes = demo.dishes["Bean cakes and salsa"]
    (salsa,) = [u.options[0] for u in cakes.uses if u.options[0].product == "Salsa"]
    plain = dish("Cakes", [f"{salsa.as_written}"], role="lunch", serves=12, days_between=3)
    one_jar = tuple(replace(lot, count=Fraction(1)) if lot.product == "Salsa" else lot for lot in demo.lots)
    home = replace(only(demo, plain, meal="lunch"), lots=one_jar, part_jars=(), standing=())
    assert home.products["Salsa"].opened_days == 4
    days = (NEW_YEAR_COUNT, NEW_YEAR_COUNT + timedelta(days=days_later))
    if comes_back:
        plan = forced(home, plain.name, *days)
        assert [(o.product, o.count) for o in plan.openings] == [("Salsa", 1)]
        assert broken_rules(home, plan) == []
        return
    faults = trapped(home, with_product(home, "Salsa", opened_days=None), plain.name, *days)
    assert any("than is open and within its time" in fault for fault in faults)


def test_what_of_a_jar_does_not_come_back_is_wasted_and_has_its_price(demo: Household) -> None:
    plain = dish("Cakes", ["1/2 pt Salsa"], role="lunch", serves=12, days_between=9)
    home = replace(only(demo, plain, meal="lunch"), part_jars=(), standing=())
    for life, wasted in ((7, 1), (30, 0)):
        kept = with_product(home, "Salsa", opened_days=life)
        plan = forced(kept, plain.name, NEW_YEAR_COUNT, NEW_YEAR_COUNT + timedelta(days=9))
        assert len([w for w in plan.waste if w.product == "Salsa"]) == wasted
        assert (dict(plan.parts).get("waste", 0.0) > 0) is bool(wasted)
