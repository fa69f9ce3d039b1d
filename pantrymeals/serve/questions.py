"""What takes longer than a page may: each a question with its actions, asked in a process of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from msgspec import Struct

from pantrymeals.actions.answer import Answer, Block
from pantrymeals.actions.progress import Watch
from pantrymeals.actions.with_book import Larder


class QuestionAsked(Struct, frozen=True):
    """A question, whose household, and on which day. said: the question's own words, by name."""

    question: str
    folder: Path
    today: date | None
    said: Mapping[str, str]


class Brought(Struct, frozen=True):
    """What a question brings back. menu: its JSON, to be announced; offers: dishes to choose from; more: for pictures.

    first, days: the menu's. broken: what the checker finds in it, so that it is never announced.
    """

    blocks: tuple[Block, ...]
    menu: str = ""
    first: date | None = None
    days: int = 0
    offers: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    more: Any = None


Ask = Callable[[Larder, QuestionAsked, Watch], Brought]


def answer(asked: QuestionAsked, watch: Watch) -> Brought:
    """The answer to a question. Raises PantryError."""
    from pantrymeals.actions.with_book import open_with_book

    return QUESTIONS[asked.question](open_with_book(asked.folder, asked.today, date.today()), asked, watch)


def _run_out(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.run_out import Chance, forecast_answer, run_out, what_if_answer
    from pantrymeals.actions.run_out_picture import pictures
    from pantrymeals.actions.with_book import menu_counted

    watch.progress("many futures drawn", None, None, None)
    _, plan = menu_counted(asked.folder, larder.household, None, False)
    if wish := asked.said.get("what if", ""):
        return Brought(what_if_answer(larder, [wish], Chance(), plan).blocks())
    forecast = run_out(larder, Chance(), plan)
    return Brought(forecast_answer(larder, forecast).blocks(), more=pictures(forecast))


def _eat_first(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.run_out import Chance, eat_first_answer
    from pantrymeals.actions.with_book import menu_counted

    watch.progress("many futures drawn", None, None, None)
    _, plan = menu_counted(asked.folder, larder.household, None, False)
    return Brought(eat_first_answer(larder, Chance(), plan).blocks())


def _season(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:  # noqa: ARG001
    from pantrymeals.actions.season import SeasonAsked, question_of, season_answer

    watch.progress("what to put up", None, None, None)
    return Brought(season_answer(question_of(larder), SeasonAsked()).blocks())


def _sitters(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:  # noqa: ARG001
    from pantrymeals.actions.season import question_of, sitters_answer

    watch.progress("what is never eaten", None, None, None)
    return Brought(sitters_answer(question_of(larder)).blocks())


def _no_store(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.announced import still_to_come
    from pantrymeals.actions.no_store import make_no_store, no_store_answer

    days = int(asked.said.get("days") or 30)
    told = [plan for _, plan in still_to_come(asked.folder, larder.household)]
    sheet = make_no_store(larder.household, None, days, 1, _seconds(asked), watch, told, larder.pace)
    return Brought(no_store_answer(sheet).blocks(), broken=sheet.broken)


def _no_store_end(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:  # noqa: ARG001
    from pantrymeals.actions.no_store import end_answer

    days = int(asked.said.get("days") or 30)
    first = date.fromisoformat(asked.said["first"])
    return Brought(end_answer(asked.folder, first, days, asked.today, date.today()).blocks())


def _menu(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.menu import MenuAsked, lay_out, make_menu, menu_answer, with_cover

    wish = MenuAsked(
        int(asked.said.get("days") or 7), None, None, _seconds(asked), pins=_lines(asked, "pin"),
        bans=_lines(asked, "ban"),
    )  # fmt: skip
    plan = make_menu(larder.household, wish, watch)
    made = menu_answer(with_cover(lay_out(larder.household, plan, wish, pace=larder.pace)))
    return _menu_found(made, plan.first, plan.days)


def _replan(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.announced import menu_asked
    from pantrymeals.actions.book.as_if_back import around_what_is_up
    from pantrymeals.actions.replan import Life, replan, replan_answer

    household = larder.household
    told = menu_asked(asked.folder, household, None)
    to_plan = around_what_is_up(asked.folder, household, told)
    life = Life(
        headcounts=_lines(asked, "headcount"), away=_lines(asked, "away"), gone=_lines(asked, "gone"),
        keep=_lines(asked, "keep"), pin=_lines(asked, "pin"), ban=_lines(asked, "ban"),
    )  # fmt: skip
    done = replan(
        to_plan.household, told, life, seconds=_seconds(asked) or 20.0, watch=watch, pulled=to_plan.pulled,
        up=to_plan.kept,
    )  # fmt: skip
    return _menu_found(replan_answer(done, pace=larder.pace), done.plan.first, done.plan.days)


def _menu_found(made: Answer, first: date, days: int) -> Brought:
    assert made.json is not None
    return Brought(made.blocks(), made.json(), first, days, broken=made.broken)


def _another(larder: Larder, asked: QuestionAsked, watch: Watch) -> Brought:
    from pantrymeals.actions.another import menu_with
    from pantrymeals.actions.swap import offers_for, swap_answer

    watch.progress("other dishes for one place", None, None, None)
    household, plan = menu_with(asked.folder, larder.household, None, asked.said["place"])
    found = offers_for(household, plan, asked.said["place"])
    return Brought(swap_answer(household, found).blocks(), offers=tuple(offer.dish for offer in found.offers))


def _lines(asked: QuestionAsked, name: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in asked.said.get(name, "").splitlines() if line.strip())


def _seconds(asked: QuestionAsked) -> float | None:
    return float(asked.said["seconds"]) if asked.said.get("seconds") else None


QUESTIONS: Mapping[str, Ask] = {
    "run-out": _run_out,
    "eat-first": _eat_first,
    "season": _season,
    "sitters": _sitters,
    "no-store": _no_store,
    "no-store-end": _no_store_end,
    "menu": _menu,
    "replan": _replan,
    "another": _another,
}
