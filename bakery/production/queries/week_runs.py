"""The runs of a week: neighbouring jobs of one step and colour, never across the end of a session."""

from dataclasses import replace
from datetime import timedelta

from .. import words
from ..chains import wait_kind
from .days import began, ended
from .runs import Run, merged, run_of

PAUSE = timedelta(minutes=20)
"""After a longer pause the next job is a run of its own: a block in the picture is work throughout."""


def runs_of(jobs, now, shades, sessions, problem) -> list[Run]:
    """Numbered runs of these jobs (in order of their time)."""
    groups = merged(jobs, now, lambda job: "good", apart=new_runs(jobs, sessions))
    dry = waits_of(problem)
    return [replace(run_of(group, now, shades, dry=dry), number=i) for i, group in enumerate(groups, 1)]


def waits_of(problem) -> dict[str, dict]:
    """For each job the longest drying that the plan allows for after it: a slow night's."""
    found: dict[str, dict] = {}
    for lag in problem.lags:
        kind = wait_kind(lag)
        if kind in words.WET_ENDS and lag.min > found.get(lag.before, {}).get("slow", 0):
            found[lag.before] = {"usual": lag.min, "slow": lag.min, "kind": kind}
    return found


def new_runs(jobs, sessions) -> set[str]:
    """Keys of the jobs that begin a run whatever came before: first in their session, or after a pause."""
    found, last_place, last_end = set(), None, None
    for job in jobs:
        place = place_of(job, sessions)
        if place != last_place or (last_end is not None and began(job) - last_end > PAUSE):
            found.add(job.key)
        last_place = place
        last_end = ended(job) if last_end is None else max(last_end, ended(job))
    return found


def place_of(job, sessions):
    """The session a job begins in; outside all of them its day, and the session it comes before."""
    start = began(job)
    for number, session in enumerate(sessions):
        if session.start <= start < session.end:
            return number, None
        if start < session.start:
            return number, words.local(start).date()
    return len(sessions), words.local(start).date()
