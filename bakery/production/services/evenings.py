"""An evening's list as it was shown, and the one question about it afterwards."""

from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from ..adapters import current_problem, midnight, of_live_orders, on_days_off
from ..models import Evening, Job, JobEvent
from .following import orders_follow, orders_follow_back
from .memory import remember, save_all, undo_events
from .plans import ask_for_plan

Answer = Evening.Answer


def freeze(*, day: date, jobs, now) -> Evening:
    """The list of this day as it is first shown; a list that is frozen already stays as it is."""
    evening, _ = Evening.objects.get_or_create(date=day)
    if evening.frozen is None:
        rows = [
            {"key": j.key, "start": j.planned_start.isoformat(), "end": j.planned_end.isoformat()}
            for j in jobs
            if j.planned_start
        ]
        Evening.objects.filter(pk=evening.pk, frozen__isnull=True).update(frozen=rows, frozen_at=now)
        evening.refresh_from_db()
    return evening


def mark_printed(*, day: date, now) -> Evening:
    """A printed day stays as it is on paper until she takes a proposal."""
    evening, _ = Evening.objects.get_or_create(date=day)
    evening.printed_at = now
    evening.save(update_fields=["printed_at"])
    return evening


def unsaid_jobs(*, until: datetime):
    """Work whose time began before `until` and about which nothing was said; not that of days taken off."""
    open_states = [Job.State.PLANNED, Job.State.STARTED]
    found = of_live_orders(Job.objects.filter(state__in=open_states, planned_start__lt=until))
    never = on_days_off(found.only("key", "state", "planned_start"), until)
    return found.exclude(key__in=never).select_related("order").order_by("planned_start", "key")


@transaction.atomic
def answer_evening(*, day: date, answer: str, now, not_done=(), counts=None, finished_at=None) -> list[Job]:
    """What she says about the evening of `day` and any unanswered one before it.

    `not_done` are keys of jobs that were not done, `counts` how many cookies of a job were; `finished_at`
    is the moment she stopped, shared out over what was done. Saying it twice changes nothing; saying
    something else
    takes the first answer back.
    """
    if answer not in Answer.values:
        raise ValueError(f"There is no answer called {answer!r}.")
    counts = dict(counts or {})
    earlier = Evening.objects.filter(date=day).first()
    if earlier and earlier.answer:
        _take_back(earlier)
    next_day = midnight(day + timedelta(days=1))
    jobs = list(unsaid_jobs(until=min(next_day, now)))
    if not jobs:
        _answered([day], answer, now, finished_at)
        return []
    missing = {job.key for job in jobs} if answer == Answer.NOTHING else set()
    if answer == Answer.BUT:
        missing = {key for key in not_done if key not in counts}
        missing |= _lies_on(missing, jobs, now) - set(counts)
    events = [remember(job, f"e{day:%y%m%d}", now) for job in jobs]
    days = sorted({timezone.localdate(job.planned_start) for job in jobs})
    done = [job for job in jobs if job.key not in missing]
    _mark_done(done, counts if answer == Answer.BUT else {}, finished_at)
    for job in jobs:
        job.said = True
        if job.key in missing:
            job.state, job.planned_start, job.planned_end, job.started_at = (
                Job.State.PLANNED,
                None,
                None,
                None,
            )
    save_all(jobs, events)
    _answered([*days, day], answer, now, finished_at)
    orders_follow(jobs)
    ask_for_plan(reason=_in_words(answer, jobs, missing, counts))
    return jobs


@transaction.atomic
def undo_evening(*, day: date) -> list[Job]:
    """Take back what was said about that evening: it is assumed again, and asked again."""
    evening = Evening.objects.filter(date=day).first()
    if evening is None or not evening.answer:
        return []
    jobs = _take_back(evening)
    ask_for_plan(reason="")
    return jobs


def _take_back(evening) -> list[Job]:
    events = JobEvent.objects.filter(what=f"e{evening.date:%y%m%d}", undone=False).select_related("job")
    jobs = undo_events(list(events))
    orders_follow_back(jobs)
    days = {timezone.localdate(job.planned_start) for job in jobs if job.planned_start} | {evening.date}
    Evening.objects.filter(date__in=days).update(answer="", answered_at=None, finished_at=None)
    return jobs


def _lies_on(missing, jobs, now) -> set[str]:
    """Those of these jobs that lie on work that was not done: no dots on cookies that were never sprayed.

    Icing and dough may have come from elsewhere, so nothing is concluded from a mixing that was left out.
    """
    if not missing:
        return set()
    problem, _ = current_problem(now=now)
    after: dict[str, list[str]] = {}
    for lag in problem.lags:
        after.setdefault(lag.before, []).append(lag.after)
    kinds = {job.key: job.kind for job in jobs}
    found, todo = set(), [key for key in missing if kinds.get(key) not in (None, "mix", "dough")]
    while todo:
        above = [name for name in after.get(todo.pop(), ()) if name in kinds and name not in found]
        found.update(above)
        todo += above
    return found


def _answered(days, answer, now, finished_at) -> None:
    for day in set(days):
        evening, _ = Evening.objects.get_or_create(date=day)
        evening.answer, evening.answered_at = answer, now
        if finished_at and day == max(days):
            evening.finished_at = timezone.localtime(finished_at).time()
        evening.save()


def _mark_done(jobs, counts, finished_at) -> None:
    """Planned times count as the real ones, drawn out or pressed together so that the last ends at
    `finished_at`.
    """
    shift = _pace(jobs, finished_at)
    for job in jobs:
        job.state = Job.State.DONE
        job.started_at = job.started_at or shift(job.planned_start)
        job.done_at = max(shift(job.planned_end), job.started_at)
        count = counts.get(job.key)
        job.done_count = count if count is not None and 0 < count < job.cookies else None


def _pace(jobs, finished_at):
    """A function from planned to real times on the last of the evenings."""
    if not jobs or finished_at is None:
        return lambda moment: moment
    last = max(job.planned_end for job in jobs)
    day = timezone.localdate(max(job.planned_start for job in jobs))
    first = min(job.planned_start for job in jobs if timezone.localdate(job.planned_start) == day)
    if finished_at <= first or last <= first:
        return lambda moment: moment
    share = (finished_at - first) / (last - first)
    return lambda moment: first + (moment - first) * share if moment > first else moment


def _in_words(answer, jobs, missing, counts) -> str:
    if answer == Answer.ALL:
        return "You said: all done."
    if answer == Answer.NOTHING:
        return "You said: nothing was done."
    titles = list(dict.fromkeys(job.title for job in jobs if job.key in missing or job.key in counts))
    if not titles:
        return "You said: all done."
    named = ", ".join(titles[:2]) + (f" and {len(titles) - 2} more" if len(titles) > 2 else "")
    return f"You said: all but {named[0].lower() + named[1:]}."[:200]
