"""Every printed reason is true: each kind is judged by the household's files and the plan, apart from its maker."""

from __future__ import annotations

import csv
import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import yaml
from msgspec.structs import replace

from pantrymeals.larder.taking import with_lots
from pantrymeals.menu.reasons import with_reasons
from pantrymeals.plans.menu import BegunUse, MenuPlan, Opening
from pantrymeals.records import Household, Leaving, Taken
from tests.kitchens.tiny import (
    arrival,
    cooked,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    menu,
    part_jar,
    qty,
    rules,
    standing,
    supper,
)

ROOT = Path(__file__).parents[3]
DEMO = ROOT / "demo"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def rows(name: str) -> list[dict[str, str]]:
    with (DEMO / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def bag(words: str) -> list[str]:
    """The words of a name whatever their order and number: 'Potatoes, early red' and 'early red potatoes'."""
    return sorted(re.sub(r"(es|s)$", "", word) for word in re.findall(r"[a-z]+", words.lower()))


class Judge:
    """Says of a sentence whether it is true of a dish on a day, from the files and the stored menu alone."""

    def __init__(self, stored: Path) -> None:
        self.menu: dict[str, Any] = json.loads(stored.read_text(encoding="utf-8"))
        self.products = {row["product"]: row for row in rows("products.csv")}
        books = [*(ROOT / "recipes").glob("*.yaml"), *(DEMO / "recipes").glob("*.yaml")]
        self.recipes = {d["name"]: d for d in (yaml.safe_load(b.read_text(encoding="utf-8")) for b in books)}

    def true(self, on: date, meal: str, dish: dict[str, Any]) -> bool:
        why = dish["why"]
        for pattern, says in (
            (r"you asked for it", lambda: dish["pinned"]),
            (r"made from the (.+)", lambda what: self.left(on, dish["dish"], what)),
            (r"from the (.+) opened on (\w+day)", lambda what, when: self.opened_here(on, dish, what, when)),
            (r"from the (.+?) (?:opened|lifted out) (\d+) (\w+)", lambda *w: self.open(on, dish, *w)),
            (r"(.+) keeps? only to (\d+) (\w+)", lambda *w: self.keeps(on, dish, *w)),
            (r"(.+) put up in (\d{4})", lambda what, year: self.oldest(on, dish, what, int(year))),
            (r"the first (.+) in four weeks", lambda what: self.none_lately(on, dish, what)),
            (r"the (\w+day) (.+)", lambda when, tag: self.night(on, meal, dish, when, tag)),
        ):
            if found := re.fullmatch(pattern, why):
                return bool(says(*found.groups()))
        raise AssertionError(f"nobody can judge {why!r}")

    def named(self, dish: dict[str, Any], what: str) -> str:
        (name,) = [use["product"] for use in dish["uses"] if bag(use["product"]) == bag(what)]
        return str(name)

    def left(self, on: date, name: str, what: str) -> bool:
        days = {f"{on - timedelta(days=n)}" for n in range(1, 8)}
        before = {d["dish"] for m in self.menu["meals"] for d in m["dishes"] if m["day"] in days}
        left = [self.recipes[d].get("leaves") for d in before]
        return self.recipes[name]["needs_left"] == what and any(x and x["name"] == what for x in left)

    def opened_here(self, on: date, dish: dict[str, Any], what: str, when: str) -> bool:
        mine = [o for o in self.menu["openings"] if o["product"] == self.named(dish, what)]
        days = [date.fromisoformat(o["day"]) for o in mine if any(u["day"] == f"{on}" for u in o["uses"])]
        return any(WEEKDAYS[d.weekday()] == when and 0 < (on - d).days < 7 for d in days)

    def open(self, on: date, dish: dict[str, Any], what: str, number: str, month: str) -> bool:
        name = self.named(dish, what)
        began = [b for b in self.menu["begun"] if b["product"] == name and any(u["day"] == f"{on}" for u in b["uses"])]
        jars = {row["opened"] for row in rows("open.csv") if row["product"] == name}
        days = [date.fromisoformat(b["opened"]) for b in began if b["opened"] in jars]
        return any((d.day, MONTHS[d.month - 1]) == (int(number), month) for d in days)

    def keeps(self, on: date, dish: dict[str, Any], what: str, number: str, month: str) -> bool:
        row = self.products[self.named(dish, what)]
        by = date.fromisoformat(row["must_last_to"])
        return (
            row["deadline"] == "keeps to"
            and (by.day, MONTHS[by.month - 1]) == (int(number), month)
            and 0 <= (by - on).days <= 50
        )

    def oldest(self, on: date, dish: dict[str, Any], what: str, year: int) -> bool:
        name = self.named(dish, what)
        years = {
            int(r["put_up"][:4]) for r in rows("stock.csv") if r["product"] == name and r["put_up"] and not r["state"]
        }
        return year == min(years) and (on - date(year, 1, 1)).days > 730

    def none_lately(self, on: date, dish: dict[str, Any], what: str) -> bool:
        name, since = self.named(dish, what), on - timedelta(days=28)
        moved = (r for r in rows("put-up-book.csv") if r["product"] == name and r["what"] == "jars")
        eaten = [r["day"] for r in moved if r["reason"] in ("pulled", "eaten", "made over")]
        here = [m["day"] for m in self.menu["meals"] for d in m["dishes"] if name in {u["product"] for u in d["uses"]}]
        days = [date.fromisoformat(d) for d in [*eaten, *here]]
        stands = name in {r["product"] for r in rows("standing.csv")}
        return not stands and not any(since <= d < on for d in days)

    def night(self, on: date, meal: str, dish: dict[str, Any], when: str, tag: str) -> bool:
        fixed = yaml.safe_load((DEMO / "household.yaml").read_text(encoding="utf-8"))["house_rules"]["fixed"]
        promised = WEEKDAYS[on.weekday()] == when and fixed[when[:3]] == tag
        return promised and meal == "supper" and tag in self.recipes[dish["dish"]]["tags"]


def test_every_reason_of_the_demos_week_is_true_and_no_more_than_half_of_the_dishes_have_one() -> None:
    judge = Judge(ROOT / "tests" / "golden" / "demo_week.json")
    dishes = [(date.fromisoformat(m["day"]), m["meal"], d) for m in judge.menu["meals"] for d in m["dishes"]]
    said = [(on, meal, d) for on, meal, d in dishes if d["why"]]
    assert 0 < len(said) <= len(dishes) // 2
    assert [(f"{on}", d["dish"], d["why"]) for on, meal, d in said if not judge.true(on, meal, d)] == []
    assert len({d["why"] for *_, d in said}) == len(said)


def bent(said: str) -> str:
    """The same sentence with another day, year or weekday."""
    said = re.sub(r"\d+", lambda m: str(int(m[0]) - 1), said)
    return re.sub(r"\w+day", lambda m: WEEKDAYS[WEEKDAYS.index(m[0]) - 1], said)


def test_the_judge_is_not_fooled() -> None:
    """Every sentence of the week that has a day or year, with another; and a first of what is eaten every day."""
    judge = Judge(ROOT / "tests" / "golden" / "demo_week.json")
    bends = 0
    for meal in judge.menu["meals"]:
        on = date.fromisoformat(meal["day"])
        for eaten in meal["dishes"]:
            lie = bent(eaten["why"])
            if lie != eaten["why"] and not lie.startswith("the "):
                assert not judge.true(on, meal["meal"], {**eaten, "why": lie}), lie
                bends += 1
            if "Rolled oats" in {use["product"] for use in eaten["uses"]}:
                assert not judge.true(on, meal["meal"], {**eaten, "why": "the first rolled oats in four weeks"})
    assert bends >= 4


def why(home: Household, plan: MenuPlan) -> list[str]:
    """The reasons of a menu's dishes, in order."""
    return [d.why for m in with_reasons(home, with_lots(home, plan)).meals for d in m.dishes]


def _two(**more: Any) -> Household:
    return kitchen(dishes=[dish("Soup", ["1 qt Beans"], tags=["soup"]), dish("Plain")], **more)


def test_what_is_open_is_said_of_the_day_that_takes_it_alone() -> None:
    home = _two(part_jars=(part_jar("Beans", "1/2 qt", day(-2)),))
    begun = (BegunUse("Beans", "qt", day(-2), ((day(1), qty("1 qt")),)),)
    plan = menu(home, [supper(day(n), cooked(home, name)) for n, name in enumerate(("Soup", "Soup"))])
    assert why(home, replace(plan, begun=begun)) == ["", "from the beans opened 3 Jan"]


def test_a_jar_of_this_menu_is_open_on_the_days_after_it_was_opened() -> None:
    home = _two()
    opened = [Opening(day(0), "Beans", "qt", 1, None, day(3), ((day(0), qty("1/2 qt")), (day(1), qty("1/2 qt"))))]
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in (0, 1)], openings=opened)
    assert why(home, plan) == ["", "from the beans opened on Monday"]


@pytest.mark.parametrize(("days", "said"), [(0, True), (50, True), (51, False), (-1, False)])
def test_what_keeps_only_to_a_near_day_says_its_day(days: int, said: bool) -> None:
    keeper = loose("Carrots", must_last_to=day(days), deadline_kind="keeps to")
    home = kitchen(
        products=[keeper], lots=[lot("Carrots", 9, "lb")], dishes=[dish("Stew", ["1 lb Carrots"]), dish("Plain")]
    )
    plan = menu(home, [supper(day(0), cooked(home, "Stew"), cooked(home, "Plain"))])
    assert bool(why(home, plan)[0]) == said


@pytest.mark.parametrize(("put_up", "said"), [(date(2024, 1, 5), True), (date(2024, 1, 6), False)])
def test_the_oldest_is_said_beyond_two_years_and_of_the_lot_that_is_opened(put_up: date, said: bool) -> None:
    home = _two(lots=[lot("Beans", 1, put_up=put_up), lot("Beans", 4)], products=[jar("Beans")])
    opened = [Opening(day(0), "Beans", "qt", 1, uses=((day(0), qty("1 qt")),))]
    plan = menu(home, [supper(day(0), cooked(home, "Soup"), cooked(home, "Plain"))], openings=opened)
    assert why(home, plan)[0] == (f"beans put up in {put_up.year}" if said else "")
    later = [Opening(day(n), "Beans", "qt", 1, uses=((day(n), qty("1 qt")),)) for n in (0, 1)]
    both = menu(home, [supper(day(n), cooked(home, "Soup"), cooked(home, "Plain")) for n in (0, 1)], openings=later)
    assert why(home, both)[2] == ""  # the young lot


@pytest.mark.parametrize(
    ("eaten", "known", "stands", "said"),
    [
        (-29, -40, False, True),
        (-28, -40, False, False),
        (-29, -27, False, False),
        (-29, -28, False, True),
        (-29, -40, True, False),
    ],
)
def test_four_weeks_without_are_said_where_all_that_was_eaten_is_known(
    eaten: int, known: int, stands: bool, said: bool
) -> None:
    home = _two(
        taken=(Taken(day(eaten), "Beans", qty("1 qt")),),
        known_since={"Beans": day(known)},
        standing=(standing("Beans", "1 qt"),) if stands else (),
    )
    twice = menu(home, [supper(day(n), cooked(home, "Soup"), cooked(home, "Plain")) for n in (0, 1)])
    assert why(home, twice) == ["the first beans in four weeks" if said else "", "", "", ""]


def test_promises_come_first_and_fixed_nights_last() -> None:
    home = _two(rules=rules(fixed={"Mon": "soup"}))
    soup, plain = cooked(home, "Soup"), cooked(home, "Plain")
    assert why(home, menu(home, [supper(day(0), soup, plain)])) == ["the Monday soup", ""]
    pinned = replace(soup, pinned=True)
    assert why(home, menu(home, [supper(day(0), pinned, plain)])) == ["you asked for it", ""]
    assert why(home, menu(home, [supper(day(1), soup, plain)])) == ["", ""]


def test_what_is_left_says_from_what() -> None:
    home = kitchen(
        dishes=[dish("Roast", leaves=Leaving("cold roast", qty("4 each"), 3)), dish("Hash", needs_left="cold roast")]
    )
    plan = menu(home, [supper(day(0), cooked(home, "Roast")), supper(day(1), cooked(home, "Hash"))])
    assert why(home, plan) == ["", "made from the cold roast"]


def test_never_more_than_half_of_the_dishes_have_a_reason() -> None:
    home = _two(rules=rules(fixed={"Mon": "soup", "Tue": "soup", "Wed": "soup"}))
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(3)])
    assert why(home, plan) == ["the Monday soup", "", ""]


@pytest.mark.parametrize(("opened_days", "on", "said"), [(4, 1, True), (10, 1, True), (10, 0, False), (90, 1, False)])
def test_what_is_open_is_a_reason_in_its_last_week_alone(opened_days: int, on: int, said: bool) -> None:
    """Open since Saturday: of ten days, Tuesday is the first of the last seven."""
    home = _two(
        products=[jar("Beans", opened_days=opened_days), loose("Carrots")],
        part_jars=(part_jar("Beans", "1/2 qt", day(-2)),),
    )
    begun = (BegunUse("Beans", "qt", day(-2), ((day(on), qty("1/2 qt")),)),)
    plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(on + 1)])
    assert (why(home, replace(plan, begun=begun))[on] != "") == said


def test_bread_that_comes_in_every_other_day_is_no_reason() -> None:
    begun = (BegunUse("Beans", "qt", day(-2), ((day(1), qty("1/2 qt")),)),)
    for arrivals in ((), (arrival("Beans", "2 qt", day(2)),)):
        home = _two(part_jars=(part_jar("Beans", "1/2 qt", day(-2)),), arrivals=arrivals)
        plan = menu(home, [supper(day(n), cooked(home, "Soup")) for n in range(3)])
        assert (why(home, replace(plan, begun=begun))[1] != "") == (not arrivals)
