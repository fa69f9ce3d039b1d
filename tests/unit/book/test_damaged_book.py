"""A book whose bytes were changed on the disk: each command says so in a sentence, and nothing is written out of it."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pantrymeals.book.connect import BOOK_FILE
from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError

DEMO = Path(__file__).parents[3] / "demo"
PAGE = 4096
COMMANDS = (
    ("book", "check"), ("book", "log"), ("book", "whose"), ("lots", "applesauce"), ("part-jars",), ("empties",),
    ("history", "applesauce"), ("tally", "raspberry jam"), ("undo",), ("count", "sheet", "N1"), ("eat-first",),
)  # fmt: skip


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "tarrow"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("*.sqlite*", "announced"))
    assert CliRunner().invoke(app, ["book", "log", "--last", "1", "--larder", str(folder)]).exit_code == 0
    return folder


def spoil(folder: Path, sound: bytes, share: float, seed: int) -> bytes:
    """Change forty bytes in so many of the book's pages, its first left alone; what stands there now."""
    chance, book = random.Random(seed), bytearray(sound)
    pages = range(1, len(sound) // PAGE)
    for page in chance.sample(pages, max(3, int(share * len(pages)))):
        for at in chance.sample(range(PAGE), 40):
            book[page * PAGE + at] ^= chance.randrange(1, 256)
    for beside in folder.glob(f"{BOOK_FILE}-*"):
        beside.unlink()
    (folder / BOOK_FILE).write_bytes(book)
    return bytes(book)


@pytest.mark.parametrize(("share", "seed"), [(0.01, 1), (0.05, 2), (0.3, 3), (1.0, 4)])
def test_each_command_says_it_and_nothing_is_written_out(whole: Path, tmp_path: Path, share: float, seed: int) -> None:
    folder = tmp_path / "tarrow"
    shutil.copytree(whole, folder)
    sound = (folder / BOOK_FILE).read_bytes()
    for words in COMMANDS:
        spoil(folder, sound, share, seed)
        said = CliRunner().invoke(app, [*words, "--larder", str(folder)])
        if words == ("book", "check"):
            assert said.exit_code == 1
        # a command that reads none of the spoilt pages answers as ever; no other way out is there
        assert said.exception is None or isinstance(said.exception, (SystemExit, PantryError)), (words, said.exception)
        if isinstance(said.exception, PantryError):
            assert len(str(said.exception).splitlines()) == 1, words
    for words in (("export", "out.csv"), ("export", "out.xlsx"), ("backup", "out.sqlite")):
        bytes_then = spoil(folder, sound, share, seed)
        out = tmp_path / words[1]
        said = CliRunner().invoke(app, ["book", words[0], str(out), "--larder", str(folder)])
        assert isinstance(said.exception, PantryError)
        assert "this file is damaged" in str(said.exception)
        assert not out.exists()
        assert (folder / BOOK_FILE).read_bytes() == bytes_then, "the book is left as it is"


def test_a_sound_book_is_copied_out(whole: Path, tmp_path: Path) -> None:
    for words in (("export", "out.csv"), ("backup", "out.sqlite")):
        said = CliRunner().invoke(app, ["book", words[0], str(tmp_path / words[1]), "--larder", str(whole)])
        assert said.exit_code == 0
        assert (tmp_path / words[1]).exists()
