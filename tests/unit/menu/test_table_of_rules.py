"""The table of house rules: each entry whole, and its constraints, twin, words and mending of one meaning.

For every rule that can give way there is a tiny kitchen which it leaves no whole menu. The clash must name the rule;
relaxed as the table has it, a menu must be there; and the checker's twin must find that menu broken in the kitchen
as it was.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.checking.menu import RULES, broken_rules
from pantrymeals.menu.clash.clash import find_out
from pantrymeals.menu.clash.clashing import what_clashes
from pantrymeals.menu.clash.mending import step_for
from pantrymeals.menu.clash.stock import switched
from pantrymeals.menu.menu import plan_menu
from pantrymeals.menu.request import MenuRequest, Pin
from pantrymeals.menu.week.problem import menu_problem
from pantrymeals.menu.week.rules.rule import HouseholdAsked, HouseRule
from pantrymeals.menu.week.rules.table import BY_KIND, HOUSE_RULES
from pantrymeals.records import Dish, Household, HouseRules, Occasion, Role
from tests.kitchens.tiny import MONDAY, dish, kitchen, loose, lot, meal_roles, rules

CHECKS = {rule.__name__: rule for rule in RULES}
KEPT_ELSEWHERE = {
    "stretch": "how far a batch feeds decides the batches, not what may stand where",
    "during": "changes the minutes and fixed nights of some days, whose entries ask what holds that day",
    "enough": "a wish with a price, not a rule; its twin is a wish of the checker's",
}


def test_every_rule_is_named_once() -> None:
    assert len(BY_KIND) == len(HOUSE_RULES)


@pytest.mark.parametrize("rule", HOUSE_RULES, ids=lambda rule: rule.kind)
def test_every_rule_has_a_twin_a_word_and_a_mending_or_says_why_not(rule: HouseRule) -> None:
    assert rule.twins, "neither a twin nor a reason why there is none"
    assert isinstance(rule.twins, str) or set(rule.twins) <= CHECKS.keys()
    assert rule.relax, "neither a mending nor a reason why there is none"
    assert isinstance(rule.relax, str) or rule.said is not None


def test_every_key_of_the_house_rules_is_kept_by_an_entry() -> None:
    keys = [rule.field for rule in HOUSE_RULES if rule.field]
    assert len(keys) == len(set(keys))
    assert {*keys, *KEPT_ELSEWHERE} == set(HouseRules.__struct_fields__)


class Case(Struct, frozen=True):
    """A kitchen without a whole menu, what is said of the rule, and what would mend it."""

    kitchen: HouseholdAsked
    said: str
    mended: str


def food(name: str, role: Role = "main", **changes: object) -> Dish:
    return dish(name, ["1 lb Carrots"], role, **changes)  # type: ignore[arg-type]


def case(
    said: str, mended: str, *dishes: Dish, house: HouseRules | None = None, days: int = 1, **changes: object
) -> Case:
    """A kitchen with carrots enough; what the request has is given by name too."""
    asked = {key: changes.pop(key) for key in ("pinned", "banned") if key in changes}
    meals = changes.pop("meals", [meal_roles(roles=tuple(dict.fromkeys(d.role for d in dishes)))])
    home = kitchen(
        products=[loose("Carrots"), loose("Flour")],
        lots=[lot("Carrots", 90, "lb")],
        dishes=dishes,
        meals=meals,  # type: ignore[arg-type]
        rules=house or rules(),
        **changes,
    )
    return Case(HouseholdAsked(home, MenuRequest(MONDAY, days, seconds=10, **asked)), said, mended)  # type: ignore[arg-type]


CASES: dict[str, Callable[[], Case]] = {
    "repeats": lambda: case(
        "Stew waits 3 days before it comes again", "Let Stew come again after 1 day instead of 3.",
        food("Stew"), house=rules(days_between={"main": 3}), days=2,
    ),
    "at most": lambda: case(
        "soup comes at most once in any seven days",
        "Allow one more dish with soup in seven days: 2 instead of 1.",
        food("Stew", tags=["soup"]), house=rules(at_most={"soup": 1}), days=2,
    ),
    "at least": lambda: case(
        "soup comes at least twice in each week", "Be content with one main fewer of soup that week.",
        food("Stew"), food("Broth", tags=["soup"]), house=rules(at_least={"soup": 2}, at_most={"soup": 1}), days=7,
    ),
    "not running": lambda: case(
        "soup is not the main of two days running", "Let soup come two days running, this once.",
        food("Stew", tags=["soup"]), house=rules(not_running=["soup"]), days=2,
    ),
    "not twice": lambda: case(
        "beans does not come twice in one meal", "Let beans come twice in one meal, this once.",
        food("Pot", tags=["beans"]), food("Salad", "side", tags=["beans"]), house=rules(not_twice=["beans"]),
    ),
    "not twice a day": lambda: case(
        "soup does not come twice in one day", "Let soup come twice in one day, this once.",
        food("Flask", "lunch", tags=["soup"]), food("Stew", tags=["soup"]), house=rules(not_twice_a_day=["soup"]),
        meals=[meal_roles("lunch", ("lunch",)), meal_roles()],
    ),
    "minutes": lambda: case(
        "Monday 5 January has 20 minutes of hands-on work",
        "Give Monday 5 January 15 more minutes of hands-on work.",
        food("Stew", hands_on_minutes=35), house=rules(hands_on_minutes={"Mon": 20}),
    ),
    "meal minutes": lambda: case(
        "supper on Monday 5 January has 20 minutes of hands-on work",
        "Give supper on Monday 5 January 15 more minutes of hands-on work.",
        food("Stew", hands_on_minutes=35), house=rules(meal_minutes={"supper": {"Mon": 20}}),
    ),
    "longest": lambda: case(
        "no dish takes longer than 30 minutes on Monday 5 January",
        "Let a dish take 90 minutes on Monday 5 January (Stew).",
        food("Stew", minutes=90), house=rules(longest_minutes={"Mon": 30}),
    ),
    "together": lambda: case(
        "on Monday 5 January dishes that do not go together are kept apart",
        "Put up with Pie beside Roots on Monday 5 January.",
        food("Pie", not_with=["Roots"]), food("Roots", "side"),
    ),
    "pinned": lambda: case(
        "you asked for Stew on Monday 5 January", "Do without Stew where you asked for it.",
        food("Stew"), food("Pie"), pinned=(Pin(MONDAY, "Stew"), Pin(MONDAY, "Pie")),
    ),
    "feast": lambda: case(
        "Pie is the dish of the feast on Monday 5 January",
        "Keep the feast of Monday 5 January with Stew instead of Pie.",
        food("Stew"), food("Pie"), pinned=(Pin(MONDAY, "Stew"),),
        occasions=(Occasion(MONDAY, MONDAY, "name day", kind="feast", dish="Pie"),),
    ),
    "fixed night": lambda: case(
        "Monday 5 January is flat bread", "Let Monday 5 January be something other than flat bread: Stew fits.",
        food("Stew"), dish("Flat", ["1 lb Flour"], tags=["flat bread"]), house=rules(fixed={"Mon": "flat bread"}),
    ),
    "left out": lambda: case(
        "you left out Stew", "Let Stew stand after all.", food("Stew"), banned=frozenset({"Stew"}),
    ),
}  # fmt: skip


def test_every_rule_that_can_give_way_has_its_kitchen() -> None:
    assert CASES.keys() == {rule.kind for rule in HOUSE_RULES if not isinstance(rule.relax, str)}


@pytest.mark.parametrize("kind", CASES)
def test_the_rule_is_named_in_the_clash_and_relaxing_it_mends(kind: str) -> None:
    made = CASES[kind]()
    told = what_clashes(made.kitchen.household, made.kitchen.request, seconds=20)
    assert made.said in told.clashes[0].rules
    assert made.mended in [mending.said for mending in told.mendings if mending.verified]


def relaxed(made: Case, kind: str) -> HouseholdAsked:
    """The kitchen in which the rule gives way as the table has it."""
    household, request = made.kitchen.household, made.kitchen.request
    out = switched(household, menu_problem(household, request))
    for correction in find_out(out, 20).corrections:
        if [rule.kind for rule in correction.rules] == [kind]:
            ((rule, by),) = correction.rules.items()
            return step_for(made.kitchen, out, correction.x, rule, by)[0]
    raise AssertionError("nothing gives way")


NO_TWIN_ASKED = {
    "fixed night": "its mending pins a dish, and what is pinned goes before it",
    "pinned": BY_KIND["pinned"].twins,
    "left out": BY_KIND["left out"].twins,
    "at least": "a week without its tag is a fault only where a dish could take a place; then nothing clashes",
}


@pytest.mark.parametrize("kind", sorted(CASES.keys() - NO_TWIN_ASKED.keys()))
def test_the_checkers_twin_finds_what_the_relaxed_rule_lets_through(kind: str) -> None:
    made, twins = CASES[kind](), BY_KIND[kind].twins
    eased = relaxed(made, kind)
    plan = plan_menu(eased.household, eased.request)
    assert broken_rules(eased.household, plan) == []
    said = [message for twin in twins for message in CHECKS[twin](made.kitchen.household, plan)]
    assert said
    of_rules = {m for m in broken_rules(made.kitchen.household, plan) if " points, the plan states " not in m}
    assert of_rules == set(said)  # what it costs is another thing where the rule is asked


def test_a_twin_that_finds_a_fixed_night_missed() -> None:
    made = CASES["fixed night"]()
    home = replace(made.kitchen.household, lots=(*made.kitchen.household.lots, lot("Flour", 2, "lb")))
    free = replace(home, rules=rules())
    plan = plan_menu(replace(free, dishes={"Stew": home.dishes["Stew"]}), made.kitchen.request)
    assert [m for twin in BY_KIND["fixed night"].twins for m in CHECKS[twin](home, plan)]
    assert broken_rules(free, plan) == []


@pytest.mark.parametrize(("dishes", "eaten", "left_open"), [
    ((food("Stew"),), ["Stew"], 0),
    ((food("Cold plate", needs_left="cold cuts"),), [], 1),
])  # fmt: skip
def test_what_never_gives_way_is_kept_by_every_menu(dishes: tuple[Dish, ...], eaten: list[str], left_open: int) -> None:
    made = case("", "", *dishes)
    plan = plan_menu(made.kitchen.household, made.kitchen.request)
    assert ([d.dish for m in plan.meals for d in m.dishes], plan.open_roles) == (eaten, left_open)
    assert broken_rules(made.kitchen.household, plan) == []


def test_a_household_without_rules_has_no_constraint_of_them() -> None:
    made = CASES["not twice"]()
    free: Household = replace(made.kitchen.household, rules=HouseRules())
    told = what_clashes(free, made.kitchen.request, seconds=20)
    assert told.clashing is False


def test_a_crew_s_lunch_that_cannot_be_had_gives_way_to_another_lunch() -> None:
    """No flour for the kettle; the stew of supper is no lunch."""
    crew = Occasion(MONDAY, MONDAY, "crew", meals=("lunch",), kind="crew", dish="Kettle")
    made = case(
        "", "", food("Stew"), dish("Kettle", ["1 lb Flour"], "lunch"), food("Broth", "lunch"),
        occasions=(crew,), meals=[meal_roles("lunch", ("lunch",)), meal_roles()],
    )  # fmt: skip
    told = what_clashes(made.kitchen.household, made.kitchen.request, seconds=20)
    assert "Keep the feast of Monday 5 January with Broth instead of Kettle." in [m.said for m in told.mendings]
