"""An evening on which all is tapped wrongly once: nothing is entered that did not happen, and no word is typed."""

from __future__ import annotations

import re
import time
from datetime import date, timedelta
from fractions import Fraction
from html import unescape
from textwrap import wrap

import httpx2
import pytest

from pantrymeals.cautions import CAUTIONS, STANDING_LINE, lines_for
from pantrymeals.serve.pages.common import said
from pantrymeals.serve.pages.shelf import sheet_lines
from tests.page.conftest import Served, form_of

Sums = dict[tuple[str, str, str], Fraction]
TYPED = re.compile(r"--[a-z]|'(undo|redo|book \w+|count (sheet|enter)|lots|menu --\w+)|`")
"""What can only be typed at a terminal."""


def sums(served: Served) -> tuple[Sums, int]:
    """Every product's containers by size and state, and the part jars; and how many entries there are."""
    with served.kitchen.book(reading=True) as (_, book):
        found: Sums = {}
        for here in book.on_hand():
            key = (here.lot.product, here.lot.size, here.state)
            found[key] = found.get(key, Fraction(0)) + here.count
        for jar in book.part_jars():
            key = (jar.part.product, jar.part.size, f"open {jar.part.opened}")
            found[key] = found.get(key, Fraction(0)) + jar.left
        return found, book.number_of_entries()


def post(client: httpx2.Client, path: str, **fields: object) -> tuple[int, str]:
    """What the page says when a form has been sent, as a person reads it."""
    fields.setdefault("key", f"{path} {sorted(fields.items())} {len(client.cookies)}")
    answer = client.post(path, data=form_of(client, **fields), follow_redirects=True)
    main = answer.text.split("<main")[1].split(">", 1)[1].split("</main")[0]
    return answer.status_code, " ".join(unescape(re.sub("<[^>]+>", " ", main)).split())


def refused(served: Served, client: httpx2.Client, wrong: str, path: str, **fields: object) -> None:
    before = sums(served)
    status, said = post(client, path, **fields)
    assert status == 409, (fields, said)
    assert wrong in said, (fields, said)
    assert not TYPED.search(said), said
    assert sums(served) == before, fields


def test_what_is_tapped_wrongly_enters_nothing(demo_page: Served) -> None:
    with demo_page.client() as client:
        for wrong, what in (
            ("Sauerkraut comes in qt, not in 'lb'", "5 lb sauerkraut"),
            ("Raspberry jam comes in hp, not in 'oz'", "3 oz raspberry jam"),
            ("is kept in lb, and '2 potatoes' does not say in what", "2 potatoes"),
            ("the book has 72 qt Applesauce, not 400", "400 qt applesauce"),
            ("can be more than one product", "2 pt green beans"),
        ):
            refused(demo_page, client, wrong, "/took", what=what)
        for wrong, load in (
            ("Raspberry jam comes in hp, not in 'qt'", {"what": "7 qt raspberry jam"}),
            ("Tomato juice comes in qt, not in 'half-gal'", {"what": "2 half-gal tomato juice"}),
            ("2062 is ahead of today", {"what": "7 hp raspberry jam", "when": "2062"}),
            ("within 1900 to 2100", {"what": "7 hp raspberry jam", "when": "1062"}),
            ("comes in whole qt", {"what": "6 1/2 qt applesauce"}),
        ):
            refused(demo_page, client, wrong, "/put-up", **load)
        refused(demo_page, client, "has its own line here, where the book has 27 qt", "/count/at", place="N1",
                also="3 qt applesauce")  # fmt: skip
        refused(demo_page, client, "comes in hp, not in 'lb'", "/count/at", place="N1", also="3 lb raspberry jam")
        refused(demo_page, client, "there is no entry 999999", "/undo", entry=999999)
        refused(demo_page, client, "there is no dish called 'Zebra'", "/said", word="again", dish="Zebra")


def test_a_label_of_a_day_that_the_calendar_has_had_is_no_day_ahead(demo_page: Served) -> None:
    """The count is of 17 January; what is put up after it, as at the terminal, is of a day that has come."""
    after = demo_page.kitchen.pantry().today + timedelta(days=1)
    assert after <= date.today()
    with demo_page.client() as client:
        status, said = post(client, "/put-up", what="7 hp raspberry jam", when=after.isoformat())
        assert (status, "Entered, no." in said) == (200, True)
        ahead = (date.today() + timedelta(days=1)).isoformat()
        refused(demo_page, client, f"{ahead} is ahead of today", "/put-up", what="7 hp raspberry jam", when=ahead)


def test_what_is_sent_twice_counts_once_and_what_is_told_twice_is_said(demo_page: Served) -> None:
    begun, entries = sums(demo_page)
    with demo_page.client() as client:
        for _ in range(2):
            status, said = post(client, "/took", key="one tap", what="raspberry jam")
            assert status == 200
        assert "Already in the book" in said
        load = {"what": "7 hp raspberry jam", "source": "page 3"}
        assert "just as much" not in post(client, "/put-up", key="mother", **load)[1]
        assert "just as much of it came in with no." in post(client, "/put-up", key="daughter", **load)[1]
        jam = ("Raspberry jam", "hp", "")
        assert sums(demo_page)[0][jam] == begun[jam] - 1 + 14
        assert "Entered, no." in post(client, "/pull/rest", key="up")[1]
        pulled = sums(demo_page)
        assert "All of that has been pulled already" in post(client, "/pull/rest", key="up again")[1]
        assert sums(demo_page) == pulled
        assert not TYPED.search(refused_replan(client))
        with demo_page.kitchen.book(reading=True) as (_, book):
            newest = book.number_of_entries()
        for number in range(newest, entries, -1):
            assert "Taken back" in post(client, "/undo", key=f"back {number}", entry=number)[1]
    assert sums(demo_page)[0] == begun


def refused_replan(client: httpx2.Client) -> str:
    """What the page says of a menu that is to be planned anew and is all up already."""
    asked = client.post("/ask", data=form_of(client, question="replan", seconds=1), follow_redirects=True)
    until = time.monotonic() + 60
    while "there is nothing to change" not in asked.text:
        assert time.monotonic() < until, asked.text
        time.sleep(0.2)
        asked = client.get(str(asked.url))
    return unescape(asked.text.split("<main")[1].split("</main")[0])


@pytest.mark.parametrize("twice", [1, 2])
def test_what_no_process_is_tested_for_is_held_wherever_it_is_tapped(demo_page: Served, twice: int) -> None:
    """Put up, or found at a count, once or twice: it is on no menu, and each jar is there once."""
    products = demo_page.folder / "products.csv"
    heads = products.read_text(encoding="utf-8").splitlines()[0].split(",")
    row = {"product": "Cream of celery soup", "kind": "jar", "acid": "low", "sizes": "pt", "family": "celery"}
    with products.open("a", encoding="utf-8") as file:
        file.write(",".join(row.get(head, "") for head in heads) + "\n")
    soup = ("Cream of celery soup", "pt", "held")
    with demo_page.client() as client:
        said = post(client, "/put-up", key="soup", what="4 pt cream of celery soup", place="N1")[1]
        assert "C4 No tested home process" in said
        assert sums(demo_page)[0][soup] == 4
        with demo_page.kitchen.book(reading=True) as (pantry, book):
            (line,) = [x for x in sheet_lines(pantry, book, "N1") if x.product == soup[0]]
        for number in range(twice):
            shelf = {f"n:{line.lot}:{line.state}": "5"}
            assert post(client, "/count/at", key=f"count {number}", place="N1", stay=1, **shelf)[0] == 200
        assert sums(demo_page)[0][soup] == 5
        found = {"also": "3 pt cream of celery soup", "also_put_up": "2024"}
        said = post(client, "/count/at", key="found", place="N1", stay=1, **found)[1]
        assert "C4 No tested home process" in said
        assert sums(demo_page)[0][soup] == 8
        assert not any(name == soup[0] and state == "" for name, _, state in sums(demo_page)[0])


def test_each_caution_and_the_standing_line_are_one_paragraph() -> None:
    """The terminal breaks them at 80 columns; a phone breaks its own lines, in the middle of no sentence."""
    entered = ["Entered, no. 7: put-up 7 qt Green beans", "  + 7 qt Green beans to S1", "On the shelf now: 61 qt."]
    told = [*entered, *lines_for(CAUTIONS, read_before=False), *wrap(STANDING_LINE, 80)]
    whole = (f"{caution.number} {caution.words}" for caution in CAUTIONS.values())
    assert said(told).lines == (*(line.strip() for line in entered), *whole, STANDING_LINE)
