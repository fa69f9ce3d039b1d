"""The arithmetic of the proof a plan carries."""

import pytest

from pantrymeals.checking.proof import gap_is_as_stated
from tests.kitchens.tiny import cooked, day, kitchen, menu, supper
from tests.unit.checking.sound import opens


def _said(**figures: object) -> list[str]:
    home = kitchen()
    plan = menu(home, [supper(day(0), cooked(home, "Bean soup"))], [opens(0, "Beans")], **figures)
    return list(gap_is_as_stated(home, plan))


@pytest.mark.parametrize(
    ("cost", "bound", "gap"), [(100.0, 90.0, 0.1), (0.5, 0.25, 0.25), (0.0, 0.0, 0.0), (2.0, 2.0 + 5e-7, 0.0)]
)
def test_a_sound_proof_passes(cost: float, bound: float, gap: float) -> None:
    assert _said(cost=cost, bound=bound, gap=gap) == []


def test_a_wrong_gap_and_a_bound_above_the_cost_are_told() -> None:
    assert _said(cost=100.0, bound=90.0, gap=0.05) == ["the gap is 0.1, the plan states 0.05"]
    assert _said(cost=1.0, bound=2.0, gap=-1.0) == ["the bound, 2 points, lies above the cost, 1"]
    assert len(_said(cost=float("inf"), bound=0.0, gap=0.0)) == 1
