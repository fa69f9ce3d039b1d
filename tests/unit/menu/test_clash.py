"""The fewest rules that clash, against every menu of tiny kitchens written out by hand."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, pairwise, product

import pytest
from msgspec.structs import replace

from pantrymeals.menu.clash.clash import FoundOut, fewest_meeting, find_out
from pantrymeals.menu.clash.clashing import what_clashes
from pantrymeals.menu.clash.stock import switched
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.model import Rule
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.records import WEEKDAYS, Household
from tests.kitchens.tiny import MONDAY, day, dish, kitchen, loose, lot, meal_roles, person, rules

DAYS = 3
TAGS = ("beef", "soup")


def tiny(seed: int) -> Household:
    """A kitchen of four mains and few carrots, with tight rules drawn by lot."""
    rng = random.Random(seed)
    dishes = [
        dish(
            f"Dish {n}",
            [f"{rng.choice((1, 2))} lb {rng.choice(('Carrots', 'Leeks'))}"],
            tags=[tag for tag in TAGS if rng.random() < 0.5],
            hands_on_minutes=rng.choice((10, 40)),
            days_between=rng.choice((1, 2, 9)),
        )
        for n in range(4)
    ]
    return kitchen(
        products=[loose("Carrots"), loose("Leeks")],
        lots=[lot("Carrots", rng.choice((1, 2, 3)), "lb"), lot("Leeks", rng.choice((1, 2)), "lb")],
        dishes=dishes,
        rules=rules(
            at_most={"beef": rng.choice((0, 1))},
            not_running=["soup"],
            fixed={"Tue": rng.choice(TAGS)} if rng.random() < 0.6 else {},
            hands_on_minutes={"Wed": rng.choice((20, 60))},
        ),
    )


def broken_by(household: Household, menu: tuple[str, ...]) -> frozenset[Rule]:
    """The rules that a menu of one main a day breaks, told from the records alone."""
    dishes = [household.dishes[name] for name in menu]
    out = set()
    for tag, most in household.rules.at_most.items():
        if sum(tag in d.tags for d in dishes) > most:
            out.add(Rule("at most", tag))
    for tag in household.rules.not_running:
        if any(tag in a.tags and tag in b.tags for a, b in pairwise(dishes)):
            out.add(Rule("not running", tag))
    for number, d in enumerate(dishes):
        name = WEEKDAYS[day(number).weekday()]
        if name in household.rules.fixed and household.rules.fixed[name] not in d.tags:
            out.add(Rule("fixed night", household.rules.fixed[name], number))
        if d.hands_on_minutes > household.rules.hands_on_minutes.get(name, 999):
            out.add(Rule("minutes", "", number))
    for a, b in combinations(range(len(menu)), 2):
        if menu[a] == menu[b] and b - a < (dishes[a].days_between or 1):
            out.add(Rule("repeats", menu[a]))
    for name, product_ in household.products.items():
        used = sum((o.amount for d in dishes for u in d.uses for o in u.options if o.product == name), Fraction(0))
        held = sum((x.count * product_.sizes[0].content for x in household.lots if x.product == name), Fraction(0))
        if used > held:
            out.add(Rule("stock", name))
    return frozenset(out)


def every_menu(household: Household) -> Iterator[frozenset[Rule]]:
    for menu in product(household.dishes, repeat=DAYS):
        yield broken_by(household, menu)


def fewest_by_hand(broken: set[frozenset[Rule]]) -> int:
    """How few rules meet what every menu breaks: that many clash."""
    named = sorted(frozenset().union(*broken))
    for number in range(1, len(named) + 1):
        if any(all(b & set(some) for b in broken) for some in combinations(named, number)):
            return number
    raise AssertionError


def found_in(household: Household) -> FoundOut:
    return find_out(switched(household, menu_problem(household, MenuRequest(MONDAY, DAYS))), 30)


@pytest.mark.parametrize("seed", range(24))
def test_the_clash_is_the_smallest_of_all(seed: int) -> None:
    household = tiny(seed)
    broken = set(every_menu(household))
    found = found_in(household)
    if frozenset() in broken:
        assert found.feasible is not None
        assert not found.clashes
        return
    clash, fewest = found.clashes[0]
    assert fewest
    assert all(b & set(clash) for b in broken), "some menu keeps all these rules: they do not clash"
    assert len(clash) == fewest_by_hand(broken)


@pytest.mark.parametrize("seed", range(24))
def test_every_correction_lets_a_menu_through_and_the_first_is_the_smallest(seed: int) -> None:
    household = tiny(seed)
    broken = set(every_menu(household))
    found = found_in(household)
    for correction in found.corrections:
        assert any(b <= correction.rules.keys() for b in broken)
    if found.corrections:
        assert len(found.corrections[0].rules) == min(len(b) for b in broken)


def test_the_lots_hold_both_kinds_of_kitchen() -> None:
    fits = [frozenset() in set(every_menu(tiny(seed))) for seed in range(24)]
    assert 3 < sum(fits) < 21


def test_fewest_meeting_takes_one_rule_for_two_corrections() -> None:
    a, b, c = Rule("at most", "a"), Rule("at most", "b"), Rule("at most", "c")
    met = fewest_meeting([frozenset({a, b}), frozenset({b, c})])
    assert met == {b}
    assert fewest_meeting([]) == frozenset()


def flat_bread(flour: int) -> Household:
    """Friday is flat bread; carrots there are enough."""
    return kitchen(
        products=[loose("Carrots"), loose("Flour", price_usd=Fraction(3, 4))],
        lots=[lot("Carrots", 40, "lb"), *([lot("Flour", flour, "lb")] if flour else [])],
        dishes=[dish("Stew", ["1 lb Carrots"]), dish("Flat bread", ["2 lb Flour"], tags=["flat bread"])],
        rules=rules(fixed={"Fri": "flat bread"}),
    )


def test_no_flour_on_a_flat_bread_night_says_both_and_what_to_buy() -> None:
    told = what_clashes(flat_bread(0), MenuRequest(MONDAY, 5), seconds=20)
    assert told.clashing
    assert told.clashes[0].rules == ("Friday 9 January is flat bread", "there is no Flour on the shelf")
    assert told.clashes[0].fewest
    other, buy = sorted(told.mendings, key=lambda m: m.steps[0].kind, reverse=True)
    assert other.said == "Let Friday 9 January be something other than flat bread: Stew fits."
    assert other.verified
    assert buy.verified
    assert buy.steps[0].kind == "purchase"
    assert buy.steps[0].amount == 2 * flat_bread(0).products["Flour"].sizes[0].content
    assert buy.steps[0].day == day(4)
    assert "$1.50" in buy.said


@pytest.mark.parametrize(("days", "clashing"), [(10, True), (11, False)])
def test_beyond_ten_days_a_fixed_night_may_be_missed_and_is_no_clash(days: int, clashing: bool) -> None:
    told = what_clashes(flat_bread(0), MenuRequest(MONDAY, days), seconds=20)
    assert told.clashing is clashing


@pytest.mark.parametrize(("flour", "held"), [(0, False), (14, True)])
def test_a_tag_of_the_week_that_the_shelf_cannot_give_is_not_asked(flour: int, held: bool) -> None:
    """With flour it is: then it clashes with what was asked for on every day."""
    household = replace(flat_bread(flour), rules=rules(at_least={"flat bread": 1}))
    pins = tuple(Pin(day(number), "Stew") for number in range(7))
    told = what_clashes(household, MenuRequest(MONDAY, 7, pinned=pins), seconds=20)
    assert told.clashing is held
    assert any("flat bread comes at least once in each week" in clash.rules for clash in told.clashes) is held


def test_a_dish_asked_for_that_can_stand_nowhere_is_named_with_its_day() -> None:
    household = flat_bread(2)
    bare = replace(household, dishes={"Stew": household.dishes["Stew"], "Bun": dish("Bun", role="bread")})
    told = what_clashes(bare, MenuRequest(MONDAY, 2, pinned=(Pin(day(1), "Bun"),)), seconds=20)
    assert told.clashes[0].rules == ("you asked for Bun on Tuesday 6 January",)
    assert [m.said for m in told.mendings if m.verified] == ["Do without Bun where you asked for it."]


def test_with_flour_nothing_clashes_and_it_says_so() -> None:
    told = what_clashes(flat_bread(2), MenuRequest(MONDAY, 5), seconds=20)
    assert told.clashing is False
    assert not told.mendings
    assert "No house rules clash" in told.said


def test_too_few_of_a_tag_is_mended_by_one_more_of_it() -> None:
    household = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 40, "lb")],
        dishes=[dish("Stew", ["1 lb Carrots"], tags=["soup"])],
        rules=rules(at_most={"soup": 3}),
    )
    told = what_clashes(household, MenuRequest(MONDAY, 5), seconds=20)
    assert told.clashes[0].rules == ("soup comes at most 3 times in any seven days",)
    assert [m.said for m in told.mendings] == ["Allow 2 more dishes with soup in seven days: 5 instead of 3."]
    assert told.mendings[0].verified


def soup_at_both_meals(**house: object) -> Household:
    """A lunch and a supper, and soup for either."""
    return kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 40, "lb")],
        dishes=[
            dish("Flask", ["1 lb Carrots"], role="lunch", tags=["soup"]),
            dish("Bread", ["1 lb Carrots"], role="lunch", liking=-2),
            dish("Stew", ["1 lb Carrots"], tags=["soup"]),
        ],
        meals=[meal_roles("lunch", ("lunch",)), meal_roles()],
        rules=rules(**house),
    )


@pytest.mark.parametrize(("tags", "lunch"), [((), "Flask"), (("soup",), "Bread")])
def test_no_soup_follows_soup_on_one_day_where_the_house_says_so(tags: tuple[str, ...], lunch: str) -> None:
    plan = plan_menu(soup_at_both_meals(not_twice_a_day=tags), MenuRequest(MONDAY, 1, gap=0.0, seconds=20))
    assert [d.dish for m in plan.meals for d in m.dishes] == [lunch, "Stew"]


def test_soup_wanted_twice_in_a_day_is_a_clash_and_mended_by_letting_it_come_twice() -> None:
    household = soup_at_both_meals(not_twice_a_day=("soup",))
    told = what_clashes(household, MenuRequest(MONDAY, 1, pinned=(Pin(MONDAY, "Flask"),)), seconds=20)
    assert set(told.clashes[0].rules) == {
        "soup does not come twice in one day",
        "you asked for Flask on Monday 5 January",
    }
    mended = {m.said: m.verified for m in told.mendings}
    assert mended["Let soup come twice in one day, this once."]


def test_two_clashes_that_have_nothing_in_common_are_both_told() -> None:
    household = replace(flat_bread(0), rules=rules(fixed={"Fri": "flat bread"}, hands_on_minutes={"Tue": 5}))
    told = what_clashes(household, MenuRequest(MONDAY, 5), seconds=20)
    said = {rule for clash in told.clashes for rule in clash.rules}
    assert "Tuesday 6 January has 5 minutes of hands-on work" in said
    assert "Friday 9 January is flat bread" in said
    assert all(len(m.steps) == 2 and m.verified for m in told.mendings)
    assert told.mendings


def test_what_was_lately_eaten_can_clash_too() -> None:
    household = kitchen(
        products=[loose("Carrots")],
        lots=[lot("Carrots", 40, "lb")],
        dishes=[dish("Stew", ["1 lb Carrots"], days_between=3)],
        recent=((day(-1), "Stew"),),
    )
    told = what_clashes(household, MenuRequest(MONDAY, 1), seconds=20)
    assert told.clashes[0].rules == ("Stew waits 3 days before it comes again (it was on Sunday 4 January)",)
    assert told.mendings[0].said == "Let Stew come again after 1 day instead of 3."
    assert told.mendings[0].verified


def test_two_dishes_asked_for_on_one_evening_clash() -> None:
    household = flat_bread(10)
    request = MenuRequest(MONDAY, 1, pinned=(Pin(MONDAY, "Stew"), Pin(MONDAY, "Flat bread")))
    told = what_clashes(household, request, fill=False, seconds=20)
    assert set(told.clashes[0].rules) == {
        "you asked for Flat bread on Monday 5 January",
        "you asked for Stew on Monday 5 January",
    }
    assert {m.said for m in told.mendings} == {
        "Do without Flat bread where you asked for it.",
        "Do without Stew where you asked for it.",
    }
    assert all(m.verified for m in told.mendings)


def test_what_nobody_may_eat_is_never_offered_as_a_mending() -> None:
    household = replace(
        flat_bread(4),
        people=(person("Ann", must_not=["carrots"]), person("Ben")),
        products={p.name: p for p in [loose("Carrots", contents=frozenset({"carrots"})), loose("Flour")]},
    )
    told = what_clashes(household, MenuRequest(MONDAY, 5), seconds=20)
    assert "Ann must not have carrots" in told.clashes[0].rules
    assert told.mendings
    assert all(m.verified for m in told.mendings)
    assert not any("carrots" in m.said.lower() or "Stew" in m.said for m in told.mendings)


def test_a_place_that_no_recipe_can_fill_is_said() -> None:
    household = replace(flat_bread(2), dishes={})
    told = what_clashes(household, MenuRequest(MONDAY, 1), seconds=20)
    assert told.said == "Nothing in the recipes can be the main of Monday 5 January."


def test_when_time_is_up_nothing_is_claimed() -> None:
    told = what_clashes(flat_bread(0), MenuRequest(MONDAY, 5), seconds=0.0)
    assert told.clashing is None
    assert not told.clashes
