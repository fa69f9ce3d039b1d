"""Serving the page: where it listens, the link and its picture in the terminal, and a clean end."""

from __future__ import annotations

import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import segno
import uvicorn
from msgspec import Struct

from pantrymeals.errors import PantryError
from pantrymeals.serve.app import behind_the_gate, pages
from pantrymeals.serve.guard import Guard, Visitor
from pantrymeals.serve.house import House
from pantrymeals.serve.searches import Searches

LOOPBACK = "127.0.0.1"


class Door(Struct, frozen=True):
    """Where the page is served. lan: to the house's network; address: this computer's own there."""

    port: int
    lan: bool = False
    address: str = ""

    @property
    def host(self) -> str:
        """The address that the page listens on."""
        return (self.address or LOOPBACK) if self.lan else LOOPBACK

    @property
    def at(self) -> str:
        """'http://192.168.1.20:8321'."""
        return f"http://{self.host}:{self.port}"

    @property
    def names(self) -> tuple[str, ...]:
        """The names under which it may be asked for."""
        hosts = (self.host,) if self.lan else (LOOPBACK, "localhost")
        return tuple(f"{host}:{self.port}" for host in hosts)


class _Server(uvicorn.Server):
    """A server that Ctrl-C ends as it should: afterwards the program goes on, to close what is open."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Ctrl-C and the system's own 'end' stop the serving, once; they are not raised again after it."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        before = {each: signal.signal(each, self.handle_exit) for each in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for each, handler in before.items():
                signal.signal(each, handler)


def address_on_the_lan() -> str:
    """This computer's address in the house's network. Raises PantryError where it has none.

    Nothing is sent: a socket is only pointed towards an address kept for examples (RFC 5737), to see from where.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as towards:
        try:
            towards.connect(("192.0.2.1", 9))
            found = str(towards.getsockname()[0])
        except OSError:
            found = ""
    if not found or found.startswith("127."):
        raise PantryError("this computer is in no network, so no phone can reach it; say --address, or join the wifi")
    return found


def serve(folder: Path, today: date | None, door: Door, say: Callable[[str], None]) -> None:
    """Serve the page until Ctrl-C. Raises PantryError when the household cannot be read or the port is taken."""
    kitchen = House(folder, today)
    kitchen.household()
    listening = _listening(door)
    guard = Guard(by_link=door.lan, address=door.at)
    searches = Searches(kitchen)
    server = _Server(
        uvicorn.Config(
            behind_the_gate(pages(kitchen, guard, searches), guard, door.names),
            log_level="warning",
            access_log=False,
            server_header=False,
            date_header=True,
            timeout_keep_alive=15,
            timeout_graceful_shutdown=3,
            limit_concurrency=200,
            h11_max_incomplete_event_size=16 * 1024,
            proxy_headers=False,
        )
    )
    guard.came_in = lambda visitor: _say_who(guard, visitor, say)
    _say_where(guard, door, say)
    try:
        server.run(sockets=[listening])
    finally:
        searches.close()
        listening.close()
    say("Stopped. What was entered is in the book.")


def _listening(door: Door) -> socket.socket:
    # with its protocol said: only then are small answers sent at once, and not 40 ms later
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((door.host, door.port))
    except OSError as error:
        listening.close()
        raise PantryError(
            f"{door.host}:{door.port} cannot be listened on ({error.strerror}); say another with --port"
        ) from None
    return listening


def _say_where(guard: Guard, door: Door, say: Callable[[str], None]) -> None:
    if not door.lan:
        say(f"The larder's page: {door.at}")
        say("For this computer alone; --lan lets phones in. Ctrl-C stops.")
        return
    say(f"The larder's page, in the house's network: {door.at}")
    say("Whoever has a link comes in, and what goes over the wifi is not in cipher: use it at home only.")
    _say_link(guard, say)


def _say_link(guard: Guard, say: Callable[[str], None]) -> None:
    link = f"{guard.address}/come-in/{guard.new_link('hand')}"
    if sys.stdout.isatty():
        segno.make(link, error="l").terminal(compact=True, border=2)
    say(f"For one phone, once: {link}")
    say(f"To look only, once:  {guard.address}/come-in/{guard.new_link('look')}")
    say("Further links are on the page itself, under More. Ctrl-C stops.")


def _say_who(guard: Guard, visitor: Visitor, say: Callable[[str], None]) -> None:
    say("A phone has come in." if visitor.may_write else "A phone has come in, to look only.")
    if visitor.may_write:
        say(f"For the next phone, once: {guard.address}/come-in/{guard.new_link('hand')}")
