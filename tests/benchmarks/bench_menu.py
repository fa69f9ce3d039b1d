"""How soon and how good: menus of a week, a month and a year, against other ways of solving.

Run on a quiet machine:

    python -m tests.benchmarks.bench_menu --case week --seeds 5
    python -m tests.benchmarks.bench_menu --case month
    python -m tests.benchmarks.bench_menu --case year
    python -m tests.benchmarks.bench_menu --case long --homes demo,L --seconds 180
    python -m tests.benchmarks.bench_menu --case growth
    python -m tests.benchmarks.bench_menu --case stops --days 365
    python -m tests.benchmarks.bench_menu --case week --against ../another-checkout

Each measured thing runs alone, in a process of its own. Peers solve the planner's own model at its own
pace, and the time to build that model counts for them as for us. Figures are medians over the seeds;
a ratio above 1 says how many times the peer's figure is ours.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from tests.benchmarks.measured import Question, Run, alone, cp_sat, elsewhere, greedy, highs, ours

INF = float("inf")
ANY_MENU = 1e12
"""More places open than there are: the first menu of all days, however much of it is open."""
PEERS: tuple[Callable[[Question], Run], ...] = (highs, cp_sat, greedy)
GAP = 0.01
GROWTH_DAYS = (30, 60, 120, 240, 365)
STOPPED_AT = (1.0, 5.0, 20.0, 60.0)
GROWTH_QUALITY = 1.5
"""Cost over the final bound at which a long menu counts as good in the growth case."""


def shown(value: float, digits: int = 2) -> str:
    """A figure; 'never' for a time or cost that did not come, '-' for a bound that there is not."""
    if value == -INF:
        return "-"
    return "never" if value == INF else f"{value:,.{digits}f}"


def ratio(theirs: float, own: float) -> str:
    """Theirs over ours, or '-' where either is missing."""
    return "-" if INF in (theirs, own) or own <= 0 else f"{theirs / own:.2f} x"


def table(title: str, heads: Sequence[str], lines: Sequence[Sequence[str]]) -> None:
    """Print plain columns."""
    widths = [max(len(row[i]) for row in (heads, *lines)) for i in range(len(heads))]
    print(f"\n{title}")
    for row in (heads, *lines):
        cells = [row[0].ljust(widths[0]), *(c.rjust(w) for c, w in zip(row[1:], widths[1:], strict=True))]
        print("  ".join(cells).rstrip(), flush=True)


def aim(what: str, reached: float, most: float, why: str) -> None:
    """One line of the report: what was aimed at, what was reached, and why it falls short where it does."""
    if reached <= most:
        print(f"aim: {what}: at most {most:g}; reached {reached:.2f}")
    else:
        print(f"aim: {what}: at most {most:g}; FALLS SHORT at {reached:.2f}, {reached / most:.2f} times that: {why}")


WEAK_BOUND = (
    "of a month the bound is the whole sheet's relaxation with some cuts, and beyond a month that of totals, which see "
    "neither what goes over in part jars nor which days of a week a limit leaves: much of the distance is the bound's"
)
STRONG_PEERS = "the others solve the planner's own sheet with its sharpened rows, which is most of what sets it apart"


def curve(run: Run, seconds: float) -> None:
    """Cost and bound as time goes by, in eight steps."""
    marks = [seconds * n / 8 for n in range(1, 9)]
    lines = [
        ["cost", *(shown(run.cost_at(m), 0) for m in marks)],
        ["bound", *(shown(max((s.bound for s in run.trace if s.seconds <= m), default=-INF), 0) for m in marks)],
    ]
    table("as time goes by (the first seed)", ("", *(f"{m:g} s" for m in marks)), lines)


def _one_of_each(question: Question) -> dict[str, Run]:
    own = alone(ours, question)
    runs = {own.who: own}
    for peer in PEERS:
        run = alone(peer, question.at(own.pace))
        runs[run.who] = run
    return runs


def week(seeds: int, seconds: float, homes: Sequence[str], days: int = 7) -> None:
    """One week of three meals: first full plan, and proof to 1 %."""
    for home in homes:
        rounds = [_one_of_each(Question(home, seed, days, seconds, gap=GAP)) for seed in range(1, seeds + 1)]
        full = {who: median(r[who].first_full(r["ours"].open_roles) for r in rounds) for who in rounds[0]}
        near = {who: median(r[who].proven_to(GAP) for r in rounds) for who in rounds[0]}
        cost = {who: median(r[who].cost for r in rounds) for who in rounds[0]}
        lines = [
            [
                who, shown(full[who]), shown(near[who]), ratio(near[who], near["ours"]),
                shown(cost[who], 0), ratio(cost[who], cost["ours"]),
                shown(median(r[who].open_roles for r in rounds), 0),
                str(sum(r[who].faults for r in rounds)) if who == "ours" else "",
            ]
            for who in rounds[0]
        ]  # fmt: skip
        heads = ("", "full plan, s", "to 1 %, s", "ratio", "cost", "ratio", "open", "faults")
        table(f"{home}: {days} days of three meals, medians of {seeds}", heads, lines)


def month(seeds: int, seconds: float, homes: Sequence[str], days: int = 30) -> None:
    """A month of three meals: cost at half the time and at the end, bound, and the others at the end."""
    half = seconds / 2
    for home in homes:
        rounds = [_one_of_each(Question(home, seed, days, seconds, gap=0.0)) for seed in range(1, seeds + 1)]
        at_half = median(r["ours"].cost_at(half) for r in rounds)
        bound = median(r["ours"].bound for r in rounds)
        lines = []
        for who in rounds[0]:
            end = median(r[who].cost for r in rounds)
            own_bound = median(r[who].bound for r in rounds)
            lines.append(
                [
                    who, shown(median(r[who].cost_at(half) for r in rounds), 0), shown(end, 0),
                    shown(own_bound, 0), ratio(end, bound), ratio(end, at_half),
                    shown(median(r[who].open_roles for r in rounds), 0),
                    shown(median(r[who].memory_mb for r in rounds), 0),
                ]
            )  # fmt: skip
        heads = (
            "", f"cost at {half:g} s", f"cost at {seconds:g} s", "bound", "over our bound",
            f"over ours at {half:g} s", "open", "MB",
        )  # fmt: skip
        table(f"{home}: {days} days of three meals, medians of {seeds}", heads, lines)
        curve(rounds[0]["ours"], seconds)
        end = median(r["ours"].cost for r in rounds)
        peers = min(median(r[who].cost for r in rounds) for who in rounds[0] if who in ("HiGHS", "CP-SAT"))
        aim("cost over our bound", end / bound, 1.25, WEAK_BOUND)
        aim(f"cost at {half:g} s over the best single model's at {seconds:g} s", at_half / peers, 1 / 3, STRONG_PEERS)


def against(other: Path, seeds: int, seconds: float, homes: Sequence[str], days: int, gap: float) -> None:
    """This checkout beside another, each question to both in turn; a ratio below 1: this one is quicker, or needs less.

    A cost is what that checkout's own rules make it: where they are not the same, costs and bounds do not compare.
    """
    here = Path(__file__).parents[2]
    with TemporaryDirectory() as byte_code:
        for home in homes:
            rounds: dict[Path, list[Run]] = {here: [], other: []}
            for seed in range(1, seeds + 1):
                for side in (here, other) if seed % 2 else (other, here):
                    rounds[side].append(elsewhere(side, Question(home, seed, days, seconds, gap=gap), Path(byte_code)))
            least = min(r.open_roles for runs in rounds.values() for r in runs)
            lines = [
                [
                    str(side), *(shown(median(r.first_full(least + more) for r in runs)) for more in (0, 1)),
                    shown(median(r.proven_to(GAP) for r in runs)), shown(median(r.cost for r in runs), 0),
                    shown(median(r.bound for r in runs), 0), shown(median(r.open_roles for r in runs), 0),
                    shown(median(r.memory_mb for r in runs), 0), str(sum(r.faults for r in runs)),
                ]
                for side, runs in rounds.items()
            ]  # fmt: skip
            ratios = [_quotient(mine, theirs) for mine, theirs in zip(lines[0][1:], lines[1][1:], strict=True)]
            heads = ("", "full plan, s", "one place open, s", "to 1 %, s", "cost", "bound", "open", "MB", "faults")
            table(f"{home}: {days} days, medians of {seeds}", heads, [*lines, ["this over the other", *ratios]])


def _quotient(mine: str, theirs: str) -> str:
    try:
        return f"{float(mine.replace(',', '')) / float(theirs.replace(',', '')):.2f}"
    except (ValueError, ZeroDivisionError):
        return "-"


def year(seeds: int, seconds: float, home: str, days: int = 365) -> None:
    """A year of suppers: cost and bound as time goes by, memory, faults; and the list-keeper."""
    marks = [seconds * part for part in (0.25, 0.5, 0.75, 1.0)]
    lines, runs = [], []
    for seed in range(1, seeds + 1):
        question = Question(home, seed, days, seconds, suppers=True, gap=0.0)
        own = alone(ours, question)
        runs.append(own)
        other = alone(greedy, question.at(own.pace))
        lines.append(
            [
                str(seed), *(shown(own.cost_at(m), 0) for m in marks), shown(own.bound, 0),
                ratio(own.cost, own.bound), shown(own.open_roles, 0), str(own.faults),
                shown(own.seconds, 1), shown(own.memory_mb, 0), ratio(other.cost, own.cost),
            ]
        )  # fmt: skip
    heads = (
        "seed", *(f"cost at {m:g} s" for m in marks), "bound", "over bound", "open", "faults", "s", "MB",
        "list-keeper",
    )  # fmt: skip
    table(f"{home}: {days} days of suppers", heads, lines)
    curve(runs[0], seconds)
    aim("cost over the bound", median(r.cost / r.bound for r in runs), 1.5, WEAK_BOUND)
    aim("memory, MB", median(r.memory_mb for r in runs), 500, "the sheet of the whole year is kept in memory twice")


def long(seeds: int, seconds: float, homes: Sequence[str], days: int, suppers: bool = False) -> None:
    """A long menu as time goes by: cost and bound, places open and not settled, faults, memory."""
    marks = [seconds * part for part in (0.25, 0.5, 0.75, 1.0)]
    for home in homes:
        runs = [alone(ours, Question(home, seed, days, seconds, suppers, 0.0)) for seed in range(1, seeds + 1)]
        lines = [
            [
                str(seed), shown(run.first_full(ANY_MENU), 1), shown(run.first_full(run.open_roles), 1),
                *(shown(run.cost_at(m), 0) for m in marks),
                shown(run.bound, 0), ratio(run.cost, run.bound), shown(run.open_roles, 0), str(run.not_settled),
                str(run.faults), shown(run.seconds, 1), shown(run.memory_mb, 0),
            ]
            for seed, run in enumerate(runs, 1)
        ]  # fmt: skip
        heads = (
            "seed", "all days, s", "as full as at the end, s", *(f"cost at {m:g} s" for m in marks), "bound",
            "over bound", "open", "not settled", "faults", "s", "MB",
        )  # fmt: skip
        table(f"{home}: {days} days of {'suppers' if suppers else 'three meals'}", heads, lines)
        curve(runs[0], seconds)


def stops(homes: Sequence[str], days: int, at: Sequence[float] = STOPPED_AT) -> None:
    """The cook has had enough after so many seconds: when the menu came, and what the checker says of it."""
    for home in homes:
        lines = []
        for seconds in at:
            run = alone(ours, Question(home, 1, days, 10 * max(at), gap=0.0, stop_at=seconds))
            lines.append(
                [
                    f"{seconds:g} s", shown(run.seconds - seconds, 1), shown(run.cost, 0), shown(run.open_roles, 0),
                    str(run.not_settled), str(run.faults), shown(run.memory_mb, 0),
                ]
            )  # fmt: skip
        heads = ("stopped at", "menu after, s", "cost", "open", "not settled", "faults", "MB")
        table(f"{home}: {days} days of three meals", heads, lines)


def growth(seconds: float, home: str, lengths: Sequence[int] = GROWTH_DAYS) -> None:
    """Suppers of more and more days: when the menu was first within so much of the final bound."""
    lines = []
    for days in lengths:
        run = alone(ours, Question(home, 1, days, seconds, suppers=True, gap=0.0))
        good = min((s.seconds for s in run.trace if s.cost <= GROWTH_QUALITY * run.bound), default=INF)
        lines.append(
            [
                str(days), shown(good), shown(good / days * 1000, 0), shown(run.cost, 0), shown(run.bound, 0),
                ratio(run.cost, run.bound), shown(run.memory_mb, 0),
            ]
        )  # fmt: skip
    heads = ("days", f"to {GROWTH_QUALITY:g} x bound, s", "ms a day", "cost", "bound", "over bound", "MB")
    table(f"{home}: suppers, growth with the days", heads, lines)


def main() -> None:
    """Measure one case and print its table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--case", choices=("week", "month", "long", "year", "growth", "stops"), required=True)
    parser.add_argument("--seeds", type=int, default=0, help="how many; 5 for a week, else 1")
    parser.add_argument("--seconds", type=float, default=0.0, help="for each run; 30, 60, 120 unless given")
    parser.add_argument("--days", type=int, default=0)
    parser.add_argument("--homes", default="", help="demo,S,M,L,XL: which households; demo,M or M unless given")
    parser.add_argument("--suppers", action="store_true", help="of a long menu: suppers alone")
    parser.add_argument("--against", type=Path, help="another checkout: a week or a month of both, side by side")
    asked = parser.parse_args()
    homes = [h for h in asked.homes.split(",") if h]
    if asked.against is not None:
        a_week = asked.case == "week"
        against(
            asked.against.resolve(), asked.seeds or (5 if a_week else 1), asked.seconds or (30.0 if a_week else 60.0),
            homes or ("demo", "M"), asked.days or (7 if a_week else 30), GAP if a_week else 0.0,
        )  # fmt: skip
    elif asked.case == "week":
        week(asked.seeds or 5, asked.seconds or 30.0, homes or ("demo", "M"), asked.days or 7)
    elif asked.case == "month":
        month(asked.seeds or 1, asked.seconds or 60.0, homes or ("M", "demo"), asked.days or 30)
    elif asked.case == "long":
        long(asked.seeds or 1, asked.seconds or 60.0, homes or ("demo", "M"), asked.days or 365, asked.suppers)
    elif asked.case == "stops":
        stops(homes or ("S", "demo", "M", "L", "XL"), asked.days or 365)
    elif asked.case == "year":
        for home in homes or ("M",):
            year(asked.seeds or 1, asked.seconds or 120.0, home, asked.days or 365)
    else:
        lengths = (asked.days,) if asked.days else GROWTH_DAYS
        for home in homes or ("M",):
            growth(asked.seconds or 120.0, home, lengths)


if __name__ == "__main__":
    main()
