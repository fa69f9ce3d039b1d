"""Plans three parts of the invented household's year, and writes them down under demo/year/.

    python demo/make_year.py [--seconds N] [PART ...]      (20 seconds' work a week unless said; parts: all of them)

Each part is reckoned from January's count to its first day: the summer, the canning weeks, and Christmas. ``PART.md``
is for reading aloud; ``PART.json`` has of each of its weeks the meals with what their dishes take, its notes and what
the checker finds, so that a test judges them without planning anything. Work decides, not the clock, so that a run
is like the last on any machine.
"""

from __future__ import annotations

import argparse
import json
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

from pantrymeals.actions.far_menu import household_for
from pantrymeals.actions.run_out import how_we_eat, open_with_book
from pantrymeals.actions.weeks import make_weeks
from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import MenuSheet

DEMO = Path(__file__).parent
TODAY = date(2026, 1, 17)
PARTS = {"summer": (date(2026, 7, 1), 8), "canning": (date(2026, 8, 20), 4), "christmas": (date(2026, 12, 10), 4)}
SEED = 1


def main(parts: list[str], seconds: float) -> None:
    """Plan, write, and say what the checker finds."""
    larder = open_with_book(DEMO, TODAY, TODAY)
    pace = how_we_eat(larder)
    (DEMO / "year").mkdir(exist_ok=True)
    for part in parts:
        first, number = PARTS[part]
        household = household_for(larder.household, first, pace)
        done = make_weeks(household, number, SEED, seconds, pace=pace)
        _write(f"{part}.md", weeks_text(done))
        _write(f"{part}.json", _lines([_week(sheet) for sheet in done.weeks]))
        for sheet in done.weeks:
            print(sheet.plan.first, f"{sheet.plan.gap:.1%}", sheet.plan.open_roles, *sheet.broken, flush=True)


def _write(name: str, text: str) -> None:
    (DEMO / "year" / name).write_text(text.rstrip() + "\n", encoding="utf-8")


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
    reading.add_argument("parts", nargs="*", choices=[*PARTS, []], metavar="PART", help=", ".join(PARTS))
    reading.add_argument("--seconds", type=float, default=20.0, help="work a week, in seconds of a usual machine")
    said = reading.parse_args()
    main(said.parts or list(PARTS), said.seconds)
