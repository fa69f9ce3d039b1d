"""Two solvers for one model: OR-Tools' CP-SAT for whole menus, HiGHS for parts and relaxations.

Each search runs in a thread of its own; both solvers let go of Python while they work. The time one
search takes differs by its seed by half and more, so a whole menu is searched for twice (``lanes``).
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from weakref import proxy

import numpy as np
from msgspec import Struct, field

from pantrymeals.solving.linear_model import ANY, Arrays

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver

ENDLESS = float("inf")


class Found(Struct):
    """The best decision so far and the best proof: cost and bound in the model's own units.

    work: what CP-SAT has done for it, in its deterministic seconds.
    """

    x: np.ndarray | None = None
    cost: float = float("inf")
    bound: float = float("-inf")
    infeasible: bool = False
    proven_by: str = ""
    settled: bool = False
    work: float = 0.0
    lock: threading.Lock = field(default_factory=threading.Lock)

    def gap(self) -> float:
        """(cost - bound) / max(cost, 1), or infinite while there is no decision."""
        if self.x is None:
            return float("inf")
        return max(0.0, self.cost - self.bound) / max(abs(self.cost), 1.0)

    def within(self, gap: float) -> bool:
        """Whether the gap is proven, but for the last digits of a float."""
        return self.gap() <= gap + 1e-9

    def offer(self, x: np.ndarray, cost: float) -> None:
        """Keep a decision if it is the best."""
        with self.lock:
            if cost < self.cost - 1e-9 and not self.settled:
                self.cost, self.x = cost, x

    def settle(self, x: np.ndarray, cost: float) -> None:
        """Keep this decision whatever came before: it is proven close enough, and the same every time.

        The other solver's finds depend on which was quicker; what one solver ends with does not.
        """
        with self.lock:
            if not self.settled:
                self.cost, self.x, self.settled = cost, x, True

    def proved(self, bound: float, by: str) -> None:
        """Keep a bound if it is the best."""
        with self.lock:
            if bound > self.bound:
                self.bound, self.proven_by = bound, by


def unless_refused(status: Any) -> Any:
    """What HiGHS says of a model it was given or has run. Raises RuntimeError where it refused it: that must never look
    like 'nothing found'."""
    import highspy

    if status == highspy.HighsStatus.kError:
        raise RuntimeError("HiGHS refused a model")
    return status


def quiet_highs() -> Any:
    """A HiGHS model that says nothing, not even the greeting it prints while it sets up its callbacks, on one thread.

    Its ``passModel`` and ``run`` raise RuntimeError where it refuses a model; a run that was told to stop may end in
    what HiGHS calls an error too, and has found nothing. HiGHS keeps the number of threads of the first model that
    runs, and refuses every later one that asks another.
    """
    import highspy

    class Quiet(highspy.Highs):
        told_to_stop = False

        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

        def passModel(self, *model: Any) -> Any:
            return unless_refused(super().passModel(*model))

        def run(self) -> Any:
            status = super().run()
            return status if self.told_to_stop else unless_refused(status)

    model = Quiet()  # type: ignore[no-untyped-call]
    model.setOptionValue("threads", 1)
    return model


def highs_model(linear: Arrays, relax: bool = False):  # type: ignore[no-untyped-def]
    """The model as a HiGHS model, quiet; relax: whole numbers not asked."""
    import highspy

    lp = highspy.HighsLp()
    lp.num_col_ = linear.lo.shape[0]
    lp.num_row_ = linear.row_lo.shape[0]
    lp.col_cost_ = linear.cost
    lp.col_lower_ = linear.lo
    lp.col_upper_ = linear.hi
    lp.row_lower_ = np.where(linear.row_lo <= -ANY, -highspy.kHighsInf, linear.row_lo)
    lp.row_upper_ = np.where(linear.row_hi >= ANY, highspy.kHighsInf, linear.row_hi)
    lp.offset_ = linear.fixed_cost
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = linear.starts
    lp.a_matrix_.index_ = linear.cols
    lp.a_matrix_.value_ = linear.coefs
    if not relax:
        lp.integrality_ = [
            highspy.HighsVarType.kInteger if w else highspy.HighsVarType.kContinuous for w in linear.whole
        ]

    model = quiet_highs()
    model.passModel(lp)
    return model


FROM_WITHIN = ("solver", "ipm")
"""HiGHS's option with which a large relaxation is found from within, and then taken to a corner."""


def heed(model: Any, stop: threading.Event) -> None:
    """Have HiGHS end its search soon after ``stop`` is set."""
    its_own: Any = proxy(model)  # a model that is held by what it calls would stay in memory

    def hear(event: Any) -> None:
        if stop.is_set():
            its_own.told_to_stop = True
            event.interrupt()

    for interrupted in (model.cbSimplexInterrupt, model.cbIpmInterrupt, model.cbMipInterrupt):
        interrupted.subscribe(hear)


class Relaxation(Struct, frozen=True):
    """The best when parts of dishes may be cooked: a bound, its columns, and the prices of rows and columns."""

    cost: float
    x: np.ndarray
    row_price: np.ndarray
    dear: np.ndarray


def linear_relaxation(linear: Arrays, stop: threading.Event | None = None, large: bool = False) -> Relaxation:
    """A model's relaxation. dear: what each column costs beyond what it is worth there, without its sign.

    stop: ends it before its time; its cost is then no bound at all (minus infinity). large: from within, and then to a
    corner: a month's whole sheet takes two thirds of the time so.
    """
    import highspy

    model = highs_model(linear, relax=True)
    if large:
        model.setOptionValue(*FROM_WITHIN)
    if stop is not None:
        heed(model, stop)
    model.run()
    solution = model.getSolution()
    whole = stop is None or model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return Relaxation(
        float(model.getInfo().objective_function_value) if whole else -ENDLESS,
        np.array(solution.col_value),
        np.array(solution.row_dual),
        np.abs(np.array(solution.col_dual)),
    )


def run_highs(
    linear: Arrays,
    found: Found,
    stop: threading.Event,
    seconds: float,
    seed: int = 1,
    gap: float = 0.0,
    start: np.ndarray | None = None,
) -> None:
    """HiGHS on the model; what it finds and proves goes to ``found`` as it goes."""
    import highspy

    model = highs_model(linear)
    model.setOptionValue("time_limit", float(seconds))
    model.setOptionValue("random_seed", seed)
    model.setOptionValue("mip_rel_gap", gap)
    if start is not None:
        solution = highspy.HighsSolution()
        solution.col_value = start
        model.setSolution(solution)

    def better(event) -> None:  # type: ignore[no-untyped-def]
        x = np.array(event.data_out.mip_solution)
        found.offer(np.rint(x), float(event.data_out.objective_function_value))

    def on_the_way(event) -> None:  # type: ignore[no-untyped-def]
        found.proved(float(event.data_out.mip_dual_bound), "HiGHS")

    model.cbMipImprovingSolution.subscribe(better)
    model.cbMipInterrupt.subscribe(on_the_way)
    heed(model, stop)
    model.run()
    info = model.getInfo()
    status = model.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        found.infeasible = True
    elif info.primal_solution_status == 2:
        x = np.rint(np.array(model.getSolution().col_value))
        cost = float(info.objective_function_value)
        found.proved(float(info.mip_dual_bound), "HiGHS")
        ended_well = status == highspy.HighsModelStatus.kOptimal and not stop.is_set()
        found.settle(x, cost) if ended_well else found.offer(x, cost)
    stop.set()


def never() -> bool:
    """Nobody says stop."""
    return False


def solved(
    linear: Arrays, seconds: float, start: np.ndarray | None = None, stopped: Callable[[], bool] = never
) -> Found:  # fmt: skip
    """What HiGHS finds and proves in the time, or until it is stopped."""
    found = Found()
    run_highs(linear, found, Linked(threading.Event(), stopped), seconds, 1, 0.0, start)
    return found


FINER, FINEST = 10**2, 10**4
"""CP-SAT counts costs in whole parts of a unit of cost, cut down, so that its bound holds for the exact cost: in the
finest where the very best is asked for, for they take twice as long."""


def cp_sat_model(linear: Arrays, parts: int = FINER):  # type: ignore[no-untyped-def]
    """The model as a CP-SAT model and its variables, costs in so many parts of a unit."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    variables = [model.new_int_var(int(lo), int(hi), "") for lo, hi in zip(linear.lo, linear.hi, strict=True)]
    starts = linear.starts.tolist()
    cols = linear.cols.tolist()
    coefs = linear.coefs.astype(np.int64).tolist()
    for r, (lo, hi) in enumerate(zip(linear.row_lo.tolist(), linear.row_hi.tolist(), strict=True)):
        a, b = starts[r], starts[r + 1]
        total = cp_model.LinearExpr.weighted_sum([variables[c] for c in cols[a:b]], coefs[a:b])
        if lo > -ANY and hi < ANY:
            model.add_linear_constraint(total, int(lo), int(hi))
        elif lo > -ANY:
            model.add(total >= int(lo))
        elif hi < ANY:
            model.add(total <= int(hi))
    costs = np.floor(linear.cost * parts + 1e-6).astype(np.int64).tolist()
    fixed = int(np.floor(linear.fixed_cost * parts + 1e-6))
    model.minimize(cp_model.LinearExpr.weighted_sum(variables, costs) + fixed)
    return model, variables


def cp_solver(seed: int, seconds: float = ENDLESS, work: float = ENDLESS, workers: int = 1) -> CpSolver:
    """A solver of CP-SAT that leaves Ctrl-C alone. It stops by the clock, or by its own work.

    Of one lane, the same question has the same answer.
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.max_deterministic_time = work
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False  # the cook's word, heard elsewhere; its own handler aborts a process
    return solver


@contextmanager
def _heard(stop: threading.Event, then: Callable[[], None]) -> Iterator[None]:
    """While the block runs, ``then`` is called soon after ``stop`` is set."""
    ended = threading.Event()

    def listen() -> None:
        while not ended.wait(0.05):
            if stop.is_set():
                then()

    threading.Thread(target=listen, daemon=True).start()
    try:
        yield
    finally:
        ended.set()


def run_cp_sat(
    linear: Arrays,
    found: Found,
    stop: threading.Event,
    seconds: float,
    seed: int = 1,
    gap: float = 0.0,
    workers: int = 1,
    start: np.ndarray | None = None,
    settings: Callable[[object], None] | None = None,
    work: float = ENDLESS,
) -> None:
    """CP-SAT on the model; what it finds and proves goes to ``found`` as it goes.

    seconds, work: at most, by the clock and of its own deterministic ones.
    """
    from ortools.sat.python import cp_model

    parts = FINER if gap else FINEST
    model, variables = cp_sat_model(linear, parts)
    if start is not None:
        for variable, value in zip(variables, start.astype(np.int64).tolist(), strict=True):
            model.add_hint(variable, value)
    solver = cp_solver(seed, seconds, work, workers)
    solver.parameters.relative_gap_limit = gap
    if settings is not None:
        settings(solver.parameters)

    def exact(x: np.ndarray) -> float:
        return float(linear.cost @ x) + linear.fixed_cost

    class Seen(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            x = np.array([self.value(v) for v in variables], float)
            found.offer(x, exact(x))
            if stop.is_set():
                self.stop_search()

    def bound_moved(bound: float) -> None:
        found.proved(float(bound) / parts, "CP-SAT")
        if stop.is_set():
            solver.stop_search()

    solver.best_bound_callback = bound_moved
    with _heard(stop, solver.stop_search):
        status = solver.solve(model, Seen())
    found.work += solver.response_proto.deterministic_time
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError("CP-SAT refused a model")
    if status == cp_model.INFEASIBLE:
        found.infeasible = True
    elif status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found.proved(float(solver.best_objective_bound) / parts, "CP-SAT")
        if status == cp_model.OPTIMAL and not stop.is_set():
            x = np.array([solver.value(v) for v in variables], float)
            found.settle(x, exact(x))
    stop.set()


def whole_menu(parameters: Any) -> None:
    """CP-SAT settings for a whole menu: the full relaxation at every step, little looking ahead before.

    A demo week is proven in 2 s so, where the defaults with two workers do not get there in 40 s.
    """
    parameters.linearization_level = 2
    parameters.cp_model_probing_level = 0
    parameters.symmetry_level = 0


class Linked(threading.Event):
    """Set when it is set, when its parent is, or when there is enough."""

    def __init__(self, parent: threading.Event, enough: Callable[[], bool] | None = None) -> None:
        super().__init__()
        self._parent = parent
        self._enough = enough

    def is_set(self) -> bool:
        return super().is_set() or self._parent.is_set() or (self._enough is not None and self._enough())
