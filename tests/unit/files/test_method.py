"""How a dish is cooked, as a household writes it: a list of steps, or a block of text with a step on each line."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pantrymeals.records import Household

DISH = "name: Boiled potatoes\nrole: side\nserves: 4\nuses: [2 lb Potatoes]\n"
STEPS = ("Boil them; salt the water.", "Drain them.")


@pytest.mark.parametrize(
    "written",
    [
        "method:\n  - Boil them; salt the water.\n  - Drain\n    them.\n",
        "method: |\n  Boil them; salt the water.\n\n  Drain   them.\n",
    ],
)
def test_a_list_and_a_block_are_read_alike(read: Callable[..., Household], written: str) -> None:
    assert read({"recipes/potatoes.yaml": DISH + written}).dishes["Boiled potatoes"].method == STEPS


def test_without_a_method_there_are_no_steps(read: Callable[..., Household]) -> None:
    assert read({"recipes/potatoes.yaml": DISH}).dishes["Boiled potatoes"].method == ()


def test_a_step_that_is_no_text_is_told_with_its_line(told: Callable[..., list[str]]) -> None:
    written = "method:\n  - Boil them.\n  - {after: 20 minutes, drain: them}\n"
    assert told({"recipes/potatoes.yaml": DISH + written}) == [
        "recipes/potatoes.yaml:7:5: 'method' should be a plain text here; leave out its brackets or dashes"
    ]


def test_a_batch_day_has_no_method(told: Callable[..., list[str]]) -> None:
    batch = (
        "name: Egg day\nbatch: yes\nuses: [3 lb potatoes]\nmakes: ['2 2-egg tubs Eggs, beaten']\nmethod: [Boil it]\n"
    )
    (message,) = told({"recipes/egg-day.yaml": batch})
    assert message.startswith("recipes/egg-day.yaml:5:1: ")
    assert "method" in message
