"""Makes demo/gallery anew: every sheet and picture of the invented household, the same bytes each time.

    python demo/make_gallery.py [FOLDER]

What takes a search is stored, so that it hangs neither on a clock nor on which of two equally good plans is found: the
week is the golden menu, and `python demo/make_gallery.py --plan` plans the season and the month without the store anew
(nine minutes on two free cores).
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, get_args, get_type_hints

from msgspec import NODEFAULT, StructMeta
from msgspec.structs import fields

from pantrymeals.actions.answer import Answer, Files
from pantrymeals.actions.book import shown, to_print
from pantrymeals.actions.book.pantry import pantry_book, read_pantry
from pantrymeals.actions.book.words import product_meant
from pantrymeals.actions.calendar import write_dates
from pantrymeals.actions.dish import dish_answer
from pantrymeals.actions.food_tables import whole_larder
from pantrymeals.actions.menu import lay_out, menu_answer
from pantrymeals.actions.no_store import make_no_store
from pantrymeals.actions.report import larder_report
from pantrymeals.actions.run_out import (
    Chance,
    course_answer,
    eat_first_answer,
    freezer_off_answer,
    hungry_gap_answer,
    run_out_answer,
)
from pantrymeals.actions.season import SeasonAsked, SeasonSheet, answer_of, make_season, question_of
from pantrymeals.actions.with_book import Larder, open_with_book
from pantrymeals.plans.no_store import Rehearsal
from pantrymeals.plans.season import FittedSeason, PutUpList
from pantrymeals.reports.json.plan import plan_in, read_menu_file
from pantrymeals.reports.json.shape import json_name
from pantrymeals.reports.json.stored import adapter, read_as
from pantrymeals.reports.pages.no_store import no_store_pdf

DEMO = Path(__file__).parent
GALLERY = DEMO / "gallery"
WEEK = DEMO.parent / "tests" / "golden" / "demo_week.json"
MONTH = GALLERY / "month.json"
SEASON = GALLERY / "season.json"
TODAY = date(2026, 1, 17)
FIRST_OF_MONTH = date(2026, 2, 1)
REHEARSAL_SECONDS = 480.0
PROOF_SECONDS = 120.0
STAMP = datetime(2026, 1, 17, 6, 0, tzinfo=UTC)
_OF_THE_SEASON: Mapping[str, Any] = {"wanted": PutUpList, "fitted": FittedSeason}
_OF_THE_MONTH: Mapping[str, Any] = {
    name: hint for name, hint in get_type_hints(Rehearsal).items() if name not in ("household", "cover")
}
"""What is stored of each: not what the household itself tells, and the page does not show of the first day."""


def make(folder: Path) -> None:
    """Write the whole gallery into a folder."""
    (folder / "table.ics").unlink(missing_ok=True)
    with tempfile.TemporaryDirectory() as work:
        demo = Path(work) / "demo"
        shutil.copytree(DEMO, demo, ignore=shutil.ignore_patterns("*.sqlite*", "gallery", "announced", "__pycache__"))
        larder = open_with_book(demo, TODAY, TODAY)
        plan = plan_in(read_menu_file(WEEK.read_text(encoding="utf-8")))
        week = menu_answer(lay_out(larder.household, plan, pace=larder.pace))
        stored = stored_season(larder)
        season = answer_of(stored)
        for name, answer, wanted in _pages(larder, demo, week, season):
            answer.write_files(Files(**{wanted.pop("as_"): folder / name}, **wanted))
        for answer in (week, season):
            assert answer.dates is not None
            write_dates(folder / "table.ics", answer.dates(), STAMP)
        (folder / "larder.html").write_bytes(larder_report(larder, plan, Chance(), season=stored))
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
        yield "count-sheet.pdf", to_print.count_sheet(pantry, book, "S1"), {"as_": "pdf"}
        yield "tally.pdf", to_print.tally(pantry, book, None), {"as_": "pdf"}
        yield "labels.pdf", to_print.labels(pantry, book, beans, None, 14), {"as_": "pdf"}
        yield "shelf-green-beans.svg", shown.history(pantry, book, beans), {"as_": "picture"}


def plan_anew() -> None:
    """Plan the season and the month without the store anew, and store them."""
    larder = open_with_book(DEMO, TODAY, TODAY)
    season = make_season(question_of(larder), SeasonAsked(seconds=PROOF_SECONDS))
    _store(SEASON, season, _OF_THE_SEASON, larder)
    month = make_no_store(larder.household, FIRST_OF_MONTH, 30, 1, REHEARSAL_SECONDS, pace=larder.pace)
    _store(MONTH, month.rehearsal, _OF_THE_MONTH, larder)


def _store(path: Path, found: object, kinds: Mapping[str, Any], larder: Larder) -> None:
    kept = {
        name: adapter(kind).dump_python(
            getattr(found, name), mode="json", by_alias=True, context=larder.household.products
        )
        for name, kind in kinds.items()
    }
    path.write_text(json.dumps(kept, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")


def _stored(path: Path, kinds: Mapping[str, Any]) -> dict[str, Any]:
    kept = json.loads(path.read_text(encoding="utf-8"))
    return {name: read_as(kind, _with_defaults(kind, kept[name])) for name, kind in kinds.items()}


def _with_defaults(kind: Any, kept: Any) -> Any:
    """What is kept of records, with the defaults of fields that they have got since it was stored."""
    inner = get_args(kind)
    if isinstance(kept, list):
        return [_with_defaults(inner[0], each) for each in kept] if Ellipsis in inner else kept
    record = next((each for each in (kind, *inner) if isinstance(each, StructMeta)), None)
    if record is None or not isinstance(kept, dict):
        return kept
    whole = dict(kept)
    for field in fields(record):
        name = json_name(record, field.name)
        if name in kept:
            whole[name] = _with_defaults(field.type, kept[name])
        elif field.default is not NODEFAULT:
            whole[name] = adapter(field.type).dump_python(field.default, mode="json", by_alias=True)
    return whole


def stored_season(larder: Larder) -> SeasonSheet:
    """The season that is stored, at the household's table."""
    return SeasonSheet(larder.household, sizes=(), without=(), service=0.95, **_stored(SEASON, _OF_THE_SEASON))


def rehearsed(larder: Larder) -> Rehearsal:
    """The month that is stored, at the household's table."""
    return Rehearsal(household=larder.household, cover=whole_larder(larder.household), **_stored(MONTH, _OF_THE_MONTH))


if __name__ == "__main__":
    if "--plan" in sys.argv:
        plan_anew()
    target = next((Path(word) for word in sys.argv[1:] if not word.startswith("-")), GALLERY)
    target.mkdir(exist_ok=True)
    make(target)
