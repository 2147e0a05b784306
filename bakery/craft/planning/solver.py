"""From a problem to a plan: a first plan by the passes, then every objective in strict order."""

from __future__ import annotations

import math

from . import limits
from .backward import checked
from .clock import Clock
from .fewest import fewest_sessions
from .first import first_plan
from .goals import Goals
from .grid import Grid
from .model import Model
from .moves import BIG, recreate
from .plan import BEST, FEASIBLE, LATE, MEASURES, NONE, WITHIN, Plan
from .reading import FAR
from .sessions import least_sessions
from .verify import measure

SHARES = {"sessions": 0.75}  # of what is left when a stage begins; evenings matter more than freshness
STAGES = ("missed", "lateness", "soft", "stale", "tight", "sessions", "moved", "age")


def solve(problem, *, seconds=2.0, seed=1, workers=2, hint=None, deterministic=None, stages=STAGES) -> Plan:
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
    stages : tuple of str
        The objectives, in order; a first part of `STAGES`.

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
    plan, bound, proved = improve(grid, plan, clock, seed=seed, workers=workers, stages=stages)
    return finished(problem, plan, bound, proved, clock.passed())


def finished(problem, plan, bound, proved, seconds) -> Plan:
    """The plan with its status, bounds and seconds."""
    found = measure(problem, plan.starts)
    objective, soft = found["objective"], found["soft"]
    bound = {name: value for name, value in bound.items() if name in MEASURES}
    if proved and len(bound) == len(MEASURES):
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


def _in_order(problem, plan):
    values = values_of(problem, plan.starts)
    return [values[name] for name in STAGES]


def improve(grid, plan, clock, *, seed=1, workers=2, stages=STAGES):
    """Improve a checked plan stage by stage. Return (plan, {stage: bound}, all proved?)."""
    values = values_of(grid.problem, plan.starts)
    work = Work(grid)
    bound, proved = {}, True
    for k, name in enumerate(stages):
        held = {stage: values[stage] for stage in stages[:k]}
        least = floor_of(grid, name, held)
        done = values[name] <= least
        if not done and not clock.over():
            share = 1.0 if name == stages[-1] else SHARES.get(name, 0.6)
            found, searched = _search(work, name, plan, held, clock.part(share), seed, workers)
            plan = min(plan, found, key=lambda one: _in_order(grid.problem, one))  # a tie must cost nothing
            values, least = values_of(grid.problem, plan.starts), max(least, searched)
            done = values[name] <= least
        bound[name] = min(least, values[name])
        proved = proved and (done or bound[name] == values[name])
    bound["lateness"] = bound.get("lateness", 0) + bound.get("soft", 0)
    return plan, bound, proved


class Work:
    """The model of the stages: kept as long as the bounds stay, made anew when better ones are known."""

    def __init__(self, grid):
        self.grid, self.bounds, self.model, self.goals, self.held = grid, None, None, None, {}

    def ready(self, held):
        """Return (model, goals) in which every measure in `held` keeps its value."""
        bounds = limits.tighten(self.grid, *limits.within(self.grid, held))
        if self.bounds != bounds:
            self.bounds, self.held = bounds, {}
            self.model = Model(self.grid, bounds[0], bounds[1])
            self.goals = Goals(self.model)
        for name, value in held.items():
            if self.held.get(name) != value:
                self.goals.hold(name, value)
        self.held = dict(held)
        return self.model, self.goals


def floor_of(grid, name, held) -> int:
    """A bound on a measure that needs no search, for plans whose earlier measures keep what is `held`."""
    if name not in ("age", "sessions"):
        return 0
    lo, hi, _ = limits.tighten(grid, *limits.within(grid, held))
    return _age_floor(grid, hi) if name == "age" else least_sessions(grid, lo, hi)


def _age_floor(grid, hi):
    """Every bake at its latest possible end."""
    tasks = {task.id: task for task in grid.problem.tasks}
    total = 0
    for order in grid.problem.orders:
        for name in () if order.soft else order.bakes:
            i = grid.index.get(name)
            end = grid.fact[name][1] if i is None else (hi[i] + grid.dur[i]) * grid.step
            total += tasks[name].uses.get("oven", 0) * (order.pickup - end)
    return total


def _search(work, name, plan, held, mine, seed, workers):
    """Minimise one measure with the earlier ones held. Return (plan, bound)."""
    grid, floor = work.grid, -FAR * FAR
    if name == "sessions" and not any(held.values()):
        plan, floor = fewest_sessions(grid, plan, held, mine.part(0.85), seed=seed, workers=workers)
        if plan.objective["sessions"] <= floor:
            return plan, floor
    if grid.n > BIG:

        def stage(part, start, name, held, clock):
            return _stage(Work(part), name, start, held, clock.part(0.5, 0.4), seed, workers)[0]

        plan = recreate(grid, plan, name, held, mine.part(0.7), stage, seed=seed)
    better, bound, done = _stage(work, name, plan, held, mine, seed, workers)
    plan = better or plan
    return plan, values_of(grid.problem, plan.starts)[name] if done else max(floor, bound)


def _stage(work, name, plan, held, clock, seed, workers):
    """The same with one model of the whole. Return (better plan or None, bound, proved?)."""
    grid = work.grid
    model, goals = work.ready(held)
    goals.minimise(name)
    model.hint(grid.slots_of(plan.starts))
    status, slots, least = clock.run(model, seed=seed, workers=workers)
    floor = -FAR * FAR if least is None or abs(least) > FAR * FAR else math.ceil(least - 1e-6)
    better = None if slots is None else checked(grid, slots)
    if better is None:
        return None, floor, False
    now, before = values_of(grid.problem, better.starts), values_of(grid.problem, plan.starts)
    if any(now[stage] > value for stage, value in held.items()) or now[name] > before[name]:
        return None, floor, False
    return better, floor, status == "optimal"
