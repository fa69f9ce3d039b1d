"""What fills jars besides the products that are jars, read of season.yaml without its other lines."""

from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.jars_besides import jars_besides
from pantrymeals.records import Product, Size

KNOWN = KnownProducts.of(
    Product(name, "", "dry", "ml", (Size("qt", Fraction(946)),), also_called=called)
    for name, called in (("Maple syrup", ("syrup",)), ("Honey", ()))
)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("jars: []\nin_jars_besides: [Maple syrup, Honey]   # a remark\nlids: {}\n", {"Maple syrup", "Honey"}),
        ("in_jars_besides:\n  # of the sugar bush\n\n  - syrup\n\n  - honey\njars: []\n", {"Maple syrup", "Honey"}),
        ("in_jars_besides:\n- syrup\n- honey\njars: []\n", {"Maple syrup", "Honey"}),
        ("{jars: [], in_jars_besides: [Honey]}\n", {"Honey"}),
        ("'in_jars_besides': [Honey]\n", {"Honey"}),
        ("in_jars_besides: [Honey]\njars: [\n", {"Honey"}),
        ("in_jars_besides: [Vinegar]\n", set()),
        ("in_jars_besides: Honey\n", set()),
        ("jars: []  # in_jars_besides: [Honey]\n", set()),
        ("jars: []\n", set()),
        ("", set()),
    ],
)
def test_the_list_is_found_wherever_yaml_lets_it_stand(tmp_path: Path, text: str, found: set[str]) -> None:
    path = tmp_path / "season.yaml"
    path.write_text(text, encoding="utf-8")
    assert jars_besides(path, KNOWN) == found


def test_without_a_season_nothing_fills_jars_besides(tmp_path: Path) -> None:
    assert jars_besides(tmp_path / "season.yaml", KNOWN) == frozenset()
