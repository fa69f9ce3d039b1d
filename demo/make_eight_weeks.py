"""Plans eight weeks of the invented household in a row, and writes them down under demo/.

    python demo/make_eight_weeks.py [SECONDS A WEEK]      (20 unless said; some five minutes on two free cores)

``eight-weeks.md`` is for reading aloud; ``eight-weeks.json`` has the same menus whole, so that a test judges them
without planning anything.
"""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path

from pantrymeals.actions.weeks import make_weeks
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.reports.json.stored import adapter
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.sheet import WeeksSheet

DEMO = Path(__file__).parent
TODAY = date(2026, 1, 17)
WEEKS = 8
SEED = 1


def main(seconds: float) -> None:
    """Plan, write, and say what the checker finds."""
    larder = open_with_book(DEMO, TODAY, TODAY)
    write(make_weeks(larder.household, WEEKS, SEED, seconds, pace=larder.pace))


def write(done: WeeksSheet) -> None:
    """The weeks in words, and as they are stored."""
    (DEMO / "eight-weeks.md").write_text(weeks_text(done), encoding="utf-8")
    plans = [adapter(MenuPlan).dump_python(sheet.plan, mode="json", by_alias=True) for sheet in done.weeks]
    text = json.dumps(plans, ensure_ascii=False, separators=(",", ":")).replace('{"first"', '\n{"first"')
    (DEMO / "eight-weeks.json").write_text(text + "\n", encoding="utf-8")
    for sheet in done.weeks:
        print(sheet.plan.first, f"{sheet.plan.gap:.1%}", *sheet.broken)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 20.0)
