"""Letting another phone in: a link and its picture, for a hand that writes or for eyes alone."""

from __future__ import annotations

from io import BytesIO
from typing import Annotated

import segno
from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from pantrymeals.errors import PantryError
from pantrymeals.serve.guard import Kind
from pantrymeals.serve.pages.common import HereIs

router = APIRouter(default_response_class=HTMLResponse)


@router.get("/phones")
def phones(here: HereIs) -> Response:
    """How a phone comes in."""
    return here.page(
        "phones.html",
        household_name=here.kitchen.pantry().name,
        link="",
        picture="",
        kind="",
        by_link=here.guard.by_link,
    )


@router.post("/phones")
def another(here: HereIs, kind: Annotated[str, Form(pattern="^(hand|look)$")]) -> Response:
    """A link for one more phone."""
    if not here.guard.by_link:
        raise PantryError("This page is served to this computer alone; 'pantrymeals serve --lan' lets phones in")
    meant: Kind = "hand" if kind == "hand" else "look"
    link = f"{here.guard.address}/come-in/{here.guard.new_link(meant)}"
    return here.page(
        "phones.html", household_name=here.kitchen.pantry().name, link=link, picture=picture_of(link), kind=kind,
        by_link=True,
    )  # fmt: skip


def picture_of(link: str) -> Markup:
    """A link as a QR code in SVG."""
    out = BytesIO()
    segno.make(link, error="m").save(
        out, kind="svg", xmldecl=False, svgns=True, omitsize=True, border=4, svgclass="qr", lineclass=None, dark="#000",
        light="#fff",
    )  # fmt: skip
    return Markup(out.getvalue().decode())
