"""Files that will not open, and files full of mistakes."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from pantrymeals.units import take_number

Told = Callable[..., list[str]]


def test_a_file_that_may_not_be_opened(told: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    read_bytes = Path.read_bytes

    def refuse(path: Path) -> bytes:
        if path.name == "stock.csv":
            raise PermissionError(13, "Permission denied")
        return read_bytes(path)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert told({}) == ["stock.csv: this file cannot be read (Permission denied); see who may open it"]


def test_thousands_of_wrong_names_are_told_in_a_few_seconds(told: Told) -> None:
    rows = "".join(f"Gren beans {n},qt,1\n" for n in range(20_000))
    start = time.process_time()  # of its own work, however busy the machine
    messages = told({"stock.csv": "product,size,count\n" + rows})
    assert time.process_time() - start < 10
    assert len(messages) == 20_000
    assert messages[0] == "stock.csv:2:1: 'Gren beans 0' is not in products.csv; did you mean 'Green beans'?"


@pytest.mark.parametrize(
    ("text", "rest"),
    [("1/2lb Onions", "lb Onions"), ("1 1/2 qt", "qt"), ("½pt", "pt"), ("1 1/2-cup bag", "1/2-cup bag")],
)
def test_where_a_number_ends(text: str, rest: str) -> None:
    taken = take_number(text)
    assert taken is not None
    assert taken[1] == rest


@pytest.mark.parametrize("text", ["1,000 lb", "12,500", "9" * 5000, "1/0 lb", "", "lots", "²", "² qt", "①"])
def test_what_is_no_number(text: str) -> None:
    assert take_number(text) is None
