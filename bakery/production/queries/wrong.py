"""What can have gone wrong now: trays that may still be wet, lines that can break, what can run out."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from bakery.orders.models import PLANNED_STATES, OrderLine
from bakery.stock.models import Level, StockItem
from bakery.stock.queries import wanted_items

from .. import words
from ..models import Job
from ..needs import needs_of_jobs

WET = ("flood", "icing_pass", "pipe", "letter", "transfer")
LOOK_BACK = timedelta(days=3)
MOST_LINES = 40


@dataclass(frozen=True)
class Choice:
    value: str
    title: str


@dataclass(frozen=True)
class WrongView:
    wet: tuple[tuple[tuple[str, ...], str], ...]
    lines: tuple[Choice, ...]
    items: tuple[Choice, ...]


def wrong_view(now: datetime) -> WrongView:
    """In a bounded number of queries."""
    jobs = Job.objects.filter(planned_start__lte=now, planned_end__gt=now - LOOK_BACK, kind__in=WET)
    open_jobs = Job.objects.filter(order__state__in=PLANNED_STATES)
    laid: dict[tuple, list] = {}
    for job in jobs.filter(order__state__in=PLANNED_STATES).order_by("planned_start", "key"):
        if (job.done_at or job.planned_end) <= now:
            laid.setdefault((job.kind, tuple(job.colours), job.title), []).append(job)
    lines = OrderLine.objects.filter(order__state__in=PLANNED_STATES).select_related(
        "order", "kind", "design", "variation__base"
    )
    todo = open_jobs.exclude(state=Job.State.DONE).select_related("order").prefetch_related("shares__order")
    wanted = wanted_items(needs_of_jobs(todo))
    items = StockItem.objects.filter(pk__in=wanted).exclude(level=Level.OUT).order_by("group", "name")
    return WrongView(
        wet=tuple((tuple(job.key for job in group), words.run_title(group)) for group in laid.values()),
        lines=tuple(
            Choice(str(line.pk), f"{line.order.title}: {line.quantity} {line.title}")
            for line in lines.order_by("order__hand_over_at", "position")[:MOST_LINES]
        ),
        items=tuple(Choice(str(item.pk), item.name) for item in items),
    )
