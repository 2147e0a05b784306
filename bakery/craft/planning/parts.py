"""Smaller problems made of a problem: without some orders, or with work moved, or with more hours."""

from __future__ import annotations

from dataclasses import replace


def without_orders(problem, names):
    """The problem without the orders `names` and all work that serves only them."""
    names = set(names)
    gone = {task.id for task in problem.tasks if task.orders and names.issuperset(task.orders)}
    needed = {order.finish for order in problem.orders if order.id not in names}
    gone -= needed
    tasks = [
        replace(task, orders=[name for name in task.orders if name not in names])
        for task in problem.tasks
        if task.id not in gone
    ]
    orders = [
        replace(order, bakes=[name for name in order.bakes if name not in gone])
        for order in problem.orders
        if order.id not in names
    ]
    return replace(
        problem,
        tasks=tasks,
        orders=orders,
        lags=[lag for lag in problem.lags if not gone.intersection((lag.before, lag.after))],
        holds=_holds_left(problem.holds, gone),
        wall={name: start for name, start in problem.wall.items() if name not in gone},
    )


def _holds_left(holds, gone):
    kept = []
    for hold in holds:
        if hold.after in gone:
            continue
        if hold.until in gone:
            if hold.minutes is None:
                continue
            hold = replace(hold, until=None)
        kept.append(hold)
    return kept


def with_order(problem, order):
    """The problem with one order put in place of the one of that id."""
    return replace(problem, orders=[order if one.id == order.id else one for one in problem.orders])


def with_window(problem, number, **changes):
    """The problem with window `number` changed (start, end, hands); None where that hits a neighbour."""
    windows = list(problem.windows)
    new = replace(windows[number], **changes)
    if number and new.start < windows[number - 1].end:
        return None
    if number + 1 < len(windows) and new.end > windows[number + 1].start:
        return None
    if new.end > problem.horizon or new.start < 0:
        return None
    windows[number] = new
    return replace(problem, windows=windows)


def without_window(problem, number):
    """The problem with window `number` lost from now on: nothing more can be started in it."""
    windows = list(problem.windows)
    window = windows[number]
    if window.start < problem.now < window.end:
        windows[number] = replace(window, end=problem.now)
    else:
        del windows[number]
    return replace(problem, windows=windows)
