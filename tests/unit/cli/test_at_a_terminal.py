"""What a person at a terminal is asked, on a real one (a pty): never guessed, and nothing entered on a no."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = """household: Tiny
today: 2026-01-17
people: [{name: Ada, born: 1980-01-01}]
meals: {supper: {roles: [main]}}
places: [{code: N1, name: north wall, kind: pantry}]
"""
PRODUCTS = """product,kind,acid,sizes,loose
Raspberry jam,jar,high,hp,
Applesauce,jar,high,qt; pt,
Butter,fridge,,lb,yes
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "household.yaml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "products.csv").write_text(PRODUCTS, encoding="utf-8")
    (tmp_path / "stock.csv").write_text("product,size,count,place\nRaspberry jam,hp,9,N1\n", encoding="utf-8")
    return tmp_path


def at_a_terminal(folder: Path, words: str, answer: str) -> tuple[int, str]:
    """The command run on a pty with one answer typed ahead; its code and all that the terminal showed."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "pantrymeals", *words.split(), "--larder", str(folder)]
    run = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True)
    os.close(theirs)
    os.write(ours, answer.encode())
    shown = b""
    try:
        while part := os.read(ours, 4096):
            shown += part
    except OSError:  # the other end is closed: so a pty ends
        pass
    os.close(ours)
    return run.wait(timeout=60), " ".join(shown.decode().split())


def jam(folder: Path) -> str:
    said = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "lots", "jam", "--plain", "--larder", str(folder)],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    return " ".join(said.stdout.split())


@pytest.mark.parametrize(("answer", "code", "there"), [("n\n", 1, "9 hp"), ("y\n", 0, "5 hp")])
def test_a_size_it_does_not_come_in_is_asked_about_with_the_line_that_would_add_it(
    folder: Path, answer: str, code: int, there: str
) -> None:
    ended, shown = at_a_terminal(folder, "tally 1 qt raspberry jam", answer)
    assert "Raspberry jam comes in hp, not in 'qt'" in shown
    assert "write this under 'sizes' in products.csv, line 2: hp; qt" in shown
    assert "Is 4 hp Raspberry jam what is meant? [y/N]" in shown
    assert ended == code
    assert there in jam(folder)


def test_a_unit_that_cannot_be_measured_in_its_jars_is_refused_with_the_line_that_would_add_it(folder: Path) -> None:
    ended, shown = at_a_terminal(folder, "bring-in 5 lb raspberry jam", "y\n")
    assert ended == 1
    assert "Raspberry jam comes in hp, not in 'lb'; nothing was entered" in shown
    assert '"Raspberry jam, fresh",cellar,,lb,yes' in shown
    assert "9 hp" in jam(folder)


def test_a_day_ahead_is_asked_about(folder: Path) -> None:
    ended, shown = at_a_terminal(folder, "tally 1 hp raspberry jam --day 2062-01-18", "n\n")
    assert (ended, "is ahead of today" in shown, "Is that what is meant? [y/N]" in shown) == (1, True, True)
    assert "9 hp" in jam(folder)


def an_export_with_the_jam_twice(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder's own export, its jam twice; the folder is left without a book."""
    export = tmp_path_factory.mktemp("export") / "export.csv"
    run = [sys.executable, "-m", "pantrymeals", "book", "export", str(export), "--larder", str(folder)]
    subprocess.run(run, check=True, capture_output=True, timeout=60)
    lines = export.read_text(encoding="utf-8").splitlines()
    export.write_text("\n".join([*lines, next(line for line in lines if "jam" in line)]) + "\n", encoding="utf-8")
    for file in folder.glob("put-up-book.*"):
        file.unlink()
    return export


@pytest.mark.parametrize(("answer", "there"), [("both\n", "18 hp"), ("one\n", "9 hp"), ("neither\none\n", "9 hp")])
def test_rows_of_an_import_that_say_the_same_are_asked_about(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, answer: str, there: str
) -> None:
    export = an_export_with_the_jam_twice(folder, tmp_path_factory)
    ended, shown = at_a_terminal(folder, f"book import {export}", answer)
    assert "this row says the same as line 2" in shown
    assert "Do both count, or one?" in shown
    assert ended == 0, shown
    assert there in jam(folder)


def test_where_nobody_can_be_asked_it_is_said_how_to_answer(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    export = an_export_with_the_jam_twice(folder, tmp_path_factory)
    run = [sys.executable, "-m", "pantrymeals", "book", "import", str(export), "--larder", str(folder)]
    said = subprocess.run(run, capture_output=True, text=True, timeout=60)
    assert said.returncode == 1
    assert "says the same as line 2" in said.stderr
    assert "--twice both, or --twice one; nothing was entered" in said.stderr
    assert not (folder / "put-up-book.sqlite").exists()
    subprocess.run([*run, "--twice", "both"], check=True, capture_output=True, timeout=60)
    assert "18 hp" in jam(folder)
