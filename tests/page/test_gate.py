"""Safe by default: one test for each thing that is promised of the gate before the pages."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
import pytest

from pantrymeals.errors import PantryError
from pantrymeals.serve.guard import Guard, Kind, Pace, TooManyKnocks
from pantrymeals.serve.run import Door
from tests.page.conftest import Served, form_of, serving
from tests.page.larders import demo_with_its_week, empty, six_hundred


@pytest.fixture(scope="module")
def by_link(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A page that lets phones in by links alone."""
    with serving(demo_with_its_week(tmp_path_factory.mktemp("gate") / "demo"), by_link=True) as served:
        yield served


@contextmanager
def let_in(served: Served, kind: Kind) -> Iterator[httpx2.Client]:
    with served.client() as client:
        assert client.get(f"/come-in/{served.guard.new_link(kind)}").status_code == 200
        yield client


def entries(served: Served) -> int:
    return served.kitchen.newest()


def test_without_lan_only_this_computer_is_listened_to() -> None:
    assert Door(8321).host == "127.0.0.1"
    assert Door(8321).names == ("127.0.0.1:8321", "localhost:8321")
    assert Door(8321, True, "192.168.1.20").names == ("192.168.1.20:8321",)


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "", "localhost.evil.example:8321"])
def test_a_foreign_host_is_refused(read_page: Served, host: str) -> None:
    with read_page.client() as client:
        assert client.get("/", headers={"host": host}).status_code == 421
        assert client.get("/").status_code == 200


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", "https://127.0.0.1"])
def test_a_form_of_a_foreign_page_enters_nothing(demo_page: Served, origin: str) -> None:
    with demo_page.client() as client:
        form, before = form_of(client, key="a", what="1 qt Applesauce"), entries(demo_page)
        assert client.post("/took", data=form, headers={"origin": origin}).status_code == 403
        assert entries(demo_page) == before
        assert client.post("/took", data=form).status_code == 303
        assert entries(demo_page) == before + 1


@pytest.mark.parametrize("token", ["", "0" * 64, "ø"])
def test_a_form_without_its_token_enters_nothing(demo_page: Served, token: str) -> None:
    with demo_page.client() as client:
        form, before = form_of(client, key="a", what="1 qt Applesauce") | {"token": token}, entries(demo_page)
        assert client.post("/took", data=form).status_code == 403
        assert entries(demo_page) == before


def test_the_token_of_another_visitor_is_none(demo_page: Served) -> None:
    with demo_page.client() as one, demo_page.client() as other:
        theirs, before = form_of(other, key="a", what="1 qt Applesauce"), entries(demo_page)
        one.get("/")
        assert one.post("/took", data=theirs).status_code == 403
        assert entries(demo_page) == before


def test_nobody_comes_in_without_a_link(by_link: Served) -> None:
    with by_link.client() as client:
        for path in ("/", "/pull", "/more", "/search/x", "/count/at?place=S1"):
            assert client.get(path).status_code == 401
        assert client.post("/took", data={"what": "1 qt Applesauce", "key": "a"}).status_code == 401
        assert client.cookies == {} or "larder" not in dict(client.cookies)


def test_a_link_works_once(by_link: Served) -> None:
    token = by_link.guard.new_link("hand")
    with by_link.client() as first, by_link.client() as second:
        answer = first.get(f"/come-in/{token}")
        assert answer.status_code == 200
        cookie = answer.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert first.get("/pull").status_code == 200
        assert second.get(f"/come-in/{token}").status_code == 403
        assert second.get("/pull").status_code == 401


def test_a_cookie_made_up_or_of_another_run_lets_nobody_in(by_link: Served) -> None:
    stranger = Guard(by_link=True)
    for cookie in ("x", "a.hand.b", "", stranger.cookie_of(stranger.new_visitor()), "a.hand." + "0" * 64):
        with by_link.client() as client:
            assert client.get("/pull", headers={"cookie": f"larder={cookie}"}).status_code == 401


def test_fifty_wrong_links_shut_the_door_for_a_while() -> None:
    guard = Guard(by_link=True)
    good = guard.new_link("hand")
    for n in range(10):
        assert guard.come_in(f"wrong {n}", now=100.0) is None
    for n in range(40):
        with pytest.raises(TooManyKnocks):
            guard.come_in(f"wrong {n}", now=100.0)
    with pytest.raises(TooManyKnocks):
        guard.come_in(good, now=101.0)
    assert guard.come_in(good, now=161.0) is not None


def test_fifty_wrong_links_over_the_wire_are_answered_429(tmp_path: Path) -> None:
    with serving(empty(tmp_path / "empty"), by_link=True) as served, served.client() as client:
        statuses = [client.get(f"/come-in/{n}").status_code for n in range(50)]
    assert statuses == [403] * 10 + [429] * 40


def test_who_may_look_may_not_write(by_link: Served) -> None:
    before = entries(by_link)
    with let_in(by_link, "look") as client:
        page = client.get("/pull")
        assert page.status_code == 200
        assert 'action="/pull/tick"' not in page.text
        form = form_of(client, key="a", what="1 qt Applesauce")
        assert client.post("/took", data=form).status_code == 403
        assert client.post("/ask", data=form | {"question": "menu"}).status_code == 403
        assert client.post("/phones", data=form | {"kind": "hand"}).status_code == 403
        assert client.post("/look", data=form | {"how": "dark"}).status_code == 303
    assert entries(by_link) == before


def test_a_body_that_is_too_long_is_not_read(demo_page: Served) -> None:
    with demo_page.client() as client:
        form = form_of(client, key="a")
        assert client.post("/took", data=form | {"what": "x" * 70_000}).status_code == 413
        host, port = demo_page.host.split(":")
        with socket.create_connection((host, int(port)), timeout=10) as raw:
            head = f"POST /took HTTP/1.1\r\nhost: {demo_page.host}\r\norigin: {demo_page.at}\r\n"
            kind = "content-type: application/x-www-form-urlencoded\r\ntransfer-encoding: chunked\r\n\r\n"
            raw.sendall((head + kind).encode())
            chunk = b"4000\r\n" + b"x" * 0x4000 + b"\r\n"
            for _ in range(6):
                raw.sendall(chunk)
            assert raw.recv(100).startswith(b"HTTP/1.1 413")


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "multipart/form-data; boundary=x"])
def test_only_a_form_is_read(demo_page: Served, kind: str) -> None:
    with demo_page.client() as client:
        form_of(client)
        answer = client.post("/took", content=b"token=x&what=1", headers={"content-type": kind})
        assert answer.status_code == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_nothing_but_reading_and_forms(read_page: Served, method: str) -> None:
    with read_page.client() as client:
        assert client.request(method, "/took").status_code == 405


PATHS = [
    "/static/../../../etc/passwd", "/static/..%2f..%2f..%2fetc%2fpasswd", "/static/%2e%2e/guard.py",
    "/static//etc/passwd", "/static/larder.css%00.html", "/static/....//guard.py", "/static/C:%5Cboot.ini",
    "/count/at?place=../../etc", "/product?name=..%2f..%2fhousehold.yaml", "/dish?name=%2Fetc%2Fpasswd",
    "/search/..%2f..%2fhousehold.yaml", "/static/../templates/base.html",
]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_no_path_of_a_request_reaches_the_disk(read_page: Served, path: str) -> None:
    host, port = read_page.host.split(":")
    with socket.create_connection((host, int(port)), timeout=20) as raw:
        raw.sendall(f"GET {path} HTTP/1.1\r\nhost: {read_page.host}\r\nconnection: close\r\n\r\n".encode())
        answer = b""
        while piece := raw.recv(65536):
            answer += piece
    assert int(answer.split()[1]) in (404, 409, 422, 400)
    for of_a_file in (b"root:", b"class Guard", b"altitude_ft", b"{% block"):
        assert of_a_file not in answer


def test_script_in_a_name_is_text(tmp_path: Path) -> None:
    with serving(six_hundred(tmp_path / "many")) as served, served.client() as client:
        name = "Preserve 000 with a long name & <b>ødd</b> letters"
        for answer in (
            client.get("/products"), client.get("/product", params={"name": name}), client.get("/count/at?place=P0"),
        ):  # fmt: skip
            assert answer.status_code == 200
            assert "<b>ødd" not in answer.text
            assert "&lt;b&gt;ødd" in answer.text
        evil = "<script>alert(1)</script>"
        said = client.post("/took", data=form_of(client, key="k", what=f"1 {evil}"))
        assert evil not in said.text
        assert "&lt;script&gt;" in said.text


def test_every_answer_carries_a_policy_without_inline_script(read_page: Served) -> None:
    with read_page.client() as client:
        for path in ("/", "/pull", "/more", "/nix", "/static/larder.css", "/took"):
            answer = client.get(path)
            policy = answer.headers["content-security-policy"]
            assert "default-src 'none'" in policy
            assert "script-src 'self'" in policy
            assert "unsafe" not in policy
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert " onclick=" not in answer.text
            assert "style=" not in answer.text or path.startswith("/static")
            assert "<script>" not in answer.text


def test_nothing_of_another_host_is_in_a_page(read_page: Served) -> None:
    with read_page.client() as client:
        for path in ("/", "/week", "/pull", "/took", "/count", "/put-up", "/products", "/more", "/no-store", "/plan"):
            text = client.get(path).text
            assert "http://" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "")
            assert "https://" not in text
            assert 'src="//' not in text


def test_who_asks_too_fast_waits(tmp_path: Path) -> None:
    pace = Pace(at_once=20, a_second=0.001)
    with serving(empty(tmp_path / "empty"), pace=pace) as served, served.client() as client:
        statuses = [client.get("/static/larder.css").status_code for _ in range(30)]
    assert statuses == [200] * 20 + [429] * 10


def test_a_taken_port_is_said_plainly(tmp_path: Path) -> None:
    from pantrymeals.serve.run import serve

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(PantryError, match=f"127.0.0.1:{port} cannot be listened on"):
            serve(empty(tmp_path / "empty"), None, Door(port), lambda _: None)
