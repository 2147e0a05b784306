"""What tonight's page says about the plan: verdicts, where she may stop, what dries until when, and why.

Everything is worked out beside the plan and kept with it as plain data (`Plan.tonight`), so that the page
itself never solves anything. Times are written as ISO text.
"""

import time
from dataclasses import replace
from datetime import timedelta

from bakery.craft.planning import Plan, solve, verify

from .chains import chain_of, otherwise, tails_of
from .settle import current_session, free_minutes, harm, in_window

STOP_SECONDS, LEAST_SECONDS = 2.5, 0.05
"""For the whole search for where she may stop, and the least that one question is worth asking for."""
HURTS = ("missed", "lateness", "stale")
ENOUGH = ("missed", "lateness", "soft", "stale")
LOOK_AGAIN = timedelta(hours=12)


def verdicts_tonight(problem, plan, *, seconds=1.5) -> dict:
    """Which of the session's jobs can't wait, with their latest starts; the least there is to do."""
    session = current_session(problem)
    if session is None or not in_window(problem, dict(plan.starts), session):
        return {"tasks": {}, "least": None}
    return _verdicts(problem, plan, session, seconds)


def look_at_tonight(problem, plan, works, verdicts, *, patience=1.0) -> dict:
    """All that the page needs beside the plan; `verdicts` come from `verdicts_tonight` of the same
    problem.
    """
    starts = dict(plan.starts)
    session = current_session(problem)
    found = {
        "at": moment(problem, problem.now).isoformat(),
        "look_again": (moment(problem, problem.now) + LOOK_AGAIN).isoformat(),
        "until": None,
        "tasks": {},
        "stop": None,
        "dry": {},
        "chains": {},
    }
    if session is None:
        return found
    # Small jobs of the waking hours before the session belong to it.
    ids = sorted(
        (n for n, at in starts.items() if problem.now <= at < session.end), key=lambda n: (starts[n], n)
    )
    found["from"], found["until"] = (moment(problem, at).isoformat() for at in (session.start, session.end))
    found |= verdicts
    found["stop"] = stop_here(problem, plan, session, ids, found["tasks"], patience=patience) if ids else None
    found["dry"] = {name: dry for name in ids if (dry := drying_after(name, problem, works))}
    found["chains"] = _chains(problem, plan, works, ids, found["tasks"], session)
    return found


def unjudged(problem) -> dict:
    """What is known of the session before anything about it is worked out: which one it is."""
    at, session = moment(problem, problem.now), current_session(problem)
    found = {"at": at.isoformat(), "look_again": (at + LOOK_AGAIN).isoformat(), "until": None, "tasks": {},
             "stop": None, "dry": {}, "chains": {}, "unjudged": True}  # fmt: skip
    if session is not None:
        found["from"], found["until"] = (
            moment(problem, minute).isoformat() for minute in (session.start, session.end)
        )
    return found


def wall_only(problem, wall, works, told) -> dict:
    """What can be said about the wall's list while a changed plan waits: verdicts and drying, but not
    where to stop.
    """
    kept = {name: told[name] for name in ("at", "look_again", "until", "tasks", "seen")}
    dry = {name: span for name in wall if (span := drying_after(name, problem, works))}
    return kept | {"from": told.get("from"), "stop": None, "dry": dry, "chains": {}}


def moment(problem, minute):
    return problem.origin + timedelta(minutes=minute)


def _verdicts(problem, plan, session, seconds) -> dict:
    from bakery.craft.planning.tonight import tonight

    answer = tonight(problem, plan=plan, until=session.end, seconds=seconds)
    tasks = {}
    for name, verdict in answer.tasks.items():
        latest = None if verdict.latest_start is None else moment(problem, verdict.latest_start).isoformat()
        tasks[name] = {"verdict": verdict.verdict, "latest": latest, "proved": verdict.proved}
    return {"tasks": tasks, "least": _least(answer.least_minutes)}


def _least(least):
    if least is None:
        return None
    if isinstance(least, dict):
        return {"minutes": least["value"], "proved": least["proved"]}
    return {"minutes": getattr(least, "value", least), "proved": getattr(least, "proved", False)}


def stop_here(problem, plan, session, ids, verdicts, *, patience=1.0) -> dict:
    """After which of tonight's jobs nothing more is needed tonight, and what is then to spare.

    Starts with all that can't wait (and what is not decided), and adds the next job until there is a plan
    that hurts nobody more than this one and begins nothing more before the session's end. `sure` is False
    when for some shorter list neither such a plan nor a proof against it was found in time.
    """
    starts = dict(plan.starts)
    needed = {name for name in ids if verdicts.get(name, {}).get("verdict") != "can_wait"}
    more, sure = [name for name in ids if name not in needed], True
    ends = time.monotonic() + STOP_SECONDS * patience
    for count in range(len(more) + 1):
        before = [name for name in ids if name in needed or name in more[:count]]
        if len(before) == len(ids):
            break
        seconds = min(patience * (0.8 if not count else 0.4), ends - time.monotonic())
        if seconds < LEAST_SECONDS:
            sure = False
            break
        answer, later = without_more_tonight(problem, starts, session, before, seconds=seconds)
        if later is not None:
            waits = {name: moment(problem, later[name]).isoformat() for name in ids if name not in before}
            return {
                "before": before,
                "waits": waits,
                "spare": _spare(problem, starts, later, waits),
                "sure": sure,
            }
        sure = sure and answer == "no"
    return {"before": ids, "waits": {}, "spare": None, "sure": sure}


def without_more_tonight(problem, starts, session, before, seconds=0.4):
    """(answer, plan): a checked plan in which of all free work only `before` starts before the session's end.

    First with everything else left where it is, then with all of it free. The answer "no" is proved.
    """
    from bakery.craft.planning.tonight import may_stop

    inside = {name for name, start in starts.items() if start < session.end} - set(before)
    limit = harm(problem, starts, HURTS)
    windows = tuple(window for window in problem.windows if window.start >= session.end)
    still = pinned(problem, starts, set(starts) - inside)
    found = solve(replace(still, windows=windows), seconds=seconds / 2, stages=ENOUGH)
    whole = _whole(problem, starts, found)
    if whole is None or verify(problem, whole) or harm(problem, whole, HURTS) > limit:
        free = pinned(problem, starts, set(before))
        answer = may_stop(free, plan=Plan(starts), until=session.end, seconds=seconds)
        whole = _whole(problem, starts, answer.plan)
        if whole is None or verify(problem, whole) or harm(problem, whole, HURTS) > limit:
            return answer.answer if answer.answer != "yes" else "unknown", None
    return "yes", whole


def pinned(problem, starts, names):
    """The problem with these free tasks held where they are."""
    tasks = tuple(
        replace(task, pinned=True, start=starts[task.id]) if task.free and task.id in names else task
        for task in problem.tasks
    )
    return replace(problem, tasks=tasks)


def _whole(problem, starts, plan):
    if not plan:
        return None
    return {task.id: plan.starts.get(task.id, starts[task.id]) for task in problem.tasks if task.free}


def _spare(problem, starts, later, waits):
    """The fullest of the sessions that take over what waits: minutes of hands it then has left, and has
    now.
    """
    tightest = None
    for window in problem.windows:
        if window.longest is None and any(window.start <= later[name] < window.end for name in waits):
            left = free_minutes(problem, later, window)
            if tightest is None or left < tightest["minutes"]:
                now = free_minutes(problem, starts, window)
                day = moment(problem, window.start).isoformat()
                tightest = {"day": day, "minutes": left, "with_all": now}
    return tightest


def drying_after(name, problem, works):
    """How long what this job leaves wet takes, usually and on a slow night, until its next wait is over."""
    from .adapters import job_named

    job, _ = job_named(works, name)
    waits = [wait for wait in works[job.order].waits if wait.before == job.id and wait.kind in DRIES]
    if not waits:
        return None
    longest = max(waits, key=lambda wait: wait.slow_minutes)
    return {"kind": longest.kind, "usual": longest.usual_minutes, "slow": longest.slow_minutes,
            "never": getattr(longest, "never", False)}  # fmt: skip


DRIES = (
    "outline_set",
    "crusted",
    "firm",
    "base_dry",
    "wafer_dry",
    "dry_through",
    "transfer_dry",
    "mist_dry",
    "cool",
    "freeze",
    "thaw",
)


def _chains(problem, plan, works, ids, verdicts, session) -> dict:
    """The way from each of tonight's jobs to its hand-over, and what happens when it is left until later."""
    from .adapters import job_named

    def about(name):
        job, _ = job_named(works, name)
        return job.kind, job.title

    tails, solved = tails_of(problem), 0
    found = {}
    for name in ids:
        chain = chain_of(problem, plan.starts, name, tails, about)
        must = verdicts.get(name, {}).get("verdict") == "must"
        left = otherwise(problem, plan, chain["path"], session, must=must, may_solve=solved < 3)
        solved += left.get("how") == "solved"
        found[name] = {"steps": chain["steps"], "order": chain["order"], "otherwise": left}
    return found
