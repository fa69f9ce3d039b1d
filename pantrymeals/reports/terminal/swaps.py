"""Other dishes for one place of the menu, and what each would do."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import SwapOffer
from pantrymeals.records import Household, MealName, Role
from pantrymeals.reports.terminal.menu import place_words
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import amount_and_name
from pantrymeals.words import first_four, listed, long_day, sentence


def write_swaps(
    paper: Paper, household: Household, place: tuple[date, MealName, Role, str], offers: tuple[SwapOffer, ...]
) -> None:
    """The offers, the best first; each with evenness, waste and minutes."""
    day, meal, role, dish = place
    paper.heading(f"Instead of {dish}")
    paper.line(
        f"{long_day(day)}, {place_words(meal, role)}; everything else stays as it is, and every house rule is kept."
    )
    if not offers:
        paper.line("Nothing else fits there.")
    for number, offer in enumerate(offers, 1):
        besides = f" ({listed(offer.besides)})" if offer.besides else ""
        paper.line((f"{number}. ", "bold"), (offer.dish, "bold"), besides, indent=2, hang=3)
        for text in effects(household, offer):
            paper.line(text, indent=5, hang=2)


def effects(household: Household, offer: SwapOffer) -> tuple[str, ...]:
    """What a swap does: shares, waste and minutes, in plain sentences."""
    return (shares_words(offer), waste_words(household, offer), minutes_words(offer))


def shares_words(offer: SwapOffer) -> str:
    """'Nearer to an even share: Carrots. Further from it: Rice.'"""
    parts = []
    if offer.nearer:
        parts.append(f"nearer to an even share: {first_four(offer.nearer)}")
    if offer.further:
        parts.append(f"further from it: {first_four(offer.further)}")
    if not parts:
        return "As even as before."
    if not offer.nearer:
        parts[0] = f"further from an even share: {first_four(offer.further)}"
    return " ".join(map(sentence, parts))


def waste_words(household: Household, offer: SwapOffer) -> str:
    """'More would go over: 1/2 pt Salsa.'"""
    more = [amount_and_name(household, name, amount) for name, amount in offer.waste if amount > 0]
    less = [amount_and_name(household, name, abs(Fraction(amount))) for name, amount in offer.waste if amount < 0]
    parts = []
    if more:
        parts.append(f"More would go over: {'; '.join(more)}.")
    if less:
        parts.append(f"Saved from going over: {'; '.join(less)}.")
    return " ".join(parts) if parts else "Nothing more goes over."


def minutes_words(offer: SwapOffer) -> str:
    """'10 minutes sooner on the table, 5 minutes more hands-on work.'"""
    if offer.minutes == 0:
        ready = "On the table as soon"
    else:
        ready = f"On the table {abs(offer.minutes)} minutes {'later' if offer.minutes > 0 else 'sooner'}"
    if offer.hands_on_minutes == 0:
        return f"{ready}, with as much work."
    word = "more" if offer.hands_on_minutes > 0 else "less"
    return f"{ready}, with {abs(offer.hands_on_minutes)} minutes {word} of hands-on work."
