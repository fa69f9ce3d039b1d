"""The page, served on a port of its own; a browser, where Debian's chromium is there."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
import pytest
import uvicorn
from msgspec import Struct
from playwright.sync_api import expect

from pantrymeals.serve.app import behind_the_gate, pages
from pantrymeals.serve.guard import Guard, Pace
from pantrymeals.serve.house import House
from pantrymeals.serve.searches import Searches
from tests.page.larders import demo_with_its_week

expect.set_options(timeout=30_000)


class Served(Struct, frozen=True):
    """A page that is served: where, and what stands behind it."""

    at: str
    host: str
    folder: Path
    kitchen: House
    guard: Guard
    searches: Searches

    def client(self) -> httpx2.Client:
        """A browser without a face. Its forms say where they come from, as a browser's do."""
        return httpx2.Client(base_url=self.at, headers={"origin": self.at}, timeout=60)


@contextmanager
def serving(
    folder: Path, *, by_link: bool = False, pace: Pace | None = None, name: str = "127.0.0.1"
) -> Iterator[Served]:
    """Serve a household's page until the ``with`` ends."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    at = f"http://{name}:{port}"
    kitchen = House(folder)
    guard, searches = Guard(by_link=by_link, address=at), Searches(kitchen)
    hosts = {f"127.0.0.1:{port}", f"{name}:{port}"}
    app = behind_the_gate(pages(kitchen, guard, searches), guard, hosts, pace)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", server_header=False))
    thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield Served(at, f"127.0.0.1:{port}", folder, kitchen, guard, searches)
    finally:
        server.should_exit = True
        searches.close()
        thread.join(10)


@pytest.fixture
def demo_page(tmp_path: Path) -> Iterator[Served]:
    """The demo's page, with a week announced; its own copy for each test."""
    with serving(demo_with_its_week(tmp_path / "demo")) as served:
        yield served


@pytest.fixture(scope="session")
def read_page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo's page, for tests that enter nothing."""
    with serving(demo_with_its_week(tmp_path_factory.mktemp("page") / "demo")) as served:
        yield served


Form = Callable[..., dict[str, str]]


def form_of(client: httpx2.Client, **fields: object) -> dict[str, str]:
    """A form's fields with the token that this visitor was shown."""
    page = client.get("/more").text
    token = page.split('name="form-token" content="')[1].split('"')[0]
    return {"token": token} | {name: str(value) for name, value in fields.items()}
