"""What is printed on paper and drawn of a season says what the JSON says; and a rehearsal its report, for every house.

Pages are read as they lie on the table, by a program that did not make them (pypdf); folds and hyphenless breaks of
the sheet are taken out. Beside `test_every_form.py`, from the same answers.
"""

from __future__ import annotations

import io
import re
from collections import Counter
from datetime import date, timedelta
from fractions import Fraction

import pytest
from pypdf import PdfReader

from pantrymeals.actions.answer import Answer
from pantrymeals.reports.pages.typeset import Printing
from tests.unit.forecast.asked_of_all import Said, read
from tests.unit.forecast.test_every_form import MONTHS


def on_paper(answer: Answer) -> str:
    """All words of the sheets without any space: where a line is folded is the printer's affair."""
    assert answer.page is not None
    return bare(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.page(Printing()))).pages))


def bare(text: str) -> str:
    return re.sub(r"\s+", "", text)


def short(day: str) -> str:
    when = date.fromisoformat(day)
    return f"{when.day} {MONTHS[when.month - 1]}"


@pytest.fixture
def season(answers: dict[str, Answer]) -> Said:
    return read(answers["season"])


def test_the_season_on_paper_says_what_the_json_says(answers: dict[str, Answer], season: Said) -> None:
    """Each product with what fits of it and its days, each cut, each thing to buy, and every day of the calendar."""
    paper, fits = on_paper(answers["season"]), season["fitted"]["loads"]
    lines = {line["product"]: line for line in season["wanted"]["lines"]}
    for name, line in lines.items():
        size = r"(?!\d)" if line["size"] != "each" else ""  # five squash stand beside their day without a word between
        whole, fit = line["loads"] * line["load"], fits.get(name, line["loads"]) * line["load"]
        less = rf"of{whole}\D*?" if fit < whole else ""
        window = re.escape(bare(f"{short(line['first'])}-{short(line['last'])}"))
        assert re.search(rf"{re.escape(bare(name))}{fit}{size}.{{0,24}}?{less}.{{0,40}}?{window}", paper), name
    for cut in season["fitted"]["cuts"]:
        start = rf"{re.escape(bare(cut['product']))}{cut['jars']}(?!\d).{{0,14}}?{round(cut['chance'] * 100)}%"
        assert re.search(start + re.escape(bare(cut["why"])[:12]), paper), cut["product"]
    for item in season["to_buy"]:
        assert re.search(rf"{re.escape(bare(item['what']))}{round(item['count'])}(?!\d)", paper), item["what"]
    for done in season["fitted"]["days"]:
        line = lines[done["product"]]
        assert not line["grown"] or bare(done["product"]) in paper
        if line["way"] == "canner":
            said = f"{done['product']}{done['loads'] * line['load']}"
            assert re.search(rf"{re.escape(bare(said))}(?!\d).{{0,14}}?\({done['loads']}load", paper), done


def test_the_picture_of_the_season_says_what_the_json_says(answers: dict[str, Answer], season: Said) -> None:
    """Week by week its hours, canner loads and jars; a week that takes no hour and fills no jar is not drawn."""
    draw = answers["season"].picture
    assert draw is not None
    picture = draw()
    lines = {line["product"]: line for line in season["wanted"]["lines"]}
    loads, jars, canned = Counter[str](), Counter[str](), Counter[str]()
    for week in season["fitted"]["weeks"]:
        line = lines[week["product"]]
        jars[week["monday"]] += week["loads"] * line["load"]
        if line["way"] == "canner":
            loads[week["monday"]] += week["loads"]
            canned[week["monday"]] += week["loads"] * line["load"]
    drawn = {}
    mondays = {week_name(monday): monday for monday in jars}
    for bar in picture.chart["data"]["values"]:
        monday = mondays[bar["week"]]
        drawn[monday] = bar
        taken, there = season["fitted"]["hours_by_week"].get(monday, (0, 0))
        assert (bar["taken"], bar["there"]) == pytest.approx((taken, there), abs=0.005), monday
        assert bar["loads"] == loads[monday], monday
        assert canned[monday] <= bar["jars"] <= jars[monday], monday
        assert bar["said"] == str(bar["jars"]), monday
    for monday, (taken, _) in season["fitted"]["hours_by_week"].items():
        assert monday in drawn or (taken == 0 and not loads[monday]), monday
    assert f"{sum(loads.values())} loads" in picture.said
    assert f"{sum(bar['jars'] for bar in drawn.values())} jars and packs" in picture.said


def week_name(monday: str) -> str:
    first = date.fromisoformat(monday)
    last = first + timedelta(days=6)
    start = str(first.day) if first.month == last.month else short(monday)
    return f"{start}-{short(last.isoformat())}"


def test_eat_first_on_paper_says_what_the_json_says(answers: dict[str, Answer]) -> None:
    """Each thing that must go with its place, why, and what to cook; each line of the round; and no line more."""
    said, paper = read(answers["eat-first"])["eat_first"], on_paper(answers["eat-first"])
    for row in said["must_go"]:
        name, where, why = (re.escape(bare(row[what])) for what in ("product", "where", "why"))
        found = re.search(rf"{name}.{{1,40}}?{where}{why[:1]}?.?{why[1:].rstrip('.')}", paper, re.I)
        assert found is not None, row["product"]
        assert all(bare(dish) in paper[found.end() :] for dish in row["dishes"]), row["product"]
    for line in said["round"]:
        assert bare(line["product"]) in paper, line["product"]
    assert ("Theweeklyround" in paper) == bool(said["round"])


def test_a_rehearsal_is_printed_and_on_paper_as_the_json_says(answers: dict[str, Answer]) -> None:
    """Every supper, every product that runs out, under its day, and the smallest list with its sums."""
    answer, said = answers["no-store"], read(answers["no-store"])
    paper, text = on_paper(answer), bare(answer.text(colour=False))
    suppers = [meal for meal in said["menu"]["meals"] if meal["meal"] == "supper"]
    for meal in suppers:
        for dish in meal["dishes"]:
            assert bare(dish["dish"]) in paper, dish["dish"]
        assert paper.count("leftopen") == sum(len(each["open_roles"]) for each in suppers)
    kinds = {"goes without": "Noneleftof", "used up": "Lastof", "just reaches": "Justenough"}
    for pinch in said["pinches"]:
        name = bare(pinch["product"])
        assert name in text, pinch["product"]
        if pinch["kind"] in kinds:
            assert f"{kinds[pinch['kind']]}{name}" in paper, pinch["product"]
    for kind, words in kinds.items():
        found = paper.count(words)
        assert found == sum(pinch["kind"] == kind for pinch in said["pinches"]), kind
    for smallest in said["lists"][:1]:
        for item in smallest["items"]:
            cost = Fraction(item["cost_usd"])
            money = f"{float(cost):.2f}".removesuffix(".00")
            for form in (paper, text):
                assert re.search(rf"{re.escape(bare(item['product']))}:.{{1,24}}?{re.escape(money)}", form), item


def test_a_menu_on_paper_says_what_the_json_says(answers: dict[str, Answer]) -> None:
    """Every dish, and every product of the pull list."""
    said, paper = read(answers["menu"]), on_paper(answers["menu"])
    for meal in said["meals"]:
        for dish in meal["dishes"]:
            assert bare(dish["dish"]) in paper, dish["dish"]
    for line in said["pull"]["lines"]:
        name = line["product"].partition(",")[0]  # five loaves of 'Bread, loaves' are '5 loaves Bread'
        assert bare(name) in paper, line["product"]
