"""Who may come in: links that let one phone in once, and what shows that it was let in."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import time
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Literal

from msgspec import Struct

COOKIE = "larder"
Kind = Literal["hand", "look"]
"""'hand' may write in the book; 'look' only reads."""

_LINKS_AT_ONCE = 50
_KNOCKS_A_MINUTE = 10
"""Wrong links before the door stays shut for the rest of a minute. A link has 192 bits: it is not guessed."""


class Visitor(Struct, frozen=True):
    """One browser that was let in."""

    name: str
    kind: Kind

    @property
    def may_write(self) -> bool:
        """Whether it may write in the book."""
        return self.kind == "hand"


class Guard:
    """Links, cookies and form tokens of one run: with the program everything it gave out ends.

    by_link: nobody comes in without a link (the page is open to the house's network). Otherwise whoever reaches the
    page at all sits at this computer. address: the page's own, for links. came_in: told of each visitor let in.
    """

    def __init__(self, *, by_link: bool, address: str = "") -> None:
        self.by_link = by_link
        self.address = address
        self.came_in: Callable[[Visitor], None] | None = None
        self._secret = secrets.token_bytes(32)
        self._links: OrderedDict[str, Kind] = OrderedDict()
        self._knocks: list[float] = []
        self._lock = Lock()

    def new_link(self, kind: Kind) -> str:
        """The end of a link that lets one browser in, once."""
        token = secrets.token_urlsafe(24)
        with self._lock:
            self._links[token] = kind
            while len(self._links) > _LINKS_AT_ONCE:
                self._links.popitem(last=False)
        return token

    def come_in(self, token: str, now: float | None = None) -> Visitor | None:
        """The visitor a link lets in; None where it is wrong or was used. Raises TooManyKnocks."""
        now = time.monotonic() if now is None else now
        with self._lock:
            self._knocks = [knock for knock in self._knocks if now - knock < 60]
            if len(self._knocks) >= _KNOCKS_A_MINUTE:
                raise TooManyKnocks
            kind = self._links.pop(token, None)
            if kind is None:
                self._knocks.append(now)
                return None
        return self.new_visitor(kind)

    def new_visitor(self, kind: Kind = "hand") -> Visitor:
        """A browser that nobody has seen yet."""
        return Visitor(secrets.token_hex(12), kind)

    def cookie_of(self, visitor: Visitor) -> str:
        """What a visitor's browser keeps to be known again."""
        said = f"{visitor.name}.{visitor.kind}"
        return f"{said}.{self._signed('cookie', said)}"

    def visitor_of(self, cookie: str) -> Visitor | None:
        """The visitor a cookie speaks of; None where it is not ours."""
        said, _, sign = cookie.rpartition(".")
        if not hmac.compare_digest(sign.encode(), self._signed("cookie", said).encode()):
            return None
        name, _, kind = said.partition(".")
        return Visitor(name, "hand" if kind == "hand" else "look")

    def form_token(self, visitor: Visitor) -> str:
        """What stands in every form that this visitor is shown."""
        return self._signed("form", visitor.name)

    def is_form_token(self, visitor: Visitor, token: str) -> bool:
        """Whether a form was shown to this visitor."""
        return hmac.compare_digest(token.encode(), self.form_token(visitor).encode())

    def _signed(self, what: str, said: str) -> str:
        return hmac.new(self._secret, f"{what}:{said}".encode(), hashlib.sha256).hexdigest()


class TooManyKnocks(Exception):
    """Too many wrong links in a minute."""


class Pace:
    """How fast one visitor may ask: so many at once, so many a second after that."""

    def __init__(self, at_once: float = 120, a_second: float = 40, kept: int = 500) -> None:
        self._at_once, self._a_second, self._kept = at_once, a_second, kept
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = Lock()

    def allows(self, who: str) -> bool:
        """Whether one more may be answered now."""
        now = time.monotonic()
        with self._lock:
            left, then = self._left.pop(who, (self._at_once, now))
            left = min(self._at_once, left + (now - then) * self._a_second)
            allowed = left >= 1
            self._left[who] = (left - 1 if allowed else left, now)
            while len(self._left) > self._kept:
                self._left.popitem(last=False)
        return allowed
