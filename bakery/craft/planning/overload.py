"""When not everything fits on time: whom to let be late, and how little."""

from __future__ import annotations

from . import limits
from .assignment import Assignment
from .backward import checked, first_ranks, place_all, push_forward
from .grid import Grid
from .model import FEW
from .moves import let_go
from .parts import without_orders
from .plan import Plan

DAY = 1440


def least_late(grid, clock, *, seed=1, workers=2) -> Plan | None:
    """A plan with some orders late, or None when none was found.

    Which orders to give up is asked of the windows first. The others are placed on time, all at once where
    that is found, else one by one; then the late ones, each as early as it fits.
    """
    out = hopeless(grid)
    if out is None:
        return None
    out |= set(_fewest_late(grid, out, clock, seed, workers))
    plans = [put_in_one_by_one(grid, _together(grid, out, clock, seed, workers), out)]
    if plans[0] is None:
        plans.append(put_in_one_by_one(grid, {}, set()))
    return min((plan for plan in plans if plan is not None), key=worth, default=None)


def worth(plan) -> list[int]:
    """The objectives in strict order, to compare plans by."""
    return list(plan.objective.values())


def _together(grid, out, clock, seed, workers):
    """Starts with all orders but `out` on time, or none at all."""
    from .first import on_time_plan
    from .promise import quick

    kept = without_orders(grid.problem, out)
    if not kept.orders:
        return {}
    part = Grid(kept)
    slots = quick(part)
    if slots is None:
        _, slots = on_time_plan(part, clock, share=0.2, seed=seed, workers=workers)
    return {} if slots is None else part.starts_of(slots)


def put_in_one_by_one(grid, starts, out):
    """Put in the orders that `starts` lacks, those in `out` last, by weight and pickup; a plan or None."""
    problem = grid.problem
    lacking = {name for task in grid.tasks if task.id not in starts for name in task.orders}
    waiting = sorted(
        (order for order in problem.orders if order.id in lacking),
        key=lambda order: (order.id in out, order.soft, -order.weight, order.pickup),
    )
    names = [order.id for order in waiting]
    for k, name in enumerate(names):
        starts = _put_in(without_orders(problem, names[k + 1 :]), starts, name)
        if starts is None:
            return None
    if any(task.id not in starts for task in grid.tasks):
        return None
    return checked(grid, [starts[name] // grid.step for name in grid.ids])


def hopeless(grid) -> set[str] | None:
    """Orders that waits and calendar alone make late; None when some task has no start at all."""
    out = set()
    if limits.tighten(grid, grid.lo, grid.hi)[2] is not None:
        return None
    while True:
        _, _, empty = limits.tighten(grid, *limits.on_time(grid, leave_out=out))
        if empty is None:
            return out
        names = set(grid.tasks[empty].orders) - out
        if not names:
            return None
        out |= names


def _fewest_late(grid, out, clock, seed, workers):
    """The orders that the windows have no room for, the least weight of them that can be."""
    if grid.n <= FEW:
        return []
    weights = {
        order.id: 0 if order.id in out else 1 if order.soft else 1000 * max(1, order.weight)
        for order in grid.problem.orders
    }
    lo, hi, _ = limits.tighten(grid, *limits.on_time(grid, soft=True, leave_out=out))
    if any(a > b or a < 0 for a, b in zip(lo, hi, strict=True)):
        lo, hi, _ = limits.tighten(grid, *limits.on_time(grid, leave_out=out))
    work = Assignment(grid, lo, hi, weights)
    status, _, _ = clock.run(work, 0.2, seed=seed, workers=workers)
    return work.dropped if status in ("optimal", "feasible") else []


def _put_in(problem, starts, name):
    """Starts with the work of order `name` added as early as can be, nothing else moved; or None."""
    free = {task.id for task in problem.tasks if task.free and task.id not in starts}
    part = Grid(let_go(problem, starts, free))
    extra, plan = _stretch(part, {}, 40)
    if plan is None:
        return None
    least, most = 0, plan.late.get(name, 0)
    while most - least > part.step * 3:
        middle = (least + most) // 2
        _, better = _stretch(part, {**extra, name: middle}, 3, grow=False)
        if better is None:
            least = middle
        else:
            plan, most = better, min(middle, better.late.get(name, 0))
    return dict(plan.starts)


def _stretch(grid, extra, rounds, *, grow=True):
    """Place everything, `extra` minutes of lateness allowed per order. Return (extra, plan or None)."""
    extra, failures, rank = dict(extra), {}, None
    by_name = {order.id: order for order in grid.problem.orders}
    for turn in range(rounds):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, soft=True, extra=extra))
        failed = empty
        if empty is None:
            rank = rank or first_ranks(grid, hi)
            schedule, failed = place_all(grid, lo, hi, rank)
            if failed is None:
                return extra, checked(grid, schedule.starts)
        names = [name for name in grid.tasks[failed].orders if name in by_name] or list(by_name)
        for name in names:
            failures[name] = failures.get(name, 0) + (3 if empty is not None else 1)
        if grow and failures[names[0]] > 1:
            for name in names:
                extra[name] = extra.get(name, 0) + max(1440, extra.get(name, 0) // 2)
                failures[name] = 0
        elif rank is not None:
            push_forward(grid, rank, failed, turn)
        if grow and all(value > grid.problem.horizon * 2 for value in (extra.get(name, 0) for name in names)):
            break
    return extra, None
