"""What every page has at hand: the kitchen, the visitor, what was just said, and how a page is laid out."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Iterable
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, PackageLoader, StrictUndefined
from msgspec import Struct, field

from pantrymeals.actions.book.enter import unbroken
from pantrymeals.serve.guard import Guard, Visitor
from pantrymeals.serve.house import House
from pantrymeals.serve.searches import Searches

LOOK = "look"
LOOKS = ("", "light", "dark")
_NOTES_KEPT = 300


class Note(Struct, frozen=True):
    """What is said at the head of the next page. entry: what it entered, to be taken back; 0: nothing."""

    lines: tuple[str, ...]
    entry: int = 0
    trouble: bool = False


class Notes(Struct):
    """What was said lately, and the keys of forms that the book does not keep."""

    _said: OrderedDict[str, Note] = field(default_factory=OrderedDict)
    _keys: OrderedDict[str, None] = field(default_factory=OrderedDict)

    def keep(self, note: Note) -> str:
        """A note's number."""
        number = secrets.token_urlsafe(6)
        self._said[number] = note
        while len(self._said) > _NOTES_KEPT:
            self._said.popitem(last=False)
        return number

    def get(self, number: str) -> Note | None:
        """A note by its number."""
        return self._said.get(number)

    def is_new(self, key: str) -> bool:
        """Whether a form did not come yet."""
        return key not in self._keys

    def first_time(self, key: str) -> bool:
        """Whether a form comes for the first time; it has come, from now on."""
        if key in self._keys:
            return False
        self._keys[key] = None
        while len(self._keys) > _NOTES_KEPT:
            self._keys.popitem(last=False)
        return True


class Here(Struct, frozen=True):
    """One request, and all that answers it."""

    request: Request
    kitchen: House
    searches: Searches
    guard: Guard
    notes: Notes
    jinja: Environment
    visitor: Visitor

    def page(self, template: str, status: int = 200, **values: Any) -> HTMLResponse:
        """A page laid out."""
        return HTMLResponse(self._laid_out(template, values), status)

    def part(self, template: str, **values: Any) -> HTMLResponse:
        """A piece of a page, to stand in a page that is shown already."""
        return self.page(template, **values)

    def _laid_out(self, template: str, values: dict[str, Any]) -> str:
        look = self.request.cookies.get(LOOK, "")
        known: dict[str, Any] = {
            "visitor": self.visitor,
            "token": self.guard.form_token(self.visitor),
            "fresh_key": lambda: secrets.token_hex(12),
            "look": look if look in LOOKS else "",
            "path": self.request.url.path,
            "note": self.notes.get(self.request.query_params.get("said", "")),
            "household_name": "",
        }
        return self.jinja.get_template(template).render(known | values)

    @property
    def from_queue(self) -> bool:
        """Whether the page's own script sent it, and wants a piece rather than a page."""
        return self.request.headers.get("x-queue") == "1"

    def go(self, path: str, note: Note | None = None) -> Response:
        """On to another page, with something to say there."""
        if note is not None:
            path += f"{'&' if '?' in path else '?'}said={self.notes.keep(note)}"
        return RedirectResponse(path, 303)


def environment() -> Environment:
    """Templates that escape whatever they are given."""
    made = Environment(
        loader=PackageLoader("pantrymeals.serve"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    made.filters["capital"] = lambda text: text[:1].upper() + text[1:]
    return made


def here(request: Request) -> Here:
    """What a page has at hand."""
    state = request.app.state
    return Here(
        request, state.kitchen, state.searches, state.guard, state.notes, state.jinja,
        request.state.visitor or Visitor("", "look"),
    )  # fmt: skip


HereIs = Annotated[Here, Depends(here)]


def said(lines: Iterable[str], entry: int = 0) -> Note:
    """A note of what was entered."""
    return Note(tuple(unbroken(lines)), entry)
