"""What every request passes before a page sees it: its host, its origin, its size, its pace, its visitor, its form."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qs

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pantrymeals.serve.guard import COOKIE, Guard, Pace, Visitor

MOST_BYTES = 64 * 1024
"""The longest form: a count of a shelf of 600 lots is some 30 kB."""
_BODY_SECONDS = 20.0
_FORM = "application/x-www-form-urlencoded"
_OPEN = ("/static/", "/come-in/")
_READS = ("GET", "HEAD")

HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class Refused(Exception):
    """A request that goes no further."""

    def __init__(self, status: int, words: str) -> None:
        self.status, self.words = status, words
        super().__init__(words)


class Gate:
    """The pages behind their gate. hosts: the names and ports under which the page is asked for."""

    def __init__(self, app: ASGIApp, guard: Guard, hosts: Iterable[str], pace: Pace | None = None) -> None:
        self._app = app
        self._guard = guard
        self._hosts = frozenset(hosts)
        self._pace = pace or Pace()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        try:
            await self._let_through(scope, receive, send)
        except Refused as refused:
            await _say(send, refused, head=scope["method"] == "HEAD")

    async def _let_through(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        host = headers.get("host", "")
        if host not in self._hosts:
            raise Refused(421, "This page goes by another name.")
        visitor, fresh = self._visitor(scope, headers)
        client = scope.get("client") or ("", 0)
        if not self._pace.allows(visitor.name if visitor and not fresh else client[0]):
            raise Refused(429, "Too many at once: wait a moment.")
        reads = scope["method"] in _READS
        if not reads and scope["method"] != "POST":
            raise Refused(405, "Pages are read, and forms are sent; nothing else.")
        if not reads:
            receive = await self._form(scope, headers, receive, host, visitor)
        scope.setdefault("state", {})["visitor"] = visitor
        await self._app(scope, receive, _dressed(send, self._guard.cookie_of(visitor) if visitor and fresh else ""))

    def _visitor(self, scope: Scope, headers: dict[str, str]) -> tuple[Visitor | None, bool]:
        """Who asks, and whether it is for the first time. Raises Refused for a stranger."""
        visitor = self._guard.visitor_of(_cookie(headers.get("cookie", "")))
        if visitor is not None:
            return visitor, False
        if str(scope["path"]).startswith(_OPEN):
            return None, False
        if self._guard.by_link:
            raise Refused(401, "Ask at the laptop for a link: it lets one phone in, once.")
        return self._guard.new_visitor(), True

    async def _form(
        self, scope: Scope, headers: dict[str, str], receive: Receive, host: str, visitor: Visitor | None
    ) -> Receive:
        """The form's body, read and found ours. Raises Refused."""
        if headers.get("origin", "") != f"{scope['scheme']}://{host}":
            raise Refused(403, "This form came from somewhere else, so nothing was entered.")
        if headers.get("content-type", "").split(";")[0].strip().lower() != _FORM:
            raise Refused(415, "Only a form of this page is read here.")
        body = await _body(headers, receive)
        try:
            sent = parse_qs(body.decode(), max_num_fields=3000).get("token", [""])[0]
        except ValueError:
            raise Refused(400, "This form cannot be read.") from None
        if visitor is None or not self._guard.is_form_token(visitor, headers.get("x-form-token", "") or sent):
            raise Refused(403, "This page was shown before the program was started anew: open it again, then send.")
        if not visitor.may_write and scope["path"] != "/look":
            raise Refused(403, "This phone may look, and not write.")
        return _again(body)


async def _body(headers: dict[str, str], receive: Receive) -> bytes:
    """The whole body, if it is no longer than it may be. Raises Refused."""
    too_long = Refused(413, "That is too long for a form of this page.")
    told = headers.get("content-length", "0")
    if not told.isdigit() or int(told) > MOST_BYTES:
        raise too_long
    body = bytearray()
    try:
        async with asyncio.timeout(_BODY_SECONDS):
            while True:
                message = await receive()
                if message["type"] != "http.request":
                    raise Refused(400, "The form broke off.")
                body += message.get("body", b"")
                if len(body) > MOST_BYTES:
                    raise too_long
                if not message.get("more_body", False):
                    return bytes(body)
    except TimeoutError:
        raise Refused(408, "The form took too long.") from None


def _again(body: bytes) -> Receive:
    """A body that was read, to be read once more."""
    told = False

    async def receive() -> Message:
        nonlocal told
        if told:
            return {"type": "http.disconnect"}
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receive


def _cookie(header: str) -> str:
    try:
        found = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    return found.value if found else ""


def set_cookie(name: str, value: str) -> str:
    """A cookie that goes to this page alone, and that no script reads."""
    return f"{name}={value}; Path=/; SameSite=Strict; HttpOnly"


def _dressed(send: Send, cookie: str) -> Send:
    """Send with the headers that every answer carries, and the cookie of a new visitor."""

    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            had = {name for name, _ in message["headers"]}
            more = HEADERS if b"cache-control" in had else HEADERS | {"cache-control": "no-store"}
            message["headers"] = [
                *message["headers"],
                *((name.encode(), value.encode()) for name, value in more.items()),
                *([(b"set-cookie", set_cookie(COOKIE, cookie).encode())] if cookie else []),
            ]
        await send(message)

    return dressed


async def _say(send: Send, refused: Refused, *, head: bool) -> None:
    """Answer here, in one plain sentence."""
    body = f"{refused.words}\n".encode()
    start: dict[str, Any] = {
        "type": "http.response.start",
        "status": refused.status,
        "headers": [
            (b"content-type", b"text/plain; charset=utf-8"),
            (b"content-length", str(len(body)).encode()),
            *([(b"retry-after", b"5")] if refused.status == 429 else []),
        ],
    }
    await _dressed(send, "")(start)
    await send({"type": "http.response.body", "body": b"" if head else body})
