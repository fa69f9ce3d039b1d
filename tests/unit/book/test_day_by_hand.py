"""A day in the demo by hand: every command as it is typed, and the sums equal throughout."""

from __future__ import annotations

import csv
import json
import os
import select
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

import pytest

from pantrymeals.actions.larder import load_larder
from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE
from pantrymeals.book.keep import what_is_wrong
from pantrymeals.plans.menu import ChosenUse, MenuPlan, Opening, PlannedDish, PlannedMeal, PullList
from pantrymeals.plans.outlook import Forecast
from pantrymeals.reports.json.plan import menu_json
from pantrymeals.reports.sheet import MenuSheet

ROOT = Path(__file__).parents[3]
QUICK_SECONDS = float(os.environ.get("PANTRYMEALS_QUICK", "2.0"))
"""Most processor seconds a command may take. Half a second is the aim on a machine of its own
(PANTRYMEALS_QUICK=0.5); a crowded one, where each second does less, is given more."""

Sums = dict[tuple[str, str, str, str, str], Fraction]
Say = Callable[..., str]


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    copy = tmp_path / "demo"
    shutil.copytree(ROOT / "demo", copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    return copy


@pytest.fixture
def say(demo: Path) -> Say:
    """Types a command, as a person would; fails on a traceback or a long wait."""

    def typed(*words: str, code: int = 0, larder: Path = demo) -> str:
        before = getrusage(RUSAGE_CHILDREN)
        done = subprocess.run(
            [sys.executable, "-m", "pantrymeals", *words, "--larder", str(larder)],
            capture_output=True, text=True, check=False, timeout=60,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        after = getrusage(RUSAGE_CHILDREN)
        took = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        assert "Traceback" not in done.stderr
        assert done.returncode == code, done.stderr
        # a spreadsheet of the whole book's 8,000 lines takes seconds, and is nobody's daily errand
        if not any(word.endswith(".xlsx") for word in words):
            assert took < QUICK_SECONDS, f"{' '.join(words)} took {took:.2f} s"
        return done.stdout + done.stderr

    return typed


def unfolded(said: str) -> str:
    """What was said as one line."""
    return " ".join(said.split())


def sums(folder: Path) -> Sums:
    with open_book(folder / BOOK_FILE) as book:
        assert what_is_wrong(book) == ()
        return {(h.lot.product, h.lot.put_up, h.lot.load, h.place, h.state): h.count for h in book.on_hand()}


def of(folder: Path, product: str, state: str = "") -> Fraction:
    return sum((n for key, n in sums(folder).items() if key[0] == product and key[4] == state), Fraction(0))


def a_menu(folder: Path, file: Path) -> Path:
    """A small week planned by hand, written as `menu --json` writes one."""
    household = load_larder(folder, None, date(2026, 1, 17))
    day = date(2026, 1, 18)

    def chosen(name: str, count: Fraction) -> ChosenUse:
        return ChosenUse(name, count * household.products[name].sizes[0].content)

    dish = PlannedDish(
        "main", "Bean pot soup", Fraction(1),
        (chosen("Vegetable soup base", Fraction(1)), chosen("Brown beans, canned", Fraction(1)),
         chosen("Cabbage", Fraction(1, 4))),
    )  # fmt: skip

    def opened(name: str, size: str, count: Fraction) -> Opening:
        return Opening(day, name, size, 1, uses=((day, chosen(name, count).amount),))

    plan = MenuPlan(
        first=day, days=7, meals=(PlannedMeal(day, "supper", Fraction(5), (dish,)),),
        openings=(opened("Vegetable soup base", "qt", Fraction(1)), opened("Brown beans, canned", "pt", Fraction(1)),
                  *((opened("Cabbage", "head", Fraction(1, 4)),) if household.products["Cabbage"].whole else ())),
        waste=(), shares=(), batch_work=(), pace=Fraction(1), cost=0.0, bound=0.0, gap=0.0, seconds=0.0,
        seed=1, ended="proven", open_roles=0,
    )  # fmt: skip
    sheet = MenuSheet(household, plan, (), PullList((), (), (), ()), Forecast(household.name, day, (), 0, 1, 7, 0, 0.0))
    file.write_text(menu_json(sheet), encoding="utf-8")
    return file


def test_a_day(demo: Path, say: Say, tmp_path: Path) -> None:
    # The count of one shelf, with three differences
    assert "Applesauce" in say("count", "sheet", "N1", "--plain")
    sheet = tmp_path / "n3.csv"
    say("count", "sheet", "N3", "--out", str(sheet))
    before = sums(demo)
    with sheet.open(newline="") as file:
        rows = list(csv.DictReader(file))
    for number, row in enumerate(rows):
        row["shelf"] = str(int(row["book"]) + {0: -1, 1: -2, 2: 1}.get(number, 0))
    with sheet.open("w", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    said = say("count", "enter", str(sheet), "--who", "Maren")
    assert f"{len(rows)} lines counted, 3 differences." in said
    now = sums(demo)
    changed = {key: now.get(key, Fraction(0)) - n for key, n in before.items() if now.get(key) != n}
    assert sorted(changed.values()) == [-2, -1, 1]
    assert "there is nothing to enter" in say("count", "enter", str(sheet))

    # Two loads, one failed seal
    beans = of(demo, "Green beans")
    said = say("put-up", "7 qt green beans", "--load", "load 1", "--source", "bulletin 2015", "--failed", "1")
    assert "1 qt did not seal: not counted as put up" in said
    assert "C2 Low-acid food: pressure canning by a tested process is the only recommended way" in unfolded(said)
    assert "C7 " in said
    assert "C10 " in said
    assert "C9 " in said
    said = say("put-up", "7 qt green beans", "--load", "load 2")
    assert "C1 Which tested recipe did this come from?" in said, "due for the first time: whole"
    assert "C2 Low-acid: only" in said, "short after the first reading"
    assert of(demo, "Green beans") == beans + 14

    # A load held, a tally
    say("hold", "load", "load 2")
    assert (of(demo, "Green beans"), of(demo, "Green beans", "held")) == (beans + 7, 7)
    jam = of(demo, "Raspberry jam")
    say("tally", "raspberry", "jam", "--who", "Corin")
    assert of(demo, "Raspberry jam") == jam - 1

    # The week pulled, undone, pulled with one swap
    menu = a_menu(demo, tmp_path / "week.json")
    before = sums(demo)
    assert "1 dish written down as served" in say("pull", str(menu))
    assert of(demo, "Brown beans, canned") == 19
    after_pull = load_larder(demo, None, date(2026, 1, 17))
    assert (date(2026, 1, 18), "Bean pot soup") in after_pull.recent, "the next menu knows"
    say("undo")
    assert sums(demo) == before
    say("pull", str(menu), "--instead", "1 pt baked beans for 1 pt brown beans, canned")
    assert (of(demo, "Brown beans, canned"), of(demo, "Baked beans")) == (20, 23)
    assert of(demo, "Vegetable soup base") == 23

    # A jar broken
    say("broken", "1", "qt", "applesauce")
    assert of(demo, "Applesauce") == 71

    # Out, and into an empty folder
    here = sums(demo)
    for suffix in (".csv", ".xlsx"):
        twin = tmp_path / f"twin{suffix}"
        say("book", "export", str(twin))
        empty = tmp_path / f"empty{suffix[1:]}"
        empty.mkdir()
        say("book", "import", str(twin), larder=empty)
        assert sums(empty) == here
        assert "never overwritten" in say("book", "import", str(twin), code=1, larder=empty)
    assert "All is well" in say("book", "check")


def test_what_is_said_wrongly_is_answered_plainly(demo: Path, say: Say) -> None:
    say("empties")
    before = sums(demo) if (demo / BOOK_FILE).exists() else {}
    assert "'beans' can be more than one product; say which:" in say("tally", "beans", code=1)
    assert "the nearest are:\n  Rhubarb" in say("tally", "rhubrab", "sauc", "cut", code=1).replace("\n\n", "\n")
    assert "the book has 10 hp Raspberry jam, not 99" in say("tally", "99 raspberry jam", code=1)
    assert "no place of household.yaml is called 'attic'" in say("move", "1 qt applesauce to attic", code=1)
    assert "say where to" in say("move", "1 qt applesauce", code=1)
    assert "low-acid jar" in say("hens", "1 qt green beans", code=1)
    assert "go with a menu" in say("pull", "1 qt applesauce", "--instead", "a for b", code=1)
    assert "nowhere.json: there is no such file" in say("pull", "nowhere.json", code=1)
    assert "not a day" in say("tally", "1 qt applesauce", "--day", "yesterday", code=2)
    assert "there is no caution 99" in subprocess.run(
        [sys.executable, "-m", "pantrymeals", "caution", "99"], capture_output=True, text=True, check=False
    ).stderr  # fmt: skip
    assert sums(demo) == before


def answered(demo: Path, answer: str, *words: str) -> str:
    """What a command says on a terminal, where a person types an answer to its question."""
    return typed_at_a_terminal(demo, answer.encode() + b"\n", *words)[0]


def typed_at_a_terminal(demo: Path, keys: bytes, *words: str, after: str = "") -> tuple[str, int]:
    """What is said at a terminal where these keys are pressed, once ``after`` was said; and the exit code."""
    import pty

    heard = b""
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.execv(sys.executable, [sys.executable, "-m", "pantrymeals", *words, "--larder", str(demo)])
    pressed = False
    while True:
        if not pressed and after in heard.decode(errors="replace"):
            os.write(terminal, keys)
            pressed = True
        if after and not select.select([terminal], [], [], 10)[0]:
            pressed = False  # nothing happened: whoever sits there presses once more
            continue
        try:
            piece = os.read(terminal, 4096)
        except OSError:  # the terminal closes with the command
            break
        if not piece:
            break
        heard += piece
    _, status = os.waitpid(pid, 0)
    return heard.decode(), os.waitstatus_to_exitcode(status)


def test_a_person_at_a_terminal_is_asked_which(demo: Path) -> None:
    heard = answered(demo, "2", "tally", "1 rhubarb")
    assert "Which?" in heard
    assert "1 x qt bag Rhubarb, cut" in heard
    assert of(demo, "Rhubarb, cut") == 14


def test_a_person_at_a_terminal_is_offered_the_load(demo: Path) -> None:
    heard = answered(demo, "y", "spoiled", "1 qt green beans", "--let-go")
    assert "Hold the other 2 qt Green beans of the same load" in heard
    assert of(demo, "Green beans", "held") == 2


CTRL_C = b"\x03"


def test_ctrl_c_at_a_question_says_that_nothing_was_entered(demo: Path, say: Say) -> None:
    say("empties")
    before = sums(demo)
    for words, question in (
        (("tally", "1 rhubarb"), "Which?"),
        (("tally", "raspberry jam", "--day", "2062-01-17"), "Is that what is meant?"),
    ):
        heard, code = typed_at_a_terminal(demo, CTRL_C, *words, after=question)
        assert (code, heard.count("Stopped; nothing was entered.")) == (130, 1), heard
        assert sums(demo) == before


def test_ctrl_c_at_the_question_after_an_entry_says_its_number(demo: Path, say: Say) -> None:
    say("empties")
    heard, code = typed_at_a_terminal(
        demo, CTRL_C, "spoiled", "1 qt green beans", "--let-go", after="Hold the other 2 qt Green beans"
    )
    number = heard.split("Entered, no. ")[1].split(":")[0]
    assert (code, heard.count(f"Stopped; entered by then: no. {number}.")) == (130, 1), heard
    assert of(demo, "Green beans", "held") == 0, "of the others nothing was entered"


@pytest.mark.parametrize(("answer", "gone"), [("n", 0), ("y", 1)])
def test_a_day_ahead_is_asked_about(demo: Path, say: Say, answer: str, gone: int) -> None:
    say("empties")
    before = of(demo, "Raspberry jam")
    heard = answered(demo, answer, "tally", "1 hp raspberry jam", "--day", "2062-01-17")
    assert "is ahead of today" in unfolded(heard)
    assert of(demo, "Raspberry jam") == before - gone


def test_spoiled_jars_bring_their_cautions_and_the_offer_of_the_load(demo: Path, say: Say) -> None:
    said = say("spoiled", "1 qt green beans", "--let-go")
    assert "C12 Treat low-acid food as if it held botulism toxin. Do not taste" in unfolded(said)
    assert "C13 If anyone may have eaten it" in said
    assert "There are 2 qt Green beans of the same load" in said
    assert of(demo, "Green beans", "held") == 0
    said = say("suspect", "1 qt green beans", "--hold-load")
    assert "C12 Treat low-acid food" in said, "spoilage is always said whole"
    assert (of(demo, "Green beans", "suspect"), of(demo, "Green beans", "held")) == (1, 1)


def test_gifts_barter_and_goods(demo: Path, say: Say) -> None:
    assert "C27 Name, date" in say("give", "2 hp raspberry jam to Nell")
    assert "C27 To give away" in say("give", "1 hp raspberry jam to Nell")
    butter = of(demo, "Butter")
    say("barter", "6 pt dilly beans for 2 lb butter")
    assert (of(demo, "Dilly beans"), of(demo, "Butter")) == (8, butter + 2)
    say("barter", "1 pt dilly beans for an afternoon's mowing")
    assert of(demo, "Dilly beans") == 7
    say("bring-in", "150 lb bread flour", "--bought")
    assert of(demo, "Bread flour") == 305
    said = say("lots", "dilly beans", "--plain")
    assert "tested, put-up book p. 30" in said
    say("hold", "source", "put-up book p. 30")
    assert of(demo, "Dilly beans") == 0


def test_history_part_jars_and_glass_are_shown(say: Say) -> None:
    assert "2024-25         11      84      5     1    80     9" in say("history", "applesauce", "--plain")
    shown = say("part-jars", "--plain")
    assert "Salsa" in shown
    assert "9 Jan 2026, past it" in shown
    assert "qt         346      148   14    508" in say("empties", "--plain")
    assert "count enter mid-winter.csv" in say("book", "log", "--last", "1", "--plain")


def test_copies_and_restoring(demo: Path, say: Say, tmp_path: Path) -> None:
    say("book", "backup", str(tmp_path / "copy.sqlite"))
    say("tally", "raspberry jam")
    assert of(demo, "Raspberry jam") == 9
    assert "The former book is" in say("book", "restore", str(tmp_path / "copy.sqlite"))
    assert of(demo, "Raspberry jam") == 10


def test_the_book_is_copied_out_though_a_file_of_the_household_has_a_mistake(
    demo: Path, say: Say, tmp_path: Path
) -> None:
    say("empties")  # a command of the household makes the book
    say("tally", "raspberry jam")
    before = sums(demo)
    (demo / "products.csv").write_text("no table\n")
    assert "products.csv" in say("tally", "raspberry jam", code=1)
    for words in (["export", str(tmp_path / "b.csv")], ["backup", str(tmp_path / "b.sqlite")], ["log"], ["check"]):
        say("book", *words)
    empty = tmp_path / "empty"
    empty.mkdir()
    say("book", "import", str(tmp_path / "b.csv"), larder=empty)
    assert sums(empty) == before


def test_the_same_key_from_the_command_line_counts_once(demo: Path, say: Say) -> None:
    say("tally", "raspberry jam", "--key", "phone-7")
    assert "Already in the book" in say("tally", "raspberry jam", "--key", "phone-7")
    assert of(demo, "Raspberry jam") == 9


def test_the_schema_is_printed() -> None:
    from pantrymeals.book.schema import SCHEMA

    done = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "book", "schema"], capture_output=True, text=True, check=True
    )
    assert done.stdout == SCHEMA


def test_the_menu_file_is_one_of_ours(demo: Path, tmp_path: Path) -> None:
    file = a_menu(demo, tmp_path / "week.json")
    assert json.loads(file.read_text())["first"] == "2026-01-18"
