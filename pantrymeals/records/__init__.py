"""What a household has and how it eats: frozen facts, as its files and its book say them.

Every amount is an exact Fraction of the product's own base measure (millilitres,
grams or pieces: see ``units``), unless its name says otherwise.
"""

from pantrymeals.records.days import *  # noqa: F403
from pantrymeals.records.household import *  # noqa: F403
from pantrymeals.records.store import *  # noqa: F403
