"""First and last start of every free task: deadlines of orders, carried along the waits and the calendar."""

from __future__ import annotations

from . import bits


def on_time(grid, *, spare=False, soft=False, leave_out=()):
    """Bounds (lo, hi) on start slots under which no hard order is late, missed or stale.

    With `spare`, every order is also ready its spare time before pickup; with `soft`, soft orders are not
    late either. Orders whose id is in `leave_out` are not asked to be on time. A finish or bake that is
    already a fact binds nothing.
    """
    lo, hi = list(grid.lo), list(grid.hi)
    for order in grid.problem.orders:
        finish = grid.index.get(order.finish)
        if order.id in leave_out:
            continue
        if order.soft:
            if soft and finish is not None:
                hi[finish] = min(hi[finish], grid.down(order.pickup) - grid.dur[finish])
            continue
        ready = order.pickup
        if finish is not None:
            due = grid.due(order)
            if spare:
                due = min(due, grid.down(order.pickup - order.spare))
            hi[finish] = min(hi[finish], due - grid.dur[finish])
        else:
            ready = max(ready, grid.fact[order.finish][1])
        for name in order.bakes:
            bake = grid.index.get(name)
            if bake is not None:
                lo[bake] = max(lo[bake], grid.up(ready - order.keeps) - grid.dur[bake])
    return lo, hi


def tighten(grid, lo, hi, *, rounds=50):
    """Carry bounds along waits and calendar until nothing changes.

    Returns
    -------
    tuple
        (lo, hi, None), or (lo, hi, i) when task number i has no start left: a proof that there is no plan.
    """
    lo, hi, dom = list(lo), list(hi), grid.dom
    for i in range(grid.n):
        lo[i] = bits.first(dom[i], lo[i])
        hi[i] = bits.last(dom[i], hi[i])
        if lo[i] < 0 or hi[i] < lo[i]:
            return lo, hi, i
    order = forward_order(grid)
    for _ in range(rounds):
        changed = False
        for j in order:
            least = lo[j]
            for i, _, gap, _ in grid.pred[j]:
                if lo[i] + gap > least:
                    least = lo[i] + gap
            for _, k, _, most in grid.succ[j]:
                if most is not None and lo[k] - most > least:
                    least = lo[k] - most
            if least > lo[j]:
                lo[j], changed = bits.first(dom[j], least), True
                if lo[j] < 0 or lo[j] > hi[j]:
                    return lo, hi, j
        for i in reversed(order):
            latest = hi[i]
            for _, j, gap, _ in grid.succ[i]:
                if hi[j] - gap < latest:
                    latest = hi[j] - gap
            for k, _, _, most in grid.pred[i]:
                if most is not None and hi[k] + most < latest:
                    latest = hi[k] + most
            if latest < hi[i]:
                hi[i], changed = bits.last(dom[i], latest), True
                if hi[i] < lo[i]:
                    return lo, hi, i
        if not changed:
            break
    return lo, hi, None


def forward_order(grid) -> list[int]:
    """The free tasks so that each comes after all it waits for."""
    if not hasattr(grid, "_order"):
        waiting = [len(grid.pred[i]) for i in range(grid.n)]
        order = [i for i in range(grid.n) if not waiting[i]]
        for i in order:
            for _, j, _, _ in grid.succ[i]:
                waiting[j] -= 1
                if not waiting[j]:
                    order.append(j)
        grid._order = order
    return grid._order
