"""In the aisle: the pull list and its ticks, 'someone took one', a load put up, and what was entered."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, Response

from pantrymeals.actions.book.enter import Entered, enter, take_back
from pantrymeals.actions.book.look import log_rows
from pantrymeals.actions.book.moments import when_put_up
from pantrymeals.actions.book.often import often_taken
from pantrymeals.actions.book.put import PutUp, put_up
from pantrymeals.actions.book.say import not_come_yet
from pantrymeals.actions.book.take import Wanted, take
from pantrymeals.actions.book.walk import the_rest, tick, walk
from pantrymeals.actions.book.words import NotInThatSize, Said, SeveralFit, place_meant, put_up_meant, understand
from pantrymeals.errors import PantryError
from pantrymeals.serve.house import ToldMenu
from pantrymeals.serve.pages.common import Here, HereIs, Note, said

router = APIRouter(default_response_class=HTMLResponse)

Key = Annotated[str, Form(max_length=80)]
Words = Annotated[str, Form(max_length=200)]
Short = Annotated[str, Form(max_length=120)]
MOST_JARS = 10_000
_NOTHING_SENT = {"what": "", "source": "", "load": "", "place": "", "failed": 0, "when": "", "note": ""}


class Gone(PantryError):
    """A row that is no longer on the list."""


@router.get("/pull")
def pull_list(here: HereIs) -> Response:
    """The pull list, place by place."""
    return here.page("pull.html", **_list(here))


@router.get("/pull/list")
def pull_list_now(here: HereIs, newest: Annotated[int, Query(ge=0, le=10**15)] = 0) -> Response:
    """The list again, where anything was entered since."""
    if here.kitchen.newest() == newest:
        return Response(status_code=204)
    return here.part("_pull_list.html", **_list(here))


def _list(here: Here) -> dict[str, Any]:
    pantry, told = here.kitchen.pantry(), here.kitchen.told()
    found = None
    if told is not None and told.sheet.reckoned_from is None:
        with here.kitchen.book(reading=True) as (_, book):
            found = walk(book, told.sheet.plan, told.sheet.pull)
    return {
        "told": told, "walk": found, "places": {place.code: place.name for place in pantry.places},
        "household_name": pantry.name,
    }  # fmt: skip


def _told(here: Here) -> ToldMenu:
    told = here.kitchen.told()
    if told is None:
        raise Gone("No menu is announced any more, so there is no list to tick.")
    return told


@router.post("/pull/tick")
def tick_row(here: HereIs, key: Key, row: Short) -> Response:
    """One row is up. Entered once for one key, however often it comes."""
    told = _told(here)
    with here.kitchen.book() as (pantry, book):
        what = walk(book, told.sheet.plan, told.sheet.pull).ticks.get(row)
        if what is None:
            raise Gone("This row is no longer on the list: the menu was changed since. Look at the list again.")
        entered, also = tick(pantry, book, told.to_pull, what, told.announced.last, f"phone {key}")
    return _ticked(here, entered, also)


@router.post("/pull/untick")
def untick_row(here: HereIs, key: Key, row: Short) -> Response:
    """One row is not up after all: what its tick entered is taken back."""
    told = _told(here)
    with here.kitchen.book() as (pantry, book):
        found = walk(book, told.sheet.plan, told.sheet.pull)
        line = next(
            (x for s in found.stops for x in s.lines if x.tick and x.tick.number == row and x.done and x.alone), None
        )
        if line is None or not line.entry:
            raise Gone("This row was not ticked by itself, so it is not taken back by itself; see what was entered.")
        words = take_back(pantry, book, f"undo {line.entry}", line.entry, f"phone {key}")
    return _ticked(here, None, [words])


@router.post("/pull/rest")
def tick_the_rest(here: HereIs, key: Key) -> Response:
    """All the rest is up too, and the dishes are written down as served."""
    told = _told(here)
    with here.kitchen.book() as (pantry, book):
        entered, also = the_rest(pantry, book, told.to_pull, told.announced.last, f"phone {key}")
    return here.go("/pull", said([*entered.said, *also], entered.written.entry))


def _ticked(here: Here, entered: Entered | None, also: list[str]) -> Response:
    if here.from_queue:
        return here.part("_pull_list.html", **_list(here))
    lines = [*(entered.said if entered else ()), *also]
    return here.go("/pull", said(lines, entered.written.entry if entered else 0))


@router.get("/took")
def someone_took(here: HereIs, what: Annotated[str, Query(max_length=200)] = "") -> Response:
    """Someone took one: by a tap, or in words."""
    return _took_page(here, what)


def _took_page(here: Here, what: str = "", *, trouble: PantryError | None = None) -> HTMLResponse:
    with here.kitchen.book(reading=True) as (pantry, book):
        often = often_taken(pantry, book)
    return here.page(
        "took.html", 200 if trouble is None else 409, household_name=pantry.name, often=often, what=what,
        choices=_choices(trouble), instead=getattr(trouble, "instead", None), trouble=trouble,
        example=pantry.in_its_measures("2 pt pickled beets", "500 g butter"),
    )  # fmt: skip


def _choices(trouble: PantryError | None) -> tuple[tuple[str, str], ...]:
    """(field, name) of each thing that may be meant."""
    if not isinstance(trouble, SeveralFit):
        return ()
    return tuple(("size" if trouble.what == "size" else "choose", name) for name in trouble.choices)


@router.post("/took")
def take_one(here: HereIs, key: Key, what: Words, choose: Short = "", size: Short = "") -> Response:
    """A stroke at the door of the store."""
    pantry = here.kitchen.pantry()
    try:
        meant = understand(pantry, what, choose=choose or None, size=size or None)
    except (SeveralFit, NotInThatSize) as trouble:
        if here.from_queue:
            raise
        return _took_page(here, what, trouble=trouble)
    entered = _take(here, meant, key)
    if here.from_queue:
        return here.part("_said.html", note=said(entered.said, entered.written.entry))
    return here.go("/took", said(entered.said, entered.written.entry))


def _take(here: Here, meant: Said, key: str) -> Entered:
    with here.kitchen.book() as (pantry, book):
        wanted = Wanted(meant, "eaten")
        return enter(pantry, book, f"tally {meant}", lambda b: take(pantry, b, wanted), key=f"phone {key}")


@router.get("/put-up")
def put_up_page(here: HereIs) -> Response:
    """A load to be written down."""
    pantry = here.kitchen.pantry()
    return here.page("put_up.html", household_name=pantry.name, pantry=pantry, sent=_NOTHING_SENT, trouble=None)


@router.post("/put-up")
def put_up_load(
    here: HereIs, key: Key, what: Words, source: Words = "", load: Short = "", place: Short = "",
    failed: Annotated[int, Form(ge=0, le=MOST_JARS)] = 0, kept: Short = "", wide: Short = "", when: Short = "",
    note: Words = "",
) -> Response:  # fmt: skip
    """A load put up: its sealed jars, and those that failed apart."""
    pantry = here.kitchen.pantry()
    try:
        meant = understand(pantry, what)
        label = put_up_meant(when) if when else pantry.today.isoformat()
        if ahead := not_come_yet(pantry, label, date.fromisoformat(label if "-" in label else f"{label}-01-01")):
            raise PantryError(f"{ahead}; nothing was entered. Look at the day again")
        where = place_meant(pantry, place) if place else None
        lot = PutUp(meant, label, load.strip(), source.strip(), where, failed, bool(kept), bool(wide), note.strip())
        cautions = when_put_up(meant.product, meant.size.name, lot.source, failed, pantry.altitude_ft, pantry.low_salt)
        with here.kitchen.book() as (_, book):
            entered = enter(
                pantry, book, f"put-up {meant}", lambda b: put_up(pantry, b, lot), key=f"phone {key}", cautions=cautions
            )  # fmt: skip
    except PantryError as trouble:
        sent = {"what": what, "source": source, "load": load, "place": place, "failed": failed, "when": when}
        return here.page(
            "put_up.html", 409, household_name=pantry.name, pantry=pantry, sent=sent | {"note": note}, trouble=trouble
        )
    return here.go("/put-up", said(entered.said, entered.written.entry))


@router.get("/log")
def log_page(here: HereIs) -> Response:
    """What was entered lately, each to be taken back."""
    with here.kitchen.book(reading=True) as (pantry, book):
        rows = log_rows(book, 40)
    return here.page("log.html", household_name=pantry.name, rows=rows)


@router.post("/undo")
def undo(here: HereIs, key: Key, entry: Annotated[int, Form(ge=1, le=10**15)], back: Short = "/log") -> Response:
    """Take back one entry."""
    with here.kitchen.book() as (pantry, book):
        words = take_back(pantry, book, f"undo {entry}", entry, f"phone {key}")
    return here.go(back if back in ("/", "/log", "/pull", "/took", "/put-up", "/count") else "/log", Note((words,)))
