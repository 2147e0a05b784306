"""How long work really took, as far as anybody said: a press on Done, or "we finished at" in the morning."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils import timezone

from bakery.craft.earning import timed
from bakery.production.models import Evening, Job, JobEvent, JobShare

FIELDS = ("order", "line", "kind", "minutes", "attended", "cookies", "done_count", "saved", "planned_start",
          "started_at", "done_at")  # fmt: skip


@dataclass(frozen=True)
class Timing:
    """One order's part in a job that was timed, in seconds of hands. `line` is a row's id, or None."""

    work: str
    line: int | None
    thought: float
    took: float
    on: date


def timings(orders: Iterable[int]) -> tuple[dict[int, list[Timing]], dict[int, float]]:
    """By order: what was timed, and the seconds that sharing spared; six queries however many orders.

    Work nobody timed is not in it: an evening answered "all done" says that it was done, not how fast.
    """
    orders = list(orders)
    done = Job.objects.filter(state=Job.State.DONE).only(*FIELDS)
    elsewhere = JobShare.objects.filter(order__in=orders).exclude(job__order__in=orders).values("job")
    mine = {job.pk: job for job in (*done.filter(order__in=orders), *done.filter(pk__in=elsewhere))}
    shares = _shares(orders, elsewhere)
    pressed = set(_pressed(orders))
    days = {timezone.localdate(job.planned_start) for job in mine.values() if job.planned_start}
    ended = _ended(days)
    found, spared, wanted = defaultdict(list), defaultdict(float), set(orders)
    for job in mine.values():
        parts = [(pk, part) for pk, part in _parts(job, shares.get(job.pk, ())) if pk in wanted]
        for order, part in parts:
            spared[order] += job.saved * 60 * part
        one = _timing(job, pressed, ended)
        if one is not None:
            for order, part in parts:
                found[order].append(Timing(one.work, one.line, one.thought * part, one.took * part, one.on))
    return found, spared


def _pressed(orders) -> Iterable[int]:
    """Jobs whose Done she pressed herself."""
    events = JobEvent.objects.filter(what="done", undone=False, job__state=Job.State.DONE)
    yield from events.filter(job__order__in=orders).values_list("job", flat=True)
    yield from events.filter(job__shares__order__in=orders).values_list("job", flat=True)


def _ended(days) -> set[date]:
    """Evenings of which she said when they ended."""
    if not days:
        return set()
    rows = Evening.objects.filter(date__range=(min(days), max(days)), finished_at__isnull=False)
    return set(rows.values_list("date", flat=True))


def _shares(orders, elsewhere) -> dict[int, list[tuple[int, int]]]:
    """Orders and cookies by job, of the jobs that serve several."""
    found = defaultdict(list)
    rows = JobShare.objects.filter(Q(job__order__in=orders) | Q(job__in=elsewhere)).order_by("pk")
    for job, order, cookies in rows.values_list("job", "order", "cookies"):
        found[job].append((order, cookies))
    return found


def _parts(job: Job, shares) -> list[tuple[int, float]]:
    every = sum(cookies for _, cookies in shares)
    if not every:
        return [(job.order_id, 1.0)]
    return [(order, cookies / every) for order, cookies in shares]


def _timing(job: Job, pressed: set[int], ended: set[date]) -> Timing | None:
    if not (job.started_at and job.done_at and job.minutes):
        return None
    evening = timezone.localdate(job.planned_start) if job.planned_start else None
    if job.pk not in pressed and evening not in ended:
        return None
    hands = job.attended / job.minutes if job.minutes else 0
    done = job.done_count / job.cookies if job.done_count and job.cookies else 1
    thought = job.attended * 60 * done
    took = (job.done_at - job.started_at).total_seconds() * hands
    if not timed(thought, took):
        return None
    return Timing(job.kind, job.line_id, thought, took, timezone.localdate(job.done_at))
