"""`start` and `first-count`: from an empty folder and a list in one's own hand to the household's files."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest
import yaml
from typer.testing import CliRunner

from pantrymeals.actions.start import answers_in, ask_all, start
from pantrymeals.cli.main import app
from pantrymeals.errors import MistakesInFiles, NotUnderstood, PantryError
from pantrymeals.files.household import read_household

KITCHENS = Path(__file__).resolve().parents[2] / "kitchens" / "first_evening"
DAY = date(2026, 11, 27)


def say(*words: str, code: int = 0, typed: str = "") -> str:
    result = CliRunner().invoke(app, list(words), input=typed)
    if isinstance(result.exception, PantryError):
        assert code == 1, result.exception
        return str(result.exception)
    assert result.exit_code == code, result.output
    return result.output


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_answers_make_a_household_that_can_be_read(tmp_path: Path) -> None:
    folder = tmp_path / "south"
    begun = start(folder, answers_in(KITCHENS / "southern.txt"), DAY)
    assert {file.name for file in begun.files} == {
        "household.yaml", "products.csv", "stock.csv", "calendar.yaml", "an-example.txt",
    }  # fmt: skip
    home = read_household(folder, today=DAY)
    assert [p.name for p in home.people] == ["Mere", "Tane", "Aroha", "Rua"]
    assert [float(p.portion) for p in home.people] == [1, 1.2, 0.8, 0.7]
    assert home.people[2].must_not == {"peanut"}
    assert (home.measures, home.altitude_ft, float(home.latitude or 0)) == ("metric", 394, -38.5)  # 120 m: 393.7 ft
    assert [(p.code, p.kind) for p in home.places] == [
        ("kitchen", ""), ("P", "pantry"), ("GF", "freezer"), ("shed", "shed"),
    ] or [p.kind for p in home.places] == ["", "pantry", "freezer", "shed"]  # fmt: skip
    assert {(p.name, p.kind, p.sizes[0].name) for p in home.products.values()} == {
        ("Milk", "fridge", "l"), ("Eggs", "fridge", "each"), ("Bread", "freezer", "loaf"),
    }  # fmt: skip
    saturdays = {a.day.weekday() for a in home.arrivals}
    assert saturdays == {5}
    assert not [d for d in home.dishes.values() if d.book == "household"]


def test_what_the_garden_gives_every_week_is_the_fresh_thing_and_not_its_bag(tmp_path: Path) -> None:
    answers = {
        "people": "Nora, Will",
        "coming_in": "3 lb green beans, 1 lb lettuce, 6 ears of corn every Sat; 2 lb strawberries every Tue",
    }
    start(tmp_path / "row", answers, DAY)
    (tmp_path / "list.txt").write_text("12 qt green beans\n6 qt bag strawberries\n5 lb bread flour\n3 lb butter\n")
    say("first-count", str(tmp_path / "list.txt"), "--larder", str(tmp_path / "row"), "--write")
    home = read_household(tmp_path / "row", today=DAY)
    fresh = {n: (p.fresh_days, p.eaten_before) for n, p in home.products.items() if p.fresh_days}
    assert fresh == {
        "Green beans, fresh": (7, ("Green beans",)), "Lettuce": (7, ()), "Ears of corn": (2, ()),
        "Strawberries, fresh": (2, ("Strawberries",)),
    }  # fmt: skip
    assert home.products["Green beans"].waits_on
    takers = {o.product for d in home.dishes.values() for use in d.uses for o in use.options}
    assert set(fresh) <= takers, "a dish of the starter book takes each"


def test_nothing_of_the_demo_comes_along(tmp_path: Path) -> None:
    start(tmp_path / "a", {"people": "Nora"}, DAY)
    text = "".join(f.read_text(encoding="utf-8") for f in (tmp_path / "a").rglob("*") if f.is_file())
    for word in ("Tarrow", "Maren", "Joss", "Edda", "Quillet", "goat", "venison"):
        assert word not in text
    sheet = yaml.safe_load((tmp_path / "a" / "household.yaml").read_text(encoding="utf-8"))
    assert sheet["meals"] == {
        "breakfast": {"roles": ["breakfast"]}, "lunch": {"roles": ["lunch"]}, "supper": {"roles": ["main", "side"]},
    }  # fmt: skip


def test_a_conversation_asks_again_what_is_not_clear() -> None:
    typed = iter(["Ash", "", "Nora 1948 x0.8, Will", "", "", "brunch", "supper", "imperial", "us", "", "here",
                  "05-15 10-01", "high", "300 m", "press", "milk", "1 gal milk every Sat"])  # fmt: skip
    wrong: list[str] = []
    answers = ask_all(lambda _: next(typed), wrong.append)
    assert answers["people"] == "Nora 1948 x0.8, Will"
    assert answers["measures"] == "us"
    assert len(wrong) == 6  # nobody, brunch, imperial, here, high, milk without a day
    assert "nobody is at this table" in wrong[0]


@pytest.mark.parametrize(
    ("answers", "why"),
    [
        ({}, "nobody is at this table"),
        ({"people": "Nora, nora"}, "two people are called"),
        ({"people": "Nora", "must_not": "Wil: nuts"}, "names nobody of the table"),
        ({"people": "Nora", "where": "somewhere"}, "no latitude and no two frosts"),
        ({"people": "Nora", "where": "95"}, "no latitude"),
        ({"people": "Nora", "altitude": "2750"}, "is no altitude"),
        ({"people": "Nora", "places": "press, press = shelf"}, None),
        ({"people": "Nora", "coming_in": "milk every Sat"}, "coming_in: milk"),
        ({"people": "Nora", "coming_in": "1 gal moon every Sat"}, "coming_in"),
        ({"people": "Nora", "measures": "stone"}, "will not do here"),
    ],
)
def test_an_answer_that_is_not_clear_is_named_and_nothing_is_written(
    answers: dict[str, str], why: str | None, tmp_path: Path
) -> None:
    if why is None:
        start(tmp_path / "x", answers, DAY)
        return
    with pytest.raises(NotUnderstood, match=why):
        start(tmp_path / "x", answers, DAY)
    assert not (tmp_path / "x").exists()


def test_a_mark_that_nothing_has_is_said(tmp_path: Path) -> None:
    said = start(tmp_path / "x", {"people": "Nora", "must_not": "Nora: gluten"}, DAY).said
    assert any("'gluten'" in line for line in said)
    walnut = start(tmp_path / "w", {"people": "Nora", "must_not": "Nora: walnut"}, DAY).said
    assert any("Its kind has the mark tree nut" in line for line in walnut)
    assert not any(
        "'wheat'" in line for line in start(tmp_path / "y", {"people": "N", "must_not": "N: wheat"}, DAY).said
    )


def test_an_answers_file_is_told_its_wrong_lines_and_a_household_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("people: Nora\npepole: Will\nnonsense\n", encoding="utf-8")
    with pytest.raises(MistakesInFiles) as told:
        answers_in(tmp_path / "a.txt")
    assert [m.place.line for m in told.value.mistakes] == [2, 3]
    (tmp_path / "ok.txt").write_text("people: Nora\n", encoding="utf-8")
    folder = str(tmp_path / "x")
    say("start", folder, "--answers", str(tmp_path / "ok.txt"))
    assert "has a household already" in say("start", folder, "--answers", str(tmp_path / "ok.txt"), code=1)
    (tmp_path / "y").mkdir()
    (tmp_path / "y" / "stock.csv").write_text("mine", encoding="utf-8")
    assert "is there already" in say("start", str(tmp_path / "y"), "--answers", str(tmp_path / "ok.txt"), code=1)
    assert (tmp_path / "y" / "stock.csv").read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "y" / "household.yaml").exists()


def test_milk_in_half_gallons_quarts_and_half_litres_comes_in(tmp_path: Path) -> None:
    told = {"1/2 gal milk": ("half-gal", "1"), "2 qt milk": ("qt", "2"), "500 ml cream": ("ml", "500"),
            "1 pt yogurt": ("pt", "1"), "a dozen eggs": ("each", "12"), "half a dozen eggs": ("each", "6")}  # fmt: skip
    for number, (said, (size, count)) in enumerate(told.items()):
        folder = tmp_path / str(number)
        start(folder, {"people": "Nora", "coming_in": f"{said} every Fri"}, DAY)
        assert f'amount: "{count} {size}"' in (folder / "calendar.yaml").read_text(encoding="utf-8"), said
        assert read_household(folder, today=DAY).arrivals


def test_start_can_be_typed(tmp_path: Path) -> None:
    out = say("start", str(tmp_path / "x"), typed="Ash\nNora\n\n\n\n\n\n\n\n\n\n")
    assert "The household Ash begins" in out


def test_a_list_is_shown_and_only_written_when_told_and_counts_once(tmp_path: Path) -> None:
    folder, sheet = tmp_path / "p", str(KITCHENS / "pints.csv")
    start(folder, answers_in(KITCHENS / "pints.txt"), DAY)
    before = {f: f.read_bytes() for f in folder.iterdir() if f.is_file()}
    shown = say("first-count", sheet, "--larder", str(folder), "--plain")
    assert "47 lines understood, 47 new products, 0 questions open." in shown
    assert "Nothing is written yet" in shown
    assert {f: f.read_bytes() for f in folder.iterdir() if f.is_file()} == before
    say("first-count", sheet, "--larder", str(folder), "--write")
    first = (folder / "stock.csv").read_bytes(), (folder / "products.csv").read_bytes()
    again = say("first-count", sheet, "--larder", str(folder), "--write")
    assert "47 lines were there already, and are counted once." in again
    assert ((folder / "stock.csv").read_bytes(), (folder / "products.csv").read_bytes()) == first
    home = read_household(folder, today=DAY)
    counted = {(lot.product, lot.size): lot.count for lot in home.lots}
    written = list(csv.reader((KITCHENS / "pints.csv").read_text(encoding="utf-8-sig").splitlines(), delimiter=";"))
    numbers = [int(row[1].split()[0]) for row in written[1:] if row[1]]
    assert sorted(counted.values()) == sorted(numbers)
    assert counted["Green beans", "pt"] == 14
    assert home.products["Canned chicken"].thing == "Chicken pieces"


def test_an_open_question_keeps_a_list_from_being_written(tmp_path: Path) -> None:
    folder, sheet = tmp_path / "s", str(KITCHENS / "southern-list.txt")
    start(folder, answers_in(KITCHENS / "southern.txt"), DAY)
    shown = say("first-count", sheet, "--larder", str(folder), "--plain")
    assert "Which is it: Tomatoes, crushed, Tomatoes, whole" in " ".join(shown.split())
    assert "1 questions are open" in say("first-count", sheet, "--larder", str(folder), "--write", code=1)
    assert rows(folder / "stock.csv") == []
    say("first-count", sheet, "--larder", str(folder), "--write", "--answer", "2=Tomatoes, crushed")
    written = Path(sheet).read_text(encoding="utf-8").splitlines()
    assert len(rows(folder / "stock.csv")) == len([w for w in written if any(c.isdigit() for c in w)]) - 1  # the total
    home = read_household(folder, today=DAY)
    assert home.products["Mince"].thaw_days == 1
    assert home.products["Tomatoes, crushed"].must_last_to == date(2027, 1, 1)


def test_a_file_saved_by_an_office_program_keeps_its_semicolons(tmp_path: Path) -> None:
    start(tmp_path / "x", {"people": "Nora"}, DAY)
    (tmp_path / "x" / "products.csv").write_text("product;thing;sizes;kind\n", encoding="utf-8")
    (tmp_path / "list.txt").write_text("7 pts green beans\n", encoding="utf-8")
    say("first-count", str(tmp_path / "list.txt"), "--larder", str(tmp_path / "x"), "--write")
    assert (tmp_path / "x" / "products.csv").read_text(encoding="utf-8").splitlines()[
        1
    ] == "Green beans;Green beans;pt;"
    (tmp_path / "x" / "products.csv").write_text("product;sizes;kind\n", encoding="utf-8")
    (tmp_path / "more.txt").write_text("5 pts salsa\n", encoding="utf-8")
    wrong = say("first-count", str(tmp_path / "more.txt"), "--larder", str(tmp_path / "x"), "--write", code=1)
    assert "has no column thing" in wrong or "product" in wrong


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("none.csv", None, "cannot be read"),
        ("old.xls", b"x", "save it as .xlsx or .csv"),
        ("bad.xlsx", b"no sheet", "cannot be read as a spreadsheet"),
        ("empty.txt", b"\n\n", "there is no line"),
    ],
)
def test_a_list_that_cannot_be_read_is_said(name: str, content: bytes | None, why: str, tmp_path: Path) -> None:
    start(tmp_path / "x", {"people": "Nora"}, DAY)
    if content is not None:
        (tmp_path / name).write_bytes(content)
    assert why in say("first-count", str(tmp_path / name), "--larder", str(tmp_path / "x"), code=1)


def test_a_book_sends_later_counts_to_the_count_sheet(tmp_path: Path) -> None:
    start(tmp_path / "x", {"people": "Nora"}, DAY)
    (tmp_path / "list.txt").write_text("7 pts green beans\n", encoding="utf-8")
    say("first-count", str(tmp_path / "list.txt"), "--larder", str(tmp_path / "x"), "--write")
    say("tally", "green", "beans", "--larder", str(tmp_path / "x"))
    (tmp_path / "more.txt").write_text("5 pts salsa\n", encoding="utf-8")
    wrong = say("first-count", str(tmp_path / "more.txt"), "--larder", str(tmp_path / "x"), "--write", code=1)
    assert "count sheet" in wrong


@pytest.mark.parametrize(
    ("options", "counts"),
    [
        (("--twice", "both"), {"9": 0, "18": 1}),
        (("--twice", "one"), {"9": 1, "18": 0}),
        (("--answer", "3=both"), {"9": 0, "18": 1}),
        (("--answer", "3=one"), {"9": 1, "18": 0}),
    ],
)
def test_a_line_that_says_the_same_is_asked_about(
    options: tuple[str, str], counts: dict[str, int], tmp_path: Path
) -> None:
    folder = tmp_path / "a"
    start(folder, {"people": "Nora", "places": "P pantry"}, DAY)
    listed = tmp_path / "list.txt"
    listed.write_text("9 hp raspberry jam\n3 pt applesauce\n9 hp raspberry jam\n2 pt applesauce\n", encoding="utf-8")
    asked = say("first-count", str(listed), "--larder", str(folder), "--write", code=1)
    assert "1 questions are open" in asked
    shown = " ".join(say("first-count", str(listed), "--larder", str(folder)).split())
    assert "It says the same as line 1: are there both, or is it one, written twice? Answer: 3=both or 3=one" in shown
    say("first-count", str(listed), "--larder", str(folder), *options, "--write")
    jams = [row["count"] for row in rows(folder / "stock.csv") if "jam" in row["product"].lower()]
    assert {count: jams.count(count) for count in counts} == counts
    # another count of the same lot is no line written twice: it is counted together, and says so
    assert [row["count"] for row in rows(folder / "stock.csv") if "apple" in row["product"].lower()] == ["5"]


def test_a_shelf_counted_again_is_asked_about_and_never_added_in_silence(tmp_path: Path) -> None:
    """The corrected list, given once more: 16 pints where 14 were written down are not thirty."""
    folder, listed = tmp_path / "a", tmp_path / "list.txt"
    start(folder, {"people": "Nora", "places": "P pantry"}, DAY)
    listed.write_text("14 pts green beans, 2025\n3 pt applesauce\n", encoding="utf-8")
    say("first-count", str(listed), "--larder", str(folder), "--write")
    listed.write_text("16 pts green beans, 2025\n3 pt applesauce\n5 pts green beans, 2024\n", encoding="utf-8")
    shown = " ".join(say("first-count", str(listed), "--larder", str(folder)).split())
    assert "There are 14 pt of this lot in stock.csv, line 2: are these so many more?" in shown
    assert "1=more or 1=skip" in shown
    assert "1 questions are open" in say("first-count", str(listed), "--larder", str(folder), "--write", code=1)
    say("first-count", str(listed), "--larder", str(folder), "--write", "--answer", "1=skip")
    assert [r["count"] for r in rows(folder / "stock.csv")] == ["14", "3", "5"]
    say("first-count", str(listed), "--larder", str(folder), "--write", "--answer", "1=more")
    assert [r["count"] for r in rows(folder / "stock.csv")] == ["14", "3", "5", "16"]


def test_an_edit_to_the_first_count_is_pointed_out_once_there_is_a_book(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    start(folder, {"people": "Nora"}, DAY)
    (tmp_path / "list.txt").write_text("7 pts green beans, 12/09/2025\n5 pts salsa\n", encoding="utf-8")
    say("first-count", str(tmp_path / "list.txt"), "--larder", str(folder), "--dates", "days", "--write")
    told = "stock.csv was changed"
    assert told not in say("run-out", "--larder", str(folder))
    say("tally", "green", "beans", "--larder", str(folder))
    assert told not in say("run-out", "--larder", str(folder))
    stock = folder / "stock.csv"
    first = stock.read_text(encoding="utf-8")
    stock.write_text(first.replace("pt,7,", "pt,9,"), encoding="utf-8")
    said = " ".join(say("run-out", "--larder", str(folder)).split())
    assert f"{told} since it was the first count (Green beans), and that is in no sum" in said
    assert "6 pt" in said  # seven less one, whatever the file says now
    stock.write_text(first + "Salsa,pt,3,2024,,,,,\n", encoding="utf-8")
    assert "(Salsa)" in say("run-out", "--larder", str(folder))
    stock.write_text(first, encoding="utf-8")
    assert told not in say("run-out", "--larder", str(folder))
    stock.unlink()
    assert told not in say("run-out", "--larder", str(folder))


def test_a_command_refused_before_the_first_count_begins_no_book_without_it(tmp_path: Path) -> None:
    """A stroke for what is not kept yet had begun an empty book: the list was refused, and no count was ever read."""
    folder, listed = tmp_path / "a", tmp_path / "list.txt"
    start(folder, {"people": "Nora", "places": "P pantry"}, DAY)
    listed.write_text("14 pts green beans, 2025\n3 pt applesauce\n", encoding="utf-8")
    say("tally", "green", "beans", "--larder", str(folder), code=1)
    say("first-count", str(listed), "--larder", str(folder), "--write")
    assert "14 pt" in say("lots", "green", "beans", "--larder", str(folder)), "to look at it, too"
    say("tally", "green", "beans", "--larder", str(folder))
    assert "13 pt" in say("lots", "green", "beans", "--larder", str(folder))
    assert "count sheet" in say("first-count", str(listed), "--larder", str(folder), "--write", code=1)


def test_what_no_process_is_tested_for_is_written_as_held(tmp_path: Path) -> None:
    folder, listed = tmp_path / "a", tmp_path / "list.txt"
    start(folder, {"people": "Nora", "places": "P pantry"}, DAY)
    jars = ("cream of celery soup", "mashed squash", "chicken noodle soup", "Sunday jars, with rice in it")
    lines = [*(f"{n} pts {name}" for n, name in enumerate(jars, start=2)), "9 pts green beans, serve with noodles"]
    listed.write_text("\n".join(lines) + "\n", encoding="utf-8")
    settled = [word for number in range(1, 5) for word in ("--answer", f"{number}=jar")]
    shown = " ".join(say("first-count", str(listed), "--larder", str(folder), *settled).split())
    assert shown.count("held, on no menu and in no total") == 4
    assert shown.count("C4 No tested home process") == 1
    say("first-count", str(listed), "--larder", str(folder), "--write", *settled)
    assert [(r["count"], r["state"]) for r in rows(folder / "stock.csv")] == [
        ("2", "held"), ("3", "held"), ("4", "held"), ("5", "held"), ("9", ""),
    ]  # fmt: skip
    assert "are counted once" in say("first-count", str(listed), "--larder", str(folder), "--write", *settled)
