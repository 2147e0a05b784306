"""Why tonight: the way from a job to its hand-over, and what happens when it is left. Pure functions."""

from dataclasses import replace
from datetime import timedelta

from bakery.craft.planning import Lag, Task, measure, solve
from bakery.craft.work.chains import WHY

WAITS_FROM = 30
"""Shorter waits are not drawn as steps of their own [min]."""
TOMORROW = "after-tonight"
KIND_OF = {why: kind for kind, why in WHY.items()}


def tails_of(problem, order: str | None = None) -> dict[str, tuple[int, str | None]]:
    """For each task the minutes from its start to the end of its order along the way, and the next task.

    The way is the one that leaves the task the least time by waits and work alone. Of work that serves
    several orders it leads to the one that presses most, or, with `order`, to that one.
    """
    tasks = {task.id: task for task in problem.tasks if order is None or order in task.orders}
    after: dict[str, list] = {}
    for lag in problem.lags:
        if lag.before in tasks and lag.after in tasks:
            after.setdefault(lag.before, []).append(lag)
    ends: dict[str, int] = {}
    for spec in problem.orders:
        if order in (None, spec.id):
            ends[spec.finish] = min(spec.pickup, ends.get(spec.finish, spec.pickup))
    found: dict[str, tuple[float, int, str | None]] = {}

    def latest(name):
        """(latest start by this way alone, minutes to its end, next task)."""
        if name not in found:
            minutes = tasks[name].minutes
            ways = [(ends.get(name, float("inf")) - minutes, minutes, None)]
            for lag in after.get(name, ()):  # a circle cannot be: the problem refuses it
                start, length, _ = latest(lag.after)
                ways.append((start - lag.min - minutes, minutes + lag.min + length, lag.after))
            found[name] = min(ways, key=lambda way: (way[0], -way[1]))
        return found[name]

    return {name: latest(name)[1:] for name in tasks}


def chain_of(problem, starts, name, tails, about) -> dict:
    """The longest way from this job to the hand-over as steps: work, drying, hand-over.

    `about(id)` gives (kind, title) of a task.
    """
    tasks = {task.id: task for task in problem.tasks}
    path = [name]
    while tails[path[-1]][1] is not None:
        path.append(tails[path[-1]][1])
    order = next(order for order in problem.orders if order.id in tasks[path[-1]].orders)
    lags = {(lag.before, lag.after): lag for lag in problem.lags}
    steps = []
    for i, here in enumerate(path):
        task, start = tasks[here], _start(tasks[here], starts)
        steps.append(_work(problem, about, task, start))
        if i + 1 < len(path):
            lag = lags[here, path[i + 1]]
            if lag.min >= WAITS_FROM:
                steps.append(_wait(problem, lag, start + task.minutes))
    steps.append({"what": "hand", "end": _iso(problem, order.pickup)})
    return {"path": path, "steps": steps, "order": order.id}


def _work(problem, about, task, start):
    kind, title = about(task.id)
    return {
        "what": "work",
        "key": task.id,
        "kind": kind,
        "title": title,
        "start": _iso(problem, start),
        "minutes": task.minutes,
    }


def _wait(problem, lag, end):
    return {"what": "wait", "kind": wait_kind(lag), "minutes": lag.min, "end": _iso(problem, end + lag.min)}


def wait_kind(lag) -> str:
    """What passes in this wait, from the reason the work gave for it."""
    if lag.why.startswith("dough"):
        return "chill"
    return KIND_OF.get(lag.why, "mixed" if "rest" in lag.why else "wait")


def otherwise(problem, plan, path, session, *, must, may_solve) -> dict:
    """What is true when the first job of `path` starts only after this session.

    `how` says where that comes from: "way" is the arithmetic of the way alone (nothing else is counted,
    so it is the earliest possible), "solved" the best plan found, "proof" that no plan is as good, "fits"
    that one is.
    """
    tasks = {task.id: task for task in problem.tasks}
    order = next(order for order in problem.orders if order.id in tasks[path[-1]].orders)
    if not must:
        return {"how": "fits"}
    end = earliest_end(problem, path, session.end)
    if end is None or end > order.pickup:
        return _late(problem, "way", order, end)
    if may_solve:
        found = solve(held_back(problem, path[0], session.end), seconds=0.6)
        late = measure(problem, found.starts)["late"] if found else {}
        worst = max((o for o in problem.orders if o.id in late and o.id not in plan.late), default=None,
                    key=lambda o: late[o.id])  # fmt: skip
        if worst is not None:
            return _late(problem, "solved", worst, worst.pickup + late[worst.id])
    return {"how": "proof", "order": order.id}


def _late(problem, how, order, end) -> dict:
    found = {"how": how, "order": order.id, "end": None, "late": None, "event": None}
    if end is not None:
        found |= {"end": _iso(problem, end), "late": end - order.pickup}
        found["event"] = None if order.event is None else order.event - end
    return found


def earliest_end(problem, path, floor):
    """The earliest end of the last task when the first starts at `floor` or later, alone in the world; or
    None.
    """
    tasks = {task.id: task for task in problem.tasks}
    lags = {(lag.before, lag.after): lag.min for lag in problem.lags}
    at = floor
    for i, name in enumerate(path):
        start = earliest_fit(problem, tasks[name], at)
        if start is None:
            return None
        at = start + tasks[name].minutes
        if i + 1 < len(path):
            at += lags[name, path[i + 1]]
    return at


def earliest_fit(problem, task, floor):
    """The first start from `floor` on at which a window is long enough for this task."""
    if not task.free:
        return max(floor, task.start)
    for window in problem.windows:
        if window.longest is not None and task.minutes > window.longest:
            continue
        start = max(floor, window.start)
        if window.hands >= task.hands and start + task.minutes <= window.end:
            return start
    return None


def held_back(problem, name, until):
    """The same problem in which this task starts at `until` or later."""
    orders = next(task.orders for task in problem.tasks if task.id == name)
    gate = Task(TOMORROW, "gate", orders, 0, 0, state="done", start=until)
    lag = Lag(TOMORROW, name, 0, None, "not tonight")
    return replace(problem, tasks=(*problem.tasks, gate), lags=(*problem.lags, lag))


def _start(task, starts):
    return task.start if not task.free else starts[task.id]


def _iso(problem, minute):
    return (problem.origin + timedelta(minutes=minute)).isoformat()
