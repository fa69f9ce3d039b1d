"""Hours free for batch days, as season.yaml writes them, and what is said of a slip."""

from __future__ import annotations

from pathlib import Path

from pantrymeals.files.gathering import Gathering
from pantrymeals.files.season import read_batch_hours
from pantrymeals.records import FreeHours


def read(folder: Path, text: str) -> tuple[list[tuple[str, int, tuple[int, int], tuple[int, int]]], list[str]]:
    path = folder / "season.yaml"
    path.write_text(text, encoding="utf-8")
    gathering = Gathering()
    rows: tuple[FreeHours, ...] = read_batch_hours(path, gathering)
    return [(r.weekday, r.minutes, r.first, r.last) for r in rows], [str(m) for m in gathering.found]


def test_weekdays_hours_and_the_part_of_the_year(tmp_path: Path) -> None:
    text = "batch_hours:\n  - {weekday: Sat, hours: 5, from: 01-01, to: 04-30}\n  - {weekday: Mon-Tue, hours: 2 1/2}\n"
    assert read(tmp_path, text) == (
        [
            ("Sat", 300, (1, 1), (4, 30)),
            ("Mon", 150, (1, 1), (12, 31)),
            ("Tue", 150, (1, 1), (12, 31)),
        ],
        [],
    )


def test_none_written_is_none(tmp_path: Path) -> None:
    assert read(tmp_path, "service: 0.8\n") == ([], [])
    assert read(tmp_path, "") == ([], [])


def test_slips_are_said_with_their_place(tmp_path: Path) -> None:
    text = (
        "batch_hours:\n"
        "  - {weekday: Caturday, hours: 5}\n"
        "  - {weekday: Sat, hours: 25}\n"
        "  - {weekday: Sat}\n"
        "  - {weekday: Sat, hours: 5, until: 04-30}\n"
    )
    rows, said = read(tmp_path, text)
    assert [place.split(" ")[0] for place in said] == [
        "season.yaml:2:15:",
        "season.yaml:3:27:",
        "season.yaml:4:5:",
        "season.yaml:5:30:",
    ]
    assert "not a day of the week" in said[0]
    assert "more hours than a day has" in said[1]
    assert "needs 'hours'" in said[2]
    assert "'until' is not known" in said[3]
    assert [row[:2] for row in rows] == [("Sat", 0), ("Sat", 300)]
