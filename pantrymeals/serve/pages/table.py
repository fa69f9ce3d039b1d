"""At the table: tonight, the week, a dish, and a menu planned anew, which is offered and never swapped in."""

from __future__ import annotations

from datetime import date
from itertools import groupby
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from pantrymeals.actions.announced import announce
from pantrymeals.actions.book.as_if_back import around_what_is_up
from pantrymeals.actions.book.enter import enter
from pantrymeals.actions.book.table_word import heard_answer, lines_of, said_now, word_meant
from pantrymeals.actions.dish import dish_answer
from pantrymeals.actions.dishes import dish_book
from pantrymeals.actions.meals import days_of
from pantrymeals.errors import PantryError
from pantrymeals.records import TABLE_WORDS
from pantrymeals.serve.pages.aisle import Key, Short
from pantrymeals.serve.pages.common import Here, HereIs, Note, said
from pantrymeals.serve.searches import Search

router = APIRouter(default_response_class=HTMLResponse)

MEANT: dict[str, tuple[str, ...]] = {
    "menu": ("days", "seconds", "pin", "ban"),
    "replan": ("headcount", "away", "gone", "keep", "pin", "ban", "seconds"),
    "another": ("place",),
    "no-store": ("days", "seconds"),
    "no-store-end": ("days", "first"),
    "run-out": ("what if",),
}
"""Questions that a form may ask, and what it may say with each."""

_LONGEST = {"days": 31, "seconds": 120}
_LETTERS = 1000


@router.get("/")
def tonight(here: HereIs) -> Response:
    """What is for supper, for whom and why; and the other meals of the day."""
    household, told = here.kitchen.written(), here.kitchen.told()
    days = days_of(told.sheet) if told else ()
    day = next((d for d in days if d.day >= household.today), None)
    return here.page(
        "tonight.html",
        household_name=household.name,
        told=told,
        day=day,
        tonight=bool(day and day.day == household.today),
        table_words=TABLE_WORDS,
    )


@router.post("/said")
def table_says(here: HereIs, key: Key, word: Short, dish: Short) -> Response:
    """The table's word after a meal, which the next menu heeds."""
    household = here.kitchen.household()
    meant = word_meant(household, f"{word} {dish}")
    with here.kitchen.book() as (pantry, book):
        entered = enter(
            pantry, book, f"said {word} {meant.dish}", lambda b: lines_of(household, b, meant, pantry.today),
            key=f"phone {key}",
        )  # fmt: skip
    lines = said_now(here.kitchen.household(), entered.written.lines)
    return here.go("/", said([*entered.said[:1], *lines], entered.written.entry))


@router.get("/heard")
def heard(here: HereIs) -> Response:
    """All that the table said, and what it does."""
    household = here.kitchen.household()
    return here.page(
        "board.html", household_name=household.name, title="What the table said",
        blocks=heard_answer(household).blocks() if household.heard else (),
        more="" if household.heard else "Nothing yet: after a meal, tap a word under Tonight.",
    )  # fmt: skip


@router.get("/week")
def week(here: HereIs) -> Response:
    """The announced menu, day by day."""
    household, told = here.kitchen.written(), here.kitchen.told()
    days = days_of(told.sheet) if told else ()
    return here.page(
        "week.html", household_name=household.name, told=told, days=days, today=household.today,
    )  # fmt: skip


@router.get("/plan")
def plan_page(here: HereIs) -> Response:
    """What happened since the menu was announced, to plan anew with: the days that are not up already."""
    household, told = here.kitchen.written(), here.kitchen.told()
    days = [d for d in days_of(told.sheet) if not d.past] if told else []
    bound, up = frozenset[date](), ""
    if told:
        to_plan = around_what_is_up(here.kitchen.folder, here.kitchen.household(), told.sheet.plan)
        bound, up = to_plan.stay([d.day for d in days], household.today)
    return here.page(
        "plan.html", household_name=household.name, told=told, people=household.people,
        days=[d for d in days if d.day not in bound], up=up,
    )  # fmt: skip


@router.get("/dishes")
def dishes(here: HereIs) -> Response:
    """All that this household cooks."""
    household = here.kitchen.written()
    fit = dish_book(household, {}).fit
    roles = [(role, list(found)) for role, found in groupby(fit, key=lambda dish: dish.role)]
    return here.page("dishes.html", household_name=household.name, roles=roles)


@router.get("/dish")
def dish(here: HereIs, name: Annotated[str, Query(max_length=120)], on: date | None = None) -> Response:
    """One dish: what goes in, how it is cooked, what to fetch."""
    household = here.kitchen.household()
    day = str(on) if on is not None and on >= household.today else ""
    return here.page(
        "board.html", household_name=household.name, title=name, blocks=dish_answer(household, name, day).blocks(),
        more="",
    )  # fmt: skip


@router.post("/ask")
async def ask(here: HereIs, request: Request) -> Response:
    """Begin a long question; the page then shows how far it is."""
    form = {name: str(value) for name, value in (await request.form(max_fields=60)).items()}
    return await run_in_threadpool(_ask, here, form)


def _ask(here: Here, form: dict[str, str]) -> Response:
    question = form.get("question", "")
    if question not in MEANT:
        raise PantryError("This is no question of this page")
    wish = {}
    for name in MEANT[question]:
        text = "\n".join(
            line for line in (form.get(name, ""), *_made_up(name, form)) if line.strip()
        ).strip()  # fmt: skip
        if text:
            wish[name] = _checked(name, text)
    search = here.searches.ask(question, wish, anew=True)
    return here.go(f"/search/{search.number}")


def _made_up(name: str, form: dict[str, str]) -> list[str]:
    """What several fields of a form say together, as a cook would type it: '2026-01-22 supper=14'."""
    if name == "headcount" and form.get("heads", "").strip():
        return [f"{form.get('heads_day', '')} {form.get('heads_meal', 'supper')}={form['heads'].strip()}"]
    if name == "away" and form.get("who", "").strip():
        return [f"{form.get('who_day', '')}={form['who'].strip()}"]
    return []


def _checked(name: str, text: str) -> str:
    if len(text) > _LETTERS:
        raise PantryError("That is too much to say at once")
    if name in _LONGEST:
        if not text.isdigit() or not 1 <= int(text) <= _LONGEST[name]:
            raise PantryError(f"{name}: write a whole number from 1 to {_LONGEST[name]}, not '{text[:20]}'")
        return str(int(text))
    if name == "first":
        try:
            return date.fromisoformat(text).isoformat()
        except ValueError:
            raise PantryError(f"'{text[:20]}' is not a day; write it as 2026-01-17") from None
    return text


@router.get("/search/{number}")
def search_page(
    here: HereIs, number: str, part: Annotated[int, Query(ge=0, le=1)] = 0
) -> Response:  # fmt: skip
    """How far a question is; then what it found."""
    search = _known(here, number)
    pantry = here.kitchen.pantry()
    stale = search.over and search.stamp != here.kitchen.stamp()
    values: dict[str, Any] = {
        "household_name": pantry.name,
        "search": search,
        "stale": stale,
        "title": title_of(search),
    }
    if not part:
        return here.page("search.html", **values)
    if not search.over:
        return here.part("_progress.html", **values)
    whole = here.part("_search.html", **values)
    whole.headers.update({"hx-retarget": "#search", "hx-reswap": "outerHTML"})
    return whole


def title_of(search: Search) -> str:
    """A question's name on its page."""
    return {
        "menu": "A menu is planned", "replan": "The menu planned anew", "another": "Other dishes",
        "no-store": "A month without the store", "no-store-end": "How the month ended", "run-out": "What if",
    }.get(search.asked.question, "Looking ahead")  # fmt: skip


def _known(here: Here, number: str) -> Search:
    search = here.searches.get(number)
    if search is None:
        raise PantryError("This answer is no longer kept: ask again")
    return search


@router.post("/search/{number}/stop")
def stop(here: HereIs, number: str) -> Response:
    """Enough: the best so far."""
    here.searches.stop(_known(here, number))
    return here.go(f"/search/{number}")


@router.post("/search/{number}/announce")
def announce_found(here: HereIs, number: str, key: Key) -> Response:
    """Take the menu that was found: the table is told, and the pull list goes by it."""
    search = _known(here, number)
    found = search.found
    if found is None or not found.menu or found.first is None or found.broken:
        raise PantryError("There is no menu here that could be announced")
    if search.stamp != here.kitchen.stamp() and here.notes.is_new(key):
        raise PantryError(
            "Something was entered since this menu was planned, so it may take what is no longer there. "
            "Plan anew: it takes what was entered into account"
        )
    if here.notes.first_time(key):
        announce(here.kitchen.folder, found.menu, found.first, found.days)
    return here.go("/week", Note(("Announced: the pull list goes by this menu now.",)))


@router.post("/swap-in")
def swap_in(here: HereIs, place: Short, dish: Short) -> Response:
    """Another dish for one place: the rest is planned anew around it, and offered."""
    day, _, rest = place.partition(" ")
    meal = rest.partition(" ")[0]
    search = here.searches.ask("replan", {"pin": f"{day} {meal}: {dish}"}, anew=True)
    return here.go(f"/search/{quote(search.number)}")
