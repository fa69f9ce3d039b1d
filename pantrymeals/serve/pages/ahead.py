"""Looking ahead: what will not wait, the run-out board, the put-up list, sitters, and a month without the store."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, Response

from pantrymeals.actions.book.shown import part_jars
from pantrymeals.actions.no_store import bought
from pantrymeals.serve.pages.aisle import Key, Short, Words
from pantrymeals.serve.pages.common import Here, HereIs, Note

router = APIRouter(default_response_class=HTMLResponse)

BOARDS = {"eat-first": "Eat first", "run-out": "Run-out", "season": "The put-up list", "sitters": "Sitters"}


@router.get("/eat-first")
def eat_first(here: HereIs, part: Annotated[int, Query(ge=0, le=1)] = 0) -> Response:
    """Part jars at once; what will not wait as soon as it is worked out."""
    with here.kitchen.book(reading=True) as (pantry, book):
        at_once = part_jars(pantry, book).blocks()
    return _board(here, "eat-first", part, at_once)


@router.get("/run-out")
@router.get("/season")
@router.get("/sitters")
def board(here: HereIs, part: Annotated[int, Query(ge=0, le=1)] = 0) -> Response:
    """When each product runs out, what to put up next season, or what is made and never eaten."""
    return _board(here, here.request.url.path.strip("/"), part)


def _board(here: Here, question: str, part: int, at_once: object = ()) -> Response:
    """A board: the last answer while a newer one is worked out."""
    now = here.searches.ask(question, retry=not part)
    shown = now if now.over else here.searches.latest(question) or now
    values: dict[str, Any] = {
        "household_name": here.kitchen.pantry().name, "title": BOARDS[question], "question": question, "now": now,
        "shown": shown, "at_once": at_once,
    }  # fmt: skip
    return here.part("_ahead.html", **values) if part else here.page("ahead.html", **values)


@router.get("/no-store")
def no_store(here: HereIs) -> Response:
    """A month without the store: rehearse it, write down a slip, see how it ended."""
    household = here.kitchen.written()
    return here.page("no_store.html", household_name=household.name, today=household.today)


@router.post("/slip")
def slip(here: HereIs, key: Key, what: Words, price: Short) -> Response:
    """Something bought outside the rules, written down without scolding."""
    pantry = here.kitchen.pantry()
    if not here.notes.is_new(key):
        return here.go("/no-store", Note(("That slip is written down already.",)))
    words = bought(pantry.folder, pantry.today, what, price)
    here.notes.first_time(key)
    return here.go("/no-store", Note((words,)))


@router.get("/more")
def more(here: HereIs) -> Response:
    """Every page of the larder."""
    return here.page("more.html", household_name=here.kitchen.pantry().name, by_link=here.guard.by_link)


@router.post("/look")
def look(here: HereIs, how: Annotated[str, Form(pattern="^(|light|dark)$")] = "", back: Short = "/more") -> Response:
    """Light, dark for the cellar, or as the phone is."""
    from pantrymeals.serve.gate import set_cookie
    from pantrymeals.serve.pages.common import LOOK

    response = here.go(back if back.startswith("/") and not back.startswith("//") else "/more")
    response.headers.append("set-cookie", f"{set_cookie(LOOK, how)}; Max-Age=31536000")
    return response
