"""What can be wrong with a problem as a whole: names that are missing, times that contradict each other."""

from __future__ import annotations

from collections import Counter

from .problem import HANDS, STATES, TODO

MOST_SLOTS = 1_000_000


def faults(problem) -> list[tuple[str, str]]:
    """Return (path, sentence) for everything that is wrong; an empty list means a sound problem."""
    found = _clock(problem)
    if found:
        return found
    for rule in (_windows, _resources, _tasks, _lags, _holds, _orders, _off_grid):
        found += rule(problem)
    return found or _circle(problem)


def _clock(problem):
    if problem.origin.tzinfo is None:
        return [("origin", "needs its time zone, for example 2026-03-02T00:00:00+00:00")]
    if problem.step < 1:
        return [("step", "must be at least 1 minute")]
    if problem.horizon <= 0:
        return [("horizon", "must lie after the origin")]
    if problem.now < 0:
        return [("now", "lies before the origin")]
    if problem.now > problem.horizon:
        return [("now", "lies after the horizon")]
    if (problem.horizon - min(0, problem.now)) // problem.step > MOST_SLOTS:
        return [("horizon", f"is more than {MOST_SLOTS} steps away")]
    return []


def _windows(problem):
    found, last = [], None
    for i, window in enumerate(problem.windows):
        path = f"windows[{i}]"
        if window.end <= window.start:
            found.append((path, "ends before it starts"))
        elif last is not None and window.start < last:
            found.append((path, "overlaps the one before it, or they are not in order"))
        last = window.end
        if window.hands < 0:
            found.append((f"{path}.hands", "cannot be less than none"))
        if window.longest is not None and window.longest < 1:
            found.append((f"{path}.longest", "must be null or at least 1 minute"))
    return found


def _resources(problem):
    found = []
    for name, amount in problem.resources.items():
        if name == HANDS:
            found.append((f"resources.{name}", "hands belong to the windows, not to the resources"))
        if amount < 0:
            found.append((f"resources.{name}", "cannot be less than none"))
    for i, out in enumerate(problem.blocked):
        if out.resource != HANDS and out.resource not in problem.resources:
            found.append((f"blocked[{i}].resource", f"there is no resource called {out.resource!r}"))
        if out.end <= out.start:
            found.append((f"blocked[{i}]", "ends before it starts"))
        if out.amount < 0:
            found.append((f"blocked[{i}].amount", "cannot be less than none"))
    return found


def _tasks(problem):
    found = _twice("tasks", problem.tasks)
    orders = {order.id for order in problem.orders}
    for i, task in enumerate(problem.tasks):
        path = f"tasks[{i}]"
        if task.state not in STATES:
            found.append((f"{path}.state", f"must be one of {', '.join(STATES)}"))
        if task.minutes < (1 if task.state == TODO else 0):
            found.append((f"{path}.minutes", "must be more than nothing"))
        if not 0 <= task.attended <= max(task.minutes, 0):
            found.append((f"{path}.attended", "must lie between nothing and its minutes"))
        if task.hands < 0:
            found.append((f"{path}.hands", "cannot be less than none"))
        if not task.free and task.start is None:
            found.append((f"{path}.start", "is needed for pinned, running and done work"))
        for name in task.orders:
            if name not in orders:
                found.append((f"{path}.orders", f"there is no order called {name!r}"))
        for name, amount in task.uses.items():
            if name not in problem.resources:
                found.append((f"{path}.uses", f"there is no resource called {name!r}"))
            elif amount < 0:
                found.append((f"{path}.uses", f"cannot use less than none of {name!r}"))
    return found


def _twice(path, things):
    return [
        (path, f"{name!r} is there {times} times")
        for name, times in Counter(thing.id for thing in things).items()
        if times > 1
    ]


def _lags(problem):
    found, known = [], {task.id for task in problem.tasks}
    for i, lag in enumerate(problem.lags):
        path = f"lags[{i}]"
        found += _names(path, known, before=lag.before, after=lag.after)
        if lag.before == lag.after:
            found.append((path, f"{lag.before!r} cannot wait for itself"))
        if lag.min < 0:
            found.append((f"{path}.min", "cannot be less than nothing"))
        if lag.max is not None and lag.max < lag.min:
            found.append((f"{path}.max", "is less than the least wait"))
    return found


def _holds(problem):
    found, known = [], {task.id for task in problem.tasks}
    for i, hold in enumerate(problem.holds):
        path = f"holds[{i}]"
        if hold.resource not in problem.resources:
            found.append((f"{path}.resource", f"there is no resource called {hold.resource!r}"))
        if hold.amount < 0:
            found.append((f"{path}.amount", "cannot be less than none"))
        names = {"from": hold.after} if hold.until is None else {"from": hold.after, "until": hold.until}
        found += _names(path, known, **names)
        if hold.until is None and hold.minutes is None:
            found.append((path, "needs minutes, until, or both"))
        if hold.until == hold.after:
            found.append((path, f"{hold.after!r} cannot end its own hold"))
        if hold.minutes is not None and hold.minutes < 0:
            found.append((f"{path}.minutes", "cannot be less than nothing"))
    return found


def _names(path, known, **names):
    return [
        (f"{path}.{key}", f"there is no task called {name!r}")
        for key, name in names.items()
        if name not in known
    ]


def _orders(problem):
    found, known = _twice("orders", problem.orders), {task.id for task in problem.tasks}
    for i, order in enumerate(problem.orders):
        path = f"orders[{i}]"
        found += _names(path, known, finish=order.finish)
        for name in order.bakes:
            found += _names(path, known, bakes=name)
        for key in ("keeps", "spare", "weight"):
            if getattr(order, key) < 0:
                found.append((f"{path}.{key}", "cannot be less than nothing"))
    return found


def _off_grid(problem):
    """Only facts (running and done work) and the old plan on the wall may lie between the steps."""
    step = problem.step

    def all_times():
        yield "now", problem.now
        for i, window in enumerate(problem.windows):
            yield from ((f"windows[{i}].{key}", getattr(window, key)) for key in ("start", "end"))
        for i, out in enumerate(problem.blocked):
            yield from ((f"blocked[{i}].{key}", getattr(out, key)) for key in ("start", "end"))
        for i, task in enumerate(problem.tasks):
            if task.state == TODO:
                yield from ((f"tasks[{i}].{key}", getattr(task, key)) for key in ("minutes", "attended"))
                if task.pinned:
                    yield f"tasks[{i}].start", task.start
        for i, lag in enumerate(problem.lags):
            yield from ((f"lags[{i}].{key}", getattr(lag, key)) for key in ("min", "max"))
        for i, hold in enumerate(problem.holds):
            yield f"holds[{i}].minutes", hold.minutes
        for i, order in enumerate(problem.orders):
            yield from ((f"orders[{i}].{key}", getattr(order, key)) for key in ("pickup", "event"))

    found = []
    for path, time in all_times():
        if time and time % step:
            found.append((path, f"is not a multiple of {step} minutes"))
        elif time and abs(time) // step > 2 * MOST_SLOTS:
            found.append((path, "is too far away"))
    return found


def _circle(problem):
    """Waits that go round in a circle can never be met; name one of the tasks on it."""
    free = {task.id for task in problem.tasks if task.free}
    followers = {name: [] for name in free}
    waiting = Counter()
    for lag in problem.lags:
        if lag.before in free and lag.after in free:
            followers[lag.before].append(lag.after)
            waiting[lag.after] += 1
    ready = [name for name in free if not waiting[name]]
    seen = 0
    while ready:
        seen += 1
        for name in followers[ready.pop()]:
            waiting[name] -= 1
            if not waiting[name]:
                ready.append(name)
    if seen == len(free):
        return []
    stuck = min(name for name in free if waiting[name])
    return [("lags", f"go round in a circle at {stuck!r}")]
