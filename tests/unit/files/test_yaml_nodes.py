"""YAML: plain texts, lists and mappings with their places; anything else is refused where it stands."""

from __future__ import annotations

import time

import pytest

from pantrymeals.errors import Place
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.yaml_nodes import Items, Pairs, Text, parse_yaml

BOMB = "a: &a [x, x, x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [*{chr(97 + i)}, *{chr(97 + i)}, *{chr(97 + i)}]\n" for i in range(20)
)


def told(text: str) -> list[str]:
    gathering = Gathering()
    assert parse_yaml(text, "x.yaml", gathering) is None
    return [str(m) for m in gathering.found]


def test_every_value_carries_its_line_and_column() -> None:
    gathering = Gathering()
    node = parse_yaml("name: Bean soup\nuses:\n  - 1 qt Beans\n  -  two\n", "x.yaml", gathering)
    assert not gathering.found
    assert isinstance(node, Pairs)
    assert node.pairs["name"] == Text("Bean soup", Place("x.yaml", 1, 7))
    uses = node.pairs["uses"]
    assert isinstance(uses, Items)
    assert [i.place for i in uses.items] == [Place("x.yaml", 3, 5), Place("x.yaml", 4, 6)]


def test_values_stay_texts_whatever_they_look_like() -> None:
    node = parse_yaml("a: yes\nb: 2026-01-17\nc: 1.50\nd: ~\ne: 'null'\n", "x.yaml", Gathering())
    assert isinstance(node, Pairs)
    texts = {k: v.text for k, v in node.pairs.items() if isinstance(v, Text)}
    assert texts == {"a": "yes", "b": "2026-01-17", "c": "1.50", "d": "", "e": "null"}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: 1\nb: 2\na: 3\n", "x.yaml:3:1: 'a' is written twice (first on line 1); keep one"),
        (BOMB, "x.yaml:1:4: '&a' is an anchor; put a text that begins with & in quotes"),
        (
            "note: *very good*\n",
            "x.yaml:1:7: '*very' is an alias; write it out once more, or put a text that begins with * in quotes",
        ),
        ("a: !wow x\n", "x.yaml:1:4: '!wow' is a tag; put a text that begins with ! in quotes"),
        (
            "a: !!python/object/apply:os.getcwd []\n",
            "x.yaml:1:4: 'tag:yaml.org,2002:python/object/apply:os.getcwd' is a tag; "
            "put a text that begins with ! in quotes",
        ),
        ("a: 1\n---\nb: 2\n", "x.yaml:2:1: a second document begins here; leave out the line '---'"),
        ("? [a]\n: b\n", "x.yaml:1:3: a list or mapping stands where a name should; write 'name: value'"),
        ("a:\n\t- b\n", "x.yaml:2:1: a tab stands before the text; indent with spaces"),
        (
            "note: lift out: two days\n",
            "x.yaml:1:15: there is a ':' too many, or this line is indented too far; "
            "put a text that holds ': ' in quotes",
        ),
        ('a: "b\nc\n', "x.yaml:3:1: a quote mark is never closed; close it with the same mark"),
        ("a: [b, c\nd: e\n", "x.yaml:2:2: a '[' or '{' is open, or a comma is missing; close it"),
        ("a: @b\n", "x.yaml:1:4: a text cannot begin with this character; put the text in quotes"),
        ("- " * 40, "x.yaml:1:61: lists or mappings lie more than 30 deep in each other"),
    ],
)
def test_what_is_refused(text: str, message: str) -> None:
    assert told(text) == [message]


@pytest.mark.parametrize("mark", ["[", "{", "- ", "? ", "[{", "&a [", "a: "])
def test_a_megabyte_of_nesting_is_refused_at_once(mark: str) -> None:
    start = time.perf_counter()
    assert len(told(mark * (1_000_000 // len(mark)))) == 1
    assert time.perf_counter() - start < 2


def test_an_empty_text_is_nothing_and_no_mistake() -> None:
    gathering = Gathering()
    assert parse_yaml("# only a remark\n", "x.yaml", gathering) is None
    assert not gathering.found
