"""Start, done, so many done, and undo: each may be sent twice and takes hold once."""

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from bakery.studio import adapters as studio

from ..adapters import midnight
from ..models import Job, JobEvent
from .following import orders_follow, orders_follow_back
from .memory import remember, save_all, undo_events
from .plans import ask_for_plan


def start_job(*, key: str, now) -> list[Job]:
    return start_run(keys=[key], now=now)


def finish_job(*, key: str, now, count: int | None = None) -> list[Job]:
    return finish_run(keys=[key], now=now, count=count)


@transaction.atomic
def start_run(*, keys, now) -> list[Job]:
    """She begins this run now: its first open job is started, the others follow it without a gap."""
    jobs = [job for job in _jobs(keys) if job.state == Job.State.PLANNED]
    if not jobs or Job.objects.filter(key__in=keys, state=Job.State.STARTED).exists():
        return []
    later = _later_than(jobs)
    events = [remember(job, "start", now) for job in (*jobs, *later)]
    at = now
    for job in jobs:
        length = _length(job)
        job.planned_start, job.planned_end = at, at + length
        at += length
    jobs[0].state, jobs[0].started_at, jobs[0].said = Job.State.STARTED, now, True
    _push(later, at)
    save_all([*jobs, *later], events)
    orders_follow(jobs)
    ask_for_plan(reason="")
    return jobs


@transaction.atomic
def finish_run(*, keys, now, count: int | None = None) -> list[Job]:
    """This run is done; with `count` only so many of its cookies are, and the rest waits for another time."""
    jobs = [job for job in _jobs(keys) if job.state != Job.State.DONE]
    if not jobs:
        return []
    later = _later_than(jobs)
    events = [remember(job, "done", now) for job in (*jobs, *later)]
    left = sum(job.cookies for job in jobs) if count is None else max(0, count)
    done = []
    for job in jobs:
        share = min(job.cookies, left)
        left -= share
        part_of_a_part = "/" in job.key and share < job.cookies
        if count is not None and job.cookies and (not share or part_of_a_part):
            job.state, job.planned_start, job.planned_end = Job.State.PLANNED, None, None
            job.started_at, job.said = None, True
            continue
        job.state, job.said = Job.State.DONE, True
        job.done_count = share if share < job.cookies else None
        done.append(job)
    _share_out(done, now)
    _push(later, now)
    save_all([*jobs, *later], events)
    orders_follow(jobs)
    ask_for_plan(
        reason=said_so_many(jobs) if len(done) < len(jobs) or any(j.done_count for j in done) else ""
    )
    return jobs


@transaction.atomic
def undo_run(*, keys) -> list[Job]:
    """Take back the last thing that was said about these jobs."""
    newest = JobEvent.objects.filter(job__key__in=list(keys), undone=False).order_by("-at", "-pk").first()
    if newest is None:
        return []
    events = JobEvent.objects.filter(undone=False, at=newest.at, what=newest.what)
    jobs = undo_events(list(events.select_related("job")))
    orders_follow_back(jobs)
    ask_for_plan(reason="")
    return jobs


def _jobs(keys) -> list[Job]:
    """In the order of the list, and nobody else's until the transaction ends: two presses are one."""
    jobs = Job.objects.filter(key__in=list(keys)).select_for_update().order_by("pk")
    return sorted(jobs, key=lambda job: (job.planned_start is None, job.planned_start, job.key))


def _length(job) -> timedelta:
    if job.planned_start and job.planned_end:
        return job.planned_end - job.planned_start
    return timedelta(minutes=job.minutes)


def _later_than(jobs) -> list[Job]:
    """Work of the same day that stands after these jobs on the list and about which nothing was said."""
    starts = [job.planned_start for job in jobs if job.planned_start]
    if not starts:
        return []
    first = min(starts)
    end = midnight(timezone.localdate(first) + timedelta(days=1))
    rows = Job.objects.filter(state=Job.State.PLANNED, planned_start__gte=first, planned_start__lt=end)
    return list(rows.exclude(pk__in=[job.pk for job in jobs]).order_by("planned_start", "key"))


def _push(later, moment) -> None:
    """She is only at `moment` where the list comes to this work: it follows her, and is not assumed done
    before. What could then only begin after her hours is not done in them: it has no place until the plan
    finds another.
    """
    if not later or later[0].planned_start >= moment:
        return
    by = moment - later[0].planned_start
    day = timezone.localdate(later[0].planned_start)
    sessions = studio.sessions_between(day, day)
    for job in later:
        own = next((one for one in sessions if one.start <= job.planned_start < one.end), None)
        if own is not None and job.planned_start + by >= own.end:
            job.planned_start, job.planned_end, job.said = None, None, True
        else:
            job.planned_start, job.planned_end = job.planned_start + by, job.planned_end + by


def _share_out(jobs, now) -> None:
    """Real starts and ends from what is known: when the run was started (or planned), and that it ends
    now.
    """
    if not jobs:
        return
    lengths = [max(_length(job).total_seconds(), 60) for job in jobs]
    begun = next((job.started_at for job in jobs if job.started_at), None) or jobs[0].planned_start
    if begun is None or begun >= now:
        begun = now - timedelta(seconds=sum(lengths))
    stretch = (now - begun) / sum(lengths)
    at = begun
    for job, length in zip(jobs, lengths, strict=True):
        job.started_at = at
        at += stretch * length
        job.done_at = at


def said_so_many(jobs) -> str:
    """What was said about the cookies of a run, as a reason for another plan."""
    done = sum(j.done_count or j.cookies for j in jobs if j.state == Job.State.DONE)
    return f"You said: {done} of {sum(j.cookies for j in jobs)} done."
