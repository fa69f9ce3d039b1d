"""Heads and ranges say what is there: no range that is none, and whose pace it is."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace

import pytest
from msgspec.structs import replace

from pantrymeals.records import Option
from pantrymeals.reports.terminal.dish import option_words, with_their_most
from pantrymeals.reports.words import own_pace_words
from tests.kitchens.tiny import jar, kitchen

HOME = kitchen(products=[jar("Beans"), jar("Peas")], lots=[], dishes=[])


def told(*amounts: int) -> list[str]:
    """How so many options of Beans, of these quarts, and one of Peas are told."""
    quart = HOME.products["Beans"].sizes[0].content
    options = [Option("Beans", quart * Fraction(n), "") for n in amounts]
    options.append(replace(options[0], product="Peas"))
    return [option_words(HOME, here, first=True, most=most) for here, most in with_their_most(options)]


@pytest.mark.parametrize(
    ("amounts", "said"),
    [
        ((1,), ["1 qt Beans"]),
        ((1, 2), ["1 qt to 2 qt Beans"]),
        ((1, 1), ["1 qt Beans", "1 qt Beans"]),
        ((2, 1), ["2 qt Beans", "1 qt Beans"]),
        ((1, 2, 3), ["1 qt to 2 qt Beans", "3 qt Beans"]),
    ],
)
def test_a_range_rises_and_nothing_of_three_is_lost(amounts: tuple[int, ...], said: list[str]) -> None:
    assert told(*amounts)[: len(said)] == said
    assert told(*amounts)[-1].endswith("Peas")


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ([("the book",), ()], "as you have been eating"),
        ([("the book",), ("the book", "your dishes")], "by what is known so far"),
        ([("standing use",)], "by what is known so far"),
    ],
)
def test_a_pace_is_called_what_it_rests_on(by: list[tuple[str, ...]], said: str) -> None:
    assert own_pace_words([SimpleNamespace(told_by=one) for one in by]) == said  # type: ignore[misc]
