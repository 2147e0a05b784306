"""Why not: the planner's certificate as sentences a person can check with a pencil."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import job_of_task
from bakery.orders.pricing import span

NAMES = {"hands": "baking hours", "oven": "oven time", "rack": "time on the drying rack", "airbrush": "airbrush time",
         "dryer": "dryer time"}  # fmt: skip


def reasons(problem, works, why, asked: str) -> tuple[str, ...]:
    """The sentences of a certificate; `asked` is the order that the question was about."""
    if not why:
        return ()
    told = {"energy": _energy, "task": _task, "waits": _waits}.get(why.get("kind"), _search)
    return tuple(told(problem, works, why, asked))


def _energy(problem, works, why, asked):
    name = NAMES.get(why["resource"]) or _stencil(why["resource"])
    start, end = _moment(problem, why["from"]), _moment(problem, why["to"])
    yield f"From {_day(start)} to {_day(end)} there are {span(why['available'])} of {name}."
    needs = _by_order(problem, why)
    mine = needs.pop(asked, 0)
    over = span(why["needed"] - why["available"])
    if not needs:
        yield f"This one needs {span(why['needed'])}: {over} too many."
    elif mine:
        yield f"{_titles(works, needs)} {_need(needs)} {span(sum(needs.values()))}, this one {span(mine)}: {over} too many."
    else:
        yield f"{_titles(works, needs)} alone {_need(needs)} {span(sum(needs.values()))}: {over} too many already."


def _need(needs) -> str:
    return "needs" if len(needs) == 1 else "need"


def _by_order(problem, why) -> dict[str, int]:
    """Minutes of the certificate's resource that each order asks for; shared work goes to its first order."""
    tasks = {task.id: task for task in problem.tasks}
    found: dict[str, int] = {}
    for name in why["tasks"]:
        task = tasks[name]
        minutes = task.attended * task.hands if why["resource"] == "hands" else 0
        found[task.orders[0]] = found.get(task.orders[0], 0) + minutes
    if why["resource"] != "hands":  # holds count too, so only the whole is exact
        return dict.fromkeys(found, 0) | {next(iter(found), ""): why["needed"]}
    return found


def _task(problem, works, why, asked):
    title = _job_title(works, why["task"])
    yield (f"{title} takes {span(why['minutes'])} in one go, and the longest free time is "
           f"{span(why['longest_window'])}.")  # fmt: skip


def _waits(problem, works, why, asked):
    order = why.get("order")
    if order is None:
        title = _job_title(works, why.get("task", ""))
        yield f"There is no time for “{title}” between what must come before it and the hand-over."
        return
    ready, due = _moment(problem, why["earliest"]), _moment(problem, why["pickup"])
    who = "It" if order == asked else works[order].order.title
    yield (f"Baking, flooding and drying one after the other, {who[0].lower() + who[1:] if who == 'It' else who} can be "
           f"packed {_day(ready)} at the earliest, {span(why['earliest'] - why['pickup'])} too late "
           f"for {_day(due)}.")  # fmt: skip


def _search(problem, works, why, asked):
    """No short reason: say how much there is to do and how much time, which is near the truth, and that all was tried."""
    due = next((order.pickup for order in problem.orders if order.id == asked), None)
    if due is not None:
        here = _hands_until(problem, due)
        mine = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] == asked)
        soon = {order.id for order in problem.orders if order.pickup <= due}
        others = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] in soon - {asked})
        yield (f"Until then there are {span(here)} of baking hours; this one needs {span(mine)} of them, what is booked "
               f"before it {span(others)}.")  # fmt: skip
    yield "Drying, rack and oven leave no order of work in which all are on time: every one was tried."


def _hands_until(problem, due: int) -> int:
    """Minutes of hands in baking hours from now until `due`, less what is blocked."""
    total = 0
    for window in problem.windows:
        if window.longest is None:
            a, b = max(window.start, problem.now), min(window.end, due)
            total += max(0, b - a) * window.hands
            total -= sum(
                max(0, min(b, one.end) - max(a, one.start)) * one.amount
                for one in problem.blocked
                if one.resource == "hands" and b > a
            )
    return max(0, total)


def _titles(works, needs) -> str:
    titles = [works[name].order.title for name in sorted(needs, key=lambda n: -needs[n]) if name in works]
    if len(titles) > 3:
        return f"{titles[0]}, {titles[1]} and {len(titles) - 2} more"
    return " and ".join([", ".join(titles[:-1]), titles[-1]]) if len(titles) > 1 else titles[0]


def _job_title(works, task: str) -> str:
    name = job_of_task(task)
    work = works.get(name.split(".", 1)[0])
    job = next((job for job in work.jobs if job.id == name), None) if work else None
    return job.title if job else "One step"


def _stencil(resource: str) -> str:
    return f"time with the {resource.removeprefix('stencil/').replace('-', ' ')} stencil"


def _moment(problem, minutes: int) -> datetime:
    return timezone.localtime(problem.origin + timedelta(minutes=minutes))


def _day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%b} {at(moment)}"


def at(moment: datetime) -> str:
    return f"{moment.hour}:{moment:%M}"
