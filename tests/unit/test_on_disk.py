"""What is written reaches its file whole, or the old one stays; a household's own files are never written over."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from pantrymeals.errors import PantryError
from pantrymeals.on_disk import put_in_place, write_safely

OWN = (
    "products.csv", "stock.csv", "open.csv", "standing.csv", "household.yaml", "calendar.yaml", "season.yaml",
    "slips.csv", "put-up-book.csv", "put-up-book.sqlite", "put-up-book.sqlite-wal", "put-up-book.sqlite-shm",
    "recipes/soup.yaml", "recipes/winter/soup.yml",
)  # fmt: skip


def tree(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A household's folder with all its files."""
    folder = tmp_path / "home"
    for name in OWN:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("theirs")
    return folder


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    file = tmp_path / "menu.pdf"
    write_safely(file, b"old")
    write_safely(file, b"new")
    assert tree(tmp_path) == {"menu.pdf": b"new"}
    assert file.stat().st_mode & 0o777 == 0o644


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("nowhere/menu.pdf", r"menu\.pdf: cannot be written: No such file or directory; make its folder first"),
        ("file/menu.pdf", r"menu\.pdf: cannot be written: Not a directory; name a file in a folder"),
        ("x" * 300, r"cannot be written: File name too long; give it a shorter name"),
    ],
)
def test_where_nothing_can_be_written_is_said(tmp_path: Path, place: str, said: str) -> None:
    (tmp_path / "file").write_bytes(b"x")
    with pytest.raises(PantryError, match=said):
        write_safely(tmp_path / place, b"x")
    assert tree(tmp_path) == {"file": b"x"}


@pytest.mark.parametrize("fails", ["fsync", "replace"])
def test_a_failed_write_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    file = tmp_path / "menu.pdf"
    file.write_bytes(b"old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, fails, full)
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(PantryError, match="No space left on device; make room"):
        write_safely(file, b"new")
    assert tree(tmp_path) == {"menu.pdf": b"old"}


@pytest.mark.parametrize("name", OWN)
def test_the_households_own_files_are_never_written_over(home: Path, name: str) -> None:
    before = tree(home)
    for file in (home / name, (home / name).with_name((home / name).name.upper())):
        with pytest.raises(PantryError, match="household's own file, and is not overwritten; choose another name"):
            write_safely(file, b"a table", may_make="put-up-book.csv")
    assert tree(home) == before


def test_nor_are_they_made_where_there_are_none_but_the_books_twin_by_its_export(home: Path) -> None:
    (home / "standing.csv").unlink()
    (home / "put-up-book.csv").unlink()
    for name in ("standing.csv", "put-up-book.csv"):
        with pytest.raises(PantryError, match="household's own file"):
            write_safely(home / name, b"a table")
    write_safely(home / "put-up-book.csv", b"the book", may_make="put-up-book.csv")
    assert (home / "put-up-book.csv").read_bytes() == b"the book"


def test_a_folder_reached_by_a_link_is_the_same_household(home: Path, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(home)
    with pytest.raises(PantryError, match="household's own"):
        write_safely(tmp_path / "link" / "stock.csv", b"x")
    write_safely(tmp_path / "link" / "run-out.csv", b"x")
    assert (home / "run-out.csv").read_bytes() == b"x"


def test_the_same_name_elsewhere_is_free(tmp_path: Path) -> None:
    write_safely(tmp_path / "stock.csv", b"x")
    write_safely(tmp_path / "stock.csv", b"y")
    assert tree(tmp_path) == {"stock.csv": b"y"}


def test_links_pipes_devices_folders_and_copies_of_a_book_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_bytes(b"real")
    (tmp_path / "link.csv").symlink_to("real.csv")
    (tmp_path / "dangling.csv").symlink_to("none.csv")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "copy.db").write_bytes(b"SQLite format 3\0 and more")
    cases = {
        "link.csv": r"a link; name the file itself \(real\.csv\)",
        "dangling.csv": "a link; name the file itself",
        "folder": r"a folder; name a file in it, such as .*folder/larder\.csv",
        "pipe": "a device or a pipe, not a file",
        "/dev/null": "a device or a pipe, not a file",
        "copy.db": "a put-up book or a copy of one",
    }
    before = tree(tmp_path)
    for name, said in cases.items():
        with pytest.raises(PantryError, match=said):
            write_safely(tmp_path / name, b"x")
    assert tree(tmp_path) == before
    assert (tmp_path / "link.csv").is_symlink()


def test_what_must_not_be_written_over_is_not_even_when_it_comes_meanwhile(tmp_path: Path) -> None:
    file = tmp_path / "copy.sqlite"

    def write() -> None:
        with put_in_place(file, over=False) as part:
            part.write_bytes(b"ours")
            file.write_bytes(b"theirs")

    with pytest.raises(PantryError, match="something is there already"):
        write()
    assert tree(tmp_path) == {"copy.sqlite": b"theirs"}


def test_what_goes_wrong_while_it_is_filled_leaves_nothing(tmp_path: Path) -> None:
    def write() -> None:
        with put_in_place(tmp_path / "x.csv") as part:
            part.write_bytes(b"half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write()
    assert tree(tmp_path) == {}


def test_nothing_else_in_the_package_writes_a_file() -> None:
    """But for the book and what it sets aside of itself, slips, whose file gets a line more, and devnull."""
    root = Path(__file__).parents[2] / "pantrymeals"
    writes = re.compile(
        r"""write_text\(|write_bytes\(|open\((?:[^)]*,\s*)?["'][wax]b?["']|\.to_csv\(|\.to_excel\(|O_CREAT|copyfile"""
    )
    found = {
        path.relative_to(root).as_posix()
        for path in root.rglob("*.py")
        if writes.search(path.read_text(encoding="utf-8"))
    }
    assert found == {"on_disk.py", "book/connect.py", "book/keep.py", "cli/streams.py"}
