"""At the shelf: the count by place, a product with its lots, and what is held back."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, Response
from msgspec.structs import replace
from starlette.concurrency import run_in_threadpool

from pantrymeals.actions.book.count import NotOnSheet, SheetLine, counted_by_hand, enter_counted, sheet_lines
from pantrymeals.actions.book.enter import Book, enter
from pantrymeals.actions.book.hold import hold_lots, release_lots, which_lots
from pantrymeals.actions.book.look import lot_rows
from pantrymeals.actions.book.often import one_of
from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.actions.book.shown import history, part_jars
from pantrymeals.actions.book.words import product_meant
from pantrymeals.actions.dishes import takers
from pantrymeals.errors import NotUnderstood, PantryError
from pantrymeals.serve.pages.aisle import Key, Words
from pantrymeals.serve.pages.common import Here, HereIs, said

router = APIRouter(default_response_class=HTMLResponse)
_MOST_ROWS = 2000


@router.get("/count")
def count_places(here: HereIs) -> Response:
    """The places in walking order, each with what the book has there."""
    with here.kitchen.book(reading=True) as (pantry, book):
        lines = sheet_lines(pantry, book, None)
    stops = _stops(pantry, lines)
    return here.page(
        "count.html", household_name=pantry.name, names={p.code: p.name for p in pantry.places},
        stops=[(code, sum(line.place == code for line in lines)) for code in stops],
    )  # fmt: skip


def _stops(pantry: Pantry, lines: Iterable[SheetLine]) -> list[str]:
    """Every place that the household has, in walking order, then those the book alone knows."""
    known = [place.code for place in pantry.places]
    return known + sorted({line.place for line in lines} - set(known))


@router.get("/count/at")
def count_at(here: HereIs, place: Annotated[str, Query(max_length=120)] = "") -> Response:
    """One place's shelf, to be counted."""
    return _shelf_page(here, place)


def _shelf_page(here: Here, place: str, trouble: PantryError | None = None, sent: object = None) -> HTMLResponse:
    with here.kitchen.book(reading=True) as (pantry, book):
        lines = sheet_lines(pantry, book, None)
    stops = _stops(pantry, lines)
    if place not in stops:
        raise NotUnderstood(f"there is no place called '{place}'")
    after = stops[(stops.index(place) + 1) % len(stops)]
    return here.page(
        "count_at.html", 200 if trouble is None else 409, household_name=pantry.name, place=place, after=after,
        names={p.code: p.name for p in pantry.places}, lines=[line for line in lines if line.place == place],
        trouble=trouble, sent=sent or {}, newest=max((line.as_of for line in lines), default=here.kitchen.newest()),
        example=pantry.in_its_measures("3 qt applesauce", "500 g butter"),
    )  # fmt: skip


@router.post("/count/at")
async def enter_the_count(here: HereIs, request: Request) -> Response:
    """What the shelf shows, against the book."""
    form = {name: str(value) for name, value in (await request.form(max_fields=_MOST_ROWS)).items()}
    return await run_in_threadpool(_count, here, form)


def _count(here: Here, form: dict[str, str]) -> Response:
    place, after = form.get("place", "")[:120], form.get("after", "")[:120]
    try:
        with here.kitchen.book() as (pantry, book):
            as_of = _as_of(form.get("as_of", ""), here.kitchen.newest())
            lines, shelf = _counted_lines(pantry, book, place, as_of, form)
            found = _found(place, form)
            counted = counted_by_hand(pantry, lines, shelf, found, sheet_lines(pantry, book, place))
            command = f"count {place}".strip()
            words = list(enter_counted(pantry, book, counted, command, f"phone {form.get('key', '')[:80]}"))
            entry = max(book.entered_now(), default=0)
    except PantryError as trouble:
        return _shelf_page(here, place, trouble, form)
    on = "/count/at?place=" + quote(after if after and not form.get("stay") else place, safe="")
    return here.go(on, said(words, entry))


def _as_of(text: str, newest: int) -> int:
    return min(int(text), newest) if text.isdigit() and len(text) < 16 else newest


def _counted_lines(
    pantry: Pantry, book: Book, place: str, as_of: int, form: dict[str, str]
) -> tuple[list[SheetLine], dict[int, str]]:
    """The lines of the sheet as it was shown, and what was typed for each."""
    there = {(line.lot, line.state): line for line in sheet_lines(pantry, book, place)}
    lots = dict(book.lots())
    lines: list[SheetLine] = []
    shelf: dict[int, str] = {}
    for name, text in form.items():
        kind, _, rest = name.partition(":")
        number, _, state = rest.partition(":")
        if kind != "n" or not text.strip() or not number.isdigit() or len(number) > 15:
            continue
        line = there.get((int(number), state))
        if line is None and int(number) in lots:
            facts = lots[int(number)]
            line = SheetLine(
                place=place, product=facts.product, size=facts.size, put_up=facts.put_up, load=facts.load,
                state=state, book=Fraction(0), lot=int(number), as_of=as_of,
            )  # fmt: skip
        if line is not None:
            shelf[len(lines)] = text[:40]
            lines.append(replace(line, as_of=as_of))
    return lines, shelf


def _found(place: str, form: dict[str, str]) -> list[NotOnSheet]:
    words = form.get("also", "").strip()[:200]
    return [NotOnSheet(words, place, form.get("also_put_up", "").strip()[:10])] if words else []


@router.get("/products")
def products(here: HereIs, like: Annotated[str, Query(max_length=80)] = "") -> Response:
    """What is kept, by name."""
    pantry = here.kitchen.pantry()
    wanted = like.casefold().split()
    names = [name for name in pantry.known.by_name if all(word in name.casefold() for word in wanted)]
    values: dict[str, Any] = {"household_name": pantry.name, "names": names[:700], "like": like}
    if here.request.headers.get("hx-request"):
        return here.part("_products.html", **values)
    return here.page("products.html", **values)


@router.get("/product")
def product(here: HereIs, name: Annotated[str, Query(max_length=120)]) -> Response:
    """One product: its lots, its run-out, the dishes that take it, its history."""
    with here.kitchen.book(reading=True) as (pantry, book):
        meant = product_meant(pantry, name)
        rows = lot_rows(book, meant)
        past = history(pantry, book, meant).blocks()
    outlook = here.searches.latest("run-out")
    pictures = outlook.found.more if outlook and outlook.found else {}
    return here.page(
        "product.html", household_name=pantry.name, product=meant, one=one_of(meant.sizes[0].name), rows=rows,
        history=past, dishes=takers(here.kitchen.household(), meant.name).dishes, picture=pictures.get(meant.name),
        names={p.code: p.name for p in pantry.places},
    )  # fmt: skip


@router.post("/hold")
def hold(here: HereIs, key: Key, lot: Annotated[int, Form(ge=1, le=10**15)], name: Words) -> Response:
    """Hold a lot back: on no menu until it is settled."""
    with here.kitchen.book() as (pantry, book):
        which = which_lots("lot", str(lot))
        entered = enter(pantry, book, f"hold lot {lot}", lambda b: hold_lots(b, which), key=f"phone {key}")
    return here.go(f"/product?name={quote(name, safe='')}", said(entered.said, entered.written.entry))


@router.post("/release")
def release(
    here: HereIs, key: Key, lot: Annotated[int, Form(ge=1, le=10**15)], name: Words, why: Words = ""
) -> Response:
    """Put a held lot back on the shelf, saying what has settled it."""
    with here.kitchen.book() as (pantry, book):
        which = which_lots("lot", str(lot))
        entered = enter(
            pantry, book, f"release lot {lot}" + (f" --why {why}" if why else ""),
            lambda b: release_lots(pantry, b, which, why=why), key=f"phone {key}", cautions=("C11",),
        )  # fmt: skip
    return here.go(f"/product?name={quote(name, safe='')}", said(entered.said, entered.written.entry))


@router.get("/part-jars")
def open_jars(here: HereIs) -> Response:
    """What is open, and the last day of each."""
    with here.kitchen.book(reading=True) as (pantry, book):
        blocks = part_jars(pantry, book).blocks()
    return here.page("board.html", household_name=pantry.name, title="Part jars", blocks=blocks, more="")
