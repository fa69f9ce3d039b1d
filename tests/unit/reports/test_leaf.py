"""A report on a screen says what it says on paper, word for word."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.book.pantry import pantry_book, read_pantry
from pantrymeals.actions.book.shown import glass, history, log, lots, part_jars
from pantrymeals.actions.dish import dish_answer
from pantrymeals.actions.larder import load_larder
from pantrymeals.reports.block import Block
from pantrymeals.reports.leaf import Leaf
from pantrymeals.reports.terminal.paper import Paper


def words_of(text: str) -> list[str]:
    return sorted(re.findall(r"\w+", text.casefold()))


def said(blocks: tuple[Block, ...]) -> str:
    out = []
    for block in blocks:
        pieces = [*block.words, *(piece for row in block.rows for cell in row for piece in cell)]
        out += [text for text, _ in pieces] + [block.label, block.aside, *block.heads, *block.remarks]
    return " ".join(out)


@pytest.mark.parametrize("what", ["lots", "history", "part jars", "glass", "log", "dish"])
def test_no_word_is_lost(demo_folder: Path, what: str) -> None:
    pantry = read_pantry(demo_folder, None, date(2026, 1, 17))
    with pantry_book(pantry, reading=True) as book:
        stock = pantry.known.by_name["Chicken stock"]
        made: dict[str, Answer] = {
            "lots": lots(book, stock), "history": history(pantry, book, stock), "part jars": part_jars(pantry, book),
            "glass": glass(pantry, book), "log": log(book, 5),
            "dish": dish_answer(load_larder(demo_folder, None, date(2026, 1, 17)), "Sunday roast chicken"),
        }  # fmt: skip
        answer = made[what]
        assert words_of(said(answer.blocks())) == words_of(answer.text(colour=False))


def test_a_box_for_a_pencil_is_on_paper_alone(demo_folder: Path) -> None:
    answer = dish_answer(load_larder(demo_folder, None, date(2026, 1, 17)), "Sunday roast chicken")
    assert "[ ]" in answer.text(colour=False)
    assert "[ ]" not in said(answer.blocks())


def test_a_long_name_is_whole_on_a_screen_and_cut_in_80_columns() -> None:
    long = "Dandelion and burdock, concentrate"
    assert Leaf().name_within(24, long) == long
    assert Paper().name_within(24, long) == "Dandelion and burdock."
    assert Paper().name_within(24, "Applesauce") == "Applesauce"


def test_a_screen_is_told_no_options_to_type() -> None:
    leaf = Leaf()
    leaf.line("More time (--seconds) may tell.")
    leaf.line("(--menu shows every meal and the pull list.)")
    leaf.heading("What pinches most, two of nine (--full has all)")
    assert [[text for text, _ in block.words] for block in leaf.blocks] == [
        ["More time may tell."], ["What pinches most, two of nine"],
    ]  # fmt: skip
