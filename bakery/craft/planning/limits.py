"""First and last start of every free task: deadlines of orders, carried along the waits and the calendar."""

from __future__ import annotations

from . import bits


def on_time(grid, *, spare=False, soft=False, leave_out=(), extra=None):
    """Bounds (lo, hi) on start slots under which no hard order is late, missed or stale.

    With `spare`, every order is also ready its spare time before pickup; with `soft`, soft orders are not
    late either. Orders whose id is in `leave_out` are not asked to be on time; orders in `extra` may be
    late by so many minutes, and stale. A finish or bake that is already a fact binds nothing.
    """
    extra = extra or {}
    lo, hi = list(grid.lo), list(grid.hi)
    for order in grid.problem.orders:
        finish = grid.index.get(order.finish)
        if order.id in leave_out:
            continue
        if extra.get(order.id):
            if finish is not None:
                due = grid.down(order.pickup + extra[order.id])
                hi[finish] = min(hi[finish], due - grid.dur[finish])
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


def within(grid, values):
    """Bounds (lo, hi) that every plan keeps whose measures do not exceed `values`.

    `values` may hold missed, lateness (of hard orders), soft, stale and tight; what it lacks is not limited.
    """
    lo, hi = list(grid.lo), list(grid.hi)
    for order in grid.problem.orders:
        finish, late = grid.index.get(order.finish), values.get("soft" if order.soft else "lateness")
        cap = None
        if late is not None and order.weight:
            cap = order.pickup + late // order.weight
        if not order.soft:
            if order.event is not None and values.get("missed", order.weight) < order.weight:
                cap = order.event if cap is None else min(cap, order.event)
            if values.get("tight") == 0 and cap is not None and cap <= order.pickup:
                cap = min(cap, order.pickup - order.spare)
        if finish is not None and cap is not None:
            hi[finish] = min(hi[finish], grid.down(cap) - grid.dur[finish])
        if order.soft or "stale" not in values:
            continue
        ready = order.pickup if finish is not None else max(order.pickup, grid.fact[order.finish][1])
        for name in order.bakes:
            bake = grid.index.get(name)
            if bake is not None:
                lo[bake] = max(lo[bake], grid.up(ready - order.keeps - values["stale"]) - grid.dur[bake])
    return lo, hi


def no_worse(grid, starts):
    """Bounds (lo, hi) under which every order is no later and no staler than in the plan `starts`.

    They leave out plans that pay for one order with another: good for finding plans, never for proofs.
    """
    lo, hi = list(grid.lo), list(grid.hi)
    tasks = {task.id: task for task in grid.problem.tasks}

    def end_of(name):
        return tasks[name].minutes + (starts[name] if name in grid.index else tasks[name].start)

    for order in grid.problem.orders:
        finish, end = grid.index.get(order.finish), end_of(order.finish)
        last = max(end, order.pickup if order.event is None or order.soft else min(order.pickup, order.event))
        if finish is not None:
            hi[finish] = min(hi[finish], grid.down(last) - grid.dur[finish])
        if order.soft:
            continue
        for name in order.bakes:
            bake = grid.index.get(name)
            if bake is not None:
                stale = max(0, max(order.pickup, end) - end_of(name) - order.keeps)
                ready = max(order.pickup, last) - order.keeps - stale
                lo[bake] = max(lo[bake], grid.up(ready) - grid.dur[bake])
    return lo, hi


def tighten(grid, lo, hi, *, rounds=50, only=None):
    """Carry bounds along waits and calendar until nothing changes; with `only`, those of some tasks alone.

    Returns
    -------
    tuple
        (lo, hi, None), or (lo, hi, i) when task number i has no start left: a proof that there is no plan.
    """
    lo, hi, dom = list(lo), list(hi), grid.dom
    for i in range(grid.n) if only is None else only:
        lo[i] = bits.first(dom[i], lo[i])
        hi[i] = bits.last(dom[i], hi[i])
        if lo[i] < 0 or hi[i] < lo[i]:
            return lo, hi, i
    order = forward_order(grid)
    if only is not None:
        order = [i for i in order if i in only]
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
