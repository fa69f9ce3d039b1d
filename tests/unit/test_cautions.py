"""The table of cautions: whole, credited, and none of them says what it must never say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pantrymeals.cautions import CAUTIONS, STANDING_LINE, Caution, caution_text, lines_for, shown
from pantrymeals.errors import PantryError


def test_the_table_runs_from_the_first_to_the_thirtieth() -> None:
    assert list(CAUTIONS) == [f"C{n}" for n in range(1, 31)]


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_no_caution_says_what_it_must_never_say(caution: Caution) -> None:
    text = f"{caution.words} {caution.short}".casefold()
    for word in ("safe", "approved", "certified", "still good", "good until", "expire", "best by", "use by"):
        assert word not in text
    assert not re.search(r"\b(minutes?|psi|pounds of pressure|headspace|teaspoons?|tablespoons?)\b", text)
    assert caution.short
    assert caution.authority
    assert caution.when


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_each_figure_of_a_caution_is_credited_to_who_says_it(caution: Caution) -> None:
    """Every number, and every span of time in words, stands again beside a body, or beside 'no published source'."""
    said = re.findall(r"\d+|about a week|a year|first birthday|one day", f"{caution.words} {caution.short}")
    for figure in said:
        assert re.search(rf"\b{figure}\b", caution.figures), figure
    assert bool(said) <= (":" in caution.figures)


def test_short_after_the_first_reading_but_spoilage_always_whole() -> None:
    assert len(" ".join(lines_for(["C9"], read_before=True))) < len(" ".join(lines_for(["C9"], read_before=False)))
    assert lines_for(["C12", "C13"], read_before=True) == lines_for(["C12", "C13"], read_before=False)


def test_a_caution_is_found_by_its_number_with_or_without_its_letter() -> None:
    assert caution_text("12") == caution_text("C12") == caution_text(" c12")
    assert "botulism toxin" in caution_text("12")
    assert "Ask: CDC; USDA; Oregon State Extension." in caution_text("12")
    assert "C1 " in caution_text()
    assert "C30 " in caution_text()
    for wrong in ("0", "31", "C", "thawed"):
        with pytest.raises(PantryError, match="there is no caution"):
            caution_text(wrong)


def test_nothing_of_the_table_is_wider_than_a_page() -> None:
    assert max(map(len, caution_text().splitlines())) <= 80
    for before in (False, True):
        assert max(map(len, lines_for(CAUTIONS, read_before=before))) <= 80


def test_what_it_is_for_stands_before_it() -> None:
    assert shown("C2", "Green beans: ").words.startswith("Green beans: Low-acid food")
    assert shown("C2").authority == CAUTIONS["C2"].authority


def test_one_wording_in_the_whole_program() -> None:
    """Telling words of each caution stand in the table's source and in no other."""
    package = Path(__file__).resolve().parents[2] / "pantrymeals"
    sources = {path: " ".join(path.read_text(encoding="utf-8").split()) for path in package.rglob("*.py")}
    tells = [
        "pressure canning by", "lid tight and dipped", "tested only for very acid", "botulism", "Full freezer",
        "not for the shelf", "weekly; one rotten", "process for your altitude", "ethylene and spoil",
        "never passed 40 F", "dial gauge checked",
    ]  # fmt: skip
    for tell in tells:
        assert [path.name for path, text in sources.items() if tell in text] == ["cautions.py"], tell
    assert "process for your altitude" in STANDING_LINE
