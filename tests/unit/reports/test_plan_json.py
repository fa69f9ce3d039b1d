"""The menu as JSON: the schema it promises, exact amounts, and back again."""

from __future__ import annotations

import json

import jsonschema
import pytest

from pantrymeals.errors import PantryError
from pantrymeals.reports.json.plan import menu_json, plan_in, read_menu_file, schema_text, sheet_in
from tests.unit.reports.sheets import small_sheet


def test_the_menu_keeps_its_documented_schema() -> None:
    schema = json.loads(schema_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(menu_json(small_sheet())), schema)


def test_the_schema_refuses_what_it_does_not_know() -> None:
    wrong = json.loads(menu_json(small_sheet()))
    wrong["meals"][0]["colour"] = "brown"
    with pytest.raises(jsonschema.ValidationError, match="colour"):
        jsonschema.validate(wrong, json.loads(schema_text()))


def test_a_plan_comes_back_exactly() -> None:
    sheet = small_sheet(broken=("a fault",))
    file = read_menu_file(menu_json(sheet))
    assert plan_in(file) == sheet.plan
    back = sheet_in(file, sheet.household)
    assert (back.pull, back.forecast, back.unreachable, back.broken) == (
        sheet.pull,
        sheet.forecast,
        sheet.unreachable,
        ("a fault",),
    )


def test_amounts_stand_in_words_rounded_and_exact() -> None:
    use = json.loads(menu_json(small_sheet()))["meals"][0]["dishes"][0]["uses"][0]
    # One US quart is 946.352946 ml exactly (NIST Handbook 44, Appendix C).
    assert use == {
        "product": "Beans",
        "words": "1 qt",
        "quantity": 946.352946,
        "measure": "ml",
        "exact": "473176473/500000",
        "stand_in": False,
    }


def test_the_verdict_says_whether_the_rules_are_kept() -> None:
    assert json.loads(menu_json(small_sheet()))["verdict"] == {"rules_kept": True, "broken": []}
    verdict = json.loads(menu_json(small_sheet(broken=("a fault",))))["verdict"]
    assert verdict == {"rules_kept": False, "broken": ["a fault"]}


@pytest.mark.parametrize("text", ["", "{}", '{"format": "something else"}', "[1, 2"])
def test_a_file_that_is_no_menu_is_refused_in_words(text: str) -> None:
    with pytest.raises(PantryError, match="this is not a menu made by"):
        read_menu_file(text)
