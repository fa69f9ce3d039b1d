"""No process, time, pressure, headspace or acid amount in anything the program can print.

Looked through: every text in the program's source, every table and recipe packaged with it, the demo with what is
drawn of it, and the season's reports on a small case. Minutes at the stove belong to dishes and are allowed; minutes in
a canner are not.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NUMBER = r"(\d+|one|two|five|ten|fifteen|twenty|thirty|forty|sixty|ninety)"
FORBIDDEN = {
    "pressure": re.compile(rf"\bpsi\b|{NUMBER}\s*(lb|pounds?)\s+(of\s+)?pressure|pounds of pressure", re.I),
    "headspace": re.compile(r"head\s?space", re.I),
    "process time": re.compile(
        rf"process(ed|ing)?\s+(for\s+)?{NUMBER}\b|{NUMBER}\s*(min|minutes|hours?)\b[^.;\n]{{0,40}}"
        r"\b(canner|water[- ]bath|gauge|processing)\b"
        rf"|\b(canner|water[- ]bath)\b[^.;\n]{{0,20}}\bfor {NUMBER} min"
        rf"|\b(pressure[- ]can|water[- ]bath|can|process)(ned|s|ed|ning)?\b[^.;:,\n]{{0,25}}"
        rf"\b(pints?|quarts?|pt|qt|jars?)\b[^.;:,\n]{{0,15}}{NUMBER}\s*(min|minutes|hours?)\b",
        re.I,
    ),
    "acid amount": re.compile(
        rf"{NUMBER}\s*(/\s*\d+\s*)?(tbsp|tsp|tablespoons?|teaspoons?|cups?)\s+(of\s+)?(bottled\s+)?"
        r"(lemon juice|citric|vinegar)|\d\s*(%|percent)\s*(acid|vinegar)",
        re.I,
    ),
    "promise": re.compile(
        r"\b(this|these|the|your|every|each) (jars?|lots?|loads?) (is|are) (still )?(safe|good)\b|guaranteed"
        r"|(perfectly|quite|completely|still|always) safe\b|safe to eat|still good|\bgood until\b",
        re.I,
    ),
}


def faults(text: str) -> list[str]:
    return [f"{kind}: {m.group(0)!r}" for kind, pattern in FORBIDDEN.items() for m in pattern.finditer(text)]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Process for 85 minutes", "process time"),
        ("Processing 40 min in a canner", "process time"),
        ("at 11 psi", "pressure"),
        ("10 pounds of pressure", "pressure"),
        ("leave 1 inch headspace", "headspace"),
        ("25 minutes in a boiling-water canner", "process time"),
        ("2 tbsp lemon juice to the quart", "acid amount"),
        ("vinegar of 5 % acid", "acid amount"),
        ("this jar is safe", "promise"),
        ("Pressure-can pints 75 minutes", "process time"),
        ("can the quarts 90 min", "process time"),
        ("It is perfectly safe.", "promise"),
        ("good until next summer", "promise"),
    ],
)
def test_the_search_finds_what_it_looks_for(text, kind):
    assert any(fault.startswith(kind) for fault in faults(text))


@pytest.mark.parametrize(
    "text",
    [
        "Bake for 45 minutes.",
        "Follow a tested recipe, process for your altitude, look over every jar.",
        "Low-acid food: pressure canning by a tested recipe",
        "11 loads, about 4 1/2 kitchen hours",
        "a spoonful of vinegar",
    ],
)
def test_the_search_lets_kitchen_talk_be(text):
    assert faults(text) == []


def texts_of(source: Path) -> Iterator[tuple[int, str]]:
    """Every text constant of a module that is not a docstring."""
    tree = ast.parse(source.read_text(encoding="utf-8"))
    docs = set()
    for node in ast.walk(tree):
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)):
            first = node.body[0] if node.body else None
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                docs.add(id(first.value))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.lineno, node.value


SOURCES = sorted((ROOT / "pantrymeals").rglob("*.py"))
PACKAGED = sorted(
    p
    for folder, kinds in (
        ("pantrymeals", {".csv", ".typ", ".html", ".txt", ".sql", ".md"}),
        ("recipes", {".yaml", ".md", ".txt", ".csv"}),
        ("demo", {".yaml", ".md", ".txt", ".csv", ".py", ".html", ".ics", ".json"}),
    )
    for p in (ROOT / folder).rglob("*")
    if p.suffix in kinds
)


@pytest.mark.parametrize("source", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_process_in_the_programs_texts(source):
    found = [f"line {line}: {fault}" for line, text in texts_of(source) for fault in faults(text)]
    assert found == []


def test_no_process_in_what_is_packaged():
    assert len(PACKAGED) > 10
    found = [
        f"{path.relative_to(ROOT)}: {fault}" for path in PACKAGED for fault in faults(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_no_process_in_the_seasons_reports():
    from pantrymeals.actions.season import (
        SeasonAsked,
        make_glut,
        make_notes,
        make_season,
        season_shown,
        sitter_cautions,
    )
    from pantrymeals.reports.json.figures import figures_json
    from pantrymeals.reports.terminal.paper import Paper
    from pantrymeals.reports.terminal.season import write_season
    from pantrymeals.reports.terminal.season_more import write_glut, write_notes
    from pantrymeals.reports.terminal.sitters import write_sitters
    from pantrymeals.season.sitters import sitters
    from tests.kitchens.seasons import open_season

    day = date(2026, 1, 17)
    asked = open_season(ROOT / "demo", day, day)
    sheet = make_season(asked, SeasonAsked())
    rows = sitters(asked, work=1.0)
    paper = Paper()
    write_season(paper, season_shown(sheet), full=True)
    write_sitters(paper, "T", rows, sitter_cautions(rows))
    write_glut(paper, make_glut(asked, "tomatoes", "2 bushels"))
    write_notes(paper, "T", make_notes(asked, 2024))
    text = paper.text()
    assert "77 qt" in text
    assert "Follow a tested recipe" in text
    assert faults(text) == []
    assert faults(figures_json(wanted=sheet.wanted, fitted=sheet.fitted, rows=rows)) == []
    assert max(len(line) for line in text.splitlines()) <= 80
