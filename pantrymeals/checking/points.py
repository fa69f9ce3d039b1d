"""What each wish weighs, in points: the table of 'What a menu costs' in DEVELOPERS.md, written down a second time."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from pantrymeals.records import Role

OPEN: Mapping[Role, Fraction] = {
    "main": Fraction(6000),
    "breakfast": Fraction(4000),
    "lunch": Fraction(4000),
    "side": Fraction(3500),
    "bread": Fraction(2500),
    "fruit": Fraction(2500),
    "sweet": Fraction(2500),
}
LIKED_LESS = 8
MINUTE = Fraction(1, 10)
REFUSED = 60
OPTION_LESS_LIKED = 3
STAND_IN_RANKS = 3
ALONE = 8
EVERYDAY = 600
STEP_TOO_LATE = 600
MAIN_STOOD_LATELY = 90
MORNING_OR_NOON_STOOD_LATELY = 25
STOOD_LATELY = 8
SAME_MORNING = 300
SAME_THING_AGAIN = 20
UNDER_ITS_LEAST = 4000
DAY_OFF = 20000
OFF = 1000
FURTHEST_OFF = 500
FEWEST_STEPS = 4
GONE_OVER = 60
THAWED_GONE_OVER = 600
OPEN_AT_THE_END = 15
NOT_EATEN_FIRST = 1200
FEWEST_NOT_EATEN = 4
MISSED = 3000
OPENED_WHILE_FRESH = 200
FEAST_MISSED = 9000
