"""From rows to the planning problem: orders, what was done, what hangs on the wall. Pure reads, bounded
queries.
"""

import hashlib
import json
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.craft.work import Calendar, Fact, build_problem, job_of_task, work_of
from bakery.orders.adapters import order_spec, planned_orders
from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .halves import REST, with_rest
from .models import Evening, Job

AFTER_LAST = timedelta(days=14)
"""Baking hours are read this far past the last hand-over, so that even a late order finds its evenings."""
LONGEST = timedelta(days=180)
SLOW = timedelta(hours=36)
"""A reading of the room says nothing about nights after this."""
JOB_FIELDS = ("key", "state", "planned_start", "planned_end", "started_at", "done_at", "minutes", "cookies",
              "done_count", "order__number")  # fmt: skip


def current_problem(*, now: datetime, extra=None, without=()):
    """The planning problem as the rows stand: `(Problem, works by order key)`.

    `extra` is one more OrderSpec (an order still being asked about) or several, `without` are keys of
    orders left out.
    """
    own = the_studio()
    shop = studio.shop(own)
    specs = [order_spec(order) for order in planned_orders() if order.key not in set(without)]
    if extra is not None:
        specs.extend(extra if isinstance(extra, (tuple, list)) else (extra,))
    rows = list(
        Job.objects.filter(order__number__in=_numbers(specs)).only(*JOB_FIELDS).select_related("order")
    )
    works = works_of(specs, shop, rows, now)
    facts, wall = facts_of(rows, now), wall_of(rows, now)
    problem = build_problem(
        list(works.values()),
        calendar_for(specs, own, now),
        now=now,
        facts=facts,
        wall=wall,
        padding=float(own.padding),
        shop=shop,
    )
    return problem, works


def works_of(specs, shop, rows, now) -> dict:
    """The work of each order. The room's reading counts for what dries in its 36 hours, a usual room
    after that.
    """
    measured, usual = studio.drying(now), studio.drying(now + timedelta(days=3650))
    soon = {row.key for row in rows if _begins(row) and _begins(row) < now + SLOW}
    counts = {
        row.key: row.done_count for row in rows if row.state == Job.State.DONE and row.done_count is not None
    }
    works = {}
    for spec in specs:
        near = spec.hand_over < now + 2 * SLOW or any(key.startswith(f"{spec.id}.") for key in soon)
        work = work_of(spec, shop, measured if near else usual)
        works[spec.id] = with_rest(work, counts)
    return works


def _begins(row):
    return row.started_at or row.planned_start


def calendar_for(specs, own, now) -> Calendar:
    """Baking and waking hours from today until well after the last hand-over."""
    last = max([now, *(spec.hand_over for spec in specs)]) + AFTER_LAST
    first = timezone.localdate(now)
    return studio.calendar(first, min(timezone.localdate(last), first + LONGEST), own)


def facts_of(rows, now) -> list[Fact]:
    """What runs and what was done. Work whose time has passed unsaid counts as begun, or as done, as
    planned.
    """
    found = []
    for row in rows:
        if row.state == Job.State.DONE:
            end = row.done_at or row.planned_end or now
            start = min(row.started_at or row.planned_start or end, end)
            found.append(Fact(row.key, "done", start, whole(end - start)))
        elif row.state == Job.State.STARTED:
            start = row.started_at or row.planned_start or now
            found.append(Fact(row.key, "running", start, length_of(row)))
        elif row.planned_start and row.planned_start <= now:
            state = "done" if row.planned_end <= now else "running"
            found.append(Fact(row.key, state, row.planned_start, length_of(row)))
    return found


def wall_of(rows, now) -> dict[str, datetime]:
    """Places on the wall of what is still to do."""
    return {
        row.key: row.planned_start
        for row in rows
        if row.state == Job.State.PLANNED and row.planned_start and row.planned_start > now
    }


def length_of(row) -> int:
    """Minutes as planned (padded), else as thought."""
    if row.planned_start and row.planned_end:
        return whole(row.planned_end - row.planned_start)
    return max(1, round(row.minutes))


def whole(span: timedelta) -> int:
    return max(0, round(span.total_seconds() / 60))


def _numbers(specs) -> list[int]:
    return [int(spec.id[1:]) for spec in specs if spec.id[:1] == "o" and spec.id[1:].isdigit()]


def frozen_spans(problem, now) -> list[tuple[int, int]]:
    """Minutes of the days whose list she has seen or printed."""
    today = timezone.localdate(now)
    days = Evening.objects.filter(date__gte=today).exclude(frozen__isnull=True, printed_at__isnull=True)
    spans = []
    for day in days.order_by("date").values_list("date", flat=True):
        edges = (midnight(day), midnight(day + timedelta(days=1)))
        spans.append(tuple(int((edge - problem.origin).total_seconds() // 60) for edge in edges))
    return spans


def midnight(day) -> datetime:
    """The first moment of a local day."""
    return timezone.make_aware(datetime.combine(day, datetime.min.time()))


def fingerprint(problem, now) -> str:
    """A short sign of everything the plan is made from; two problems of one moment that differ have two
    signs.
    """
    from bakery.craft.planning import problem_to_json

    data = {"problem": problem_to_json(problem), "frozen": frozen_spans(problem, now)}
    return hashlib.sha256(json.dumps(data, sort_keys=True).encode()).hexdigest()


def job_named(works, key: str):
    """The job behind a task, and how many parts its task is one of."""
    name = job_of_task(key)
    parts = key.rpartition("of")[2] if "/" in key else "1"
    return _job(works, name), int(parts) if parts.isdigit() else 1


def _job(works, name: str):
    """The job of this id: in the order it is named after, else (shared work) in whichever order holds it."""
    own = works.get(name.split(".", 1)[0])
    for work in ([own] if own else []) + [work for work in works.values() if work is not own]:
        try:
            return work.job(name)
        except KeyError:
            continue
    raise KeyError(name)


__all__ = [
    "REST",
    "current_problem",
    "facts_of",
    "fingerprint",
    "frozen_spans",
    "job_named",
    "midnight",
    "works_of",
]
