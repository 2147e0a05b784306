"""Is this plan right? Plain arithmetic over the contract, sharing no code with the solver.

Facts are running and done work and pins. Where only facts take part, or before `now`, too much is
forgiven: it has happened or was her own decision. Everything else is held to the minute.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from .problem import DONE, HANDS, TODO


def verify(problem, plan) -> list[str]:
    """Return one sentence for every rule that `plan` breaks; an empty list means a good plan.

    Parameters
    ----------
    problem : Problem
    plan : Plan or mapping of task id to start in minutes
        Starts of facts may be left out; where given they must be the real ones.
    """
    starts = getattr(plan, "starts", plan)
    broken = _starts(problem, starts)
    if broken:
        return broken
    spans = _spans(problem, starts)
    return (
        _windows(problem, spans)
        + _lags(problem, spans)
        + _hands(problem, spans)
        + _resources(problem, spans)
        + (_claims(problem, plan, spans) if hasattr(plan, "starts") else [])
    )


def _starts(problem, starts):
    """Every task to do has a start on the grid; pins and facts keep theirs; no unknown names."""
    broken, known = [], {task.id: task for task in problem.tasks}
    for name in starts:
        if name not in known:
            broken.append(f"{name}: no such task")
    for task in problem.tasks:
        start = starts.get(task.id)
        if start is None:
            if task.state == TODO:
                broken.append(f"{task.id}: has no start")
        elif not isinstance(start, int) or isinstance(start, bool):
            broken.append(f"{task.id}: its start is not a whole number")
        elif not task.free:
            if start != task.start:
                broken.append(f"{task.id}: must start at {task.start}, not at {start}")
        elif start % problem.step:
            broken.append(f"{task.id}: starts at {start}, which is not a multiple of {problem.step}")
    return broken


def _spans(problem, starts):
    """Start and end of every task."""
    spans = {}
    for task in problem.tasks:
        start = starts[task.id] if task.free else task.start
        spans[task.id] = (start, start + task.minutes)
    return spans


def _windows(problem, spans):
    """Free work starts no earlier than now and lies wholly inside one window that allows its length."""
    broken, window_of = [], _window_finder(problem)
    for task in problem.tasks:
        if not task.free:
            continue
        start, end = spans[task.id]
        if start < problem.now:
            broken.append(f"{task.id}: starts at {start}, before now ({problem.now})")
        if end > problem.horizon:
            broken.append(f"{task.id}: ends at {end}, after the horizon ({problem.horizon})")
        here = window_of(start)
        window = None if here is None else problem.windows[here]
        if window is None or end > window.end:
            broken.append(f"{task.id}: {start} to {end} is not inside one window")
        elif window.longest is not None and task.minutes > window.longest:
            broken.append(f"{task.id}: {task.minutes} minutes, in a window for jobs up to {window.longest}")
    return broken


def _window_finder(problem):
    """Return a function from a time to the number of the window it lies in, or None."""
    opens = [window.start for window in problem.windows]

    def window_of(time):
        i = bisect_right(opens, time) - 1
        return i if i >= 0 and time < problem.windows[i].end else None

    return window_of


def _lags(problem, spans):
    """Waits are neither too short nor too long; between two facts they are history."""
    broken, free = [], {task.id for task in problem.tasks if task.free}
    for lag in problem.lags:
        if lag.before not in free and lag.after not in free:
            continue
        wait = spans[lag.after][0] - spans[lag.before][1]
        reason = f" ({lag.why})" if lag.why else ""
        if wait < lag.min:
            broken.append(f"{lag.after}: {wait} minutes after {lag.before}, needs {lag.min}{reason}")
        if lag.max is not None and wait > lag.max:
            broken.append(f"{lag.after}: {wait} minutes after {lag.before}, at most {lag.max}{reason}")
    return broken


def _hands(problem, spans):
    """Hands in use and blocked never exceed the window's; outside windows there is no limit."""
    demands = [(out.start, out.end, out.amount, True) for out in problem.blocked if out.resource == HANDS]
    for task in problem.tasks:
        if task.state != DONE:
            start = spans[task.id][0]
            demands.append((start, start + task.attended, task.hands, not task.free))
    broken, inside = [], [[] for _ in problem.windows]
    ends = [window.end for window in problem.windows]  # windows are sorted and do not overlap
    for start, end, amount, fact in demands:
        for k in range(bisect_right(ends, start), len(ends)):
            window = problem.windows[k]
            if window.start >= end:
                break
            inside[k].append((max(start, window.start), min(end, window.end), amount, fact))
    for window, parts in zip(problem.windows, inside, strict=True):
        broken += _overloads(HANDS, window.hands, parts, problem.now) if parts else []
    return broken


def _resources(problem, spans):
    """Use, holds and outages together never exceed what there is."""
    demands = {name: [] for name in problem.resources}
    for out in problem.blocked:
        if out.resource != HANDS:
            demands[out.resource].append((out.start, out.end, out.amount, True))
    tasks = {task.id: task for task in problem.tasks}
    for task in problem.tasks:
        if task.state != DONE:
            for name, amount in task.uses.items():
                demands[name].append((*spans[task.id], amount, not task.free))
    for hold in problem.holds:
        start = spans[hold.after][1]
        ends = [spans[hold.until][0]] if hold.until is not None else []
        if hold.minutes is not None:
            ends.append(start + hold.minutes)
        fact = not tasks[hold.after].free and (hold.until is None or not tasks[hold.until].free)
        demands[hold.resource].append((start, min(ends), hold.amount, fact))
    broken = []
    for name, capacity in problem.resources.items():
        broken += _overloads(name, capacity, demands[name], problem.now)
    return broken


def _overloads(name, capacity, demands, now):
    """Sentences for the spans in which demands exceed capacity, unless forgiven."""
    demands = [demand for demand in demands if demand[0] < demand[1] and demand[2] > 0]
    times = sorted({time for start, end, _, _ in demands for time in (start, end)} | {now})
    changes = {time: [0, 0] for time in times}  # amount in all, amount of the plan's own
    for start, end, amount, fact in demands:
        for time, sign in ((start, 1), (end, -1)):
            changes[time][0] += sign * amount
            changes[time][1] += 0 if fact else sign * amount
    broken, total, own = [], 0, 0
    for start, end in pairwise(times):
        total += changes[start][0]
        own += changes[start][1]
        if total > capacity and own > 0 and start >= now:
            broken.append(f"{name}: {total} in use from {start} to {end}, there are {capacity}")
    return broken


def _claims(problem, plan, spans):
    """What the plan says of itself must be so."""
    real = _measure(problem, spans)
    broken = [
        f"{name}: the plan says {value}, it is {real['objective'].get(name)}"
        for name, value in plan.objective.items()
        if real["objective"].get(name) != value
    ]
    if plan.objective and dict(plan.late) != real["late"]:
        broken.append(f"late: the plan says {dict(plan.late)}, it is {real['late']}")
    return broken


def measure(problem, starts) -> dict:
    """Return `{"objective": {...}, "late": {...}, "soft": minutes}` of complete starts, in minutes.

    `objective` has missed, lateness, stale, tight, sessions, moved and age; `late` the minutes of every
    late order; `soft` the part of `lateness` that soft orders bring.
    """
    return _measure(problem, _spans(problem, getattr(starts, "starts", starts)))


def _measure(problem, spans):
    missed = lateness = soft = stale = tight = age = 0
    late, tasks = {}, {task.id: task for task in problem.tasks}
    for order in problem.orders:
        end = spans[order.finish][1]
        over = max(0, end - order.pickup)
        if over:
            late[order.id] = over
        lateness += order.weight * over
        if order.soft:
            soft += order.weight * over
            continue
        if order.event is not None and end > order.event:
            missed += order.weight
        if not over:
            tight += max(0, order.spare - (order.pickup - end))
        for name in order.bakes:
            baked = spans[name][1]
            stale += max(0, max(order.pickup, end) - baked - order.keeps)
            age += tasks[name].uses.get("oven", 0) * (order.pickup - baked)
    sessions, moved = _sessions(problem, spans)
    values = (missed, lateness, stale, tight, sessions, moved, age)
    names = ("missed", "lateness", "stale", "tight", "sessions", "moved", "age")
    return {"objective": dict(zip(names, values, strict=True)), "late": late, "soft": soft}


def _sessions(problem, spans):
    """How many windows without `longest` are worked in, and how many tasks left their window on the wall."""
    used, moved, window_of = set(), 0, _window_finder(problem)
    for task in problem.tasks:
        if task.state != TODO:
            continue
        here = window_of(spans[task.id][0])
        if here is not None and problem.windows[here].longest is None:
            used.add(here)
        if task.id in problem.wall:
            there = window_of(problem.wall[task.id])
            moved += there is None or here != there
    return len(used), moved
