"""Reports reach their file whole, or the old one stays."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from pantrymeals.actions.printing import write_safely
from pantrymeals.errors import PantryError


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    file = tmp_path / "menu.pdf"
    write_safely(file, b"old")
    write_safely(file, b"new")
    assert file.read_bytes() == b"new"
    assert [p.name for p in tmp_path.iterdir()] == ["menu.pdf"]


def test_a_missing_folder_is_said(tmp_path: Path) -> None:
    with pytest.raises(PantryError, match=r"menu\.pdf: cannot be written: No such file"):
        write_safely(tmp_path / "nowhere" / "menu.pdf", b"x")


def test_a_failed_write_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "menu.pdf"
    file.write_bytes(b"old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(PantryError, match="No space left"):
        write_safely(file, b"new")
    assert file.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["menu.pdf"]
