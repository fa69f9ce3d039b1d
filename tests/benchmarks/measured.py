"""One measured thing at a time, each in a process of its own: what it found, when, and how much memory it took."""

from __future__ import annotations

import json
import multiprocessing
import os
import resource
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import fields, replace

from pantrymeals.records import Household
from tests.benchmarks.larders import of_size, suppers_only

DEMO = Path(__file__).parents[2] / "demo"
LOOK_SECONDS = 0.02
CORES = 2
INF = float("inf")


class Seen(Struct, frozen=True):
    """At so many seconds from the start: the best cost, the best bound, roles open (points; inf: none yet)."""

    seconds: float
    cost: float
    bound: float
    open_roles: float


class Run(Struct, frozen=True):
    """One measured run: its trace, what it ended with, and the process's peak memory in MB."""

    who: str
    trace: tuple[Seen, ...]
    seconds: float
    cost: float
    bound: float
    open_roles: float
    pace: Fraction
    memory_mb: float
    faults: int = 0
    not_settled: int = 0

    def cost_at(self, seconds: float) -> float:
        """The best cost by then; inf when there was none."""
        return min((s.cost for s in self.trace if s.seconds <= seconds), default=INF)

    def first_full(self, open_roles: float) -> float:
        """When a plan was there that leaves no more roles open than this; inf: never."""
        return min((s.seconds for s in self.trace if s.open_roles <= open_roles), default=INF)

    def proven_to(self, gap: float) -> float:
        """When cost and bound were first so near each other; inf: never."""
        there = (s for s in self.trace if s.cost < float("inf"))
        near = (s.seconds for s in there if s.cost - s.bound <= gap * max(abs(s.cost), 1.0) + 1e-9)
        return min(near, default=INF)


class Question(Struct, frozen=True):
    """What is asked, in words that travel to another process: 'demo' or a size, a seed, days and seconds.

    pace: the common pace of the planner's own plan, given to the others. stop_at: seconds after which the cook has had
    enough.
    """

    home: str
    seed: int
    days: int
    seconds: float
    suppers: bool = False
    gap: float = 0.01
    pace: Fraction | None = None
    stop_at: float = INF

    def household(self) -> Household:
        """The household that is meant."""
        if self.home == "demo":
            from pantrymeals.actions.larder import load_larder

            return load_larder(DEMO, None, date(2026, 1, 17))
        made = of_size(self.home, self.seed, years=2)
        return suppers_only(made) if self.suppers else made

    def at(self, pace: Fraction) -> Question:
        """The same question, at the pace of a plan."""
        return replace(self, pace=pace)


def alone(work: Callable[[Question], Run], question: Question) -> Run:
    """Run in a fresh process, and nothing beside it."""
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=fresh) as pool:
        return pool.submit(work, question).result()


_ELSEWHERE = """
import json, sys
from tests.benchmarks.measured import Question, alone, ours
if __name__ == "__main__":
    run = alone(ours, Question(**json.loads(sys.argv[1])))
    print(json.dumps({**{name: getattr(run, name) for name in type(run).__annotations__}, "pace": str(run.pace)}))
"""


def elsewhere(folder: Path, question: Question, byte_code: Path) -> Run:
    """The planner of another checkout, measured by its own code; byte_code: where Python keeps what it compiles.

    What the question leaves as it is by default is not said: an older checkout may not know it.
    """
    said = {f.name: value for f in fields(Question) if (value := getattr(question, f.name)) != f.default}
    done = subprocess.run(
        [sys.executable, "-c", _ELSEWHERE, json.dumps(said)],
        cwd=folder, env=own_environment(folder, byte_code), capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        sys.exit(f"{folder}: {done.stderr}")
    read = json.loads(done.stdout.splitlines()[-1])
    trace = tuple(Seen(**seen) for seen in read.pop("trace"))
    return Run(**{**read, "trace": trace, "pace": Fraction(read["pace"]), "who": folder.name})


def own_environment(folder: Path, byte_code: Path) -> dict[str, str]:
    """What a checkout's process is to see: its own modules, each compiled once and not at every start."""
    told = {"PYTHONPATH": str(folder), "PYTHONPYCACHEPREFIX": str(byte_code), "PYTHONDONTWRITEBYTECODE": ""}
    return {**os.environ, **told}


def _memory_mb() -> float:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / 1e6 if sys.platform == "darwin" else peak / 1e3


class Recorder:
    """A watch that writes down what it is told."""

    def __init__(self, stop_at: float = INF) -> None:
        self.begun = time.monotonic()
        self.stop_at = stop_at
        self.trace: list[Seen] = []

    def progress(self, done: str, cost: float | None, bound: float | None, open_roles: int | None) -> None:  # noqa: ARG002
        """One line of the trace, where something changed."""
        seen = Seen(
            time.monotonic() - self.begun,
            INF if cost is None else cost,
            -INF if bound is None else bound,
            INF if open_roles is None else open_roles,
        )
        if not self.trace or replace(seen, seconds=self.trace[-1].seconds) != self.trace[-1]:
            self.trace.append(seen)

    def stopped(self) -> bool:
        """Whether the cook has had enough."""
        return time.monotonic() - self.begun > self.stop_at


def ours(question: Question) -> Run:
    """The planner, whole: from a household to a checked plan."""
    from pantrymeals.checking.menu import broken_rules
    from pantrymeals.menu.menu import plan_menu
    from pantrymeals.menu.request import MenuRequest

    home = question.household()
    watch = Recorder(question.stop_at)
    request = MenuRequest(home.today, question.days, seed=question.seed, seconds=question.seconds, gap=question.gap)
    plan = plan_menu(home, request, watch)
    last = Seen(time.monotonic() - watch.begun, plan.cost, plan.bound, plan.open_roles)
    return Run(
        "ours", (*watch.trace, last), last.seconds, plan.cost, plan.bound, plan.open_roles, plan.pace,
        _memory_mb(), len(broken_rules(home, plan)), len(plan.not_settled),
    )  # fmt: skip


def _peer(question: Question, who: str, solve: Callable[[Any, Any, threading.Event], None]) -> Run:
    """Another solver on the very model of the planner, at its pace; building counts for it as for us."""
    from pantrymeals.menu.request import MenuRequest
    from pantrymeals.menu.week.constraints import build
    from pantrymeals.menu.week.model import POINT
    from pantrymeals.menu.week.pace import bands_at
    from pantrymeals.menu.week.problem import menu_problem
    from pantrymeals.menu.week.rules.table import PROMISES
    from pantrymeals.solving.linear_model import arrays
    from pantrymeals.solving.solvers import Found

    home = question.household()
    watch = Recorder()
    problem = menu_problem(home, MenuRequest(home.today, question.days, seed=question.seed))
    assert question.pace is not None
    model = build(problem, bands_at(problem, question.pace), PROMISES)
    linear, found, stop = arrays(model.linear), Found(), threading.Event()

    def look() -> None:
        have = None if found.x is None else found.x
        roles = None if have is None else round(sum(have[c] for c in model.open.values()))
        cost = None if have is None else found.cost / POINT
        watch.progress(who, cost, found.bound / POINT, roles)

    lane = threading.Thread(target=solve, args=(linear, found, stop), daemon=True)
    lane.start()
    while lane.is_alive():
        lane.join(LOOK_SECONDS)
        look()
        if time.monotonic() - watch.begun > question.seconds:
            stop.set()
    look()
    last = watch.trace[-1]
    seconds = time.monotonic() - watch.begun
    return Run(who, tuple(watch.trace), seconds, last.cost, last.bound, last.open_roles, question.pace, _memory_mb())


def highs(question: Question) -> Run:
    """HiGHS as it comes, with both cores, on one model."""
    from pantrymeals.solving import solvers

    ours_alone = solvers.highs_model

    def both_cores(linear: Any, relax: bool = False) -> Any:
        model = ours_alone(linear, relax)
        model.setOptionValue("threads", CORES)
        return model

    solvers.highs_model = both_cores  # this process measures nothing else

    def solve(linear: Any, found: Any, stop: threading.Event) -> None:
        solvers.run_highs(linear, found, stop, question.seconds, question.seed, question.gap)

    return _peer(question, "HiGHS", solve)


def cp_sat(question: Question) -> Run:
    """CP-SAT as it comes, with both cores, on one model."""
    from pantrymeals.solving.solvers import run_cp_sat

    def solve(linear: Any, found: Any, stop: threading.Event) -> None:
        run_cp_sat(linear, found, stop, question.seconds, question.seed, question.gap, workers=CORES)

    return _peer(question, "CP-SAT", solve)


def greedy(question: Question) -> Run:
    """The list-keeper, scored in the same points at the same pace."""
    from tests.benchmarks.greedy import list_keepers_menu
    from tests.kitchens.own_reading import put_bands, read

    home = question.household()
    begun = time.monotonic()
    asked = read(home, home.today, question.days)
    assert question.pace is not None
    put_bands(asked, question.pace)
    _, left_open, points = list_keepers_menu(asked)
    seconds = time.monotonic() - begun
    seen = Seen(seconds, float(points), float("-inf"), len(left_open))
    return Run("greedy", (seen,), seconds, float(points), seen.bound, len(left_open), question.pace, _memory_mb())
