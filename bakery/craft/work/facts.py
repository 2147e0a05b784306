"""What the facts say without saying it: before work that has begun, its forerunners must have ended."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from .calendar import Fact
from .pieces import Wait, Work

__all__ = ["implied_facts", "too_old"]


def implied_facts(works: Sequence[Work], facts: dict[str, Fact]) -> dict[str, Fact]:
    """The facts, and "done" for every job that something done or running has waited for.

    Nobody logs everything: who sprays a tray has flooded it. An implied job ended just in time for its
    follower.
    """
    known = dict(facts)
    before: dict[str, list] = defaultdict(list)
    jobs = {}
    for work in works:
        jobs.update({job.id: job for job in work.jobs})
        for wait in work.waits:
            before[wait.after].append(wait)
    ready = list(facts)
    while ready:
        name = ready.pop()
        fact = known[name]
        for wait in before[name.split("/", 1)[0]]:
            job = jobs.get(wait.before)
            if job is None or job.id in known or any(other.startswith(f"{job.id}/") for other in known):
                continue
            end = fact.start - timedelta(minutes=wait.usual_minutes)
            known[job.id] = Fact(job.id, "done", end - timedelta(minutes=job.minutes), job.minutes)
            ready.append(job.id)
    return known


def too_old(
    works: Sequence[Work],
    facts: Sequence[Fact],
    *,
    now: datetime,
    starts: Mapping[str, datetime] | None = None,
) -> tuple[Wait, ...]:
    """Waits from work done whose longest time is over before what follows can start: look, or make it again.

    `starts` are planned starts by job id (or the id of a part); work without one is looked at as of `now`.
    Icing rested too long is an inconvenience, no reason to have no plan, so the problem itself forgives it.
    """
    begun, planned = {fact.job_id.split("/", 1)[0] for fact in facts}, {}
    ends = {fact.job_id: fact.start + timedelta(minutes=fact.minutes) for fact in facts}
    for name, end in list(ends.items()):
        job, _, part = name.partition("/")
        count, _, of = part.partition("of")
        if of and count == of:  # a job in parts is done with its last one
            ends[job] = end
    for name, start in (starts or {}).items():
        job = name.split("/", 1)[0]
        planned[job] = min(start, planned.get(job, start))
    found = []
    for work in works:
        ended = {past.job.id: past.ended for past in work.past if past.ended is not None}
        for wait in work.waits:
            end = ends.get(wait.before, ended.get(wait.before))
            if wait.max_minutes is None or end is None or wait.after in begun or wait.after in ended:
                continue
            if max(now, planned.get(wait.after, now)) > end + timedelta(minutes=wait.max_minutes):
                found.append(wait)
    return tuple(found)
