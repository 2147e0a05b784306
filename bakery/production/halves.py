"""A job of which so many cookies were done: what is left becomes a job of its own. Pure functions over
`Work`.
"""

from dataclasses import replace
from math import ceil

REST = ".rest"


def with_rest(work, counts):
    """`work` with a further job for what is left of each job that was done in part.

    `counts` maps job ids to the cookies done. Whoever waits for the job waits for its rest too.
    """
    ready = [job for job in work.jobs if job.id in counts]
    while ready:
        job = ready.pop()
        done = counts[job.id]
        if not 0 < done < job.cookies:
            continue
        rest = _rest_of(job, done)
        work = _joined(work, job, rest)
        if rest.id in counts:
            ready.append(rest)
    return work


def _rest_of(job, done):
    share = (job.cookies - done) / job.cookies
    return replace(
        job,
        id=job.id + REST,
        title=job.title if job.title.endswith(", the rest") else f"{job.title}, the rest",
        cookies=job.cookies - done,
        grams=round(job.grams * share, 3),
        minutes=max(1, ceil(job.minutes * share)),
        attended=max(1, ceil(job.attended * share)),
        parts=tuple((line, max(1, round(count * share))) for line, count in job.parts),
    )


def _joined(work, job, rest):
    waits, places = list(work.waits), list(work.places)
    for wait in work.waits:
        if wait.before == job.id:
            waits.append(replace(wait, before=rest.id))
        if wait.after == job.id:
            # What the first part waited for may be long past its longest wait: the rest only needs it done.
            waits.append(replace(wait, after=rest.id, max_minutes=None))
    for place in work.places:
        if place.after == job.id:
            places.append(replace(place, after=rest.id))
    bakes = (*work.bakes, rest.id) if job.id in work.bakes else work.bakes
    jobs, at = [], [j.id for j in work.jobs].index(job.id) + 1
    jobs = [*work.jobs[:at], rest, *work.jobs[at:]]
    finish = work.finish
    if job.id == work.finish:
        # The order is finished when the rest is, and the rest comes after what was done.
        from bakery.craft.work import Wait

        waits.append(Wait(job.id, rest.id, "next", 0, 0, None, "the rest after what is done"))
        finish = rest.id
    return replace(
        work, jobs=tuple(jobs), waits=tuple(waits), places=tuple(places), bakes=bakes, finish=finish
    )
