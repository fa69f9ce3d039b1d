"""What the rule of the put-up list does over years: failed crops, a lost freezer, a lost garden, drawn together.

Every household drawn follows the list: after a good crop each shelf is filled to its aim, and none is put up where a
year's need stands there still. The products of a crop fail together, what the garden grows fails with a lost garden,
and a lost freezer takes what is left in it half a year after the crop; what does not keep two years is gone by the
next. What is cut from a whole animal comes by whole animals, as on the list. All products are drawn at once, by numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.plans.years_ahead import FamilyAhead, ProductAhead, Reserve, YearsAhead
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.kitchen_work import hours_of, litres_of, load_of
from pantrymeals.season.loads import whole_loads
from pantrymeals.season.put_up_list import CropShelf, keeps_two_years, shelves_of, worth_of
from pantrymeals.season.whole_animals import animals_for

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

PATHS = 400
RESERVES = (("a year's need alone", None), ("as the list has it", 0), ("a year's need more", 1))
"""The three shelves that are compared, by how many years' need stands beyond the list's aim."""


class Lost(Struct, frozen=True):
    """How often, as one year in so many, a whole freezer or the whole garden is lost; 0: never."""

    freezer: int = 0
    garden: int = 0


class _Animal(Struct, frozen=True):
    """One that comes whole: what it gives of each cut, what that is worth, and which of the cuts the table wants.

    at: the places of those among the shelves.
    """

    at: NDArray[np.intp]
    asked: NDArray[np.bool_]
    gives: NDArray[np.float64]
    worth: NDArray[np.float64]


class _Drawn(Struct, frozen=True):
    """Drawn once and used for every reserve. wanted: [years, paths, products]; failed, thawed: the same, yes or no."""

    wanted: NDArray[np.float64]
    failed: NDArray[np.bool_]
    thawed: NDArray[np.bool_]


class _Lived(Struct, frozen=True):
    """What came of it. short: [years, paths, products] whether it ran out. missing, put_up, most: [products] a year."""

    short: NDArray[np.bool_]
    missing: NDArray[np.float64]
    put_up: NDArray[np.float64]
    most: NDArray[np.float64]


def years_ahead(asked: SeasonQuestion, years: int = 10, lost: Lost | None = None, paths: int = PATHS) -> YearsAhead:
    """How often each product and family runs out under the list's rule, and what more or less reserve would change."""
    import numpy as np

    lost = lost or Lost()
    shelves = shelves_of(asked)
    if not shelves:
        return YearsAhead(years, paths, (), (), (), lost.freezer, lost.garden)
    drawn = _draw(asked, shelves, years, paths, lost)
    need = np.array([shelf.a_year for shelf in shelves], dtype=float)
    aims = np.array([shelf.aim for shelf in shelves], dtype=float)
    keeps = np.array([keeps_two_years(shelf.product) for shelf in shelves])
    lived, reserves, animals = None, [], _animals(asked, shelves)
    for words, more in RESERVES:
        filled = need if more is None else np.where(keeps, aims + more * need, aims)
        found = _live(shelves, animals, drawn, filled, need)
        lived = found if more == 0 else lived
        reserves.append(_reserve(asked, shelves, words, found, drawn))
    assert lived is not None  # the list's own stands among them
    rows = [
        ProductAhead(
            shelf.product.name,
            shelf.product.family,
            float(lived.short[:, :, at].any(axis=0).mean()),
            float(lived.short[:, :, at].sum(axis=0).mean()),
            float(lived.missing[at] / max(drawn.wanted[:, :, at].mean(), 1e-9)),
        )
        for at, shelf in enumerate(shelves)
    ]
    rows.sort(key=lambda row: (-row.years_out, row.product))
    return YearsAhead(
        years, paths, tuple(rows), _families(shelves, lived.short), tuple(reserves), lost.freezer, lost.garden
    )


def _draw(asked: SeasonQuestion, shelves: Sequence[CropShelf], years: int, paths: int, lost: Lost) -> _Drawn:
    import numpy as np

    rng = np.random.default_rng(asked.seed)
    shape = (years, paths)
    crops = {shelf.harvest.crop: float(shelf.risk.fails) for shelf in shelves}
    luck = {crop: rng.random(shape) < fails for crop, fails in sorted(crops.items())}
    no_garden = rng.random(shape) < (1 / lost.garden if lost.garden else 0)
    no_freezer = rng.random(shape) < (1 / lost.freezer if lost.freezer else 0)
    wanted, failed, thawed = [], [], []
    for shelf in shelves:
        mean, spread = float(shelf.need.a_year), max(shelf.need.spread, 1e-6)
        wanted.append(rng.gamma(1 / spread**2, mean * spread**2, shape))
        failed.append(luck[shelf.harvest.crop] | (no_garden & shelf.harvest.grown))
        thawed.append(no_freezer & (shelf.product.kind == "freezer"))
    return _Drawn(np.stack(wanted, axis=2), np.stack(failed, axis=2), np.stack(thawed, axis=2))


def _animals(asked: SeasonQuestion, shelves: Sequence[CropShelf]) -> list[_Animal]:
    """Those of the household's harvests of which the table wants a cut."""
    import numpy as np

    places = {shelf.product.name: at for at, shelf in enumerate(shelves)}
    out = []
    for harvest in asked.facts.harvests:
        wanted = np.array([name in places for name in harvest.each_gives], dtype=bool)
        if wanted.any():
            at = np.array([places[name] for name in harvest.each_gives if name in places])
            gives = np.array([float(gives) for gives in harvest.each_gives.values()])
            worth = np.array([float(worth_of(asked.household.products[name])) for name in harvest.each_gives])
            out.append(_Animal(at, wanted, gives, worth))
    return out


def _by_whole_animals(animal: _Animal, lacking: NDArray[np.float64]) -> NDArray[np.float64]:
    """What comes of the cuts that are wanted, of which so much lacks [paths, those cuts]."""
    import numpy as np

    wanted = np.zeros((len(lacking), len(animal.gives)))
    wanted[:, animal.asked] = lacking
    number = animals_for(wanted, animal.gives, animal.worth)
    return np.floor(number[:, None] * animal.gives[animal.asked])


def _live(
    shelves: Sequence[CropShelf], animals: Sequence[_Animal], drawn: _Drawn, filled: NDArray[np.float64],
    need: NDArray[np.float64],
) -> _Lived:  # fmt: skip
    """Year after year: fill, eat, carry over. filled: what each shelf is filled to [products]."""
    import numpy as np

    still = np.array([float(shelf.risk.still_brings) for shelf in shelves]) * need
    keeps = np.array([keeps_two_years(shelf.product) for shelf in shelves])
    stock = np.zeros(drawn.wanted.shape[1:]) + np.array([float(shelf.carried) for shelf in shelves])
    short = np.zeros(drawn.wanted.shape, dtype=bool)
    missing, put_up, most = (np.zeros(len(shelves)) for _ in range(3))
    for year, wanted in enumerate(drawn.wanted):
        room = np.where(stock >= need, 0.0, np.maximum(0.0, filled - stock))
        for animal in animals:
            room[:, animal.at] = _by_whole_animals(animal, np.maximum(0.0, filled - stock)[:, animal.at])
        came = np.where(drawn.failed[year], np.minimum(room, still), room)
        stock = stock + came
        most += stock.mean(axis=0)
        half = np.minimum(stock, wanted / 2)
        left = np.where(drawn.thawed[year], 0.0, stock - half)
        used = half + np.minimum(left, wanted - half)
        stock = np.where(keeps, np.maximum(0.0, left - (used - half)), 0.0)
        lacking = wanted - used
        short[year] = lacking > 0.5
        missing += lacking.mean(axis=0)
        put_up += came.mean(axis=0)
    count = len(drawn.wanted)
    return _Lived(short, missing / count, put_up / count, most / count)


def _families(shelves: Sequence[CropShelf], short: NDArray[np.bool_]) -> tuple[FamilyAhead, ...]:
    """Families of two kinds or more: in how many of the years all of them ran out at once."""
    places: dict[str, list[int]] = {}
    for at, shelf in enumerate(shelves):
        places.setdefault(shelf.product.family, []).append(at)
    out = [
        FamilyAhead(family, len(at), float(short[:, :, at].all(axis=2).sum(axis=0).mean()))
        for family, at in places.items()
        if len(at) > 1
    ]
    return tuple(sorted(out, key=lambda row: (-row.years_out, row.family)))


def _reserve(
    asked: SeasonQuestion, shelves: Sequence[CropShelf], words: str, lived: _Lived, drawn: _Drawn
) -> Reserve:  # fmt: skip
    """What a shelf so filled costs a year: jars, packs, kitchen hours, and what stands there once the crops are in."""
    jars = packs = hours = standing = litres = metres = 0.0
    for at, shelf in enumerate(shelves):
        made, product = float(lived.put_up[at]), shelf.product
        if product.kind == "jar":
            jars += made
            standing += float(lived.most[at])
            metres += float(lived.most[at] * float(asked.facts.jar_width_mm.get(product.sizes[0].name, 0)) / 1000)
        elif product.kind == "freezer":
            packs += made
            litres += float(lived.most[at]) * float(litres_of(product))
        first, later = hours_of(asked, product)
        loads = whole_loads(ceil(made), load_of(asked, product)) if made else 0
        hours += float(first + later * (loads - 1)) if loads else 0.0
    out = float(lived.short.sum(axis=0).mean())
    served = 1 - float(lived.missing.sum() / max(drawn.wanted.mean(axis=(0, 1)).sum(), 1e-9))
    return Reserve(words, out, served, jars, packs, hours, standing, litres, metres)
