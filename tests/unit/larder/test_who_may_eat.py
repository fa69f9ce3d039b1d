"""Who may eat a dish: `eat-first` says of a dish whom it is not for exactly where a menu would bar it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pantrymeals.checking.table import helps_against, marks_against
from pantrymeals.files.household import read_household
from pantrymeals.forecast.ready_dishes import not_for
from pantrymeals.records import Person
from tests.kitchens.tiny import MONDAY, dish, instead, jar, kitchen, person

BABY = person("Odo", born=date(2025, 6, 1), must_not=["tree nut"])
SALT = person("Edda", must_not=["salty", "tree nut"])


@pytest.mark.parametrize(
    ("whom", "who", "said"),
    [
        ("", SALT, "Edda (salty, tree nut)"),
        ("low salt", SALT, "Edda (tree nut)"),
        ("Tree Nut", SALT, "Edda (salty)"),
        ("edda", SALT, None),
        ("baby", BABY, None),
        ("honey", BABY, "Odo (tree nut)"),
    ],
)
def test_a_noted_alternative_helps_whom_it_is_for_and_no_further(whom: str, who: Person, said: str | None) -> None:
    ham = dish("Ham", ["1 qt Ham"], instead=[instead(whom, "plain meat")] if whom else [])
    home = kitchen(
        products=[jar("Ham", contents=frozenset({"salty", "tree nut", "honey"}))], people=[who], dishes=[ham]
    )
    assert not_for(home, ham, [ham.uses[0].options[0]]) == ([said] if said else [])


def test_every_dish_of_the_demo_is_barred_for_the_same_people_by_checker_and_list(demo_folder: Path) -> None:
    home = read_household(demo_folder, today=date(2026, 1, 17), calendar_day=MONDAY, need_stock=False)
    for each in home.dishes.values():
        options = [use.options[0] for use in each.uses]
        marks = each.contents.union(*(home.products[o.product].contents for o in options))
        barred = [
            p.name
            for p in home.people
            if any(
                mark in marks and not any(helps_against(note, p, mark, home.today) for note in each.instead)
                for mark in marks_against(p, home.today)
            )
        ]
        assert [said.split(" (")[0] for said in not_for(home, each, options)] == barred
