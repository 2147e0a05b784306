"""Which orders together do not fit: a smallest set of them, when no single span of hours explains a no."""

from __future__ import annotations

from . import limits
from .assignment import MOST, Assignment, choices
from .certificate import reason_for_no, tightest
from .grid import Grid
from .parts import without_orders


def conflict(problem, clock, *, keep=None, seed=1, workers=2) -> dict | None:
    """Return a certificate with the orders that cannot all be on time, none of them to spare.

    The set does not fit (given that the problem does not). Where the time ends before all orders were tried
    it may be larger than needed, and `smallest` is false.

    Parameters
    ----------
    keep : str or None
        An order that is left out only at the very last, because the question is about it.
    """
    found = _core(Grid(problem), clock.part(0.3), seed)
    ask = fits if found is None else _ruled_out
    orders = sorted(problem.orders, key=lambda order: (order.id == keep, order.pickup))
    names = [order.id for order in reversed(orders) if order.id != keep]
    out = set()
    if found:
        others = {name for name in names if name not in found}
        answer, why = ask(without_orders(problem, others), clock.part(0.3), seed, workers)
        if why is not None:
            return why
        if answer == "no":
            out, names = others, [name for name in names if name in found]
    step = max(1, len(names) // 2)
    while step and not clock.over():
        k = 0
        while k < len(names) and not clock.over():
            tried = out | set(names[k : k + step])
            answer, why = ask(without_orders(problem, tried), clock.part(0.25), seed, workers)
            if why is not None:
                return why  # hours that can be counted say more than a set of orders
            if answer == "no":
                out, names = tried, names[:k] + names[k + step :]
            else:
                k += step
        step //= 2
    smallest = not clock.over()
    left = _left(problem, out)
    return _certificate(problem, left, smallest)


def _left(problem, out):
    return [order.id for order in problem.orders if order.id not in out and not order.soft]


def _core(grid, clock, seed=1):
    """Orders whose evenings do not go together, by one relaxation; None where that rules out nothing.

    What is shared keeps the deadlines of all who share it: the set by itself may fit.
    """
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid))
    if empty is not None:
        return ()
    if clock.over() or choices(grid, lo, hi) > MOST:
        return None
    work = Assignment(grid, lo, hi, {order.id: 1 for order in grid.problem.orders})
    return work.core(seed=seed, seconds=clock.left())


def _ruled_out(problem, clock, seed=1, workers=2):
    """As `fits`, by relaxations alone: quick, and never "yes"."""
    grid = Grid(problem)
    why = reason_for_no(grid, *limits.on_time(grid))
    if why is not None:
        return "no", why
    lo, hi, _ = limits.tighten(grid, *limits.on_time(grid))
    if choices(grid, lo, hi) > MOST:
        return "unknown", None
    work = Assignment(grid, lo, hi)
    work.model.clear_objective()
    status, _, _ = clock.run(work, seed=seed, workers=workers)
    return ("no" if status == "infeasible" else "unknown"), None


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
    """The orders with the stretch of hours that is fullest of their work, which can be counted again."""
    if not orders:  # not even the work that no hard order needs finds a place
        return {"kind": "search", "orders": [], "sentence": "Every way of placing the work was ruled out."}
    names = {order.id for order in problem.orders}
    grid = Grid(without_orders(problem, names.difference(orders)))
    lo, hi, empty = limits.tighten(grid, *limits.on_time(grid))
    span = tightest(grid, lo, hi) if empty is None else None
    sentence = f"{', '.join(orders)} do not fit together."
    if span:
        sentence += (
            f" Fullest is {span['from']} to {span['to']}: {span['needed']} of {span['available']} minutes of "
            "hands are taken by work that cannot be done at another time; waits and places leave no way "
            "for the rest."
        )
    return {
        "kind": "together",
        "smallest": smallest,
        **(span or {}),
        "orders": list(orders),
        "sentence": sentence,
    }
