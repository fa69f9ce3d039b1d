"""A whole rehearsal, small; its JSON judged again by the checker."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.no_store import NoStoreSheet, make_no_store
from pantrymeals.checking.menu import broken_rules
from pantrymeals.errors import PantryError
from pantrymeals.no_store.allowed import ListWanted, smallest_list, what_standing_lacks
from pantrymeals.no_store.rehearse import RehearsalAsked, times
from pantrymeals.no_store.search_time import SearchTime
from pantrymeals.no_store.staples import staple_rows
from pantrymeals.no_store.store import without_store
from pantrymeals.plans.menu import MenuPlan, Opening
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household, NoStoreRules
from pantrymeals.reports.json.no_store import NoStoreFile, no_store_json
from pantrymeals.reports.json.plan import plan_in
from pantrymeals.reports.json.shape import values_in
from pantrymeals.reports.json.stored import read_as
from pantrymeals.reports.no_store_words import list_words
from pantrymeals.reports.pages.no_store import no_store_pdf
from pantrymeals.reports.terminal.no_store import write_no_store
from pantrymeals.reports.terminal.paper import WIDTH, Paper
from tests.kitchens import tiny
from tests.outside.printed import by_pdftotext


def kitchen() -> Household:
    products = [
        tiny.jar("Beans", price_usd=Fraction(2)),
        tiny.loose("Carrots", price_usd=Fraction(1)),
        tiny.jar("Kale", price_usd=Fraction(3), must_last_to=tiny.day(15), deadline_kind="keeps to"),
        tiny.loose("Coffee", price_usd=Fraction(11)),
    ]
    lots = [
        tiny.lot("Beans", 6),
        tiny.lot("Carrots", 6, "lb"),
        tiny.lot("Kale", 2),
        tiny.lot("Kale", 9, put_up=date(2022, 9, 1)),
        tiny.lot("Coffee", 1, "lb"),
    ]
    return tiny.kitchen(
        products=products,
        lots=lots,
        dishes=[
            tiny.dish("Bean pot", ["1 qt Beans"]),
            tiny.dish("Carrot pot", ["1 lb Carrots"]),
            tiny.dish("Kale pot", ["1 qt Kale"]),
        ],
        standing=(tiny.standing("Coffee", "1 lb"),),
        arrivals=(
            tiny.arrival("Coffee", "5 lb", tiny.day(9), "order"),
            tiny.arrival("Beans", "1 qt", tiny.day(5), "by barter"),
        ),
        no_store=NoStoreRules(
            ("Kale",), purse_usd_week=Fraction(7), usual_month_usd=Fraction(300), must_go_suppers_week=2
        ),
    )


def judged_again(household: Household, text: str) -> list[str]:
    """What the checker says of the menus in a rehearsal's JSON, from the household's own files on."""
    file = read_as(NoStoreFile, values_in(text))
    said = []
    for part in file.before:
        before = plan_in(part)
        said += [str(fault) for fault in broken_rules(household, before)]
        household = household_after(household, before)
    said += [str(f) for f in broken_rules(without_store(household, file.first), plan_in(file.menu))]
    return said


@pytest.fixture(scope="module")
def sheet() -> NoStoreSheet:
    return make_no_store(kitchen(), tiny.day(3), 7, 1, 20.0)


def test_coffee_pinches_on_the_fifth_day_though_an_order_was_due(sheet: NoStoreSheet) -> None:
    found = sheet.rehearsal
    coffee = next(p for p in found.pinches if p.product == "Coffee")
    assert (coffee.day, coffee.kind, coffee.lacking) == (tiny.day(7), "goes without", Fraction(3, 7))
    assert [a.product for a in found.kept_out] == ["Coffee"]
    assert found.staples[0].days == 4


def test_the_days_until_then_are_eaten_first(sheet: NoStoreSheet) -> None:
    found = sheet.rehearsal
    assert [(plan.first, plan.days) for plan in found.before] == [(tiny.MONDAY, 3)]
    assert found.household.today == tiny.day(3)
    assert sum((lot.count for lot in found.household.lots if lot.product == "Coffee"), Fraction(0)) == Fraction(4, 7)


def announced(household: Household, first: int, *dishes: str) -> MenuPlan:
    """A menu written by hand: such a dish on each of the days from that one on."""
    meals = [tiny.supper(tiny.day(first + n), tiny.cooked(household, name)) for n, name in enumerate(dishes)]
    plan = tiny.menu(household, meals, first=tiny.day(first), days=len(dishes))
    opened = [Opening(tiny.day(first + n), "Beans", "qt", 1) for n, name in enumerate(dishes) if name == "Bean pot"]
    return tiny.told(household, replace(plan, openings=tuple(opened)))


def test_announced_menus_are_eaten_wherever_they_lie_before_it_and_in_it_it_says_why_not() -> None:
    home = kitchen()
    told = [announced(home, 1, "Carrot pot"), announced(home, 2, "Carrot pot", "Bean pot", "Bean pot")]
    found = make_no_store(home, tiny.day(4), 3, 1, 4.0, announced=told)
    before = found.rehearsal.before
    assert [(plan.first, plan.days) for plan in before] == [(tiny.day(0), 1), (tiny.day(1), 1), (tiny.day(2), 2)]
    dishes = [d.dish for plan in before[1:] for meal in plan.meals for d in meal.dishes]
    assert dishes == ["Carrot pot", "Carrot pot", "Bean pot"]
    here = {lot.product: lot.count for lot in found.rehearsal.household.lots if lot.product in ("Carrots", "Beans")}
    planned = before[0].meals[0].dishes[0].dish
    assert here["Carrots"] == 6 - 2 - (planned == "Carrot pot")
    assert here["Beans"] == 6 - 1 - (planned == "Bean pot")
    paper = Paper()
    write_no_store(paper, found.rehearsal, found.menu, found.broken)
    said = " ".join(paper.text().split())
    assert "Eaten as announced: Tue 6 Jan." in said
    assert "Eaten as announced: Wed 7 Jan to Thu 8 Jan." in said
    assert "planned anew here, for that menu may count on the store: Fri 9 Jan." in said
    assert found.broken == ()


def test_coffee_is_the_whole_list(sheet: NoStoreSheet) -> None:
    for found in sheet.rehearsal.lists:
        assert [(i.product, i.count, i.cost_usd) for i in found.items] == [("Coffee", 1, 11)]
        assert found.proven


def test_the_longest_run_eats_all_that_is_there_and_comes_in(sheet: NoStoreSheet) -> None:
    # 17 jars and 6 lb and one jar to come, less what the three days before ate: one of each a day.
    assert sheet.rehearsal.longest.sure == sheet.rehearsal.longest.at_most == 18 + 6 - 3


def test_what_must_go_is_on_the_table(sheet: NoStoreSheet) -> None:
    found = sheet.rehearsal
    assert found.must_go_marks == {"Kale": "eat first"}
    assert len(found.must_go[0].suppers) >= 2
    assert found.must_go_asked in ("by itself", "as a rule")


def test_dollars(sheet: NoStoreSheet) -> None:
    money = sheet.rehearsal.money
    assert money.purse == 7
    assert round(money.usual) == round(300 / 30.4375 * 7)
    assert money.not_spent == money.usual - 7


def test_json_keeps_all_and_the_checker_finds_nothing(sheet: NoStoreSheet) -> None:
    text = no_store_json(sheet.rehearsal, sheet.menu, sheet.laid_before())
    file = read_as(NoStoreFile, values_in(text))
    assert file.verdict.rules_kept
    assert judged_again(kitchen(), text) == []
    assert plan_in(file.menu).meals == sheet.rehearsal.plan.meals


def test_a_menu_that_eats_what_is_not_there_is_found_out(sheet: NoStoreSheet) -> None:
    text = no_store_json(sheet.rehearsal, sheet.menu, sheet.laid_before())
    poorer = replace(kitchen(), lots=tuple(x for x in kitchen().lots if x.product != "Kale"))
    assert judged_again(poorer, text)


def test_the_report_stays_within_the_page(sheet: NoStoreSheet) -> None:
    paper = Paper()
    write_no_store(paper, sheet.rehearsal, sheet.menu, sheet.broken)
    lines = paper.text().splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert "Coffee: 12 Jan, 0.43 lb too little" in lines
    assert "DO NOT COOK" not in paper.text()


def test_what_has_no_food_figures_and_no_price_is_not_known_never_nothing(sheet: NoStoreSheet) -> None:
    paper = Paper()
    unpriced = replace(sheet.rehearsal.money, eaten_at_store_prices=Fraction(0), unpriced=("Beans",))
    write_no_store(paper, replace(sheet.rehearsal, money=unpriced), sheet.menu, sheet.broken)
    said = " ".join(paper.text().split())
    assert sheet.rehearsal.cover.today == sheet.rehearsal.plan.first
    assert said.index("How long the food lasts: full meals at most ") < said.index("THE RULES")
    assert "energy and protein not known, for nothing on the shelf has food figures." in said
    assert "energy, kcal unknown unknown unknown" in said
    assert "What the shelves give, at store prices: not known: nothing of it has a price." in said
    assert " 0 days" not in said
    assert "$0" not in said


@pytest.mark.parametrize(("first", "days"), [(-1, 7), (0, 0), (0, 367), (400, 7)])
def test_days_that_make_no_sense(first: int, days: int) -> None:
    with pytest.raises(PantryError):
        make_no_store(kitchen(), tiny.day(first), days, 1, 5.0)


class HadEnough:
    """A cook who wants what there is from the first moment on."""

    def progress(self, *_: object) -> None:
        """Nobody looks."""

    def stopped(self) -> bool:
        """At once."""
        return True


@pytest.fixture(scope="module")
def demo() -> Household:
    return load_larder(Path("demo"), None, date(2026, 1, 17))


def test_the_demo_runs_out_of_coffee_on_21_february(demo: Household) -> None:
    """3 lb on 17 January at 0.6 lb a week are five weeks; no dish takes any, so no search has a hand in it."""
    (coffee,) = [row for row in staple_rows(demo, demo.today, 60, 366) if row.product == "Coffee"]
    assert (coffee.out, coffee.days, coffee.weekly) == (date(2026, 2, 21), 35, Fraction(3, 5))


@pytest.mark.slow
def test_a_rehearsal_that_is_stopped_at_once_is_whole_and_knows_what_standing_use_lacks(demo: Household) -> None:
    sheet = make_no_store(demo, date(2026, 2, 14), 8, 1, None, HadEnough())
    found = sheet.rehearsal
    coffee = next(p for p in found.pinches if p.product == "Coffee")
    assert (coffee.day, coffee.kind) == (date(2026, 2, 21), "goes without")
    assert [i.product for i in found.lists[0].items] == ["Coffee"]
    assert found.longest.stopped
    assert [plan.open_roles for plan in (*found.before, found.plan)] == [0] * 5
    assert sheet.broken == ()
    assert judged_again(demo, no_store_json(found, sheet.menu, sheet.laid_before())) == []


def test_what_was_not_looked_for_is_not_said_not_to_be_there() -> None:
    home = without_store(kitchen(), tiny.MONDAY)
    lacks = what_standing_lacks(staple_rows(home, tiny.MONDAY, 14, 366))
    wanted = ListWanted(home, tiny.MONDAY, 14, lacks, False, SearchTime(9.0, enough=lambda: True))
    found = smallest_list(wanted, "fewest things")
    assert ([(i.product, i.count) for i in found.items], found.reached, found.proven) == ([("Coffee", 1)], False, False)
    assert list_words(home, found, 14) == [
        "Coffee: 1 lb, $11 (for standing use)",
        "What the menu lacks besides is not settled: the search ended first; more time (--seconds) may tell.",
    ]


def test_times_are_kept_to_what_was_asked() -> None:
    short = times(tiny.MONDAY, RehearsalAsked(tiny.day(15), 30, 1, 40.0))
    assert 2 * short.piece + short.menu + short.ruled + short.search == pytest.approx(40)
    usual = times(tiny.MONDAY, RehearsalAsked(tiny.MONDAY, 30))
    assert usual.menu == 45


def test_what_is_not_settled_stands_on_the_page_of_the_month(sheet: NoStoreSheet) -> None:
    note = "NOT SETTLED: Ann must not have 'gluten', and nothing here is marked with it."
    doubt = replace(sheet.rehearsal, plan=replace(sheet.rehearsal.plan, notes=(note,)))
    assert note in by_pdftotext(no_store_pdf(doubt, ()))
