"""More trays on the rack than it has places: it has happened, so the plan has to live with it."""

from itertools import pairwise

from ..planning.problem import TODO, Blocked, Hold, Task

__all__ = ["make_room"]


def make_room(
    resources: dict[str, int],
    blocked: tuple[Blocked, ...],
    tasks: list[Task],
    holds: list[Hold],
    *,
    now: int,
    horizon: int,
    step: int,
) -> tuple[dict[str, int], tuple[Blocked, ...]]:
    """Capacities and outages under which what stands there already is always allowed.

    Where done and running work (and outages) hold more than there is, its capacity is raised by the
    excess, and the raise is blocked again for all the time in which it is not needed. New work gains nothing.
    """
    resources, blocked = dict(resources), list(blocked)
    known = {task.id: task for task in tasks}
    for name in sorted({hold.resource for hold in holds}):
        loads = [(b.start, b.end, b.amount) for b in blocked if b.resource == name]
        loads += [load for hold in holds if hold.resource == name for load in _stands(hold, known, horizon)]
        excess = _excess(loads, resources[name], now, horizon, step)
        most = max((over for _, _, over in excess), default=0)
        if most:
            resources[name] += most
            blocked += [Blocked(name, most - over, a, b) for a, b, over in excess if over < most]
    return resources, tuple(blocked)


def _stands(hold: Hold, known: dict[str, Task], horizon: int):
    """When something done or running keeps places, at the longest."""
    after = known[hold.after]
    if after.state == TODO:
        return []
    start = after.start + after.minutes
    ends = [horizon]
    if hold.minutes is not None:
        ends.append(start + hold.minutes)
    if hold.until is not None and known[hold.until].state != TODO:
        ends.append(known[hold.until].start)
    return [(start, min(ends), hold.amount)] if min(ends) > start else []


def _excess(loads, capacity: int, now: int, horizon: int, step: int) -> list[tuple[int, int, int]]:
    """From now to the horizon: spans of the grid with how much more is held than there is."""
    edges = {now, horizon}
    for start, end, _ in loads:
        edges |= {t for t in (start // step * step, -(-end // step) * step) if now < t < horizon}
    spans = []
    for low, high in pairwise(sorted(edges)):
        held = sum(amount for start, end, amount in loads if start < high and end > low)
        spans.append((low, high, max(0, held - capacity)))
    return spans
