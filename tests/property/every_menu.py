"""Every menu of a tiny kitchen, one after another; and any tiny kitchen, at random."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from itertools import product
from typing import Any

from hypothesis import strategies as st
from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Dish, Household, Leaving, Occasion, Product, Role, RulesDuring
from tests.kitchens.own_reading import Cooking, Question, put_bands, read
from tests.kitchens.own_score import Cooked, keeps_the_rules, score, so_far_so_good
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    day,
    dish,
    instead,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    part_jar,
    person,
    qty,
    rules,
    standing,
)

Places = tuple[tuple[tuple[Cooking, ...], tuple[Role, ...]], ...]


class Best(Struct, frozen=True):
    """The least cost of all menus (points; None: no menu), and how many roles such menus leave open."""

    cost: Fraction | None
    open_roles: frozenset[int]
    tried: int


def settings_of(question: Question, place: int) -> list[tuple[tuple[Cooking, ...], tuple[Role, ...]]]:
    """Every way to lay one place: the dishes, and the roles left open."""
    roles = question.places[place].roles
    by_role = [[None, *(c for c in question.cookings if c.place == place and c.role == role)] for role in roles]
    out = []
    for picked in product(*by_role):
        dishes = tuple(c for c in picked if c is not None)
        filled = [sum((c.role == role) + (role in c.dish.covers) for c in dishes) for role in roles]
        if max(filled, default=0) <= 1:
            out.append((dishes, tuple(r for r, n in zip(roles, filled, strict=True) if n == 0)))
    return out


def menus(question: Question) -> Iterator[tuple[list[Cooking], list[Role]]]:
    """Every menu that keeps the rules, but for what the shelf can give."""

    def lay(place: int, menu: list[Cooking], left_open: list[Role]) -> Iterator[tuple[list[Cooking], list[Role]]]:
        if place == len(question.places):
            if keeps_the_rules(question, menu):
                yield menu, left_open
            return
        for dishes, open_roles in settings_of(question, place):
            longer = [*menu, *dishes]
            if not dishes or so_far_so_good(question, longer):
                yield from lay(place + 1, longer, [*left_open, *open_roles])

    yield from lay(0, [], [])


def best_of_all(question: Question) -> Best:
    """The cheapest menu, found by trying them all with every choice of product."""
    best: Fraction | None = None
    open_roles: set[int] = set()
    tried = 0
    for menu, left_open in menus(question):
        ways = [product(*c.uses) for c in menu]
        for takes in product(*ways):
            tried += 1
            cost = score(question, [Cooked(c, t) for c, t in zip(menu, takes, strict=True)], left_open)
            if cost is None:
                continue
            if best is None or cost < best:
                best, open_roles = cost, set()
            if cost == best:
                open_roles.add(len(left_open))
    return Best(best, frozenset(open_roles), tried)


def question_of(household: Household, plan: MenuPlan, pinned: Any = ()) -> Question:
    """A plan's own question read apart, at the pace that the plan states."""
    question = read(household, plan.first, plan.days, pinned)
    put_bands(question, plan.pace)
    return question


def cost_as_planned(question: Question, plan: MenuPlan) -> Fraction | None:
    """What a finished plan's dishes cost by the reading here, in points."""
    menu = []
    for meal in plan.meals:
        number = (meal.day - plan.first).days
        for planned in meal.dishes:
            (cooking,) = [
                c
                for c in question.cookings
                if c.day == number and c.dish.name == planned.dish and question.places[c.place].meal == meal.meal
            ]
            menu.append((cooking, planned))
    costs = []
    ways = [[t for t in product(*c.uses) if _sums(t) == _stated(p)] for c, p in menu]
    left_open = [role for meal in plan.meals for role in meal.open_roles]
    for takes in product(*ways):
        costs.append(score(question, [Cooked(c, t) for (c, _), t in zip(menu, takes, strict=True)], left_open))
    return min((c for c in costs if c is not None), default=None)


def _sums(takes: Any) -> dict[str, Fraction]:
    sums: dict[str, Fraction] = {}
    for draw in takes:
        sums[draw.product] = sums.get(draw.product, Fraction(0)) + draw.amount
    return sums


def _stated(planned: Any) -> dict[str, Fraction]:
    return {use.product: use.amount for use in planned.uses}


DURING = (
    RulesDuring("summer", (12, 20), (1, 6), fixed={"Mon": "soup", "Tue": ""}, hands_on_minutes={"Tue": 30}),
    RulesDuring(
        "canning",
        (1, 5),
        (1, 5),
        hands_on_minutes={"Mon": 20},
        longest_minutes={"Mon": 25},
        without=frozenset({"soup"}),
    ),
)
SECOND_DAY = ((1, 6), (1, 31))
"""Days of the year that begin after the menu has."""

NAMES = ("Beans", "Corn", "Peas", "Stock")


@st.composite
def products(draw: st.DrawFn, name: str) -> Product:
    """A jar, a pack that must thaw, a jar of two sizes, a bin, or what is good for days alone; some wait some days."""
    kind = draw(st.sampled_from(("jar", "jar", "pack", "two sizes", "bin", "fresh")))
    if kind == "fresh":
        return loose(name, "qt", kind="fridge", fresh_days=draw(st.integers(1, 3)))
    changes: dict[str, Any] = {
        "must_last_to": day(draw(st.sampled_from((1, 2, 9, 30)))),
        "deadline_kind": draw(st.sampled_from(("new crop", "new crop", "keeps to"))),
        "contents": draw(st.sampled_from((frozenset[str](), frozenset[str](), frozenset({"salty"})))),
        "waits_on": frozenset(draw(st.sampled_from(((), (), (day(0), day(1)), (day(2),))))),
    }
    if kind == "bin":
        return loose(name, "qt", **changes)
    changes["opened_days"] = draw(st.sampled_from((1, 2, 2, 3, 30, None)))
    changes["reserve"] = qty(draw(st.sampled_from(("0 qt", "0 qt", "1/2 qt", "1 qt"))))
    if kind == "pack":
        changes |= {"kind": "freezer", "thaw_days": draw(st.sampled_from((1, 1, 2)))}
    return jar(name, sizes=("qt", "pt") if kind == "two sizes" else ("qt",), **changes)


@st.composite
def dishes(draw: st.DrawFn, number: int, names: tuple[str, ...]) -> Dish:
    """A main or a side of one or two uses, some with a choice of product."""
    role = draw(st.sampled_from(("main", "side", "main")))
    uses = []
    for first in draw(st.lists(st.sampled_from(names), min_size=1, max_size=2, unique=True)):
        text = f"{draw(st.sampled_from(('1/2', '1', '1 1/2')))} qt {first}"
        other = draw(st.sampled_from((None, *names)))
        if other is not None and other != first and draw(st.booleans()):
            mark = draw(st.sampled_from(("", "~")))
            text += f" or {mark}{draw(st.sampled_from(('1/2', '1')))} qt {other}"
        uses.append(text)
    changes: dict[str, Any] = {
        "serves": draw(st.sampled_from((4, 4, 4, 1))),
        "tags": draw(st.sets(st.sampled_from(("soup", "beans", "roast")), max_size=2)),
        "liking": draw(st.sampled_from((-1, 0, 1))),
        "hands_on_minutes": draw(st.sampled_from((10, 20, 40))),
        "goes_with": draw(st.sampled_from(((), (), ("beans",)))),
        "not_with": draw(st.sampled_from(((), (), ("soup",)))),
        "weekdays": draw(st.sampled_from(((), (), (), ("Mon", "Wed")))),
    }
    changes["only_for"] = draw(st.sampled_from(("", "", "", "feast", "crew")))
    changes["not_for"] = draw(st.sampled_from(((), (), ("feast",))))
    if role == "main" and draw(st.booleans()):
        changes["covers"] = ("side",)
    if draw(st.integers(0, 4)) == 0:
        changes["instead"] = (instead("Ben", "a crust", [f"1/2 qt {draw(st.sampled_from(names))}"]),)
    return dish(f"dish {number}", uses, role=role, **changes)  # type: ignore[arg-type]


@st.composite
def kitchens(draw: st.DrawFn) -> tuple[Household, int]:
    """A tiny kitchen and how many days to plan."""
    days = 3 - draw(st.integers(0, 1))
    names = NAMES[: 4 - draw(st.integers(0, 2))]
    goods = [draw(products(name)) for name in names]
    most = 5 if days == 2 else 4
    book = [draw(dishes(n, names)) for n in range(most - draw(st.integers(0, most - 2)))]
    if draw(st.integers(0, 3)) == 0 and len(book) > 2:
        book[0] = replace(book[0], leaves=Leaving("cold cuts", Fraction(4), draw(st.integers(1, 2))))
        book[1] = replace(book[1], needs_left="cold cuts")
    ages = {p.name: {"put_up": day(-draw(st.integers(0, 2)))} if p.fresh_days else {} for p in goods}
    lots = [
        lot(p.name, draw(st.sampled_from((3, 2, 4, 1, 0))), size.name, **ages[p.name])
        for p in goods
        for size in p.sizes
    ]
    packs = [p for p in goods if p.whole]
    parts = []
    if packs and draw(st.booleans()):
        open_one = draw(st.sampled_from(packs))
        left = draw(st.sampled_from(("1/2 qt", "1/2 qt", "1 qt")))
        parts.append(part_jar(open_one.name, left, MONDAY - timedelta(days=draw(st.sampled_from((1, 2, 29))))))
    extra: dict[str, Any] = {"part_jars": tuple(parts)}
    fresh = [p.name for p in goods if p.fresh_days]
    if names[0] not in fresh and draw(st.integers(0, 2)) == 0:
        extra["standing"] = (standing(names[0], "3 1/2 qt", within=draw(st.sampled_from((None, None, SECOND_DAY)))),)
    if draw(st.integers(0, 2)) == 0:
        extra["arrivals"] = (arrival(names[-1], "2 qt", day(draw(st.integers(0, 2)))),)
    extra["arrivals"] = (
        *extra.get("arrivals", ()),
        *(arrival(name, draw(st.sampled_from(("1/2 qt", "1 qt"))), day(d)) for name in fresh for d in range(days)),
    )
    if draw(st.integers(0, 2)) == 0:
        eaten = draw(st.sampled_from([d.name for d in book]))
        extra["recent"] = ((MONDAY - timedelta(days=1), eaten),)
    if draw(st.integers(0, 2)) == 0:
        kind = draw(st.sampled_from(("feast", "crew")))
        own = draw(st.sampled_from(("", book[0].name)))
        extra["occasions"] = (Occasion(day(1), day(1), "occasion", Fraction(1), kind=kind, dish=own),)  # type: ignore[arg-type]
    house = rules(
        days_between={"main": draw(st.sampled_from((1, 2, 1, 3))), "side": draw(st.integers(1, 2))},
        at_most=draw(st.sampled_from(({}, {"soup": 1}))),
        not_running=draw(st.sampled_from(((), ("beans",)))),
        not_twice=draw(st.sampled_from(((), ("beans", "soup")))),
        not_twice_a_day=draw(st.sampled_from(((), (), ("soup",)))),
        fixed=draw(st.sampled_from(({}, {}, {"Tue": "roast"}))),
        hands_on_minutes=draw(st.sampled_from(({}, {"Mon": 50, "Wed": 30}, {}))),
        during=draw(st.sampled_from(((), (), DURING))),
        meal_minutes=draw(st.sampled_from(({}, {}, {"supper": {"Tue": 30}}))),
    )
    ben = person("Ben", must_not=draw(st.sampled_from(((), ("salty",)))), will_not=frozenset({"roast"}))
    home = kitchen(
        products=goods, lots=lots, dishes=book, people=[person("Ann"), ben],
        meals=[meal_roles(roles=("main", "side"))], rules=house, **extra,
    )  # fmt: skip
    return home, days
