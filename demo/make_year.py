"""Plans three parts of the invented household's year, and writes them down under demo/year/.

    python demo/make_year.py [--seconds N] [PART ...]      (4 seconds' work a week unless said; parts: all of them)

The summer, the canning weeks and Christmas are each reckoned from January's count to their first day. ``PART.md`` is
for reading aloud; ``PART.json`` has of each week the meals with what their dishes take of the garden and of what waits
for it, its notes and what the checker finds, so that a test judges them without planning anything.
``PART-by-the-book`` has the same weeks once more, as they would come with a book as of each
first day: what was eaten and came in till a week before is entered, then each week is planned from the book,
announced and pulled with the program's own commands, and counted, before the next. It is told short: a table of meals a
week, and what is to be said of it. Work alone ends a search here, so that a run is like the last.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
from collections.abc import Collection, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import floor
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from typer.testing import CliRunner

from pantrymeals.actions.book.keeping import pantry_with_book
from pantrymeals.actions.far_menu import household_for
from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu
from pantrymeals.actions.weeks import make_weeks
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.book.lines import AnyLine, Line, LotFacts, NewEntry, PartFacts, PartLine
from pantrymeals.book.writing import write
from pantrymeals.cli.main import app
from pantrymeals.menu import menu
from pantrymeals.plans.menu import MenuPlan, PlannedDish, PlannedMeal
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household, Lot, Reason
from pantrymeals.reports.json.plan import menu_json
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.proof_words import OF_EVERY_WEEK, left_over_words, nearness, open_words, waste_words
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.solving import filling, lanes
from pantrymeals.words import sentence, short_day, small_count, span, the_house

DEMO = Path(__file__).parent
TODAY = date(2026, 1, 17)
PARTS = {"summer": (date(2026, 7, 1), 8), "canning": (date(2026, 8, 20), 4), "christmas": (date(2026, 12, 10), 4)}
BY_THE_BOOK = "-by-the-book"
DOCUMENTS = tuple(f"{part}{book}" for part in PARTS for book in ("", BY_THE_BOOK))
SEED = 1
WEEK = timedelta(days=7)


def main(parts: list[str], seconds: float) -> None:
    """Plan, write, and say what the checker finds."""
    # a busy machine's clock would end a search before its work
    lanes.OF_WORK, lanes.SETTING_UP, filling.SETTLING_SECONDS, menu.PATIENCE_SECONDS = 1000.0, *[10000.0] * 3
    larder = open_with_book(DEMO, TODAY, TODAY)
    pace = larder.pace
    for name in parts:
        part, book, _ = name.partition(BY_THE_BOOK)
        first, number = PARTS[part]
        if book:
            kept = by_the_book(larder, first, number, seconds)
            _write(name, kept, _told_short(kept))
        else:
            done = make_weeks(household_for(larder.household, first, pace), number, SEED, seconds, pace=pace)
            _write(name, done.weeks, weeks_text(done))


def by_the_book(larder: Larder, first: date, number: int, seconds: float) -> list[MenuSheet]:
    """The weeks from that day, each planned from a copy of the folder whose book was kept till then."""
    sheets: list[MenuSheet] = []
    with TemporaryDirectory() as room:
        folder = Path(shutil.copytree(DEMO, Path(room) / "demo", ignore=shutil.ignore_patterns("gallery", "year")))
        day, since = first - WEEK, TODAY
        found = household_for(larder.household, day, larder.pace)
        for _ in range(number + 1):  # the week before the first as well: what it ate is remembered
            _says(folder, day)
            _enter(folder, _counted(folder, found, since))
            sheets.append(_planned(folder, day, seconds))
            print(day, f"{sheets[-1].plan.gap:.1%}", sheets[-1].plan.open_roles, *sheets[-1].broken, flush=True)
            found, day, since = household_after(sheets[-1].household, sheets[-1].plan), day + WEEK, day
    return sheets[1:]


def _planned(folder: Path, day: date, seconds: float) -> MenuSheet:
    """A week's menu from the book as it stands, announced to the table and its jars brought up."""
    kept = open_with_book(folder, None, day)
    plan = make_menu(kept.household, MenuAsked(days=7, seed=SEED, seconds=seconds))
    sheet = lay_out(kept.household, plan, pace=kept.pace)
    announced = folder / "menu.json"
    announced.write_text(menu_json(sheet), encoding="utf-8")
    _run("announce", str(announced), "--larder", str(folder))
    _run("pull", "--larder", str(folder))
    return sheet


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


def _counted(folder: Path, household: Household, since: date) -> list[AnyLine]:
    """What a count finds that the book has not: eaten by and by since a day, come in or put up; and what is open."""
    left = {(_facts(lot), lot.where): _rounded(lot.count) for lot in household.lots if not lot.state and lot.count}
    span, lines = household.today - since, list[AnyLine]()
    with pantry_with_book(folder, None, reading=True) as (_, book):
        lines += [PartLine(jar.part, -jar.left, "eaten", since) for jar in book.part_jars()]
        for here in (here for here in book.on_hand() if not here.state):
            gone = here.count - left.pop((here.lot, here.place), Fraction(0))
            times = int(gone) if household.products[here.lot.product].whole else span.days // 7
            each = _rounded(gone / times, down=True) if times else gone
            for n in range(times if gone else 0):
                count = each if n else gone - each * (times - 1)
                day = since + span * (2 * n + 1) / (2 * times)
                lines.append(Line(here.lot, here.place, -count, "eaten", day=day))
    made = {option.product for batch in household.batch_days.values() for option in batch.makes}
    for (facts, place), count in left.items():
        why: Reason = "put up" if facts.product in made else "arrived"
        lines.append(Line(facts, place, count, why, day=facts.day[0]))
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


def _write(name: str, sheets: Sequence[MenuSheet], text: str) -> None:
    folder = DEMO / "year"
    folder.mkdir(exist_ok=True)
    (folder / f"{name}.md").write_text(text.rstrip() + "\n", encoding="utf-8")
    (folder / f"{name}.json").write_text(_lines([_week(sheet) for sheet in sheets]) + "\n", encoding="utf-8")
    for sheet in sheets:
        print(name, sheet.plan.first, f"{sheet.plan.gap:.1%}", sheet.plan.open_roles, *sheet.broken, flush=True)


def _told_short(sheets: Sequence[MenuSheet]) -> str:
    """A table of meals for each week, and what is to be said of it."""
    lines = [
        f"# {small_count(len(sheets)).capitalize()} weeks by the book at {the_house(sheets[0].household.name)} table",
        "",
        "Each week is planned from the book as it stands on its first day: the week before was pulled, eaten, counted.",
    ]
    for sheet in sheets:
        plan = sheet.plan
        lines += [
            "",
            f"## {span(plan.first, plan.last)}",
            "",
            "| day | breakfast | lunch | supper |",
            "|---|---|---|---|",
        ]
        for day in (plan.first + timedelta(days=number) for number in range(plan.days)):
            meals = {meal.meal: meal for meal in plan.meals if meal.day == day}
            cells = [_cell(meals[name]) if name in meals else "" for name in ("breakfast", "lunch", "supper")]
            lines.append(f"| {' | '.join([f'{short_day(day)}: {sheet.at_table[day]}', *cells])} |")
        said = [nearness(plan), *open_words(plan), *waste_words(sheet), *left_over_words(sheet), *_notes(plan)]
        lines += ["", *(f"- {note}" for note in said)]
    return "\n".join(lines)


def _notes(plan: MenuPlan) -> list[str]:
    """The plan's notes but those that are so of every week."""
    return [sentence(note) for note in plan.notes if not note.startswith(OF_EVERY_WEEK)]


def _cell(meal: PlannedMeal) -> str:
    there = [dish.dish for dish in meal.dishes] + [f"**{role} left open**" for role in meal.open_roles]
    return "; ".join(there)


def _lines(weeks: list[dict[str, Any]]) -> str:
    """JSON with a line for each meal, so that a change can be read."""
    said = []
    for week in weeks:
        head = _written({name: week[name] for name in week if name != "meals"})[1:-1]
        meals = ",\n".join(map(_written, week["meals"]))
        said.append(f'{{{head},"meals":[\n{meals}\n]}}')
    return f"[{','.join(said)}]"


def _written(what: dict[str, Any]) -> str:
    return json.dumps(what, ensure_ascii=False, separators=(",", ":"))


def _week(sheet: MenuSheet) -> dict[str, Any]:
    plan = sheet.plan
    fresh = {name for name, product in sheet.household.products.items() if product.fresh_days}
    told = fresh.union(*(sheet.household.products[name].eaten_before for name in fresh))
    return {
        "first": plan.first.isoformat(),
        "gap": round(plan.gap, 4),
        "notes": _notes(plan),
        "broken": list(sheet.broken),
        "meals": [_meal(meal, told) for meal in plan.meals],
    }


def _meal(meal: PlannedMeal, told: Collection[str]) -> dict[str, Any]:
    return {
        "day": meal.day.isoformat(),
        "meal": meal.meal,
        "portions": str(meal.portions),
        "open": list(meal.open_roles),
        "dishes": [_dish(dish, told) for dish in meal.dishes],
    }


def _dish(dish: PlannedDish, told: Collection[str]) -> dict[str, Any]:
    uses = dict.fromkeys((use.product for use in dish.uses if use.product in told), Fraction(0))
    for use in (use for use in dish.uses if use.product in told):
        uses[use.product] += use.amount
    return {"role": dish.role, "dish": dish.dish, "uses": {name: str(amount) for name, amount in uses.items()}}


if __name__ == "__main__":
    reading = argparse.ArgumentParser(description="Plan parts of the demo's year.")
    reading.add_argument("parts", nargs="*", metavar="PART", help=f"of {', '.join(DOCUMENTS)}; all unless said")
    reading.add_argument("--seconds", type=float, default=4.0, help="work a week, in seconds of a usual machine")
    said = reading.parse_args()
    if unknown := [part for part in said.parts if part not in DOCUMENTS]:
        reading.error(f"no such part: {', '.join(unknown)}")
    main(said.parts or list(DOCUMENTS), said.seconds)
