"""The gallery of demo/: all of it is listed, every page carries its caution, and one command makes it again."""

from __future__ import annotations

import os
import re
import runpy
from pathlib import Path

import pytest

from pantrymeals.cautions import STANDING_LINE
from tests.outside.printed import pages_of

GALLERY = Path(__file__).parents[2] / "demo" / "gallery"
STORED = ("month.json", "season.json")
"""Plans that the pages are made from."""


def test_the_gallery_holds_what_its_list_says() -> None:
    listed = set()
    for row in re.findall(r"^\| (`.*?) \|", (GALLERY / "README.md").read_text(encoding="utf-8"), re.MULTILINE):
        names = re.findall(r"`([\w.-]+)`", row)
        listed |= {names[0].rsplit(".", 1)[0] + name if name.startswith(".") else name for name in names}
    assert {path.name for path in GALLERY.iterdir()} == listed | {"README.md", *STORED}


@pytest.mark.parametrize("name", sorted(path.name for path in GALLERY.glob("*.pdf")))
def test_every_page_carries_the_standing_caution_and_the_state_of_the_book(name: str) -> None:
    for text in pages_of((GALLERY / name).read_bytes()):
        assert STANDING_LINE in text
        assert "from the book up to entry" in text


def test_the_weeks_two_sheets_are_two_pages() -> None:
    for name in ("week.pdf", "week-a4.pdf"):
        menu, pull = pages_of((GALLERY / name).read_bytes())
        assert "The menu at the Tarrow table" in menu
        assert "The pull list" in pull
    assert len(pages_of((GALLERY / "no-store.pdf").read_bytes())) == 1


@pytest.mark.skipif(not os.environ.get("PANTRYMEALS_FULL"), reason="half a minute: PANTRYMEALS_FULL=1")
def test_one_command_makes_it_again_byte_for_byte(tmp_path: Path) -> None:
    runpy.run_path(str(GALLERY.parent / "make_gallery.py"))["make"](tmp_path)
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    kept = {path.name: path.read_bytes() for path in GALLERY.iterdir() if path.name not in ("README.md", *STORED)}
    assert made.keys() == kept.keys()
    assert [name for name in kept if made[name] != kept[name]] == []


def test_what_is_stored_is_still_what_the_program_stores() -> None:
    made = runpy.run_path(str(GALLERY.parent / "make_gallery.py"))
    month, season = (made["_stored"](made[name], made[kinds]) for name, kinds in (
        ("MONTH", "_OF_THE_MONTH"), ("SEASON", "_OF_THE_SEASON"),
    ))  # fmt: skip
    assert month["plan"].days == 30
    assert season["fitted"].proven
