"""What is lost in store, by kind of store and month: rot in the cellar, a freezer lid, a seal that let go."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from pantrymeals.forecast.history import History
from pantrymeals.records import Kind, Product

_USUAL_A_WEEK: Mapping[Kind, float] = {"jar": 0.0003, "freezer": 0.0004, "cellar": 0.004, "dry": 0.0002, "fridge": 0.0}
"""Share of the stock lost in a week before the book says otherwise: common practice, no published source."""
_LATE_WINTER = {1: 1.5, 2: 2.0, 3: 2.5, 4: 2.5, 5: 2.0}
"""Cellar goods sprout and shrivel from February on (month index: factor): common practice, no
published source."""
_KIND_WEEKS = 60.0
"""How many shelf-weeks a month the usual loss is worth against the book's."""
_OWN_EVENTS = 3.0
"""How many losses the kind's rate is worth against the product's own."""


class Loss(Struct, frozen=True):
    """One product's loss: [12] share of the stock a week by month, containers at one go, Gamma shape."""

    weekly: tuple[float, ...]
    go: float
    sure: float


def learn_losses(history: History, products: Mapping[str, Product]) -> dict[str, Loss]:
    """Every product's loss in store, drawn towards its kind's, drawn towards the usual."""
    kinds = {name: products[name].kind for name in history.names}
    by_kind = {kind: _kind_year(history, kinds, kind) for kind in set(kinds.values())}
    return {name: _own(history, row, name, by_kind[kinds[name]]) for row, name in enumerate(history.names)}


def _usual(kind: Kind) -> NDArray[np.float64]:
    year = np.full(12, _USUAL_A_WEEK[kind])
    if kind == "cellar":
        for month, factor in _LATE_WINTER.items():
            year[month] *= factor
    return year


def _kind_year(history: History, kinds: Mapping[str, Kind], kind: Kind) -> NDArray[np.float64]:
    """Share lost a week by month over all products of a kind; each product counts by its own usual stock."""
    rows = [row for row, name in enumerate(history.names) if kinds[name] == kind and (history.stock[row] > 0).any()]
    usual = _usual(kind)
    lost, weeks = usual * _KIND_WEEKS, np.full(12, _KIND_WEEKS)
    if rows:
        stock, gone = history.stock[rows], history.lost[rows]
        typical = stock.sum(axis=1) / (stock > 0).sum(axis=1)
        in_month = history.months[:, None] == np.arange(12)
        lost += (gone @ in_month / typical[:, None]).sum(axis=0)
        weeks += (stock @ in_month / typical[:, None]).sum(axis=0)
    return np.asarray(np.minimum(lost / weeks, 0.5))


def _own(history: History, row: int, name: str, kind_year: NDArray[np.float64]) -> Loss:
    """A product's own factor on its kind's year, by the losses seen against those to be expected."""
    stock, lost = history.stock[row], history.lost[row]
    go = history.loss_go[name] or 1.0
    hoped = float((stock * kind_year[history.months]).sum()) / go if stock.size else 0.0
    seen = float(lost.sum()) / go
    factor = (_OWN_EVENTS + seen) / (_OWN_EVENTS + hoped)
    return Loss(tuple(float(x) for x in np.minimum(kind_year * factor, 0.5)), go, _OWN_EVENTS + seen)
