"""What planned work draws from the cupboard, and by when: the cupboard asks by a signal, this answers."""

from datetime import datetime

from django.dispatch import receiver

from bakery.orders.models import PLANNED_STATES, OrderLine
from bakery.stock.models import Colour
from bakery.stock.signals import Need, needs_asked

from .drops import drops_of
from .models import Job
from .words import listed

MEDIUM = {"spray": Colour.Medium.AIRBRUSH}
COLOURED = ("flood", "spray", "icing_pass", "pipe", "letter", "transfer", "brush")
STAPLES = {
    "dough": ("flour", "butter", "caster sugar", "egg", "vanilla"),
    "mix": ("icing sugar", "meringue powder", "egg white"),
    "wafer": ("wafer paper",),
}
PACKED_IN = {"bag": "bag", "box": "box", "platter": "platter"}


def needs_of_jobs(jobs, *, now: datetime | None = None) -> list[Need]:
    """One need for each thing and order, at the first job that uses it; a few queries more."""
    jobs = list(jobs)
    drops = drops_of(jobs)
    wraps = _wraps({job.order_id for job in jobs if job.kind == "pack"})
    found: dict[tuple, Need] = {}
    for job in jobs:
        at = job.started_at or job.planned_start or job.order.hand_over_at
        at = max(at, now) if now else at
        for name, medium, amount, unit in _uses(job, wraps, drops.get(job.pk, {})):
            title = listed([order.title for order in job.served])
            _add(found, job, at, Need(name, at, title, medium, amount, unit if amount else ""))
    return list(found.values())


@receiver(needs_asked)
def when_needs_are_asked(sender, now: datetime, **more) -> list[Need]:
    open_jobs = Job.objects.exclude(state=Job.State.DONE).filter(order__state__in=PLANNED_STATES)
    jobs = open_jobs.select_related("order").prefetch_related("shares__order")
    return needs_of_jobs(jobs.order_by("planned_start", "key"), now=now)


def _uses(job, wraps, drops):
    """(name, medium, amount, unit) of all that one job uses."""
    if job.kind in COLOURED:
        medium = MEDIUM.get(job.kind, Colour.Medium.ICING)
        for colour in job.colours:
            if medium == Colour.Medium.AIRBRUSH:
                yield colour, str(medium), drops.get(colour, 0), "drops"
            else:
                yield colour, str(medium), job.grams / len(job.colours), "g"
    for staple in STAPLES.get(job.kind, ()):
        yield staple, "", 0, ""
    if job.kind == "pack":
        for wrap in wraps.get(job.order_id, ()):
            yield wrap, "", 0, ""


def _add(found, job, at, need: Need) -> None:
    key = (need.name.lower(), need.medium, job.order_id)
    known = found.get(key)
    if known:
        unit = need.unit or known.unit
        need = Need(
            need.name, min(at, known.at), need.what_for, need.medium, need.amount + known.amount, unit
        )
    found[key] = need


def _wraps(orders) -> dict[int, list[str]]:
    """How the lines of each order are packed."""
    if not orders:
        return {}
    rows = OrderLine.objects.filter(order__in=orders).values_list("order_id", "packaging").distinct()
    found: dict[int, list[str]] = {}
    for order, packaging in rows:
        if packaging in PACKED_IN:
            found.setdefault(order, []).append(PACKED_IN[packaging])
    return found
