"""What comes with a whole animal, wanted or not: so many animals as are worth it, and all that they give."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from pantrymeals.plans.season import PutUpLine
from pantrymeals.season.loads import chances_by_load
from pantrymeals.season.words import counted
from pantrymeals.season_facts import Harvest
from pantrymeals.words import small_count

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def animals_for(wanted: NDArray[Any], gives: NDArray[Any], worth: NDArray[Any]) -> NDArray[np.int_]:
    """The fewest whole animals after which what still lacks is worth less than half of what another would bring.

    wanted: containers of each cut, [..., cuts]; an answer for each [...]. gives, worth: what one animal gives of each
    cut, and what a container of it is worth; fractions for the list, floats for drawn years. Common practice, no
    published source: nobody cuts up a hog for seven pounds of bacon.
    """
    import numpy as np

    one_more = (gives * worth).sum()
    animals = np.zeros(wanted.shape[:-1], int)
    while one_more > 0:
        lacking = np.maximum(0, wanted - animals[..., None] * gives)
        worth_one = 2 * (lacking * worth).sum(axis=-1) >= one_more
        if not np.any(worth_one):
            break
        animals = animals + worth_one
    return animals


def comes_whole(harvest: Harvest, lines: Sequence[PutUpLine]) -> list[PutUpLine]:
    """The lines of a harvest's cuts, each with all that so many animals give; none where no animal is worth it.

    lines: one for each product that an animal gives, wanted or not, with chances for more than it can give.
    """
    import numpy as np

    if not lines:
        return []
    wanted, gives, worth = (
        np.array([Fraction(figure) for figure in figures], dtype=object)
        for figures in zip(*((x.wanted, harvest.each_gives[x.product], x.worth) for x in lines), strict=True)
    )
    animals = int(animals_for(wanted, gives, worth))
    return [_whole(harvest, line, animals) for line in lines] if animals else []


def _whole(harvest: Harvest, line: PutUpLine, animals: int) -> PutUpLine:
    comes = floor(animals * harvest.each_gives[line.product])
    said, asks = counted(Fraction(comes), line.size), line.why.rsplit(":", 1)[0]
    words = f"{asks}: {said}, what comes with {small_count(animals)} of the {harvest.crop}"
    if not line.wanted:
        words += "; none of it is wanted: give, barter or make it over"
    elif (lack := ceil(line.wanted - animals * harvest.each_gives[line.product])) > 0:
        words += f"; {counted(Fraction(lack), line.size)} more would be wanted, too little for one more"
    elif comes > line.wanted:
        words += f"; {counted(line.wanted, line.size)} wanted"
    chances = [line.chances[n] if n < len(line.chances) else 0.0 for n in range(comes)]
    return replace(line, loads=comes, load=1, chances=chances_by_load(chances, 1), why=words)
