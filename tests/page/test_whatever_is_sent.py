"""Whatever is sent, the page answers with words and never falls over; and 20 phones at once lose nothing."""

from __future__ import annotations

import os
import statistics
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pantrymeals.serve.app import pages
from pantrymeals.serve.guard import Pace
from pantrymeals.serve.pages.table import MEANT
from pantrymeals.serve.searches import Search, Searches
from tests.page.conftest import Served, form_of, serving
from tests.page.larders import demo_with_its_week

FULL = bool(os.environ.get("PANTRYMEALS_FULL"))
EACH = 200 if FULL else 8
QUICKLY = settings(max_examples=EACH, deadline=None, suppress_health_check=list(HealthCheck), database=None)
PHONES = 20
UNHURRIED = Pace(at_once=10**9, a_second=10**9)


@pytest.fixture
def battered(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    """A page at which anything is thrown; its searches are begun and never worked on."""

    def never(self: Searches, search: Search) -> None:  # noqa: ARG001
        search.state = "stopped"

    monkeypatch.setattr(Searches, "_work", never)
    with serving(demo_with_its_week(tmp_path / "demo"), pace=UNHURRIED) as served:
        yield served


def test_no_form_or_query_makes_it_fall_over(battered: Served) -> None:
    app = pages(battered.kitchen, battered.guard, battered.searches)
    schema = schemathesis.openapi.from_dict(app.openapi())
    asked: set[tuple[str, str]] = set()
    with battered.client() as client:
        token = form_of(client)["token"]
        cookies = dict(client.cookies)
        for found in schema.get_all_operations():
            operation = found.ok()

            @QUICKLY
            @given(case=operation.as_strategy())
            def ask(case: Any) -> None:
                if isinstance(case.body, dict):
                    case.body = case.body | {"token": token}
                answer = case.call(
                    base_url=battered.at, headers={"origin": battered.at, "x-form-token": token}, cookies=cookies,
                    allow_redirects=False,
                )  # fmt: skip
                assert answer.status_code < 500, (case.method, case.path, answer.status_code)
                asked.add((case.method, case.path))

            ask()
    assert len(asked) == sum(1 for _ in schema.get_all_operations()) > 30


NAMES = ["question", "n:1:", "n:375:", "n:x:y", "also", "also_put_up", "as_of", "place", "after", "stay"]


@QUICKLY
@given(
    fields=st.dictionaries(
        st.sampled_from(NAMES)
        | st.sampled_from(sorted({name for names in MEANT.values() for name in names} | {"heads", "heads_day", "who"})),
        st.text(max_size=30) | st.sampled_from([*MEANT, "S1", "7", "-1", "1/0", "2026-01-18", "9" * 30]),
    ),
    path=st.sampled_from(["/ask", "/count/at"]),
)  # fmt: skip
def _batter(client: Any, token: str, fields: dict[str, str], path: str) -> None:
    answer = client.post(path, data=fields | {"token": token, "key": "k"})
    assert answer.status_code < 500


def test_no_field_of_a_free_form_makes_it_fall_over(battered: Served) -> None:
    with battered.client() as client:
        _batter(client, form_of(client)["token"])


def test_twenty_phones_at_once_lose_nothing(tmp_path: Any) -> None:
    """20 clients tick and read beside a running search: every acknowledged stroke is in the book, once."""
    seconds = 30.0 if FULL else 5.0
    with serving(demo_with_its_week(tmp_path / "demo"), pace=UNHURRIED) as served:
        with served.client() as first:
            assert [first.get(path).status_code for path in ("/", "/pull", "/took")] == [200] * 3
        searches = [served.searches.ask("season")]
        acknowledged: list[tuple[int, str]] = []
        took, faults = [], []
        began_at: list[float] = []
        all_in = threading.Barrier(PHONES, action=lambda: began_at.append(time.monotonic()), timeout=300)

        def phone(number: int) -> None:
            with served.client() as client:
                form, turn = form_of(client), 0
                all_in.wait()  # the clock runs from when every phone has its form
                while turn < 3 or time.monotonic() < began_at[0] + seconds:  # one stroke each, however slow the machine
                    turn += 1
                    if number == 0 and searches[-1].over:  # there is always one at work
                        searches.append(served.searches.ask("season", anew=True))
                    key = f"{number}-{turn}"
                    began = time.monotonic()
                    if turn % 3:
                        answer = client.get(("/pull", "/", "/took")[turn % 3])
                    else:
                        answer = client.post("/took", data=form | {"key": key, "what": "1/50 lb bread flour"})
                        if answer.status_code == 303:
                            acknowledged.append((number, f"phone {key}"))
                    took.append(time.monotonic() - began)
                    if answer.status_code >= 400:
                        faults.append((answer.status_code, answer.text.partition("trouble")[2][:400]))

        with ThreadPoolExecutor(PHONES) as phones:
            list(phones.map(phone, range(PHONES)))
        served.searches.stop(searches[-1])
        with served.kitchen.book(reading=True) as (_, book):
            keys = [str(key) for (key,) in book.db.execute("SELECT key FROM entry WHERE key LIKE 'phone %'")]
    print(f"{len(took)} pages: median {statistics.median(took) * 1000:.0f} ms, worst {max(took) * 1000:.0f} ms")
    print(f"{len(acknowledged)} strokes acknowledged; {len(keys)} in the book; beside {len(searches)} searches")
    assert faults == []
    assert [search.trouble for search in searches[:-1] if search.state == "failed"] == []
    assert {number for number, _ in acknowledged} == set(range(PHONES))
    assert sorted(keys) == sorted(key for _, key in acknowledged)
