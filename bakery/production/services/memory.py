"""What a job was before something was said about it, kept so that everything can be undone."""

from django.utils import timezone
from django.utils.dateparse import parse_datetime

from ..models import Job, JobEvent
from .books import ask_for_books

TIMES = ("planned_start", "planned_end", "started_at", "done_at")
PLAIN = ("state", "done_count", "said")
FIELDS = (*TIMES, *PLAIN)


def remember(job: Job, what: str, at) -> JobEvent:
    """An unsaved event that holds what the job is now."""
    before = {name: getattr(job, name) for name in PLAIN}
    before |= {name: (value.isoformat() if (value := getattr(job, name)) else None) for name in TIMES}
    return JobEvent(job=job, what=what, at=at, before=before)


def restore(job: Job, event: JobEvent) -> Job:
    """The job as it was before the event (unsaved)."""
    for name in PLAIN:
        setattr(job, name, event.before.get(name))
    for name in TIMES:
        value = event.before.get(name)
        setattr(job, name, parse_datetime(value) if value else None)
    return job


def save_all(jobs, events) -> None:
    Job.objects.bulk_update(jobs, FIELDS)
    JobEvent.objects.bulk_create(events)
    ask_for_books([job.key for job in jobs])


def undo_events(events) -> list[Job]:
    """Restore the jobs of these events, newest event first, and mark the events undone."""
    jobs: dict[int, Job] = {}
    events = sorted(events, key=lambda event: (event.at, event.pk), reverse=True)
    for event in events:
        jobs[event.job_id] = restore(jobs.get(event.job_id, event.job), event)
    Job.objects.bulk_update(jobs.values(), FIELDS)
    # An event of its own, so that whoever keeps count of what was said sees that something changed.
    JobEvent.objects.filter(pk__in=[event.pk for event in events]).update(undone=True)
    now = timezone.now()
    JobEvent.objects.bulk_create(
        JobEvent(job=job, what="undo", at=now, before={}, undone=True) for job in jobs.values()
    )
    ask_for_books([job.key for job in jobs.values()])
    return list(jobs.values())
