"""What the facts say without saying it: before work that has begun, its forerunners must have ended."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import timedelta

from .calendar import Fact
from .pieces import Work

__all__ = ["implied_facts"]


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
