"""How good a menu is, in a cook's words: how near the best, what is off its share, what goes over."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.words import amount_and_name, by_hand, containers
from pantrymeals.units import as_words
from pantrymeals.words import day_of_month, listed, plural, sentence, short_day, small_count

SAME_MONTH = 21
"""Days within which 'Mon 19' cannot be taken for another month's."""

SAME_POINTS = 0.01
"""What is better by less than this is not better to a cook."""


OF_EVERY_WEEK = "Opened, home-canned jars are counted for"
"""How a note begins that says whose days opened jars are counted for: `explain` says it of each."""

LONG_DAYS = 10
"""Of menus of more days each place left open has a proof of its own, or is not settled."""

CHEAPEST_PLACE = 2500
"""Points of the least dear place left open: see 'What a menu costs'."""


def unsettled(plan: MenuPlan) -> tuple[str, ...]:
    """What must be settled in the household's files, said at the head of every menu until it is."""
    return (*_in_the_files(plan), *not_settled_words(plan))


def _in_the_files(plan: MenuPlan) -> tuple[str, ...]:
    return tuple(note for note in plan.notes if note.startswith("NOT SETTLED"))


def settled(plan: MenuPlan) -> tuple[str, ...]:
    """The plan's notes but those."""
    return tuple(note for note in plan.notes if note not in _in_the_files(plan))


THIN = "thin: bread and cheese beside it"
"""Said of a meal that stays under its least."""

FEW = 3
"""Of what is not settled so many are named; the rest are counted."""
MOST_GOING_OVER, MOST_LEFT_OVER = 2, 4
"""Of what goes over, and of leavings, so many on the sheet to hang up."""


def not_settled_words(plan: MenuPlan) -> tuple[str, ...]:
    """'NOT SETTLED: the search ended before it was known whether 1 place must be left open: main of supper on ...'."""
    said_day = _days_of(plan)
    open_now = [f"{one.what} of {one.meal} on {said_day(one.first)}" for one in plan.not_settled if one.meal]
    missed = []
    for one in plan.not_settled:
        if one.meal is None:
            when = f"on {said_day(one.first)}" if one.first == one.until else f"in the week from {said_day(one.first)}"
            missed.append(f"{one.what} {one.of} {when}" if one.of else f"'{one.what}' {when}")
    out = []
    for named, of, what in ((open_now, "place", "left open"), (missed, "promise", "missed")):
        if named:
            out.append(
                f"NOT SETTLED: the search ended before it was known whether {plural(len(named), of)} must be {what}: "
                f"{listed(named, FEW)}. More time (--seconds) may tell."
            )
    return tuple(out)


def how_good(sheet: MenuSheet, *, full: bool = True, fed: bool = True) -> tuple[str, ...]:
    """Plain sentences: the proof, open roles, evenness, what goes over, and the plan's own notes but those at its head.

    full: also what part of an even hand's pace these meals can follow, and what is so of every week's menu. fed: what
    is on the plates too: not where a table beside has what is eaten, of more than the plates.
    """
    plan = sheet.plan
    said = [nearness(plan), *open_words(plan), evenness_words(sheet), *(pace_words(sheet) if full else ())]
    said += (fed_words(sheet, full=full) if fed else []) + waste_words(sheet, full=full)
    said += left_over_words(sheet, full=full)
    said += [sentence(note) for note in settled(plan) if full or not note.startswith(OF_EVERY_WEEK)]
    if not sheet.broken and full:
        said.append("A checker apart finds every house rule kept.")
    return tuple(said)


def nearness(plan: MenuPlan) -> str:
    """'No menu under these rules can be more than 1 % better.'"""
    if plan.gap * max(plan.cost, 1.0) < SAME_POINTS:
        best = "No menu under these rules is better."
    else:
        best = f"No menu under these rules can be more than {_percent(plan.gap)} better."
    ended = {
        "proven": "",
        "time": f" Its time was up after {plan.seconds:.0f} seconds; more (--seconds) may find it.",
        "work": " The work asked for was done; more of it (--seconds) may find it.",
        "stopped": " You stopped the search; this is the best so far.",
    }[plan.ended]
    return best + ended


def _percent(share: float) -> str:
    """'0.4 %', '3 %', never rounded down to a better claim than was proven."""
    if share < 0.01:
        tenths = -(-share * 1000 // 1)
        return f"{tenths / 10:.1f} %"
    return f"{int(-(-share * 100 // 1))} %"


def open_words(plan: MenuPlan) -> list[str]:
    """A sentence when something is left open: that it had to be only where the proof leaves no room for filling one."""
    if not plan.open_roles:
        return []
    places = f"{plural(plan.open_roles, 'place')} on the menu"
    if plan.cost - plan.bound < CHEAPEST_PLACE:
        return [f"{places} had to be left open (marked above)."]
    open_now = "is" if plan.open_roles == 1 else "are"
    if plan.days > LONG_DAYS:
        unsure = sum(one.meal is not None for one in plan.not_settled)
        sure = plan.open_roles - unsure
        said = [f"{places} {open_now} left open (marked above)"]
        if sure:
            which = "none of them could" if sure == plan.open_roles else f"{sure} of them could not"
            said.append(
                f"{which} be filled, for nothing dearer, by cooking its day anew with all other days as they are"
            )
        if unsure:
            said.append(f"of {unsure} that is not settled")
        return ["; ".join(said) + "."]
    return [
        f"{places} {open_now} left open (marked above); whether that must be is not settled: give it more --seconds."
    ]


def evenness_words(sheet: MenuSheet) -> str:
    """'Evenly drawn down but for Salsa (1 pt more than its share) and Leeks (2 fewer).'"""
    off = sorted((row for row in sheet.plan.shares if row.off != 0), key=lambda r: -abs(r.off))
    if not off:
        return "Everything is drawn down evenly, within a usual cooking of its share."
    if len(off) > 2:
        return f"{len(off)} products are off an even hand's share, most of all {_off_words(sheet, off[0])}."
    return f"Everything is drawn down evenly but {listed(_off_words(sheet, row) for row in off)}."


def pace_words(sheet: MenuSheet) -> tuple[str, ...]:
    """'These meals can eat about 85 of every 100 parts that would be even ...'; nothing of a whole pace.

    What it does is shown of the product of which the most is asked.
    """
    pace = sheet.plan.pace
    if pace >= 1:
        return ()
    said = f"These meals can eat {int(pace * 100)} in 100 parts of what would go by an even hand, so that much is asked"
    most = max(sheet.plan.shares, key=lambda row: row.share, default=None)
    if most is None or not most.share or not pace:
        return (f"{said}.",)
    product = sheet.household.products.get(most.product)
    whole, asked = (containers(product, Fraction(round(10 * share), 10)) for share in (most.share / pace, most.share))
    return (f"{said}: of {most.product} about {asked}, not {whole}.",)


def _off_words(sheet: MenuSheet, row: ShareRow) -> str:
    over = row.drawn > row.high
    product = sheet.household.products.get(row.product)
    by = row.drawn - row.high if over else row.low - row.drawn
    said = by_hand(max(by, Fraction(0)), product.sizes[0].name) if product else as_words(by)
    return f"{row.product} ({said} {'more' if over else 'less'} than its share)"


def _days_of(plan: MenuPlan) -> Callable[[date], str]:
    """'Sat 17' where no other Saturday the 17th is near; 'Sat 17 Jan' in a long menu."""
    return day_of_month if plan.days <= SAME_MONTH else short_day


def left_over_words(sheet: MenuSheet, *, full: bool = True) -> list[str]:
    """'Left over, good in the fridge: cold chicken (three portions of Sun 18, to Wed 21)': what no later dish takes.

    full: all of it, else the first few and how many more.
    """
    said_day = _days_of(sheet.plan)
    unused = [one for one in sheet.left_over if one.becomes is None]
    said = []
    for one in unused:
        when = f"{said_day(one.day)}, to {said_day(one.keeps_to)}"
        said.append(f"{one.name or one.dish} ({portions_words(one.portions)} of {when})")
    more = 0 if full else len(said) - MOST_LEFT_OVER
    if more > 1:
        said = [*said[:MOST_LEFT_OVER], f"and {small_count(more)} more (--full has all)"]
    return [f"Left over, good in the fridge: {'; '.join(said)}."] if said else []


def fed_words(sheet: MenuSheet, *, full: bool = True) -> list[str]:
    """'On the plates: 97 in 100 parts of the energy needed, 64 by the menu and 33 by what always stands on the table.'

    The days of least and most; those outside their band by name; protein; and dishes of which there is no figure (in
    full by name).
    """
    days = sheet.fed.days
    need = sum(day.need for day in days)
    if not need:
        return []
    by_menu, standing = (parts_in(sum(held), need) for held in zip(*((d.menu, d.standing) for d in days), strict=True))
    each = [parts_in(day.menu + day.standing, day.need) for day in days]
    spread = f", from {min(each)} to {max(each)} by the day" if len(each) > 1 else ""
    said_day = _days_of(sheet.plan)
    off = [f"{said_day(day.day)} ({parts})" for day, parts in zip(days, each, strict=True) if day.outside]
    unknown = sheet.fed.unknown
    in_full = f"{listed(unknown)}: taken at a part, its protein not counted"
    without = in_full if full else plural(len(unknown), "dish")
    asked, *grams = sheet.fed.protein
    protein = f" Of the protein needed {parts_in(sum(grams), asked)} in 100 parts." if asked else ""
    return [
        f"On the plates: {by_menu + standing} in 100 parts of the energy needed, {by_menu} by the menu and {standing} "
        f"by what always stands on the table{spread}."
        + (f" Too little or too much: {', '.join(off)}." if off else "")
        + protein
        + (f" No figure of {without}." if unknown else "")
    ]


def parts_in(held: int, need: int) -> int:
    """Whole parts in a hundred."""
    return round(100 * held / need)


def portions_words(portions: Fraction) -> str:
    """'one portion', 'four portions', '2 1/2 portions'."""
    number = small_count(int(portions)) if portions.denominator == 1 else as_words(portions)
    return f"{number} {'portion' if portions == 1 else 'portions'}"


def waste_words(sheet: MenuSheet, *, full: bool = True) -> list[str]:
    """'Goes over unless somebody eats it up: 1/2 pt Salsa (Thu 22).' full: all of it, else the first few and how many
    more."""
    waste = sheet.plan.waste
    if not waste:
        return ["Nothing that is opened goes over."]
    said_day = _days_of(sheet.plan)
    parts = [f"{amount_and_name(sheet.household, w.product, w.amount)} ({said_day(w.day)})" for w in waste]
    more = 0 if full else len(parts) - MOST_GOING_OVER
    if more > 1:
        parts = [*parts[:MOST_GOING_OVER], f"and {small_count(more)} more (--full has all)"]
    return [f"Goes over unless somebody eats it up: {', '.join(parts)}."]
