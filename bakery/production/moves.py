"""What a proposal would move, in at most five plain sentences, each with the reason it can show."""

from datetime import timedelta

from django.utils import timezone

from .adapters import job_named
from .words import clock, day_and_time, job_name, named_day, run_title, weekday

MOST = 5


def moves_between(problem, wall, starts, works, *, not_done=()) -> list[dict]:
    """Runs that change their day, or lose or get a place, soonest first; the last entry gathers what is
    over five.
    """
    groups: dict = {}
    for task in problem.tasks:
        if not task.free or not _moves(problem, task.id, wall, starts):
            continue
        job, _ = job_named(works, task.id)
        day = timezone.localdate(_at(problem, starts[task.id]))
        groups.setdefault((job.kind, job.colours, job.title, day), []).append(task.id)
    runs = sorted(groups.values(), key=lambda ids: (min(starts[name] for name in ids), ids))
    told = [_told(problem, ids, wall, starts, works, set(not_done)) for ids in runs]
    if len(told) <= MOST:
        return told
    rest = told[MOST - 1 :]
    days = list(dict.fromkeys(move["day"] for move in rest))
    return [
        *told[: MOST - 1],
        {"more": len(rest), "title": f"And {len(rest)} more, on {_listed(days[:3])}"
         + (" and later" if len(days) > 3 else ""),
         "why": "They make room for the moves above, or follow from them.",
         "keys": [key for move in rest for key in move["keys"]]},
    ]  # fmt: skip


def _moves(problem, name, wall, starts) -> bool:
    if name not in wall:
        return True
    before, after = _at(problem, wall[name]), _at(problem, starts[name])
    return timezone.localdate(before) != timezone.localdate(after)


def _told(problem, ids, wall, starts, works, not_done) -> dict:
    first = min(ids, key=lambda name: starts[name])
    jobs = [job_named(works, name)[0] for name in ids]
    when = _at(problem, starts[first])
    served = list(dict.fromkeys(name for job in jobs for name in job.orders if name in works))
    titles = [works[name].order.title for name in served]
    return {
        "title": run_title(jobs),
        "when": day_and_time(when, _at(problem, problem.now)),
        "day": weekday(when),
        "why": _why(problem, ids, wall, starts, works, not_done, titles),
        "keys": ids,
        "orders": served,
    }


def _why(problem, ids, wall, starts, works, not_done, titles) -> str:
    """The first reason that holds for one of these jobs; each is looked up in the problem, none is
    guessed.
    """
    named = _listed(titles[:2])
    if any(name in not_done for name in ids):
        return f"Not done when it was planned; {_needed(problem, ids, works)}."
    if all(name not in wall for name in ids):
        return f"New work for {named}."
    old = [name for name in ids if name in wall]
    for name in old:
        if (reason := _closed(problem, wall[name])) or (reason := _tool_out(problem, name, wall)):
            return reason
    for name in old:
        if reason := _waits_for(problem, name, wall, starts, works):
            return reason
    for name in old:
        if reason := _taken_by(problem, name, wall, starts, works):
            return reason
    return f"Nothing needs it sooner: {_needed(problem, ids, works)}."


def _needed(problem, ids, works) -> str:
    order = min(
        (o for o in problem.orders if any(o.id in t.orders for t in problem.tasks if t.id in set(ids))),
        key=lambda o: o.pickup,
    )
    due = day_and_time(_at(problem, order.pickup), _at(problem, problem.now))
    return f"{works[order.id].order.title} is handed over {due}"


def _closed(problem, minute) -> str:
    if any(w.start <= minute < w.end and w.longest is None for w in problem.windows):
        return ""
    at = _at(problem, minute)
    day = named_day(at, _at(problem, problem.now))
    return f"There are no baking hours on {day} at {clock(at)} any more."


def _tool_out(problem, name, wall) -> str:
    task = next(task for task in problem.tasks if task.id == name)
    from .words import capital, tool_name

    for out in problem.blocked:
        if out.resource in task.uses and out.start < wall[name] + task.minutes and out.end > wall[name]:
            until = day_and_time(_at(problem, out.end), _at(problem, problem.now))
            return f"{capital(tool_name(out.resource))} is out until {until}."
    return ""


def _waits_for(problem, name, wall, starts, works) -> str:
    tasks = {task.id: task for task in problem.tasks}
    for lag in problem.lags:
        if lag.after != name or (tasks[lag.before].free and lag.before not in starts):
            continue
        before = tasks[lag.before]
        end = (starts[lag.before] if before.free else before.start) + before.minutes
        if end + lag.min > wall[name]:
            job, _ = job_named(works, lag.before)
            ready = day_and_time(_at(problem, end + lag.min), _at(problem, problem.now))
            return f"It waits for “{job_name(job)}”, which is ready {ready}."
    return ""


def _taken_by(problem, name, wall, starts, works) -> str:
    tasks = {task.id: task for task in problem.tasks}
    span = (wall[name], wall[name] + tasks[name].minutes)
    for other, start in sorted(starts.items(), key=lambda item: item[1]):
        if other == name or wall.get(other) == start:
            continue
        if start < span[1] and start + tasks[other].minutes > span[0]:
            job, _ = job_named(works, other)
            title = works[job.order].order.title
            return f"It gives its place to “{job_name(job)}” for {title}."
    return ""


def _at(problem, minute):
    return problem.origin + timedelta(minutes=minute)


def _listed(words) -> str:
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
