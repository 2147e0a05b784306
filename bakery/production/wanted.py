"""What the jobs of open orders will draw from the cupboard, and by when: the cupboard asks, this answers."""

from datetime import datetime
from math import ceil

from django.dispatch import receiver

from bakery.orders.models import PLANNED_STATES, OrderLine
from bakery.stock.models import Colour
from bakery.stock.signals import Need, needs_asked

from .models import Job

AIRBRUSH = ("spray",)
COLOURED = ("flood", "spray", "icing_pass", "pipe", "letter", "transfer", "brush")
STAPLES = {
    "dough": ("flour", "butter", "caster sugar", "egg", "vanilla"),
    "mix": ("icing sugar", "meringue powder", "egg white"),
    "wafer": ("wafer paper",),
}
PACKED_IN = {
    OrderLine.Packaging.BAG: "bag",
    OrderLine.Packaging.BOX: "box",
    OrderLine.Packaging.PLATTER: "platter",
}
FIELDS = ("kind", "colours", "cookies", "planned_start", "order_id", "order__title", "order__hand_over_at",
          "order__for_stock")  # fmt: skip


@receiver(needs_asked)
def needs_of_open_orders(sender, now: datetime, **more) -> list[Need]:
    """One need for each thing and order, at the first job that uses it; two queries."""
    jobs = list(
        Job.objects.exclude(state=Job.State.DONE)
        .filter(order__state__in=PLANNED_STATES)
        .order_by("planned_start", "key")
        .values(*FIELDS)
    )
    wraps = _wraps({job["order_id"] for job in jobs if job["kind"] == "pack"})
    found: dict[tuple, Need] = {}
    for job in jobs:
        at = max(job["planned_start"] or job["order__hand_over_at"], now)
        for name, medium, amount in _uses(job, wraps):
            _add(found, job, at, name, medium, amount)
    return list(found.values())


def _uses(job, wraps):
    if job["kind"] in COLOURED:
        medium = Colour.Medium.AIRBRUSH if job["kind"] in AIRBRUSH else Colour.Medium.ICING
        for colour in job["colours"]:
            yield colour, str(medium), _drops(job) if medium == Colour.Medium.AIRBRUSH else 0
    for staple in STAPLES.get(job["kind"], ()):
        yield staple, "", 0
    if job["kind"] == "pack":
        for wrap in wraps.get(job["order_id"], ()):
            yield wrap, "", 0


def _add(found, job, at, name, medium, amount) -> None:
    key = (name.lower(), medium, job["order_id"])
    known = found.get(key)
    total = amount + (known.amount if known else 0)
    when = min(at, known.at) if known else at
    found[key] = Need(name, when, job["order__title"], medium, total, "drops" if total else "")


def _drops(job) -> int:
    """About as many drops as this run sprays of one colour; what cleaning throws away is little beside it."""
    from bakery.craft.recipes import DROPS_PER_DOZEN

    return ceil(DROPS_PER_DOZEN * job["cookies"] / 12)


def _wraps(orders) -> dict[int, list[str]]:
    rows = OrderLine.objects.filter(order__in=orders).values_list("order_id", "packaging").distinct()
    found: dict[int, list[str]] = {}
    for order, packaging in rows:
        if packaging in PACKED_IN:
            found.setdefault(order, []).append(PACKED_IN[packaging])
    return found
