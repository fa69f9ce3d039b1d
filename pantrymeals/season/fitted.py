"""The list within its limits: its calendar, what to cut first, and what one more would bring."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from math import ceil

from pantrymeals.plans.season import Cut, FittedSeason, LimitUse, OneMore, PutUpLine, WeekLoads
from pantrymeals.season.calendar import deal_days
from pantrymeals.season.fit import SOLVE_SECONDS, Chosen, choose_loads, load_worth, spent
from pantrymeals.season.jar_losses import JarLosses
from pantrymeals.season.limits import GRAIN, Limit, SeasonLimits, one_more_of, weeks_of


def fit_season(
    lines: Iterable[PutUpLine], limits: SeasonLimits, flats: Mapping[str, int], wide_share: Fraction,
    seed: int = 1, seconds: float = SOLVE_SECONDS, losses: JarLosses | None = None,
) -> FittedSeason:  # fmt: skip
    """The list within the limits: its calendar, its cuts, and what one more of each would bring."""
    lines = tuple(lines)
    began = time.monotonic()
    chosen = choose_loads(lines, limits, seed, seconds, even_weeks=True)
    loads = {line.product: chosen.of(line.product) for line in lines}
    cuts = _cuts(lines, loads, limits, chosen)
    more = _one_more(lines, limits, chosen, seed, seconds) if cuts else ()
    return FittedSeason(
        weeks=tuple(
            WeekLoads(week, product, n)
            for (product, week), n in sorted(chosen.loads.items(), key=lambda kv: (kv[0][1], kv[0][0]))
        ),
        days=deal_days(lines, chosen, limits.most_loads_a_day, limits.canning_days),
        loads=loads,
        cuts=cuts,
        uses=_uses(limits, chosen),
        one_more=more,
        flats_to_buy=flats_to_buy(lines, loads, flats, wide_share, losses or JarLosses()),
        worth=chosen.worth,
        bound=chosen.bound,
        proven=chosen.proven,
        seconds=time.monotonic() - began,
        hours_by_week=_hours_by_week(limits, chosen),
        notes=_smaller_jars(cuts, limits, chosen),
    )


_SMALLER = {"half-gallon jars": "quart jars", "quart jars": "pint jars", "pint jars": "half-pint jars"}


def _smaller_jars(cuts: tuple[Cut, ...], limits: SeasonLimits, chosen: Chosen) -> tuple[str, ...]:
    """Where a size is short and the next smaller one is not: going down is allowed, never up (C6)."""
    spare = {use.what: use.have - use.taken for use in _uses(limits, chosen)}
    out = []
    for short, smaller in _SMALLER.items():
        if any(short in cut.why for cut in cuts) and spare.get(smaller, Fraction(0)) >= 12:
            out.append(
                f"About {int(spare[smaller])} {smaller} stay empty: what is cut may go into them, since a "
                "smaller jar than the tested recipe's may be used, never a larger (C6)"
            )
    return tuple(out)


def taken_of(limit: Limit, chosen: Chosen, week: date | None = None) -> int:
    """Hundredths of a limit that the chosen loads take: in all, or in (up to, if running) one week."""
    return sum(spent(limit, chosen.loads, chosen.days, week))


def freed_of(limit: Limit, chosen: Chosen, week: date) -> int:
    """Hundredths of a running limit that come free of new jars by a week."""
    total = 0
    for product, by_week in limit.freed.items():
        put_up = sum(n for (p, w), n in chosen.loads.items() if p == product and w <= week)
        total += min(by_week.get(week, 0), put_up * limit.takes[product])
    return total


def _fullness(pair: tuple[int, int]) -> tuple[float, int]:
    have, taken = pair
    return (taken / have if have else 0.0, -have)


def _borrowed(limits: SeasonLimits, chosen: Chosen, pool: str) -> int:
    """Hundredths of a pool that the limits borrowing from it take."""
    ours = (limit for limit in limits.limits if limit.pool == pool)
    return ceil(sum(max(0, taken_of(limit, chosen) - limit.in_all) * limit.pool_rate for limit in ours))


def _uses(limits: SeasonLimits, chosen: Chosen) -> tuple[LimitUse, ...]:
    """Each limit at its tightest: the season's, or the week in which least is left."""
    out = []
    for limit in limits.limits:
        if limit.name == "free ground":
            have, taken = limit.in_all, _borrowed(limits, chosen, limit.name)
        elif limit.span == "season":
            have, taken = limit.in_all, taken_of(limit, chosen)
        else:
            pairs = [(have + freed_of(limit, chosen, w), taken_of(limit, chosen, w)) for w, have in limit.have.items()]
            have, taken = max(pairs, key=_fullness)
        name = limit.name
        if limit.pool and taken > have:
            name, have = f"{name}, with {limit.pool}", taken
        out.append(LimitUse(name, Fraction(have, GRAIN), Fraction(taken, GRAIN), limit.unit))
    return tuple(out)


def _hours_by_week(limits: SeasonLimits, chosen: Chosen) -> dict[date, tuple[Fraction, Fraction]]:
    hours = next((limit for limit in limits.limits if limit.name == "kitchen hours"), None)
    if hours is None:
        return {}
    weeks = sorted({week for _, week in chosen.loads})
    return {w: (Fraction(taken_of(hours, chosen, w), GRAIN), Fraction(hours.have[w], GRAIN)) for w in weeks}


def _cuts(
    lines: tuple[PutUpLine, ...], loads: Mapping[str, int], limits: SeasonLimits, chosen: Chosen
) -> tuple[Cut, ...]:
    """Loads wanted and not fitted, those most surely carried over first."""
    out = []
    for line in lines:
        short = line.loads - loads[line.product]
        if short <= 0:
            continue
        missed = line.chances[loads[line.product] : line.loads]
        chance = sum(missed) / len(missed) if missed else 0.0
        points = sum(load_worth(line, n) for n in range(loads[line.product], line.loads))
        jars = short * line.load
        out.append(Cut(line.product, line.size, short, jars, chance, points / jars, _short_of(line, limits, chosen)))
    return tuple(sorted(out, key=lambda cut: (cut.chance, cut.points_a_jar, cut.product)))


def _short_of(line: PutUpLine, limits: SeasonLimits, chosen: Chosen) -> str:
    """Which limits leave no room for one more load of it in any of its weeks."""
    weeks, out = weeks_of(line), []
    for limit in limits.limits:
        need = limit.takes.get(line.product, 0)
        if not need:
            continue
        if limit.span == "season":
            full = taken_of(limit, chosen) + need > limit.in_all
        else:
            left = {w: h + freed_of(limit, chosen, w) - taken_of(limit, chosen, w) for w, h in limit.have.items()}
            on = limit.span == "running"
            full = all(any(n < need for w, n in left.items() if w == start or (on and w > start)) for start in weeks)
        if full:
            out.append(f"{limit.name}, and no free ground beside them" if limit.pool else limit.name)
    return " and ".join(out) if out else "the limits together"


def _one_more(
    lines: tuple[PutUpLine, ...], limits: SeasonLimits, chosen: Chosen, seed: int, seconds: float
) -> tuple[OneMore, ...]:
    """What one step more of each limit would bring; of hours, in each week that is nearly full."""
    out = []
    for limit in limits.limits:
        if not limit.step:
            continue
        weeks: Sequence[date | None] = [None]
        if limit.span == "week":
            cut = [line for line in lines if chosen.of(line.product) < line.loads and line.product in limit.takes]
            room = max(limit.takes.values(), default=0) + max(limit.starts.values(), default=0) + limit.step
            weeks = sorted(
                {w for line in cut for w in weeks_of(line) if limit.have[w] < taken_of(limit, chosen, w) + room}
            )
        for week in weeks:
            better = choose_loads(lines, one_more_of(limits, limit.name, week), seed, seconds)
            words = limit.step_words + (f" in the week of {week.isoformat()}" if week else "")
            out.append(_compared(words, lines, chosen, better))
    if any(line.way == "canner" for line in lines):
        more = SeasonLimits(limits.limits, limits.most_loads_a_day + 1, limits.canning_days)
        words = f"{more.most_loads_a_day} loads a day instead of {limits.most_loads_a_day}"
        out.append(_compared(words, lines, chosen, choose_loads(lines, more, seed, seconds)))
    return tuple(sorted(out, key=lambda item: -item.gain))


def _compared(words: str, lines: tuple[PutUpLine, ...], now: Chosen, better: Chosen) -> OneMore:
    jars = tuple(
        (line.product, line.size, (better.of(line.product) - now.of(line.product)) * line.load)
        for line in lines
        if better.of(line.product) != now.of(line.product)
    )
    return OneMore(words, better.worth - now.worth, jars, now.proven and better.proven)


def flats_to_buy(
    lines: Iterable[PutUpLine], loads: Mapping[str, int], have: Mapping[str, int], wide_share: Fraction,
    losses: JarLosses,
) -> dict[str, int]:  # fmt: skip
    """Flat lids to buy, by kind: what the chosen jars take in the household's own mix, less those on hand."""
    lids = losses.lids_for(sum(loads.get(line.product, 0) * line.load for line in lines if line.flats))
    wide = ceil(lids * wide_share)
    return {"regular": max(0, lids - wide - have.get("regular", 0)), "wide": max(0, wide - have.get("wide", 0))}
