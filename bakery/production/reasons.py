"""Why not: the planner's certificate as sentences a person can check with a pencil."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import job_of_task
from bakery.orders.pricing import span

NARROW = 24 * 60
STEPS = {"dough": "Making the dough", "bake": "Baking", "mix": "Mixing icing", "flood": "Flooding",
         "spray": "Spraying", "icing_pass": "Icing through the stencil", "pipe": "Piping",
         "letter": "Lettering", "transfer": "Sticking the transfers", "wafer": "The wafer paper",
         "brush": "Painting", "pack": "Bagging and boxing"}  # fmt: skip
NAMES = {"hands": "baking hours", "oven": "oven time", "rack": "time on the drying rack",
         "airbrush": "airbrush time", "dryer": "dryer time"}  # fmt: skip


def reasons(problem, works, why, asked: str) -> tuple[str, ...]:
    """The sentences of a certificate; `asked` is the order that the question was about."""
    if not why:
        return ()
    told = {"energy": _energy, "task": _task, "waits": _waits}.get(why.get("kind"), _search)
    return tuple(told(problem, works, why, asked))


def _energy(problem, works, why, asked):
    """A span with too little of something: a narrow one is told by its step, a wide one by its orders."""
    start, end = _moment(problem, why["from"]), _moment(problem, why["to"])
    name = NAMES.get(why["resource"]) or _stencil(why["resource"])
    needs, over = _by_order(problem, why), span(why["needed"] - why["available"])
    mine = needs.pop(asked, 0)
    if why["to"] - why["from"] <= NARROW and not needs:
        steps = _steps(works, why["tasks"])
        yield f"{steps} fits only {_between(start, end)}, after what comes before and in time to dry."
        there = span(why["available"])
        yield f"That is {there} of {name}, and it takes {span(why['needed'])}: {over} too many."
        return
    yield f"{_between(start, end, 'From')} there are {span(why['available'])} of {name}."
    if not needs:
        yield f"This one needs {span(why['needed'])} of them: {over} too many."
    elif mine:
        others = f"{_titles(works, needs)} {_need(needs)} {span(sum(needs.values()))}"
        yield f"{others}, this one {span(mine)}: {over} too many."
    elif why["resource"] == "hands":
        others = f"{_titles(works, needs)} alone {_need(needs)} {span(sum(needs.values()))}"
        yield f"{others}: {over} too many already."
    else:
        yield f"{span(why['needed'])} are needed: {over} too many."


def _between(start: datetime, end: datetime, word: str = "from") -> str:
    """`from Thursday 3 Dec 21:20 to 22:15`"""
    last = at(end) if start.date() == end.date() else _day(end)
    return f"{word} {_day(start)} to {last}"


def _steps(works, tasks) -> str:
    """`Flooding and spraying`: the steps of these tasks in words."""
    jobs = [job for name in tasks if (job := _job(works, name))]
    found = list(dict.fromkeys(STEPS.get(job.kind, job.title) for job in jobs)) or ["One step"]
    found = [found[0], *(word[0].lower() + word[1:] for word in found[1:])]
    return " and ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else found[0]


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
    who = "it" if order == asked else works[order].order.title
    late = span(why["earliest"] - why["pickup"])
    one_by_one = "Baking, flooding and drying one after the other"
    yield f"{one_by_one}, {who} can be packed {_day(ready)} at the earliest."
    yield f"That is {late} too late for {_day(due)}."


def _search(problem, works, why, asked):
    """No short reason: how much there is to do in how much time, and that everything was tried."""
    due = next((order.pickup for order in problem.orders if order.id == asked), None)
    if due is not None:
        here = _hands_until(problem, due)
        mine = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] == asked)
        day_ends = due + 24 * 60 - (due + problem.origin.hour * 60 + problem.origin.minute) % (24 * 60)
        soon = {order.id for order in problem.orders if order.pickup <= day_ends}
        others = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] in soon - {asked})
        booked = f", what is booked up to that day {span(others)}" if others else ""
        need = f"this one needs {span(mine)} of them{booked}"
        yield f"Until then there are {span(here)} of baking hours; {need}."
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


def _job(works, task: str):
    name = job_of_task(task)
    work = works.get(name.split(".", 1)[0])
    return next((job for job in work.jobs if job.id == name), None) if work else None


def _job_title(works, task: str) -> str:
    job = _job(works, task)
    return job.title if job else "One step"


def _stencil(resource: str) -> str:
    return f"time with the {resource.removeprefix('stencil/').replace('-', ' ')} stencil"


def _moment(problem, minutes: int) -> datetime:
    return timezone.localtime(problem.origin + timedelta(minutes=minutes))


def _day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%b} {at(moment)}"


def at(moment: datetime) -> str:
    return f"{moment.hour}:{moment:%M}"
