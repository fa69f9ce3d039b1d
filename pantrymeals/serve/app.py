"""The page as one application: its rooms, what it answers when something is wrong, and the gate before it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from importlib import resources
from typing import Annotated

from fastapi import FastAPI, Path, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, PlainTextResponse, Response
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp

from pantrymeals.errors import PantryError
from pantrymeals.serve.gate import Gate, set_cookie
from pantrymeals.serve.guard import COOKIE, Guard, Pace, TooManyKnocks
from pantrymeals.serve.house import House
from pantrymeals.serve.pages import ahead, aisle, phones, shelf, table
from pantrymeals.serve.pages.common import Notes, environment, here
from pantrymeals.serve.searches import Searches

_KINDS = {
    "css": "text/css; charset=utf-8", "js": "text/javascript; charset=utf-8", "svg": "image/svg+xml",
    "LICENSE": "text/plain; charset=utf-8", "webmanifest": "application/manifest+json",
}  # fmt: skip


def pages(kitchen: House, guard: Guard, searches: Searches) -> FastAPI:
    """The pages without their gate."""
    app = FastAPI(title="pantrymeals", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.kitchen, app.state.guard, app.state.searches = kitchen, guard, searches
    app.state.notes, app.state.jinja = Notes(), environment()
    for room in (table, aisle, shelf, ahead, phones):
        app.include_router(room.router)
    files = _files()
    versions = {name: hashlib.sha256(body).hexdigest()[:10] for name, (_, body) in files.items()}
    app.state.jinja.globals["static"] = lambda name: f"/static/{name}?v={versions[name]}"

    @app.get("/static/{name}", response_class=Response)
    def static(name: Annotated[str, Path(max_length=60)]) -> Response:
        """A file of the page itself: held in memory, looked up by its name alone."""
        if name not in files:
            raise HTTPException(404)
        kind, body = files[name]
        return Response(body, media_type=kind, headers={"cache-control": "public, max-age=31536000, immutable"})

    @app.get("/come-in/{token}", response_class=HTMLResponse)
    def come_in(request: Request, token: Annotated[str, Path(max_length=80)]) -> Response:
        """A link swapped for what lets this browser in; it works once."""
        try:
            visitor = guard.come_in(token)
        except TooManyKnocks:
            return PlainTextResponse("Too many wrong links: wait a minute.\n", 429)
        if visitor is None:
            return PlainTextResponse("This link was used, or never was one: ask at the laptop for another.\n", 403)
        if guard.came_in is not None:
            guard.came_in(visitor)
        response = here(request).page("come_in.html", household_name=kitchen.pantry().name)
        response.headers.append("set-cookie", set_cookie(COOKIE, guard.cookie_of(visitor)))
        return response

    _when_wrong(app)
    return app


def _files() -> dict[str, tuple[str, bytes]]:
    """The page's own files, with their kinds."""
    folder = resources.files("pantrymeals.serve").joinpath("static")
    return {
        file.name: (_KINDS[file.name.rpartition(".")[2]], file.read_bytes())
        for file in folder.iterdir()
        if file.name.rpartition(".")[2] in _KINDS
    }


def _when_wrong(app: FastAPI) -> None:
    """What is said when a household, a form or a page's name is not as it should be."""

    def told(request: Request, status: int, words: str) -> Response:
        if request.headers.get("x-queue") == "1" or request.headers.get("hx-request"):
            return PlainTextResponse(words, status)
        return here(request).page("sorry.html", status, lines=words.splitlines())

    @app.exception_handler(PantryError)
    def cannot(request: Request, error: Exception) -> Response:
        assert isinstance(error, PantryError)
        return told(request, 409, error.plain)

    @app.exception_handler(RequestValidationError)
    def not_read(request: Request, error: Exception) -> Response:
        assert isinstance(error, RequestValidationError)
        fields = ", ".join(sorted({str(e["loc"][-1]) for e in error.errors() if e["loc"]}))
        return told(request, 422, f"This was not understood: {fields or 'the form'}. Nothing was entered.")

    @app.exception_handler(HTTPException)
    def not_here(request: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        words = "There is no such page." if error.status_code == 404 else str(error.detail)
        return told(request, error.status_code, words)


def behind_the_gate(app: FastAPI, guard: Guard, hosts: Iterable[str], pace: Pace | None = None) -> ASGIApp:
    """The pages as they are served."""
    return Gate(app, guard, hosts, pace)
