"""The file of a stored menu: a folder, a pipe, bytes that are no text, another household's menu, unknown products."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from pantrymeals.actions.stored_menu import announced_in, menu_to_pull_in
from pantrymeals.errors import PantryError
from pantrymeals.reports.json.plan import menu_json
from tests.unit.reports.sheets import small_household, small_sheet


def readers() -> Any:
    def announced(path: Path) -> Any:
        return announced_in(path, small_household())

    return pytest.mark.parametrize("read", [announced, menu_to_pull_in])


@readers()
@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.mkdir(), "this is a folder"),
        (os.mkfifo, "this is not an ordinary file"),
        (lambda path: path.symlink_to("/dev/zero"), "this is not an ordinary file"),
        (lambda path: path.write_bytes(b"\xff\xfe{}"), "this file is not UTF-8 text"),
        (lambda path: path.write_bytes(b'{"format": "\0"}'), "a character that is not text"),
        (lambda _: None, "there is no such file"),
    ],
)
def test_what_is_no_text_is_one_sentence(read: Any, make: Any, said: str, tmp_path: Path) -> None:
    path = tmp_path / "menu.json"
    make(path)
    with pytest.raises(PantryError) as caught:
        read(path)
    assert said in str(caught.value)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


@readers()
def test_a_byte_order_mark_before_a_menu_does_no_harm(read: Any, tmp_path: Path) -> None:
    path = tmp_path / "menu.json"
    path.write_bytes(b"\xef\xbb\xbf" + menu_json(small_sheet()).encode())
    assert read(path).days == 4


def test_a_menu_that_is_not_for_this_larder_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "menu.json"
    file = json.loads(menu_json(small_sheet()))
    file["openings"][0]["product"] = "Dodo\u2028eggs"
    path.write_text(json.dumps(file), encoding="utf-8")
    with pytest.raises(PantryError) as caught:
        announced_in(path, small_household())
    assert str(caught.value) == (
        f"{path}: this menu takes what is not in products.csv: 'Dodo eggs'; plan the menu anew"
    )
    path.write_text(menu_json(small_sheet()), encoding="utf-8")
    assert announced_in(path, small_household()) == small_sheet().plan
    with pytest.raises(PantryError, match="made for the household"):
        announced_in(path, replace(small_household(), name="Ferrow"))
