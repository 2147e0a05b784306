"""Why not: the planner's certificate as sentences a person can check with a pencil."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise

from django.utils import timezone

from bakery.craft.work import job_of_task

from .shortage import HANDS, Shortage, shortage_of, there_is

NARROW = 24 * 60
STEPS = {"dough": "Making the dough", "bake": "Baking", "mix": "Mixing icing", "flood": "Flooding",
         "spray": "Spraying", "icing_pass": "Icing through the stencil", "pipe": "Piping",
         "letter": "Lettering", "transfer": "Sticking the transfers", "wafer": "The wafer paper",
         "brush": "Painting", "pack": "Bagging and boxing", "freeze": "Freezing",
         "thaw": "Thawing"}  # fmt: skip
NAMES = {"hands": "baking hours", "oven": "oven time", "rack": "room on the drying rack",
         "airbrush": "airbrush time", "dryer": "dryer time"}  # fmt: skip
PLACES = {"oven": "sheets", "rack": "places", "dryer": "places", "airbrush": "airbrushes"}


def reasons(problem, works, why, asked: str) -> tuple[str, ...]:
    """The sentences of a certificate; `asked` is the order that the question was about."""
    if not why:
        return ()
    told = {"energy": _energy, "task": _task, "waits": _waits, "together": _together}
    if why.get("kind") not in ("energy", "task") and shortage_of(problem, why, asked):
        return tuple(_energy(problem, works, why, asked))
    return tuple(told.get(why.get("kind"), _search)(problem, works, why, asked))


def hours(minutes: int) -> str:
    """`55 min`, `17 h`, `61 h 30`: always hours, so that they can be added up."""
    whole, rest = divmod(max(0, minutes), 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h {rest:02d}" if rest else f"{whole} h"


def _energy(problem, works, why, asked):
    """A span with too little of something: a narrow one is told by its step, a wide one by its orders."""
    short = shortage_of(problem, why, asked)
    start, end = moment(problem, short.start), moment(problem, short.end)
    name, over = name_of(short.resource), hours(short.over)
    mine = sum(part.minutes for part in short.parts if part.order == asked)
    others = [part for part in short.parts if part.order != asked]
    if short.end - short.start <= NARROW and not others and short.resource == HANDS:
        what = steps(works, short.tasks)
        yield f"{what} fits only {between(start, end)}, after what comes before and in time to dry."
        yield f"That is {hours(short.there)} of {name}, and it takes {hours(short.needed)}: {over} too many."
        return
    span = between(start, end, "from")
    fresh = _fresh(problem, short)
    are = _be(short.there)
    yield f"{fresh or span[:1].upper()}{span if fresh else span[1:]} there {are} {_there(short)}."
    what = "" if short.resource == HANDS else f" for {steps(works, short.tasks).lower()}"
    theirs = hours(sum(part.minutes for part in others))
    needs = f"{_titles(works, others)} {'needs' if len(others) == 1 else 'need'} {theirs}"
    if not short.parts:
        yield f"{hours(short.needed)} are needed{what}: {over} too many."
    elif not others:
        yield f"This one needs {hours(short.needed)} of it{what}: {over} too many."
    elif mine:
        yield f"{needs}{what}, this one {hours(mine)}: {over} too many."
    else:
        yield f"{needs}{what}: {over} too many already, without this one."


def _be(minutes: int) -> str:
    return "is" if minutes == 60 else "are"


def _there(short: Shortage) -> str:
    """`17 h of baking hours`, `140 h of room on the drying rack, on 10 places`"""
    there = f"{hours(short.there)} of {name_of(short.resource)}"
    if short.resource == HANDS:
        return there + (", washing up and the door taken off" if short.away else "")
    if short.capacity < 2:
        return there
    return f"{there}, on {short.capacity} {PLACES.get(short.resource, 'pieces')}"


def _fresh(problem, short: Shortage) -> str:
    """Why the work cannot lie before the stretch, where freshness is the reason."""
    by_id = {order.id: order for order in problem.orders}
    named = {name for task in problem.tasks if task.id in set(short.tasks) for name in task.orders}
    mine = [by_id[name] for name in named if name in by_id]
    keeps = {order.keeps for order in mine}
    first = min((order.pickup - order.keeps for order in mine), default=problem.now)
    near = first - 60 <= short.start <= first + 2 * NARROW
    if len(keeps) != 1 or first <= problem.now or not near:
        return ""
    return f"Baked no more than {round(keeps.pop() / NARROW)} days before, it all falls in this time: "


def _together(problem, works, why, asked):
    """Orders that do not fit together, with the stretch that is fullest of their work."""
    if not why.get("smallest"):  # cut short: do not blame more than is proved
        yield from _search(problem, works, why, asked)
        return
    names = [name for name in why["orders"] if name != asked]
    who = [works[name].order.title for name in names if name in works]
    mine = asked in why["orders"]
    if who and len(who) + mine > 1:
        yield f"{listed([*who, 'this one'] if mine else who)} do not fit together."
    elif who:
        yield f"{who[0]} cannot be kept as it stands."
    if why.get("needed") and why.get("available"):
        span = between(moment(problem, why["from"]), moment(problem, why["to"]), "From")
        there, taken = hours(why["available"]), hours(why["needed"])
        yield f"{span} there {_be(why['available'])} {there} of baking hours."
        all_of_it = "All of it goes" if why["needed"] >= why["available"] else f"Of these {taken} go"
        yield f"{all_of_it} to work that fits nowhere else; drying leaves no way for the rest."
    else:
        yield from _search(problem, works, why, asked)


def _task(problem, works, why, asked):
    """One job that is longer than any free time."""
    title = _job_title(works, why["task"])
    yield (f"{title} takes {hours(why['minutes'])} in one go, and the longest free time is "
           f"{hours(why['longest_window'])}.")  # fmt: skip


def _waits(problem, works, why, asked):
    """Work and drying one after the other take longer than there is."""
    order = why.get("order")
    if order is None:
        title, late = _job_title(works, why.get("task", "")), "fresh" in why.get("sentence", "")
        fresh = "Baked late enough to be fresh, " if late else ""
        there = f"{fresh}there is no time for “{title}”"
        yield f"{there[0].upper()}{there[1:]} between what must come before it and the hand-over."
        yield from _how_much(problem, asked)
        return
    who = "it" if order == asked else works[order].order.title if order in works else "it"
    ready, due = moment(problem, why["earliest"]), moment(problem, why["pickup"])
    yield from _out(problem, why.get("chain", ()))
    work, waits = chain_minutes(problem, why.get("chain", ()))
    if waits:
        whole = why["earliest"] - problem.now
        yield (f"From now the work takes {hours(work)}, cooling and drying {hours(waits)}, and "
               f"{hours(whole - work - waits)} pass until you bake again: {hours(whole)}.")  # fmt: skip
    late = hours(why["earliest"] - why["pickup"])
    yield f"So {who} can be packed {day(ready)} at the earliest: {late} too late for {day(due)}."


def _out(problem, chain):
    """A tool that is out when the chain needs it."""
    by_id, said = {task.id: task for task in problem.tasks}, set()
    for step in chain:
        for resource in by_id[step["task"]].uses:
            whole = problem.resources[resource]
            ends = [one.end for one in problem.blocked if one.resource == resource and one.amount >= whole
                    and one.start <= step["earliest_start"] and one.end > problem.now]  # fmt: skip
            if ends and resource not in said:
                said.add(resource)
                yield f"{tool(resource)} is out until {day(moment(problem, max(ends)))}."


def tool(resource: str) -> str:
    """`The airbrush`, `The fern stencil`"""
    if resource.startswith("stencil/"):
        return f"The {resource.removeprefix('stencil/').replace('-', ' ')} stencil"
    return f"The {'drying rack' if resource == 'rack' else resource}"


def chain_minutes(problem, chain) -> tuple[int, int]:
    """(minutes of work, minutes of waiting) along a chain of tasks."""
    by_id = {task.id: task for task in problem.tasks}
    waits = {(lag.before, lag.after): lag.min for lag in problem.lags}
    names = [step["task"] for step in chain]
    return sum(by_id[name].minutes for name in names), sum(waits.get(pair, 0) for pair in pairwise(names))


def _search(problem, works, why, asked):
    """No short reason: how much there is to do in how much time, and that everything was tried."""
    yield from _how_much(problem, asked)
    yield "Drying, rack and oven leave no order of work in which all are on time: every one was tried."


def _how_much(problem, asked):
    """Baking hours until the hand-over, and what is to do in them."""
    due = next((order.pickup for order in problem.orders if order.id == asked), None)
    if due is None:
        return
    here = there_is(problem, HANDS, problem.now, due, sessions=True)
    mine = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] == asked)
    soon = {order.id for order in problem.orders if order.pickup <= due} - {asked}
    others = sum(t.attended * t.hands for t in problem.tasks if t.free and t.orders[0] in soon)
    booked = f", what is booked until then {hours(others)}" if others else ""
    yield f"Until then there are {hours(here)} of baking hours; this one needs {hours(mine)} of them{booked}."


def name_of(resource: str) -> str:
    """A resource in her words."""
    if resource in NAMES:
        return NAMES[resource]
    return f"time with the {resource.removeprefix('stencil/').replace('-', ' ')} stencil"


def steps(works, tasks) -> str:
    """`Flooding and spraying`: the steps of these tasks in words."""
    jobs = [job for name in tasks if (job := _job(works, name))]
    found = list(dict.fromkeys(STEPS.get(job.kind, job.title) for job in jobs)) or ["One step"]
    return listed([found[0], *(word[0].lower() + word[1:] for word in found[1:])])


def listed(words) -> str:
    words = list(words)
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def between(start: datetime, end: datetime, word: str = "from") -> str:
    """`from Thursday 3 Dec 21:20 to 22:15`"""
    last = at(end) if start.date() == end.date() else day(end)
    return f"{word} {day(start)} to {last}"


def _titles(works, parts) -> str:
    titles = [works[part.order].order.title for part in parts if part.order in works]
    if len(titles) > 3:
        return f"{titles[0]}, {titles[1]} and {len(titles) - 2} more"
    return listed(titles) or "What is booked"


def _job(works, task: str):
    name = job_of_task(task)
    first = works.get(name.split(".", 1)[0])
    for work in (first, *works.values()):
        for job in work.jobs if work else ():
            if job.id == name:
                return job
    return None


def _job_title(works, task: str) -> str:
    job = _job(works, task)
    return job.title if job else "One step"


def moment(problem, minutes: int) -> datetime:
    return timezone.localtime(problem.origin + timedelta(minutes=minutes))


def day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%b} {at(moment)}"


def at(moment: datetime) -> str:
    return f"{moment.hour}:{moment:%M}"
