"""`said`: the table's word in the book, of the dish named or of the last meal; undone, exported and in the notes."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pantrymeals.actions.book.table_word import last_dish, word_meant
from pantrymeals.actions.larder import load_larder
from pantrymeals.book.lines import ServedLine
from pantrymeals.cli.main import app
from pantrymeals.errors import NotUnderstood, PantryError
from pantrymeals.records import Household
from pantrymeals.season.notes import table_words as notes_of
from tests.kitchens.tiny import dish, kitchen
from tests.unit.book.kitchen import TODAY, a_book, enter

ROOT = Path(__file__).parents[3]
DAY = date(2026, 1, 17)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(ROOT / "tests" / "kitchens" / "hut", tmp_path_factory.mktemp("said") / "hut"))


def say(folder: Path, *words: str) -> str:
    done = CliRunner().invoke(app, [*words, "--larder", str(folder), "--day", str(DAY)])
    if isinstance(done.exception, PantryError):
        return str(done.exception)
    assert done.exit_code == 0, done.output
    return " ".join(done.output.split())


def home(folder: Path) -> Household:
    return load_larder(folder, DAY, DAY)


def test_a_word_is_entered_heeded_shown_and_taken_back(folder: Path) -> None:
    name = sorted(home(folder).dishes)[0]
    written = home(folder).dishes[name]
    assert "no meal of these days as served" in say(folder, "said", "again")
    said = say(folder, "said", "not", "again", name, "--who", "Wren")
    assert f"{name}: 'not again'" in said
    assert "Not again (Wren, 17 Jan): liking" in said
    say(folder, "said", "too", "much", name)
    heeded = home(folder)
    assert heeded.dishes[name].liking == max(-2, written.liking - 2)
    assert heeded.dishes[name].serves == written.serves * 9 / 8
    assert "not again (Wren, 17 Jan), too much (17 Jan)" in say(folder, "said").replace("Not", "not")
    assert notes_of(heeded, 2025) == (f"The table on {name}: not again (Wren); too much.",)
    assert notes_of(heeded, 2026) == ()
    CliRunner().invoke(app, ["undo", "--larder", str(folder)])
    assert home(folder).dishes[name].serves == written.serves
    assert home(folder).dishes[name].liking == max(-2, written.liking - 2)
    assert not [dish for _, dish in home(folder).recent]  # a word is no meal


def test_of_no_dish_it_is_the_last_meals_main_and_no_other_line_of_the_book() -> None:
    book = a_book()
    laid = kitchen(dishes=[dish("Roast"), dish("Slaw", role="side"), dish("Oats", role="breakfast")])
    with pytest.raises(PantryError, match="say of which dish"):
        last_dish(laid, book, TODAY)
    before = TODAY - timedelta(days=1)
    enter(book, [
        ServedLine(before, "supper", "Roast"), ServedLine(before, "supper", "Slaw"),
        ServedLine(before, "breakfast", "Oats"), ServedLine(before, "pulled", "Zeal"),
        ServedLine(before, "said: again", "Zucchini"), ServedLine(TODAY + timedelta(days=1), "supper", "Slaw"),
    ])  # fmt: skip
    assert last_dish(laid, book, TODAY) == (before, "supper", "Roast")
    assert [name for _, name in book.served()] == ["Roast", "Slaw", "Oats", "Slaw"]
    assert book.said_of_dishes() == ((before, "Zucchini", "again", ""),)


@pytest.mark.parametrize(
    ("text", "word", "of"),
    [
        ("again", "again", ""),
        ("Not Again roast", "not again", "Roast"),
        ("too  much", "too much", ""),
        ("too little slaw", "too little", "Slaw"),
    ],
)
def test_the_words_are_understood(text: str, word: str, of: str) -> None:
    meant = word_meant(kitchen(dishes=[dish("Roast"), dish("Slaw")]), text)
    assert (meant.word, meant.dish) == (word, of)


@pytest.mark.parametrize("text", ["lovely", "too", "notagain", "againroast", "again nothing like it", ""])
def test_another_word_is_asked_about(text: str) -> None:
    with pytest.raises(NotUnderstood):
        word_meant(kitchen(dishes=[dish("Roast")]), text)
