"""The season on two screens, in the order of deciding: what does not fit, what to buy, which weeks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from pantrymeals.cautions import CAUTIONS
from pantrymeals.plans.season import LEAST_MENU_DAYS, FittedSeason, LimitUse, PutUpList, ShelfPlace, ToBuy, TwoNeeds
from pantrymeals.reports.season_words import gain_words, jar_count, limit_words, percent, weeks_of
from pantrymeals.reports.terminal.cautions import BEFORE
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import capital, listed, near_short_day, plural, priced, sentence

MOST_CUTS, MOST_GAINS, MOST_LIMITS, MOST_APART = 8, 3, 6, 10
FULL = 0.85
"""What is taken of a limit from which on it is named: common practice, no published source."""


def write_cuts_in_short(paper: Paper, wanted: PutUpList, fitted: FittedSeason, places: Iterable[ShelfPlace]) -> None:
    """What does not fit, a line each, what is most surely carried over first; and what is nearly full."""
    paper.heading("What does not fit, and what to cut first")
    if fitted.cuts:
        proof = "no better choice exists" if fitted.proven else "the best found in the time, not proven"
        paper.line(f"Cut from the top, what is most surely carried over first ({proof}).")
        paper.blank()
        paper.table(
            ("cut", "how many", "called for", "for want of"),
            [(c.product, jar_count(c.jars, c.size), percent(c.chance), c.why) for c in fitted.cuts[:MOST_CUTS]],
            right=(2,),
            widths=(28, 14, 10, None),
        )
        if more := fitted.cuts[MOST_CUTS:]:
            paper.line(f"And then {listed(dict.fromkeys(cut.product for cut in more), 12)}.")
    else:
        paper.line("All of it fits the jars, hours, freezer and ground there are.")
    for item in [item for item in fitted.one_more if item.gain > 0 and item.jars][:MOST_GAINS]:
        paper.line((f"{capital(item.what)} would bring ", "bold"), gain_words(item), hang=2)
    for note in fitted.notes:
        paper.line(sentence(note), hang=2)
    own = [use for use in fitted.uses if not use.what.endswith("with free ground")]  # by itself it is always full
    full = sorted((use for use in own if _share(use) >= FULL), key=_share, reverse=True)
    if full:
        said = "; ".join(f"{use.what} {limit_words(use, metric=wanted.metric)}" for use in full[:MOST_LIMITS])
        paper.line(("Nearly full: ", "bold"), f"{said}. Taken together all else has room.", hang=2)
    _write_places(paper, wanted, tuple(places))


def _write_places(paper: Paper, wanted: PutUpList, places: Sequence[ShelfPlace]) -> None:
    """Shelves that would have to hold more than their row, and every freezer."""
    shelves = [place for place in places if place.unit == "metres"]
    if over := [place for place in shelves if place.taken > place.there]:
        said = listed(f"{p.place} {_room(p, wanted)}" for p in over)
        free = sum((p.there - p.taken for p in shelves if p.taken <= p.there), Fraction(0))
        rest = f"; the other shelves have {_room(ShelfPlace('', free, free), wanted).split(' of ', 1)[1]} free"
        paper.line(("Shelves over full once the crops are in: ", "bold"), f"{said}{rest if free else ''}.", hang=2)
    if freezers := [place for place in places if place.unit == "litres"]:
        paper.line(
            ("Freezers once the crops are in: ", "bold"), f"{listed(_freezer(p, wanted) for p in freezers)}.", hang=2
        )


def _freezer(place: ShelfPlace, wanted: PutUpList) -> str:
    """'F2 (chest) 700 of 590 quarts, over full'; '40 quarts that have no place yet'."""
    if not place.place:
        said = _room(ShelfPlace("", place.taken, place.taken, "litres"), wanted).split(" of ", 1)[1]
        return f"{said} that have no place yet"
    named = f"{place.place} ({place.name})" if place.name else place.place
    return f"{named} {_room(place, wanted)}{', over full' if place.taken > place.there else ''}"


def _room(place: ShelfPlace, wanted: PutUpList) -> str:
    """'69 of 47 feet', '320 of 340 litres'."""
    return limit_words(LimitUse("", place.there, place.taken, place.unit), metric=wanted.metric)


def _share(use: LimitUse) -> float:
    return float(use.taken / use.have) if use.have else 0.0


def write_two_needs(paper: Paper, differ: Iterable[TwoNeeds], menu_days: int) -> None:
    """Where book and menus differ, side by side, and how the household chooses; nothing where there are no menus.

    menu_days: days of the menus that were laid beside the book.
    """
    differ = tuple(differ)
    if not differ:
        if menu_days:
            said = (
                "agree on a year" if menu_days >= LEAST_MENU_DAYS else "are too few days to speak of a year: 8 weeks do"
            )
            paper.line(("Menus: ", "bold"), f"the {plural(menu_days, 'day')} of them beside the book {said}.", hang=2)
        return
    paper.heading("Book and menus, where they differ (a year)")
    paper.table(
        ("product", "by the book", "by the menus", ""),
        [
            (
                two.product,
                jar_count(round(two.by_book), two.size),
                jar_count(round(two.by_menus), two.size),
                "as you chose" if two.chosen else "",
            )
            for two in differ[:MOST_APART]
        ],
        right=(1, 2),
        widths=(28, 16, 16, None),
    )
    more = f"{len(differ) - MOST_APART} more differ. " if len(differ) > MOST_APART else ""
    paper.line(
        f"{more}The list goes by the book, but for what stands under 'needs' in season.yaml: "
        f"{{product: {differ[0].product}, by: menus}}, by: book, or a_year: 24."
    )


def write_buying(paper: Paper, bought: Iterable[ToBuy], money: str, today: date) -> None:
    """What is to be bought, by when and for how much; the reasons under it."""
    bought = tuple(bought)
    paper.heading("To buy")
    if not bought:
        paper.line("Nothing: lids and jars are there.")
        return
    paper.ledger(
        ("what", "how many", "by", "cost"),
        [
            (
                (
                    item.what,
                    jar_count(item.count, item.size) if item.size else str(round(item.count)),
                    near_short_day(item.by, today) if item.by else "",
                    "no price" if item.cost is None else priced(item.cost, money),
                ),
                sentence(item.why) if item.why else "",
            )
            for item in bought
        ],
        right=(1, 3),
    )
    known = [item.cost for item in bought if item.cost is not None]
    if known:
        rest = "" if len(known) == len(bought) else ", what has no price left out"
        paper.line(f"In all {priced(sum(known, Fraction(0)), money)}{rest}.")


def write_weeks_in_short(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """Each week of putting up: kitchen hours taken of those there are, and how many of what."""
    weeks = weeks_of(wanted, fitted)
    if not weeks:
        return
    paper.heading("The weeks, with their hours (canning, freezing and drying)")
    for week in weeks:
        said = "; ".join(f"{product} {jar_count(n, size)}" for (product, size), n in week.counts.items())
        comma = "," if week.name[-1].isdigit() else ""  # a year before the hours
        hours = f"{comma} {week.hours} h" if week.hours else ""
        paper.line((f"{week.name}{hours}: ", "bold"), said + ".", hang=2)


def write_none_in_short(paper: Paper, wanted: PutUpList) -> None:
    """Products to leave alone, named."""
    if wanted.none:
        paper.blank()
        names = "; ".join(name for name, _ in wanted.none)
        paper.line(("None of these: ", "bold"), f"{names} (--full says why, and has the rows one by one).", hang=2)


def write_cautions_in_short(paper: Paper, wanted: PutUpList) -> None:
    """Each caution in its short words; the line of every page whole."""
    known = [each for each in wanted.cautions if each.number in CAUTIONS]
    whole = [each for each in known if CAUTIONS[each.number].always_whole]
    short = [f"{each.number} {CAUTIONS[each.number].short}" for each in known if each not in whole]
    paper.heading(BEFORE)
    if short:
        paper.line(" ".join(short))
    for each in whole:
        paper.line((f"{each.number}  ", "bold"), each.words, hang=4)
    for each in wanted.cautions:
        if each.number not in CAUTIONS:
            paper.line(each.words)
