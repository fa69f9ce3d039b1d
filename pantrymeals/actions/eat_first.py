"""What must be eaten this week before it goes over."""

from __future__ import annotations

from pantrymeals.actions import food_tables
from pantrymeals.actions.run_out import Chance, Larder, run_out
from pantrymeals.forecast.eat_first import eat_first
from pantrymeals.plans.outlook import EatFirst


def eat_first_now(larder: Larder, chance: Chance) -> EatFirst:
    """The eat-first list, the cellar round and their cautions for the household's today."""
    return eat_first(larder.household, run_out(larder, chance), food_tables.keeping())
