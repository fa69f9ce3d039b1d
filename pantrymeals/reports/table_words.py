"""What the table said of a dish, in words."""

from __future__ import annotations

from pantrymeals.records import Dish, Heard
from pantrymeals.reports.words import hand_number
from pantrymeals.words import short_date


def heard_words(heard: Heard, dish: Dish) -> str:
    """'not again (Corin, 12 Jan), too much (19 Jan): liking -1, not 1 as written; feeds 6 3/4, not 6'."""
    told = ", ".join(f"{w.word} ({f'{w.who}, ' if w.who else ''}{short_date(w.day)})" for w in heard.words)
    does = []
    if dish.liking != heard.liking:
        does.append(f"liking {dish.liking}, not {heard.liking} as written")
    if dish.serves != heard.serves:
        does.append(f"counted as feeding {hand_number(dish.serves)}, not {hand_number(heard.serves)}")
    return f"{told}: {'; '.join(does) or 'it stays as written'}"
