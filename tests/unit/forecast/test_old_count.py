"""A book or a count that is more than a fortnight old says so, and what to count first (own arithmetic)."""

from datetime import date
from fractions import Fraction
from pathlib import Path
from shutil import copytree

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.old_count import old_count
from pantrymeals.actions.with_book import Larder
from pantrymeals.cli.main import app
from pantrymeals.records import Movement
from tests.kitchens.tiny import day, kitchen, loose, lot, standing

HOME = kitchen(
    products=[loose("Carrots"), loose("Onions"), loose("Turnips"), loose("Milk", "gal", kind="fridge")],
    lots=[
        lot("Carrots", 40, "lb", where="C"),
        lot("Onions", 10, "lb", where="P"),
        lot("Onions", 10, "lb", where="C"),
        lot("Turnips", 9, "lb"),
        lot("Milk", 1, "gal", where="K"),
    ],
    dishes=[],
    standing=(standing("Carrots", "7 lb"), standing("Onions", "7 lb"), standing("Milk", "1 gal")),
)
"""In fifteen days 15 lb of 40 lb of carrots go, and 15 of 20 lb of onions; no turnips."""


def test_a_count_of_a_fortnight_is_fresh_and_an_older_one_says_what_to_count_first() -> None:
    larder = Larder(HOME, ())
    assert old_count(larder, day(14)) == ""
    assert old_count(larder, day(15)) == (
        "The count is of Monday 5 January 2026, 15 days ago. Take a count, of what matters most first: "
        "Onions (P and C); Carrots (C)."
    )


def test_the_books_last_entry_is_held_against_the_households_own_today() -> None:
    book = (Movement(day(-15), "Carrots", "lb", Fraction(40), "put up"),)
    far_off = date(2027, 1, 1)
    assert old_count(Larder(HOME, book), far_off).startswith(
        "The book's last entry is of Sunday 21 December 2025, 15 days ago."
    )
    assert old_count(Larder(replace(HOME, today=day(-1)), book), far_off) == ""


def test_where_nothing_is_used_a_count_is_asked_for_all_the_same() -> None:
    assert old_count(Larder(replace(HOME, standing=()), ()), day(20)).endswith("20 days ago. Take a count.")


@pytest.mark.parametrize("command", [("eat-first",), ("run-out",), ("sitters",), ("menu", "--seconds", "1")])
def test_what_is_dated_by_an_old_count_says_so_first(command: tuple[str, ...], tmp_path: Path) -> None:
    hut = tmp_path / "hut"
    copytree(Path(__file__).parents[2] / "kitchens" / "hut", hut)
    old = CliRunner().invoke(app, [*command, "--larder", str(hut)])  # the hut's count is of 17 January 2026
    said = " ".join(old.stderr.split())
    assert "The count is of Saturday 17 January 2026" in said
    assert "Take a count, of what matters most first: Potatoes, main crop (Bin 1)" in said
    fresh = CliRunner().invoke(app, [*command, "--larder", str(hut), "--today", "2026-01-18"])
    assert "Take a count" not in fresh.stderr
