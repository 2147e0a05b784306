"""From rows to the planning problem: orders, what was done, what hangs on the wall. Pure reads, bounded
queries.
"""

import hashlib
import json
from datetime import datetime, timedelta

from django.db.models import Q
from django.utils import timezone

from bakery.craft.work import Calendar, Fact, job_of_task
from bakery.orders.adapters import planned_orders, spec_to_plan
from bakery.orders.models import PLANNED_STATES, State
from bakery.orders.moments import FARTHEST_DAYS
from bakery.studio import adapters as studio
from bakery.studio.queries import taken_off, the_studio

from .dryer import works_dried
from .halves import REST
from .models import Evening, Job, JobShare
from .scene import (
    Scene,
    begun_orders,
    kept_apart,
    rows_for,
    shares_on_the_wall,
    uses_for,
    works_for,
)
from .setbacks import calendar_with, open_setbacks, specs_with, works_with
from .touching import hard_after, works_hard

AFTER_LAST = timedelta(days=14)
"""Baking hours are read this far past the last hand-over, so that even a late order finds its evenings."""
LONGEST = timedelta(days=FARTHEST_DAYS) + AFTER_LAST
"""No order is farther away; a row put in by hand may say what it likes."""
SHARED = ".share"
JOB_FIELDS = ("key", "state", "planned_start", "planned_end", "started_at", "done_at", "minutes", "cookies",
              "done_count", "kind", "stands_for", "order__number")  # fmt: skip


def current_problem(*, now: datetime, extra=None, without=(), shares=None, hours=()):
    """The planning problem as the rows stand: `(Problem, works by order key)`.

    `extra` is one more OrderSpec (an order still being asked about) or several, `without` are keys of
    orders left out, `shares` says what goes together (by default what does on the wall), `hours` are
    changed dates that are only thought of.
    """
    problem, works, _ = scene(now=now, extra=extra, without=without, hours=hours).problem(shares)
    return problem, works


def scene(*, now: datetime, extra=None, without=(), hours=(), setbacks=None) -> Scene:
    """All that the problem is made from, read once; `setbacks` that are only thought of take the place of
    those she spoke of.
    """
    own = the_studio()
    shop = studio.shop(own)
    specs = [spec_to_plan(order) for order in planned_orders() if order.key not in set(without)]
    if extra is not None:
        specs.extend(extra if isinstance(extra, (tuple, list)) else (extra,))
    setbacks = setbacks or open_setbacks(now)
    specs = specs_with(specs, setbacks, shop)
    rows = rows_for(_numbers(specs), JOB_FIELDS)
    never = on_days_off(rows, now)
    facts = tuple(facts_of([row for row in rows if row.key not in never], now))
    begun = begun_orders(rows, facts)
    uses = uses_for(specs, shop, now, begun)
    works = works_with(works_for(specs, shop, rows, now, uses), setbacks, facts)
    return Scene(
        now=now,
        shop=shop,
        padding=float(own.padding),
        calendar=calendar_with(calendar_for(specs, own, now, hours), setbacks, now),
        works=works_hard(works_dried(works, setbacks.dryer, shop, facts, now), hard_after(now)),
        rows=tuple(rows),
        facts=facts,
        starts=wall_of(rows, now),
        shares=shares_on_the_wall(),
        apart=kept_apart(),
        uses=uses,
        begun=begun,
    )


def calendar_for(specs, own, now, hours=()) -> Calendar:
    """Baking and waking hours from today until well after the last hand-over."""
    last = max([now, *(spec.hand_over for spec in specs)]) + AFTER_LAST
    first = timezone.localdate(now)
    return studio.calendar(first, min(timezone.localdate(last), first + LONGEST), own, hours)


def on_days_off(rows, now) -> frozenset[str]:
    """Keys of work whose time has passed on a day she had taken off before that time came: nobody can think
    it done, though its place was never given to anything else.
    """
    passed = [
        row for row in rows
        if row.state == Job.State.PLANNED and row.planned_start and row.planned_start <= now
    ]  # fmt: skip
    if not passed:
        return frozenset()
    dates = {row.key: timezone.localdate(row.planned_start) for row in passed}
    off = taken_off(min(dates.values()), max(dates.values()))
    return frozenset(
        row.key for row in passed if (since := off.get(dates[row.key])) and since <= row.planned_start
    )


def of_live_orders(jobs):
    """Of these jobs (a queryset) those that are done, or for an order that is still made or was handed over:
    what was begun for an order that came to nothing is neither listed nor asked about.
    """
    live = [*PLANNED_STATES, State.HANDED_OVER]
    shared = JobShare.objects.filter(order__state__in=live).values("job")
    return jobs.filter(Q(state=Job.State.DONE) | Q(order__state__in=live) | Q(pk__in=shared))


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
    return work_with(works, name).job(name), int(parts) if parts.isdigit() else 1


def work_with(works, name: str):
    """The work that a job lives in: that of its first order, or of another once that one is closed."""
    own = works.get(name.split(".", 1)[0])
    for work in (own, *(works.values() if SHARED in name else ())):
        if work is None:
            continue
        if any(job.id == name for job in work.jobs) or any(past.job.id == name for past in work.past):
            return work
    raise KeyError(name)


__all__ = [
    "REST",
    "current_problem",
    "facts_of",
    "fingerprint",
    "frozen_spans",
    "job_named",
    "midnight",
    "of_live_orders",
    "scene",
    "work_with",
]
