"""Households that every command is asked of, each with a menu of its own, and what the commands answer."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from datetime import timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from msgspec import Struct

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.menu import lay_out, menu_answer
from pantrymeals.actions.no_store import make_no_store, no_store_answer
from pantrymeals.actions.run_out import Chance, eat_first_answer, run_out_answer
from pantrymeals.actions.season import SeasonAsked, notes_answer, question_of, season_answer, sitters_answer
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Movement
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from tests.golden import test_households as told
from tests.kitchens.three_houses import HOUSES
from tests.kitchens.tiny import MONDAY, cooked, menu, supper

GOLDEN = Path(__file__).parents[2] / "golden" / "demo_week.json"


def hungry(demo: Path, folder: Path) -> Larder:
    """The demo's table with 6 parts of 100 of its stock; its book says that the rest was given away yesterday."""
    larder, full = told.hungry(demo, folder), open_with_book(demo, told.TODAY, told.TODAY)
    left: dict[tuple[str, str], Fraction] = defaultdict(Fraction)
    for home, sign in ((larder.household, 1), (full.household, -1)):
        for lot in home.lots:
            left[lot.product, lot.size] += sign * lot.count
    yesterday = told.TODAY - timedelta(days=1)
    gone = (Movement(yesterday, product, size, count, "given") for (product, size), count in left.items() if count)
    return Larder(larder.household, (*larder.book, *gone))


WHOLE: Mapping[str, Callable[[Path, Path], Larder]] = {
    "pints": told.first_month,
    "southern": told.southern,
    "hungry": hungry,
}
"""Households whole enough to live in: a couple with pints and a metric four in the south, both on the day of their
first count, and the demo's table with 6 parts of 100 of its stock."""
NAMES = (*HOUSES, *WHOLE, "demo")

Said = dict[str, Any]


class House(Struct, frozen=True):
    """A household with its book, and a menu of it."""

    name: str
    larder: Larder
    plan: MenuPlan


def week_of(larder: Larder) -> MenuPlan:
    """A week from today with a supper on its first two days: the first main, in no order but the household's."""
    home = larder.household
    mains = [name for name, each in home.dishes.items() if each.role == "main"]
    days = [home.today + timedelta(days=number) for number in range(7)]
    return menu(home, [supper(day, cooked(home, mains[0])) if n < 2 else supper(day) for n, day in enumerate(days)])


def house_of(name: str, demo: Path, folder: Path) -> House:
    """The household of a name; folder: an empty one for those that begin there."""
    if name == "demo":
        plan = plan_in(read_menu_file(GOLDEN.read_text(encoding="utf-8")))
        return House(name, open_with_book(demo, None, MONDAY.replace(day=17)), plan)
    larder = WHOLE[name](demo, folder) if name in WHOLE else HOUSES[name]()
    return House(name, larder, week_of(larder))


def asked(house: House) -> dict[str, Answer]:
    """What each command answers."""
    larder, home = house.larder, house.larder.household
    question = question_of(larder)
    sheet = lay_out(home, house.plan, pace=larder.pace)
    years = sorted({found.year for found in question.years})
    return {
        "menu": menu_answer(sheet, full=True),
        "run-out --plan": run_out_answer(larder, Chance(), house.plan),
        "run-out": run_out_answer(larder, Chance()),
        "eat-first": eat_first_answer(larder, Chance()),
        "no-store": no_store_answer(make_no_store(home, None, 2, 1, 2.0, pace=larder.pace)),
        "season": season_answer(question, SeasonAsked(seconds=1.0)),
        "sitters": sitters_answer(question),
        **{f"season-notes {year}": notes_answer(question, year) for year in years},
    }


def read(answer: Answer) -> Said:
    """An answer's JSON."""
    assert answer.json is not None
    said: Said = json.loads(answer.json())
    return said
