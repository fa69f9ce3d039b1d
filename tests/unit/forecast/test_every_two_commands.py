"""What any two commands print of one product is the same: its marks, its days, its sums.

Each command is asked as the household asks it, and its JSON is turned into claims ('Leeks: eat by 1 April'). What two
commands claim must be one claim. Nothing here reckons, and no record of the program is looked into.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.announced import announce
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.menu import lay_out
from pantrymeals.actions.run_out import Chance, run_out_answer
from pantrymeals.actions.season import SeasonAsked, question_of, season_answer
from pantrymeals.actions.with_book import Larder
from pantrymeals.cli.main import app
from pantrymeals.reports.json.plan import menu_json
from tests.kitchens.three_houses import HOUSES
from tests.kitchens.tiny import MONDAY, cooked, day, menu, supper
from tests.unit.forecast.asked_of_all import GOLDEN, House, Said, read

EVEN, WEEK, REHEARSED = "at an even hand", "if that week is followed", "if the rehearsed days are followed"
MUST_GO = ("eat first", "glut", "sitter")
WHOLE = "the whole larder"

Claim = tuple[str, str]
"""A product, and what is said of it."""


def of_forecast(rows: Iterable[Said], menus: str) -> Iterator[tuple[Claim, Any]]:
    """What a forecast's table says of each product."""
    for row in rows:
        name, eaten, planned = row["product"], row["as_eaten"], row["as_planned"]
        yield (name, "on hand"), row["on_hand"]
        yield (name, "in the house"), row["on_hand"] + row["elsewhere"]
        yield (name, "on hand above the reserve"), row["on_hand"] - row["reserve"]
        yield (name, "in part jars"), row["part"]
        yield (name, "must last to"), row["must_last_to"]
        yield (name, "eat by"), row["eat_by"]
        yield (name, "told by"), row["told_by"]
        yield (name, "stated"), row["stated"]
        for pace, whose in ((eaten, "as eaten"), (planned, menus)):
            for what in ("mark", "out", "out_early", "out_late", "left", "weekly", "chance", "reason", "advice"):
                yield (name, f"{what} {whose}"), pace and pace[what]
        marks = [pace["mark"] for pace in (eaten, planned) if pace]
        if eaten and row["must_last_to"]:
            yield (name, f"left on {row['must_last_to']}"), round(eaten["left"])
        yield (name, f"eat first {menus}"), "eat first" in marks
        yield (name, "held"), "held" in marks
        if not {"held", "not on menus"} & set(marks):
            yield (name, "sits"), "sitter" in marks
        if menus == EVEN:
            yield (name, "must go"), next((mark for mark in marks if mark in MUST_GO), None)


def of_cover(cover: Said) -> Iterator[tuple[Claim, Any]]:
    """How long the whole larder feeds the household."""
    for what in ("meal_days", "energy_days", "protein_days", "stored_kcal", "unknown"):
        yield (WHOLE, what), cover[what]


def of_menu(said: Said, menus: str) -> Iterator[tuple[Claim, Any]]:
    """A menu's forecast, and the last day of each part jar that its pull list brings up."""
    yield from of_forecast(said["run_out"]["rows"], menus)
    for line in said["pull"]["lines"]:
        if line["kind"] == "part jar" and line["put_up"].startswith("opened"):
            yield (line["product"], f"part jar {line['put_up']}, last day"), line["eat_by"]


def of_eat_first(said: Said, all_names: Iterable[str]) -> Iterator[tuple[Claim, Any]]:
    """What will not wait: keepers with their day, part jars with theirs."""
    rows = said["eat_first"]["must_go"]
    keepers = {row["product"]: row for row in rows if row["kind"] == "keeper"}
    for name in all_names:
        yield (name, f"eat first {EVEN}"), name in keepers
    for name, row in keepers.items():
        yield (name, "eat by"), row["eat_by"]
        yield (name, "on hand above the reserve"), row["amount"]
    in_lots: dict[str, float] = {}
    for line in said["eat_first"]["round"]:
        in_lots[line["product"]] = in_lots.get(line["product"], 0) + line["amount"]
    for name, amount in in_lots.items():
        yield (name, "in the house"), amount
    for row in rows:
        opened = re.match(r"opened (\d+) (\w{3})", row["why"])
        if row["kind"] == "part jar" and opened:
            words = f"part jar opened {opened[1]} {opened[2]}, last day"
            yield (row["product"], words), row["eat_by"]


def of_no_store(said: Said) -> Iterator[tuple[Claim, Any]]:
    """A rehearsal: its menu's forecast, what pinches, what must go, and how long the food lasts.

    What an order brings is another thing without a store: of those products only what is there is said here.
    """
    ordered = {row["product"] for row in said["menu"]["run_out"]["rows"] if row["deadline_kind"] == "order"}
    for (name, what), value in of_menu(said["menu"], REHEARSED):
        if name not in ordered or what.startswith(("on hand", "in the house", "in part jars", "part jar")):
            yield (name, what), value
    for row in said["must_go"]:
        yield (row["product"], "must go"), row["mark"]
    for pinch in said["pinches"]:
        if pinch["kind"] == "later share" and pinch["product"] not in ordered:
            yield (pinch["product"], f"out {REHEARSED}"), pinch["day"]
    yield from of_cover(said["cover"])


CARRIED = re.compile(r"; (\d+)[^;]* will be carried over")


def of_season(said: Said, crops: Mapping[str, str]) -> Iterator[tuple[Claim, Any]]:
    """The put-up list: what is carried over to the day of each crop, and what full book years used."""
    for line in said["wanted"]["lines"]:
        yield (line["product"], f"left on {crops[line['product']]}"), line["carried_over"]
        yield (line["product"], "asked for"), line["wanted"] > 0
        if line["need"]["basis"] == "full book years":
            yield (line["product"], "used in full book years"), sorted(line["need"]["years"])
    for name, why in said["wanted"]["none"]:
        yield (name, "asked for"), False
        if found := CARRIED.search(why):
            yield (name, f"left on {crops[name]}"), int(found[1])


def of_sitters(said: Said, all_names: Iterable[str]) -> Iterator[tuple[Claim, Any]]:
    """What is made and not eaten, how much of it is there, and what each book year used of it."""
    rows = {row["product"]: row for row in said["rows"]}
    for name in all_names:
        kind = rows[name]["kind"] if name in rows else ""
        yield (name, "sits"), kind == "sitter"
        yield (name, "held"), kind == "held"
    for name, row in rows.items():
        yield (name, "in the house"), row["on_hand"]
        if row["kind"] == "sitter":
            yield (name, "asked for"), not any(end["kind"] == "not again" for end in row["ends"])
        if found := re.match(r"used ([\d, /]+) in the last book years", row["why"]):
            yield (name, "used, year by year"), [float(number) for number in found[1].split(", ")]


def of_notes(years: Mapping[int, Said]) -> Iterator[tuple[Claim, Any]]:
    """All season notes together: each year, and what goes over from one into the next."""
    used: dict[str, list[float]] = {}
    full: dict[str, list[float]] = {}
    for year, said in years.items():
        rows = [row["record"] for row in said["notes"]["rows"]]
        for row in rows:
            name = row["product"]
            used.setdefault(name, []).append(row["used"])
            yield (name, f"there when {year} opens"), row["carried_in"]
            yield (name, f"there when {year + 1} opens"), row["carried_out"]
            if row["full"]:
                full.setdefault(name, []).append(row["used"])
            if said["notes"]["running"]:
                yield (name, "in the house"), row["carried_out"]
                yield (name, "sits"), name in said["notes"]["sitters"]
    for name, told in used.items():
        yield (name, "used, year by year"), told
    for name, told in full.items():
        yield (name, "used in full book years"), sorted(told)


def gathered(found: Iterable[tuple[Claim, Any]]) -> dict[Claim, Any]:
    """One command's claims. What it says twice it says alike."""
    out: dict[Claim, Any] = {}
    for claim, value in found:
        told = round(value, 3) if isinstance(value, float) else value
        assert claim not in out or same(out[claim], told), (claim, out[claim], told)
        out[claim] = told
    return out


def same(one: Any, other: Any) -> bool:
    """Equal, but for the last decimal that is shown."""
    return one == other or (isinstance(one, float | int) and other == pytest.approx(one, rel=1e-4, abs=2e-3))


def crop_days_of(larder: Larder) -> dict[str, str]:
    """The first day of the next coming in of each harvest, from what the household wrote."""
    today, out = larder.household.today, {}
    for harvest in larder.household.season.harvests:
        first = today.replace(month=harvest.first[0], day=harvest.first[1])
        first = first if first > today else first.replace(year=first.year + 1)
        out |= {name: str(first) for name in harvest.products}
    return out


@pytest.fixture(scope="module")
def claims(house: House, answers: dict[str, Answer]) -> dict[str, dict[Claim, Any]]:
    """What each command says of each product; the notes of all years are one."""
    said = {name: read(answer) for name, answer in answers.items()}
    alone, followed = said["run-out"], said["run-out --plan"]
    rows = alone["forecast"]["rows"]
    shown = [row["product"] for row in rows if row["as_planned"]["mark"] != "not on menus"]
    notes = {int(name.split()[1]): told for name, told in said.items() if name.startswith("season-notes")}
    return {
        "menu": gathered(of_menu(said["menu"], WEEK)),
        "run-out --plan": gathered([*of_forecast(followed["forecast"]["rows"], WEEK), *of_cover(followed["cover"])]),
        "run-out": gathered([*of_forecast(rows, EVEN), *of_cover(alone["cover"])]),
        "eat-first": gathered(of_eat_first(said["eat-first"], [row["product"] for row in rows])),
        "no-store": gathered(of_no_store(said["no-store"])),
        "season": gathered(of_season(said["season"], crop_days_of(house.larder))),
        "sitters": gathered(of_sitters(said["sitters"], shown)),
        "season-notes": gathered(of_notes(notes)),
    }


SILENT = {("eat-first", "season"), ("eat-first", "sitters")}
"""What will not wait is gone when a crop comes in, and is no sitter: these never speak of the same thing."""


def test_what_two_commands_say_of_a_product_is_one_thing(house: House, claims: dict[str, dict[Claim, Any]]) -> None:
    for one, other in combinations(claims, 2):
        shared = claims[one].keys() & claims[other].keys()
        differ = [
            f"{name}, {what}: {one} says {claims[one][name, what]}, {other} says {claims[other][name, what]}"
            for name, what in sorted(shared)
            if not same(claims[one][name, what], claims[other][name, what])
        ]
        assert differ == []
        assert shared or house.name != "demo" or (one, other) in SILENT, (one, other)


LEAST: Mapping[tuple[str, str], tuple[int, str]] = {
    ("menu", "run-out --plan"): (3500, "mark as eaten"),
    ("menu", "run-out"): (2300, "out_late as eaten"),
    ("menu", "no-store"): (2200, "left as eaten"),
    ("menu", "eat-first"): (20, "eat by"),
    ("menu", "sitters"): (240, "sits"),
    ("run-out", "no-store"): (2200, "must go"),
    ("run-out", "eat-first"): (140, "eat first at an even hand"),
    ("run-out", "sitters"): (250, "held"),
    ("run-out", "season"): (25, "left on 2026-09-10"),
    ("run-out", "season-notes"): (230, "in the house"),
    ("season", "season-notes"): (80, "used in full book years"),
    ("sitters", "season-notes"): (140, "used, year by year"),
    ("season", "sitters"): (3, "asked for"),
}
"""So many claims at least two commands have in common of the demo, and one kind that is among them."""


def test_the_commands_do_speak_of_the_same_products(house: House, claims: dict[str, dict[Claim, Any]]) -> None:
    for (one, other), (number, kind) in LEAST.items():
        shared = claims[one].keys() & claims[other].keys()
        if house.name == "demo":
            assert len(shared) >= number, (one, other, len(shared))
            assert kind in {what for _, what in shared}, (one, other)


MARK = r"(?:short|tight|reaches|glut|sitter|eat first|held|not on menus)(?:, \w+ \w+(?: \w+)?)?"
ROW = re.compile(rf"^(\S.*?)  +(\S.*?) +({MARK}) +({MARK})$", re.M)
"""A row of the table that `menu --full` and `run-out` print: product, on hand, and its mark and day at either pace."""


def test_what_is_printed_is_one_thing_too(house: House, answers: dict[str, Answer]) -> None:
    in_menu, followed, alone, eat_first = (
        answers[name].text(colour=False) for name in ("menu", "run-out --plan", "run-out", "eat-first")
    )
    rows = [{found[0]: found[1:] for found in ROW.findall(text)} for text in (in_menu, followed, alone)]
    for name, row in rows[0].items():
        assert row == rows[1][name], name
    assert rows[1].keys() == rows[2].keys()
    for name, (there, eaten, _) in rows[1].items():
        assert (there, eaten) == rows[2][name][:2], name
    sentences = re.findall(r"Eat by [^:;(]+: at this pace [^:;(.]+? left then", " ".join(eat_first.split()))
    assert all(sentence in " ".join(alone.split()) for sentence in sentences)
    if house.name == "demo":
        assert (len(rows[0]) >= 30, len(rows[1]) >= 100, len(sentences) >= 8) == (True, True, True)


def test_eat_first_counts_the_announced_menu_as_run_out_does(demo_folder: Path, tmp_path: Path) -> None:
    """The menu takes the last thin-skinned squashes: no longer is any to be eaten first at either command's hand."""
    folder = tmp_path / "announced"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("*.sqlite-*"))
    announce(folder, GOLDEN.read_text(encoding="utf-8"), MONDAY.replace(day=17), 7)

    def said(*words: str) -> Said:
        done = CliRunner().invoke(app, [*words, "--larder", str(folder), "--json"])
        assert done.exit_code == 0, done.output
        told: Said = json.loads(done.stdout)
        return told

    rows = said("run-out")["forecast"]["rows"]
    one, other = (
        gathered(of_forecast(rows, EVEN)),
        gathered(of_eat_first(said("eat-first"), [r["product"] for r in rows])),
    )
    shared = one.keys() & other.keys()
    assert len(shared) >= 130
    assert {claim: one[claim] for claim in shared} == {claim: other[claim] for claim in shared}


def test_the_put_up_list_knows_of_an_announced_menu_what_run_out_knows(tmp_path: Path) -> None:
    """A young book's pace is moved by what is announced; so is what will be carried over."""
    young = HOUSES["couple"]()
    home = replace(young.household, folder=str(tmp_path))
    larder = Larder(home, young.book)
    beans = [supper(day(n), cooked(home, "Bean soup")) for n in range(0, 14, 2)]
    plan = menu(home, beans)
    announce(tmp_path, menu_json(lay_out(home, plan)), plan.first, plan.days)
    left = {}
    for whose in (young, larder):
        row = next(r for r in read(run_out_answer(whose, Chance()))["forecast"]["rows"] if r["product"] == "Beans")
        told = dict(of_season(read(season_answer(question_of(whose), SeasonAsked(seconds=1.0))), crop_days_of(whose)))
        left[whose is young] = round(row["as_eaten"]["left"])
        assert told["Beans", f"left on {row['must_last_to']}"] == left[whose is young]
    assert left[True] != left[False], "the announced menu moves it"
