"""Plans three parts of the invented household's year, and writes them down under demo/year/.

    python demo/make_year.py [--seconds N] [PART ...]      (4 seconds' work a week unless said; parts: all of them)

The summer, the canning weeks and Christmas are each reckoned from January's count to their first day. ``PART.md`` is
for reading aloud; ``PART.json`` has of each week the meals with what their dishes take, its notes and what the checker
finds, so that a test judges them without planning anything. ``PART-by-the-book`` is the first week once more, as it
would come with a book as of that day: what was eaten and came in till a week before is in it, then that is planned,
announced and pulled with the program's own commands. Work alone ends a search here, so that a run is like the last.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import floor
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from typer.testing import CliRunner

from pantrymeals.actions.book.keeping import pantry_with_book
from pantrymeals.actions.far_menu import household_for
from pantrymeals.actions.run_out import Larder, open_with_book
from pantrymeals.actions.weeks import make_weeks
from pantrymeals.book.lines import AnyLine, Line, LotFacts, NewEntry, PartFacts, PartLine
from pantrymeals.book.writing import write
from pantrymeals.cli.main import app
from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.records import Household, Lot
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet
from pantrymeals.solving import lanes

DEMO = Path(__file__).parent
TODAY = date(2026, 1, 17)
PARTS = {"summer": (date(2026, 7, 1), 8), "canning": (date(2026, 8, 20), 4), "christmas": (date(2026, 12, 10), 4)}
SEED = 1
WEEK = timedelta(days=7)


def main(parts: list[str], seconds: float) -> None:
    """Plan, write, and say what the checker finds."""
    lanes.OF_WORK, lanes.SETTING_UP = 1000.0, 10000.0  # a busy machine's clock would end a search before its work
    larder = open_with_book(DEMO, TODAY, TODAY)
    pace = larder.pace
    for part in parts:
        first, number = PARTS[part]
        household = household_for(larder.household, first, pace)
        _write(part, make_weeks(household, number, SEED, seconds, pace=pace))
        _write(f"{part}-by-the-book", by_the_book(larder, first, seconds))


def by_the_book(larder: Larder, first: date, seconds: float) -> WeeksSheet:
    """The week from that day, planned from a copy of the folder whose book was kept through the week before it."""
    with TemporaryDirectory() as room:
        folder = Path(shutil.copytree(DEMO, Path(room) / "demo", ignore=shutil.ignore_patterns("gallery", "year")))
        _says(folder, first - WEEK)
        _enter(folder, _lived(folder, household_for(larder.household, first - WEEK, larder.pace)))
        _run("menu", "--announce", "--seed", str(SEED), "--seconds", str(seconds), "--larder", str(folder))
        _run("pull", "--larder", str(folder))
        _says(folder, first)
        _enter(folder, list(_brought_in(larder.household, first)))
        kept = open_with_book(folder, None, first)
        return make_weeks(kept.household, 1, SEED, seconds, pace=kept.pace)


def _run(*words: str) -> None:
    done = CliRunner().invoke(app, list(words), catch_exceptions=False)
    if done.exit_code:
        raise SystemExit(f"{' '.join(words)}: {done.output}")


def _says(folder: Path, today: date) -> None:
    """household.yaml's own day."""
    file = folder / "household.yaml"
    file.write_text(re.sub(r"(?m)^today: \S+", f"today: {today}", file.read_text(encoding="utf-8")), encoding="utf-8")


def _enter(folder: Path, lines: list[AnyLine]) -> None:
    with pantry_with_book(folder, None) as (pantry, book):
        write(book, NewEntry(pantry.today, "as it was lived"), lambda _: lines)


def _lived(folder: Path, household: Household) -> list[AnyLine]:
    """What the book would have, had the household lived to its day as it was reckoned: eaten by and by, and come in."""
    left = {(_facts(lot), lot.where): _rounded(lot.count) for lot in household.lots if not lot.state and lot.count}
    span, lines = household.today - TODAY, list[AnyLine]()
    with pantry_with_book(folder, None, reading=True) as (_, book):
        lines += [PartLine(jar.part, -jar.left, "eaten", TODAY) for jar in book.part_jars()]
        for here in (here for here in book.on_hand() if not here.state):
            gone = here.count - left.pop((here.lot, here.place), Fraction(0))
            times = int(gone) if household.products[here.lot.product].whole else span.days // 7
            each = _rounded(gone / times, down=True) if times else gone
            for n in range(times if gone else 0):
                count = each if n else gone - each * (times - 1)
                day = TODAY + span * (2 * n + 1) / (2 * times)
                lines.append(Line(here.lot, here.place, -count, "eaten", day=day))
    lines += [Line(facts, place, count, "arrived", day=facts.day[0]) for (facts, place), count in left.items()]
    for jar in household.part_jars:
        part = PartFacts(jar.product, jar.size, jar.opened, jar.where, jar.note)
        lines.append(PartLine(part, jar.left / household.products[jar.product].content(jar.size), "opened"))
    return lines


def _rounded(count: Fraction, *, down: bool = False) -> Fraction:
    """A count as a kitchen scale gives it."""
    hundred = count * 100
    return count if count.denominator == 1 else Fraction(floor(hundred) if down else round(hundred), 100)


def _facts(lot: Lot) -> LotFacts:
    made = "" if lot.put_up is None else str(lot.put_up.year) if lot.year_only else lot.put_up.isoformat()
    return LotFacts(lot.product, lot.size, made, lot.load, lot.tested_source, lot.note)


def _brought_in(household: Household, first: date) -> Iterator[Line]:
    """What came in the week before a day; of what is good for days, and what the fridge holds, the last coming."""
    came = {a: household.products[a.product] for a in household.arrivals if first - WEEK <= a.day < first}
    last = {arrival.product: arrival for arrival in sorted(came, key=lambda a: a.day)}
    places = {lot.product: lot.where for lot in household.lots}
    for arrival, product in came.items():
        if product.kind != "fridge" or arrival is last[arrival.product]:
            size = product.sizes[0]
            facts = LotFacts(arrival.product, size.name, arrival.day.isoformat(), note=arrival.note)
            place = places.get(arrival.product, "")
            yield Line(facts, place, arrival.amount / size.content, "arrived", day=arrival.day)


def _write(name: str, done: WeeksSheet) -> None:
    folder = DEMO / "year"
    folder.mkdir(exist_ok=True)
    (folder / f"{name}.md").write_text(weeks_text(done).rstrip() + "\n", encoding="utf-8")
    (folder / f"{name}.json").write_text(_lines([_week(sheet) for sheet in done.weeks]) + "\n", encoding="utf-8")
    for sheet in done.weeks:
        print(name, sheet.plan.first, f"{sheet.plan.gap:.1%}", sheet.plan.open_roles, *sheet.broken, flush=True)


def _lines(weeks: list[dict[str, Any]]) -> str:
    """JSON with a line for each meal, so that a change can be read."""
    said = []
    for week in weeks:
        head = json.dumps({name: week[name] for name in week if name != "meals"}, ensure_ascii=False)[1:-1]
        meals = ",\n".join(json.dumps(meal, ensure_ascii=False) for meal in week["meals"])
        said.append(f'{{{head}, "meals": [\n{meals}\n]}}')
    return f"[{','.join(said)}]"


def _week(sheet: MenuSheet) -> dict[str, Any]:
    plan = sheet.plan
    return {
        "first": plan.first.isoformat(),
        "gap": round(plan.gap, 4),
        "notes": list(plan.notes),
        "broken": list(sheet.broken),
        "meals": [_meal(meal) for meal in plan.meals],
    }


def _meal(meal: PlannedMeal) -> dict[str, Any]:
    return {
        "day": meal.day.isoformat(),
        "meal": meal.meal,
        "portions": str(meal.portions),
        "open": list(meal.open_roles),
        "dishes": [_dish(dish) for dish in meal.dishes],
    }


def _dish(dish: PlannedDish) -> dict[str, Any]:
    uses: dict[str, Fraction] = {}
    for use in dish.uses:
        uses[use.product] = uses.get(use.product, Fraction(0)) + use.amount
    said = {name: str(amount) for name, amount in uses.items()}
    return {"role": dish.role, "dish": dish.dish, "batches": str(dish.batches), "uses": said}


if __name__ == "__main__":
    reading = argparse.ArgumentParser(description="Plan parts of the demo's year.")
    reading.add_argument("parts", nargs="*", metavar="PART", help=f"of {', '.join(PARTS)}; all unless said")
    reading.add_argument("--seconds", type=float, default=4.0, help="work a week, in seconds of a usual machine")
    said = reading.parse_args()
    if unknown := [part for part in said.parts if part not in PARTS]:
        reading.error(f"no such part: {', '.join(unknown)}")
    main(said.parts or list(PARTS), said.seconds)
