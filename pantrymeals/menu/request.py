"""What is asked of the planner, and who watches it work."""

from __future__ import annotations

from datetime import date
from typing import Protocol

from msgspec import Struct

from pantrymeals.records import MealName

DAYS_IN_ONE_PIECE = 10
"""Days up to which one model is solved whole; beyond, the long table's way."""

PATIENCE_SECONDS = 60.0
"""Where nobody said how long to search, a slow machine gets so much longer for a first menu."""


ENOUGH_SECONDS = 3.0
"""Once the cook has had enough: at most so long for a whole menu in place of one with gaps."""

FIRST_SECONDS = 30.0
"""And for one at all, where there is none yet: a second where a core is free, longer on a busy machine."""


class Pin(Struct, frozen=True):
    """This dish on this day; in whichever meal has its role when ``meal`` is None."""

    day: date
    dish: str
    meal: MealName | None = None


class MenuRequest(Struct, frozen=True):
    """A menu of ``days`` days from ``first``.

    seconds: time for solving, kept. seed: where chance has a hand.
    batch_days: whether batch days are proposed beside the menu.
    patience: so many seconds more while a week has no menu at all (a slow machine).
    alike: the same menu on every run for the same seed: work decides and not the clock, which only cuts in after
        several times as long; a little slower.
    gap: stop when no menu can be better by more than this share.
    banned: dishes not to be planned.
    promises_give_way: whether a short menu may miss fixed nights and weekly tags at a price, as a long one may.
    keep: (day, meal, role, dish) of an announced menu, to be changed as little as can be; changed
        meals cost ``change_price`` points each.
    """

    first: date
    days: int
    seed: int = 1
    seconds: float = 10.0
    gap: float = 0.01
    pinned: tuple[Pin, ...] = ()
    banned: frozenset[str] = frozenset()
    keep: tuple[tuple[date, MealName, str, str], ...] = ()
    change_price: int = 3000
    alike: bool = False
    batch_days: bool = True
    patience: float = 0.0
    promises_give_way: bool = False


class Watch(Protocol):
    """Someone at the pot: told how far it is, and able to say 'enough'."""

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:
        """Told now and then what is being worked on and how good the best plan is."""

    def stopped(self) -> bool:
        """True once the cook has had enough: the best plan so far is returned."""


class NobodyWatching:
    """A watch that sees nothing and never stops."""

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:
        """Nothing to show."""

    def stopped(self) -> bool:
        """Never."""
        return False
