"""The first evening of two households, from an empty folder to a menu, a pull list and a run-out, typed as people type.

Both are invented: an elderly couple with pints and a small freezer, whose sheet an office program saved (semicolons, a
byte order mark, CRLF, blank lines, a totals row); and a metric household of four in the south, with kilos, 500 ml jars
and tomatoes in February.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest
from msgspec import Struct, field

ROOT = Path(__file__).resolve().parents[2]
KITCHENS = ROOT / "tests" / "kitchens" / "first_evening"
US = re.compile(
    r"\d[\d /.]* ?(qt|pt|hp|lb|oz|cups?|tbsp|tsp|quarts?|pints?|pounds?|ounces?|gal|gallons?|half-pints?)\b|"
    r"\b(quarts?|pints?|pounds?|ounces?|gallons?)\b"
)
METRIC = re.compile(r"\d[\d /.]* ?(ml|g|kg|l|litres?|kilos?|grams?)\b|\b(litres?|kilos?|grams?)\b")


class Evening(Struct):
    """One household's evening: its folder, what was typed, and what was said."""

    folder: Path
    typed: int = 0
    took: float = 0.0
    said: dict[str, str] = field(default_factory=dict)

    def say(self, name: str, *words: str, code: int = 0, cwd: Path = ROOT) -> str:
        began = time.monotonic()
        done = subprocess.run(
            [sys.executable, "-m", "pantrymeals", *words], cwd=cwd, capture_output=True, text=True, timeout=240
        )
        self.took += time.monotonic() - began
        self.typed += 1
        assert done.returncode == code, done.stdout + done.stderr
        self.said[name] = done.stdout + done.stderr
        return done.stdout


def evening(folder: Path, answers: str, listed: str, *settled: str) -> Evening:
    lines = (KITCHENS / answers).read_text(encoding="utf-8").splitlines()
    done = Evening(folder, typed=sum(bool(line.strip()) and not line.startswith("#") for line in lines))
    larder = ("--larder", str(folder))
    done.say("start", "start", str(folder), "--answers", str(KITCHENS / answers))
    done.say("look", "first-count", str(KITCHENS / listed), *larder, "--plain")
    done.say("write", "first-count", str(KITCHENS / listed), *larder, "--plain", "--write", *settled)
    done.said["json"] = done.say("json", "menu", *larder, "--json", "--seconds", "4", "--seed", "1", "--announce")
    done.say("menu", "announce", *larder, "--plain")
    done.say("run-out", "run-out", *larder, "--plain")
    done.say("eat-first", "eat-first", *larder, "--plain")
    done.say("pull", "pull", *larder)
    done.say("dishes", "dishes", *larder, "--plain")
    return done


@pytest.fixture(scope="module")
def pints(tmp_path_factory: pytest.TempPathFactory) -> Evening:
    return evening(tmp_path_factory.mktemp("p") / "larder", "pints.txt", "pints.csv")


@pytest.fixture(scope="module")
def south(tmp_path_factory: pytest.TempPathFactory) -> Evening:
    folder = tmp_path_factory.mktemp("s") / "larder"
    return evening(folder, "southern.txt", "southern-list.txt", "--answer", "2=Tomatoes, crushed")


@pytest.fixture(params=["pints", "south"])
def either(request: pytest.FixtureRequest) -> Evening:
    found: Evening = request.getfixturevalue(request.param)
    return found


def test_a_menu_of_seven_days_has_no_open_place_in_under_thirty_typed_lines(either: Evening) -> None:
    assert either.typed < 30
    assert either.took < 15 * 60
    plan = json.loads(either.said["json"])
    text = json.dumps(plan)
    assert '"broken": []' in text or "broken" not in text
    meals = plan["meals"] if "meals" in plan else plan["plan"]["meals"]
    assert len(meals) == 21
    assert all(meal["dishes"] for meal in meals)
    assert "left open" not in either.said["menu"]


def test_the_readmes_first_evening_is_as_it_says(tmp_path: Path) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = readme.split("<!-- the first evening -->")[1].split("```")[1]
    lines = [line for line in block.splitlines() if line.strip()]
    (tmp_path / "answers.txt").write_bytes((KITCHENS / "pints.txt").read_bytes())
    (tmp_path / "list.csv").write_bytes((KITCHENS / "pints.csv").read_bytes())
    done = Evening(tmp_path / "larder")
    for line in lines:
        program, *words = line.split()
        assert program == "pantrymeals"
        done.say(words[0], *words, *(("--seconds", "4") if words[0] == "menu" else ()), cwd=tmp_path)
    assert [line.split()[1] for line in lines] == ["start", "first-count", "first-count", "menu", "pull", "run-out"]
    assert "left open" not in done.said["menu"]
    assert "Entered, no." in done.said["pull"]


def test_what_was_pulled_is_in_the_book_and_the_pull_names_it(either: Evening) -> None:
    assert (either.folder / "put-up-book.sqlite").exists()
    assert "Entered, no." in either.said["pull"]
    assert "REACHES ITS DAY" in either.said["run-out"]


def test_nothing_of_the_other_kitchens_measures_is_on_a_screen(pints: Evening, south: Evening) -> None:
    for name in ("look", "menu", "run-out", "eat-first", "pull"):
        for line in south.said[name].splitlines():
            assert not US.search(line), (name, line)
        for line in pints.said[name].replace("g of protein", "").splitlines():  # as food tables have it everywhere
            assert not METRIC.search(line), (name, line)


def test_no_odd_part_of_a_pack_is_on_the_metric_screens(south: Evening) -> None:
    for name in ("menu", "pull", "eat-first"):
        assert not re.search(r"\d\.\d+ of a \d", south.said[name]), name


def test_nothing_of_another_household_is_on_a_screen(either: Evening) -> None:
    everything = "\n".join(either.said.values())
    for word in ("Tarrow", "Quillet", "Maren", "venison", "Venison"):
        assert word not in everything, word
