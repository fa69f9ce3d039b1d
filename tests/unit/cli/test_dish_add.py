"""`dish add`: twenty dishes of many habits of writing, in two kitchens, with no wrong number; what is unsure is asked.

Amounts of the same measure are reckoned here by hand from the NIST factors; those that were weighed, from the grams of
a cup or a piece below (USDA Standard Reference, Release 26, file WEIGHT), to within half an ounce, 5 g or an eighth.
"""

from __future__ import annotations

import json
import re
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
import yaml
from msgspec import Struct, field

from pantrymeals.actions.dish_add import answers_of, read_dish, told_in, with_dish, write_dish_file
from pantrymeals.actions.dish_export import export_dishes
from pantrymeals.actions.first_count import first_count, write_count
from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.start import answers_in, start
from pantrymeals.errors import NotUnderstood, PantryError
from pantrymeals.files.dishes_told.json_ld import recipes_in
from pantrymeals.files.dishes_told.minutes import minutes_of
from pantrymeals.files.dishes_told.text import dishes_in
from pantrymeals.records import Household
from tests.unit.cli.test_first_evening import say

KITCHENS = Path(__file__).resolve().parents[2] / "kitchens"
DISHES = KITCHENS / "dishes"
DAY = date(2026, 11, 27)
PT, CUP, TBSP = Fraction("473.176473"), Fraction("236.5882365"), Fraction("14.78676478125")
LB, OZ = Fraction("453.59237"), Fraction("28.349523125")
ASKED_OF_ALL = {"role": "main", "serves": "4", "minutes": "60", "hands-on": "20"}


class Expected(Struct, frozen=True):
    """exact: base amounts by product; weighed: (grams or ml, how near); asked: lines; notes: how many lines are."""

    exact: dict[str, Fraction | int] = field(default_factory=dict)
    weighed: dict[str, tuple[Fraction | int, Fraction | int]] = field(default_factory=dict)
    asked: tuple[str, ...] = ()
    notes: int = 0
    steps: int = 1


HALF_OZ = OZ / 4 + Fraction(1, 100)  # half of the step of half an ounce
EIGHTH_LB, EIGHTH_CUP = LB / 16, CUP / 16
TWENTY = {
    "p01.txt": Expected({"Beef chunks": PT, "Potatoes": LB * 3 / 2, "Onions": LB / 2, "Chicken stock": 2 * CUP},
                        asked=("8", "role", "hands-on"), notes=2, steps=2),
    "p02.txt": Expected({"Canned chicken": PT, "Peas": PT},
                        {"Flour": (Fraction(3, 2) * 125, HALF_OZ), "Butter": (Fraction(227, 2), HALF_OZ)},
                        asked=("role", "serves", "minutes", "hands-on"), notes=2, steps=4),
    "p03.txt": Expected({"Bread": 1, "Milk": 2 * PT, "Eggs": 3}, {"Sugar": (150, HALF_OZ)},
                        asked=("role", "minutes", "hands-on"), notes=2, steps=2),
    "p04.txt": Expected({"Potatoes": 2 * LB, "Onions": LB, "Beef chunks": PT}, {"Butter": (Fraction(142, 10), HALF_OZ)},
                        asked=("role", "serves", "minutes", "hands-on")),
    "p05.txt": Expected({"Butter": LB / 2, "Eggs": 1, "Honey": CUP / 4},
                        {"Rolled oats": (162, HALF_OZ), "Flour": (125, HALF_OZ)}, steps=2),
    "p06.txt": Expected({}, {"Tomatoes, crushed": (Fraction(29, 2) * OZ / 240 * CUP, EIGHTH_CUP),
                             "Rice": (370, HALF_OZ)},
                        asked=("4", "6", "8", "role", "serves", "minutes", "hands-on"), notes=1),
    "p07.txt": Expected({"Peaches in syrup": PT, "Pears in syrup": PT, "Honey": 3 * TBSP}, asked=("hands-on",)),
    "p08.txt": Expected({"Cabbage": 1}, {"Apples": (364, HALF_OZ), "Sugar": (Fraction(25, 2), HALF_OZ)},
                        asked=("7", "minutes", "hands-on"), notes=1),
    "p09.txt": Expected({"Sweet corn": 2 * PT, "Chicken stock": PT, "Bacon": 4 * OZ}, {"Potatoes": (510, EIGHTH_LB)},
                        asked=("role", "serves", "minutes", "hands-on")),
    "p10.txt": Expected({"Pork chops": 4, "Baked beans": PT, "Brown beans, canned": PT},
                        asked=("5", "6", "7", "role", "serves", "minutes", "hands-on")),
    "p11.html": Expected({"Ground beef": LB, "Noodles": LB / 2, "Tomatoes, crushed": PT}, {"Sugar": (100, HALF_OZ)},
                         notes=1, steps=3),
    "p12.json": Expected({"Rhubarb, stewed": PT / 2}, {"Rolled oats": (81, HALF_OZ)}, asked=("minutes", "hands-on"),
                         notes=1, steps=2),
    "s01.txt": Expected({"Mince": 500, "Spuds": 1200, "Passata": 500, "Beef stock": 250, "Tomato chutney": 15,
                         "Butter": 50}, {"Onions": (220, 3)}, asked=("role", "hands-on"), steps=2),
    "s02.txt": Expected({"Silverbeet": 500, "Chicken stock": 1000, "Oil": 30},
                        {"Lentils": (192 * 250 / CUP, 3)}, asked=("5", "role", "serves", "minutes", "hands-on")),
    "s03.txt": Expected({"Kumara": 1500, "Oil": 60}, asked=("role", "serves", "minutes", "hands-on"), notes=1),
    "s04.txt": Expected({"Apple sauce": 1000, "Butter": 125},
                        {"Flour": (125 * 250 / CUP, 3), "Oats": (81 * 250 / CUP, 3), "Sugar": (100 * 250 / CUP, 3)},
                        asked=("role", "serves", "minutes", "hands-on")),
    "s05.txt": Expected({"Fish fillets": 500, "Spuds": 1000, "Milk": 300, "Butter": 30},
                        asked=("8", "minutes", "hands-on")),
    "s06.txt": Expected({"Peas": 1000, "Chicken stock": 1000},
                        asked=("4", "6", "role", "serves", "minutes", "hands-on")),
    "s07.html": Expected({"Lamb roast": 1, "Spuds": 1000, "Carrots": 500, "Pumpkin": Fraction(1, 2)},
                         asked=("5", "role"), notes=1),
    "s08.txt": Expected({"Eggs": 1, "Milk": Fraction(375, 2)},
                        {"Flour": (125 * 250 / CUP, 3), "Sugar": (200 * 30 / CUP, 3), "Onions": (110, 3)},
                        asked=("8", "10", "role", "serves", "minutes", "hands-on"), notes=1),
}  # fmt: skip


def begun(folder: Path, answers: str, listed: str, *settled: str) -> Path:
    start(folder, answers_in(KITCHENS / "first_evening" / answers), DAY)
    write_count(folder, first_count(folder, KITCHENS / "first_evening" / listed, "", settled, DAY))
    return folder


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    root = tmp_path_factory.mktemp("kitchens")
    return {
        "p": begun(root / "pints", "pints.txt", "pints.csv"),
        "s": begun(root / "south", "southern.txt", "southern-list.txt", "2=Tomatoes, crushed"),
    }


@pytest.fixture(scope="module")
def homes(folders: dict[str, Path]) -> dict[str, Household]:
    return {which: load_larder(folder, None, DAY) for which, folder in folders.items()}


def test_there_are_twenty() -> None:
    assert sorted(TWENTY) == sorted(p.name for p in DISHES.iterdir())
    assert len(TWENTY) == 20


@pytest.mark.parametrize("name", sorted(TWENTY))
def test_a_dish_has_no_wrong_number_and_what_is_unsure_is_asked(name: str, homes: dict[str, Household]) -> None:
    home, expected = homes[name[0]], TWENTY[name]
    told = told_in(DISHES / name)
    read = read_dish(home, told, {})
    assert tuple(q.key for q in read.questions) == expected.asked
    assert len(read.noted) == expected.notes
    assert len(told.steps) == expected.steps
    answers = {q.key: [ASKED_OF_ALL.get(q.key, "note")] for q in read.questions}
    if told.minutes and told.minutes < 20:
        answers["hands-on"] = ["5"]
    settled = read_dish(home, told, answers)
    assert not settled.questions
    _, dish = with_dish(home, settled)
    got = {option.product: option.amount for use in dish.uses for option in use.options}
    assert set(got) == {*expected.exact, *expected.weighed}
    for product, base in expected.exact.items():
        assert got[product] == base, product
    for product, (base, near) in expected.weighed.items():
        assert abs(got[product] - base) <= near, (product, float(got[product]))
    weighed = [line for line in settled.taken if set(line.products) & set(expected.weighed)]
    assert all(any("as the catalogue weighs it" in guess for guess in line.guesses) for line in weighed)
    assert dish.method == told.steps
    for line in told.lines:  # nothing is dropped in silence: each line is taken, or stands in the note
        assert line.written in settled.text


def test_salt_to_taste_is_a_note_and_carries_what_a_must_not_names(homes: dict[str, Household], tmp_path: Path) -> None:
    page = tmp_path / "d.txt"
    page.write_text(
        "Rice\nServes 2\nTime: 20 min\n1 lb rice\nsalt to taste\n1 tsp peanut butter\n\nBoil.\n", encoding="utf-8"
    )
    read = read_dish(homes["p"], told_in(page), answers_of(["role=side", "hands-on=5"]))
    assert [n.written for n in read.noted] == ["salt to taste", "1 tsp peanut butter"]
    _, dish = with_dish(homes["p"], read)
    assert "peanut" in dish.contents
    assert "salt to taste" in dish.note


@pytest.mark.parametrize(
    ("line", "answer", "product", "base"),
    [
        ("2-3 carrots", "2=3", "Carrots", 3 * 61),
        ("2 to 3 cans of corn", "2=2 pt", "Sweet corn", 2 * PT),
        ("1 can of corn", "2=1 pt", "Sweet corn", PT),
        ("8 oz milk", "2=8 fl oz", "Milk", CUP),
        ("2 slices bacon", "2=3 oz", "Bacon", 3 * OZ),
        ("1 lb venison", "2=1 pt Beef chunks", "Beef chunks", PT),
        ("1 cup chicken", "2=Canned chicken", "Canned chicken", CUP),
        ("1 cup parsnips", "2=carrots", "Carrots", Fraction(128)),
    ],
)
def test_an_answer_settles_a_line(
    line: str, answer: str, product: str, base: Fraction, homes: dict[str, Household], tmp_path: Path
) -> None:
    page = tmp_path / "d.txt"
    page.write_text(f"A dish\n{line}\n\nCook it.\n", encoding="utf-8")
    told = told_in(page)
    asked = read_dish(homes["p"], told, {})
    assert "2" in [q.key for q in asked.questions], line
    read = read_dish(homes["p"], told, answers_of([answer, "role=main", "serves=2", "minutes=9", "hands-on=9"]))
    assert not read.questions, read.questions
    _, dish = with_dish(homes["p"], read)
    (option,) = dish.uses[0].options
    assert option.product == product
    assert abs(option.amount - base) <= HALF_OZ


def test_a_range_is_kept_as_a_range(homes: dict[str, Household], tmp_path: Path) -> None:
    page = tmp_path / "d.txt"
    page.write_text("A dish\n2 to 3 cups chicken stock\n1-2 lb rice\n\nCook it.\n", encoding="utf-8")
    read = read_dish(homes["p"], told_in(page), answers_of(["role=main", "serves=2", "minutes=9", "hands-on=9"]))
    assert [line.options for line in read.taken] == [("2-3 cup Chicken stock",), ("1-2 lb Rice",)]
    _, dish = with_dish(homes["p"], read)
    assert [[o.amount for o in use.options] for use in dish.uses] == [[2 * CUP, 3 * CUP], [LB, 2 * LB]]


@pytest.mark.parametrize(
    ("answer", "portions"),
    [("serves=6", 6), ("serves=6 people", 6), ("serves=six", None), ("serves=4 to 6", None), ("", 4)],
)
def test_how_many_it_serves_is_what_was_answered_or_asked_again(
    answer: str, portions: int | None, homes: dict[str, Household], tmp_path: Path
) -> None:
    page = tmp_path / "d.txt"
    page.write_text("A dish\nServes 4\n1 lb rice\n\nCook it.\n", encoding="utf-8")
    said = ["role=main", "minutes=9", "hands-on=9", *([answer] if answer else [])]
    read = read_dish(homes["p"], told_in(page), answers_of(said))
    assert [q.key for q in read.questions] == ([] if portions else ["serves"])
    assert portions is None or with_dish(homes["p"], read)[1].serves == portions


def test_minutes_that_are_no_plain_number_are_asked_about(homes: dict[str, Household], tmp_path: Path) -> None:
    page = tmp_path / "d.txt"
    page.write_text("A dish\nServes 4\n1 lb rice\n\nCook it.\n", encoding="utf-8")
    read = read_dish(homes["p"], told_in(page), answers_of(["role=main", "minutes=\u00b2", "hands-on=9"]))
    assert [q.key for q in read.questions] == ["minutes"]


def test_letters_that_are_not_utf_8_are_said_to_be_taken_for_granted(tmp_path: Path) -> None:
    page = tmp_path / "d.txt"
    page.write_bytes("Crème\n1 lb rice\n\nCook it.\n".encode("cp1252"))
    told = told_in(page)
    assert told.name == "Crème"
    assert any("UTF-8" in guess for guess in told.guesses)


def test_it_is_written_only_when_told_and_the_menu_knows_it(tmp_path: Path) -> None:
    folder = begun(tmp_path / "a", "pints.txt", "pints.csv")
    before = sorted(folder.rglob("*"))
    page, whole = str(DISHES / "p04.txt"), ("--role", "main", "--serves", "2", "--minutes", "40", "--hands-on", "25")
    shown = say("dish", "add", page, "--larder", str(folder), *whole)
    assert "0 questions open" in shown
    assert "HOW IT IS COOKED" in shown
    assert sorted(folder.rglob("*")) == before
    assert "questions are open" in say("dish", "add", page, "--larder", str(folder), "--write", code=1)
    assert sorted(folder.rglob("*")) == before
    say("dish", "add", page, "--larder", str(folder), *whole, "--write", "--days-between", "12")
    dish = load_larder(folder, None, DAY).dishes["Hash"]
    assert (dish.role, dish.serves, dish.minutes, dish.hands_on_minutes, dish.days_between) == ("main", 2, 40, 25, 12)
    assert "Hash" in say("dish", "hash", "--larder", str(folder))
    # the same dish twice is asked about, under its name and under another
    asked = " ".join(say("dish", "add", page, "--larder", str(folder), *whole).split())
    assert "There is a dish 'Hash' already" in asked
    other = tmp_path / "other.txt"
    other.write_text((DISHES / "p04.txt").read_text(encoding="utf-8").replace("Hash", "Fry-up", 1), encoding="utf-8")
    asked = " ".join(say("dish", "add", str(other), "--larder", str(folder), *whole).split())
    assert "It takes and does what 'Hash' does" in asked
    say("dish", "add", str(other), "--larder", str(folder), *whole, "--name", "Fry-up", "--write")
    assert {"Hash", "Fry-up"} <= set(load_larder(folder, None, DAY).dishes)


def test_dishes_go_out_as_json_ld_and_come_in_again(homes: dict[str, Household], tmp_path: Path) -> None:
    home = homes["p"]
    read = read_dish(home, told_in(DISHES / "p11.html"), {})
    there, dish = with_dish(home, read)
    file = tmp_path / "out.jsonld"
    assert "1 dish written" in export_dishes(there, file, [])
    out = json.loads(file.read_text(encoding="utf-8"))
    assert (out["@context"], out["@type"], out["recipeYield"]) == ("https://schema.org", "Recipe", "4")
    assert (out["totalTime"], out["recipeIngredient"][0]) == ("PT40M", "1 lb Ground beef")
    again = read_dish(home, told_in(file), {})
    assert not again.questions
    _, back = with_dish(home, again)
    assert [u.options[0].amount for u in back.uses] == [u.options[0].amount for u in dish.uses]
    assert (back.name, back.role, back.serves, back.minutes, back.hands_on_minutes, back.method) == (
        dish.name, dish.role, dish.serves, dish.minutes, dish.hands_on_minutes, dish.method,
    )  # fmt: skip


def test_all_of_the_demo_goes_out(tmp_path: Path) -> None:
    demo = load_larder(KITCHENS.parents[1] / "demo", None, date(2026, 1, 17))
    export_dishes(demo, tmp_path / "all.json", [])
    graph = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))["@graph"]
    assert {r["name"] for r in graph} == {d.name for d in demo.dishes.values() if d.book == "household"}
    assert all(r["recipeIngredient"] and re.fullmatch(r"PT\d+M", r["totalTime"]) for r in graph)


def test_a_process_for_jars_is_never_taken_over(homes: dict[str, Household]) -> None:
    told = told_in(DISHES / "p09.txt")
    assert told.steps == ("Top with the bacon.",)
    read = read_dish(homes["p"], told, answers_of(["role=main", "serves=4", "minutes=30", "hands-on=9"]))
    assert "85" not in read.text
    assert "tested recipe" in read.told.left_out[0].why


PROCESSES = (
    "Pressure can pints 75 minutes at 11 pounds.", "Process quarts for 90 minutes.", "at 10 pounds pressure",
    "leave 1 inch headspace", "in a water bath for 20 minutes",
)  # fmt: skip


@pytest.mark.parametrize("said", PROCESSES)
def test_nor_from_a_note_or_a_line_of_what_it_takes(said: str, homes: dict[str, Household]) -> None:
    """Wherever it stands: the words that can be shown stay, and what is left out is told."""
    taken = f"2 qt green beans ({said.rstrip('.')}), drained"
    text = f"Beans on a plate\n\nIngredients:\n{taken}\n\nMethod:\nHeat them.\n\nNote: {said}\n"
    page = {
        "@context": "https://schema.org", "@type": "Recipe", "name": "Beans on a plate", "description": said,
        "recipeIngredient": [f"2 qt green beans, {said}"], "recipeInstructions": ["Heat them.", said],
    }  # fmt: skip
    of_page = recipes_in(json.dumps(page), "page.json")[0]
    for told, lines in ((dishes_in(text)[0], "2 qt green beans, drained"), (of_page, "2 qt green beans")):
        assert [line.written for line in told.lines] == [lines]
        assert told.steps == ("Heat them.",)
        assert told.notes == ()
        assert {left.written for left in told.left_out} >= {"a part of ingredient 1", "note 1"}
        read = read_dish(
            homes["p"], told, answers_of(["role=side", "serves=4", "minutes=30", "hands-on=9", "days-between=3"])
        )
        assert not re.search(r"75|90|11|10|20|inch|pressure|water bath|process", read.text, re.IGNORECASE)


def test_a_jar_that_is_opened_and_simmered_is_no_process() -> None:
    plain = "You can use two jars; simmer them 20 minutes."
    (told,) = dishes_in(f"Soup\n\nIngredients:\n2 qt stock\n\nMethod:\n{plain}\n")
    assert told.steps == (plain,)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("PT1H20M", 80), ("PT45M", 45), ("P0DT2H", 120), ("1 hr 20 min", 80), ("45 minutes", 45), ("1 1/2 hours", 90),
     ("20-30 minutes", None), ("overnight", None), ("PT0M", None), ("", None), ("1 h", 60)],
)  # fmt: skip
def test_lengths_of_time(text: str, minutes: int | None) -> None:
    assert minutes_of(text) == minutes


def test_several_dishes_in_one_file_are_told_apart(tmp_path: Path) -> None:
    both = (
        (DISHES / "p04.txt").read_text(encoding="utf-8")
        + "\n-----\n"
        + (DISHES / "p08.txt").read_text(encoding="utf-8")
    )
    assert [d.name for d in dishes_in(both)] == ["Hash", "Red cabbage"]
    (tmp_path / "two.txt").write_text(both, encoding="utf-8")
    with pytest.raises(NotUnderstood, match="has 2 dishes: 'Hash', 'Red cabbage'"):
        told_in(tmp_path / "two.txt")
    assert told_in(tmp_path / "two.txt", "cabbage").name == "Red cabbage"


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("none.txt", None, "cannot be read"),
        ("empty.txt", b"\n\n", "there is no dish"),
        ("page.html", b"<html><body>words</body></html>", "no Recipe as JSON-LD"),
        ("bad.json", b"{nonsense", "is no JSON"),
        ("list.json", b"[1, 2]", "no Recipe as JSON-LD"),
        ("picture.txt", b"PNG\x00\x01", "is no text"),
    ],
)
def test_what_is_no_dish_is_said(name: str, content: bytes | None, why: str, tmp_path: Path) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(PantryError, match=why):
        told_in(tmp_path / name)


def test_a_name_alone_is_no_dish(homes: dict[str, Household], tmp_path: Path) -> None:
    (tmp_path / "d.txt").write_text("Just a name\n", encoding="utf-8")
    with pytest.raises(PantryError, match="no line of it says what it takes"):
        read_dish(homes["p"], told_in(tmp_path / "d.txt"), {})


def test_a_stray_answer_is_refused(homes: dict[str, Household]) -> None:
    told = told_in(DISHES / "p04.txt")
    with pytest.raises(NotUnderstood, match="'77' is no line of this dish"):
        read_dish(homes["p"], told, {"77": ["note"]})
    with pytest.raises(NotUnderstood, match="is no answer"):
        answers_of(["note"])
    wrong = read_dish(homes["p"], told, answers_of(["role=soup", "serves=x", "minutes=soon", "hands-on=3"]))
    assert [q.key for q in wrong.questions] == ["role", "serves", "minutes"]


def test_a_file_that_was_written_is_plain_yaml(homes: dict[str, Household], tmp_path: Path) -> None:
    page = tmp_path / "d.txt"
    page.write_text(
        'Tea: "best" #1\nServes 2\nTime: 20 min\n1 lb rice - any: kind, #2\n\nBoil: it "well" #soon.\n- yes\n',
        encoding="utf-8",
    )
    read = read_dish(homes["p"], told_in(page), answers_of(["role=side", "hands-on=5"]))
    read_back = yaml.safe_load(read.text)
    assert read_back["name"] == 'Tea: "best" #1'
    assert read_back["method"] == ['Boil: it "well" #soon.', "yes"]


def test_writing_over_a_recipe_never_happens(tmp_path: Path) -> None:
    folder = begun(tmp_path / "a", "pints.txt", "pints.csv")
    (folder / "recipes" / "hash.yaml").write_text(
        "name: Other\nrole: side\nserves: 2\nuses: [1 lb Rice]\n", encoding="utf-8"
    )
    home = load_larder(folder, None, DAY)
    read = read_dish(
        home, told_in(DISHES / "p04.txt"), answers_of(["role=main", "serves=2", "minutes=40", "hands-on=9"])
    )
    assert write_dish_file(home, read).name == "hash-2.yaml"
    assert "Other" in (folder / "recipes" / "hash.yaml").read_text(encoding="utf-8")
