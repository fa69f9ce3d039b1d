"""What a household has and how it eats: frozen facts, as its files and its book say them.

Every amount is an exact Fraction of the product's own base measure (millilitres,
grams or pieces: see ``units``), unless its name says otherwise.

The part that a stroke in the tally has no need of is loaded when a name of it is first asked for, and the days alone
where a pull asks for them: Python takes half a millisecond for each of these classes, and a tally has no more than
two hundred.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from pantrymeals.records.store import *  # noqa: F403

if TYPE_CHECKING:
    from pantrymeals.records.days import *  # noqa: F403
    from pantrymeals.records.household import *  # noqa: F403
else:

    def __getattr__(name: str) -> object:
        part = "days" if name in ("Arrival", "Occasion") else "household"
        return getattr(import_module(f"pantrymeals.records.{part}"), name)
