"""Which work the amounts are for: jobs of tonight, of a day, of a week, or what an order still needs."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from django.db.models import Q
from django.utils import timezone

from bakery.craft.amounts import Amounts, amounts
from bakery.orders.adapters import order_spec
from bakery.orders.models import Order
from bakery.studio import adapters as studio

from .. import words
from ..adapters import job_named, midnight, scene
from ..models import Job
from ..queries.tonight import session_at
from ..scene import base_of
from .books import Cupboard


@dataclass(frozen=True)
class Chosen:
    """Jobs as the core knows them, with the works they come from and when each begins (local time)."""

    title: str
    when: str
    works: tuple = ()
    jobs: tuple = ()
    starts: dict = field(default_factory=dict)
    order: Order | None = None
    day: date | None = None

    def amounts(self, cupboard: Cupboard) -> Amounts:
        """Icing counts where it is mixed; what is left in tubs goes first."""
        return amounts(
            self.works,
            self.jobs,
            icing="mixes",
            dough=cupboard.book.dough,
            tubs=cupboard.left,
            starts=self.starts,
            offcuts=cupboard.offcuts,
        )


def for_tonight(now: datetime) -> Chosen:
    """What is left of the session in progress, or of the next one."""
    session = session_at(now)
    if session is None:
        return Chosen("Tonight", "tonight", day=timezone.localdate(now))
    day = timezone.localdate(session.start)
    is_today = day == timezone.localdate(now)
    evening = timezone.localtime(session.start).hour >= 15
    title = ("Tonight" if evening else "Today") if is_today else f"{day:%A}"
    when = title.lower() if is_today else f"on {day:%A}"
    return _between(midnight(day), midnight(day + timedelta(days=1)), title, when, now, day)


def for_day(day: date, now: datetime) -> Chosen:
    title = words.day_month(day)
    return _between(midnight(day), midnight(day + timedelta(days=1)), title, f"on {title}", now, day)


def for_week(now: datetime, first: date | None = None) -> Chosen:
    """Seven days from `first`, today when left out."""
    today = timezone.localdate(now)
    first = first or today
    title = "The next seven days" if first == today else f"The week from {words.day_month(first)}"
    when = "in the next seven days" if first == today else f"in the week from {words.day_month(first)}"
    return _between(midnight(first), midnight(first + timedelta(days=7)), title, when, now, first)


def for_order(order: Order, now: datetime) -> Chosen:
    """What this order still needs, alone; all of it where it is not planned yet."""
    it = scene(now=now) if order.is_planned else None
    work = it.works.get(order.key) if it is not None else None
    if work is None:
        from bakery.craft.work import work_of

        work = work_of(order_spec(order), studio.shop())
    done, starts = _known(it, order.key) if it is not None else (set(), {})
    jobs = tuple(job for job in work.jobs if job.id not in done)
    return Chosen(order.title, f"for {order.title}", (work,), jobs, starts, order=order)


def _known(it, key: str) -> tuple[set[str], dict]:
    """Jobs of an order that are done, alone or together with others, and when the rest begins."""
    done, open_, starts = set(), set(), {}
    for row in it.rows:
        for name in row.stands_for or [base_of(row.key)]:
            if name.split(".", 1)[0] != key:
                continue
            (done if row.state == Job.State.DONE else open_).add(name)
            begins = row.started_at or row.planned_start
            if begins and row.state != Job.State.DONE:
                starts[name] = min(timezone.localtime(begins), starts.get(name, timezone.localtime(begins)))
    return done - open_, starts


def _between(start, end, title, when, now, day) -> Chosen:
    works = scene(now=now).shared()[0]
    inside = Q(planned_start__gte=start, planned_start__lt=end)
    real = Q(started_at__gte=start, started_at__lt=end)
    rows = Job.objects.filter(inside | real).exclude(state=Job.State.DONE).select_related("order")
    return of_rows(rows, works, title=title, when=when, day=day)


def of_rows(rows, works: dict, *, title: str, when: str, day: date | None = None) -> Chosen:
    """What is not done of these rows."""
    jobs, starts = [], {}
    for row in rows:
        job = None if row.state == Job.State.DONE else core_job(works, row)
        begins = row.started_at or row.planned_start
        if job is not None:
            jobs.append(job)
            if begins:
                starts[job.id] = timezone.localtime(begins)
    return Chosen(title, when, tuple(works.values()), tuple(jobs), starts, day=day)


def core_job(works: dict, row: Job):
    """The same job as the core knows it, with as many cookies as this row has; None for one of an order that
    is closed by now.
    """
    try:
        job = job_named(works, row.key)[0]
    except KeyError:
        return None
    return replace(job, id=row.key, cookies=row.cookies, grams=row.grams)
