"""A first complete plan: passes, then CP-SAT without an objective, then the least late that is quickly found."""

from __future__ import annotations

from . import limits
from .backward import checked, first_ranks, latest_fit, place_all
from .model import Model
from .plan import Plan
from .schedule import Schedule
from .verify import verify


def first_plan(grid, clock, *, hint=None, seed=1, workers=2) -> Plan | None:
    """Return a checked plan, on time where one is found, or None when no plan at all is known."""
    plan = _quick(grid)
    if plan is None and hint is not None:
        starts = dict(getattr(hint, "starts", hint))
        if starts and not verify(grid.problem, starts):
            plan = _as_plan(grid, starts)
    if plan is not None and not plan.late:
        return plan
    answer, slots = on_time_plan(grid, clock, share=0.4, seed=seed, workers=workers)
    if answer == "yes":
        return checked(grid, slots)
    late = least_late(grid)
    plans = [found for found in (plan, late) if found is not None]
    if plans:
        return min(plans, key=lambda found: list(found.objective.values()))
    return _any_plan(grid, clock, seed, workers)


def _as_plan(grid, starts):
    return checked(grid, grid.slots_of(starts))


def _quick(grid):
    """The backward pass, asking for spare time and for soft orders on time as long as that works."""
    for spare, soft in ((True, True), (False, True), (False, False)):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, spare=spare, soft=soft))
        if empty is not None:
            continue
        slots = latest_fit(grid, lo, hi)
        if slots is not None:
            return checked(grid, slots)
    return None


def on_time_plan(grid, clock, *, share=1.0, seed=1, workers=2, lo=None, hi=None):
    """Ask CP-SAT for any plan on time. Return ("yes", slots), ("no", None) = proved, or ("unknown", None)."""
    lo0, hi0 = limits.on_time(grid)
    lo = lo0 if lo is None else [max(a, b) for a, b in zip(lo, lo0, strict=True)]
    hi = hi0 if hi is None else [min(a, b) for a, b in zip(hi, hi0, strict=True)]
    lo, hi, empty = limits.tighten(grid, lo, hi)
    if empty is not None:
        return "no", None
    relaxed = Model(grid, lo, hi, relaxed=True)
    status, slots, _ = clock.run(
        relaxed, share / 2 if relaxed.left_out else share, seed=seed, workers=workers, first=True
    )
    if status == "infeasible":
        return "no", None
    if slots is not None and checked(grid, slots) is not None:
        return "yes", slots
    if not relaxed.left_out:
        return "unknown", None
    full = Model(grid, lo, hi)
    if slots is not None:
        full.hint(slots)
    status, slots, _ = clock.run(full, share, seed=seed, workers=workers, first=True)
    if status == "infeasible":
        return "no", None
    if slots is not None and checked(grid, slots) is not None:
        return "yes", slots
    return "unknown", None


def least_late(grid) -> Plan | None:
    """Most orders on time by the backward pass, the rest as early as they then fit; None if even that fails."""
    lo, hi, empty = limits.tighten(grid, grid.lo, grid.hi)
    if empty is not None:
        return None
    plans = [_forward(grid, lo, hi, Schedule(grid))]
    out: set[str] = set()
    for _ in range(len(grid.problem.orders)):
        tasks = {i for i, task in enumerate(grid.tasks) if task.orders and out.issuperset(task.orders)}
        failed = _without(grid, out, tasks, plans)
        if failed is None:
            break
        out |= set(grid.tasks[failed].orders) or {order.id for order in grid.problem.orders}
    plans = [plan for plan in plans if plan is not None]
    return min(plans, key=lambda plan: list(plan.objective.values()), default=None)


def _without(grid, out, tasks, plans):
    """Place all but `tasks` on time; then `tasks` early. Return the task that would not fit, or None."""
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, leave_out=out))
    if empty is not None:
        names = set(grid.tasks[empty].orders) - out
        return empty if names else None
    rank = first_ranks(grid, hi)
    for i in tasks:
        rank[i] = grid.n + 1
    schedule, failed = place_all(grid, lo, hi, rank)
    if failed is not None and failed not in tasks:
        return None if out.issuperset(grid.tasks[failed].orders) else failed
    for i in tasks:
        schedule.take_out(i)
    wide = limits.tighten(grid, grid.lo, grid.hi)
    plans.append(_forward(grid, wide[0], wide[1], schedule))
    return None


def _forward(grid, lo, hi, schedule):
    """Place what is missing as early as possible, first what is due first; None when something never fits."""
    due = {order.id: order.pickup for order in grid.problem.orders}
    key = [min((due[name] for name in task.orders), default=0) for task in grid.tasks]
    position = {i: k for k, i in enumerate(limits.forward_order(grid))}
    missing = [i for i in range(grid.n) if schedule.starts[i] is None]
    waiting = {i: sum(schedule.starts[p] is None for p, _, _, _ in grid.pred[i]) for i in missing}
    while missing:
        i = min((i for i in missing if not waiting[i]), key=lambda i: (key[i], position[i]))
        if not schedule.put_earliest(i, lo[i], hi[i]):
            return None
        missing.remove(i)
        for _, j, _, _ in grid.succ[i]:
            if j in waiting:
                waiting[j] -= 1
    return checked(grid, schedule.starts)


def _any_plan(grid, clock, seed, workers):
    """CP-SAT without deadlines: when even this finds nothing, no plan is known."""
    lo, hi, empty = limits.tighten(grid, grid.lo, grid.hi)
    if empty is not None:
        return None
    status, slots, _ = clock.run(Model(grid, lo, hi), 0.5, seed=seed, workers=workers, first=True)
    return None if slots is None else checked(grid, slots)
