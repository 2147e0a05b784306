"""Small changes that make an order fit, each with the plan that shows it, cheapest first."""

from __future__ import annotations

from collections.abc import Iterator

from .clock import Clock
from .grid import Grid
from .hard import YES
from .parts import with_window

HOUR = 60


def changes(problem, order_id, *, variants=(), seconds=2.0, seed=1, workers=2, near=6) -> Iterator[dict]:
    """Yield changes under which everyone is on time, as they are found.

    Each is a dictionary with `kind`, what it says of itself, `cost_minutes` and the checked `plan` of the
    changed problem (also given, as `problem`).

    Parameters
    ----------
    order_id : str
        The order that does not fit.
    variants : iterable of (dict, Problem)
        Changes that only the caller knows how to make (fewer cookies, fewer colours, a batch split): the
        description with its `kind` and `cost_minutes`, and the changed problem. They are tried first.
    near : int
        How many sessions before the hand-over are tried for one more hour or one more pair of hands.
    """
    from .promise import earliest_pickup

    clock = Clock(seconds)
    for change, changed in variants:
        found = _try(changed, clock.part(0.3), seed, workers)
        if found is not None:
            yield {**change, "plan": found, "problem": changed}
    order = next(one for one in problem.orders if one.id == order_id)
    for change, changed in _hours(problem, order, near):
        if clock.over():
            return
        found = _try(changed, clock.part(0.25), seed, workers)
        if found is not None:
            yield {**change, "plan": found, "problem": changed}
            break  # one hour is one hour: the latest evening on which it helps
    found = earliest_pickup(
        problem, order_id, seconds=max(0.05, clock.left() * 0.5), seed=seed, workers=workers
    )
    if found is not None and found[0] > order.pickup:
        yield {"kind": "later", "order": order_id, "pickup": found[0], "cost_minutes": 0, "plan": found[1]}
    for change, changed in _hands(problem, order, near):
        if clock.over():
            return
        found = _try(changed, clock.part(0.3), seed, workers)
        if found is not None:
            yield {**change, "plan": found, "problem": changed}
            return


def _try(problem, clock, seed, workers):
    """A plan with everyone on time, or None."""
    from .promise import answer_for

    grid = Grid(problem)
    answer, plan, _ = answer_for(grid, clock, seed=seed, workers=workers)
    return plan if answer == YES else None


def _sessions(problem, order, near):
    """Numbers of the last sessions before the hand-over, the latest first."""
    found = [
        k
        for k, window in enumerate(problem.windows)
        if window.longest is None and window.end > problem.now and window.start < order.pickup
    ]
    return found[::-1][:near]


def _hours(problem, order, near):
    for k in _sessions(problem, order, near):
        window = problem.windows[k]
        hour = -(-HOUR // problem.step) * problem.step
        for edge, change in (("end", window.end + hour), ("start", window.start - hour)):
            if edge == "start" and change < problem.now:
                continue
            changed = with_window(problem, k, **{edge: change})
            if changed is not None:
                yield _described("hour", k, changed, hour), changed
                break


def _hands(problem, order, near):
    for k in _sessions(problem, order, near):
        window = problem.windows[k]
        changed = with_window(problem, k, hands=window.hands + 1)
        if changed is not None:
            yield _described("hands", k, changed, window.end - max(window.start, problem.now)), changed


def _described(kind, number, problem, cost):
    window = problem.windows[number]
    return {
        "kind": kind,
        "window": number,
        "start": window.start,
        "end": window.end,
        "hands": window.hands,
        "cost_minutes": cost,
    }
