"""Jars that fail: lids and glass that a season takes beyond the jars that stand on the shelf at its end."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

from msgspec import Struct

from pantrymeals.records import Household, Movement
from pantrymeals.units import as_words
from pantrymeals.words import plural

LEAST_JARS = 100
"""A book of fewer jars put up than this does not tell how many fail."""


class JarLosses(Struct, frozen=True):
    """Of the jars that go into the canner: the shares whose seal fails, and that break. told_by: whose figures."""

    failed: Fraction = Fraction(0)
    broken: Fraction = Fraction(0)
    told_by: str = ""

    def lids_for(self, jars: int) -> int:
        """Lids that fill so many sealed jars: one each, never used twice (AIB 539, Guide 1; from memory)."""
        return ceil(jars / (1 - self.failed - self.broken))

    def broken_of(self, jars: int) -> int:
        """Jars that break on the way to so many sealed ones."""
        return ceil(jars / (1 - self.failed - self.broken) * self.broken)


def jar_losses(household: Household, book: Iterable[Movement], failed: int) -> JarLosses:
    """The household's own shares by its book, else by what it wrote of last season, else none, which is said.

    failed: jars that the book has as not sealed, which are in no movement.
    """
    jars = {name for name, product in household.products.items() if product.kind == "jar"}
    ours = [m for m in book if m.product in jars]
    sealed = sum((m.count for m in ours if m.reason == "put up"), Fraction(0))
    broken = -sum((m.count for m in ours if m.note == "broken"), Fraction(0))
    filled = sealed + failed
    if filled >= LEAST_JARS:
        words = f"those that fail counted, by your book {failed} of {as_words(filled)} jars did not seal"
        words += f" and {plural(round(broken), 'jar')} broke" if broken else ""
        return JarLosses(failed / filled, broken / filled, words)
    facts = household.season
    if facts.lids_used and facts.seals_failed < facts.lids_used:
        share = Fraction(facts.seals_failed, facts.lids_used)
        return JarLosses(
            share, Fraction(0), f"those that fail counted, last season {facts.seals_failed} of {facts.lids_used}"
        )
    return JarLosses(told_by="none for seals that fail, of which nothing is written")
