"""Makes demo/gallery anew: every sheet and picture of the invented household, the same bytes each time.

    python demo/make_gallery.py [FOLDER]

The week is a stored menu, and so is the month without the store, so that it does not hang on a solver's clock:
`python demo/make_gallery.py --rehearse` plans that month anew (eight minutes on two free cores).
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import fields
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, get_type_hints

from pantrymeals.actions.answer import Answer, Files
from pantrymeals.actions.book import shown
from pantrymeals.actions.book.pantry import pantry_book, read_pantry
from pantrymeals.actions.book.words import product_meant
from pantrymeals.actions.calendar import write_dates
from pantrymeals.actions.dish import dish_answer
from pantrymeals.actions.menu import lay_out, menu_answer
from pantrymeals.actions.no_store import make_no_store
from pantrymeals.actions.report import larder_report
from pantrymeals.actions.run_out import (
    Chance,
    Larder,
    course_answer,
    eat_first_answer,
    freezer_off_answer,
    how_we_eat,
    hungry_gap_answer,
    open_with_book,
    run_out_answer,
    whole_larder,
)
from pantrymeals.actions.season import SeasonAsked, question_of, season_answer
from pantrymeals.plans.no_store import Rehearsal
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from pantrymeals.reports.json.stored import adapter, read_as
from pantrymeals.reports.pages.no_store import no_store_pdf

DEMO = Path(__file__).parent
GALLERY = DEMO / "gallery"
WEEK = DEMO.parent / "tests" / "golden" / "demo_week.json"
MONTH = GALLERY / "month.json"
TODAY = date(2026, 1, 17)
FIRST_OF_MONTH = date(2026, 2, 1)
REHEARSAL_SECONDS = 480.0
PROOF_SECONDS = 120.0
"""For the season: it ends as soon as it is proven best, and then is the same each time, however busy the machine."""
STAMP = datetime(2026, 1, 17, 6, 0, tzinfo=UTC)
_NOT_STORED = ("household", "cover")
"""What the household itself tells, and the page does not show of the first day."""


def make(folder: Path) -> None:
    """Write the whole gallery into a folder."""
    with tempfile.TemporaryDirectory() as work:
        demo = Path(work) / "demo"
        shutil.copytree(DEMO, demo, ignore=shutil.ignore_patterns("*.sqlite*", "gallery", "announced", "__pycache__"))
        larder = open_with_book(demo, TODAY, TODAY)
        plan = plan_in(read_menu_file(WEEK.read_text(encoding="utf-8")))
        week = menu_answer(lay_out(larder.household, plan, pace=how_we_eat(larder)))
        season = season_answer(question_of(larder.household, larder.book), SeasonAsked(seconds=PROOF_SECONDS))
        for name, answer, wanted in _pages(larder, demo, week, season):
            answer.write_files(Files(**{wanted.pop("as_"): folder / name}, **wanted))
        for answer in (week, season):
            assert answer.dates is not None
            write_dates(folder / "table.ics", answer.dates(), STAMP)
        (folder / "larder.html").write_bytes(larder_report(larder, plan, Chance()))
        month = rehearsed(larder)
        (folder / "no-store.pdf").write_bytes(no_store_pdf(month, ()))


def _pages(larder: Larder, demo: Path, week: Answer, season: Answer) -> Iterator[tuple[str, Answer, dict[str, Any]]]:
    """Each sheet and picture: its file, the answer that makes it, and how."""
    chance = Chance()
    yield "week.pdf", week, {"as_": "pdf"}
    yield "week-a4.pdf", week, {"as_": "pdf", "paper": "a4"}
    yield "week-large.pdf", week, {"as_": "pdf", "large": True}
    yield "evenness.svg", week, {"as_": "picture"}
    yield "season.pdf", season, {"as_": "pdf"}
    yield "season.svg", season, {"as_": "picture"}
    yield "eat-first.pdf", eat_first_answer(larder, chance), {"as_": "pdf"}
    yield "freezer-off.pdf", freezer_off_answer(larder.household, ["F2"], None, None), {"as_": "pdf"}
    yield "dish-card.pdf", dish_answer(larder.household, "chicken and dumplings"), {"as_": "pdf"}
    yield "board.svg", run_out_answer(larder, chance), {"as_": "picture"}
    tomatoes = course_answer(larder, "crushed tom", chance)
    yield "run-out-tomatoes.svg", tomatoes, {"as_": "picture"}
    yield "run-out-tomatoes.png", tomatoes, {"as_": "picture"}
    yield "hungry-gap.svg", hungry_gap_answer(larder, chance), {"as_": "picture"}
    pantry = read_pantry(demo, TODAY, TODAY)
    with pantry_book(pantry, reading=True) as book:
        beans = product_meant(pantry, "green beans")
        yield "count-sheet.pdf", shown.count_sheet(pantry, book, "S1"), {"as_": "pdf"}
        yield "tally.pdf", shown.tally(pantry, book, None), {"as_": "pdf"}
        yield "labels.pdf", shown.labels(pantry, book, beans, None, 14), {"as_": "pdf"}
        yield "shelf-green-beans.svg", shown.history(book, beans), {"as_": "picture"}


def rehearse() -> None:
    """Plan the month without the store anew, and store it."""
    larder = open_with_book(DEMO, TODAY, TODAY)
    found = make_no_store(larder.household, FIRST_OF_MONTH, 30, 1, REHEARSAL_SECONDS, pace=how_we_eat(larder)).rehearsal
    hints = get_type_hints(Rehearsal)
    kept = {
        f.name: adapter(hints[f.name]).dump_python(
            getattr(found, f.name), mode="json", by_alias=True, context=larder.household.products
        )
        for f in fields(Rehearsal)
        if f.name not in _NOT_STORED
    }
    MONTH.write_text(json.dumps(kept, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")


def rehearsed(larder: Larder) -> Rehearsal:
    """The month that is stored, at the household's table."""
    hints = get_type_hints(Rehearsal)
    kept = json.loads(MONTH.read_text(encoding="utf-8"))
    read = {name: read_as(hints[name], value) for name, value in kept.items()}
    return Rehearsal(household=larder.household, cover=whole_larder(larder.household), **read)


if __name__ == "__main__":
    if "--rehearse" in sys.argv:
        rehearse()
    target = next((Path(word) for word in sys.argv[1:] if not word.startswith("-")), GALLERY)
    target.mkdir(exist_ok=True)
    make(target)
