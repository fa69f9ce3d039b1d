"""The program speaks as its household does: no warehouse talk, no promise that a jar is safe, no process."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

NOT_SAID = re.compile(
    r"""\b(?: inventory | expir(?:y|es|ed|ing|ation) | best[ -]by | use[ -]by | sku | par[ ]level
      | reorder[ ]point | stock-?outs? | prepper | stockpil\w+ | survival[ ]food | meal[ -]?prep | meal[ ]kit
      | macros | swipe | smart[ ]list | certified | guaranteed | (?:is|are|be|still)[ ]safe
      | safe[ ]to[ ]eat | still[ ]good )\b""",
    re.IGNORECASE | re.VERBOSE,
)

PROCESS = re.compile(
    r"""\d+[ ]*(?:psi|kpa|pounds?[ ](?:of[ ])?pressure|lb[ ](?:of[ ])?pressure)\b
      | \b(?:process|headspace)\b[^.;]{0,30}\d | \bpressure[ ]can\w*[ ][^.;]{0,30}\d""",
    re.IGNORECASE | re.VERBOSE,
)


def shown_strings() -> Iterator[tuple[str, int, str]]:
    """Every text in the program that is not a docstring: all that it could show."""
    for path in sorted((ROOT / "pantrymeals").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        quiet = {
            id(node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in quiet:
                yield path.relative_to(ROOT).as_posix(), node.lineno, node.value


def household_texts() -> Iterator[tuple[str, int, str]]:
    """Every line of the demo, the starter book and the README's own command table."""
    files = [*(ROOT / "demo").rglob("*"), *(ROOT / "recipes").rglob("*")]
    for path in sorted(files):
        if path.suffix in (".yaml", ".csv", ".md"):
            for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
                yield path.relative_to(ROOT).as_posix(), number, line


def test_only_words_of_the_trade_are_shown() -> None:
    found = [(f"{file}:{line}", text) for file, line, text in shown_strings() if NOT_SAID.search(text)]
    assert found == []


def test_the_households_files_use_the_words_too() -> None:
    found = [(f"{file}:{line}", text) for file, line, text in household_texts() if NOT_SAID.search(text)]
    assert found == []


def test_no_process_time_pressure_or_headspace_is_shown() -> None:
    texts = [*shown_strings(), *household_texts()]
    assert [(f"{file}:{line}", text) for file, line, text in texts if PROCESS.search(text)] == []


@pytest.mark.parametrize(
    "text", ["The inventory", "expires 3 May", "this jar is safe", "best-by", "Use by Friday", "SKU"]
)
def test_the_guard_knows_what_is_not_said(text: str) -> None:
    assert NOT_SAID.search(text)


@pytest.mark.parametrize("text", ["at 11 psi", "process for 25 minutes", "headspace of 1/2 inch", "10 pounds pressure"])
def test_the_guard_knows_a_process(text: str) -> None:
    assert PROCESS.search(text)
