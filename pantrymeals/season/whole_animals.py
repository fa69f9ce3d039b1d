"""What comes with a whole animal, wanted or not: so many animals as are worth it, and all that they give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from pantrymeals.plans.season import PutUpLine
from pantrymeals.season.loads import chances_by_load
from pantrymeals.season.words import counted
from pantrymeals.season_facts import Harvest


def animals_for(harvest: Harvest, lines: Sequence[PutUpLine]) -> int:
    """The fewest whole animals after which what still lacks is worth less than half of what another would bring.

    Common practice, no published source: nobody cuts up a hog for seven pounds of bacon.
    """
    one_more = sum((harvest.each_gives[line.product] * line.worth for line in lines), Fraction(0))
    animals = 0
    while 2 * sum((_lack(harvest, line, animals) * line.worth for line in lines), Fraction(0)) >= one_more > 0:
        animals += 1
    return animals


def _lack(harvest: Harvest, line: PutUpLine, animals: int) -> Fraction:
    """Containers that so many animals leave lacking of what is wanted."""
    return max(Fraction(0), line.wanted - animals * harvest.each_gives[line.product])


def comes_whole(harvest: Harvest, lines: Sequence[PutUpLine]) -> list[PutUpLine]:
    """The lines of a harvest's cuts, each with all that so many animals give; none where no animal is worth it.

    lines: one for each product that an animal gives, wanted or not, with chances for more than it can give.
    """
    animals = animals_for(harvest, lines)
    return [_whole(harvest, line, animals) for line in lines] if animals else []


def _whole(harvest: Harvest, line: PutUpLine, animals: int) -> PutUpLine:
    comes = floor(animals * harvest.each_gives[line.product])
    said, asks = counted(Fraction(comes), line.size), line.why.rsplit(":", 1)[0]
    words = f"{asks}: {said}, what comes with {animals} x {harvest.crop}"
    if not line.wanted:
        words += "; none of it is wanted: give, barter or make it over"
    elif lack := ceil(_lack(harvest, line, animals)):
        words += f"; {counted(Fraction(lack), line.size)} more would be wanted, too little for one more"
    elif comes > line.wanted:
        words += f"; {counted(line.wanted, line.size)} wanted"
    chances = [line.chances[n] if n < len(line.chances) else 0.0 for n in range(comes)]
    return replace(line, loads=comes, load=1, chances=chances_by_load(chances, 1), why=words)
