"""From a problem to a plan: a first plan by the passes, then every objective in strict order."""

from __future__ import annotations

import time

from . import limits
from .backward import checked, latest_fit
from .first import first_plan
from .goals import Goals
from .grid import Grid
from .model import Model
from .plan import BEST, FEASIBLE, LATE, MEASURES, NONE, WITHIN, Plan
from .verify import measure, verify

STAGES = ("missed", "lateness", "soft", "stale", "tight", "sessions", "moved", "age")


class Clock:
    """What is left of a limit in seconds, or in the solver's deterministic time."""

    def __init__(self, seconds, deterministic=None):
        self.deterministic, self.seconds = deterministic, seconds
        self.began = time.monotonic()
        self.spent = 0.0

    def left(self) -> float:
        """Seconds (or deterministic time) left."""
        if self.deterministic is not None:
            return self.deterministic - self.spent
        return self.seconds - (time.monotonic() - self.began)

    def passed(self) -> float:
        """Seconds since the beginning."""
        return time.monotonic() - self.began

    def over(self) -> bool:
        """True when nothing is left."""
        return self.left() <= 0

    def run(self, model, share=1.0, **options):
        """Solve `model` with a share of what is left."""
        limit = self.left() * share
        if limit <= 0:
            return "unknown", None, None
        if self.deterministic is None:
            return model.solve(seconds=limit, **options)
        answer = model.solve(deterministic=limit, **options)
        self.spent += model.solver.response_proto.deterministic_time
        return answer


def solve(problem, *, seconds=2.0, seed=1, workers=2, hint=None, deterministic=None) -> Plan:
    """Return the best plan found within the limit, checked by `verify`.

    Parameters
    ----------
    problem : Problem
    seconds : float
        Wall-clock limit [s]; the first plan by the passes is tried in any case.
    seed, workers : int
        Of CP-SAT.
    hint : Plan, mapping of starts, or None
        A plan to start from, for example the one on the wall; used when it breaks no rule.
    deterministic : float or None
        A limit in CP-SAT's deterministic time instead of `seconds`: same input, same plan.

    Returns
    -------
    Plan
        Its status is "none" when no plan is known (then `starts` is empty).
    """
    clock = Clock(seconds, deterministic)
    grid = Grid(problem)
    plan = first_plan(grid, clock, hint=hint, seed=seed, workers=workers)
    if plan is None:
        return Plan({}, NONE, seconds=round(clock.passed(), 3))
    plan, bound, proved = improve(grid, plan, clock, seed=seed, workers=workers)
    return finished(problem, plan, bound, proved, clock.passed())


def finished(problem, plan, bound, proved, seconds) -> Plan:
    """The plan with its status, bounds and seconds."""
    found = measure(problem, plan.starts)
    objective, soft = found["objective"], found["soft"]
    bound = {name: value for name, value in bound.items() if name in MEASURES}
    if proved:
        status = BEST
    elif objective["missed"] or objective["lateness"] > soft:
        status = LATE
    elif "sessions" in bound and objective["sessions"] * 20 <= bound["sessions"] * 21:
        status = WITHIN
    else:
        status = FEASIBLE
    return Plan(plan.starts, status, objective, bound, found["late"], round(seconds, 3))


def values_of(problem, starts) -> dict[str, int]:
    """The value of every stage for complete starts; `lateness` here without what soft orders bring."""
    found = measure(problem, starts)
    values = dict(found["objective"])
    values["soft"] = found["soft"]
    values["lateness"] -= found["soft"]
    return values


def improve(grid, plan, clock, *, seed=1, workers=2, stages=STAGES):
    """Improve a checked plan stage by stage. Return (plan, {stage: bound}, all proved?)."""
    values = values_of(grid.problem, plan.starts)
    work = None
    bound, proved = {}, True
    for k, name in enumerate(stages):
        least = floor_of(grid, name)
        if values[name] > least and not clock.over():
            if work is None:
                work = _model_for(grid, values, stages[:k])
            better, least, done = _stage(grid, work, name, plan, values, clock, seed, workers, stages[:k])
            if better is not None:
                plan, values = better, values_of(grid.problem, better.starts)
        else:
            done = values[name] <= least
        bound[name], proved = min(least, values[name]), proved and done
        if work is not None:
            work[1].hold(name, values[name])
    bound["lateness"] = bound.get("lateness", 0) + bound.get("soft", 0)
    return plan, bound, proved


def floor_of(grid, name) -> int:
    """A bound on a measure that needs no search."""
    if name == "age":
        return _age_floor(grid)
    if name == "sessions":
        from .sessions import least_sessions

        return least_sessions(grid)
    return 0


def _age_floor(grid):
    """Every bake at its latest possible end."""
    lo, hi, empty = limits.tighten(grid, grid.lo, grid.hi)
    tasks = {task.id: task for task in grid.problem.tasks}
    total = 0
    for order in grid.problem.orders:
        for name in () if order.soft else order.bakes:
            i = grid.index.get(name)
            end = grid.fact[name][1] if i is None else (hi[i] + grid.dur[i]) * grid.step
            total += tasks[name].uses.get("oven", 0) * (order.pickup - end)
    return total


def hard_limits(grid, values):
    """Bounds on starts for plans as good as `values`: tight ones where nothing is late, missed or stale."""
    clean = not (values["missed"] or values["lateness"] or values["stale"])
    if not clean:
        return limits.tighten(grid, grid.lo, grid.hi), False
    soft = not values["soft"]
    return limits.tighten(grid, *limits.on_time(grid, soft=soft, spare=not values["tight"])), True


def _model_for(grid, values, held):
    (lo, hi, _), clean = hard_limits(grid, values)
    model = Model(grid, lo, hi)
    goals = Goals(model)
    for name in held:
        goals.hold(name, values[name])
    return model, goals


def _stage(grid, work, name, plan, values, clock, seed, workers, held):
    """Minimise one measure with the earlier ones held. Return (better plan or None, bound, proved?)."""
    model, goals = work
    goals.minimise(name)
    model.hint(grid.slots_of(plan.starts))
    share = 0.5 if name != STAGES[-1] else 1.0
    status, slots, least = clock.run(model, share, seed=seed, workers=workers)
    floor = 0 if least is None or least < -1e15 else round(least + 0.499999 - 1e-6)
    if slots is None:
        return None, floor if name != "age" else floor_of(grid, "age"), False
    better = checked(grid, slots)
    if better is None:
        return None, floor, False
    now = values_of(grid.problem, better.starts)
    if tuple(now[key] for key in (*held, name)) > tuple(values[key] for key in (*held, name)):
        return None, floor, False
    return better, floor, status == "optimal"


def accept(problem, hint):
    """The hint as starts when it breaks no rule, else None."""
    starts = {} if hint is None else dict(getattr(hint, "starts", hint))
    return starts if starts and not verify(problem, starts) else None


__all__ = ["FEASIBLE", "Clock", "improve", "latest_fit", "solve", "values_of"]
