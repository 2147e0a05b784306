"""Which orders together do not fit: a smallest set of them, when no single span of hours explains a no."""

from __future__ import annotations

from . import limits
from .certificate import reason_for_no
from .grid import Grid
from .parts import without_orders
from .problem import HANDS


def conflict(problem, clock, *, keep=None, seed=1, workers=2) -> dict | None:
    """Return a certificate with the orders that cannot all be on time, none of them to spare; None if time is up.

    The set is proved not to fit. Where the time ends before all orders were tried it may be larger than
    needed, and `smallest` is false.

    Parameters
    ----------
    keep : str or None
        An order that is left out only at the very last, because the question is about it.
    """
    orders = sorted(problem.orders, key=lambda order: (order.id == keep, order.pickup))
    out, smallest = set(), True
    step = max(1, len(orders) // 4)
    names = [order.id for order in reversed(orders)]
    if keep in names:
        names.remove(keep)
    while step and smallest:
        k = 0
        while k < len(names):
            if clock.over():
                smallest = False
                break
            tried = out | set(names[k : k + step])
            answer, why = fits(without_orders(problem, tried), clock.part(0.5), seed, workers)
            if answer == "no":
                out, names = tried, names[:k] + names[k + step :]
                if why is not None and step == 1:
                    return why | {"orders": why["orders"] or _left(problem, out)}
            else:
                k += step
        step //= 2
    left = _left(problem, out)
    return _certificate(problem, left, smallest) if len(left) < len(problem.orders) or smallest else None


def _left(problem, out):
    return [order.id for order in problem.orders if order.id not in out and not order.soft]


def fits(problem, clock, seed=1, workers=2):
    """("yes" | "no" | "unknown", certificate or None): can everyone be on time?"""
    from .first import on_time_plan

    grid = Grid(problem)
    why = reason_for_no(grid, *limits.on_time(grid))
    if why is not None:
        return "no", why
    answer, _ = on_time_plan(grid, clock, seed=seed, workers=workers)
    return answer, None


def _certificate(problem, orders, smallest):
    grid = Grid(problem)
    lo, hi, _ = limits.tighten(grid, *limits.on_time(grid))
    mine = [i for i, task in enumerate(grid.tasks) if set(task.orders).intersection(orders)]
    first, final = min(lo[i] for i in mine), max(hi[i] + grid.dur[i] for i in mine)
    needed = sum(grid.att[i] * grid.hands[i] for i in mine) * grid.step
    available = int(grid.base[HANDS][first:final].sum()) * grid.step
    return {
        "kind": "together",
        "orders": list(orders),
        "smallest": smallest,
        "from": first * grid.step,
        "to": final * grid.step,
        "needed": needed,
        "available": available,
        "sentence": f"{', '.join(orders)} do not fit together: {needed} minutes of work in the {available} "
        f"minutes of hands from {first * grid.step} to {final * grid.step}, with the waits and places between.",
    }
