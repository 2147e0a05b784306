"""Exhaustive search over every start of a tiny problem, with the rules of `verify` alone."""

from __future__ import annotations

from itertools import product

from bakery.craft.planning import measure, verify

MOST = 60_000


def candidates(problem):
    """For each free task the starts that lie inside a window; None when there are too many to try."""
    free = [task for task in problem.tasks if task.free]
    choices, total = [], 1
    for task in free:
        starts = [
            start
            for window in problem.windows
            for start in range(window.start, window.end - task.minutes + 1)
            if start % problem.step == 0
            and start >= problem.now
            and start + task.minutes <= problem.horizon
            and (window.longest is None or task.minutes <= window.longest)
        ]
        choices.append(starts)
        total *= max(1, len(starts))
    return free, choices, total


def every_plan(problem):
    """All good plans as (starts, measures), or None when there are too many candidates."""
    free, choices, total = candidates(problem)
    if total > MOST:
        return None
    pins = {task.id: task.start for task in problem.tasks if task.pinned and task.state == "todo"}
    lags = _checks(problem, free)
    plans = []
    for combination in product(*choices):
        if any(not ok(combination) for ok in lags):
            continue
        starts = {task.id: start for task, start in zip(free, combination, strict=True)} | pins
        if not verify(problem, starts):
            plans.append((starts, measure(problem, starts)))
    return plans


def _checks(problem, free):
    """Quick tests of the waits between free tasks, only to save time; `verify` looks at them again."""
    index = {task.id: k for k, task in enumerate(free)}
    length = {task.id: task.minutes for task in free}
    checks = []
    for lag in problem.lags:
        if lag.before in index and lag.after in index:
            i, j, end = index[lag.before], index[lag.after], length[lag.before]
            checks.append(lambda c, i=i, j=j, end=end, least=lag.min: c[j] - c[i] - end >= least)
    return checks


def key(found):
    """The objectives in strict order."""
    value = found["objective"]
    return (
        value["missed"],
        value["lateness"] - found["soft"],
        found["soft"],
        value["stale"],
        value["tight"],
        value["sessions"],
        value["moved"],
        value["age"],
    )
