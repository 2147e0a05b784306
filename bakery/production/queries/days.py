"""Jobs of a day with all that their runs show, in a bounded number of queries."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.db.models import Prefetch, Q

from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.orders.models import OrderLine
from bakery.stock.models import Colour

from ..adapters import midnight, of_live_orders
from ..models import Job

USES_OF_MIX = {
    "flood": ("flood",),
    "spread": ("icing_pass",),
    "detail": ("pipe", "letter"),
    "transfer": ("transfer",),
}


@dataclass(frozen=True)
class Shades:
    """Hexes of colours by name, icing and airbrush apart."""

    by_name: dict = field(default_factory=dict)

    def of(self, name: str, medium: str = "icing") -> str:
        other = "airbrush" if medium == "icing" else "icing"
        low = name.lower()
        return self.by_name.get((low, medium)) or self.by_name.get((low, other)) or "#f1e8d3"


def shades() -> Shades:
    rows = Colour.objects.values_list("name", "medium", "hex")
    return Shades({(name.lower(), medium): hex for name, medium, hex in rows})


def with_pictures(jobs):
    """Jobs with order, line and design as their drawings need them."""
    lines = OrderLine.objects.select_related(
        "kind", "order", "variation__base", "variation__motif", "variation__detail"
    )
    lines = lines.prefetch_related(Prefetch("design", with_layers(Design.objects.all())))
    orders = Prefetch("order__lines", lines)
    return jobs.select_related("order", "order__customer").prefetch_related(orders, "shares__order")


def jobs_between(start: datetime, end: datetime) -> list[Job]:
    """Jobs planned or done in this span, in order of their time."""
    inside = Q(planned_start__gte=start, planned_start__lt=end)
    real = Q(started_at__gte=start, started_at__lt=end)
    rows = list(with_pictures(of_live_orders(Job.objects.filter(inside | real))))
    return sorted(rows, key=lambda job: (began(job), job.key))


def jobs_of_day(day: date) -> list[Job]:
    return jobs_between(midnight(day), midnight(day + timedelta(days=1)))


def of_day(jobs, day: date) -> list[Job]:
    """Those of this day among jobs that are read already."""
    return within(jobs, midnight(day), midnight(day + timedelta(days=1)))


def within(jobs, start: datetime, end: datetime) -> list[Job]:
    """Those planned or begun in this span among jobs that are read already."""
    return [
        job for job in jobs if any(at and start <= at < end for at in (job.planned_start, job.started_at))
    ]


def began(job: Job) -> datetime:
    return job.started_at or job.planned_start


def ended(job: Job) -> datetime:
    """When it ended, or is to end."""
    if job.done_at:
        return job.done_at
    if job.started_at and job.planned_end and job.planned_start:
        return job.started_at + (job.planned_end - job.planned_start)
    return job.planned_end or began(job) + timedelta(minutes=job.minutes)


def icing_by_mix(jobs) -> dict[str, list[tuple[str, float]]]:
    """For each mixing its colours with the grams that its orders' layers take; one query."""
    mixes = [job for job in jobs if job.kind == "mix"]
    if not mixes:
        return {}
    served = {mix.key: {order.pk for order in mix.served} for mix in mixes}
    users = Job.objects.filter(order__in=set().union(*served.values())).exclude(grams=0).exclude(kind="mix")
    rows = list(users.values_list("order_id", "kind", "colours", "grams"))
    found = {}
    for mix in mixes:
        name = mix.key.split("/")[0].rpartition(".")[2]
        kinds = USES_OF_MIX.get(name, ())
        amounts = dict.fromkeys(mix.colours, 0.0)
        for order, kind, colours, grams in rows:
            if order in served[mix.key] and kind in kinds:
                for colour in colours:
                    if colour in amounts:
                        amounts[colour] += grams / len(colours)
        found[mix.key] = list(amounts.items())
    return found


def line_of(job: Job) -> OrderLine | None:
    """The line a job works on, from what is prefetched; the first line for work on the whole order."""
    lines = list(job.order.lines.all())
    return next((line for line in lines if line.pk == job.line_id), lines[0] if lines else None)
